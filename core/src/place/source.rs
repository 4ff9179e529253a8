//! What can be pointed at: a body of the Solar System or a fixed place.

use crate::ephemeris::Body;
use crate::maths::Vec3;
use crate::time::Instant;
use crate::units::Angle;

/// A place on the sky at epoch J2000.0 on ICRS axes, with proper motion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StarPlace {
    /// Right ascension.
    pub right_ascension: Angle,
    /// Declination.
    pub declination: Angle,
    /// Proper motion in right ascension times cos(declination), in milliarcseconds a year.
    pub pm_ra_cosdec_mas_per_yr: f64,
    /// Proper motion in declination, in milliarcseconds a year.
    pub pm_dec_mas_per_yr: f64,
}

/// Something with a place on the sky.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Source {
    /// A body, placed by the ephemeris.
    Body(Body),
    /// A fixed place with proper motion.
    Star(StarPlace),
}

impl StarPlace {
    /// A place without proper motion.
    pub const fn fixed(right_ascension: Angle, declination: Angle) -> Self {
        Self { right_ascension, declination, pm_ra_cosdec_mas_per_yr: 0.0, pm_dec_mas_per_yr: 0.0 }
    }

    /// The unit vector on ICRS axes at an instant: linear space motion from J2000.0.
    pub fn direction(&self, instant: Instant) -> Vec3 {
        todo!()
    }
}
