//! Measured quantities, with the unit in the type; no astronomy.
//!
//! Angles are kept in radians inside and read in degrees, hours or sexagesimal at the edges.
//! Brightness comes in two kinds that must not be mixed: a [`Magnitude`] of a whole object and a
//! [`SurfaceBrightness`] of a square arcsecond.

mod angle;
mod brightness;
mod fraction;
mod sexagesimal;

pub use angle::Angle;
pub use brightness::{Magnitude, SurfaceBrightness};
pub use fraction::Fraction;
pub use sexagesimal::{Sexagesimal, parse_sexagesimal};
