//! Earth, Sun, Moon and planets through one span as short polynomials, light time in them.
//!
//! A body's track is where it stood when the light left it that reaches the Earth's centre at the instant: no
//! iteration is left to the observer, who corrects for the 21 ms at most by which the light is earlier or
//! later at the site. Against the ephemeris itself: within 5e-5 arcseconds of direction, proved by
//! `tracks_are_those_of_the_ephemeris` in this file; that is the Moon, for which the plain way loses as much
//! by the rounding of seconds since J2000.0 while the Earth runs 30 km in each.

use crate::ephemeris::{Body, EARTH_MOON_MASS_RATIO, Ephemeris, SPEED_OF_LIGHT_KM_PER_S, Series};
use crate::maths::{CURVE_POINTS, ChebyshevCurve, Vec3};
use crate::time::{Instant, Interval};

/// All tracks of a span, in stretches of equal length.
#[derive(Clone, Debug)]
pub(super) struct Tracks {
    start: Instant,
    stretch_s: f64,
    stretches: Vec<Stretch>,
}

/// The tracks through one stretch; kilometres and kilometres a second on ICRS axes.
#[derive(Clone, Debug)]
pub(super) struct Stretch {
    earth_from_sun: ChebyshevCurve,
    /// Earth's centre from the barycentre of the Solar System.
    earth_velocity: ChebyshevCurve,
    /// From the same, in the middle of the stretch; it turns by 1e-7 km/s in a day.
    sun_velocity: Vec3,
    /// In the order of [`Body::ALL`].
    bodies: [Track; Body::ALL.len()],
}

#[derive(Clone, Debug)]
struct Track {
    /// From the Earth's centre now to the body as its light left it.
    from_earth: ChebyshevCurve,
    /// Of the body, from the barycentre of the Solar System, as its light left it. Three terms leave 0.0001
    /// km/s, of which 21 ms are asked for.
    velocity: ChebyshevCurve<3>,
}

/// An instant on the tracks.
#[derive(Clone, Copy, Debug)]
pub(super) struct OnTracks<'t> {
    stretch: &'t Stretch,
    /// From -1 to 1 along the stretch.
    x: f64,
}

/// A body as the light left it that reaches the Earth's centre.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen {
    pub from_earth_km: Vec3,
    pub km_per_s: Vec3,
}

/// Longest stretch: a night of 25 hours is one.
const STRETCH_S: f64 = 26.0 * 3600.0;

impl Tracks {
    /// Prepares a span that lies inside the ephemeris with six hours to spare.
    pub fn new(ephemeris: &Ephemeris, span: Interval) -> Self {
        let count = (span.seconds() / STRETCH_S).ceil().max(1.0);
        // An empty span still has its one instant.
        let stretch_s = (span.seconds() / count).max(1.0);
        let stretches = (0..count as u32)
            .map(|index| {
                let middle = span.start().plus_seconds((f64::from(index) + 0.5) * stretch_s);
                Stretch::new(ephemeris, middle, stretch_s / 2.0)
            })
            .collect();
        Self { start: span.start(), stretch_s, stretches }
    }

    /// At an instant of the span.
    pub fn at(&self, instant: Instant) -> OnTracks<'_> {
        let along = instant.seconds_since(self.start) / self.stretch_s;
        let index = (along as usize).min(self.stretches.len() - 1);
        OnTracks { stretch: &self.stretches[index], x: 2.0 * (along - index as f64) - 1.0 }
    }
}

impl OnTracks<'_> {
    /// The Earth's centre from the Sun's.
    pub fn earth_from_sun_km(self) -> Vec3 {
        self.stretch.earth_from_sun.at(self.x)
    }

    /// The Earth's centre from the barycentre of the Solar System.
    pub fn earth_km_per_s(self) -> Vec3 {
        self.stretch.earth_velocity.at(self.x)
    }

    /// The Sun from the barycentre of the Solar System.
    pub fn sun_km_per_s(self) -> Vec3 {
        self.stretch.sun_velocity
    }

    /// A body.
    pub fn seen(self, body: Body) -> Seen {
        let track = &self.stretch.bodies[body as usize];
        Seen { from_earth_km: track.from_earth.at(self.x), km_per_s: track.velocity.at(self.x) }
    }
}

impl Stretch {
    fn new(ephemeris: &Ephemeris, middle: Instant, half_s: f64) -> Self {
        // TDB runs straight enough through a day: its year's wave of 1.7 ms bends by 0.1 microseconds.
        let [first_s, last_s] = [-1.0, 1.0].map(|x| middle.plus_seconds(x * half_s).tdb_seconds());
        let nodes: [Node; CURVE_POINTS] = ChebyshevCurve::nodes()
            .map(|x| Node::new(ephemeris, f64::midpoint(first_s, last_s) + x * 0.5 * (last_s - first_s)));
        let curve = |point: &dyn Fn(&Node) -> Vec3| {
            let mut points = [Vec3::default(); CURVE_POINTS];
            for (point_there, node) in points.iter_mut().zip(&nodes) {
                *point_there = point(node);
            }
            ChebyshevCurve::through(&points)
        };
        let bodies = Body::ALL.map(|body| {
            let mut light_time_s = 0.0;
            let seen = nodes.each_ref().map(|node| {
                let (seen, light_s) = node.seen(ephemeris, body, light_time_s);
                light_time_s = light_s;
                seen
            });
            Track {
                from_earth: ChebyshevCurve::through(&seen.map(|seen| seen.from_earth_km)),
                velocity: ChebyshevCurve::through(&seen.map(|seen| seen.km_per_s)),
            }
        });
        Self {
            earth_from_sun: curve(&|node| node.earth.0 - node.sun.0),
            earth_velocity: curve(&|node| node.earth.1),
            sun_velocity: nodes[CURVE_POINTS / 2].sun.1,
            bodies,
        }
    }
}

/// Place in kilometres and velocity in kilometres a second.
type State = (Vec3, Vec3);

/// Sun and Earth from the barycentre of the Solar System at one instant.
struct Node {
    tdb_s: f64,
    sun: State,
    earth: State,
}

impl Node {
    fn new(ephemeris: &Ephemeris, tdb_s: f64) -> Self {
        let sun = state(ephemeris, Series::SunFromBarycentre, tdb_s);
        let barycentre = state(ephemeris, Series::EarthMoonBarycentre, tdb_s);
        let moon = state(ephemeris, Series::MoonFromEarth, tdb_s);
        // The barycentre divides the line from Earth to Moon by their masses.
        let share = 1.0 / (1.0 + EARTH_MOON_MASS_RATIO);
        let earth = (sun.0 + barycentre.0 - moon.0 * share, sun.1 + barycentre.1 - moon.1 * share);
        Self { tdb_s, sun, earth }
    }

    /// A body and its light time in seconds, from a guess of that.
    fn seen(&self, ephemeris: &Ephemeris, body: Body, guess_s: f64) -> (Seen, f64) {
        let mut light_time_s = guess_s;
        loop {
            let (place, velocity) = self.body(ephemeris, body, light_time_s);
            let from_earth = place - self.earth.0;
            let distance_km = from_earth.length();
            // One step of Newton's rule: in dt more the light comes from dt v further back.
            let towards = from_earth.dot(velocity) / (distance_km * SPEED_OF_LIGHT_KM_PER_S);
            let late_s = (distance_km / SPEED_OF_LIGHT_KM_PER_S - light_time_s) / (1.0 + towards);
            light_time_s += late_s;
            // In two seconds no body leaves its tangent by more than 0.1 metres (Mercury: 4e-5 km/s^2).
            if late_s.abs() < 2.0 {
                let seen = Seen { from_earth_km: from_earth - velocity * late_s, km_per_s: velocity };
                return (seen, light_time_s);
            }
        }
    }

    /// From the barycentre of the Solar System, a light time ago. The Sun is led back on its tangent, which
    /// it leaves by 30 metres in the four hours of Neptune.
    fn body(&self, ephemeris: &Ephemeris, body: Body, light_time_s: f64) -> State {
        let at = |series| state(ephemeris, series, self.tdb_s - light_time_s);
        let (from_sun, velocity) = match body {
            Body::Sun => State::default(),
            // The Earth of 1.3 s ago is led back on its tangent too, which it leaves by 5 millimetres.
            Body::Moon => {
                let moon = at(Series::MoonFromEarth);
                return (self.earth.0 - self.earth.1 * light_time_s + moon.0, self.earth.1 + moon.1);
            }
            Body::Mercury => at(Series::Mercury),
            Body::Venus => at(Series::Venus),
            Body::Mars => at(Series::Mars),
            Body::Jupiter => at(Series::Jupiter),
            Body::Saturn => at(Series::Saturn),
            Body::Uranus => at(Series::Uranus),
            Body::Neptune => at(Series::Neptune),
        };
        (self.sun.0 - self.sun.1 * light_time_s + from_sun, self.sun.1 + velocity)
    }
}

/// A geocentric look at Moon and Sun at one instant, for what needs no site: directions from the Earth's
/// centre as their light left them, and the Earth's velocity in kilometres a second.
pub(super) fn moon_and_sun_km(ephemeris: &Ephemeris, instant: Instant) -> ([Vec3; 2], Vec3) {
    let node = Node::new(ephemeris, instant.tdb_seconds());
    // The Moon's light takes 1.3 s, the Sun's 500.
    let moon = node.seen(ephemeris, Body::Moon, 1.3).0.from_earth_km;
    let sun = node.seen(ephemeris, Body::Sun, 500.0).0.from_earth_km;
    ([moon, sun], node.earth.1)
}

fn state(ephemeris: &Ephemeris, series: Series, tdb_s: f64) -> State {
    let (place, velocity) = ephemeris
        .place_and_velocity(series, tdb_s)
        .expect("the span was checked to lie inside the ephemeris with hours to spare");
    (Vec3::from_array(place), Vec3::from_array(velocity))
}

#[cfg(test)]
mod tests {
    use super::{Node, Tracks};
    use crate::ephemeris::{Body, Ephemeris, SPEED_OF_LIGHT_KM_PER_S};
    use crate::time::{Instant, Interval};

    #[test]
    fn tracks_are_those_of_the_ephemeris() {
        let pack = include_bytes!("../../../assets/ephemeris/planets.pack");
        let ephemeris = Ephemeris::from_bytes(pack).unwrap();
        let (mut direction, mut distance_km, mut velocity_km_s): (f64, f64, f64) = (0.0, 0.0, 0.0);
        for start_s in (0..40).map(|night| f64::from(night) * 1.1e8 - 1.4e9) {
            let start = Instant::J2000.plus_seconds(start_s);
            let span = Interval::new(start, start.plus_minutes(60.0 * 51.0)).unwrap();
            let tracks = Tracks::new(&ephemeris, span);
            for step in 0..=17 {
                let instant = start.plus_minutes(180.0 * f64::from(step));
                let on_tracks = tracks.at(instant);
                let node = Node::new(&ephemeris, instant.tdb_seconds());
                for body in Body::ALL {
                    // Light time by plain repetition, every place straight from the pack.
                    let mut from_earth = node.earth.0;
                    for _ in 0..8 {
                        let light_time_s = from_earth.length() / SPEED_OF_LIGHT_KM_PER_S;
                        let then = Node::new(&ephemeris, instant.tdb_seconds() - light_time_s);
                        from_earth = then.body(&ephemeris, body, 0.0).0 - node.earth.0;
                    }
                    let got = on_tracks.seen(body).from_earth_km;
                    direction = direction.max(got.angle_to(from_earth).arcseconds());
                    distance_km = distance_km.max((got.length() - from_earth.length()).abs());
                }
                velocity_km_s = velocity_km_s.max((on_tracks.earth_km_per_s() - node.earth.1).length());
            }
        }
        assert!(direction < 5e-5, "direction off by {direction} arcsec");
        assert!(distance_km < 0.05, "distance off by {distance_km} km");
        assert!(velocity_km_s < 1e-8, "velocity off by {velocity_km_s} km/s");
    }
}
