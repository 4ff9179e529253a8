//! An instant, held in Terrestrial Time to the nanosecond.

use chrono::{DateTime, Utc};

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
    pub fn from_utc(utc: DateTime<Utc>) -> Self {
        todo!()
    }

    /// In UTC, rounded down to the nanosecond.
    pub fn to_utc(self) -> DateTime<Utc> {
        todo!()
    }

    /// Seconds of TT since J2000.0, as a float (2e-7 s coarse at a century from J2000.0).
    pub fn tt_seconds(self) -> f64 {
        self.tt_ns as f64 / 1e9
    }

    /// Julian centuries of TT since J2000.0.
    pub fn tt_centuries(self) -> f64 {
        self.tt_seconds() / (36_525.0 * 86_400.0)
    }

    /// The Julian date in TT in two parts whose sum it is: the day at J2000.0, and days since.
    pub fn julian_date_tt(self) -> (f64, f64) {
        todo!()
    }

    /// The Julian date in UT1 in two parts, for a given UT1 - UTC in seconds.
    pub fn julian_date_ut1(self, ut1_minus_utc_s: f64) -> (f64, f64) {
        todo!()
    }

    /// Seconds from `earlier` to this instant, exact to the nanosecond; negative if it is later.
    pub fn seconds_since(self, earlier: Self) -> f64 {
        (self.tt_ns - earlier.tt_ns) as f64 / 1e9
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
}
