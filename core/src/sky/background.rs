//! The sum of all light in a direction.

use crate::place::Observed;
use crate::site::Site;
use crate::units::{Angle, SurfaceBrightness};

/// The background in one direction, and its parts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SkyLight {
    /// Everything together.
    pub total: SurfaceBrightness,
    /// Night sky and towns alone, in nanolamberts.
    pub dark_nl: f64,
    /// The Moon's share, in nanolamberts.
    pub moon_nl: f64,
    /// Twilight's share, in nanolamberts.
    pub twilight_nl: f64,
}

/// The background towards an apparent altitude and azimuth.
///
/// * `moon_phase_angle`: the angle at the Moon between Sun and observer, 0 at full.
pub fn background(
    site: &Site,
    altitude: Angle,
    azimuth: Angle,
    sun: &Observed,
    moon: &Observed,
    moon_phase_angle: Angle,
) -> SkyLight {
    todo!()
}
