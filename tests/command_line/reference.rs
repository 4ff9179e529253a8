//! `positions` and `almanac` on the reference tables: every column that both have, the worst difference of each told.
//!
//! JPL DE440 through independent libraries and the almanac's conventions: `tests/data/README.md`. The program rounds
//! as the tables do; what is allowed is what `DEVELOPERS.md` claims of the numbers behind.

use std::collections::BTreeMap;

use chrono::DateTime;
use serde_json::{Map, Value};

use super::{data, messages, results, run_on, status};

/// What a row is asked by, given back as it came.
const ASKED: [&str; 10] = [
    "id",
    "body",
    "latitude_deg",
    "longitude_deg",
    "elevation_m",
    "utc",
    "ra_icrs_j2000_deg",
    "dec_icrs_j2000_deg",
    "pm_ra_cosdec_mas_per_yr",
    "pm_dec_mas_per_yr",
];
/// By another convention than the program's: the Sun at the barycentre of the Solar System.
const LEFT_OUT: &str = "visual_magnitude_skyfield";
/// What names an event.
const EVENT: [&str; 7] =
    ["night_id", "body", "event", "occurrence", "occurrences_in_window", "state", "ra_icrs_j2000_deg"];

fn table(name: &str) -> Vec<Value> {
    serde_json::from_str(&data(name)).expect(name)
}

fn answered(command: &str, rows: &[Value]) -> Vec<Value> {
    let output = run_on(&[command], &Value::from(rows).to_string());
    assert_eq!(status(&output), 0, "{}", messages(&output));
    serde_json::from_str(&results(&output)).expect("an array")
}

/// How a column is compared.
struct Column {
    unit: &'static str,
    allowed: f64,
    /// Around the circle.
    is_angle: bool,
    /// From the column's unit to `unit`.
    scale: f64,
}

impl Column {
    /// By the key, in a row with these values; azimuths and the like shrink with the circle that they run on.
    fn of(key: &str, row: &Map<String, Value>) -> Self {
        let number = |key: &str| row[key].as_f64().unwrap_or_else(|| panic!("{key} in {row:?}"));
        let cosine_of = |key: &str| number(key).to_radians().cos();
        let angle = |allowed: f64, circle: f64| Self {
            unit: "arcsec",
            allowed,
            is_angle: true,
            scale: 3600.0 * circle,
        };
        let plain = |unit: &'static str, allowed: f64| Self { unit, allowed, is_angle: false, scale: 1.0 };
        match key {
            "azimuth_deg" | "parallactic_angle_deg" => angle(0.001, cosine_of("altitude_airless_deg")),
            "hour_angle_deg" | "ra_apparent_topocentric_deg" => {
                angle(0.001, cosine_of("dec_apparent_topocentric_deg"))
            }
            "ra_astrometric_icrs_deg" => angle(0.001, cosine_of("dec_astrometric_icrs_deg")),
            "airmass" => Self { scale: 1.0 / number(key), ..plain("of itself", 1e-7) },
            "distance_au" | "distance_km" => Self { scale: 1.0 / number(key), ..plain("of itself", 5e-9) },
            "angular_diameter_arcsec" => plain("arcsec", 0.000_01),
            "illuminated_fraction" => plain("of the disc", 1e-8),
            // Both rounded to the fifth decimal.
            "visual_magnitude" => plain("mag", 0.000_011),
            degrees if degrees.ends_with("_deg") => angle(0.001, 1.0),
            other => panic!("no one says how to compare {other}"),
        }
    }

    fn off(&self, got: f64, want: f64) -> f64 {
        let off = got - want;
        (if self.is_angle { (off + 180.0).rem_euclid(360.0) - 180.0 } else { off }).abs() * self.scale
    }
}

/// The worst difference of each column, and its unit.
#[derive(Default)]
struct Worst(BTreeMap<String, (f64, &'static str)>);

impl Worst {
    /// Compares a column of two rows: a number with a number, nothing with nothing.
    fn compare(&mut self, key: &str, got: &Value, want: &Map<String, Value>) {
        let (got_there, want_there) = (got[key].as_f64(), want[key].as_f64());
        assert_eq!(got_there.is_some(), want_there.is_some(), "{key}: {got}, want {want:?}");
        let (Some(got_there), Some(want_there)) = (got_there, want_there) else { return };
        let column = Column::of(key, want);
        let off = column.off(got_there, want_there);
        assert!(off <= column.allowed, "{key} is off by {off} {}: {got}, want {want:?}", column.unit);
        self.add(key, off, column.unit);
    }

    fn add(&mut self, key: &str, off: f64, unit: &'static str) {
        let worst = self.0.entry(key.to_owned()).or_insert((0.0, unit));
        worst.0 = worst.0.max(off);
    }

    /// Told where output is not captured (`-- --nocapture`).
    fn tell(&self, what: &str) {
        for (key, (off, unit)) in &self.0 {
            println!("worst difference in {what}, {key}: {off:.2e} {unit}");
        }
    }
}

#[test]
fn positions_answers_the_reference_rows() {
    for (name, columns) in [("positions.json", 15), ("stars.json", 11)] {
        let want = table(name);
        let questions: Vec<Value> = want
            .iter()
            .map(|row| {
                ASKED.iter().filter_map(|key| Some(((*key).to_owned(), row.get(*key)?.clone()))).collect()
            })
            .collect();
        let got = answered("positions", &questions);
        assert_eq!(got.len(), want.len());
        let mut worst = Worst::default();
        for (got, want) in got.iter().zip(&want) {
            assert_eq!(got["id"], want["id"]);
            let want = want.as_object().expect("a row");
            for key in want.keys().filter(|key| !ASKED.contains(&key.as_str()) && *key != LEFT_OUT) {
                assert!(got.get(key).is_some(), "{key} is missing in {got}");
                worst.compare(key, got, want);
            }
        }
        worst.tell(name);
        assert_eq!(worst.0.len(), columns, "columns of {name}");
    }
}

/// The same events, none missing and none more, each within a millisecond, which is what both are rounded to.
#[test]
fn almanac_answers_the_reference_nights() {
    let mut nights = table("nights.json");
    let want = table("events.json");
    for night in &mut nights {
        let mut stars: Vec<Value> = Vec::new();
        for row in want.iter().filter(|row| row["night_id"] == night["night_id"] && row["body"] == "star") {
            let star = ASKED[6..].iter().map(|key| ((*key).to_owned(), row[*key].clone())).collect();
            if !stars.contains(&star) {
                stars.push(star);
            }
        }
        night["stars"] = Value::Array(stars);
    }
    let got = answered("almanac", &nights);
    assert_eq!(got.len(), want.len());
    let name = |row: &Value| EVENT.map(|key| row[key].to_string());
    let mut worst = Worst::default();
    for row in &want {
        let answer = got.iter().find(|answer| name(answer) == name(row));
        let answer = answer.unwrap_or_else(|| panic!("no answer for {row}"));
        assert_eq!(row["utc"].is_null(), answer["utc"].is_null(), "{row}\n{answer}");
        let (Some(want_utc), Some(got_utc)) = (row["utc"].as_str(), answer["utc"].as_str()) else { continue };
        let milliseconds = |utc| DateTime::parse_from_rfc3339(utc).expect("an instant").timestamp_millis();
        let off_ms = (milliseconds(want_utc) - milliseconds(got_utc)).abs();
        assert!(off_ms <= 1, "{row}\n{answer}");
        worst.add("utc", off_ms as f64 / 1000.0, "s");
        let row = row.as_object().expect("a row");
        for key in ["altitude_airless_deg", "azimuth_deg"] {
            worst.compare(key, answer, row);
        }
    }
    worst.tell("events.json");
}
