//! One uniform B-spline of degree 9 in space: its coefficients, and place and velocity from them.

use crate::maths::{B_SPLINE_ORDER as ORDER, b_spline_weights, b_spline_weights_and_slopes};

/// Degree of every spline here.
pub(super) const DEGREE: usize = ORDER - 1;

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
        let mut place = [0.0; 3];
        for (row, weight) in rows.iter().zip(b_spline_weights(fraction)) {
            for (sum, coefficient) in place.iter_mut().zip(row) {
                *sum += weight * f64::from(*coefficient);
            }
        }
        Some(place.map(|sum| sum * self.quantum_km))
    }

    /// Place in km and velocity in km/s at an instant between its first and last.
    pub(super) fn place_and_velocity(&self, tdb_s: f64) -> Option<([f64; 3], [f64; 3])> {
        let (rows, fraction) = self.rows_at(tdb_s)?;
        let (weights, slopes) = b_spline_weights_and_slopes(fraction);
        let (mut place, mut velocity) = ([0.0; 3], [0.0; 3]);
        for ((row, weight), slope) in rows.iter().zip(weights).zip(slopes) {
            for axis in 0..3 {
                let coefficient = f64::from(row[axis]);
                place[axis] += weight * coefficient;
                velocity[axis] += slope * coefficient;
            }
        }
        let per_s = self.quantum_km / self.step_s;
        Some((place.map(|sum| sum * self.quantum_km), velocity.map(|sum| sum * per_s)))
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
