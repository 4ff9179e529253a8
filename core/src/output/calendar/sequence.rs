//! Numbering what has changed since the calendar before (RFC 5545, 3.8.7.4), and cancelling what is gone.

use std::cmp::Ordering;

use calcard::icalendar::{
    ICalendar, ICalendarComponent, ICalendarComponentType, ICalendarEntry, ICalendarProperty,
    ICalendarStatus, ICalendarValue,
};
use calcard::{Entry, Parser};

use super::entries::entry;
use super::{CalendarOptions, CalendarText, add};

/// The calendar as text, each event with its SEQUENCE.
pub(super) fn number(mut calendar: ICalendar, options: &CalendarOptions<'_>) -> CalendarText {
    let previous = options.previous.map(read);
    let previous_unreadable = matches!(previous, Some(None));
    let former: Vec<ICalendarComponent> = previous.flatten().map(events).unwrap_or_default();
    // Both are read from text, so that the same words compare equal.
    let written = read(&as_text(&calendar)).map(events).unwrap_or_default();
    for component in calendar.components.iter_mut().filter(|component| is_event(component)) {
        let uid = component.uid().unwrap_or_default().to_owned();
        let known = |event: &&ICalendarComponent| event.uid() == Some(&uid);
        let sequence = match (former.iter().find(known), written.iter().find(known)) {
            (Some(before), Some(now)) if says(before) == says(now) => sequence_of(before),
            (Some(before), _) => sequence_of(before) + 1,
            (None, _) => 0,
        };
        component.add_sequence(sequence);
    }
    let evening = written.first().and_then(ICalendarComponent::uid).and_then(evening_part).map(str::to_owned);
    let mut left_out = 0;
    for event in former {
        let uid = event.uid().unwrap_or_default();
        let ours = evening.is_some() && evening_part(uid) == evening.as_deref();
        if !ours {
            left_out += 1;
        } else if !written.iter().any(|now| now.uid() == Some(uid)) {
            add(&mut calendar, cancelled(event), Vec::new());
        }
    }
    CalendarText { text: as_text(&calendar), previous_unreadable, left_out }
}

fn as_text(calendar: &ICalendar) -> String {
    let mut text = String::new();
    calendar.write_to(&mut text).expect("writing to a String can't fail");
    text
}

fn read(text: &str) -> Option<ICalendar> {
    match Parser::new(text).entry() {
        Entry::ICalendar(calendar) => Some(calendar),
        _ => None,
    }
}

fn is_event(component: &ICalendarComponent) -> bool {
    component.component_type == ICalendarComponentType::VEvent
}

fn events(calendar: ICalendar) -> Vec<ICalendarComponent> {
    calendar.components.into_iter().filter(is_event).collect()
}

/// The part of an event's name that the whole evening shares: date and place.
fn evening_part(uid: &str) -> Option<&str> {
    uid.match_indices('-').nth(1).map(|(end, _)| &uid[..end])
}

/// What an event says, without when and for the how many-th time it does.
fn says(event: &ICalendarComponent) -> Vec<&ICalendarEntry> {
    let mut entries: Vec<&ICalendarEntry> = event
        .entries
        .iter()
        .filter(|entry| !matches!(entry.name, ICalendarProperty::Sequence | ICalendarProperty::Dtstamp))
        .collect();
    entries.sort_by(|one, other| one.partial_cmp(other).unwrap_or(Ordering::Equal));
    entries
}

/// How often an event has changed. RFC 5545, 3.3.8: integers have 32 bits; what is outside counts as the nearest that can
/// still be raised.
fn sequence_of(event: &ICalendarComponent) -> i64 {
    let value = event.property(&ICalendarProperty::Sequence).and_then(|entry| entry.values.first());
    match value {
        Some(ICalendarValue::Integer(sequence)) => (*sequence).clamp(0, i64::from(i32::MAX) - 1),
        _ => 0,
    }
}

/// An event that no longer takes place; one that was cancelled before stays as it is.
fn cancelled(mut event: ICalendarComponent) -> ICalendarComponent {
    let status = ICalendarValue::Status(ICalendarStatus::Cancelled);
    let before = event.property(&ICalendarProperty::Status).and_then(|entry| entry.values.first());
    if before == Some(&status) {
        return event;
    }
    let sequence = sequence_of(&event) + 1;
    event
        .entries
        .retain(|entry| !matches!(entry.name, ICalendarProperty::Sequence | ICalendarProperty::Status));
    event.entries.push(entry(ICalendarProperty::Status, status));
    event.add_sequence(sequence);
    event
}
