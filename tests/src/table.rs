//! Reads the reference tables beside this package, and the ephemeris that is checked against them.

use std::fs;
use std::path::PathBuf;
use std::sync::LazyLock;

use chrono::{DateTime, Utc};
use evenfall_core::earth::{EarthOrientation, GeodeticPlace};
use evenfall_core::ephemeris::Ephemeris;
use evenfall_core::place::EveningSky;
use evenfall_core::time::{Instant, Interval};
use evenfall_core::units::Angle;
use serde::de::DeserializeOwned;

/// The embedded ephemeris, as the program has it.
pub static EPHEMERIS: LazyLock<Ephemeris> = LazyLock::new(|| {
    Ephemeris::from_bytes(include_bytes!("../../assets/ephemeris/planets.pack")).expect("the pack is sound")
});

/// The rows of a JSON table in `tests/data`.
///
/// # Panics
/// When the file is missing, not named in `tests/data/README.md` (which tells where each came from), or not a
/// table of such rows.
pub fn rows<Row: DeserializeOwned>(file_name: &str) -> Vec<Row> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("data");
    let read = |name: &str| {
        fs::read_to_string(folder.join(name))
            .unwrap_or_else(|error| panic!("reading tests/data/{name}: {error}"))
    };
    assert!(
        read("README.md").contains(&format!("`{file_name}`")),
        "tests/data/README.md does not say where {file_name} came from"
    );
    serde_json::from_str(&read(file_name))
        .unwrap_or_else(|error| panic!("reading tests/data/{file_name}: {error}"))
}

/// A place by its coordinates in the units of the tables.
pub fn place(latitude_deg: f64, longitude_deg: f64, elevation_m: f64) -> GeodeticPlace {
    GeodeticPlace {
        latitude: Angle::from_degrees(latitude_deg),
        longitude: Angle::from_degrees(longitude_deg),
        height_m: elevation_m,
    }
}

/// The Earth's centre, for what is tabled geocentric: as far below the equator as the ellipsoid of WGS84 is wide.
pub fn earth_centre() -> GeodeticPlace {
    place(0.0, 0.0, -6_378_137.0)
}

/// The sky over a place for a day around an instant.
///
/// # Panics
/// When the day is outside the ephemeris.
pub fn sky_around(place: GeodeticPlace, utc: DateTime<Utc>) -> (EveningSky<'static>, Instant) {
    let instant = Instant::from_utc(utc);
    let span = Interval::new(instant.plus_minutes(-700.0), instant.plus_minutes(700.0)).expect("forwards");
    let sky = EveningSky::new(&EPHEMERIS, place, EarthOrientation::default(), span);
    (sky.expect("the tables keep within the ephemeris"), instant)
}
