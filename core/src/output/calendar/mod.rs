//! The evening in everyone's calendar: an event each for the evening, the call, the crew and every stop.
//!
//! Sources: RFC 5545 (the format), RFC 7986 (name and description of the calendar). [`evening_calendar`] gathers the
//! `happenings`, words them as properties in `entries`, describes the zone in `zone` and numbers changes in `sequence`.

mod entries;
mod happenings;
mod sequence;
mod zone;

use calcard::icalendar::{ICalendar, ICalendarComponent, ICalendarComponentType, ICalendarProperty};
use chrono::{DateTime, Utc};

use self::entries::{event, text};
use self::happenings::happenings;
use self::zone::time_zone;
use crate::plan::{Evening, Materials, Prepared};
use crate::sheet::RunSheet;

/// Whom a calendar is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CalendarFor {
    /// The people who run the evening: with the call, their own hour, and every stop.
    Crew,
    /// Visitors and the park's web page: the evening alone.
    Visitors,
}

/// What the caller gives beside the evening.
#[derive(Clone, Copy, Debug)]
pub struct CalendarOptions<'c> {
    /// Whom it is for.
    pub audience: CalendarFor,
    /// The DTSTAMP of all events. It is the caller's, not the clock's, so that the same evening gives the same text:
    /// which of two versions is the newer one, SEQUENCE tells.
    pub stamp: DateTime<Utc>,
    /// The calendar that this one replaces, as text: what has changed since gets a higher SEQUENCE, and what is gone
    /// is cancelled. Events of other evenings in it are not carried over.
    pub previous: Option<&'c str>,
}

/// A calendar as text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CalendarText {
    /// The iCalendar object, with lines of at most 75 octets that end in CR LF.
    pub text: String,
    /// Whether there was a previous calendar that could not be read, so that every SEQUENCE begins at 0 again.
    pub previous_unreadable: bool,
    /// How many events of the previous calendar are not this evening's, and were left out.
    pub left_out: usize,
}

/// The evening as a calendar. Events are known by date, place and target, so that people who have them see them move;
/// two evenings on one date at one place can't be told apart.
pub fn evening_calendar(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    sheet: &RunSheet,
    options: &CalendarOptions<'_>,
) -> CalendarText {
    let happenings = happenings(evening, prepared, materials, sheet, options.audience);
    let zone = prepared.night.local.zone();
    let night = prepared.night.local.window();
    let starts = happenings.iter().map(|happening| happening.time.start().to_utc());
    let first = starts.fold(night.start().to_utc(), DateTime::min);
    let mut calendar = ICalendar::default();
    calendar.components.push(head(sheet));
    let (component, observances) = time_zone(zone, first, night.end().to_utc());
    add(&mut calendar, component, observances);
    for happening in &happenings {
        add(&mut calendar, event(happening, zone, evening.call.decision, options.stamp), Vec::new());
    }
    sequence::number(calendar, options)
}

/// A component below the calendar itself, with the components within it.
fn add(calendar: &mut ICalendar, mut component: ICalendarComponent, parts: Vec<ICalendarComponent>) {
    let position = calendar.components.len() as u32;
    component.component_ids = (1..=parts.len() as u32).map(|part| position + part).collect();
    calendar.components.push(component);
    calendar.components.extend(parts);
    calendar.components[0].component_ids.push(position);
}

/// The calendar's own properties.
fn head(sheet: &RunSheet) -> ICalendarComponent {
    let mut head = ICalendarComponent::new(ICalendarComponentType::VCalendar);
    head.entries = vec![
        text(ICalendarProperty::Version, "2.0"),
        text(ICalendarProperty::Prodid, concat!("-//Evenfall//", env!("CARGO_PKG_VERSION"), "//EN")),
        text(ICalendarProperty::Calscale, "GREGORIAN"),
        text(ICalendarProperty::Name, &sheet.title),
        text(ICalendarProperty::Description, &format!("{} · {}", sheet.subtitle, sheet.stamp)),
    ];
    head
}

#[cfg(test)]
mod tests {
    use std::collections::HashMap;

    use chrono::{DateTime, Utc};

    use super::{CalendarFor, CalendarOptions, evening_calendar};
    use crate::plan::{Decision, RunningOrder};
    use crate::sheet::demo::Demo;
    use crate::time::Interval;

    fn crew(demo: &Demo, previous: Option<&str>) -> String {
        let prepared = demo.prepared();
        let sheet = demo.sheet(&prepared);
        let options =
            CalendarOptions { audience: CalendarFor::Crew, stamp: DateTime::<Utc>::UNIX_EPOCH, previous };
        evening_calendar(&demo.evening, &prepared, &demo.materials(), &sheet, &options).text
    }

    fn unfolded(text: &str) -> Vec<String> {
        text.replace("\r\n ", "").split("\r\n").map(str::to_owned).collect()
    }

    /// The value of a property of each event, by what the event is known by.
    fn of_events(text: &str, property: &str) -> HashMap<String, String> {
        let text = text.replace("\r\n ", "");
        let value = |event: &str, name: &str| {
            event.split("\r\n").find_map(|line| line.strip_prefix(name)?.strip_prefix(':').map(str::to_owned))
        };
        let events = text.split("BEGIN:VEVENT").skip(1);
        events.map(|event| (value(event, "UID").unwrap(), value(event, property).unwrap())).collect()
    }

    #[test]
    fn every_line_is_short_and_the_text_is_the_same_twice() {
        let (mut demo, _) = Demo::on("2027-03-13").drafted();
        demo.evening.title = "Überlange \u{5317} Nacht, mit Komma; und \\ ".repeat(8);
        let text = crew(&demo, None);
        // RFC 5545, 3.1: lines of at most 75 octets, ended by CR LF.
        assert!(text.ends_with("END:VCALENDAR\r\n"));
        assert!(text.split("\r\n").all(|line| line.len() <= 75 && !line.contains('\n')), "{text}");
        assert_eq!(text, crew(&demo, None));
        assert_eq!(text, crew(&demo, Some(&text)), "nothing has changed since");
    }

    #[test]
    fn a_change_raises_only_its_own_sequence_and_what_is_gone_is_cancelled() {
        let (mut demo, _) = Demo::on("2027-03-13").drafted();
        let first = crew(&demo, None);
        let stops = demo.evening.order.stops().to_vec();
        let (moved, gone) = (&stops[3], &stops[5]);
        demo.evening.order = RunningOrder::new(
            stops
                .iter()
                .filter(|stop| stop.id != gone.id)
                .map(|stop| {
                    let mut stop = stop.clone();
                    if stop.id == moved.id {
                        let end = stop.interval.end().plus_minutes(-1.0);
                        stop.interval = Interval::new(stop.interval.start(), end).unwrap();
                    }
                    stop
                })
                .collect(),
        );
        let second = crew(&demo, Some(&first));
        let (before, after) = (of_events(&first, "SEQUENCE"), of_events(&second, "SEQUENCE"));
        assert!(before.values().all(|sequence| sequence == "0"));
        assert_eq!(before.len(), after.len());
        let status = of_events(&second, "STATUS");
        let cancelled: Vec<&String> =
            status.iter().filter(|(_, status)| *status == "CANCELLED").map(|(uid, _)| uid).collect();
        assert_eq!(cancelled.len(), 1, "{cancelled:?}");
        assert_eq!(after[cancelled[0]], "1");
        let third = crew(&demo, Some(&second));
        assert_eq!(second, third, "a cancelled event is cancelled once");
        demo.evening.call.decision = Decision::Go;
        let fourth = crew(&demo, Some(&third));
        assert!(
            of_events(&fourth, "STATUS")
                .iter()
                .all(|(uid, status)| status == "CONFIRMED" || uid == cancelled[0])
        );
        assert!(of_events(&fourth, "SEQUENCE").values().all(|sequence| sequence != "0"));
    }

    #[test]
    fn a_zone_tells_both_clocks_of_a_night_of_change() {
        // IANA time-zone database: London goes forward on 2027-03-28 at 01:00 UTC, back on 2027-10-31 at 01:00 UTC.
        let (demo, _) = Demo::on("2027-03-27").drafted();
        let lines = unfolded(&crew(&demo, None));
        let zone: Vec<&str> = lines
            .iter()
            .map(String::as_str)
            .skip_while(|line| *line != "BEGIN:VTIMEZONE")
            .take_while(|line| *line != "END:VTIMEZONE")
            .collect();
        assert_eq!(
            zone,
            [
                "BEGIN:VTIMEZONE",
                "TZID:Europe/London",
                "BEGIN:STANDARD",
                "DTSTART:20261025T020000",
                "TZOFFSETFROM:+0100",
                "TZOFFSETTO:+0000",
                "TZNAME:GMT",
                "END:STANDARD",
                "BEGIN:DAYLIGHT",
                "DTSTART:20270328T010000",
                "TZOFFSETFROM:+0000",
                "TZOFFSETTO:+0100",
                "TZNAME:BST",
                "END:DAYLIGHT",
            ]
        );
    }

    #[test]
    fn a_number_out_of_range_and_events_of_others_do_no_harm() {
        let (mut demo, _) = Demo::on("2027-03-13").drafted();
        // RFC 5545, 3.3.8: from -2147483648 to 2147483647.
        let before = crew(&demo, None).replace("SEQUENCE:0", "SEQUENCE:9223372036854775807");
        demo.evening.title.push('!');
        let after = crew(&demo, Some(&before));
        assert!(of_events(&after, "SEQUENCE").values().any(|sequence| sequence == "2147483647"));
        let (other, prepared) = Demo::on("2027-04-10").drafted();
        let options = CalendarOptions {
            audience: CalendarFor::Visitors,
            stamp: DateTime::<Utc>::UNIX_EPOCH,
            previous: Some(&after),
        };
        let sheet = other.sheet(&prepared);
        let calendar = evening_calendar(&other.evening, &prepared, &other.materials(), &sheet, &options);
        assert_eq!(calendar.left_out, of_events(&after, "UID").len());
        assert_eq!(of_events(&calendar.text, "SEQUENCE").len(), 1);
    }

    #[test]
    fn a_broken_calendar_before_is_told() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let options = CalendarOptions {
            audience: CalendarFor::Visitors,
            stamp: DateTime::<Utc>::UNIX_EPOCH,
            previous: Some("no calendar at all"),
        };
        let calendar =
            evening_calendar(&demo.evening, &prepared, &demo.materials(), &demo.sheet(&prepared), &options);
        assert!(calendar.previous_unreadable);
        assert_eq!(calendar.left_out, 0);
        assert_eq!(of_events(&calendar.text, "STATUS").len(), 1);
    }
}
