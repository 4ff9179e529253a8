//! Weights of evenly spaced values in the polynomial through them.

/// Weights of values at 0, 1, ..., N - 1 in the polynomial of degree N - 1 through them, at `x` (Lagrange's
/// form).
pub fn lagrange_weights<const N: usize>(x: f64) -> [f64; N] {
    let mut weights = const { scales::<N>() };
    for (i, weight) in weights.iter_mut().enumerate() {
        for j in (0..N).filter(|j| *j != i) {
            *weight *= x - j as f64;
        }
    }
    weights
}

/// One over the product of `i - j` over all other `j`, for each `i`.
const fn scales<const N: usize>() -> [f64; N] {
    let mut scales = [1.0; N];
    let mut i = 0;
    while i < N {
        let mut j = 0;
        while j < N {
            if j != i {
                scales[i] /= i as f64 - j as f64;
            }
            j += 1;
        }
        i += 1;
    }
    scales
}

#[cfg(test)]
mod tests {
    use super::lagrange_weights;

    #[test]
    fn values_and_polynomials_come_back() {
        assert_eq!(lagrange_weights::<4>(2.0), [0.0, 0.0, 1.0, 0.0]);
        let quintic = |x: f64| x.powi(5) - 3.0 * x * x + 1.0;
        for x in [-0.5, 0.3, 2.71, 4.9] {
            let weights = lagrange_weights::<6>(x);
            let got: f64 = weights.iter().enumerate().map(|(i, weight)| weight * quintic(i as f64)).sum();
            assert!((got - quintic(x)).abs() < 1e-10, "at {x}: {got}");
        }
    }
}
