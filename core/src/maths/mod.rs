//! Arithmetic that could serve any science: vectors, rotations, curves through points, roots and extremes.

mod b_spline;
mod bernstein;
mod chebyshev;
mod lagrange;
mod matrix;
mod root;
mod vector;

pub use b_spline::{B_SPLINE_ORDER, b_spline_weights, b_spline_weights_and_slopes};
pub use bernstein::{BERNSTEIN_NODES, BERNSTEIN_POINTS, Bernstein, SignChange};
pub use chebyshev::{CURVE_POINTS, ChebyshevCurve};
pub use lagrange::lagrange_weights;
pub use matrix::Mat3;
pub use root::{Extremum, bracketed_root, maximum, minimum};
pub use vector::Vec3;
