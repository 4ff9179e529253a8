//! Diameter, phase, illuminated part and magnitude of a body from vectors.

use super::Body;
use crate::maths::Vec3;
use crate::units::{Angle, Fraction, Magnitude};

/// How a body looks from a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Appearance {
    /// Apparent diameter (equatorial).
    pub diameter: Angle,
    /// The angle at the body between Sun and observer; `None` for the Sun.
    pub phase_angle: Option<Angle>,
    /// The lit share of the disc; `None` for the Sun.
    pub illuminated: Option<Fraction>,
    /// Visual magnitude; `None` where no published formula holds.
    pub magnitude: Option<Magnitude>,
}

/// The appearance of `body`.
///
/// * `from_observer_km`: observer to body at the time the light left;
/// * `from_sun_km`: Sun to body at that same time (null vector for the Sun).
pub fn appearance(body: Body, from_observer_km: Vec3, from_sun_km: Vec3) -> Appearance {
    todo!()
}
