//! The Earth rotation angle, evaluated in extended precision and rounded once.

use std::f64::consts::TAU;

use astro_float::{BigFloat, RoundingMode, WORD_BIT_SIZE};

use crate::time::Instant;

/// Turns of the Earth rotation angle in a day of UT1: 1.00273781191135448, to the nearest `f64`.
///
/// Source: IERS Conventions 2010, eq. 5.15.
pub(super) const TURNS_PER_DAY: f64 = 1.002_737_811_911_354_6;

/// The turning of the Earth in radians per second, from the same source.
pub(crate) const ROTATION_RAD_PER_S: f64 = TURNS_PER_DAY * TAU / 86_400.0;

/// Nanoseconds in a day.
const NS_PER_DAY: i64 = 86_400_000_000_000;
/// The constants of the formula have 17 decimals: they are counted in units of the last.
const UNITS: i64 = 100_000_000_000_000_000;
const AT_EPOCH_UNITS: i64 = 77_905_727_326_400_000;
const RATE_UNITS: i64 = 100_273_781_191_135_448;

/// The Earth rotation angle in turns, from 0 to 1: evaluated with 192 bits and rounded once, so that it is within
/// 2e-16 of the formula (3e-10 arcseconds).
///
/// Source: IERS Conventions 2010, eq. 5.15: ERA = 2 pi (0.7790572732640 + 1.00273781191135448 Tu), Tu the
/// Julian date in UT1 minus 2451545.0.
pub(super) fn earth_rotation_turns(instant: Instant, ut1_minus_utc_s: f64) -> f64 {
    const BITS: usize = 192;
    const NEAREST: RoundingMode = RoundingMode::ToEven;
    let whole = |number: i64| BigFloat::from_i64(number, BITS);
    let mut tu_ns = whole(instant.utc_ns());
    if ut1_minus_utc_s != 0.0 {
        tu_ns = tu_ns.add(&BigFloat::from_f64(ut1_minus_utc_s * 1e9, BITS), BITS, NEAREST);
    }
    let at_epoch = whole(AT_EPOCH_UNITS).mul(&whole(NS_PER_DAY), BITS, NEAREST);
    let turn = whole(UNITS).mul(&whole(NS_PER_DAY), BITS, NEAREST);
    let angle = whole(RATE_UNITS).mul(&tu_ns, BITS, NEAREST).add(&at_epoch, BITS, NEAREST);
    let turns = angle.div(&turn, BITS, NEAREST);
    to_f64(&turns.sub(&turns.floor(), BITS, NEAREST))
}

/// A number that is not negative, rounded to `f64`.
fn to_f64(number: &BigFloat) -> f64 {
    let Some((words, _, _, exponent, _)) = number.as_raw_parts() else { return f64::NAN };
    // The mantissa stands behind the point, its least word first.
    let word_step = 0.5_f64.powf(WORD_BIT_SIZE as f64);
    let behind_point = words.iter().fold(0.0, |value, word| value * word_step + *word as f64) * word_step;
    behind_point * 2_f64.powi(exponent)
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use sofars::erst::era00;

    use super::{AT_EPOCH_UNITS, NS_PER_DAY, RATE_UNITS, UNITS, earth_rotation_turns};
    use crate::time::Instant;

    #[test]
    fn rotation_as_published() {
        // ERFA test value of eraEra00, t_erfa_c: JD 2400000.5 + 54388.0 gives 0.4022837240028158102.
        let turns = earth_rotation_turns(Instant::from_utc("2007-10-15T00:00:00Z".parse().unwrap()), 0.0);
        assert!((turns * TAU - 0.402_283_724_002_815_8).abs() < 1e-15, "got {}", turns * TAU);
    }

    #[test]
    fn rotation_is_that_of_sofa() {
        // SOFA routine iauEra00 as carried by the crate sofars, whose two-part dates keep 1e-11 of a turn
        // here.
        for step in 0..200 {
            let instant = Instant::J2000.plus_seconds(f64::from(step) * 31_415_926.535 - 1.5e9);
            for ut1_minus_utc_s in [0.0, 0.7, -0.35] {
                let (day, part) = instant.julian_date_ut1(ut1_minus_utc_s);
                let off = earth_rotation_turns(instant, ut1_minus_utc_s) - era00(day, part) / TAU;
                assert!((off - off.round()).abs() < 1e-11, "{step}: {off} turns");
            }
        }
    }

    #[test]
    fn rotation_is_exact_in_whole_numbers() {
        // The same formula counted in whole numbers of at most 120 bits: 1e-17 turn / NS_PER_DAY is the unit.
        let turn = i128::from(UNITS) * i128::from(NS_PER_DAY);
        for step in 0..200 {
            let instant = Instant::J2000.plus_seconds(f64::from(step) * 31_415_926.535 - 1.5e9);
            let angle = i128::from(AT_EPOCH_UNITS) * i128::from(NS_PER_DAY)
                + i128::from(RATE_UNITS) * i128::from(instant.utc_ns());
            let exact = angle.rem_euclid(turn) as f64 / turn as f64;
            let off = earth_rotation_turns(instant, 0.0) - exact;
            assert!(off.abs() < 5e-16, "{step}: {off} turns");
        }
    }
}
