//! IAU 2006/2000A precession-nutation at an instant.

use sofars::pnp::{bpn2xy, eors, fw2m, pfw06, s06};

use super::nutation::nutation;
use crate::maths::Mat3;
use crate::time::Instant;

/// Precession-nutation at one instant.
#[derive(Clone, Copy, Debug)]
pub(super) struct Attitude {
    /// From ICRS axes to the true equator and equinox of date.
    pub matrix: Mat3,
    /// Equation of the origins: Earth rotation angle minus apparent sidereal time, in radians.
    pub origins: f64,
}

impl Attitude {
    /// With the [`origin_locator`] of that day. Matrix and equation of the origins after Wallace and Capitaine
    /// 2006, A&A 459, 981.
    pub fn at(instant: Instant, locator: f64) -> Self {
        let (day, part) = instant.julian_date_tt();
        let (gamma, phi, psi, epsilon) = pfw06(day, part);
        let [longitude, obliquity] = nutation(instant);
        let matrix = fw2m(gamma, phi, psi + longitude, epsilon + obliquity);
        let (x, y) = bpn2xy(&matrix);
        Self { matrix: Mat3(matrix), origins: eors(&matrix, locator - x * y / 2.0) }
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

/// What the locator s of the celestial intermediate origin has beside its product of coordinates, `s + XY/2`, in
/// radians. It changes by 3 microarcseconds a day, evenly enough for a straight line through an evening.
pub(super) fn origin_locator(instant: Instant) -> f64 {
    let (day, part) = instant.julian_date_tt();
    // The routine subtracts XY/2.
    s06(day, part, 0.0, 0.0)
}
