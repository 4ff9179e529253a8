//! The Sun's share of the sky light after sunset.
use crate::units::Angle;
/// Twilight.
pub fn twilight_nl(_sun_altitude: Angle) -> f64 {
    todo!()
}
