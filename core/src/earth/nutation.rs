//! Nutation of IAU 2000A, read from the embedded pack.
//!
//! The pack is the sum of the 1365 terms of IAU 2000A, adjusted to the precession of 2006 (ERFA's `eraNut06a`),
//! through the years of the ephemeris: a uniform B-spline of degree 9 with knots 1.25 days apart. It holds rows of
//! two little-endian i32, longitude and obliquity, in units of 0.01 microarcseconds; interval i between knots lies
//! under rows i to i + 9. Made and measured by `assets/nutation/make_pack.py`.

use sofars::pnp::nut06a;

use crate::maths::{B_SPLINE_ORDER, b_spline_weights};
use crate::time::Instant;
use crate::units::Angle;

const PACK: &[u8] = include_bytes!("../../../assets/nutation/nutation.pack");

/// The first knot, in seconds of TT from J2000.0.
const FIRST_S: f64 = -18_454.0 * 86_400.0;
const STEP_S: f64 = 1.25 * 86_400.0;
const INTERVALS: usize = PACK.len() / 8 + 1 - B_SPLINE_ORDER;
const UNIT: Angle = Angle::from_arcseconds(1e-8);

/// Nutation in longitude and in obliquity, in radians: from July 1949 to July 2101 by the pack, within 1e-7
/// arcseconds of the series (proved by `the_pack_is_the_series` in this file); else by the series, some 30
/// microseconds.
pub(super) fn nutation(instant: Instant) -> [f64; 2] {
    from_pack(instant.tt_seconds()).unwrap_or_else(|| series(instant))
}

fn series(instant: Instant) -> [f64; 2] {
    let (day, part) = instant.julian_date_tt();
    let (longitude, obliquity) = nut06a(day, part);
    [longitude, obliquity]
}

fn from_pack(tt_seconds: f64) -> Option<[f64; 2]> {
    let steps = (tt_seconds - FIRST_S) / STEP_S;
    if !(0.0..INTERVALS as f64).contains(&steps) {
        return None;
    }
    let interval = steps as usize;
    let rows: &[[[u8; 4]; 2]] = PACK.as_chunks().0.as_chunks().0;
    let mut nutation = [0.0; 2];
    for (row, weight) in rows.get(interval..)?.iter().zip(b_spline_weights(steps - interval as f64)) {
        for (sum, coefficient) in nutation.iter_mut().zip(row) {
            *sum += weight * f64::from(i32::from_le_bytes(*coefficient));
        }
    }
    Some(nutation.map(|units| units * UNIT.radians()))
}

#[cfg(test)]
mod tests {
    use super::{FIRST_S, INTERVALS, STEP_S, from_pack, nutation, series};
    use crate::time::Instant;
    use crate::units::Angle;

    #[test]
    fn the_pack_is_the_series() {
        // IERS Conventions 2010, chapter 5, as evaluated by the crate sofars; the steps keep time with no
        // period of it.
        let mut worst: f64 = 0.0;
        for step in 0..3000 {
            let instant = Instant::J2000.plus_seconds(FIRST_S + STEP_S * 14.819_660_113 * f64::from(step));
            for (got, want) in from_pack(instant.tt_seconds()).unwrap().into_iter().zip(series(instant)) {
                worst = worst.max(Angle::from_radians(got - want).arcseconds().abs());
            }
        }
        assert!(worst < 1e-7, "worst {worst} arcsec");
    }

    #[test]
    fn beyond_the_pack_the_series_is_asked() {
        let last_s = FIRST_S + STEP_S * INTERVALS as f64;
        for seconds in [FIRST_S, last_s - 1.0] {
            assert!(from_pack(seconds).is_some());
        }
        for seconds in [FIRST_S - 1.0, last_s, -1e11, 1e11, f64::NAN] {
            assert_eq!(from_pack(seconds), None);
        }
        let long_ago = Instant::J2000.plus_seconds(-4e9);
        assert_eq!(nutation(long_ago), series(long_ago));
    }
}
