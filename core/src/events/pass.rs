//! Passes of a satellite over a horizon profile: rise, highest, set, and when it is in the Earth's shadow.
//!
//! **Guarantee**: every stretch above the profile that lasts longer than the step of the search is found, and shorter ones
//! where the height above the profile has one extreme between two samples.

use super::crossing::{Direction, EventKind, crossings};
use super::search::{sample, sign_changes};
use crate::earth::{EQUATORIAL_RADIUS_KM, FLATTENING, Horizon};
use crate::elements::Satellite;
use crate::ephemeris::{AU_KM, Body};
use crate::maths::{Vec3, maximum};
use crate::place::{Air, EveningSky, Source, refraction_saemundsson};
use crate::time::{Instant, Interval, IntervalSet};
use crate::units::Angle;

/// The Sun is this far below the horizon before a satellite is looked for. Common practice, no source.
const SUN_BELOW: Angle = Angle::from_degrees(6.0);
/// A pass that is not seen higher than this is not told: haze and trees. Common practice, no source.
const LEAST_SEEN: Angle = Angle::from_degrees(10.0);
/// A pass that is seen for a shorter time is not told, in seconds: nobody finds it before it is gone. Common practice, no source.
const LEAST_SEEN_S: f64 = 60.0;
/// Longest step over the night. A low satellite is up for some minutes.
const STEP_S: f64 = 30.0;
/// Longest step within a pass.
const FINE_STEP_S: f64 = 10.0;
/// How near to the truth of the formula an instant lies, in seconds.
const TOLERANCE_S: f64 = 0.01;
/// A pass that begins before dusk, or ends after dawn, is followed this far beyond.
const BEYOND_DARK_S: f64 = 1200.0;

/// A satellite at one instant of its pass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PassPoint {
    /// When.
    pub at: Instant,
    /// Altitude with refraction.
    pub altitude: Angle,
    /// Azimuth from north through east.
    pub azimuth: Angle,
}

/// A pass of which something is seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Pass {
    /// Over the horizon profile; the start of the search, if it was up already.
    pub rise: PassPoint,
    /// Highest of the whole pass.
    pub highest: PassPoint,
    /// Behind the horizon profile again; the end of the search, if it stays up.
    pub set: PassPoint,
    /// From where it is first seen (sunlit, above the profile, in a dark enough sky) to where it is last seen; the part in
    /// which it comes highest, if the shadow cuts the pass in two.
    pub seen: (PassPoint, PassPoint),
    /// Where it is highest while it is seen.
    pub seen_highest: PassPoint,
    /// Whether it comes out of the Earth's shadow where it is first seen.
    pub leaves_shadow: bool,
    /// Whether it goes into the Earth's shadow where it is last seen.
    pub enters_shadow: bool,
    /// Days between the epoch of its elements and the pass.
    pub age_days: f64,
}

/// A satellite over one site.
struct Way<'a> {
    sky: &'a EveningSky<'a>,
    satellite: &'a Satellite,
    horizon: &'a Horizon,
    air: Air,
}

/// Where a satellite stands.
struct Place {
    /// From the Earth's centre on Earth-fixed axes.
    earth_fixed_km: Vec3,
    altitude: Angle,
    azimuth: Angle,
}

/// All passes in a window (within the span of `sky`) of which something is seen higher than 10 degrees, in order.
///
/// Places are those of SGP4 at the instant itself: light time and aberration, 5 arcseconds for a low satellite, are left
/// out; a kilometre of the theory is 3 minutes of arc overhead. The shadow has the Earth's ellipsoid for its edge and the
/// middle of the Sun for its light, so that half of the Sun is hidden where it begins: a low satellite fades for some 8
/// seconds around. What the air bends into the shadow is left out.
pub fn satellite_passes(
    sky: &EveningSky<'_>,
    satellite: &Satellite,
    horizon: &Horizon,
    air: Air,
    window: Interval,
) -> Vec<Pass> {
    let way = Way { sky, satellite, horizon, air };
    let low_sun = EventKind::Altitude(-SUN_BELOW);
    let light = crossings(sky, &Source::Body(Body::Sun), &low_sun, window).above(window);
    let dark = light.gaps_in(window);
    let searched = dark.as_slice().iter().filter_map(|dark| {
        let start = dark.start().plus_seconds(-BEYOND_DARK_S).max(window.start());
        Interval::new(start, dark.end().plus_seconds(BEYOND_DARK_S).min(window.end()))
    });
    // Dusk and dawn may be nearer than that to each other's night.
    let searched = IntervalSet::from_intervals(searched);
    searched.as_slice().iter().flat_map(|searched| way.passes(*searched, &dark)).collect()
}

/// Where a satellite stands at an instant, with refraction; `None` where its theory gives no place.
pub fn satellite_point(
    sky: &EveningSky<'_>,
    satellite: &Satellite,
    air: Air,
    at: Instant,
) -> Option<PassPoint> {
    Way { sky, satellite, horizon: &Horizon::flat(), air }.point(at)
}

impl Way<'_> {
    fn passes(&self, searched: Interval, dark: &IntervalSet) -> Vec<Pass> {
        let up = stretches(searched, STEP_S, |at| self.over_horizon(at));
        up.as_slice().iter().filter_map(|up| self.pass(*up, dark)).collect()
    }

    fn pass(&self, up: Interval, dark: &IntervalSet) -> Option<Pass> {
        let lit = stretches(up, FINE_STEP_S, |at| self.over_shadow(at));
        let seen = lit.intersection(dark);
        let (seen, seen_highest) = seen
            .as_slice()
            .iter()
            .filter_map(|seen| Some((*seen, self.highest(*seen)?)))
            .max_by(|one, other| one.1.altitude.radians().total_cmp(&other.1.altitude.radians()))?;
        if seen_highest.altitude < LEAST_SEEN || seen.seconds() < LEAST_SEEN_S {
            return None;
        }
        let lit_edge = |at: Instant| at != up.start() && at != up.end();
        let edges = lit.as_slice();
        Some(Pass {
            rise: self.point(up.start())?,
            highest: self.highest(up)?,
            set: self.point(up.end())?,
            seen: (self.point(seen.start())?, self.point(seen.end())?),
            seen_highest,
            leaves_shadow: lit_edge(seen.start()) && edges.iter().any(|lit| lit.start() == seen.start()),
            enters_shadow: lit_edge(seen.end()) && edges.iter().any(|lit| lit.end() == seen.end()),
            age_days: self.satellite.age_days(seen_highest.at),
        })
    }

    fn place(&self, at: Instant) -> Option<Place> {
        let site = self.sky.place();
        let earth_fixed_km = self.sky.frame().teme_to_earth_fixed(at) * self.satellite.teme_km(at)?;
        let Vec3 { x: east, y: north, z: up } =
            site.east_north_up() * (earth_fixed_km - site.earth_fixed_km());
        let altitude = Angle::from_radians(up.atan2(east.hypot(north)));
        Some(Place {
            earth_fixed_km,
            altitude: altitude + refraction_saemundsson(altitude, self.air),
            azimuth: Angle::from_radians(east.atan2(north)).wrapped(),
        })
    }

    fn point(&self, at: Instant) -> Option<PassPoint> {
        let Place { altitude, azimuth, .. } = self.place(at)?;
        Some(PassPoint { at, altitude, azimuth })
    }

    /// Altitude above the profile; far below where the theory gives no place.
    fn over_horizon(&self, at: Instant) -> f64 {
        let over = |place: Place| (place.altitude - self.horizon.altitude(place.azimuth)).radians();
        self.place(at).map_or(-1.0, over)
    }

    /// How far the light of the Sun's middle passes above the Earth on its way to the satellite, in kilometres; below 0 in
    /// the shadow.
    fn over_shadow(&self, at: Instant) -> f64 {
        let Some(place) = self.place(at) else { return -1.0 };
        let site = self.sky.place();
        let sun = self.sky.at(at).sun();
        let sun_km = sun.distance_au.unwrap_or(1.0) * AU_KM;
        let to_sun_km = site.east_north_up().transposed() * (sun.east_north_up * sun_km)
            + site.earth_fixed_km()
            - place.earth_fixed_km;
        // Drawn out along the axis the ellipsoid is a ball, and a line stays a line.
        let drawn_out = |v: Vec3| Vec3::new(v.x, v.y, v.z / (1.0 - FLATTENING));
        let (satellite, towards) = (drawn_out(place.earth_fixed_km), drawn_out(to_sun_km).unit());
        let along = satellite.dot(towards);
        // The nearest point of the way lies towards the Sun only from the night side.
        let nearest = if along < 0.0 { satellite - towards * along } else { satellite };
        nearest.length() - EQUATORIAL_RADIUS_KM
    }

    fn highest(&self, stretch: Interval) -> Option<PassPoint> {
        let altitude = |at_s: f64| {
            let place = self.place(stretch.start().plus_seconds(at_s));
            place.map_or(-1.0, |place| place.altitude.radians())
        };
        let samples = sample(altitude, stretch.seconds(), STEP_S);
        let best = samples.iter().enumerate().max_by(|one, other| one.1.value.total_cmp(&other.1.value))?.0;
        let low_s = samples[best.saturating_sub(1)].at_s;
        let high_s = samples.get(best + 1).map_or(samples[best].at_s, |next| next.at_s);
        let top = maximum(altitude, low_s, high_s, TOLERANCE_S);
        // At an end of the stretch the sample itself is the highest.
        let at_s = if top.value >= samples[best].value { top.at } else { samples[best].at_s };
        self.point(stretch.start().plus_seconds(at_s))
    }
}

/// The stretches of an interval in which a function of time is above 0.
fn stretches(whole: Interval, step_s: f64, value: impl Fn(Instant) -> f64) -> IntervalSet {
    let at = |at_s: f64| value(whole.start().plus_seconds(at_s));
    let samples = sample(at, whole.seconds(), step_s);
    let changes = sign_changes(&at, &samples);
    let mut from = samples.first().is_some_and(|first| first.value > 0.0).then_some(whole.start());
    let mut found = Vec::new();
    for change in changes {
        let instant = whole.start().plus_seconds(change.at_s);
        match change.direction() {
            Direction::Up => from = Some(instant),
            Direction::Down => found.extend(from.take().and_then(|from| Interval::new(from, instant))),
        }
    }
    found.extend(from.and_then(|from| Interval::new(from, whole.end())));
    IntervalSet::from_intervals(found)
}
