//! The time zone of a calendar: the clock in force, and every change that its times may meet.

use calcard::common::PartialDateTime;
use calcard::icalendar::{ICalendarComponent, ICalendarComponentType, ICalendarProperty, ICalendarValue};
use chrono::{DateTime, FixedOffset, NaiveDateTime, Offset, TimeDelta, TimeZone, Utc};
use chrono_tz::{OffsetComponents, OffsetName, Tz};

use super::entries::{entry, moment, text};

/// How far back the change is looked for that brought the clock in force. Every zone with yearly changes has had one by
/// then; a zone without is described from the day that this reaches.
const LOOK_BACK_DAYS: i64 = 400;
/// How far past the last time a change is described, so that a calendar moved by hand stays right.
const LOOK_AHEAD_DAYS: i64 = 200;

/// The component of a zone with its observances, for times from `first` to `last`.
///
/// Source: RFC 5545, 3.6.5: an observance begins at a local time told by the clock before it.
pub(super) fn time_zone(
    zone: Tz,
    first: DateTime<Utc>,
    last: DateTime<Utc>,
) -> (ICalendarComponent, Vec<ICalendarComponent>) {
    let from = first - TimeDelta::days(LOOK_BACK_DAYS);
    let changes = changes(zone, from, last + TimeDelta::days(LOOK_AHEAD_DAYS));
    let in_force = changes.iter().rposition(|change| *change <= first);
    let mut observances = Vec::new();
    if in_force.is_none() {
        observances.push(observance(zone, from, offset(zone, from)));
    }
    for change in &changes[in_force.unwrap_or(0)..] {
        observances.push(observance(zone, *change, offset(zone, *change - TimeDelta::seconds(1))));
    }
    let mut component = ICalendarComponent::new(ICalendarComponentType::VTimezone);
    component.entries = vec![text(ICalendarProperty::Tzid, zone.name())];
    (component, observances)
}

/// The clock from an instant on, which the clock before it tells with another offset.
fn observance(zone: Tz, since: DateTime<Utc>, before: FixedOffset) -> ICalendarComponent {
    let after = zone.offset_from_utc_datetime(&since.naive_utc());
    let kind = if after.dst_offset().is_zero() {
        ICalendarComponentType::Standard
    } else {
        ICalendarComponentType::Daylight
    };
    let start: NaiveDateTime = since.with_timezone(&before).naive_local();
    let mut component = ICalendarComponent::new(kind);
    component.entries = vec![
        entry(ICalendarProperty::Dtstart, moment(start, None)),
        entry(ICalendarProperty::Tzoffsetfrom, offset_value(before)),
        entry(ICalendarProperty::Tzoffsetto, offset_value(after.fix())),
    ];
    component.entries.extend(after.abbreviation().map(|name| text(ICalendarProperty::Tzname, name)));
    component
}

fn offset(zone: Tz, at: DateTime<Utc>) -> FixedOffset {
    zone.offset_from_utc_datetime(&at.naive_utc()).fix()
}

fn offset_value(offset: FixedOffset) -> ICalendarValue {
    let seconds = offset.local_minus_utc();
    ICalendarValue::PartialDateTime(Box::new(PartialDateTime {
        year: None,
        month: None,
        day: None,
        hour: None,
        minute: None,
        second: None,
        tz_hour: Some((seconds.abs() / 3600) as u8),
        tz_minute: Some((seconds.abs() / 60 % 60) as u8),
        tz_minus: seconds < 0,
    }))
}

/// The instants at which the clocks change, to the second.
fn changes(zone: Tz, from: DateTime<Utc>, until: DateTime<Utc>) -> Vec<DateTime<Utc>> {
    // No zone changes its clocks twice within half a day.
    let step = TimeDelta::hours(12);
    let mut found = Vec::new();
    let mut before = from;
    while before < until {
        let after = (before + step).min(until);
        if offset(zone, after) != offset(zone, before) {
            let (mut low, mut high) = (before.timestamp(), after.timestamp());
            let at = |second| DateTime::from_timestamp(second, 0).unwrap_or(before);
            while high - low > 1 {
                let middle = low.midpoint(high);
                if offset(zone, at(middle)) == offset(zone, before) { low = middle } else { high = middle }
            }
            found.push(at(high));
        }
        before = after;
    }
    found
}
