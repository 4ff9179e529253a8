//! Weights of the uniform B-spline of degree 9: which coefficients bear on a place between two knots, and how.

/// Degree of the spline.
const DEGREE: usize = 9;

/// Coefficients that bear on one place: those of intervals i to i + 9 on interval i.
pub const B_SPLINE_ORDER: usize = DEGREE + 1;

/// Weights of the ten coefficients at fraction u of an interval; none is negative, and they sum to 1.
pub fn b_spline_weights(u: f64) -> [f64; B_SPLINE_ORDER] {
    let mut weights = WEIGHTS[DEGREE];
    for powers in WEIGHTS[..DEGREE].iter().rev() {
        for (weight, coefficient) in weights.iter_mut().zip(powers) {
            *weight = *weight * u + coefficient;
        }
    }
    weights
}

/// As [`b_spline_weights`], with their derivatives by u.
pub fn b_spline_weights_and_slopes(u: f64) -> ([f64; B_SPLINE_ORDER], [f64; B_SPLINE_ORDER]) {
    let (mut weights, mut slopes) = (WEIGHTS[DEGREE], [0.0; B_SPLINE_ORDER]);
    for powers in WEIGHTS[..DEGREE].iter().rev() {
        for ((weight, slope), coefficient) in weights.iter_mut().zip(&mut slopes).zip(powers) {
            *slope = *slope * u + *weight;
            *weight = *weight * u + coefficient;
        }
    }
    (weights, slopes)
}

/// Coefficient of u^k in the weight of row j, at `[k][j]`.
const WEIGHTS: [[f64; B_SPLINE_ORDER]; B_SPLINE_ORDER] = cardinal_b_spline();

/// The recursion of de Boor and Cox for knots one apart (de Boor, A Practical Guide to
/// Splines, 1978, ch. X), with the division by the degree p left to the end,
/// up to which all numbers are whole:
/// p! w(p,j) = (u + p - j) (p-1)! w(p-1,j-1) + (j + 1 - u) (p-1)! w(p-1,j).
const fn cardinal_b_spline() -> [[f64; B_SPLINE_ORDER]; B_SPLINE_ORDER] {
    let mut table = [[0.0; B_SPLINE_ORDER]; B_SPLINE_ORDER];
    table[0][0] = 1.0;
    let mut p = 1;
    while p <= DEGREE {
        let lower = table;
        table = [[0.0; B_SPLINE_ORDER]; B_SPLINE_ORDER];
        let mut k = 0;
        while k < p {
            // w(p-1,j) reaches w(p,j) and w(p,j+1).
            let mut j = 0;
            while j < p {
                table[k][j] += (j + 1) as f64 * lower[k][j];
                table[k + 1][j] -= lower[k][j];
                table[k][j + 1] += (p - j - 1) as f64 * lower[k][j];
                table[k + 1][j + 1] += lower[k][j];
                j += 1;
            }
            k += 1;
        }
        p += 1;
    }
    let degree_factorial = 362_880.0;
    let mut at = 0;
    while at < B_SPLINE_ORDER * B_SPLINE_ORDER {
        table[at / B_SPLINE_ORDER][at % B_SPLINE_ORDER] /= degree_factorial;
        at += 1;
    }
    table
}

#[cfg(test)]
mod tests {
    use super::b_spline_weights;

    #[test]
    fn weights_at_a_knot_are_the_eulerian_numbers() {
        // A cardinal B-spline of degree 9 at its knots is A(9, k) / 9!; numbers: OEIS A008292.
        let eulerian = [1.0, 502.0, 14_608.0, 88_234.0, 156_190.0].map(|number| number / 362_880.0);
        let at_knot = b_spline_weights(0.0);
        for (row, want) in eulerian.iter().enumerate() {
            assert_eq!(at_knot[row], *want);
            assert_eq!(at_knot[8 - row], *want);
        }
        assert_eq!(at_knot[9], 0.0);
    }
}
