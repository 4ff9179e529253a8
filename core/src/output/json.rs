//! The running order as JSON for other programs: versioned, units in the keys, instants in UTC.

use chrono::{SecondsFormat, Timelike};
use serde::Serialize;

use crate::plan::{
    Decision, EntryKind, Evening, Finding, Materials, Prepared, Severity, Show, Stop, StopTiming, What,
    check, sky_behind, timings,
};
use crate::rig::Instrument;
use crate::sheet::{Names, finding_sentence};
use crate::time::Instant;
use crate::units::Angle;

/// What the first key of the record says.
const FORMAT: &str = "evenfall-running-order/1";

#[derive(Serialize)]
struct Record<'a> {
    format: &'static str,
    title: &'a str,
    local_date: String,
    time_zone: &'static str,
    site: &'a str,
    latitude_deg: f64,
    longitude_deg: f64,
    elevation_m: f64,
    doors_open_utc: String,
    doors_close_utc: String,
    call: CallRecord<'a>,
    moon_illuminated_fraction: f64,
    stops: Vec<StopRecord<'a>>,
    findings: Vec<FindingRecord>,
}

#[derive(Serialize)]
struct CallRecord<'a> {
    decision: &'static str,
    decide_utc: String,
    crew_utc: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    decided_at_local: Option<String>,
    #[serde(skip_serializing_if = "str::is_empty")]
    decided_by: &'a str,
}

#[derive(Serialize)]
struct StopRecord<'a> {
    number: usize,
    id: u32,
    start_utc: String,
    end_utc: String,
    start_local: String,
    title: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    entry: Option<EntryKind>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cue: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    show: Option<ShowRecord<'a>>,
    time_held: bool,
    port_held: bool,
}

#[derive(Serialize)]
struct ShowRecord<'a> {
    target: &'a str,
    port: &'a str,
    /// Counted from 1, as in the evening's file.
    eyepiece: Option<usize>,
    eyepiece_name: Option<&'a str>,
    understudy: Option<&'a str>,
    at_start: Option<PlaceRecord>,
    at_end: Option<PlaceRecord>,
    #[serde(skip_serializing_if = "Option::is_none")]
    movement: Option<MoveRecord>,
}

#[derive(Serialize)]
struct PlaceRecord {
    apparent_altitude_deg: f64,
    azimuth_deg: f64,
    airmass: Option<f64>,
    moon_separation_deg: f64,
    sky_mag_per_arcsec2: f64,
}

#[derive(Serialize)]
struct MoveRecord {
    leave_utc: String,
    slew_s: f64,
    dome_s: f64,
    selector_s: f64,
    rotator_s: f64,
    settle_s: f64,
    focus_s: f64,
    lead_s: f64,
    azimuth_turn_deg: f64,
    free_minutes: f64,
}

#[derive(Serialize)]
struct FindingRecord {
    severity: &'static str,
    stop_id: Option<u32>,
    message: String,
    remedy: String,
}

/// The running order with its findings.
pub fn order_json(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> String {
    let findings = check(evening, prepared, materials);
    let timings = timings(&evening.order, prepared, materials);
    json_of(&Names::new(evening, prepared, materials), &findings, &timings)
}

fn json_of(names: &Names<'_>, findings: &[Finding], timings: &[StopTiming]) -> String {
    let (evening, prepared, site) = (names.evening, names.prepared, names.materials.site);
    let record = Record {
        format: FORMAT,
        title: &evening.title,
        local_date: evening.date.format("%Y-%m-%d").to_string(),
        time_zone: prepared.night.local.zone().name(),
        site: &site.name,
        latitude_deg: rounded(site.place.latitude.degrees(), 6),
        longitude_deg: rounded(site.place.longitude.degrees(), 6),
        elevation_m: site.place.height_m,
        doors_open_utc: utc(prepared.doors.start()),
        doors_close_utc: utc(prepared.doors.end()),
        call: call_record(names),
        moon_illuminated_fraction: rounded(prepared.moon_illuminated_at_mid().1.value(), 4),
        stops: evening
            .order
            .stops()
            .iter()
            .enumerate()
            .map(|(index, stop)| stop_record(names, index + 1, stop, timings))
            .collect(),
        findings: findings.iter().map(|finding| finding_record(names, finding)).collect(),
    };
    let mut json = serde_json::to_string_pretty(&record).expect("numbers and text always make JSON");
    json.push('\n');
    json
}

fn call_record<'a>(names: &Names<'a>) -> CallRecord<'a> {
    let call = &names.evening.call;
    let before_doors = |minutes: f64| utc(names.prepared.doors.start().plus_minutes(-minutes));
    CallRecord {
        decision: match call.decision {
            Decision::Open => "open",
            Decision::Go => "go",
            Decision::NoGo => "no_go",
        },
        decide_utc: before_doors(call.decide_before_minutes),
        crew_utc: before_doors(call.crew_before_minutes),
        decided_at_local: call.decided_at.map(|time| time.format("%H:%M").to_string()),
        decided_by: &call.decided_by,
    }
}

fn stop_record<'a>(
    names: &Names<'a>,
    number: usize,
    stop: &'a Stop,
    timings: &[StopTiming],
) -> StopRecord<'a> {
    let (entry, cue, show) = match &stop.what {
        What::Show(show) => {
            let timing = timings.iter().find(|timing| timing.stop == stop.id);
            let cue = names.target(&show.target).map(|(_, target)| target.words.cue.as_str());
            (None, cue, Some(show_record(names, stop, show, timing)))
        }
        What::Entry { kind, cue, .. } => (Some(*kind), Some(cue.as_str()), None),
    };
    StopRecord {
        number,
        id: stop.id.0,
        start_utc: utc(stop.start()),
        end_utc: utc(stop.end()),
        start_local: names
            .prepared
            .night
            .local
            .local(stop.start())
            .to_rfc3339_opts(SecondsFormat::Secs, false),
        title: names.stop_title(stop),
        entry,
        cue,
        show,
        time_held: stop.held.time,
        port_held: stop.held.port,
    }
}

fn eyepiece_name<'a>(names: &Names<'a>, show: &Show) -> Option<&'a str> {
    match &names.materials.rig.port(&show.port)?.instrument {
        Instrument::Eyepieces(eyepieces) => Some(eyepieces.get(show.eyepiece?)?.name.as_str()),
        Instrument::Camera(_) | Instrument::Spectrograph(_) => None,
    }
}

fn show_record<'a>(
    names: &Names<'a>,
    stop: &Stop,
    show: &'a Show,
    timing: Option<&StopTiming>,
) -> ShowRecord<'a> {
    let place = |instant: Instant| {
        let target = names.target(&show.target)?.0;
        let sample = names.prepared.sample(target, instant)?;
        let sky = sky_behind(names.prepared, names.materials, target, instant)?.total;
        Some(PlaceRecord {
            apparent_altitude_deg: rounded(sample.altitude.degrees(), 3),
            azimuth_deg: rounded(sample.azimuth.wrapped().degrees(), 3),
            airmass: sample.airmass.map(|airmass| rounded(airmass, 3)),
            moon_separation_deg: rounded(sample.moon_separation.degrees(), 2),
            sky_mag_per_arcsec2: rounded(sky.0, 2),
        })
    };
    ShowRecord {
        target: &show.target.0,
        port: &show.port.0,
        eyepiece: show.eyepiece.map(|index| index + 1),
        eyepiece_name: eyepiece_name(names, show),
        understudy: show.understudy.as_ref().map(|id| id.0.as_str()),
        at_start: place(stop.start()),
        at_end: place(stop.end()),
        movement: timing.map(|timing| MoveRecord {
            leave_utc: utc(timing.leave),
            slew_s: rounded(timing.parts.slew_s, 1),
            dome_s: rounded(timing.parts.dome_s, 1),
            selector_s: rounded(timing.parts.selector_s, 1),
            rotator_s: rounded(timing.parts.rotator_s, 1),
            settle_s: rounded(timing.parts.settle_s, 1),
            focus_s: rounded(timing.parts.focus_s, 1),
            lead_s: rounded(timing.lead_s, 1),
            azimuth_turn_deg: degrees(timing.azimuth_turn),
            free_minutes: rounded(timing.free_minutes, 2),
        }),
    }
}

fn finding_record(names: &Names<'_>, finding: &Finding) -> FindingRecord {
    let (message, remedy) = finding_sentence(finding, names);
    FindingRecord {
        severity: match finding.severity {
            Severity::Stopper => "stopper",
            Severity::Caution => "caution",
        },
        stop_id: finding.stop.map(|id| id.0),
        message,
        remedy,
    }
}

fn degrees(angle: Angle) -> f64 {
    rounded(angle.degrees(), 3)
}

/// The nearest number with `decimals` decimals; never minus zero.
fn rounded(value: f64, decimals: i32) -> f64 {
    let scale = 10_f64.powi(decimals);
    (value * scale).round() / scale + 0.0
}

/// An instant by ISO 8601 in UTC, to the second: `2027-03-13T19:30:00Z`.
fn utc(instant: Instant) -> String {
    let utc = instant.plus_seconds(0.5).to_utc();
    utc.with_nanosecond(0).unwrap_or(utc).to_rfc3339_opts(SecondsFormat::Secs, true)
}

#[cfg(test)]
mod tests {
    use serde_json::Value;

    use super::{FORMAT, order_json, rounded};
    use crate::sheet::demo::Demo;

    #[test]
    fn the_record_reads_back_with_every_stop() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let text = order_json(&demo.evening, &prepared, &demo.materials());
        let record: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(record["format"], FORMAT);
        // Doors open at 18:30 in London, on Greenwich time; two hours and one hour before them.
        let call = &record["call"];
        assert_eq!(
            (&call["decide_utc"], &call["crew_utc"]),
            (&"2027-03-13T16:30:00Z".into(), &"2027-03-13T17:30:00Z".into())
        );
        assert_eq!(call["decision"], "open");
        let stops = record["stops"].as_array().unwrap();
        assert_eq!(stops.len(), demo.evening.order.stops().len());
        for stop in stops {
            // ISO 8601 in UTC: `2027-03-13T18:30:00Z`.
            let start = stop["start_utc"].as_str().unwrap();
            assert!(start.len() == 20 && start.ends_with('Z'), "{start}");
            // The rig lists the 35 mm eyepiece first.
            let by_eye = &stop["show"]["eyepiece_name"];
            assert_eq!(*by_eye == "35 mm", stop["show"]["eyepiece"] == 1, "{stop}");
            assert!(stop["show"].is_object() != stop["entry"].is_string(), "{stop}");
        }
    }

    #[test]
    fn rounding_leaves_no_minus_zero() {
        assert_eq!(rounded(-0.000_4, 3).to_string(), "0");
        assert_eq!(rounded(12.345_6, 2), 12.35);
    }
}
