//! TT minus UTC: the dated table of leap seconds, its source and its last certain day.

use chrono::NaiveDate;

/// Why a time carries doubt: shown to the user, never silent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TimeDoubt {
    /// Before 1972 there was no UTC with leap seconds: clock time is read as UT1.
    BeforeLeapSeconds,
    /// After the last day for which leap seconds are announced: none is assumed to come.
    AfterAnnouncement,
}

/// What is doubtful about clock times on `date`, if anything.
pub fn time_doubt(date: NaiveDate) -> Option<TimeDoubt> {
    todo!()
}

/// TT - UTC in seconds on a UTC date (at its start); before 1972 TT - UT1 from published values.
pub fn tt_minus_utc_s(date: NaiveDate) -> f64 {
    todo!()
}
