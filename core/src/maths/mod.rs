//! Arithmetic that could serve any science: vectors, rotations, roots and extremes.

mod matrix;
mod root;
mod vector;

pub use matrix::Mat3;
pub use root::{Extremum, bracketed_root, maximum, minimum};
pub use vector::Vec3;
