//! Row 64: what leaves the evening as a table and as a calendar reads back in readers that are not ours.

use chrono::{DateTime, FixedOffset, NaiveDateTime, TimeDelta, Utc};
use evenfall_core::output::{CalendarFor, CalendarOptions, evening_calendar, order_csv};
use evenfall_core::sheet::run_sheet;
use evenfall_tests::park::Park;
use icalendar::parser::{Component as Parsed, read_calendar, unfold};

/// The zone's clocks as the calendar itself tells them: since when by the clock before, that clock, and the new one.
struct Clock {
    since: NaiveDateTime,
    before: FixedOffset,
    after: FixedOffset,
}

fn value<'c>(component: &'c Parsed<'_>, name: &str) -> Option<&'c str> {
    component.properties.iter().find(|property| property.name == name).map(|property| property.val.as_str())
}

fn local(text: &str) -> NaiveDateTime {
    NaiveDateTime::parse_from_str(text, "%Y%m%dT%H%M%S").expect("a local time")
}

fn offset(text: &str) -> FixedOffset {
    text.parse().expect("an offset such as +0100")
}

fn clocks(zone: &Parsed<'_>) -> Vec<Clock> {
    let clock = |observance: &Parsed<'_>| Clock {
        since: local(value(observance, "DTSTART").expect("since when")),
        before: offset(value(observance, "TZOFFSETFROM").expect("the clock before")),
        after: offset(value(observance, "TZOFFSETTO").expect("the clock after")),
    };
    zone.components.iter().map(clock).collect()
}

/// RFC 5545, 3.6.5: the observance in force is the last that has begun. A local time that comes twice is its first.
fn utc(text: &str, clocks: &[Clock]) -> DateTime<Utc> {
    if let Some(utc) = text.strip_suffix('Z') {
        return local(utc).and_utc();
    }
    let local = local(text);
    let as_utc =
        |offset: &FixedOffset| (local - TimeDelta::seconds(offset.local_minus_utc().into())).and_utc();
    let begun =
        |clock: &Clock| (clock.since - TimeDelta::seconds(clock.before.local_minus_utc().into())).and_utc();
    let candidates = clocks.iter().enumerate().filter(|(index, clock)| {
        let instant = as_utc(&clock.after);
        instant >= begun(clock) && clocks.get(index + 1).is_none_or(|next| instant < begun(next))
    });
    candidates.map(|(_, clock)| as_utc(&clock.after)).next().expect("the zone covers the evening")
}

#[test]
fn row_64_every_stop_reads_back_from_the_calendar_at_its_instant() {
    // The usual night, and those on which London's clocks go forward and back (IANA time-zone database).
    for date in ["2027-03-13", "2027-03-27", "2027-10-30"] {
        let mut park = Park::demo_on(date);
        park.evening.programme.doors_open = "22:00:00".parse().expect("a time");
        park.evening.programme.doors_close = "04:00:00".parse().expect("a time");
        park.evening.programme.fixed.clear();
        let (park, prepared) = park.drafted();
        let sheet = run_sheet(&park.evening, &prepared, &park.materials());
        let stamp = "2027-01-01T12:00:00Z".parse().expect("a date");
        let options = CalendarOptions { audience: CalendarFor::Crew, stamp, previous: None };
        let text = evening_calendar(&park.evening, &prepared, &park.materials(), &sheet, &options).text;
        let unfolded = unfold(&text);
        let calendar = read_calendar(&unfolded).expect("it is a calendar");
        let zone = calendar.components.iter().find(|part| part.name == "VTIMEZONE").expect("a zone");
        let clocks = clocks(zone);
        let events: Vec<&Parsed<'_>> =
            calendar.components.iter().filter(|part| part.name == "VEVENT").collect();
        let stops = park.evening.order.stops();
        assert!(stops.len() > 5);
        assert_eq!(events.len(), stops.len() + 3, "the evening, the call, the crew, and every stop");
        for (event, stop) in events.iter().skip(3).zip(stops) {
            let at = |name| utc(value(event, name).expect("a time"), &clocks);
            let read = (at("DTSTART"), at("DTEND"));
            assert_eq!(read, (stop.start().to_utc(), stop.end().to_utc()), "{date}");
        }
        let mut names: Vec<&str> = events.iter().filter_map(|event| value(event, "UID")).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), events.len(), "every event has a name of its own");
    }
}

#[test]
fn row_64_the_table_reads_back_cell_by_cell() {
    let (mut park, prepared) = Park::demo().drafted();
    // OWASP, CSV Injection: what a spreadsheet would take for a formula.
    for target in &mut park.catalogue.targets {
        target.name = format!("={}, \"{}\"\nÆrø", target.id, target.name);
    }
    let sheet = run_sheet(&park.evening, &prepared, &park.materials());
    let table = order_csv(&sheet);
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let heads = reader.headers().expect("a first line").clone();
    let column = |name: &str| heads.iter().position(|head| head == name).expect(name);
    let records: Vec<csv::StringRecord> = reader.records().collect::<Result<_, _>>().expect("RFC 4180");
    assert_eq!(records.len(), sheet.rows.len());
    for (record, row) in records.iter().zip(&sheet.rows) {
        let title = if row.altitude.is_empty() { row.title.clone() } else { format!("'{}", row.title) };
        assert_eq!(record[column("Target")], title);
        assert_eq!(record[column("Start (local time)")], row.start);
        assert_eq!(record[column("Port")], row.port);
        assert_eq!(record[column("People's time (minutes)")], row.people_min);
    }
    for head in &heads {
        let counted = ["Altitude", "Azimuth at", "Move (", "Framing", "People's time"];
        if counted.iter().any(|start| head.starts_with(start)) {
            assert!(head.contains('('), "{head} says no unit");
        }
    }
}
