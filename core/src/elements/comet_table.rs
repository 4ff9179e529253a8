//! Comets as a table: a header with the keys of a catalogue's `comet_elements`, or the letters of the trade.

use super::calendar::read_tt_day;
use super::comet::CometElements;
use super::omm::kept_name;
use super::read::NamedComet;
use super::record::{Found, Given, Record, shown};
use crate::time::Instant;

/// Each column by its own key and by what else it may be called.
const NAME: [&str; 3] = ["NAME", "DESIGNATION", "COMET"];
const PERIHELION: [&str; 3] = ["PERIHELION_TT", "T", "TP"];
const DISTANCE: [&str; 2] = ["PERIHELION_DISTANCE_AU", "Q"];
const ECCENTRICITY: [&str; 2] = ["ECCENTRICITY", "E"];
const INCLINATION: [&str; 3] = ["INCLINATION_DEG", "I", "INCLINATION"];
const NODE: [&str; 3] = ["ASCENDING_NODE_DEG", "NODE", "OM"];
const ARGUMENT: [&str; 3] = ["PERIHELION_ARGUMENT_DEG", "ARGUMENT", "W"];
const EPOCH: [&str; 2] = ["EPOCH_TT", "EPOCH"];
const MAGNITUDE: [&str; 2] = ["MAGNITUDE_H", "H"];
const SLOPE: [&str; 2] = ["SLOPE_N", "N"];

/// Whether the words of a header are those of such a table.
pub(super) fn is_header(words: &[String]) -> bool {
    [&PERIHELION[..], &DISTANCE, &ECCENTRICITY, &NODE]
        .iter()
        .all(|names| words.iter().any(|word| names.contains(&word.as_str())))
}

/// The comets of a table's rows.
pub(super) fn comets(records: &[Record], found: &mut Found<'_>) -> Vec<NamedComet> {
    records.iter().filter_map(|record| comet(record, found)).collect()
}

fn comet(record: &Record, found: &mut Found<'_>) -> Option<NamedComet> {
    let before = found.faults.len();
    let name = value(record, &NAME).and_then(|given| kept_name(&given.text));
    let perihelion = wanted(record, found, &PERIHELION).and_then(|given| day(given, found));
    let perihelion_distance_au = wanted(record, found, &DISTANCE).and_then(|given| number(given, found));
    let eccentricity = wanted(record, found, &ECCENTRICITY).and_then(|given| number(given, found));
    let inclination_deg = wanted(record, found, &INCLINATION).and_then(|given| number(given, found));
    let ascending_node_deg = wanted(record, found, &NODE).and_then(|given| number(given, found));
    let perihelion_argument_deg = wanted(record, found, &ARGUMENT).and_then(|given| number(given, found));
    let epoch = value(record, &EPOCH).and_then(|given| day(given, found));
    let magnitude_h = value(record, &MAGNITUDE).and_then(|given| number(given, found));
    let slope_n = value(record, &SLOPE).and_then(|given| number(given, found));
    if found.faults.len() > before {
        return None;
    }
    let elements = CometElements {
        perihelion: perihelion?,
        perihelion_distance_au: perihelion_distance_au?,
        eccentricity: eccentricity?,
        inclination_deg: inclination_deg?,
        ascending_node_deg: ascending_node_deg?,
        perihelion_argument_deg: perihelion_argument_deg?,
        epoch,
        magnitude_h,
        slope_n: slope_n.unwrap_or(CometElements::USUAL_SLOPE_N),
    };
    if let Some(fault) = elements.fault() {
        found.fault(record.spot, fault.key, fault.to_string(), "Take it out or mend it");
        return None;
    }
    Some(NamedComet { name: name.unwrap_or_else(|| format!("Comet of line {}", record.spot.line)), elements })
}

fn value<'r>(record: &'r Record, names: &[&str]) -> Option<&'r Given> {
    names.iter().find_map(|name| record.get(name))
}

fn wanted<'r>(record: &'r Record, found: &mut Found<'_>, names: &[&str]) -> Option<&'r Given> {
    let given = value(record, names);
    if given.is_none() {
        let key = names.first().copied().unwrap_or_default().to_ascii_lowercase();
        found.fault(record.spot, &key, "the value is missing", "A comet can't be placed without it");
    }
    given
}

fn number(given: &Given, found: &mut Found<'_>) -> Option<f64> {
    let number = given.text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    if number.is_none() {
        let message = format!("expected a number, found {}", shown(&given.text));
        found.fault(given.spot, &given.key.to_ascii_lowercase(), message, "Write it with a decimal point");
    }
    number
}

fn day(given: &Given, found: &mut Found<'_>) -> Option<Instant> {
    let day = read_tt_day(&given.text);
    if day.is_none() {
        let message = format!("expected a day of TT, found {}", shown(&given.text));
        found.fault(given.spot, &given.key.to_ascii_lowercase(), message, "Write it like 2027-03-02.1234");
    }
    day
}
