//! The running orders of an evening: stops with their times, what they show, and what is held.

use std::collections::HashSet;
use std::ops::RangeInclusive;

use chrono::{Datelike, Utc};
use serde::Deserialize;

use super::read::LONGEST_CUE;
use super::zoned::{EXPECTED, read_zoned};
use crate::catalogue::TargetId;
use crate::plan::{Held, LONGEST_VERSION_NAME, RunningOrder, Show, Stop, StopId, Version, What};
use crate::reading::Fields;
use crate::rig::PortId;
use crate::time::{Instant, Interval};

/// The years in which a stop may lie: those of the ephemeris, and the day that an offset from UTC may add.
const STOP_YEARS: RangeInclusive<i32> = 1949..=2101;

/// Other running orders, each under a name that no other one has.
pub(super) fn versions(fields: &Fields<'_>, version: &str) -> Vec<Version> {
    let mut names: Vec<String> = vec![version.to_owned()];
    let versions = fields.entries("versions", |entry| {
        let name = entry.text("name", LONGEST_VERSION_NAME);
        if names.contains(&name) {
            entry.fault("name", format!("\"{name}\" is another order's name"), "Give each a name of its own");
        }
        names.push(name.clone());
        Some(Version { name, order: order(entry) })
    });
    versions.into_iter().map(|(_, version)| version).collect()
}

pub(super) fn order(fields: &Fields<'_>) -> RunningOrder {
    let mut ids = HashSet::new();
    let stops = fields.entries("order", |stop| {
        let faults_before = stop.fault_count();
        let id = stop.count("id", 1..=1_000_000);
        // An id that could not be read is nobody else's.
        let known = stop.fault_count() == faults_before;
        if known && !ids.insert(id) {
            stop.fault("id", "another stop has this id", "Give each stop an id of its own");
        }
        let interval = interval(stop);
        let what = what(stop);
        let held = held(stop);
        Some(Stop { id: StopId(id), what: what?, interval: interval?, held })
    });
    RunningOrder::new(stops.into_iter().map(|(_, stop)| stop).collect())
}

fn interval(stop: &Fields<'_>) -> Option<Interval> {
    let (start, end) = (instant(stop, "start"), instant(stop, "end"));
    let (start, end) = (start?, end?);
    let interval = Interval::new(start, end).filter(|interval| interval.seconds() > 0.0);
    if interval.is_none() {
        stop.fault("end", "the stop ends before it starts", "Give an end after the start");
    }
    interval
}

fn instant(stop: &Fields<'_>, key: &'static str) -> Option<Instant> {
    let text: String = stop.read_required(key, EXPECTED)?;
    let time = match read_zoned(&text) {
        Ok(zoned) => zoned.time,
        Err((message, remedy)) => {
            stop.fault(key, message, remedy);
            return None;
        }
    };
    if !STOP_YEARS.contains(&time.year()) {
        let message =
            format!("\"{text}\" is outside the years {} to {}", STOP_YEARS.start(), STOP_YEARS.end());
        stop.fault(key, message, "Give a time in the night of the evening's date");
        return None;
    }
    Some(Instant::from_utc(time.with_timezone(&Utc)))
}

/// Either a target on a port or an entry without the telescope.
fn what(stop: &Fields<'_>) -> Option<What> {
    if stop.has("target") == stop.has("entry") {
        let message = "a stop needs either `target` with `port`, or `entry` with `title`";
        stop.fault("id", message, "Give one of the two");
        return None;
    }
    if stop.has("entry") {
        let kind = stop.word("entry");
        let title = stop.name("title");
        let cue = stop.optional_text("cue", LONGEST_CUE).unwrap_or_default();
        return Some(What::Entry { kind: kind?, title, cue });
    }
    let eyepiece = stop.has("eyepiece").then(|| stop.count("eyepiece", 1..=100) as usize - 1);
    Some(What::Show(Show {
        target: TargetId(stop.identifier("target")),
        port: PortId(stop.identifier("port")),
        eyepiece,
        understudy: stop.optional_identifier("understudy").map(TargetId),
    }))
}

/// What is fixed about a stop.
#[derive(Clone, Copy, PartialEq, Eq, Deserialize)]
enum HeldPart {
    Time,
    Port,
}

fn held(stop: &Fields<'_>) -> Held {
    let parts: Vec<HeldPart> = stop.values("held", "Time or Port");
    Held { time: parts.contains(&HeldPart::Time), port: parts.contains(&HeldPart::Port) }
}
