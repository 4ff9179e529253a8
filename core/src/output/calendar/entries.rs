//! Happenings as the properties of RFC 5545.

use calcard::common::PartialDateTime;
use calcard::icalendar::{
    ICalendarComponent, ICalendarComponentType, ICalendarEntry, ICalendarParameter, ICalendarParameterName,
    ICalendarProperty, ICalendarStatus, ICalendarTransparency, ICalendarValue,
};
use chrono::{DateTime, Datelike, NaiveDateTime, TimeZone, Timelike, Utc};
use chrono_tz::Tz;

use super::happenings::Happening;
use crate::plan::Decision;
use crate::time::Instant;

/// An event.
pub(super) fn event(
    happening: &Happening,
    zone: Tz,
    decision: Decision,
    stamp: DateTime<Utc>,
) -> ICalendarComponent {
    let status = match decision {
        Decision::Open => ICalendarStatus::Tentative,
        Decision::Go => ICalendarStatus::Confirmed,
        Decision::NoGo => ICalendarStatus::Cancelled,
    };
    let transparency =
        if happening.busy { ICalendarTransparency::Opaque } else { ICalendarTransparency::Transparent };
    let (latitude, longitude) = happening.geo;
    let mut event = ICalendarComponent::new(ICalendarComponentType::VEvent);
    event.entries = vec![
        text(ICalendarProperty::Uid, &happening.uid),
        entry(ICalendarProperty::Dtstamp, moment(stamp.naive_utc(), Some(0))),
        at(ICalendarProperty::Dtstart, happening.time.start(), zone),
        at(ICalendarProperty::Dtend, happening.time.end(), zone),
        text(ICalendarProperty::Summary, &happening.summary),
        text(ICalendarProperty::Description, &happening.description),
        text(ICalendarProperty::Location, &happening.location),
        ICalendarEntry::new(ICalendarProperty::Geo).with_values(vec![
            ICalendarValue::Float(rounded(latitude)),
            ICalendarValue::Float(rounded(longitude)),
        ]),
        entry(ICalendarProperty::Status, ICalendarValue::Status(status)),
        entry(ICalendarProperty::Transp, ICalendarValue::Transparency(transparency)),
    ];
    event
}

/// RFC 5545, 3.8.1.6: six decimals are enough.
fn rounded(degrees: f64) -> f64 {
    (degrees * 1e6).round() / 1e6
}

/// A property with a value.
pub(super) fn entry(name: ICalendarProperty, value: ICalendarValue) -> ICalendarEntry {
    ICalendarEntry::new(name).with_value(value)
}

/// A property with words; what no calendar may hold is left out (RFC 5545, 3.1: control characters).
pub(super) fn text(name: ICalendarProperty, words: &str) -> ICalendarEntry {
    let words: String =
        words.chars().filter(|character| *character == '\n' || !character.is_control()).collect();
    entry(name, ICalendarValue::Text(words))
}

/// A time on the clock of a zone, to the second; in UTC where that clock shows it a second time, as a local time means
/// the first (RFC 5545, 3.3.5).
fn at(name: ICalendarProperty, instant: Instant, zone: Tz) -> ICalendarEntry {
    // The nearest second: stops and doors lie on whole minutes.
    let utc = instant.plus_seconds(0.5).to_utc().with_nanosecond(0).unwrap_or(instant.to_utc());
    let local = utc.with_timezone(&zone).naive_local();
    if zone.from_local_datetime(&local).earliest().is_none_or(|first| first != utc) {
        return entry(name, moment(utc.naive_utc(), Some(0)));
    }
    let id = ICalendarParameter::new(ICalendarParameterName::Tzid, zone.name().to_owned());
    entry(name, moment(local, None)).with_param(id)
}

/// A date with its time, by the clock that `offset_s`, in seconds, names; `None` for the clock of the property's zone.
pub(super) fn moment(time: NaiveDateTime, offset_s: Option<i32>) -> ICalendarValue {
    let hour_and_minute =
        offset_s.map(|seconds| ((seconds.abs() / 3600) as u8, (seconds.abs() / 60 % 60) as u8));
    ICalendarValue::PartialDateTime(Box::new(PartialDateTime {
        year: u16::try_from(time.year()).ok(),
        month: Some(time.month() as u8),
        day: Some(time.day() as u8),
        hour: Some(time.hour() as u8),
        minute: Some(time.minute() as u8),
        second: Some(time.second() as u8),
        tz_hour: hour_and_minute.map(|offset| offset.0),
        tz_minute: hour_and_minute.map(|offset| offset.1),
        tz_minus: offset_s.is_some_and(|seconds| seconds < 0),
    }))
}
