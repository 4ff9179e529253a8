//! From the values of an Orbit Mean-elements Message to elements, whatever spelling they came in.
//!
//! Source: CCSDS 502.0-B-3 (2023), *Orbit Data Messages*, section 4: keys, units, and which of them must be there.

use chrono::{DateTime, Utc};

use super::calendar::read_utc;
use super::record::{Found, Given, Record, Spot, shown};
use super::satellite::{MOST_CATALOGUE_NUMBER, Satellite, SatelliteElements};

/// The keys that are read; a table with some of them is one of these messages.
pub(super) const KEYS: [&str; 17] = [
    "OBJECT_NAME",
    "OBJECT_ID",
    "CENTER_NAME",
    "REF_FRAME",
    "TIME_SYSTEM",
    "MEAN_ELEMENT_THEORY",
    "EPOCH",
    "MEAN_MOTION",
    "SEMI_MAJOR_AXIS",
    "ECCENTRICITY",
    "INCLINATION",
    "RA_OF_ASC_NODE",
    "ARG_OF_PERICENTER",
    "MEAN_ANOMALY",
    "NORAD_CAT_ID",
    "BSTAR",
    "CCSDS_OMM_VERS",
];

/// The longest name that is kept, in characters; as of a target.
pub(super) const LONGEST_NAME: usize = 60;

/// The elements of a record; `None` where something is wrong, and that is noted.
pub(super) fn elements(record: &Record, found: &mut Found<'_>) -> Option<SatelliteElements> {
    let before = found.faults.len();
    for (key, known, remedy) in [
        ("CENTER_NAME", &["EARTH"][..], "Only satellites of the Earth can be placed"),
        ("REF_FRAME", &["TEME"], "SGP4 needs elements on TEME axes"),
        ("TIME_SYSTEM", &["UTC"], "SGP4 needs its epoch in UTC"),
        ("MEAN_ELEMENT_THEORY", &["SGP4", "SGP/SGP4", "SGP", "SDP4"], "Ask for mean elements of SGP4"),
        // Others, such as 4, put other quantities in the place of the drag term.
        ("EPHEMERIS_TYPE", &["", "0", "2", "3"], "Ask for mean elements of SGP4, type 0"),
    ] {
        let Some(given) = record.get(key) else { continue };
        if !known.iter().any(|known| given.text.trim().eq_ignore_ascii_case(known)) {
            let message = format!("{} is not one that can be read here", shown(&given.text));
            found.fault(given.spot, key, message, remedy);
        }
    }
    let name = text(record, found, "OBJECT_NAME");
    let epoch = epoch(record, found);
    if record.get("MEAN_MOTION").is_none() && record.get("SEMI_MAJOR_AXIS").is_some() {
        let message = "the semi-major axis stands in place of the mean motion";
        found.fault(record.spot, "MEAN_MOTION", message, "SGP4 needs MEAN_MOTION in rev/day");
    }
    let motion = number(record, found, "MEAN_MOTION", "rev/day");
    let eccentricity = number(record, found, "ECCENTRICITY", "");
    let inclination = number(record, found, "INCLINATION", "deg");
    let node = number(record, found, "RA_OF_ASC_NODE", "deg");
    let perigee = number(record, found, "ARG_OF_PERICENTER", "deg");
    let anomaly = number(record, found, "MEAN_ANOMALY", "deg");
    let bstar = number(record, found, "BSTAR", "1/er");
    let number_of =
        |text: &str| text.trim().parse::<u32>().ok().filter(|number| *number <= MOST_CATALOGUE_NUMBER);
    let catalogue_number = record.get("NORAD_CAT_ID").map(|given| (given, number_of(&given.text)));
    if let Some((given, None)) = &catalogue_number {
        let message = format!("expected a whole number of at most nine digits, found {}", shown(&given.text));
        found.fault(given.spot, "NORAD_CAT_ID", message, "Leave it out if it has none");
    }
    if found.faults.len() > before {
        return None;
    }
    let elements = SatelliteElements {
        name: name?,
        catalogue_number: catalogue_number.and_then(|(_, number)| number).map_or(0, u64::from),
        epoch: epoch?,
        mean_motion_rev_per_day: motion?,
        eccentricity: eccentricity?,
        inclination_deg: inclination?,
        ascending_node_deg: node?,
        perigee_argument_deg: perigee?,
        mean_anomaly_deg: anomaly?,
        bstar: bstar?,
    };
    followed(elements, found, |key| match record.get(standard_key(key)) {
        Some(given) => (given.spot, given.key.clone()),
        None => (record.spot, standard_key(key).to_owned()),
    })
}

/// The elements, if SGP4 can follow them; else the fault is noted where `place` says that a key of ours stands.
pub(super) fn followed(
    elements: SatelliteElements,
    found: &mut Found<'_>,
    place: impl Fn(&str) -> (Spot, String),
) -> Option<SatelliteElements> {
    match Satellite::new(&elements) {
        Ok(_) => Some(elements),
        Err(fault) => {
            let (spot, key) = place(fault.key);
            found.fault(spot, &key, fault.message, "Take these elements from their source again");
            None
        }
    }
}

fn standard_key(key: &str) -> &'static str {
    match key {
        "mean_motion_rev_per_day" => "MEAN_MOTION",
        "eccentricity" => "ECCENTRICITY",
        "inclination_deg" => "INCLINATION",
        "ascending_node_deg" => "RA_OF_ASC_NODE",
        "perigee_argument_deg" => "ARG_OF_PERICENTER",
        "mean_anomaly_deg" => "MEAN_ANOMALY",
        "bstar" => "BSTAR",
        _ => "",
    }
}

fn wanted<'r>(record: &'r Record, found: &mut Found<'_>, key: &str) -> Option<&'r Given> {
    let given = record.get(key);
    if given.is_none() {
        found.fault(record.spot, key, "the key is missing", "Take these elements from their source again");
    }
    given
}

fn text(record: &Record, found: &mut Found<'_>, key: &str) -> Option<String> {
    wanted(record, found, key).map(|given| kept_name(&given.text).unwrap_or_else(|| "Satellite".to_owned()))
}

/// A name as it is kept: without what can't be printed, and not too long; `None` where nothing is left of it.
pub(super) fn kept_name(text: &str) -> Option<String> {
    let kept: String = text.trim().chars().filter(|c| !c.is_control()).take(LONGEST_NAME).collect();
    (!kept.is_empty()).then_some(kept)
}

fn epoch(record: &Record, found: &mut Found<'_>) -> Option<DateTime<Utc>> {
    let given = wanted(record, found, "EPOCH")?;
    let epoch = read_utc(&given.text);
    if epoch.is_none() {
        let message = format!("expected a date and time in UTC, found {}", shown(&given.text));
        found.fault(given.spot, "EPOCH", message, "Write it like 2027-03-13T20:15:00.123456");
    }
    epoch
}

fn number(record: &Record, found: &mut Found<'_>, key: &str, unit: &str) -> Option<f64> {
    let given = wanted(record, found, key)?;
    if let Some(other) = given.unit.as_deref().filter(|given| !same_unit(given, unit)) {
        let message = format!("the unit is {}, not {unit}", shown(other));
        found.fault(given.spot, key, message, "Give it in the unit of the standard");
        return None;
    }
    let number = given.text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    if number.is_none() {
        let message = format!("expected a number, found {}", shown(&given.text));
        found.fault(given.spot, key, message, "Take these elements from their source again");
    }
    number
}

/// The standard lets a unit be written in any case, and some write `degrees`.
fn same_unit(given: &str, unit: &str) -> bool {
    let given = given.trim().to_ascii_lowercase();
    given.is_empty()
        || given == "n/a"
        || given == unit
        || (unit == "deg" && given.starts_with("deg"))
        || (unit == "rev/day" && given == "rev/d")
        || (unit == "1/er" && matches!(given.as_str(), "1/[earth radii]" | "1/earth radii"))
}
