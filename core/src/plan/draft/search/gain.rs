//! What a stop adds to the evening: its view and appeal, and what came before it.

use super::{Search, Shown};
use crate::catalogue::Kind;
use crate::plan::check::{POOR_VIEW, moon_troubles};
use crate::plan::draft::menu::{Offer, remembered};
use crate::time::Interval;
use crate::units::Angle;

/// The worth of the second, third... of a kind, each against the one before. Common practice, no source.
const SAME_KIND_AGAIN: f64 = 0.7;
/// The same for planets: each is a world of its own, and they are what first-time visitors remember.
const ANOTHER_PLANET: f64 = 0.95;
/// The worth of a screen after a screen: the same line waits, nobody looks through the telescope.
const SCREEN_AFTER_SCREEN: f64 = 0.5;
/// The worth of an eyepiece stop after an eyepiece stop: one line forms while the other group is served.
const EYEPIECE_AFTER_EYEPIECE: f64 = 0.8;
/// The worth of something faint after something faint: never two smudges in a row.
const FAINT_AFTER_FAINT: f64 = 0.7;
/// The worth of a port not shown yet tonight.
const NEW_PORT: f64 = 1.15;
/// The worth of Moon or planet as the first target: bright, easy, and it proves the pointing.
const BRIGHT_FIRST: f64 = 1.4;
/// The worth of what can't be shown an hour later: what sets first goes first.
const LAST_CHANCE: f64 = 1.05;
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

impl Search<'_, '_> {
    /// What a stop adds to the evening; `None` if its view is poor at some minute.
    pub(super) fn gain(&self, offer: Offer, start: u32, interval: Interval, shown: &Shown) -> Option<f64> {
        let desk = self.desk;
        let (first, last) =
            (desk.prepared.moment_index(interval.start()), desk.prepared.moment_index(interval.end()));
        let view = desk.prepared.views.worst(offer.target, offer.port, first, last);
        if view < POOR_VIEW {
            return None;
        }
        let target = &desk.materials.catalogue.targets[offer.target];
        let mut gain = target.appeal.value() * view * offer.impression;
        let again = if target.kind == Kind::Planet { ANOTHER_PLANET } else { SAME_KIND_AGAIN };
        gain *= again.powi(i32::from(shown.kinds[target.kind as usize]));
        gain *= remembered(target.kind);
        if shown.last.is_none() && matches!(target.kind, Kind::Moon | Kind::Planet) {
            gain *= BRIGHT_FIRST;
        }
        if let Some((kind, eyepiece)) = shown.last {
            gain *= match (eyepiece, offer.eyepiece) {
                (true, true) => EYEPIECE_AFTER_EYEPIECE,
                (false, false) => SCREEN_AFTER_SCREEN,
                _ => 1.0,
            };
            if is_faint(kind) && is_faint(target.kind) {
                gain *= FAINT_AFTER_FAINT;
            }
        }
        if shown.ports & (1 << offer.port.min(31)) == 0 {
            gain *= NEW_PORT;
        }
        let showable = &desk.prepared.availability[offer.target].showable;
        let an_hour_later = interval.start().plus_minutes(60.0);
        if showable.as_slice().last().is_some_and(|last| last.end() < an_hour_later)
            && an_hour_later < desk.prepared.doors.end()
        {
            gain *= LAST_CHANCE;
        }
        gain *= self.height(offer.target, interval) * self.moonlight(offer, first, last);
        if f64::from(start) + 20.0 > self.doors_minutes {
            gain *= LAST_MINUTES;
        }
        Some(gain)
    }

    /// What the altitude counts: a comfortable one, near the best of the evening.
    fn height(&self, target: usize, interval: Interval) -> f64 {
        let altitude_at =
            |instant| self.desk.prepared.sample(target, instant).map_or(Angle::ZERO, |s| s.altitude);
        let lowest = altitude_at(interval.start()).min(altitude_at(interval.end()));
        let comfort = (lowest.degrees() / COMFORTABLE_ALTITUDE_DEG).clamp(0.0, 1.0);
        let highest = self.highest[target].sin().max(0.01);
        let near_best = (lowest.sin() / highest).clamp(0.0, 1.0);
        (AT_THE_HORIZON + (1.0 - AT_THE_HORIZON) * comfort)
            * (FAR_FROM_BEST + (1.0 - FAR_FROM_BEST) * near_best)
    }

    /// What moonlight leaves where it spoils; twilight and Moon are in the view already, this keeps clear of a Caution.
    fn moonlight(&self, offer: Offer, first: usize, last: usize) -> f64 {
        let prepared = self.desk.prepared;
        let kind = self.desk.materials.catalogue.targets[offer.target].kind;
        let spoilt = prepared.tracks.get(offer.target).is_some_and(|track| {
            [first, last].into_iter().any(|minute| {
                moon_troubles(kind, &prepared.moments[minute], track.samples[minute].moon_separation)
            })
        });
        if spoilt { MOON_NEAR } else { 1.0 }
    }
}

/// Whether a kind is a smudge to an eye that is not used to it.
const fn is_faint(kind: Kind) -> bool {
    matches!(kind, Kind::Nebula | Kind::SupernovaRemnant | Kind::Galaxy | Kind::DarkNebula)
}
