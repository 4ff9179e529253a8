//! A comet by its elements: where it is from the Sun, and how bright it may be.

use std::fmt;

use super::two_body::from_perihelion;
use crate::ephemeris::AU_KM;
use crate::maths::{Mat3, Vec3};
use crate::time::Instant;
use crate::units::{Angle, Magnitude};

/// Elements of a comet more days than this from their epoch place it less well than a finder needs: the planets pull it.
/// Common practice, no source.
pub const COMET_STALE_DAYS: f64 = 100.0;

/// Osculating elements in perihelion form, on the ecliptic and equinox of J2000.0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CometElements {
    /// When it passes its perihelion (TT).
    pub perihelion: Instant,
    /// Distance at perihelion, in astronomical units.
    pub perihelion_distance_au: f64,
    /// Eccentricity; 1 for a parabola.
    pub eccentricity: f64,
    /// Inclination, in degrees.
    pub inclination_deg: f64,
    /// Longitude of the ascending node, in degrees.
    pub ascending_node_deg: f64,
    /// Argument of perihelion, in degrees.
    pub perihelion_argument_deg: f64,
    /// The epoch at which the elements osculate; `None` when not told.
    pub epoch: Option<Instant>,
    /// Total magnitude at 1 au from Sun and Earth.
    pub magnitude_h: Option<f64>,
    /// How it brightens towards the Sun: `n` in `2.5 n log r`. Usual: 4.
    pub slope_n: f64,
}

/// Why numbers are no elements of a comet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CometFault {
    /// The key in a catalogue.
    pub key: &'static str,
    /// What it may be.
    pub expected: &'static str,
}

impl fmt::Display for CometFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} must be {}", self.key, self.expected)
    }
}

impl std::error::Error for CometFault {}

/// Heliocentric gravitational constant in cubic kilometres over seconds squared: JPL DE440 (Park et al. 2021, AJ 161, 105).
const GM_SUN_KM3_PER_S2: f64 = 1.327_124_400_412_794_2e11;

/// Obliquity of the ecliptic of J2000.0 by which elements are referred to it: 84381.448" (IAU 1976).
const OBLIQUITY: Angle = Angle::from_arcseconds(84_381.448);

impl CometElements {
    /// The usual slope.
    pub const USUAL_SLOPE_N: f64 = 4.0;

    /// The first number that is out of range, if one is.
    pub fn fault(&self) -> Option<CometFault> {
        let Self { perihelion_distance_au: q, eccentricity: e, .. } = *self;
        let turn = -360.0..=360.0;
        [
            (
                "perihelion_distance_au",
                (0.001..=100.0).contains(&q),
                "a distance in astronomical units from 0.001 to 100",
            ),
            ("eccentricity", (0.0..=20.0).contains(&e), "an eccentricity from 0 to 20"),
            (
                "inclination_deg",
                (0.0..=180.0).contains(&self.inclination_deg),
                "an inclination from 0 to 180 degrees",
            ),
            (
                "ascending_node_deg",
                turn.contains(&self.ascending_node_deg),
                "an angle from -360 to 360 degrees",
            ),
            (
                "perihelion_argument_deg",
                turn.contains(&self.perihelion_argument_deg),
                "an angle from -360 to 360 degrees",
            ),
            (
                "magnitude_h",
                self.magnitude_h.is_none_or(|h| (-10.0..=30.0).contains(&h)),
                "a magnitude from -10 to 30",
            ),
            ("slope_n", (0.0..=40.0).contains(&self.slope_n), "a slope from 0 to 40"),
        ]
        .into_iter()
        .find(|(_, good, _)| !good)
        .map(|(key, _, expected)| CometFault { key, expected })
    }

    /// From the Sun's centre on ICRS axes, in kilometres, at seconds of TDB since J2000.0; the null vector where the
    /// numbers are beyond a float (none that [`Self::fault`] lets through are).
    ///
    /// By two bodies alone: the pull of the planets moves a comet by minutes of arc within some months of the epoch.
    pub fn from_sun_km(&self, tdb_s: f64) -> Vec3 {
        let since_s = tdb_s - self.perihelion.tdb_seconds();
        let q_km = self.perihelion_distance_au * AU_KM;
        let Some(place) = from_perihelion(GM_SUN_KM3_PER_S2, q_km, self.eccentricity, since_s) else {
            return Vec3::default();
        };
        // Out of the plane: by the argument of perihelion, the inclination, the node, the obliquity, each axis turned back.
        let turned = Mat3::rotation_x(-OBLIQUITY)
            * Mat3::rotation_z(Angle::from_degrees(-self.ascending_node_deg))
            * Mat3::rotation_x(Angle::from_degrees(-self.inclination_deg))
            * Mat3::rotation_z(Angle::from_degrees(-self.perihelion_argument_deg));
        turned * Vec3::new(place.along_perihelion, place.ahead, 0.0)
    }

    /// Total magnitude at distances from Sun and observer; a guess by nature: comets differ from it by a magnitude and more.
    pub fn magnitude(&self, from_sun_au: f64, from_observer_au: f64) -> Option<Magnitude> {
        // m1 = H + 5 log Delta + 2.5 n log r
        let distances = 5.0 * from_observer_au.log10() + 2.5 * self.slope_n * from_sun_au.log10();
        self.magnitude_h.map(|h| Magnitude(h + distances)).filter(|magnitude| magnitude.0.is_finite())
    }

    /// Days between an instant and the epoch of the elements.
    pub fn age_days(&self, at: Instant) -> Option<f64> {
        self.epoch.map(|epoch| (at.seconds_since(epoch) / 86_400.0).abs())
    }
}
