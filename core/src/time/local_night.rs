//! A local night, noon to noon, in a time zone; right across a change of clocks.

use std::fmt;

use chrono::{DateTime, Datelike, NaiveDate, NaiveDateTime, NaiveTime, Offset, TimeDelta, TimeZone, Utc};
use chrono_tz::{OffsetName, Tz};

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
        // Within these years every instant of the night can be held (292 years around 2000).
        if !(1710..=2290).contains(&date.year()) {
            return Err(LocalTimeError::OutOfRange);
        }
        let next = date.succ_opt().ok_or(LocalTimeError::OutOfRange)?;
        let window = Interval::new(noon(date, zone), noon(next, zone)).ok_or(LocalTimeError::OutOfRange)?;
        Ok(Self { date, zone, window })
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
        let date = if time >= NOON { Some(self.date) } else { self.date.succ_opt() };
        let local = date.ok_or(LocalTimeError::OutOfRange)?.and_time(time);
        let first = self.zone.from_local_datetime(&local).earliest().ok_or(LocalTimeError::Skipped)?;
        Ok(Instant::from_utc(first.to_utc()))
    }

    /// The second instant of a clock time that occurs twice in this night, where clocks go back; `None` for all others.
    pub fn again_at(&self, time: NaiveTime) -> Option<Instant> {
        let date = if time >= NOON { Some(self.date) } else { self.date.succ_opt() };
        let both = self.zone.from_local_datetime(&date?.and_time(time));
        let (first, last) = (both.earliest()?, both.latest()?);
        (first != last).then(|| Instant::from_utc(last.to_utc()))
    }

    /// An instant on the local clock.
    pub fn local(&self, instant: Instant) -> DateTime<Tz> {
        instant.to_utc().with_timezone(&self.zone)
    }

    /// The zone's abbreviation at an instant, such as `GMT` or `BST`; for zones without one the offset.
    pub fn zone_label(&self, instant: Instant) -> String {
        let local = self.local(instant);
        match local.offset().abbreviation() {
            Some(name) if name.starts_with(|c: char| c.is_ascii_alphabetic()) => name.to_owned(),
            _ => format!("UTC{}", local.format("%:z")),
        }
    }

    /// Whether the clocks change inside the night, and when.
    pub fn clock_change(&self) -> Option<Instant> {
        let (start, end) = (self.window.start().to_utc(), self.window.end().to_utc());
        let mut before = start;
        // No zone has changed its clocks twice within an hour.
        while before < end {
            let after = (before + TimeDelta::hours(1)).min(end);
            let offset = offset_s(self.zone, before);
            if offset_s(self.zone, after) != offset {
                let change = first_second(before, after, |utc| offset_s(self.zone, utc) != offset);
                return Some(Instant::from_utc(change)).filter(|change| self.window.contains(*change));
            }
            before = after;
        }
        None
    }
}

const NOON: NaiveTime = NaiveTime::from_hms_opt(12, 0, 0).expect("a time of the day");

fn offset_s(zone: Tz, utc: DateTime<Utc>) -> i32 {
    zone.offset_from_utc_datetime(&utc.naive_utc()).fix().local_minus_utc()
}

/// Noon on a local clock; where the clocks jump over it, the end of the jump.
fn noon(date: NaiveDate, zone: Tz) -> Instant {
    let local: NaiveDateTime = date.and_time(NOON);
    let utc = zone.from_local_datetime(&local).earliest().map_or_else(
        || {
            // No clock on Earth is more than a day from UTC, and no jump has been longer than a day.
            let (low, high) = (local - TimeDelta::days(2), local + TimeDelta::days(2));
            first_second(low.and_utc(), high.and_utc(), |utc| utc.with_timezone(&zone).naive_local() >= local)
        },
        |noon| noon.to_utc(),
    );
    Instant::from_utc(utc)
}

/// The first whole second after `low`, up to `high`, from which on `reached` holds; it holds at `high`.
fn first_second(
    low: DateTime<Utc>,
    high: DateTime<Utc>,
    reached: impl Fn(DateTime<Utc>) -> bool,
) -> DateTime<Utc> {
    let (mut low, mut high) = (low.timestamp(), high.timestamp());
    let at = |second| DateTime::from_timestamp(second, 0).expect("between two instants that exist");
    while high - low > 1 {
        let middle = low.midpoint(high);
        if reached(at(middle)) {
            high = middle;
        } else {
            low = middle;
        }
    }
    at(high)
}

#[cfg(test)]
mod tests {
    use chrono::{NaiveDate, NaiveTime};
    use chrono_tz::Tz;

    use super::{LocalNight, LocalTimeError};

    fn night(year: i32, month: u32, day: u32, zone: Tz) -> LocalNight {
        LocalNight::new(NaiveDate::from_ymd_opt(year, month, day).unwrap(), zone).unwrap()
    }

    fn clock(hour: u32, minute: u32) -> NaiveTime {
        NaiveTime::from_hms_opt(hour, minute, 0).unwrap()
    }

    // The changes of clocks below: IANA time zone database, files europe, australasia and asia.

    #[test]
    fn nights_of_23_24_25_hours_and_a_half() {
        let hours = |night: LocalNight| night.window().minutes() / 60.0;
        assert_eq!(hours(night(2027, 3, 27, Tz::Europe__London)), 23.0);
        assert_eq!(hours(night(2027, 3, 13, Tz::Europe__London)), 24.0);
        assert_eq!(hours(night(2027, 10, 30, Tz::Europe__London)), 25.0);
        assert_eq!(hours(night(2027, 4, 3, Tz::Australia__Lord_Howe)), 24.5);
        assert_eq!(hours(night(2027, 10, 2, Tz::Australia__Lord_Howe)), 23.5);
    }

    #[test]
    fn the_change_of_clocks_is_found_to_the_second() {
        let spring = night(2027, 3, 27, Tz::Europe__London);
        let change = spring.clock_change().unwrap();
        assert_eq!(change.to_utc().to_rfc3339(), "2027-03-28T01:00:00+00:00");
        assert_eq!(spring.zone_label(change), "BST");
        assert_eq!(spring.zone_label(change.plus_seconds(-0.001)), "GMT");
        assert_eq!(night(2027, 3, 13, Tz::Europe__London).clock_change(), None);
        assert_eq!(night(2027, 3, 13, Tz::Asia__Kathmandu).zone_label(change), "UTC+05:45");
    }

    #[test]
    fn a_skipped_time_is_refused_and_a_doubled_one_is_the_first() {
        let spring = night(2027, 3, 27, Tz::Europe__London);
        assert_eq!(spring.at(clock(1, 30)), Err(LocalTimeError::Skipped));
        let autumn = night(2027, 10, 30, Tz::Europe__London);
        let first = autumn.at(clock(1, 30)).unwrap();
        assert_eq!(first.to_utc().to_rfc3339(), "2027-10-31T00:30:00+00:00");
        assert_eq!(autumn.again_at(clock(1, 30)), Some(first.plus_minutes(60.0)));
        assert_eq!([clock(0, 59), clock(2, 0)].map(|once| autumn.again_at(once)), [None, None]);
        assert_eq!(spring.again_at(clock(1, 30)), None);
        assert_eq!(autumn.at(clock(12, 0)).unwrap(), autumn.window().start());
        assert_eq!(autumn.at(clock(11, 59)).unwrap().plus_minutes(1.0), autumn.window().end());
    }

    #[test]
    fn a_zone_that_skips_a_day_still_has_its_evening() {
        // Samoa went from 2011-12-29 24:00 at UTC-10 straight to 2011-12-31 00:00 at UTC+14.
        let before = night(2011, 12, 29, Tz::Pacific__Apia);
        assert_eq!(before.window().end().to_utc().to_rfc3339(), "2011-12-30T10:00:00+00:00");
        assert_eq!(before.window().minutes(), 12.0 * 60.0);
        assert!(LocalNight::new(NaiveDate::MAX, Tz::UTC).is_err());
    }
}
