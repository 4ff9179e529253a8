//! The Earth's attitude through one evening, reduced once in extended precision.

use crate::maths::Mat3;
use crate::time::{Instant, Interval};
use crate::units::Angle;

/// What can only be measured about the Earth's turning. Zero by default; that leaves up to 0.9 s of UT1
/// (13.5 arcseconds of hour angle) and 0.5 arcsecond of polar motion.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EarthOrientation {
    /// UT1 - UTC, in seconds.
    pub ut1_minus_utc_s: f64,
    /// Pole coordinate x.
    pub pole_x: Angle,
    /// Pole coordinate y.
    pub pole_y: Angle,
}

/// Earth rotation and precession-nutation for any instant of one span, cheap after a single preparation.
#[derive(Clone, Debug)]
pub struct EveningFrame {
    span: Interval,
    orientation: EarthOrientation,
}

impl EveningFrame {
    /// Prepares the span (a night; at most a few days).
    pub fn new(span: Interval, orientation: EarthOrientation) -> Self {
        todo!()
    }

    /// The Earth rotation angle at an instant of the span.
    pub fn earth_rotation_angle(&self, instant: Instant) -> Angle {
        todo!()
    }

    /// From ICRS (GCRS) axes to the true equator and equinox of date.
    pub fn icrs_to_true_of_date(&self, instant: Instant) -> Mat3 {
        todo!()
    }

    /// Greenwich apparent sidereal time.
    pub fn greenwich_apparent_sidereal_time(&self, instant: Instant) -> Angle {
        todo!()
    }
}
