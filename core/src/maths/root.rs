//! A root between two ends of opposite sign, and the extreme between two ends, with their guarantees.

/// Where a smooth function takes its extreme value, and that value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extremum {
    /// The argument.
    pub at: f64,
    /// The function there.
    pub value: f64,
}

/// A root of `f` between `low` and `high`, where `f` has opposite signs (or is 0 at an end).
///
/// Guarantee: the bracket is kept at every step and at least halved every third one, so the answer
/// is within `tolerance` of a sign change of `f`, whatever its shape. `None` when both ends have the
/// same sign or a value is not a number.
///
/// Method: bisection with inverse quadratic steps inside the bracket (Chandrupatla 1997, Advances
/// in Engineering Software 28, 145).
pub fn bracketed_root(f: impl Fn(f64) -> f64, low: f64, high: f64, tolerance: f64) -> Option<f64> {
    let (mut a, mut b) = (low, high);
    let (mut fa, mut fb) = (f(a), f(b));
    if fa == 0.0 {
        return Some(a);
    }
    if fb == 0.0 {
        return Some(b);
    }
    if fa.is_nan() || fb.is_nan() || (fa > 0.0) == (fb > 0.0) {
        return None;
    }
    let mut share = 0.5;
    // Bisection alone needs at most about 1100 steps between any two finite numbers.
    for _ in 0..1200 {
        let x = a + share * (b - a);
        let fx = f(x);
        if fx.is_nan() {
            return None;
        }
        // The end that leaves the bracket, kept as the third point of the interpolation.
        let (c, fc);
        if (fx > 0.0) == (fa > 0.0) {
            (c, fc) = (a, fa);
        } else {
            (c, fc, b, fb) = (b, fb, a, fa);
        }
        (a, fa) = (x, fx);
        let (best, best_value) = if fa.abs() < fb.abs() { (a, fa) } else { (b, fb) };
        let limit = tolerance.max(2.0 * f64::EPSILON * best.abs());
        if best_value == 0.0 || (b - a).abs() <= limit {
            return Some(best);
        }
        let smallest = limit / (2.0 * (b - a).abs());
        let (xi, phi) = ((a - b) / (c - b), (fa - fb) / (fc - fb));
        // Inverse quadratic interpolation is used only where it is sure to be monotonic.
        share = if phi * phi < xi && (1.0 - phi).powi(2) < 1.0 - xi {
            fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        } else {
            0.5
        };
        share = share.clamp(smallest, 1.0 - smallest);
    }
    None
}

/// The least value of `f` between `low` and `high`, where `f` has a single dip.
///
/// Guarantee: golden-section search; the argument is within `tolerance` of the bottom of the dip.
/// With several dips it is one of them.
pub fn minimum(f: impl Fn(f64) -> f64, low: f64, high: f64, tolerance: f64) -> Extremum {
    // The golden section: each step keeps 0.618 of the bracket and one of its inner points.
    let ratio = (5_f64.sqrt() - 1.0) / 2.0;
    let (mut a, mut b) = (low, high);
    let (mut x, mut y) = (b - ratio * (b - a), a + ratio * (b - a));
    let (mut fx, mut fy) = (f(x), f(y));
    while (b - a).abs() > tolerance.max(2.0 * f64::EPSILON * a.abs().max(b.abs())) {
        if fx <= fy {
            (b, y, fy) = (y, x, fx);
            x = b - ratio * (b - a);
            fx = f(x);
        } else {
            (a, x, fx) = (x, y, fy);
            y = a + ratio * (b - a);
            fy = f(y);
        }
    }
    if fx <= fy { Extremum { at: x, value: fx } } else { Extremum { at: y, value: fy } }
}

/// The greatest value of `f` between `low` and `high`, where `f` has a single hump; see [`minimum`].
pub fn maximum(f: impl Fn(f64) -> f64, low: f64, high: f64, tolerance: f64) -> Extremum {
    let turned = minimum(|x| -f(x), low, high, tolerance);
    Extremum { at: turned.at, value: -turned.value }
}

#[cfg(test)]
mod tests {
    use super::{bracketed_root, maximum, minimum};

    #[test]
    fn finds_plain_and_nasty_roots() {
        let root = bracketed_root(|x| x.cos() - x, 0.0, 1.0, 1e-14).unwrap();
        // The fixed point of the cosine: On-Line Encyclopedia of Integer Sequences, A003957.
        assert!((root - 0.739_085_133_215_160_6).abs() < 1e-13);
        let flat = bracketed_root(|x| (x - 0.3).powi(9), -1.0, 2.0, 1e-9).unwrap();
        assert!((flat - 0.3).abs() < 2e-9);
        let step = bracketed_root(|x| if x < 0.7 { -1.0 } else { 1.0 }, 0.0, 1.0, 1e-9).unwrap();
        assert!((step - 0.7).abs() < 2e-9);
    }

    #[test]
    fn refuses_a_missing_sign_change() {
        assert_eq!(bracketed_root(|x| x * x + 1.0, -1.0, 1.0, 1e-9), None);
        assert_eq!(bracketed_root(|_| f64::NAN, -1.0, 1.0, 1e-9), None);
    }

    #[test]
    fn finds_the_top_and_the_bottom() {
        let bottom = minimum(|x| (x - 2.0).powi(2) + 3.0, 0.0, 5.0, 1e-7);
        assert!((bottom.at - 2.0).abs() < 1e-6 && (bottom.value - 3.0).abs() < 1e-12);
        let top = maximum(f64::sin, 0.0, 3.0, 1e-7);
        assert!((top.value - 1.0).abs() < 1e-12);
    }
}
