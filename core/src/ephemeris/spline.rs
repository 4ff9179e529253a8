//! One uniform B-spline of degree 9 in space: its coefficients, and place and velocity from them.

/// Degree of every spline here.
pub(super) const DEGREE: usize = 9;
/// Coefficients that bear on one instant.
const ORDER: usize = DEGREE + 1;

/// Coefficients x, y, z a row; interval i between knots lies under rows i to i + 9.
#[derive(Debug, Clone)]
pub(super) struct Spline {
    start_tdb_s: f64,
    step_s: f64,
    quantum_km: f64,
    rows: Vec<[i32; 3]>,
}

impl Spline {
    /// `None` if there are not enough rows for one interval, or a number is no use.
    pub(super) fn new(start_tdb_s: f64, step_s: f64, quantum_km: f64, rows: Vec<[i32; 3]>) -> Option<Self> {
        let finite = start_tdb_s.is_finite() && step_s.is_finite() && quantum_km.is_finite();
        (finite && step_s > 0.0 && rows.len() >= ORDER).then_some(Self {
            start_tdb_s,
            step_s,
            quantum_km,
            rows,
        })
    }

    /// First instant it answers, TDB seconds since J2000.0.
    pub(super) fn start_tdb_s(&self) -> f64 {
        self.start_tdb_s
    }

    /// Last instant it answers, TDB seconds since J2000.0.
    pub(super) fn end_tdb_s(&self) -> f64 {
        self.start_tdb_s + self.interval_count() as f64 * self.step_s
    }

    /// Place in km at an instant between its first and last.
    pub(super) fn place(&self, tdb_s: f64) -> Option<[f64; 3]> {
        let (rows, fraction) = self.rows_at(tdb_s)?;
        Some(sum(rows, &weights(fraction), self.quantum_km))
    }

    /// Place in km and velocity in km/s at an instant between its first and last.
    pub(super) fn place_and_velocity(&self, tdb_s: f64) -> Option<([f64; 3], [f64; 3])> {
        let (rows, fraction) = self.rows_at(tdb_s)?;
        let (weights, slopes) = weights_and_slopes(fraction);
        let place_km = sum(rows, &weights, self.quantum_km);
        let velocity_km_s = sum(rows, &slopes, self.quantum_km / self.step_s);
        Some((place_km, velocity_km_s))
    }

    fn interval_count(&self) -> usize {
        self.rows.len() - DEGREE
    }

    /// The rows that bear on an instant, and how far it lies between its knots, 0 to 1.
    fn rows_at(&self, tdb_s: f64) -> Option<(&[[i32; 3]; ORDER], f64)> {
        let steps = (tdb_s - self.start_tdb_s) / self.step_s;
        // The very end of the last interval has no interval of its own.
        let interval = (steps as usize).min(self.interval_count() - 1);
        let rows = self.rows.get(interval..)?.first_chunk()?;
        Some((rows, steps - interval as f64))
    }
}

/// Sum of rows times weights, in units of `unit` over 9!.
fn sum(rows: &[[i32; 3]; ORDER], weights: &[f64; ORDER], unit: f64) -> [f64; 3] {
    let mut sum = [0.0; 3];
    for (row, weight) in rows.iter().zip(weights) {
        for (sum, coefficient) in sum.iter_mut().zip(row) {
            *sum += weight * f64::from(*coefficient);
        }
    }
    sum.map(|s| s * (unit / DEGREE_FACTORIAL))
}

/// Weights of the ten rows at fraction u of an interval, times 9!.
fn weights(u: f64) -> [f64; ORDER] {
    let mut weights = WEIGHTS[DEGREE];
    for powers in WEIGHTS[..DEGREE].iter().rev() {
        for (weight, coefficient) in weights.iter_mut().zip(powers) {
            *weight = *weight * u + coefficient;
        }
    }
    weights
}

/// As [`weights`], with their derivatives by u.
fn weights_and_slopes(u: f64) -> ([f64; ORDER], [f64; ORDER]) {
    let (mut weights, mut slopes) = (WEIGHTS[DEGREE], [0.0; ORDER]);
    for powers in WEIGHTS[..DEGREE].iter().rev() {
        for ((weight, slope), coefficient) in weights.iter_mut().zip(&mut slopes).zip(powers) {
            *slope = *slope * u + *weight;
            *weight = *weight * u + coefficient;
        }
    }
    (weights, slopes)
}

/// Coefficient of u^k in the weight of row j, times 9!, at `[k][j]`. All are whole numbers.
const WEIGHTS: [[f64; ORDER]; ORDER] = cardinal_b_spline();
const DEGREE_FACTORIAL: f64 = 362_880.0;

/// The recursion of de Boor and Cox for knots one apart (de Boor, A Practical Guide to
/// Splines, 1978, ch. X), with the division by the degree p left to the end:
/// p! w(p,j) = (u + p - j) (p-1)! w(p-1,j-1) + (j + 1 - u) (p-1)! w(p-1,j).
const fn cardinal_b_spline() -> [[f64; ORDER]; ORDER] {
    let mut table = [[0.0; ORDER]; ORDER];
    table[0][0] = 1.0;
    let mut p = 1;
    while p <= DEGREE {
        let lower = table;
        table = [[0.0; ORDER]; ORDER];
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
    table
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_at_a_knot_are_the_eulerian_numbers() {
        // A cardinal B-spline of degree 9 at its knots is A(9, k) / 9!; numbers: OEIS A008292.
        let eulerian = [1.0, 502.0, 14_608.0, 88_234.0, 156_190.0];
        let at_knot = weights(0.0);
        for (row, want) in eulerian.iter().enumerate() {
            assert_eq!(at_knot[row], *want);
            assert_eq!(at_knot[8 - row], *want);
        }
        assert_eq!(at_knot[9], 0.0);
    }
}
