//! Jupiter as a telescope shows it: the disc, where its four large moons stand, what hides whom.

use crate::ephemeris::{Body, JupiterMoon, SPEED_OF_LIGHT_KM_PER_S, jupiter_pole};
use crate::maths::Vec3;
use crate::time::Instant;
use crate::units::Angle;

/// Polar over equatorial radius, 66 854 km over 71 492 km: Archinal et al. 2018, Celestial Mechanics and
/// Dynamical Astronomy 130, 22, table 4.
const POLAR_RADIUS: f64 = 66_854.0 / 71_492.0;

/// Jupiter's disc and its four large moons, seen from one place at one instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JupiterSystem {
    /// Half the apparent diameter along the equator.
    pub equatorial_radius: Angle,
    /// The same from pole to pole, as seen: the tilt makes it a little longer than the polar radius.
    pub polar_radius: Angle,
    /// Of the north pole's projection, from celestial north of date through east, 0 to a full turn.
    pub pole_position_angle: Angle,
    /// Planetocentric latitude of the middle of the disc.
    pub sub_observer_latitude: Angle,
    /// From the innermost outwards, as [`JupiterMoon::ALL`].
    pub moons: [MoonOfJupiter; 4],
}

/// One of the four moons, by the light that arrives with Jupiter's. Its middle counts: it takes up to 4
/// minutes (Io) or 7 (Callisto) over an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoonOfJupiter {
    /// Which one.
    pub moon: JupiterMoon,
    /// East of Jupiter's centre in the plane that touches the sky there (gnomonic), true equator of date.
    pub east: Angle,
    /// North of it in the same plane.
    pub north: Angle,
    /// Along the projected equator to the east side, in Jupiter's equatorial radii at Jupiter's distance.
    pub x: f64,
    /// Along the projected axis to Jupiter's north, in the same unit.
    pub y: f64,
    /// How much nearer to us than Jupiter's centre, in the same unit.
    pub z: f64,
    /// Before, behind or beside the disc.
    pub against_disc: AgainstDisc,
    /// In Jupiter's shadow: from the moon, the Sun's centre stands behind Jupiter.
    pub eclipsed: bool,
    /// Where on the disc the middle of the moon's shadow is seen, as `x` and `y`; `None` when it misses
    /// Jupiter or falls on the far side.
    pub shadow: Option<(f64, f64)>,
}

/// Where a moon stands against Jupiter's disc.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AgainstDisc {
    /// Beside it.
    Beside,
    /// Before it: a transit.
    InFront,
    /// Behind it: an occultation.
    Behind,
}

/// Jupiter as its light left it.
#[derive(Clone, Copy, Debug)]
pub(super) struct JupiterAt {
    /// When the light arrives.
    pub instant: Instant,
    pub from_observer_km: Vec3,
    pub from_sun_km: Vec3,
    pub km_per_s: Vec3,
}

impl JupiterSystem {
    /// `apparent` turns a unit vector on ICRS axes into one on the true equator of date, with aberration.
    /// Bending by the Sun is not in it: beyond 20 degrees from the Sun it changes offsets by less than 0.0002
    /// arcseconds.
    pub(super) fn new(jupiter: &JupiterAt, apparent: impl Fn(Vec3) -> Vec3) -> Self {
        let sight_km = jupiter.from_observer_km;
        let pole = jupiter_pole(jupiter.instant, sight_km);
        let from_us = View::new(sight_km, pole);
        let from_sun = View::new(jupiter.from_sun_km, pole);
        let sky = Tangent::at(apparent(sight_km.unit()));
        let offsets = |from_jupiter_km: Vec3| sky.offsets(apparent((sight_km + from_jupiter_km).unit()));
        let moons = JupiterMoon::ALL.map(|moon| {
            let from_jupiter_km = as_seen_km(moon, jupiter);
            let (east, north) = offsets(from_jupiter_km);
            let (x, y, z) = from_us.project(from_jupiter_km * (1.0 / RADIUS_KM));
            let against_disc = match from_us.outline_holds(x, y) {
                true if z > 0.0 => AgainstDisc::InFront,
                true => AgainstDisc::Behind,
                false => AgainstDisc::Beside,
            };
            let (x_from_sun, y_from_sun, sunwards) = from_sun.project(from_jupiter_km * (1.0 / RADIUS_KM));
            let eclipsed = sunwards < 0.0 && from_sun.outline_holds(x_from_sun, y_from_sun);
            let shadow = shadow(moon, jupiter, from_us, from_sun);
            MoonOfJupiter { moon, east, north, x, y, z, against_disc, eclipsed, shadow }
        });
        // A step along the axis, turned as the sky is: the pole itself may lie behind the disc.
        let (east, north) = offsets(from_us.north * 1000.0);
        let equatorial_radius = Angle::from_radians((RADIUS_KM / sight_km.length()).asin());
        Self {
            equatorial_radius,
            polar_radius: equatorial_radius * from_us.polar_radius,
            pole_position_angle: Angle::from_radians(east.radians().atan2(north.radians())).wrapped(),
            sub_observer_latitude: Angle::from_radians((-pole.dot(from_us.away)).asin()),
            moons,
        }
    }
}

/// From Jupiter as its light left it to a moon as its own light did, which is seconds earlier or later.
fn as_seen_km(moon: JupiterMoon, jupiter: &JupiterAt) -> Vec3 {
    let distance_km = jupiter.from_observer_km.length();
    let departure = departure(jupiter);
    let mut later_s = 0.0;
    let mut from_jupiter_km = Vec3::default();
    // Each round leaves a ten thousandth of the last one's error, the speed over that of light.
    for _ in 0..3 {
        let then = departure.plus_seconds(later_s);
        from_jupiter_km = moon.from_jupiter_km(then) + jupiter.km_per_s * later_s;
        let moon_km = (jupiter.from_observer_km + from_jupiter_km).length();
        later_s = (distance_km - moon_km) / SPEED_OF_LIGHT_KM_PER_S;
    }
    from_jupiter_km
}

/// When Jupiter's light left.
fn departure(jupiter: &JupiterAt) -> Instant {
    jupiter.instant.plus_seconds(-jupiter.from_observer_km.length() / SPEED_OF_LIGHT_KM_PER_S)
}

/// Where on the disc a moon's shadow is seen: where the line from the Sun's centre through the moon meets the
/// flattened globe, if that is on our side.
///
/// The moon is taken when the light passed it that is missing on Jupiter's face. Left out: aberration of
/// sunlight on Jupiter, 0.001 radii at Callisto.
fn shadow(moon: JupiterMoon, jupiter: &JupiterAt, from_us: View, from_sun: View) -> Option<(f64, f64)> {
    let falls = departure(jupiter);
    let passes_s = (moon.from_jupiter_km(falls).length() - RADIUS_KM) / SPEED_OF_LIGHT_KM_PER_S;
    let from_jupiter = moon.from_jupiter_km(falls.plus_seconds(-passes_s)) * (1.0 / RADIUS_KM);
    let ray = (from_sun.away * from_sun.distance + from_jupiter).unit();
    // On axes stretched along the poles the globe is a ball of radius 1: |m + s u| = 1, the nearer root s.
    let (m, u) = (from_us.stretched(from_jupiter), from_us.stretched(ray));
    let (uu, mu, mm) = (u.dot(u), m.dot(u), m.dot(m));
    let discriminant = mu * mu - uu * (mm - 1.0);
    if discriminant < 0.0 || mu > 0.0 {
        // The line misses Jupiter, or the moon is beyond it.
        return None;
    }
    let s = (-mu - discriminant.sqrt()) / uu;
    let place = from_jupiter + ray * s;
    // Stretched twice, a place on the globe is the direction of its zenith.
    let zenith = from_us.stretched(from_us.stretched(place));
    let (x, y, _) = from_us.project(place);
    (zenith.dot(from_us.away * from_us.distance + place) < 0.0).then_some((x, y))
}

const RADIUS_KM: f64 = Body::Jupiter.radius_km();

/// Jupiter looked at from afar; lengths in its equatorial radii.
#[derive(Clone, Copy, Debug)]
struct View {
    /// From the eye to Jupiter's centre.
    away: Vec3,
    distance: f64,
    pole: Vec3,
    /// Along the projected equator, to the side that is celestial east.
    east: Vec3,
    /// Along the projected axis.
    north: Vec3,
    /// Of the outline.
    polar_radius: f64,
}

impl View {
    fn new(from_eye_km: Vec3, pole: Vec3) -> Self {
        let away = from_eye_km.unit();
        let sine = pole.dot(away);
        let north = (pole - away * sine).unit();
        Self {
            away,
            distance: from_eye_km.length() / RADIUS_KM,
            pole,
            east: north.cross(away),
            north,
            // b' = sqrt(b^2 cos^2 B + a^2 sin^2 B): the outline of a flattened globe seen from latitude B
            polar_radius: (POLAR_RADIUS * POLAR_RADIUS * (1.0 - sine * sine) + sine * sine).sqrt(),
        }
    }

    /// East, north and towards the eye: in perspective on the plane through the centre.
    fn project(self, from_centre: Vec3) -> (f64, f64, f64) {
        let further = from_centre.dot(self.away);
        let scale = self.distance / (self.distance + further);
        (from_centre.dot(self.east) * scale, from_centre.dot(self.north) * scale, -further)
    }

    fn outline_holds(self, x: f64, y: f64) -> bool {
        x.hypot(y / self.polar_radius) < 1.0
    }

    /// On axes stretched along the pole so that the flattened globe is a ball.
    fn stretched(self, v: Vec3) -> Vec3 {
        v + self.pole * (v.dot(self.pole) * (1.0 / POLAR_RADIUS - 1.0))
    }
}

/// The plane that touches the sky at a direction.
#[derive(Clone, Copy, Debug)]
struct Tangent {
    centre: Vec3,
    east: Vec3,
    north: Vec3,
}

impl Tangent {
    fn at(centre: Vec3) -> Self {
        let east = Vec3::new(-centre.y, centre.x, 0.0).unit();
        Self { centre, east, north: centre.cross(east) }
    }

    /// Gnomonic offsets to the east and to the north.
    fn offsets(self, direction: Vec3) -> (Angle, Angle) {
        let along = direction.dot(self.centre);
        let offset = |axis: Vec3| Angle::from_radians(direction.dot(axis) / along);
        (offset(self.east), offset(self.north))
    }
}
