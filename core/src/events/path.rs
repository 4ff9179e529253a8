//! One source's way through a watched window, and all that happens on it.

use super::crossing::{Crossings, Direction, EventKind};
use super::profile::over_profile;
use super::watch::{Course, ROOT_TOLERANCE_S, Turn, Watch};
use crate::ephemeris::Body;
use crate::maths::{Vec3, bracketed_root};
use crate::place::Source;
use crate::time::Instant;
use crate::units::Angle;

/// 34' of refraction at the horizon, and 16' for the Sun's semidiameter, the same on each day: the almanacs'
/// convention (Explanatory Supplement to the Astronomical Almanac, 3rd ed., section 12.2).
const REFRACTION: Angle = Angle::from_arcminutes(34.0);
const SUN: Source = Source::Body(Body::Sun);
const SUN_AT_HORIZON: Angle = Angle::from_arcminutes(-50.0);

/// The way of one source, ready for any number of searches.
#[derive(Clone, Debug)]
pub struct Path<'w, 's> {
    watch: &'w Watch<'s>,
    source: Source,
    directions: Vec<Vec3>,
    up: Course,
    /// Whether the Sun bends its light so strongly that its way is no polynomial any more: up to 1.75 arcseconds, and
    /// past within hours.
    is_near_sun: bool,
}

/// Nearer to the Sun than this a root is sought again on the sky itself.
const NEAR_SUN: Angle = Angle::from_degrees(5.0);
/// By how much, in seconds, bending can have moved a root at most; more only for what hardly crosses at all.
const BENDING_S: f64 = 2.0;

impl<'s> Watch<'s> {
    /// The way of a source.
    pub fn path(&self, source: &Source) -> Path<'_, 's> {
        let directions: Vec<Vec3> = self.observers().map(|observer| observer.direction(source)).collect();
        let up = self.course(directions.iter().map(|direction| direction.z));
        let near = NEAR_SUN.cos();
        let is_near_sun = !matches!(source, Source::Body(Body::Sun | Body::Moon))
            && self
                .observers()
                .zip(&directions)
                .any(|(observer, direction)| observer.direction(&SUN).dot(*direction) > near);
        Path { watch: self, source: *source, directions, up, is_near_sun }
    }
}

impl Path<'_, '_> {
    /// All crossings of a threshold, from the window's start (included) to its end (excluded), each within 1e-5 s
    /// of the root. None is missed under the guarantee stated in `watch.rs`; over a horizon profile under that in
    /// `profile.rs`.
    pub fn crossings(&self, kind: &EventKind) -> Crossings {
        match (kind, &self.source) {
            (EventKind::RiseSet, Source::Body(Body::Sun)) => self.over(SUN_AT_HORIZON),
            (EventKind::RiseSet, Source::Body(Body::Moon)) => {
                // sin h > sin(-34' - s): the upper limb, by the semidiameter of the instant
                let limb = self.watch.observers().zip(&self.directions).map(|(observer, direction)| {
                    let semidiameter = observer.appearance(Body::Moon).diameter / 2.0;
                    direction.z + (REFRACTION + semidiameter).sin()
                });
                // Before the Moon nothing bends its light.
                self.told(&self.watch.course(limb), |direction| direction.z)
            }
            (EventKind::RiseSet, _) => self.over(-REFRACTION),
            (EventKind::Twilight { depth }, _) => self.over(-*depth),
            (EventKind::Altitude(altitude), _) => self.over(*altitude),
            (EventKind::Keyhole { radius }, _) => self.over(Angle::from_degrees(90.0) - *radius),
            (EventKind::Profile { horizon, air }, _) => {
                let [east, north] = self.level_courses();
                over_profile(self.watch, [&east, &north, &self.up], horizon, *air)
            }
        }
    }

    /// Instants of upper transit (apparent hour angle 0) or of lower transit (half a turn) in the window, from its
    /// start (included) to its end (excluded), each within 1e-5 s. None is missed.
    pub fn transits(&self, upper: bool) -> Vec<Instant> {
        // sin H cos delta = -east, and the hour angle only grows: westwards above the pole, eastwards below it.
        let east = self.watch.course(self.directions.iter().map(|direction| direction.x));
        let transits = east.turns().into_iter().filter(|turn| turn.upwards != upper);
        transits.map(|turn| self.settled(turn.at_s, |direction| direction.x)).collect()
    }

    /// The lowest airless altitude in the window and when it is reached, within 0.01 s.
    pub fn lowest(&self) -> (Instant, Angle) {
        let at_s = self.up.lowest_s();
        // The window's last instant is meant, not the one before it.
        let instant = self.watch.window().start().plus_seconds(at_s);
        (instant, self.watch.sky().at(instant).observe(&self.source).altitude)
    }

    fn over(&self, altitude: Angle) -> Crossings {
        let sine = altitude.sin();
        self.told(&self.up.less(sine), |direction| direction.z - sine)
    }

    /// The instant of a root; near the Sun that of the function itself.
    fn settled(&self, at_s: f64, function: impl Fn(Vec3) -> f64) -> Instant {
        let exactly = |at_s: f64| {
            let instant = self.watch.window().start().plus_seconds(at_s);
            function(self.watch.sky().at(instant).direction(&self.source))
        };
        let better = if self.is_near_sun {
            bracketed_root(exactly, at_s - BENDING_S, at_s + BENDING_S, ROOT_TOLERANCE_S)
        } else {
            None
        };
        self.watch.instant(better.unwrap_or(at_s).max(0.0))
    }

    fn level_courses(&self) -> [Course; 2] {
        [
            self.watch.course(self.directions.iter().map(|direction| direction.x)),
            self.watch.course(self.directions.iter().map(|direction| direction.y)),
        ]
    }

    fn told(&self, over: &Course, function: impl Fn(Vec3) -> f64) -> Crossings {
        let turns = over.turns();
        if turns.is_empty() {
            return if over.is_above() { Crossings::AlwaysAbove } else { Crossings::AlwaysBelow };
        }
        let told = |upwards| if upwards { Direction::Up } else { Direction::Down };
        let settled = |turn: &Turn| (self.settled(turn.at_s, &function), told(turn.upwards));
        Crossings::At(turns.iter().map(settled).collect())
    }
}
