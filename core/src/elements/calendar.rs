//! Dates as elements write them: UTC to the fraction of a second, days of TT with a decimal fraction.

use chrono::{DateTime, Datelike, NaiveDate, NaiveTime, TimeDelta, Utc};

use crate::time::Instant;

const DAY_S: f64 = 86_400.0;

/// `2027-03-13T20:15:00.123456` or `2027-072T20:15:00`, with or without a Z (CCSDS 502.0-B-3, section 7.5.10). Years
/// from 1957 to 2156.
pub fn read_utc(text: &str) -> Option<DateTime<Utc>> {
    let text = text.trim();
    let text = text.strip_suffix(['Z', 'z']).unwrap_or(text);
    let (date, time) = text.split_once(['T', 't', ' '])?;
    let parts: Vec<&str> = date.split('-').collect();
    let date = match parts.as_slice() {
        [year, month, day] if digits(year, 4) && digits(month, 2) && digits(day, 2) => {
            NaiveDate::from_ymd_opt(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)?
        }
        [year, day] if digits(year, 4) && digits(day, 3) => {
            NaiveDate::from_yo_opt(year.parse().ok()?, day.parse().ok()?)?
        }
        _ => return None,
    };
    let time = NaiveTime::parse_from_str(time.trim(), "%H:%M:%S%.f").ok()?;
    (1957..=2156).contains(&date.year()).then(|| date.and_time(time).and_utc())
}

/// As [`read_utc`] reads it back, to the nanosecond.
pub fn write_utc(at: DateTime<Utc>) -> String {
    at.format("%Y-%m-%dT%H:%M:%S%.fZ").to_string()
}

/// A day of a year with its fraction, 1.0 being the start of the first of January, UTC.
pub(super) fn day_of_year(year: i32, day: f64) -> Option<DateTime<Utc>> {
    if !(1.0..367.0).contains(&day) {
        return None;
    }
    let date = NaiveDate::from_yo_opt(year, day.floor() as u32)?;
    let microseconds = (day.fract() * DAY_S * 1e6).round() as i64;
    Some(date.and_time(NaiveTime::MIN).and_utc() + TimeDelta::microseconds(microseconds))
}

/// `2027-03-13.4567`: a day of TT with a decimal fraction, years from 1800 to 2200.
pub fn read_tt_day(text: &str) -> Option<Instant> {
    let parts: Vec<&str> = text.trim().splitn(3, '-').collect();
    let [year, month, day] = parts.as_slice() else { return None };
    let plain = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || c == '.');
    (plain(year) && plain(month) && plain(day)).then_some(())?;
    tt_day(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
}

/// A day of a month with its fraction, in TT.
pub(super) fn tt_day(year: i32, month: u32, day: f64) -> Option<Instant> {
    if !(1800..=2200).contains(&year) || !(1.0..32.0).contains(&day) {
        return None;
    }
    let date = NaiveDate::from_ymd_opt(year, month, day.floor() as u32)?;
    let midnight = midnight_tt(date);
    // In two steps: a century of seconds and a nanosecond don't fit one float.
    Some(midnight.plus_seconds(day.fract() * DAY_S))
}

/// As [`read_tt_day`] reads it back, with no more decimals than that takes.
pub fn write_tt_day(at: Instant) -> String {
    let days = ((at.seconds_since(Instant::J2000) + DAY_S / 2.0) / DAY_S).floor();
    let date = j2000_date() + TimeDelta::days(days as i64);
    let fraction = at.seconds_since(midnight_tt(date)) / DAY_S;
    let written = |decimals: usize| {
        let day = f64::from(date.day()) + fraction;
        format!("{:04}-{:02}-{day:0width$.decimals$}", date.year(), date.month(), width = decimals + 3)
    };
    let whole = (4..=15).map(written).find(|text| read_tt_day(text) == Some(at));
    whole.unwrap_or_else(|| written(15))
}

fn midnight_tt(date: NaiveDate) -> Instant {
    let days = date.signed_duration_since(j2000_date()).num_days();
    Instant::J2000.plus_seconds(days as f64 * DAY_S - DAY_S / 2.0)
}

fn j2000_date() -> NaiveDate {
    NaiveDate::from_ymd_opt(2000, 1, 1).expect("a date of the calendar")
}

fn digits(text: &str, count: usize) -> bool {
    text.len() == count && text.bytes().all(|byte| byte.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::{day_of_year, read_tt_day, read_utc, write_tt_day, write_utc};
    use crate::time::Instant;

    #[test]
    fn both_calendars_give_the_same_instant() {
        let date = read_utc("2027-03-13T20:15:00.123456").unwrap();
        assert_eq!(read_utc("2027-072T20:15:00.123456Z"), Some(date));
        assert_eq!(read_utc(&write_utc(date)), Some(date));
        assert_eq!(day_of_year(2027, 72.5), read_utc("2027-03-13T12:00:00"));
        for odd in ["", "T", "2027-03-13", "2027-366T00:00:00", "2027-13-01T00:00:00", "27-03-13T00:00:00"] {
            assert_eq!(read_utc(odd), None, "{odd}");
        }
    }

    #[test]
    fn days_of_tt_come_back() {
        // J2000.0 is 2000-01-01 12:00 TT (IAU 1994 resolution C7).
        assert_eq!(read_tt_day("2000-01-01.5"), Some(Instant::J2000));
        for seconds in [0.0, 1e8 + 0.123_456_789, -3e9 - 0.000_000_001, 5.9e9] {
            let at = Instant::J2000.plus_seconds(seconds);
            assert_eq!(read_tt_day(&write_tt_day(at)), Some(at), "{}", write_tt_day(at));
        }
        assert_eq!(write_tt_day(read_tt_day("2027-03-02.1234").unwrap()), "2027-03-02.1234");
        for odd in ["", "2027-03", "2027-03-32.0", "2027-03-nan", "2027-03--2", "9999-01-01.0"] {
            assert_eq!(read_tt_day(odd), None, "{odd}");
        }
    }
}
