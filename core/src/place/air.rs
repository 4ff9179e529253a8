//! What the air does: refraction and airmass, each with its range and accuracy.

use crate::units::Angle;

/// The air at the site, for refraction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Pressure at the site (not reduced to sea level), in hectopascals.
    pub pressure_hpa: f64,
    /// Temperature, in degrees Celsius.
    pub temperature_c: f64,
}

impl Air {
    /// The conditions of the published refraction formula: 1010 hPa, 10 °C.
    pub const STANDARD: Self = Self { pressure_hpa: 1010.0, temperature_c: 10.0 };
}

/// Refraction to be added to an airless altitude.
pub fn refraction_saemundsson(airless_altitude: Angle, air: Air) -> Angle {
    todo!()
}

/// Airmass by apparent (refracted) altitude; `None` below the horizon.
pub fn airmass_kasten_young(apparent_altitude: Angle) -> Option<f64> {
    todo!()
}
