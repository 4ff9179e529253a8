//! Moon and Sun from the Earth's centre, and the Moon's phase as an angle: its longitude from the Sun.

use sofars::coords::ecm06;

use super::light::aberrated;
use super::tracks::moon_and_sun_km;
use super::{EveningSky, OutsideSpan, check_span};
use crate::ephemeris::{Ephemeris, SPEED_OF_LIGHT_KM_PER_S};
use crate::maths::{Mat3, Vec3};
use crate::time::{Instant, Interval};
use crate::units::Angle;

/// Geocentric apparent ecliptic longitude of the Moon minus that of the Sun, from 0 to a full turn: 0 at new
/// Moon, 90 degrees at first quarter, 180 at full Moon. Light time and aberration are in both. An instant
/// outside the span is taken at its nearer end.
///
/// Source: the definition of the principal phases (Explanatory Supplement to the Astronomical Almanac, 3rd
/// ed., section 11.2); ecliptic of date: IAU 2006, SOFA routine `iauEcm06`. Nutation moves both longitudes
/// alike.
pub fn moon_phase_longitude(sky: &EveningSky<'_>, instant: Instant) -> Angle {
    phase_longitude(sky.ephemeris(), instant.clamp(sky.span().start(), sky.span().end()))
}

/// [`moon_phase_longitude`] at any instant of a window of any length, for which no site is needed.
///
/// # Errors
/// When part of the window is outside the years of the ephemeris.
pub fn moon_phase_course(
    ephemeris: &Ephemeris,
    window: Interval,
) -> Result<impl Fn(Instant) -> Angle, OutsideSpan> {
    check_span(ephemeris, window)?;
    Ok(move |instant: Instant| phase_longitude(ephemeris, instant.clamp(window.start(), window.end())))
}

fn phase_longitude(ephemeris: &Ephemeris, instant: Instant) -> Angle {
    let MoonAndSun { moon_km, sun_km } = MoonAndSun::at(ephemeris, instant);
    let (day, part) = instant.julian_date_tt();
    let to_ecliptic = Mat3(ecm06(day, part));
    let [moon, sun] = [moon_km, sun_km].map(|from_earth| (to_ecliptic * from_earth).spherical().0);
    (moon - sun).wrapped()
}

/// Moon and Sun from the Earth's centre in kilometres on ICRS axes, light time and aberration in the
/// directions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoonAndSun {
    /// To the Moon.
    pub moon_km: Vec3,
    /// To the Sun.
    pub sun_km: Vec3,
}

impl MoonAndSun {
    fn at(ephemeris: &Ephemeris, instant: Instant) -> Self {
        let (moon_and_sun, earth_km_per_s) = moon_and_sun_km(ephemeris, instant);
        let velocity = earth_km_per_s * (1.0 / SPEED_OF_LIGHT_KM_PER_S);
        let inverse_lorentz = (1.0 - velocity.dot(velocity)).sqrt();
        let [moon_km, sun_km] = moon_and_sun
            .map(|from_earth| aberrated(from_earth.unit(), velocity, inverse_lorentz) * from_earth.length());
        Self { moon_km, sun_km }
    }
}

/// [`MoonAndSun`] at any instant of a window of any length.
///
/// # Errors
/// When part of the window is outside the years of the ephemeris.
pub fn moon_and_sun_course(
    ephemeris: &Ephemeris,
    window: Interval,
) -> Result<impl Fn(Instant) -> MoonAndSun, OutsideSpan> {
    check_span(ephemeris, window)?;
    Ok(move |instant: Instant| MoonAndSun::at(ephemeris, instant.clamp(window.start(), window.end())))
}
