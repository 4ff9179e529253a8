//! The Moon's share of the sky light.
use crate::units::Angle;
/// Moonlight.
pub fn moonlight_nl(
    _phase_angle: Angle,
    _separation: Angle,
    _moon_zenith: Angle,
    _zenith: Angle,
    _k: f64,
) -> f64 {
    todo!()
}
