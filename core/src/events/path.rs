//! One source's way through a watched window, and all that happens on it.

use super::crossing::{Crossings, Direction, EventKind};
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
const SUN_AT_HORIZON: Angle = Angle::from_arcminutes(-50.0);

/// The way of one source, ready for any number of searches.
#[derive(Clone, Debug)]
pub struct Path<'w, 's> {
    watch: &'w Watch<'s>,
    source: Source,
    directions: Vec<Vec3>,
    up: Course,
    /// Whether its way is not quite the polynomial: the Moon's misses by 0.004 arcseconds, since it is so near, and
    /// beside the Sun the bending of light (up to 1.75 arcseconds) is past within hours.
    is_rough: bool,
}

/// Nearer to the Sun than this bending is felt.
const NEAR_SUN: Angle = Angle::from_degrees(5.0);
/// By how much, in seconds, a root on the sky itself can lie from that of the polynomial; more only for what hardly
/// crosses at all, and that stays where it is.
const ROUGHNESS_S: f64 = 2.0;

impl<'s> Watch<'s> {
    /// The way of a source.
    pub fn path(&self, source: &Source) -> Path<'_, 's> {
        let directions: Vec<Vec3> = self.observers().map(|observer| observer.direction(source)).collect();
        let up = self.course(directions.iter().map(|direction| direction.z));
        let near = NEAR_SUN.cos();
        let is_near_sun = |(observer, direction): (&ObserverAt<'_>, &Vec3)| {
            observer.direction(&SUN).dot(*direction) > near
        };
        let is_rough = match source {
            Source::Body(Body::Sun) => false,
            Source::Body(Body::Moon) => true,
            _ => self.observers().zip(&directions).any(is_near_sun),
        };
        Path { watch: self, source: *source, directions, up, is_rough }
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
                let over_limb = |observer: &ObserverAt<'_>, direction: Vec3| {
                    let semidiameter = observer.appearance(Body::Moon).diameter / 2.0;
                    direction.z + (REFRACTION + semidiameter).sin()
                };
                let values = self.watch.observers().zip(&self.directions).map(|(o, d)| over_limb(o, *d));
                self.told(&self.watch.course(values), over_limb)
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
        transits.map(|turn| self.settled(&east, turn.at_s, |_, direction| direction.x)).collect()
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
        self.told(&self.up.less(sine), |_, direction| direction.z - sine)
    }

    /// The instant of a root of `course`; where that is rough, led on to the root of the function itself by one step of
    /// Newton's rule.
    fn settled(
        &self,
        course: &Course,
        at_s: f64,
        function: impl Fn(&ObserverAt<'_>, Vec3) -> f64,
    ) -> Instant {
        let root = self.watch.instant(at_s);
        if !self.is_rough {
            return root;
        }
        let observer = self.watch.sky().at(root);
        let slope = (course.at(at_s + 1.0) - course.at(at_s - 1.0)) / 2.0;
        let step_s = -function(&observer, observer.direction(&self.source)) / slope;
        if step_s.abs() < ROUGHNESS_S { self.watch.instant((at_s + step_s).max(0.0)) } else { root }
    }

    fn level_courses(&self) -> [Course; 2] {
        [
            self.watch.course(self.directions.iter().map(|direction| direction.x)),
            self.watch.course(self.directions.iter().map(|direction| direction.y)),
        ]
    }

    fn told(&self, over: &Course, function: impl Fn(&ObserverAt<'_>, Vec3) -> f64) -> Crossings {
        let turns = over.turns();
        if turns.is_empty() {
            return if over.is_above() { Crossings::AlwaysAbove } else { Crossings::AlwaysBelow };
        }
        let told = |upwards| if upwards { Direction::Up } else { Direction::Down };
        let settled = |turn: &Turn| (self.settled(over, turn.at_s, &function), told(turn.upwards));
        Crossings::At(turns.iter().map(settled).collect())
    }
}

#[cfg(test)]
mod tests {
    use std::mem;

    use super::Watch;
    use crate::earth::{EarthOrientation, GeodeticPlace};
    use crate::ephemeris::{Body, Ephemeris};
    use crate::place::{EveningSky, Source};
    use crate::time::{Instant, Interval};
    use crate::units::Angle;

    #[test]
    fn ways_are_those_of_the_sky() {
        let pack = include_bytes!("../../../assets/ephemeris/planets.pack");
        let ephemeris = Ephemeris::from_bytes(pack).unwrap();
        let mut worst = [0.0_f64; Body::ALL.len()];
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
                for step in 0..=75 {
                    let at_s = f64::from(step) * 1199.0;
                    let off = path.up.at(at_s) - sky.at(start.plus_seconds(at_s)).direction(&source).z;
                    let arcsec = Angle::from_radians(off).arcseconds().abs();
                    if !path.is_rough || body == Body::Moon {
                        worst[body as usize] = worst[body as usize].max(arcsec);
                    }
                }
            }
        }
        let moon = mem::take(&mut worst[Body::Moon as usize]);
        assert!(moon < 0.01, "Moon {moon} arcsec");
        assert!(worst.iter().all(|arcsec| *arcsec < 1e-5), "{worst:?} arcsec");
    }
}
