//! A local night, noon to noon, in a time zone; right across a change of clocks.

use std::fmt;

use chrono::{DateTime, NaiveDate, NaiveTime};
use chrono_tz::Tz;

use super::{Instant, Interval};

/// One local night: from 12:00 civil time of its date (included) to 12:00 of the next (excluded), so
/// 23, 24 or 25 hours long. It bears the date of its evening.
#[derive(Clone, Debug, PartialEq)]
pub struct LocalNight {
    date: NaiveDate,
    zone: Tz,
    window: Interval,
}

/// Why a local time names no instant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LocalTimeError {
    /// The clock jumps over it.
    Skipped,
    /// The date is outside what the calendar can hold.
    OutOfRange,
}

impl fmt::Display for LocalTimeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Skipped => "the clocks jump over this time; choose an earlier or a later one",
            Self::OutOfRange => "the date is outside the calendar; choose one from 1950 to 2100",
        })
    }
}

impl std::error::Error for LocalTimeError {}

impl LocalNight {
    /// The night that begins on the evening of `date`.
    ///
    /// # Errors
    /// When the date can't be held. A noon that does not exist (a zone that skips a day) is taken at the
    /// end of the gap.
    pub fn new(date: NaiveDate, zone: Tz) -> Result<Self, LocalTimeError> {
        todo!()
    }

    /// The date of its evening.
    pub const fn date(&self) -> NaiveDate {
        self.date
    }

    /// The zone.
    pub const fn zone(&self) -> Tz {
        self.zone
    }

    /// Noon to noon.
    pub const fn window(&self) -> Interval {
        self.window
    }

    /// The instant of a clock time in this night: from 12:00 on it belongs to the evening's date, before
    /// to the next. A time that occurs twice is the first of the two.
    ///
    /// # Errors
    /// [`LocalTimeError::Skipped`] when the clocks jump over it.
    pub fn at(&self, time: NaiveTime) -> Result<Instant, LocalTimeError> {
        todo!()
    }

    /// An instant on the local clock.
    pub fn local(&self, instant: Instant) -> DateTime<Tz> {
        instant.to_utc().with_timezone(&self.zone)
    }

    /// The zone's abbreviation at an instant, such as `GMT` or `BST`; for zones without one the offset.
    pub fn zone_label(&self, instant: Instant) -> String {
        todo!()
    }

    /// Whether the clocks change inside the night, and when.
    pub fn clock_change(&self) -> Option<Instant> {
        todo!()
    }
}
