//! The sky of fixed places at an instant: a small value that outlives the ephemeris it was made from.

use super::light::{SunToObserver, aberrated, bent_by_the_sun};
use super::{Observed, StarPlace};
use crate::maths::{Mat3, Vec3};
use crate::time::Instant;
use crate::units::Angle;

/// All that site and instant decide about where a fixed place stands; from
/// [`ObserverAt::fixed_sky`](super::ObserverAt::fixed_sky).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FixedSky {
    pub(super) instant: Instant,
    /// In units of the speed of light, with the turning Earth.
    pub(super) velocity: Vec3,
    pub(super) inverse_lorentz: f64,
    pub(super) sun_to_observer: SunToObserver,
    pub(super) icrs_to_true_of_date: Mat3,
    pub(super) icrs_to_east_north_up: Mat3,
    /// Sine and cosine of the geodetic latitude.
    pub(super) latitude_sin_cos: (f64, f64),
}

impl FixedSky {
    /// Where a fixed place stands.
    pub fn observe(&self, star: &StarPlace) -> Observed {
        self.observed(self.apparent(star.direction(self.instant)), None)
    }

    /// A unit vector on ICRS axes, bent by the Sun and aberrated.
    pub(super) fn apparent(&self, icrs: Vec3) -> Vec3 {
        let bent = bent_by_the_sun(icrs, icrs, self.sun_to_observer);
        aberrated(bent, self.velocity, self.inverse_lorentz)
    }

    /// Where an apparent direction on ICRS axes stands.
    pub(super) fn observed(&self, apparent: Vec3, distance_au: Option<f64>) -> Observed {
        let (right_ascension, declination) = (self.icrs_to_true_of_date * apparent).spherical();
        let east_north_up = self.icrs_to_east_north_up * apparent;
        let Vec3 { x: east, y: north, z: up } = east_north_up;
        let (sin_latitude, cos_latitude) = self.latitude_sin_cos;
        // On axes meridian, east, pole: the same vector turned about east by the latitude.
        let meridian = up * cos_latitude - north * sin_latitude;
        let pole = up * sin_latitude + north * cos_latitude;
        // tan q = sin H / (tan phi cos delta - sin delta cos H), times cos phi cos delta above and below
        let parallactic_angle = (-east * cos_latitude).atan2(sin_latitude - pole * up);
        Observed {
            right_ascension,
            declination,
            hour_angle: Angle::from_radians((-east).atan2(meridian)),
            altitude: Angle::from_radians(up.atan2((east * east + north * north).sqrt())),
            azimuth: Angle::from_radians(east.atan2(north)).wrapped(),
            parallactic_angle: Angle::from_radians(parallactic_angle),
            distance_au,
            east_north_up,
        }
    }
}
