//! The Moon's phase as an angle: its geocentric longitude from the Sun.

use sofars::coords::ecm06;

use super::EveningSky;
use super::light::{SPEED_OF_LIGHT_KM_PER_S, aberrated};
use crate::ephemeris::Body;
use crate::maths::Mat3;
use crate::time::Instant;
use crate::units::Angle;

/// Geocentric apparent ecliptic longitude of the Moon minus that of the Sun, from 0 to a full turn: 0 at new
/// Moon, 90 degrees at first quarter, 180 at full Moon. Light time and aberration are in both. An instant
/// outside the span is taken at its nearer end.
///
/// Source: the definition of the principal phases (Explanatory Supplement to the Astronomical Almanac, 3rd
/// ed., section 11.2); ecliptic of date: IAU 2006, SOFA routine `iauEcm06`. Nutation moves both longitudes
/// alike.
pub fn moon_phase_longitude(sky: &EveningSky<'_>, instant: Instant) -> Angle {
    let instant = instant.clamp(sky.span().start(), sky.span().end());
    let tdb_s = instant.tdb_seconds();
    let (earth_km, earth_km_per_s, _) = sky.earth_and_sun_km(tdb_s);
    let velocity = earth_km_per_s * (1.0 / SPEED_OF_LIGHT_KM_PER_S);
    let inverse_lorentz = (1.0 - velocity.dot(velocity)).sqrt();
    let (day, part) = instant.julian_date_tt();
    let to_ecliptic = Mat3(ecm06(day, part));
    let longitude = |body| {
        let from_earth = |at_s| sky.body_and_sun_km(body, at_s).0 - earth_km;
        // Twice is enough: neither moves by more than 1e-4 of the way that light does.
        let first_s = from_earth(tdb_s).length() / SPEED_OF_LIGHT_KM_PER_S;
        let light_time_s = from_earth(tdb_s - first_s).length() / SPEED_OF_LIGHT_KM_PER_S;
        let direction = from_earth(tdb_s - light_time_s).unit();
        (to_ecliptic * aberrated(direction, velocity, inverse_lorentz)).spherical().0
    };
    (longitude(Body::Moon) - longitude(Body::Sun)).wrapped()
}
