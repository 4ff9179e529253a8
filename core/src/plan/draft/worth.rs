//! What showing a target is worth by when it is shown, neighbours in the order apart.

use std::borrow::Cow;

use super::desk::Desk;
use super::length::Offer;
use crate::catalogue::Kind;
use crate::plan::OrderRule;
use crate::plan::check::{POOR_VIEW, moon_troubles};
use crate::time::Interval;
use crate::units::Angle;

/// Points for a stop of full appeal and full view on a screen.
const POINTS: f64 = 1000.0;
/// The worth of Moon and planets against other kinds of the same appeal: they are what first-time visitors remember.
/// Common practice, no source.
const REMEMBERED: f64 = 1.7;
/// Altitude below which a stop counts less, in degrees: low means murk, unsteady air and a tiring pose.
/// Common practice, no source.
const COMFORTABLE_ALTITUDE_DEG: f64 = 30.0;
/// The worth of a stop at the horizon against one at a comfortable altitude; in between in proportion.
const AT_THE_HORIZON: f64 = 0.4;
/// The worth of what moonlight spoils.
const MOON_NEAR: f64 = 0.4;
/// The worth of a stop far from the best altitude of the evening; in between in proportion to the sine.
const FAR_FROM_BEST: f64 = 0.75;
/// The worth of what starts in the last 20 minutes, when families have left.
const LAST_MINUTES: f64 = 0.9;
/// Share of the evening that counts as early for what is bright and easy; common practice, no source.
const EARLY: f64 = 0.2;
/// Where the crescendo stands, in shares of the evening; common practice, no source.
const CRESCENDO: (f64, f64) = (0.6, 0.7);
/// Minutes before doors close within which the last look ends.
const LAST_LOOK_MINUTES: f64 = 25.0;
/// Share of the evening for which a long-lived target is up.
const LONG_LIVED: f64 = 0.6;
/// From this appeal on a target is a favourite, whatever its kind.
const FAVOURITE_APPEAL: f64 = 0.7;

/// What holds for every showing of the evening.
pub(super) struct Worth<'d> {
    desk: Desk<'d>,
    doors_minutes: f64,
    /// Position of the moment at which doors open.
    first_moment: usize,
    /// The first minute at which anything can be shown.
    earliest: f64,
    /// When the children go, in minutes after doors open; none without children, or before doors open.
    bedtime: Option<f64>,
}

/// What holds for every showing of a target. Of many targets much is kept at once: only of the minutes that matter.
pub(super) struct TargetWorth {
    target: usize,
    /// First and last minute after doors open of each stretch throughout which it may be shown.
    allowed: Vec<(u32, u32)>,
    /// The first minute at which it may be shown.
    from: u32,
    /// By minute from `from` to the last at which it may be shown: what its altitude leaves.
    height: Vec<f32>,
    /// By minute from `from`: whether the Moon spoils it; empty where it never does.
    spoilt: Vec<bool>,
    /// The last minute at which it can be shown.
    last: f64,
    long_lived: bool,
}

impl TargetWorth {
    fn height(&self, minute: u32) -> f32 {
        self.height[(minute - self.from) as usize]
    }

    fn is_spoilt(&self, minute: u32) -> bool {
        self.spoilt.get((minute - self.from) as usize).copied().unwrap_or(false)
    }
}

/// The last minute of the stretch in which a minute is; `None` where it is in none.
fn stretch_end(stretches: &[(u32, u32)], minute: u32) -> Option<u32> {
    let within = stretches.iter().find(|(first, last)| (*first..=*last).contains(&minute));
    within.map(|(_, last)| *last)
}

impl<'d> Worth<'d> {
    pub(super) fn new(desk: Desk<'d>) -> Self {
        let prepared = desk.prepared;
        let starts =
            prepared.availability.iter().filter_map(|own| Some(own.showable.as_slice().first()?.start()));
        let earliest = starts.map(|start| desk.minute(start)).fold(f64::INFINITY, f64::min);
        let bedtime = prepared.night.local.at(desk.evening.rules.bedtime).ok().map(|at| desk.minute(at));
        Self {
            desk,
            doors_minutes: prepared.doors.minutes().floor(),
            first_moment: prepared.moment_index(prepared.doors.start()),
            earliest: if earliest.is_finite() { earliest.max(0.0) } else { 0.0 },
            bedtime: bedtime.filter(|bedtime| *bedtime > 0.0 && desk.evening.house.children > 0),
        }
    }

    /// What holds for every showing of a target.
    pub(super) fn of(&self, target: usize) -> TargetWorth {
        let prepared = self.desk.prepared;
        let own = &prepared.availability[target];
        let doors_minutes = self.doors_minutes as u32;
        let stretch = |run: &Interval| {
            // Runs begin and end on a minute; rounding undoes what the arithmetic of instants leaves.
            let first = self.desk.minute(run.start()).round().max(0.0) as u32;
            (first, (self.desk.minute(run.end()).round().max(0.0) as u32).min(doors_minutes))
        };
        let allowed = own.allowed.as_slice().iter().map(stretch);
        let allowed: Vec<(u32, u32)> = allowed.filter(|(first, last)| first <= last).collect();
        let from = allowed.first().map_or(0, |(first, _)| *first);
        let moment = |minute: u32| self.first_moment + minute as usize;
        let samples = allowed
            .last()
            .map_or(Cow::Borrowed(&[][..]), |(_, to)| prepared.samples(target, moment(from)..=moment(*to)));
        let shown = samples.iter().zip(from..).filter(|(_, minute)| stretch_end(&allowed, *minute).is_some());
        let highest = shown.map(|(sample, _)| sample.altitude).fold(Angle::ZERO, Angle::max).sin().max(0.01);
        let height = samples.iter().map(|sample| {
            let comfort = (sample.altitude.degrees() / COMFORTABLE_ALTITUDE_DEG).clamp(0.0, 1.0);
            let near_best = (sample.altitude.sin() / highest).clamp(0.0, 1.0);
            let height = (AT_THE_HORIZON + (1.0 - AT_THE_HORIZON) * comfort)
                * (FAR_FROM_BEST + (1.0 - FAR_FROM_BEST) * near_best);
            height as f32
        });
        let kind = self.desk.materials.catalogue.targets[target].kind;
        let moments = prepared.moments[moment(from)..].iter().zip(samples.iter());
        let spoilt = moments.map(|(moment, sample)| moon_troubles(kind, moment, sample.moon_separation));
        let spoilt: Vec<bool> = spoilt.collect();
        let last = own.showable.as_slice().last().map_or(0.0, |run| self.desk.minute(run.end()));
        TargetWorth {
            target,
            from,
            height: height.collect(),
            spoilt: if spoilt.contains(&true) { spoilt } else { Vec::new() },
            allowed,
            last,
            long_lived: own.showable.minutes() >= LONG_LIVED * self.doors_minutes,
        }
    }

    /// Points of an offer of a target by the minute after doors open at which it starts, 0 where it may not; from
    /// `from` to `to`, both included.
    ///
    /// * `wished`: then a poor view is no bar, and whatever may be shown is worth a point at least.
    pub(super) fn points(
        &self,
        own: &TargetWorth,
        offer: &Offer,
        from: u32,
        to: u32,
        wished: bool,
    ) -> Vec<i64> {
        (from..=to).map(|start| self.at(own, offer, start, wished)).collect()
    }

    fn at(&self, own: &TargetWorth, offer: &Offer, start: u32, wished: bool) -> i64 {
        let end = start + offer.minutes;
        let allowed = stretch_end(&own.allowed, start).is_some_and(|to| end <= to);
        if !allowed {
            return 0;
        }
        let first = self.first_moment + start as usize;
        let last = self.first_moment + end as usize;
        let view = self.desk.prepared.views.worst(own.target, offer.port, first, last);
        if view < POOR_VIEW && !(wished && view > 0.0) {
            return 0;
        }
        let target = &self.desk.materials.catalogue.targets[own.target];
        // Lowest at one of its ends: a target's altitude has no minimum between rising and setting.
        let height = own.height(start).min(own.height(end));
        let spoilt = own.is_spoilt(start) || own.is_spoilt(end);
        let worth = target.appeal.value()
            * view
            * offer.impression
            * f64::from(height)
            * if remembered(target.kind) { REMEMBERED } else { 1.0 }
            * if spoilt { MOON_NEAR } else { 1.0 }
            * self.favour(own, f64::from(start), f64::from(end));
        let points = (worth * POINTS).round() as i64;
        if wished { points.max(1) } else { points }
    }

    /// What the rules of the trade make of a showing of a target from a minute to a minute: 1 where none favours it.
    fn favour(&self, own: &TargetWorth, start: f64, end: f64) -> f64 {
        let favour =
            self.favours(own, start, end).iter().fold(1.0, |favour, (_, more)| favour * (1.0 + more));
        let late = start + 20.0 > self.doors_minutes && !self.is_last_look(own, end);
        if late { favour * LAST_MINUTES } else { favour }
    }

    /// By what share each rule that looks at a showing by itself makes it count more; 0 where it does not.
    pub(super) fn favours(&self, own: &TargetWorth, start: f64, end: f64) -> [(OrderRule, f64); 5] {
        let rules = &self.desk.evening.rules;
        let weight = |percent: u8| f64::from(percent) / 100.0;
        let target = &self.desk.materials.catalogue.targets[own.target];
        let evening = (self.doors_minutes - self.earliest).max(1.0);
        let early = 1.0 - (start - self.earliest) / (EARLY * evening);
        let bright = weight(rules.bright_first) * ease(target.kind) * early.clamp(0.0, 1.0);
        // Squared: of two that change places, the one that can wait for less long gains more by going first.
        let wait = ((own.last.min(self.doors_minutes) - end) / evening).clamp(0.0, 1.0);
        let sets = weight(rules.sets_first) * (1.0 - wait * wait);
        let in_time = self.bedtime.is_some_and(|bedtime| end <= bedtime) && for_children(target.kind);
        let children = if in_time { weight(rules.children_first) } else { 0.0 };
        let middle = f64::midpoint(start, end) / self.doors_minutes.max(1.0);
        let high = (CRESCENDO.0..=CRESCENDO.1).contains(&middle);
        let crescendo = if high { weight(rules.crescendo) * target.appeal.value() } else { 0.0 };
        let last = if self.is_last_look(own, end) { weight(rules.favourite_last) } else { 0.0 };
        [
            (OrderRule::BrightFirst, bright),
            (OrderRule::SetsFirst, sets),
            (OrderRule::ChildrenFirst, children),
            (OrderRule::Crescendo, crescendo),
            (OrderRule::FavouriteLast, last),
        ]
    }

    /// Whether a showing that ends at a minute is the last look at a long-lived favourite.
    fn is_last_look(&self, own: &TargetWorth, end: f64) -> bool {
        let target = &self.desk.materials.catalogue.targets[own.target];
        let favourite = remembered(target.kind) || target.appeal.value() >= FAVOURITE_APPEAL;
        end >= self.doors_minutes - LAST_LOOK_MINUTES && own.long_lived && favourite
    }
}

/// Whether a kind is what first-time visitors remember.
const fn remembered(kind: Kind) -> bool {
    matches!(kind, Kind::Moon | Kind::Planet)
}

/// How bright and easy a kind is, from 0 to 1. Common practice, no source.
const fn ease(kind: Kind) -> f64 {
    match kind {
        Kind::Moon | Kind::Planet => 1.0,
        Kind::Star | Kind::DoubleStar | Kind::OpenCluster => 0.5,
        _ => 0.0,
    }
}

/// Whether a kind is what children like best. Common practice, no source.
const fn for_children(kind: Kind) -> bool {
    matches!(kind, Kind::Moon | Kind::Planet | Kind::DoubleStar)
}

/// Whether a kind is a smudge to an eye that is not used to it.
pub(super) const fn is_faint(kind: Kind) -> bool {
    matches!(kind, Kind::Nebula | Kind::SupernovaRemnant | Kind::Galaxy | Kind::DarkNebula | Kind::Comet)
}

#[cfg(test)]
mod tests {
    use super::{Worth, stretch_end};
    use crate::plan::check::moon_troubles;
    use crate::plan::draft::desk::Desk;
    use crate::plan::invented::{Invented, march_evening};
    use crate::units::Angle;

    #[test]
    fn every_minute_has_its_own_altitude_and_moon() {
        let invented = Invented::new(2);
        let (evening, materials) = (march_evening(), invented.materials());
        let prepared = invented.prepare(&evening);
        let desk = Desk { evening: &evening, prepared: &prepared, materials: &materials };
        let worth = Worth::new(desk);
        let (mut begun_late, mut spoilt) = (0, 0);
        for (target, told) in materials.catalogue.targets.iter().enumerate() {
            let own = worth.of(target);
            begun_late += usize::from(own.from > 0);
            let mut highest = (Angle::ZERO, 0.0);
            for minute in 0..=desk.doors_minutes() {
                let at = desk.instant(f64::from(minute));
                let runs = prepared.availability[target].allowed.as_slice();
                let within = |from: f64, to: f64| (from - 0.5..=to + 0.5).contains(&f64::from(minute));
                let is_allowed =
                    runs.iter().any(|run| within(desk.minute(run.start()), desk.minute(run.end())));
                assert_eq!(stretch_end(&own.allowed, minute).is_some(), is_allowed, "{:?} {minute}", told.id);
                if is_allowed {
                    let moment = &prepared.moments[prepared.moment_index(at)];
                    let sample = prepared.sample(target, at).expect("within the evening");
                    let troubled = moon_troubles(told.kind, moment, sample.moon_separation);
                    assert_eq!(own.is_spoilt(minute), troubled);
                    spoilt += usize::from(troubled);
                    if sample.altitude > highest.0 {
                        highest = (sample.altitude, own.height(minute));
                    }
                }
            }
            // What the altitude leaves is most where it is highest.
            assert!(own.height.iter().all(|height| f64::from(*height) <= f64::from(highest.1)));
        }
        assert!(begun_late > 0 && spoilt > 0, "{begun_late} {spoilt}");
    }
}
