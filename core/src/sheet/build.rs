//! Evening to run sheet.

use std::fmt::{self, Write};

use super::cautions::{FOOTER, usual_cautions};
use super::findings::{finding_place, finding_sentence};
use super::head::head;
use super::leaves::leaves_of;
use super::page_words::not_to_be_run;
use super::satellite_words::passes_in_place;
use super::set_notes::set_notes;
use super::wording::{entry_kind_word, kind_word, severity_word};
use super::{Leaf, Names, Notice, Row, RunSheet, numbers, port_letter, row_rig};
use crate::catalogue::TargetId;
use crate::plan::{
    Evening, Finding, Materials, Prepared, Severity, Show, Stop, StopId, StopTiming, What, check,
    screen_of_talk, timings, understudies,
};
use crate::site::WeatherLimits;
use crate::time::{Instant, LocalNight};
use crate::units::Angle;

/// The run sheet of an evening.
pub fn run_sheet(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> RunSheet {
    sheet_and_leaves(evening, prepared, materials).0
}

/// The run sheet of an evening and every other page, in the order of [`LeafKind`](super::LeafKind), all with one stamp.
pub fn sheet_and_leaves(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
) -> (RunSheet, Vec<Leaf>) {
    let findings = check(evening, prepared, materials);
    let timings = timings(&evening.order, prepared, materials);
    sheet_of(&Names::new(evening, prepared, materials), &findings, &timings)
}

/// The run sheet and the other pages from what has been checked and timed.
pub(crate) fn sheet_of(
    names: &Names<'_>,
    findings: &[Finding],
    timings: &[StopTiming],
) -> (RunSheet, Vec<Leaf>) {
    let site = names.materials.site;
    let understudies = understudies(names.evening, names.prepared, names.materials);
    let own = site.cautions.iter().map(|caution| Notice::new("This site", caution.clone()));
    let usual = usual_cautions().iter().map(|(topic, advice)| Notice::new(*topic, *advice));
    let mut sheet = RunSheet {
        title: names.evening.title.clone(),
        subtitle: format!(
            "{} · {} · {}",
            numbers::date_in_full(names.evening.date),
            site.name,
            names.materials.rig.name
        ),
        zone: zone_line(names),
        warning: not_to_be_run(
            findings.iter().filter(|finding| finding.severity == Severity::Stopper).count(),
        ),
        head: head(names, timings),
        rows: rows(names, findings, timings, &understudies),
        findings: findings
            .iter()
            .filter(|finding| finding.stop.is_none())
            .map(|finding| told_in_full(finding, names))
            .chain(
                set_notes(names)
                    .into_iter()
                    .map(|note| format!("{}: {note}", severity_word(Severity::Caution))),
            )
            .collect(),
        cautions: own.chain(usual).collect(),
        limits: limits(site.weather),
        footer: FOOTER.to_owned(),
        stamp: String::new(),
    };
    let mut leaves = leaves_of(names, timings, &sheet);
    let mark = copy_mark(&sheet, &leaves);
    sheet.stamp = format!("Evenfall {} · copy {mark}", env!("CARGO_PKG_VERSION"));
    for leaf in &mut leaves {
        leaf.stamp.clone_from(&sheet.stamp);
    }
    (sheet, leaves)
}

/// In which zone all times are, with the name that its file has.
fn zone_line(names: &Names<'_>) -> String {
    format!("{} ({})", zone_words(names), names.prepared.night.local.zone().name())
}

/// In which zone all times are.
pub(super) fn zone_words(names: &Names<'_>) -> String {
    let (night, span) = (&names.prepared.night.local, names.prepared.span);
    let (first, last) = (night.zone_label(span.start()), night.zone_label(span.end()));
    if first == last { format!("All times {first}") } else { format!("Times {first}, then {last}") }
}

/// A finding by itself, with the stop it belongs to.
fn told_in_full(finding: &Finding, names: &Names<'_>) -> String {
    let (what, remedy) = finding_sentence(finding, names);
    let severity = severity_word(finding.severity);
    match finding_place(finding, names) {
        Some(place) => format!("{severity}: {place}: {what} {remedy}"),
        None => format!("{severity}: {what} {remedy}"),
    }
}

/// A finding below its own stop: the remedy of a Stopper only, so that the sheet stays short.
fn told_in_row(finding: &Finding, names: &Names<'_>) -> String {
    let (what, remedy) = finding_sentence(finding, names);
    let severity = severity_word(finding.severity);
    match finding.severity {
        Severity::Stopper => format!("{severity}: {what} {remedy}"),
        Severity::Caution => format!("{severity}: {what}"),
    }
}

/// A row a stop; a satellite stands with the stop during which it passes or behind which it does, one that comes before all stops
/// with the first.
fn rows(
    names: &Names<'_>,
    findings: &[Finding],
    timings: &[StopTiming],
    understudies: &[(StopId, TargetId)],
) -> Vec<Row> {
    let stops = names.evening.order.stops();
    let mut rows: Vec<Row> =
        stops.iter().map(|stop| row(stop, names, findings, timings, understudies)).collect();
    for (at, words) in passes_in_place(names) {
        let begun = stops.iter().filter(|stop| stop.start() <= at).count();
        if let Some(row) = rows.get_mut(begun.saturating_sub(1)) {
            row.passes.push(words);
        }
    }
    rows
}

fn row(
    stop: &Stop,
    names: &Names<'_>,
    findings: &[Finding],
    timings: &[StopTiming],
    understudies: &[(StopId, TargetId)],
) -> Row {
    let night = &names.prepared.night.local;
    let minutes = stop.interval.minutes();
    let mut row = Row {
        number: names.stop_number(stop.id).map(|number| number.to_string()).unwrap_or_default(),
        date: night.local(stop.start()).format("%Y-%m-%d").to_string(),
        start: numbers::clock(night.local(stop.start())),
        end: numbers::clock(night.local(stop.end())),
        zone: zone_of_stop(night, stop),
        title: names.stop_title(stop),
        people_time: numbers::minutes(minutes),
        people_min: numbers::decimal(minutes, 0),
        cautions: findings
            .iter()
            .filter(|finding| finding.stop == Some(stop.id))
            .map(|finding| told_in_row(finding, names))
            .collect(),
        held: held_words(stop).to_owned(),
        ..Row::default()
    };
    match &stop.what {
        What::Show(show) => {
            fill_show(&mut row, stop, show, names, understudies);
            if let Some(timing) = timings.iter().find(|timing| timing.stop == stop.id) {
                fill_move(&mut row, timing, night);
            }
        }
        What::Entry { kind, title, cue } => {
            if !title.is_empty() && !title.starts_with(entry_kind_word(*kind)) {
                entry_kind_word(*kind).clone_into(&mut row.kind);
            }
            row.cue.clone_from(cue);
            let (order, rig) = (&names.evening.order, names.materials.rig);
            if let Some(index) = screen_of_talk(order, stop, rig) {
                row.port = format!("{} {}", port_letter(index), rig.ports[index].name);
            }
        }
    }
    row
}

const fn held_words(stop: &Stop) -> &'static str {
    match (stop.held.time, stop.held.port) {
        (true, true) => "held",
        (true, false) => "time held",
        (false, true) => "port held",
        (false, false) => "",
    }
}

/// The zone at the start; both where the clocks change during the stop.
fn zone_of_stop(night: &LocalNight, stop: &Stop) -> String {
    let (start, end) = (night.zone_label(stop.start()), night.zone_label(stop.end()));
    if start == end { start } else { format!("{start}, then {end}") }
}

fn fill_show(
    row: &mut Row,
    stop: &Stop,
    show: &Show,
    names: &Names<'_>,
    understudies: &[(StopId, TargetId)],
) {
    let rig = names.materials.rig;
    row.port = match names.port_index(&show.port) {
        Some(index) => format!("{} {}", port_letter(index), names.port_name(&show.port)),
        None => names.port_name(&show.port),
    };
    if let Some(port) = rig.port(&show.port) {
        row_rig::fill(row, names, stop, show, port);
    }
    row.understudy = understudy(stop, show, names, understudies);
    let Some((index, target)) = names.target(&show.target) else {
        return;
    };
    kind_word(target.kind).clone_into(&mut row.kind);
    row.cue.clone_from(&target.words.cue);
    let sample = |instant: Instant| names.prepared.sample(index, instant);
    if let (Some(start), Some(end)) = (sample(stop.start()), sample(stop.end())) {
        row.altitude = format!("{} → {}", numbers::degrees(start.altitude), numbers::degrees(end.altitude));
        row.azimuth = format!(
            "{} {} → {}",
            numbers::compass_letters(start.azimuth),
            numbers::azimuth_degrees(start.azimuth),
            numbers::azimuth_degrees(end.azimuth)
        );
        row.altitude_start_deg = numbers::decimal(start.altitude.degrees(), 0);
        row.altitude_end_deg = numbers::decimal(end.altitude.degrees(), 0);
        row.azimuth_start_deg = numbers::azimuth_number(start.azimuth);
        row.azimuth_end_deg = numbers::azimuth_number(end.azimuth);
    }
}

/// The stop's own understudy, else the best that could stand in for it.
fn understudy(stop: &Stop, show: &Show, names: &Names<'_>, understudies: &[(StopId, TargetId)]) -> String {
    let best = understudies.iter().find(|(id, _)| *id == stop.id).map(|(_, target)| target);
    show.understudy.as_ref().or(best).map(|id| names.target_name(id)).unwrap_or_default()
}

fn fill_move(row: &mut Row, timing: &StopTiming, night: &LocalNight) {
    let total_s = timing.parts.total_s();
    row.move_start = numbers::clock_down(night.local(timing.leave));
    row.move_time = numbers::duration(total_s);
    row.move_turn = turn_words(timing.azimuth_turn).unwrap_or_default();
    row.move_s = numbers::decimal(total_s, 0);
    if timing.lead_s >= 0.5 {
        row.lead_time = format!("frame {}", numbers::duration(timing.lead_s));
        row.lead_s = numbers::decimal(timing.lead_s, 0);
    }
}

/// Which way the azimuth axis turns: right is from north through east, as seen from above.
fn turn_words(turn: Angle) -> Option<String> {
    let side = if turn.radians() < 0.0 { "left" } else { "right" };
    (turn.degrees().abs() >= 0.5).then(|| format!("{side} {}", numbers::degrees(turn.abs())))
}

fn limits(weather: WeatherLimits) -> Vec<Notice> {
    vec![
        Notice::new(
            "Wind",
            format!("{} km/h sustained: dome closed", numbers::decimal(weather.wind_km_h, 0)),
        ),
        Notice::new(
            "Humidity",
            format!("{} relative: dome closed", numbers::percent_of(weather.humidity_percent)),
        ),
        Notice::new(
            "Cloud",
            format!("{} of the sky: no sky programme", numbers::percent_of(weather.cloud_percent)),
        ),
        Notice::new("Rain, thunder", "any: dome closed"),
    ]
}

/// A mark that is the same on two copies only if they say the same: every field of the sheet and of every page counts.
fn copy_mark(sheet: &RunSheet, leaves: &[Leaf]) -> String {
    let mut mark = Fnv1a::default();
    write!(mark, "{sheet:?}{leaves:?}").expect("a hash takes whatever is written");
    format!("{:04X}-{:04X}", mark.0 >> 16, mark.0 & 0xffff)
}

/// A short hash of what is written to it, good enough to tell copies apart.
///
/// Source: FNV-1a, 32 bits; Fowler, Noll, Vo, Eastlake, Hansen, "The FNV Non-Cryptographic Hash Algorithm", IETF.
struct Fnv1a(u32);

impl Default for Fnv1a {
    fn default() -> Self {
        Self(0x811c_9dc5)
    }
}

impl Write for Fnv1a {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.0 = text.bytes().fold(self.0, |hash, byte| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193));
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use std::fmt::Write;

    use super::Fnv1a;
    use crate::sheet::demo::Demo;
    use crate::sheet::{FOOTER, RunSheet};

    fn head<'a>(sheet: &'a RunSheet, label: &str) -> &'a str {
        let notice = sheet.head.iter().find(|notice| notice.label == label);
        notice.map_or("", |notice| notice.value.as_str())
    }

    #[test]
    fn a_drafted_evening_fills_every_row() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let sheet = demo.sheet(&prepared);
        assert_eq!(sheet.rows.len(), demo.evening.order.stops().len());
        for (row, stop) in sheet.rows.iter().zip(demo.evening.order.stops()) {
            assert!(row.start.len() == 5 && row.zone == "GMT" && row.people_time.ends_with("min"), "{row:?}");
            if stop.show().is_some() {
                assert!(row.altitude.contains('→') && row.azimuth.contains('→'), "{row:?}");
                assert!(!row.port.is_empty() && !row.cue.is_empty() && row.move_start < row.start, "{row:?}");
            }
        }
        assert_eq!(sheet.footer, FOOTER);
        assert_eq!(sheet.zone, "All times GMT (Europe/London)");
        assert_eq!(sheet, demo.sheet(&prepared), "the same evening gives the same sheet");
    }

    #[test]
    fn the_demo_serves_everybody_and_shows_what_visitors_remember() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let sheet = demo.sheet(&prepared);
        // One eyepiece and 60 visitors make a line; nothing else needs a look.
        let cautions: Vec<&String> = sheet.rows.iter().flat_map(|row| &row.cautions).collect();
        assert!(
            cautions.iter().all(|words| words.starts_with("Caution: The line is longest")),
            "{cautions:?}"
        );
        assert!(cautions.len() <= 1, "{cautions:?}");
        assert_eq!(sheet.findings, Vec::<String>::new());
        for title in ["The Moon", "Jupiter", "Mars"] {
            assert!(sheet.rows.iter().any(|row| row.title == title), "{title}");
        }
    }

    #[test]
    fn two_different_sheets_bear_different_marks() {
        let (mut demo, prepared) = Demo::on("2027-03-13").drafted();
        let first = demo.sheet(&prepared).stamp;
        demo.evening.title.push('.');
        assert_ne!(first, demo.sheet(&prepared).stamp);
    }

    #[test]
    fn a_summer_night_says_how_dark_it_gets() {
        // Spherical astronomy: at lower transit the Sun stands 90 - latitude - declination below the horizon; at the
        // solstice 90 - 55.1 - 23.44 = 11.5 degrees.
        let demo = Demo::on("2027-06-21");
        let sheet = demo.sheet(&demo.prepared());
        assert!(
            head(&sheet, "Dark")
                .starts_with("not reached: the Sun is lowest 11.5° below the horizon, at 01:"),
            "{:?}",
            sheet.head
        );
        assert_eq!(head(&sheet, "Astronomical dusk"), "not reached (Sun 18° below)");
    }

    #[test]
    fn the_head_says_who_is_expected_and_when_the_moon_was_judged() {
        let demo = Demo::on("2027-03-13");
        let prepared = demo.prepared();
        let sheet = demo.sheet(&prepared);
        assert_eq!(head(&sheet, "Visitors"), "60 expected, 20 of them children, 2 seated");
        let moon = head(&sheet, "Moon");
        assert!(moon.contains("% lit at 20:30, ") && moon.ends_with(" GMT on Sunday"), "{moon}");
        // A waxing Moon is less lit in the middle of doors than at midnight.
        let (_, lit) = prepared.moon_illuminated_at_mid();
        let gains = prepared.night.moon_illuminated.value() - lit.value();
        assert!((0.0..0.03).contains(&gains), "{gains}");
    }

    #[test]
    fn a_night_of_changing_clocks_says_when() {
        // Europe/London, IANA time-zone database: clocks forward on 2027-03-28 at 01:00 UTC.
        let demo = Demo::on("2027-03-27");
        let sheet = demo.sheet(&demo.prepared());
        assert_eq!(head(&sheet, "Clocks change"), "at 01:00 GMT the clock goes to 02:00 BST");
    }

    #[test]
    fn hash_of_published_strings() {
        // Test vectors of the FNV reference code: "" and "foobar" (from memory).
        let hash = |text: &str| {
            let mut mark = Fnv1a::default();
            mark.write_str(text).expect("a hash takes whatever is written");
            mark.0
        };
        assert_eq!(hash(""), 0x811c_9dc5);
        assert_eq!(hash("foobar"), 0xbf9c_f968);
    }
}
