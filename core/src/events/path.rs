//! One source's way through a watched window, and all that happens on it.

use super::crossing::{Crossings, EventKind};
use super::profile::over_profile;
use super::watch::{Course, Turn, Watch};
use crate::ephemeris::Body;
use crate::maths::Vec3;
use crate::place::{ObserverAt, Source};
use crate::time::Instant;
use crate::units::Angle;

/// 34' of refraction at the horizon, and 16' for the Sun's semidiameter, the same on each day: the almanacs'
/// convention (Explanatory Supplement to the Astronomical Almanac, 3rd ed., section 12.2).
const REFRACTION: Angle = Angle::from_arcminutes(34.0);
const SUN: Source = Source::Body(Body::Sun);
const MOON: Source = Source::Body(Body::Moon);
const SUN_AT_HORIZON: Angle = Angle::from_arcminutes(-50.0);

/// The way of one source, ready for any number of searches.
#[derive(Clone, Debug)]
pub struct Path<'w, 's> {
    watch: &'w Watch<'s>,
    source: Source,
    directions: Vec<Vec3>,
    /// Of the Moon alone: distances in units of its mean one. Seen from a turning Earth it is so near that
    /// only its vector has a smooth way; its direction, drawn out by the distance, is that vector.
    distances: Option<Vec<f64>>,
    up: Course,
    /// Whether the Sun bends its light so strongly (up to 1.75 arcseconds, past within hours) that its way is
    /// not quite the polynomial.
    is_near_sun: bool,
}

/// Nearer to the Sun than this in the middle of a stretch, bending is felt.
const NEAR_SUN: Angle = Angle::from_degrees(7.0);
/// By how much, in seconds, bending can have moved a root; more only for what hardly crosses at all, and that
/// stays where it is.
const BENDING_S: f64 = 2.0;
/// The Moon's mean distance.
const MOON_KM: f64 = 384_400.0;

impl<'s> Watch<'s> {
    /// The way of a source.
    pub fn path(&self, source: &Source) -> Path<'_, 's> {
        let (directions, distances): (Vec<Vec3>, _) = if *source == MOON {
            let both = |observer: &ObserverAt<'_>| observer.direction_and_distance(Body::Moon);
            let (directions, distances_km): (_, Vec<f64>) = self.observers().map(both).unzip();
            (directions, Some(distances_km.iter().map(|km| km / MOON_KM).collect()))
        } else {
            (self.observers().map(|observer| observer.direction(source)).collect(), None)
        };
        let up = self.course(directions.iter().map(|direction| direction.z));
        let near = NEAR_SUN.cos();
        // None but the Moon, which is before the Sun, comes nearer by more than two degrees in half a
        // stretch.
        let is_near_sun = *source != SUN
            && *source != MOON
            && self
                .middles()
                .any(|(index, observer)| observer.sun().east_north_up.dot(directions[index]) > near);
        Path { watch: self, source: *source, directions, distances, up, is_near_sun }
    }
}

impl Path<'_, '_> {
    /// All crossings of a threshold, from the window's start (included) to its end (excluded), each within
    /// 1e-5 s of the root. None is missed, none made up: the [module](super) says what that rests on.
    pub fn crossings(&self, kind: &EventKind) -> Crossings {
        match (kind, &self.source) {
            (EventKind::RiseSet, Source::Body(Body::Sun)) => self.over(SUN_AT_HORIZON),
            (EventKind::RiseSet, Source::Body(Body::Moon)) => {
                // sin h > sin(-34' - s): the upper limb, by the semidiameter of the instant, sin s = R / d
                let radius = Body::Moon.radius_km() / MOON_KM;
                self.over_sine(|distance| {
                    -(REFRACTION + Angle::from_radians((radius / distance).asin())).sin()
                })
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

    /// Instants of upper transit (apparent hour angle 0) or of lower transit (half a turn) in the window,
    /// from its start (included) to its end (excluded), each within 1e-5 s. None is missed.
    pub fn transits(&self, upper: bool) -> Vec<Instant> {
        // sin H cos delta = -east, and the hour angle only grows: westwards above the pole, eastwards below
        // it.
        let east = self.drawn_out(|direction, _| direction.x);
        let transits = east.turns_that(|upwards| upwards != upper);
        transits.iter().map(|turn| self.settled(&east, turn.at_s, |direction| direction.x)).collect()
    }

    /// The lowest airless altitude in the window and when it is reached, within 0.01 s (the Moon's within a
    /// minute, where it hardly changes).
    pub fn lowest(&self) -> (Instant, Angle) {
        let at_s = self.up.lowest_s();
        // The window's last instant is meant, not the one before it.
        let instant = self.watch.window().start().plus_seconds(at_s);
        (instant, self.watch.sky().at(instant).observe(&self.source).altitude)
    }

    fn over(&self, altitude: Angle) -> Crossings {
        let sine = altitude.sin();
        if self.distances.is_some() {
            self.over_sine(|_| sine)
        } else {
            self.told(&self.up.less(sine), |direction| direction.z - sine)
        }
    }

    /// Crossings of a sine of altitude that the distance decides.
    fn over_sine(&self, sine: impl Fn(f64) -> f64) -> Crossings {
        let over = self.drawn_out(|direction, distance| direction.z - sine(distance));
        self.told(&over, |direction| direction.z - sine(1.0))
    }

    /// The course of a function of direction and distance, times that distance (1 but for the Moon).
    fn drawn_out(&self, function: impl Fn(Vec3, f64) -> f64) -> Course {
        match &self.distances {
            None => self.watch.course(self.directions.iter().map(|direction| function(*direction, 1.0))),
            Some(distances) => self.watch.course(
                self.directions.iter().zip(distances).map(|(direction, d)| function(*direction, *d) * d),
            ),
        }
    }

    /// The instant of a root of `course`; near the Sun led on to the root of the function itself by one step
    /// of Newton's rule.
    fn settled(&self, course: &Course, at_s: f64, function: impl Fn(Vec3) -> f64) -> Instant {
        let root = self.watch.instant(at_s);
        if !self.is_near_sun {
            return root;
        }
        let slope = (course.at(at_s + 1.0) - course.at(at_s - 1.0)) / 2.0;
        let step_s = -function(self.watch.sky().at(root).direction(&self.source)) / slope;
        if step_s.abs() < BENDING_S { self.watch.instant((at_s + step_s).max(0.0)) } else { root }
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
        let settled = |turn: &Turn| (self.settled(over, turn.at_s, &function), turn.direction());
        Crossings::At(turns.iter().map(settled).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::{MOON_KM, Watch};
    use crate::earth::{EarthOrientation, GeodeticPlace};
    use crate::ephemeris::{Body, Ephemeris};
    use crate::place::{EveningSky, Source};
    use crate::time::{Instant, Interval};
    use crate::units::Angle;

    #[test]
    fn ways_are_those_of_the_sky() {
        let pack = include_bytes!("../../../assets/ephemeris/planets.pack");
        let ephemeris = Ephemeris::from_bytes(pack).unwrap();
        let mut worst: f64 = 0.0;
        for night in 0..40 {
            let start = Instant::J2000.plus_seconds(f64::from(night) * 2e7);
            let window = Interval::new(start, start.plus_minutes(60.0 * 25.0)).unwrap();
            let place = GeodeticPlace {
                latitude: Angle::from_degrees(f64::from(night) * 4.5 - 90.0),
                longitude: Angle::from_degrees(f64::from(night) * 20.0),
                height_m: 1000.0,
            };
            let sky = EveningSky::new(&ephemeris, place, EarthOrientation::default(), window).unwrap();
            let watch = Watch::new(&sky, window);
            for body in Body::ALL {
                let source = Source::Body(body);
                let path = watch.path(&source);
                let up = path.drawn_out(|direction, _| direction.z);
                for step in 0..=75 {
                    let at_s = f64::from(step) * 1199.0;
                    let observer = sky.at(start.plus_seconds(at_s));
                    let (direction, distance_km) = observer.direction_and_distance(body);
                    let drawn_out = if body == Body::Moon { distance_km / MOON_KM } else { 1.0 };
                    let off = Angle::from_radians(up.at(at_s) - direction.z * drawn_out);
                    if !path.is_near_sun {
                        worst = worst.max(off.arcseconds().abs());
                    }
                }
            }
        }
        assert!(worst < 5e-5, "{worst} arcsec");
    }
}
