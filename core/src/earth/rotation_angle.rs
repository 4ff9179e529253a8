//! The Earth rotation angle, exact in whole numbers and rounded once.

use std::f64::consts::TAU;

use crate::time::Instant;

/// Turns of the Earth rotation angle in a day of UT1: 1.00273781191135448, to the nearest `f64`.
///
/// Source: IERS Conventions 2010, eq. 5.15.
pub(super) const TURNS_PER_DAY: f64 = 1.002_737_811_911_354_6;

/// The turning of the Earth in radians per second, from the same source.
pub(crate) const ROTATION_RAD_PER_S: f64 = TURNS_PER_DAY * TAU / 86_400.0;

/// The Earth rotation angle in turns, from 0 to 1: within 5e-16 of the formula, 6e-10 arcseconds.
///
/// Source: IERS Conventions 2010, eq. 5.15: ERA = 2 pi (0.7790572732640 + 1.00273781191135448 Tu), Tu the
/// Julian date in UT1 minus 2451545.0.
pub(super) fn earth_rotation_turns(instant: Instant, ut1_minus_utc_s: f64) -> f64 {
    const NS_PER_DAY: i128 = 86_400_000_000_000;
    // Both constants of the formula have 17 decimals, and an instant is whole nanoseconds: counted in units
    // of 1e-17 turn / NS_PER_DAY the angle is a whole number of at most 120 bits.
    const TURN: i128 = 100_000_000_000_000_000 * NS_PER_DAY;
    let angle = 77_905_727_326_400_000 * NS_PER_DAY + 100_273_781_191_135_448 * i128::from(instant.utc_ns());
    let turns = angle.rem_euclid(TURN) as f64 / TURN as f64 + TURNS_PER_DAY * ut1_minus_utc_s / 86_400.0;
    turns - turns.floor()
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use sofars::erst::era00;

    use super::earth_rotation_turns;
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
}
