//! The one judge of any running order, drafted or made by hand.

mod clock;
mod whole;

use super::limits::{
    SUNSET_ALTITUDE, above_mount, hard_limit, in_closed_sky, in_keyhole, lowest_altitude, near_sun,
    sun_exclusion,
};
use super::merit::views;
use super::slew::{slew_near_sun, too_early};
use super::timing::{Leg, legs};
use super::{
    Evening, Finding, Limit, Materials, Moment, Prepared, QueueMinute, Rule, Sample, Severity, Show, Stop,
    StopTiming, What, in_each_others_way, needed_minutes, queue, worst_view,
};
use crate::catalogue::{Kind, Target};
use crate::elements::COMET_STALE_DAYS;
use crate::ephemeris::Body;
use crate::place::Source;
use crate::rig::{Access, who_reaches};
use crate::units::{Angle, Fraction};

/// A view below this is poor. Common practice, no source.
pub const POOR_VIEW: f64 = 0.3;
/// Seconds by which a move may fall short before it is told: rounding, never felt.
const MOVE_TOLERANCE_S: f64 = 0.01;
/// Minutes by which a stop may be shorter than needed before it is told.
const LENGTH_TOLERANCE_MINUTES: f64 = 0.01;

/// Every rule applied to the evening's order: Stoppers first, then by time; what concerns the whole evening last. What
/// the catalogue does not tell of a target is the mildest at its stop.
///
/// Each stop is judged at its start, at every minute and at its end. Stoppers are what can't be done or must not be
/// done: shared time, moves that don't fit, unknown or broken ports, the horizon, the mount and its cables, a closed part
/// of the sky, the Sun, no view at all. An understudy must keep the same limits over its stop: the Sun's is a Stopper, the others Cautions.
/// The keyhole, of the zenith or of the pole as the mount has it, is a Stopper when a stop lies in it throughout or above
/// what the mount reaches, else a Caution; so is a flip at the meridian within a stop.
/// A stop outside doors is a Caution, unless it shows something outside what was prepared, where it can't be judged.
pub fn check(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> Vec<Finding> {
    judge(evening, prepared, materials).findings
}

/// An order judged, with what the judgement stands on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Judged {
    /// As [`check`] gives them.
    pub findings: Vec<Finding>,
    /// As [`timings`](super::timings) gives them.
    pub timings: Vec<StopTiming>,
    /// As [`queue`] gives it.
    pub line: Vec<QueueMinute>,
    /// How each target shown is seen, for [`judge_again`].
    pub seen: Vec<Seen>,
}

/// What is wrong with how a stop is seen, by the sky and through its port: it hangs on the stop and on no other one.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    stop: Stop,
    findings: Vec<Finding>,
}

/// As [`check`], with the timing of every stop and the line before the eyepiece, on which it stands.
pub fn judge(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> Judged {
    judge_again(evening, prepared, materials, &[])
}

/// As [`judge`], of another order for the same evening.
///
/// * `known`: [`Judged::seen`] under the same sky, wishes and materials. A stop that is the same there is taken from it; how
///   a stop is seen takes most of the time.
pub fn judge_again(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    known: &[Seen],
) -> Judged {
    let line = queue(evening, prepared, materials);
    let (findings, seen) = (Vec::new(), Vec::new());
    let mut judge = Judge { evening, prepared, materials, line: &line, known, findings, seen };
    let legs = legs(&evening.order, prepared, materials);
    for (position, (stop, leg)) in evening.order.stops().iter().zip(&legs).enumerate() {
        judge.time(stop, leg, position);
        if let What::Show(show) = &stop.what {
            judge.show(stop, show, position);
            judge.understudy(stop, show);
            judge.slew(stop, leg);
        }
    }
    judge.whole(&legs);
    let Judge { mut findings, seen, .. } = judge;
    findings.sort_by_key(|finding| {
        let stop = finding.stop.and_then(|id| evening.order.get(id));
        let mildest = matches!(finding.rule, Rule::Incomplete { .. });
        (finding.severity, stop.is_none(), stop.map(Stop::start), mildest)
    });
    Judged { findings, timings: legs.into_iter().map(|leg| leg.timing).collect(), line, seen }
}

struct Judge<'j, 'm> {
    evening: &'j Evening,
    prepared: &'j Prepared,
    materials: &'j Materials<'m>,
    /// The line before the eyepiece.
    line: &'j [QueueMinute],
    /// How stops are seen, as far as that is known.
    known: &'j [Seen],
    findings: Vec<Finding>,
    seen: Vec<Seen>,
}

impl Judge<'_, '_> {
    fn stopper(&mut self, stop: &Stop, rule: Rule) {
        self.findings.push(Finding { severity: Severity::Stopper, stop: Some(stop.id), rule });
    }

    fn caution(&mut self, stop: &Stop, rule: Rule) {
        self.findings.push(Finding { severity: Severity::Caution, stop: Some(stop.id), rule });
    }

    fn caution_for_evening(&mut self, rule: Rule) {
        self.findings.push(Finding { severity: Severity::Caution, stop: None, rule });
    }

    /// Shared time, the move before it, and doors.
    fn time(&mut self, stop: &Stop, leg: &Leg, position: usize) {
        let before = &self.evening.order.stops()[..position];
        let rig = self.materials.rig;
        let shared: Vec<_> = before.iter().filter(|other| in_each_others_way(other, stop, rig)).collect();
        for other in &shared {
            // What was fixed in time was there first: the other one is to be moved.
            let (own, with) =
                if stop.held.time && !other.held.time { (*other, stop) } else { (stop, *other) };
            self.stopper(own, Rule::Overlap { with: with.id });
        }
        let short_by_minutes = -leg.timing.free_minutes;
        if shared.is_empty() && stop.show().is_some() && short_by_minutes * 60.0 > MOVE_TOLERANCE_S {
            self.stopper(stop, Rule::MoveDoesNotFit { short_by_minutes });
        }
        if stop.show().is_some() && !self.prepared.span.covers(stop.interval) {
            self.stopper(stop, Rule::OutsideDoors);
        } else if !self.prepared.doors.covers(stop.interval) {
            self.caution(stop, Rule::OutsideDoors);
        }
    }

    /// Everything about a target on a port.
    fn show(&mut self, stop: &Stop, show: &Show, position: usize) {
        if self.evening.wishes.leave_out.contains(&show.target) {
            self.caution(stop, Rule::LeftOutShown);
        }
        let twice = self.evening.order.stops()[..position]
            .iter()
            .find(|other| other.show().is_some_and(|other| other.target == show.target));
        if let Some(other) = twice {
            self.caution(stop, Rule::ShownTwice { with: other.id });
        }
        let port = self.materials.rig.port(&show.port);
        if port.is_none() {
            self.stopper(stop, Rule::UnknownPort(show.port.clone()));
        } else if self.evening.wishes.ports_out_of_service.contains(&show.port) {
            self.stopper(stop, Rule::PortOutOfService(show.port.clone()));
        }
        let Some(index) = self.materials.target_index(&show.target) else {
            self.stopper(stop, Rule::UnknownTarget(show.target.clone()));
            return;
        };
        let target = &self.materials.catalogue.targets[index];
        let missing = target.missing();
        if !missing.is_empty() {
            self.caution(stop, Rule::Incomplete { missing });
        }
        if let Some(port) = port {
            let needed_minutes =
                needed_minutes(&self.evening.house, self.prepared, self.materials, index, port);
            if stop.interval.minutes() + LENGTH_TOLERANCE_MINUTES < needed_minutes {
                let has_minutes = stop.interval.minutes();
                self.caution(stop, Rule::TooShort { has_minutes, needed_minutes });
            }
        }
        if self.prepared.span.covers(stop.interval) {
            self.seen(stop, show, target, index);
            if let Some(access) = port.and_then(|port| port.access) {
                self.access(stop, access, index);
            }
        }
    }

    /// Sky and view of a stop, taken over where they are known.
    fn seen(&mut self, stop: &Stop, show: &Show, target: &Target, index: usize) {
        let before = self.findings.len();
        let known = self.known.iter().find(|seen| seen.stop.id == stop.id && seen.stop == *stop);
        if let Some(seen) = known {
            self.findings.extend(seen.findings.iter().cloned());
        } else {
            self.sky(stop, target, index);
            self.view(stop, show, index);
        }
        self.seen.push(Seen { stop: stop.clone(), findings: self.findings[before..].to_vec() });
    }

    /// Geometry, Sun and Moon at every minute of a stop.
    fn sky(&mut self, stop: &Stop, target: &Target, index: usize) {
        let minutes: Vec<(&Moment, Sample)> = minutes(self.prepared, stop, index).collect();
        let needed = |sample: &Sample| lowest_altitude(self.materials, sample.azimuth);
        if let Some((moment, sample)) = minutes.iter().find(|(_, s)| s.altitude < needed(s)) {
            let (at, altitude) = (moment.instant, sample.altitude);
            self.stopper(stop, Rule::TooLow { at, altitude, needed: needed(sample) });
        }
        let inside = |sample: &Sample| in_keyhole(self.materials, sample);
        if let Some((moment, _)) = minutes.iter().find(|(_, sample)| inside(sample)) {
            let throughout = minutes.iter().all(|(_, sample)| inside(sample));
            let unreached = minutes.iter().any(|(_, sample)| above_mount(self.materials, sample.altitude));
            let rule = Rule::InKeyhole { at: moment.instant, throughout };
            if throughout || unreached { self.stopper(stop, rule) } else { self.caution(stop, rule) }
        }
        let closed =
            |moment: &Moment, sample: &Sample| in_closed_sky(&self.prepared.closed_sky, moment, sample);
        if let Some((moment, _)) = minutes.iter().find(|(moment, sample)| closed(moment, sample)) {
            self.stopper(stop, Rule::InClosedSky { at: moment.instant });
        }
        let is_sun = matches!(target.source, Source::Body(Body::Sun));
        if is_sun || minutes.iter().any(|(moment, _)| moment.sun.altitude > SUNSET_ALTITUDE) {
            self.stopper(stop, Rule::Daylight);
        }
        let nearest = minutes
            .iter()
            .filter(|(moment, s)| near_sun(self.materials.site, moment.sun.altitude, s.sun_separation))
            .map(|(_, sample)| sample.sun_separation)
            .reduce(Angle::min);
        if let Some(separation) = nearest {
            self.stopper(stop, Rule::NearSun { separation, limit: sun_exclusion(self.materials.site) });
        }
        let age_days = target.comet().and_then(|comet| comet.age_days(stop.start()));
        if let Some(age_days) = age_days.filter(|days| *days > COMET_STALE_DAYS) {
            self.caution(stop, Rule::OldElements { age_days });
        }
        let near_moon = minutes
            .iter()
            .filter(|(moment, sample)| moon_troubles(target.kind, moment, sample.moon_separation))
            .min_by(|one, other| {
                one.1.moon_separation.radians().total_cmp(&other.1.moon_separation.radians())
            });
        if let Some((moment, sample)) = near_moon {
            let rule = Rule::MoonNear { lit: moment.moon_illuminated(), separation: sample.moon_separation };
            self.caution(stop, rule);
        }
    }

    /// Whether the understudy could stand in at any minute of the stop.
    fn understudy(&mut self, stop: &Stop, show: &Show) {
        let Some(understudy) = &show.understudy else { return };
        if self.evening.wishes.leave_out.contains(understudy) {
            self.caution(stop, Rule::LeftOutUnderstudy(understudy.clone()));
        }
        let Some(index) = self.materials.target_index(understudy) else {
            self.caution(stop, Rule::UnknownUnderstudy(understudy.clone()));
            return;
        };
        if !self.prepared.span.covers(stop.interval) {
            return;
        }
        let source = &self.materials.catalogue.targets[index].source;
        let closed_sky = &self.prepared.closed_sky;
        let limits = minutes(self.prepared, stop, index).filter_map(|(moment, sample)| {
            Some((moment.instant, hard_limit(self.materials, source, moment, &sample, closed_sky)?))
        });
        // The first minute of the Sun's limit, else of any.
        let Some((at, limit)) = limits.min_by_key(|(_, limit)| *limit != Limit::Sun) else { return };
        let rule = Rule::UnderstudyLimited { understudy: understudy.clone(), at, limit };
        if limit == Limit::Sun { self.stopper(stop, rule) } else { self.caution(stop, rule) }
    }

    /// What visitors see through the port: never anything is a Stopper, little at some minute a Caution.
    fn view(&mut self, stop: &Stop, show: &Show, index: usize) {
        let out = &self.evening.wishes.ports_out_of_service;
        let Some(port) = self.materials.rig.port(&show.port).filter(|port| !out.contains(&port.id)) else {
            return;
        };
        let worst = worst_view(self.prepared, self.materials, index, port, stop.interval);
        if worst.value() >= POOR_VIEW {
            return;
        }
        let view = views(self.prepared, self.materials, index, port);
        let minutes = stop.interval.minutes().ceil().max(1.0);
        // Nothing at the worst minute; something at another one is a poor view, not none.
        let ever = worst > Fraction::ZERO
            || (0..=minutes as usize).any(|minute| {
                let at = stop.start().plus_minutes(minute as f64).min(stop.end());
                view(self.prepared.moment_index(at)) > Fraction::ZERO
            });
        if ever { self.caution(stop, Rule::PoorView) } else { self.stopper(stop, Rule::NoView) }
    }

    /// The eyepiece of a stop against those who look seated, by its height at every minute. What mends it is one matter
    /// for the whole evening: later stops are only counted.
    fn access(&mut self, stop: &Stop, access: Access, index: usize) {
        if self.evening.house.seated == 0 {
            return;
        }
        let altitudes = minutes(self.prepared, stop, index).map(|(_, sample)| sample.altitude);
        let Some(heights_mm) = access.height.over_mm(altitudes) else { return };
        if who_reaches(heights_mm).seated {
            return;
        }
        let told = self.findings.iter_mut().find_map(|finding| match &mut finding.rule {
            Rule::NotSeated { later_stops, .. } => Some(later_stops),
            _ => None,
        });
        match told {
            Some(later_stops) => *later_stops += 1,
            None => self.caution(stop, Rule::NotSeated { heights_mm, later_stops: 0 }),
        }
    }

    /// The end of the cables, the flip at the meridian, and the path of the slew past the Sun while the Sun's exclusion
    /// holds: a Stopper when it is begun as late as it may, a Caution when it must not begin as soon as the telescope is
    /// free.
    fn slew(&mut self, stop: &Stop, leg: &Leg) {
        if let Some(at) = leg.cables_end {
            self.stopper(stop, Rule::CablesEnd { at });
        }
        if let Some(flip) = &leg.flip {
            self.caution(stop, Rule::FlipInside { at: flip.at });
            if let Some(separation) = slew_near_sun(self.materials, self.prepared, flip.path, flip.at) {
                self.stopper(stop, Rule::SlewNearSun { separation });
            }
        }
        let leave = leg.timing.leave;
        let sun = self.prepared.moments[self.prepared.moment_index(leave)].sun.altitude;
        if leg.leaves_parking && sun > SUNSET_ALTITUDE {
            self.caution(stop, Rule::FirstSlewInDaylight);
        }
        let Some((path, free_from)) = leg.path.zip(leg.free_from) else { return };
        if let Some(separation) = slew_near_sun(self.materials, self.prepared, path, leave) {
            self.stopper(stop, Rule::SlewNearSun { separation });
        } else if let Some((separation, from)) =
            too_early(self.materials, self.prepared, path, free_from, leave)
        {
            self.caution(stop, Rule::SlewTooEarly { separation, from });
        }
    }
}

/// Every sampled minute of a stop with the sample of a target.
fn minutes<'p>(
    prepared: &'p Prepared,
    stop: &Stop,
    index: usize,
) -> impl Iterator<Item = (&'p Moment, Sample)> + use<'p> {
    let (first, last) = (prepared.moment_index(stop.start()), prepared.moment_index(stop.end()));
    let moments = (first..=last).zip(&prepared.moments[first..=last]);
    moments.filter_map(move |(minute, moment)| Some((moment, prepared.sample_at(index, minute)?)))
}

/// Whether moonlight near a target spoils it: a bright Moon anywhere near for what is faint, a very bright one close by
/// for the rest. Common practice, no source: a quarter lit and 60 degrees, half lit and 15 degrees.
pub(super) fn moon_troubles(kind: Kind, moment: &Moment, separation: Angle) -> bool {
    if moment.moon.altitude < Angle::ZERO {
        return false;
    }
    let lit = moment.moon_illuminated().value();
    match kind {
        Kind::Moon | Kind::Planet | Kind::Star | Kind::DoubleStar => false,
        Kind::Nebula | Kind::SupernovaRemnant | Kind::Galaxy | Kind::DarkNebula | Kind::Comet => {
            lit >= 0.25 && separation.degrees() < 60.0
        }
        Kind::OpenCluster | Kind::GlobularCluster | Kind::PlanetaryNebula => {
            lit >= 0.5 && separation.degrees() < 15.0
        }
    }
}

#[cfg(test)]
mod tests;
