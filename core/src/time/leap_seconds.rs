//! TT minus UTC: the dated table of leap seconds, its source and its last certain day.

use chrono::{Datelike, NaiveDate};

/// Why a time carries doubt: shown to the user, never silent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TimeDoubt {
    /// Before 1972 there was no UTC with leap seconds: clock time is read as UT1.
    BeforeLeapSeconds,
    /// After the last day for which leap seconds are announced: none is assumed to come.
    AfterAnnouncement,
}

/// First day (year, month, day 1) of each value of TAI - UTC in seconds.
///
/// Source: IERS Bulletin C, numbers 1 to 72, as gathered in the IERS file `leap-seconds.list`.
const TAI_MINUS_UTC_S: [(i32, u32, f64); 28] = [
    (1972, 1, 10.0),
    (1972, 7, 11.0),
    (1973, 1, 12.0),
    (1974, 1, 13.0),
    (1975, 1, 14.0),
    (1976, 1, 15.0),
    (1977, 1, 16.0),
    (1978, 1, 17.0),
    (1979, 1, 18.0),
    (1980, 1, 19.0),
    (1981, 7, 20.0),
    (1982, 7, 21.0),
    (1983, 7, 22.0),
    (1985, 7, 23.0),
    (1988, 1, 24.0),
    (1990, 1, 25.0),
    (1991, 1, 26.0),
    (1992, 7, 27.0),
    (1993, 7, 28.0),
    (1994, 7, 29.0),
    (1996, 1, 30.0),
    (1997, 7, 31.0),
    (1999, 1, 32.0),
    (2006, 1, 33.0),
    (2009, 1, 34.0),
    (2012, 7, 35.0),
    (2015, 7, 36.0),
    (2017, 1, 37.0),
];

/// TT - TAI in seconds, by definition (IAU 1991 resolution A4).
const TT_MINUS_TAI_S: f64 = 32.184;

/// Year and month of the table: of IERS Bulletin C 72, the last one in it.
pub const LEAP_SECONDS_OF: (i32, u32) = (2026, 7);

/// The last day (year, month, day) for which leap seconds are known: until the list built on that bulletin expires.
pub const LAST_CERTAIN_DAY: (i32, u32, u32) = (2027, 6, 28);

/// What is doubtful about clock times on `date`, if anything.
pub fn time_doubt(date: NaiveDate) -> Option<TimeDoubt> {
    if !knows_leap_seconds(date) {
        Some(TimeDoubt::BeforeLeapSeconds)
    } else if (date.year(), date.month(), date.day()) > LAST_CERTAIN_DAY {
        Some(TimeDoubt::AfterAnnouncement)
    } else {
        None
    }
}

/// Whether UTC kept leap seconds on `date`: from 1972 on.
pub(super) fn knows_leap_seconds(date: NaiveDate) -> bool {
    date.year() >= 1972
}

/// TT - UTC in seconds on a UTC date (at its start); before 1972 TT - UT1 from published values.
pub fn tt_minus_utc_s(date: NaiveDate) -> f64 {
    let month = (date.year(), date.month());
    let later = TAI_MINUS_UTC_S.partition_point(|entry| (entry.0, entry.1) <= month);
    match later.checked_sub(1) {
        Some(index) => TT_MINUS_TAI_S + TAI_MINUS_UTC_S[index].2,
        None => delta_t_s(f64::from(date.year()) + f64::from(date.ordinal0()) / 365.25),
    }
}

/// TT - UT1 in seconds for a decimal year from 1941 to 1986; before, the value of 1941.
///
/// Source: Espenak and Meeus 2006, Five Millennium Canon of Solar Eclipses, NASA/TP-2006-214141, section 2.7;
/// within 0.1 s of the measured values in those years.
fn delta_t_s(year: f64) -> f64 {
    if year < 1961.0 {
        // 29.07 + 0.407 t - t^2/233 + t^3/2547, t = y - 1950
        let t = year.max(1941.0) - 1950.0;
        29.07 + 0.407 * t - t * t / 233.0 + t.powi(3) / 2547.0
    } else {
        // 45.45 + 1.067 t - t^2/260 - t^3/718, t = y - 1975
        let t = year - 1975.0;
        45.45 + 1.067 * t - t * t / 260.0 - t.powi(3) / 718.0
    }
}

#[cfg(test)]
mod tests {
    use chrono::{Datelike, NaiveDate};
    use sofars::ts::dat;

    use super::{TAI_MINUS_UTC_S, TT_MINUS_TAI_S, TimeDoubt, time_doubt, tt_minus_utc_s};

    fn day(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap()
    }

    #[test]
    fn the_table_is_that_of_sofa() {
        // SOFA routine iauDat, release 2023-10-11, as carried by the crate sofars.
        for (year, month, _) in TAI_MINUS_UTC_S {
            let first = day(year, month, 1);
            for date in [first.pred_opt().unwrap(), first].into_iter().filter(|date| *date >= day(1972, 1, 1))
            {
                let want =
                    dat(date.year(), date.month().cast_signed(), date.day().cast_signed(), 0.0).unwrap();
                assert!((tt_minus_utc_s(date) - TT_MINUS_TAI_S - want).abs() < 1e-12, "{date}");
            }
        }
    }

    #[test]
    fn delta_t_before_leap_seconds() {
        // Espenak and Meeus 2006, table 2-2 (measured): 1950 29.1 s, 1955 31.1, 1960 33.2, 1965 35.7, 1970
        // 40.2.
        for (year, want) in [(1950, 29.1), (1955, 31.1), (1960, 33.2), (1965, 35.7), (1970, 40.2)] {
            let got = tt_minus_utc_s(day(year, 1, 1));
            assert!((got - want).abs() < 0.15, "{year}: got {got}");
        }
    }

    #[test]
    fn doubt_is_told() {
        assert_eq!(time_doubt(day(1971, 12, 31)), Some(TimeDoubt::BeforeLeapSeconds));
        assert_eq!(time_doubt(day(1972, 1, 1)), None);
        assert_eq!(time_doubt(day(2027, 3, 13)), None);
        assert_eq!(time_doubt(day(2035, 1, 1)), Some(TimeDoubt::AfterAnnouncement));
    }
}
