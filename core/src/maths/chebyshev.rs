//! A smooth curve in space through its points at a few instants, by Chebyshev polynomials.

use std::array;
use std::f64::consts::PI;

use super::Vec3;

/// Points that a curve is made from.
pub const CURVE_POINTS: usize = 7;

/// The first `N` terms of the polynomial through [`CURVE_POINTS`] points at [`ChebyshevCurve::nodes`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChebyshevCurve<const N: usize = CURVE_POINTS>([Vec3; N]);

impl ChebyshevCurve {
    /// Where the points are taken, on an interval from -1 to 1: the roots of Chebyshev's polynomial of degree 7.
    pub fn nodes() -> [f64; CURVE_POINTS] {
        array::from_fn(|j| (PI * (j as f64 + 0.5) / CURVE_POINTS as f64).cos())
    }
}

impl<const N: usize> ChebyshevCurve<N> {
    /// Through the points at the nodes, in their order; with fewer terms than points near to them.
    pub fn through(points: &[Vec3; CURVE_POINTS]) -> Self {
        // a_k = 2/n sum of f(x_j) T_k(x_j), a_0 the half of that; T_(k+1) = 2 x T_k - T_(k-1)
        let mut coefficients = [Vec3::default(); N];
        for (x, point) in ChebyshevCurve::nodes().into_iter().zip(points) {
            let (mut t, mut next) = (1.0, x);
            for coefficient in &mut coefficients {
                *coefficient += *point * (t * 2.0 / CURVE_POINTS as f64);
                (t, next) = (next, 2.0 * x * next - t);
            }
        }
        coefficients[0] = coefficients[0] * 0.5;
        Self(coefficients)
    }

    /// The point at `x` from -1 to 1 (Clenshaw 1955, Mathematics of Computation 9, 118).
    pub fn at(&self, x: f64) -> Vec3 {
        let (mut b, mut b_next) = (Vec3::default(), Vec3::default());
        for coefficient in self.0[1..].iter().rev() {
            (b, b_next) = (*coefficient + b * (2.0 * x) - b_next, b);
        }
        self.0[0] + b * x - b_next
    }
}

#[cfg(test)]
mod tests {
    use super::ChebyshevCurve;
    use crate::maths::Vec3;

    #[test]
    fn a_polynomial_of_its_degree_comes_back() {
        let cubic = |x: f64| Vec3::new(x * x * x - 2.0, 1.0 - x.powi(6), 5.0 * x);
        let curve: ChebyshevCurve = ChebyshevCurve::through(&ChebyshevCurve::nodes().map(cubic));
        for step in -10..=10 {
            let x = f64::from(step) / 10.0;
            assert!((curve.at(x) - cubic(x)).length() < 1e-13, "at {x}");
        }
    }

    #[test]
    fn a_month_of_the_moon_is_smooth_enough_in_a_day() {
        // A circle run through in 27.3 days, and its overtone with a tenth of the size, over 25 hours.
        let moon = |x: f64| {
            let phase = 0.12 * x + 0.4;
            Vec3::new(phase.cos(), phase.sin(), 0.1 * (2.0 * phase).sin())
        };
        let curve: ChebyshevCurve = ChebyshevCurve::through(&ChebyshevCurve::nodes().map(moon));
        for step in -100..=100 {
            let x = f64::from(step) / 100.0;
            // The first term left out: 2 J_7(0.24) / 10 = 1e-11.
            assert!((curve.at(x) - moon(x)).length() < 2e-11, "at {x}");
        }
    }
}
