//! An instant, held in Terrestrial Time to the nanosecond.

use chrono::{DateTime, Days, NaiveDate, NaiveTime, TimeDelta, Timelike, Utc};

use super::leap_seconds::{knows_leap_seconds, tt_minus_utc_s};

const NS_PER_S: i64 = 1_000_000_000;
const NS_PER_DAY: i64 = 86_400 * NS_PER_S;

/// An instant: whole nanoseconds of Terrestrial Time since J2000.0 (2000-01-01 12:00 TT).
///
/// An `i64` of nanoseconds reaches 292 years to either side, so differences within a night are exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Instant {
    tt_ns: i64,
}

impl Instant {
    /// J2000.0 itself: 2000-01-01 12:00 TT.
    pub const J2000: Self = Self { tt_ns: 0 };

    /// From UTC, leap seconds included (chrono's 23:59:60 is understood).
    ///
    /// Beyond 292 years from J2000.0 the nearest instant that can be held.
    pub fn from_utc(utc: DateTime<Utc>) -> Self {
        let time = utc.time();
        // A leap second is second 59 with a thousand million nanoseconds more.
        let in_day_ns = i64::from(time.num_seconds_from_midnight()) * NS_PER_S + i64::from(time.nanosecond());
        Self { tt_ns: midnight_tt_ns(utc.date_naive()).saturating_add(in_day_ns) }
    }

    /// In UTC, to the nanosecond. A leap second reads 23:59:60 (in chrono's way of holding it).
    pub fn to_utc(self) -> DateTime<Utc> {
        // TT is ahead of UTC by less than 70 s, so it shows the UTC date or the next one.
        let tt_date =
            j2000_date() + TimeDelta::days(self.tt_ns.saturating_add(NS_PER_DAY / 2).div_euclid(NS_PER_DAY));
        let date = if self.tt_ns < midnight_tt_ns(tt_date) { tt_date - Days::new(1) } else { tt_date };
        let in_day_ns = self.tt_ns.saturating_sub(midnight_tt_ns(date)).max(0);
        // Only a leap second carries a day past its 86400 s; the slow drift before 1972 does not.
        let longest_ns = NS_PER_DAY - 1 + if knows_leap_seconds(date) { NS_PER_S } else { 0 };
        let in_day_ns = in_day_ns.min(longest_ns);
        let second = (in_day_ns / NS_PER_S).min(86_399);
        let time = NaiveTime::from_num_seconds_from_midnight_opt(
            second as u32,
            (in_day_ns - second * NS_PER_S) as u32,
        )
        .expect("second below 86400, nanoseconds below 2e9 and those of a leap second only at 59");
        date.and_time(time).and_utc()
    }

    /// Seconds of TT since J2000.0, as a float (2e-7 s coarse at a century from J2000.0).
    pub fn tt_seconds(self) -> f64 {
        self.tt_ns as f64 / 1e9
    }

    /// Julian centuries of TT since J2000.0.
    pub fn tt_centuries(self) -> f64 {
        self.tt_seconds() / (36_525.0 * 86_400.0)
    }

    /// Seconds of TDB (the time of the ephemeris) since J2000.0.
    ///
    /// Source: Kaplan 2005, US Naval Observatory Circular 179, eq. 2.6 (after Fairhead and Bretagnon 1990):
    /// within 10 microseconds from 1600 to 2200. The periodic part is at most 1.7 ms; leaving it out would
    /// cost the Moon 0.001 arcseconds and everything else less.
    pub fn tdb_seconds(self) -> f64 {
        // TDB - TT = 0.001657 sin(628.3076 T + 6.2401) + ... seconds, T in Julian centuries
        const TERMS: [(f64, f64, f64); 6] = [
            (0.001_657, 628.3076, 6.2401),
            (0.000_022, 575.3385, 4.2970),
            (0.000_014, 1256.6152, 6.1969),
            (0.000_005, 606.9777, 4.0212),
            (0.000_005, 52.9691, 0.4444),
            (0.000_002, 21.3299, 5.5431),
        ];
        let t = self.tt_centuries();
        let periodic: f64 = TERMS.iter().map(|(size, rate, phase)| size * (rate * t + phase).sin()).sum();
        self.tt_seconds() + periodic + 0.000_010 * t * (628.3076 * t + 4.2490).sin()
    }

    /// The Julian date in TT in two parts whose sum it is: that of a noon, and the part of a day since,
    /// which is exact to the nanosecond.
    pub fn julian_date_tt(self) -> (f64, f64) {
        split_julian_date(self.tt_ns)
    }

    /// The Julian date in UT1 in two parts as above, for a given UT1 - UTC in seconds.
    pub fn julian_date_ut1(self, ut1_minus_utc_s: f64) -> (f64, f64) {
        split_julian_date(self.utc_ns().saturating_add((ut1_minus_utc_s * 1e9).round() as i64))
    }

    /// Nanoseconds since 2000-01-01 12:00 UTC by the UTC of its own date, as if all days had 86400 s (a leap
    /// second runs on past the end of its day).
    pub(crate) fn utc_ns(self) -> i64 {
        let date = self.to_utc().date_naive();
        self.tt_ns.saturating_sub(tt_minus_utc_ns(date))
    }

    /// Seconds from `earlier` to this instant, exact to the nanosecond; negative if it is later. Differences beyond
    /// 292 years stop there.
    pub fn seconds_since(self, earlier: Self) -> f64 {
        self.tt_ns.saturating_sub(earlier.tt_ns) as f64 / 1e9
    }

    /// Minutes from `earlier` to this instant.
    pub fn minutes_since(self, earlier: Self) -> f64 {
        self.seconds_since(earlier) / 60.0
    }

    /// This instant and `seconds` more, rounded to the nanosecond.
    #[must_use]
    pub fn plus_seconds(self, seconds: f64) -> Self {
        Self { tt_ns: self.tt_ns.saturating_add((seconds * 1e9).round() as i64) }
    }

    /// This instant and `minutes` more.
    #[must_use]
    pub fn plus_minutes(self, minutes: f64) -> Self {
        self.plus_seconds(minutes * 60.0)
    }

    /// The instant one nanosecond before.
    pub(crate) fn just_before(self) -> Self {
        Self { tt_ns: self.tt_ns.saturating_sub(1) }
    }
}

fn j2000_date() -> NaiveDate {
    NaiveDate::from_ymd_opt(2000, 1, 1).expect("a date of the calendar")
}

fn tt_minus_utc_ns(date: NaiveDate) -> i64 {
    (tt_minus_utc_s(date) * 1e9).round() as i64
}

/// Nanoseconds of TT from J2000.0 to the start of a UTC date.
fn midnight_tt_ns(date: NaiveDate) -> i64 {
    let days = date.signed_duration_since(j2000_date()).num_days();
    days.saturating_mul(NS_PER_DAY).saturating_sub(NS_PER_DAY / 2).saturating_add(tt_minus_utc_ns(date))
}

fn split_julian_date(ns_since_j2000: i64) -> (f64, f64) {
    let days = ns_since_j2000.div_euclid(NS_PER_DAY);
    let part = ns_since_j2000.rem_euclid(NS_PER_DAY) as f64 / NS_PER_DAY as f64;
    (2_451_545.0 + days as f64, part)
}

#[cfg(test)]
mod tests {
    use chrono::{DateTime, TimeZone, Timelike, Utc};

    use super::Instant;

    fn utc(text: &str) -> DateTime<Utc> {
        text.parse().unwrap()
    }

    #[test]
    fn a_leap_second_has_its_own_instant() {
        // IERS Bulletin C 52: the leap second at the end of 2016-12-31; TAI - UTC 36 s before, 37 s after.
        let before = Instant::from_utc(utc("2016-12-31T23:59:59Z"));
        let leap = Instant::from_utc(utc("2016-12-31T23:59:60.25Z"));
        let after = Instant::from_utc(utc("2017-01-01T00:00:00Z"));
        assert_eq!(after.seconds_since(before), 2.0);
        assert_eq!(leap.seconds_since(before), 1.25);
        assert_eq!((leap.to_utc().second(), leap.to_utc().nanosecond()), (59, 1_250_000_000));
        assert_eq!(leap.to_utc(), utc("2016-12-31T23:59:60.25Z"));
    }

    #[test]
    fn comes_back_unchanged_from_every_year_of_the_ephemeris() {
        for year in 1950..=2100 {
            for (month, day, hour) in [(1, 1, 0), (6, 30, 23), (12, 31, 23)] {
                let there = Utc.with_ymd_and_hms(year, month, day, hour, 59, 59).unwrap();
                assert_eq!(Instant::from_utc(there).to_utc(), there);
            }
        }
    }

    #[test]
    fn julian_dates_of_known_days() {
        // Meeus, Astronomical Algorithms, 2nd ed., example 7.a, p. 61: 1957 October 4.81 is JD 2436116.31.
        let (day, part) = Instant::from_utc(utc("1957-10-04T19:26:24Z")).julian_date_ut1(0.0);
        assert!((day - 2_436_116.0 + part - 0.31).abs() < 1e-12, "{day} {part}");
        // The definition of J2000.0 (IAU 1994 resolution C7): JD 2451545.0 TT = 2000-01-01 11:58:55.816 UTC.
        assert_eq!(Instant::from_utc(utc("2000-01-01T11:58:55.816Z")), Instant::J2000);
        assert_eq!(Instant::J2000.julian_date_tt(), (2_451_545.0, 0.0));
    }

    #[test]
    fn tdb_as_published() {
        // ERFA test value of eraDtdb, t_erfa_c: TDB - TT = -0.1280368005936998991e-2 s at JD 2448939.623;
        // its topocentric part there is below 2.1 microseconds and the short series good to 10.
        let instant = Instant::J2000.plus_seconds((2_448_939.623 - 2_451_545.0) * 86_400.0);
        let got = instant.tdb_seconds() - instant.tt_seconds();
        assert!((got + 0.001_280_368).abs() < 1.2e-5, "got {got}");
    }
}
