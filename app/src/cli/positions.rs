//! `evenfall positions`: where one body or star stands, from a row in to a row out.
//!
//! Keys, units and conventions: airless altitudes of the apparent topocentric place, azimuth from north through east,
//! hour angle west positive, refraction by Saemundsson (from -1 degree up) in standard air unless the row gives its
//! own, airmass by Kasten and Young on the refracted altitude.

use chrono::{DateTime, Timelike, Utc};
use evenfall_core::earth::{EarthOrientation, GeodeticPlace};
use evenfall_core::ephemeris::{AU_KM, Body, Ephemeris};
use evenfall_core::place::{Air, EveningSky, LOWEST_REFRACTED, Observed, ObserverAt, Source};
use evenfall_core::time::{Instant, Interval, time_doubt, tt_minus_utc_s};
use evenfall_core::units::Fraction;
use serde_json::{Map, Value};

use super::rows::{Answer, RowIn, STAR_KEYS, degrees, rounded};

/// Shown below the help.
pub const EXAMPLE: &str = r#"Example:
  echo '[{"id": 1, "body": "moon", "latitude_deg": 55.1, "longitude_deg": -2.5, "elevation_m": 260,
          "utc": "2027-03-13T20:00:00Z"}]' | evenfall positions

Each row gives `utc`, `latitude_deg`, `longitude_deg` (east positive), `elevation_m`, and either `body` (sun, moon,
mercury ... neptune) or `ra_icrs_j2000_deg`, `dec_icrs_j2000_deg`, `pm_ra_cosdec_mas_per_yr`, `pm_dec_mas_per_yr`.
Optional: `id`, `ut1_minus_utc_s`, `pressure_hpa`, `temperature_c`. A row that can't be answered comes back with
`error`; the others are answered all the same (exit status 1). Left at 0, UT1-UTC costs up to 15 arcseconds of hour
angle a second, and it is kept within 0.9 s; polar motion, taken as 0, costs up to 0.5 arcseconds."#;

const KEYS: [&str; 13] = [
    "id",
    "body",
    STAR_KEYS[0],
    STAR_KEYS[1],
    STAR_KEYS[2],
    STAR_KEYS[3],
    "latitude_deg",
    "longitude_deg",
    "elevation_m",
    "utc",
    "ut1_minus_utc_s",
    "pressure_hpa",
    "temperature_c",
];

/// What a row asks.
struct Question {
    instant: Instant,
    place: GeodeticPlace,
    orientation: EarthOrientation,
    source: Source,
    air: Air,
}

/// The row out of a row in.
pub fn answer(row: &Value, ephemeris: &Ephemeris) -> Answer {
    let mut answer = Answer::default();
    let Some(mut row) = RowIn::new(row, &KEYS) else {
        answer.refuse(Map::new(), &["a row must be an object such as {\"id\": 1, ...}".to_owned()]);
        return answer;
    };
    let known = row.copied(&KEYS);
    let question = question(&mut row);
    let errors = row.errors;
    match question {
        Some(question) if errors.is_empty() => match placed(&question, ephemeris) {
            Ok(found) => {
                answer.doubt = time_doubt(question.instant.to_utc().date_naive());
                answer.rows.push(Value::Object(known.into_iter().chain(found).collect()));
            }
            Err(error) => answer.refuse(known, &[error]),
        },
        _ => answer.refuse(known, &errors),
    }
    answer
}

fn question(row: &mut RowIn<'_>) -> Option<Question> {
    let place = row.place();
    let instant = row.text("utc").and_then(|text| {
        let utc = DateTime::parse_from_rfc3339(text).ok();
        if utc.is_none() {
            row.errors
                .push(format!("`utc` must be an instant such as \"2027-03-13T20:00:00Z\", found \"{text}\""));
        }
        let utc = utc.map(|utc| utc.with_timezone(&Utc));
        if utc.is_some_and(|utc| is_second_60(utc) && !is_leap_second(utc)) {
            row.errors.push(format!("`utc`: no leap second is known there, found \"{text}\""));
        }
        utc.map(Instant::from_utc)
    });
    let source = source(row);
    let ut1_minus_utc_s = row.number_or("ut1_minus_utc_s", -1.0..=1.0, 0.0);
    let pressure_hpa = row.number_or("pressure_hpa", 0.0..=1100.0, Air::STANDARD.pressure_hpa);
    let temperature_c = row.number_or("temperature_c", -100.0..=60.0, Air::STANDARD.temperature_c);
    Some(Question {
        instant: instant?,
        place: place?,
        orientation: EarthOrientation { ut1_minus_utc_s: ut1_minus_utc_s?, ..EarthOrientation::default() },
        source: source?,
        air: Air { pressure_hpa: pressure_hpa?, temperature_c: temperature_c? },
    })
}

/// Whether a clock shows second 60.
fn is_second_60(utc: DateTime<Utc>) -> bool {
    utc.nanosecond() >= 1_000_000_000
}

/// Whether TT less UTC grows by a second at the end of this minute.
fn is_leap_second(utc: DateTime<Utc>) -> bool {
    let date = utc.date_naive();
    let grows = date.succ_opt().is_some_and(|next| tt_minus_utc_s(next) > tt_minus_utc_s(date) + 0.5);
    (utc.hour(), utc.minute()) == (23, 59) && grows
}

fn source(row: &mut RowIn<'_>) -> Option<Source> {
    if !row.has("body") {
        return row.star().map(Source::Star);
    }
    if STAR_KEYS.iter().any(|key| row.has(key)) {
        row.errors.push("a row gives either `body` or the coordinates of a star".to_owned());
    }
    let name = row.text("body")?;
    let body = body_named(name);
    if body.is_none() {
        let known: Vec<String> = Body::ALL.iter().map(|body| key_of(*body)).collect();
        row.errors.push(format!("`body` must be one of {}, found \"{name}\"", known.join(", ")));
    }
    body.map(Source::Body)
}

/// A body by its name in rows.
fn body_named(name: &str) -> Option<Body> {
    Body::ALL.into_iter().find(|body| key_of(*body) == name.to_lowercase())
}

/// The name of a body in rows.
pub fn key_of(body: Body) -> String {
    body.name().to_lowercase()
}

/// The keys that a row gets, in the order of their names.
fn placed(question: &Question, ephemeris: &Ephemeris) -> Result<Map<String, Value>, String> {
    let at = question.instant;
    let span = Interval::new(at, at.plus_seconds(1.0)).ok_or("the instant can't be held")?;
    let sky = EveningSky::new(ephemeris, question.place, question.orientation, span)
        .map_err(|error| format!("`utc`: {error}"))?;
    let observer = sky.at(at);
    let observed = observer.observe(&question.source);
    let mut found = shared_keys(&observed, question.air);
    match question.source {
        Source::Body(body) => found.extend(body_keys(&observer, &observed, body)),
        Source::Star(_) | Source::Comet(_) => found.extend(star_keys(&observer, &observed)),
    }
    Ok(found)
}

fn shared_keys(observed: &Observed, air: Air) -> Map<String, Value> {
    let refracted = (observed.altitude >= LOWEST_REFRACTED).then(|| observed.apparent_altitude(air));
    let airmass = refracted.and_then(|_| observed.airmass(air));
    keyed([
        ("altitude_airless_deg", degrees(observed.altitude)),
        ("azimuth_deg", degrees(observed.azimuth)),
        ("altitude_refracted_deg", degrees(refracted)),
        ("airmass", rounded(airmass, 9)),
        ("hour_angle_deg", degrees(observed.hour_angle)),
        ("ra_apparent_topocentric_deg", degrees(observed.right_ascension.wrapped())),
        ("dec_apparent_topocentric_deg", degrees(observed.declination)),
    ])
}

fn body_keys(observer: &ObserverAt<'_>, observed: &Observed, body: Body) -> Map<String, Value> {
    let astrometric = observer.astrometric(&Source::Body(body));
    let look = observer.appearance(body);
    let distance_km = observed.distance_au.filter(|_| body == Body::Moon).map(|au| au * AU_KM);
    keyed([
        ("ra_astrometric_icrs_deg", degrees(astrometric.right_ascension.wrapped())),
        ("dec_astrometric_icrs_deg", degrees(astrometric.declination)),
        ("distance_au", rounded(observed.distance_au, 13)),
        ("distance_km", rounded(distance_km, 5)),
        ("angular_diameter_arcsec", rounded(look.diameter.arcseconds(), 6)),
        ("illuminated_fraction", rounded(look.illuminated.map(Fraction::value), 9)),
        ("phase_angle_deg", degrees(look.phase_angle)),
        ("visual_magnitude", rounded(look.magnitude.map(|magnitude| magnitude.0), 5)),
    ])
}

fn star_keys(observer: &ObserverAt<'_>, observed: &Observed) -> Map<String, Value> {
    let (sun, moon) = (observer.sun(), observer.moon());
    keyed([
        ("parallactic_angle_deg", degrees(observed.parallactic_angle)),
        ("moon_separation_deg", degrees(observed.separation(&moon))),
        ("moon_altitude_airless_deg", degrees(moon.altitude)),
        ("sun_altitude_airless_deg", degrees(sun.altitude)),
    ])
}

fn keyed<const N: usize>(pairs: [(&str, Value); N]) -> Map<String, Value> {
    pairs.into_iter().map(|(key, value)| (key.to_owned(), value)).collect()
}

#[cfg(test)]
mod tests {
    use evenfall_core::time::TimeDoubt;
    use serde_json::{Value, json};

    use super::answer;
    use crate::shell::assets;

    fn answered(row: &Value) -> Value {
        let answer = answer(row, &assets::ephemeris().unwrap());
        assert_eq!(answer.rows.len(), 1);
        assert_eq!(answer.errors.len(), usize::from(answer.rows[0].get("error").is_some()));
        answer.rows.into_iter().next().unwrap()
    }

    fn moon(key: &str, value: Value) -> Value {
        let mut row = json!({
            "id": 7, "body": "moon", "latitude_deg": 24.0711, "longitude_deg": 49.7059, "elevation_m": 30.5,
            "utc": "2038-04-09T03:35:00.412Z",
        });
        row[key] = value;
        answered(&row)
    }

    #[test]
    fn second_60_is_taken_where_there_was_one() {
        // IERS Bulletin C 52: a leap second at the end of 2016, and none since.
        let taken = |utc: &str| moon("utc", json!(utc)).get("error").is_none();
        assert!(taken("2016-12-31T23:59:60Z") && !taken("2016-12-31T22:59:60Z"));
        assert!(!taken("2027-03-13T23:59:60Z"));
    }

    #[test]
    fn years_without_known_leap_seconds_are_answered_with_a_doubt() {
        let doubt = |utc: &str| {
            let row =
                json!({"body": "sun", "latitude_deg": 1, "longitude_deg": 1, "elevation_m": 1, "utc": utc});
            answer(&row, &assets::ephemeris().unwrap()).doubt
        };
        assert_eq!(doubt("1971-12-31T00:00:00Z"), Some(TimeDoubt::BeforeLeapSeconds));
        assert_eq!(doubt("2027-03-13T00:00:00Z"), None);
        assert_eq!(doubt("2038-04-09T00:00:00Z"), Some(TimeDoubt::AfterAnnouncement));
    }

    #[test]
    fn a_row_comes_back_with_its_id_and_its_answer() {
        // skyfield 1.55 with JPL DE440, row 7 of its table of places: azimuth 55.928897996, distance 403515.34483 km.
        let row = moon("note", json!("left alone"));
        assert_eq!(row["id"], 7);
        assert!((row["azimuth_deg"].as_f64().unwrap() - 55.928_897_996).abs() < 1.0 / 3600.0, "{row}");
        assert!((row["distance_km"].as_f64().unwrap() - 403_515.344_83).abs() < 1.0, "{row}");
        assert!(row["altitude_refracted_deg"].is_null() && row["airmass"].is_null());
    }

    #[test]
    fn a_bad_row_says_all_that_is_wrong() {
        let row = answered(
            &json!({"id": "a", "body": "mooon", "latitude_deg": 95, "longitude_deg": "x", "utc": "today"}),
        );
        let error = row["error"].as_str().unwrap();
        for part in [
            "`latitude_deg` must be",
            "`longitude_deg` must be",
            "`elevation_m` is missing",
            "`utc` must",
            "sun, moon",
        ] {
            assert!(error.contains(part), "{error}");
        }
        assert_eq!(row["id"], "a");
        assert!(answered(&json!(3))["error"].as_str().unwrap().contains("must be an object"));
        assert!(
            moon("utc", json!("2250-01-01T00:00:00Z"))["error"].as_str().unwrap().contains("1950 to 2100")
        );
        assert!(
            moon("pressure_hPa", json!(900))["error"]
                .as_str()
                .unwrap()
                .contains("did you mean `pressure_hpa`?")
        );
    }
}
