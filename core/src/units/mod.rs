//! Measured quantities, with the unit in the type; no astronomy.
//!
//! Angles are kept in radians inside and read in degrees or hours at the edges.
//! Brightness comes in two kinds that must not be mixed: a [`Magnitude`] of a whole object and a
//! [`SurfaceBrightness`] of a square arcsecond.

mod angle;
mod brightness;
mod fraction;

pub use angle::Angle;
pub use brightness::{Magnitude, SurfaceBrightness};
pub use fraction::Fraction;
