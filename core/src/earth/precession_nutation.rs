//! IAU 2006/2000A precession-nutation: at an instant, and through a season for all its nights at once.

use sofars::pnp::{bpn2xy, eors, fw2m, nut00b, nut06a, pfw06, pnm06a, s06};

use crate::maths::{Mat3, lagrange_weights};
use crate::time::{Instant, Interval};

/// Precession-nutation at one instant.
#[derive(Clone, Copy, Debug)]
pub(super) struct Attitude {
    /// From ICRS axes to the true equator and equinox of date.
    pub matrix: Mat3,
    /// Equation of the origins: Earth rotation angle minus apparent sidereal time, in radians.
    pub origins: f64,
}

impl Attitude {
    /// IAU 2006/2000A in full: some 40 microseconds.
    pub fn at(instant: Instant) -> Self {
        let (day, part) = instant.julian_date_tt();
        Self::of_matrix(instant, pnm06a(day, part))
    }

    /// The equation of the origins after Wallace and Capitaine 2006, A&A 459, 981.
    fn of_matrix(instant: Instant, matrix: [[f64; 3]; 3]) -> Self {
        let (day, part) = instant.julian_date_tt();
        let (x, y) = bpn2xy(&matrix);
        Self { matrix: Mat3(matrix), origins: eors(&matrix, s06(day, part, x, y)) }
    }

    /// With the precession of 2006 and a given nutation in longitude and obliquity, in radians.
    fn with_nutation(instant: Instant, [longitude, obliquity]: [f64; 2]) -> Self {
        let (day, part) = instant.julian_date_tt();
        let (gamma, phi, psi, epsilon) = pfw06(day, part);
        Self::of_matrix(instant, fw2m(gamma, phi, psi + longitude, epsilon + obliquity))
    }

    /// From evenly spaced ones, by their weights.
    pub fn weighted<'a>(parts: impl IntoIterator<Item = &'a Self>, weights: &[f64]) -> Self {
        let mut sum = Self { matrix: Mat3([[0.0; 3]; 3]), origins: 0.0 };
        for (part, weight) in parts.into_iter().zip(weights) {
            sum.origins += weight * part.origins;
            for (row, part_row) in sum.matrix.0.iter_mut().zip(part.matrix.0) {
                for (element, part_element) in row.iter_mut().zip(part_row) {
                    *element += weight * part_element;
                }
            }
        }
        sum
    }
}

/// Precession-nutation through a season or a year, prepared once and shared by its nights as a value.
///
/// The nutation is that of IAU 2000B, each day, and the slow part of what IAU 2000A has beyond it, from every
/// 32nd day; between them eight are joined by a polynomial. Within 0.002 arcseconds of the full evaluation,
/// 0.0002 s of an event; proved by `a_season_matches_direct_evaluation` in this file.
#[derive(Clone, Debug)]
pub struct SeasonFrame {
    span: Interval,
    /// One a day, from [`DAYS_AROUND`] before the span to as many after.
    days: Vec<Attitude>,
}

const DAY_S: f64 = 86_400.0;
/// Points of the polynomial that joins days.
const POINTS: usize = 8;
/// Days before and after a span that its polynomials need.
const DAYS_AROUND: f64 = 4.0;
/// Days between two evaluations of what IAU 2000A has beyond 2000B.
const SLOW_DAYS: f64 = 32.0;

impl SeasonFrame {
    /// Prepares a span of any length: some 4 microseconds a day of it.
    pub fn new(span: Interval) -> Self {
        let first = span.start().plus_seconds(-DAYS_AROUND * DAY_S);
        let day_count = (span.seconds() / DAY_S).ceil() + 2.0 * DAYS_AROUND;
        let on_day = |day: f64| first.plus_seconds(day * DAY_S);
        // The first of the slow ones stands four of its steps before the first day.
        let slow_from = -4.0 * SLOW_DAYS;
        let slow_count = (day_count / SLOW_DAYS).ceil() as u32 + POINTS as u32;
        let slow: Vec<[f64; 2]> = (0..=slow_count)
            .map(|index| {
                let (day, part) = on_day(slow_from + SLOW_DAYS * f64::from(index)).julian_date_tt();
                let (full, short) = (nut06a(day, part), nut00b(day, part));
                [full.0 - short.0, full.1 - short.1]
            })
            .collect();
        let days = (0..=day_count as u32)
            .map(|day| {
                let instant = on_day(f64::from(day));
                let (jd, part) = instant.julian_date_tt();
                let short = nut00b(jd, part);
                let (from, weights) = around((f64::from(day) - slow_from) / SLOW_DAYS, slow.len());
                let mut nutation = [short.0, short.1];
                for (beyond, weight) in slow[from..].iter().zip(weights) {
                    nutation[0] += weight * beyond[0];
                    nutation[1] += weight * beyond[1];
                }
                Attitude::with_nutation(instant, nutation)
            })
            .collect();
        Self { span, days }
    }

    /// The span it was prepared for.
    pub fn span(&self) -> Interval {
        self.span
    }

    /// Precession-nutation at an instant of the span, or less than three days outside.
    pub(super) fn attitude(&self, instant: Instant) -> Attitude {
        let day = instant.seconds_since(self.span.start()) / DAY_S + DAYS_AROUND;
        let (from, weights) = around(day, self.days.len());
        Attitude::weighted(&self.days[from..], &weights)
    }
}

/// The first of the eight values around `at` among `count`, and the weights of all eight.
fn around(at: f64, count: usize) -> (usize, [f64; POINTS]) {
    let from = ((at.floor() - 3.0).max(0.0) as usize).min(count - POINTS);
    (from, lagrange_weights(at - from as f64))
}

#[cfg(test)]
mod tests {
    use super::{Attitude, SeasonFrame};
    use crate::time::{Instant, Interval};
    use crate::units::Angle;

    #[test]
    fn a_season_matches_direct_evaluation() {
        let mut worst: f64 = 0.0;
        for start_s in [-1.5e9, 0.0, 8.3e8, 3.1e9] {
            let start = Instant::J2000.plus_seconds(start_s);
            let season =
                SeasonFrame::new(Interval::new(start, start.plus_seconds(100.0 * 86_400.0)).unwrap());
            for step in 0..=250 {
                let instant = start.plus_seconds(f64::from(step) * 34_560.0);
                let (got, want) = (season.attitude(instant), Attitude::at(instant));
                let error = got.matrix * want.matrix.transposed();
                for radians in [error.0[0][1], error.0[0][2], error.0[1][2], got.origins - want.origins] {
                    worst = worst.max(Angle::from_radians(radians).arcseconds().abs());
                }
            }
        }
        assert!(worst < 0.002, "worst {worst} arcsec");
    }
}
