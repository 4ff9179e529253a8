//! What stands in the calendar: when, called what, with which words.

use chrono::{Duration, DurationRound};

use super::CalendarFor;
use crate::plan::{
    Decision, EntryKind, Evening, Materials, Prepared, SatelliteEvent, Stop, What, told_passes,
};
use crate::sheet::{Row, RunSheet, pass_mark, satellite_label};
use crate::site::Site;
use crate::time::{Instant, Interval};

/// Minutes that the decision is given in the calendar. Common practice, no source.
const DECISION_MINUTES: f64 = 15.0;

/// One thing that happens.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Happening {
    /// What it is known by, for ever.
    pub uid: String,
    /// When.
    pub time: Interval,
    /// What it is called.
    pub summary: String,
    /// The words about it.
    pub description: String,
    /// Where, for people.
    pub location: String,
    /// Where: latitude and longitude in degrees.
    pub geo: (f64, f64),
    /// Whether it keeps people busy; a stop within the evening does not a second time.
    pub busy: bool,
}

/// All that happens, in order of the calendar.
pub(super) fn happenings(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    sheet: &RunSheet,
    audience: CalendarFor,
) -> Vec<Happening> {
    let site = materials.site;
    let place = evening_of(evening, site);
    let doors = prepared.doors;
    let happening = |what: &str, time, summary: String, description, busy| Happening {
        uid: format!("{place}-{what}@evenfall"),
        time,
        summary,
        description,
        location: site.name.clone(),
        geo: (site.place.latitude.degrees(), site.place.longitude.degrees()),
        busy,
    };
    let call = &evening.call;
    let (title, about) = match call.decision {
        Decision::NoGo => (format!("Called off: {}", sheet.title), about_no_sky(sheet)),
        Decision::Open | Decision::Go => (sheet.title.clone(), about_evening(sheet)),
    };
    // Each audience has an event of its own, numbered by itself.
    if audience == CalendarFor::Visitors {
        return vec![happening("visitors", doors, title, about, true)];
    }
    let mut all = vec![happening("evening", doors, title, about, true)];
    let before = |minutes: f64| doors.start().plus_minutes(-minutes);
    let decide = before(call.decide_before_minutes);
    if let Some(time) = Interval::new(decide, decide.plus_minutes(DECISION_MINUTES)) {
        let summary = format!("Go or no-go: {}", sheet.title);
        all.push(happening("call", time, summary, about_call(sheet), true));
    }
    let crew = Interval::new(before(call.crew_before_minutes), doors.start());
    if let Some(time) = crew.filter(|time| time.seconds() > 0.0) {
        let summary = format!("Crew call: {}", sheet.title);
        all.push(happening("crew", time, summary, sheet.footer.clone(), true));
    }
    let stops = evening.order.stops();
    for (index, (stop, row)) in stops.iter().zip(&sheet.rows).enumerate() {
        let known = known_by(stop);
        let nth = 1 + stops[..index].iter().filter(|other| known_by(other) == known).count();
        all.push(happening(
            &format!("{known}-{nth}"),
            stop.interval,
            summary_of(row),
            about_stop(row),
            false,
        ));
    }
    let (passes, _) = told_passes(&prepared.satellites);
    for (index, (event, pass)) in passes.iter().enumerate() {
        let Some(time) = Interval::new(minute(pass.seen.0.at), minute(pass.seen.1.at)) else { continue };
        let (known, label) = (pass_known_by(event), satellite_label(&event.name));
        let earlier = || passes[..index].iter().map(|(other, _)| other);
        let nth = 1 + earlier().filter(|other| pass_known_by(other) == known).count();
        let same_name = earlier().filter(|other| other.name == event.name).count();
        let about = sheet.head.iter().filter(|notice| notice.label == label).nth(same_name);
        let about = about.map(|notice| notice.value.clone()).unwrap_or_default();
        all.push(happening(&format!("{known}-{nth}"), time, pass_mark(event), about, false));
    }
    all
}

/// The nearest whole minute, as the pages tell it.
fn minute(at: Instant) -> Instant {
    let utc = at.to_utc() + Duration::seconds(30);
    Instant::from_utc(utc.duration_trunc(Duration::minutes(1)).unwrap_or(utc))
}

/// So many characters of a satellite's name make it known; RFC 7986, 5.3, wants a UID below 255 octets.
const MOST_KNOWN: usize = 40;

/// What a satellite's pass is known by.
fn pass_known_by(event: &SatelliteEvent) -> String {
    let plain = |letter: char| if letter.is_alphanumeric() { letter } else { '-' };
    format!("pass-{}", event.name.to_lowercase().chars().take(MOST_KNOWN).map(plain).collect::<String>())
}

/// What an evening is known by: its date and its place to a ten-thousandth of a degree.
pub(super) fn evening_of(evening: &Evening, site: &Site) -> String {
    let part = |degrees: f64, letters: [char; 2]| {
        let letter = letters[usize::from(degrees < 0.0)];
        format!("{:.0}{letter}", (degrees.abs() * 1e4).round())
    };
    format!(
        "{}-{}{}",
        evening.date.format("%Y%m%d"),
        part(site.place.latitude.degrees(), ['n', 's']),
        part(site.place.longitude.degrees(), ['e', 'w'])
    )
}

/// What a stop is known by: what it shows, or its sort of entry, wherever it moves.
fn known_by(stop: &Stop) -> String {
    match &stop.what {
        What::Show(show) => format!("show-{}", show.target),
        What::Entry { kind, .. } => format!("entry-{}", entry_word(*kind)),
    }
}

/// What an entry is known by in people's calendars: these words never change.
const fn entry_word(kind: EntryKind) -> &'static str {
    match kind {
        EntryKind::Welcome => "welcome",
        EntryKind::Talk => "talk",
        EntryKind::Interval => "interval",
        EntryKind::ScreenTalk => "screentalk",
        EntryKind::Closing => "closing",
    }
}

fn summary_of(row: &Row) -> String {
    if row.port.is_empty() { row.title.clone() } else { format!("{} ({})", row.title, row.port) }
}

/// What is shown, for people who only see the evening.
fn about_evening(sheet: &RunSheet) -> String {
    let shown: Vec<String> = sheet
        .rows
        .iter()
        .filter(|row| !row.altitude.is_empty())
        .map(|row| format!("{} {}", row.start, row.title))
        .collect();
    let mut lines = vec![sheet.subtitle.clone(), sheet.zone.clone()];
    if !shown.is_empty() {
        lines.push("What we mean to show, if the sky is clear:".to_owned());
        lines.extend(shown);
    }
    lines.push(sheet.footer.clone());
    lines.join("\n")
}

/// What an evening is without the sky.
fn about_no_sky(sheet: &RunSheet) -> String {
    let lines = [
        sheet.subtitle.as_str(),
        "No-go: the telescope stays closed. Doors open all the same, for a programme indoors.",
        sheet.footer.as_str(),
    ];
    lines.join("\n")
}

fn about_call(sheet: &RunSheet) -> String {
    let limits = sheet.limits.iter().map(|limit| format!("{}: {}", limit.label, limit.value));
    limits.chain([sheet.footer.clone()]).collect::<Vec<_>>().join("\n")
}

fn about_stop(row: &Row) -> String {
    let labelled = [
        ("On the port", &row.port_detail),
        ("Altitude", &row.altitude),
        ("Azimuth", &row.azimuth),
        ("Move begins", &row.move_start),
        ("Say", &row.cue),
        ("Understudy", &row.understudy),
    ];
    let told = labelled
        .iter()
        .filter(|(_, value)| !value.is_empty())
        .map(|(label, value)| format!("{label}: {value}"));
    told.chain(row.cautions.iter().cloned()).collect::<Vec<_>>().join("\n")
}
