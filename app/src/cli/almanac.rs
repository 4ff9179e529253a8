//! `evenfall almanac`: rise, set, transit and twilight of one night, from a night in to rows out.
//!
//! A night runs from local noon to local noon. Rise and set: the Sun's centre at -50', the Moon's upper limb and
//! planets and stars at -34', all airless; twilights at -6, -12 and -18 degrees; transits at apparent hour angle 0.

use std::str::FromStr;

use chrono::{DateTime, NaiveDate, SecondsFormat, TimeDelta, Utc};
use chrono_tz::Tz;
use evenfall_core::earth::EarthOrientation;
use evenfall_core::ephemeris::{Body, Ephemeris};
use evenfall_core::events::{Crossings, Direction, EventKind, Watch};
use evenfall_core::place::{EveningSky, Source};
use evenfall_core::site::nearest_zone;
use evenfall_core::time::{Instant, LocalNight, time_doubt};
use evenfall_core::units::Angle;
use serde_json::{Map, Value, json};

use super::positions::key_of;
use super::rows::{Answer, RowIn, STAR_KEYS, rounded};

/// Shown below the help.
pub const EXAMPLE: &str = r#"Example:
  echo '[{"night_id": 1, "latitude_deg": 55.1, "longitude_deg": -2.5, "elevation_m": 260,
          "time_zone": "Europe/London", "local_date": "2027-03-13"}]' | evenfall almanac

Each night gives these keys and, optionally, `stars`: an array of objects with `ra_icrs_j2000_deg`,
`dec_icrs_j2000_deg`, `pm_ra_cosdec_mas_per_yr`, `pm_dec_mas_per_yr`. One row comes back for each body, event and
occurrence; where there is none, one row with `occurrence` 0 and the `state`: always_above, always_below or
not_in_window. A night that can't be answered comes back with `error` (exit status 1). UT1-UTC is taken as 0: times
can differ by up to 0.9 s from those of the real Earth."#;

const KEYS: [&str; 7] =
    ["night_id", "latitude_deg", "longitude_deg", "elevation_m", "time_zone", "local_date", "stars"];

/// The rows of a night.
pub fn answer(row: &Value, ephemeris: &Ephemeris) -> Answer {
    let mut answer = Answer::default();
    let Some(mut row) = RowIn::new(row, &KEYS) else {
        answer.refuse(Map::new(), &["a night must be an object such as {\"night_id\": 1, ...}".to_owned()]);
        return answer;
    };
    let id = row.copied(&["night_id"]);
    let place = row.place();
    let night = local_night(&mut row);
    let stars = stars(&mut row);
    let (Some(place), Some(night), true) = (place, night, row.errors.is_empty()) else {
        answer.refuse(id, &row.errors);
        return answer;
    };
    let sky = match EveningSky::new(ephemeris, place, EarthOrientation::default(), night.window()) {
        Ok(sky) => sky,
        Err(error) => {
            answer.refuse(id, &[format!("`local_date`: {error}")]);
            return answer;
        }
    };
    answer.doubt = time_doubt(night.window().end().to_utc().date_naive());
    let watch = Watch::new(&sky, night.window());
    for body in Body::ALL {
        let mut named = id.clone();
        named.insert("body".to_owned(), json!(key_of(body)));
        answer.rows.extend(rows_of(&watch, &Source::Body(body), &named));
    }
    for star in stars {
        let mut named = id.clone();
        named.insert("body".to_owned(), json!("star"));
        match RowIn::new(star, &STAR_KEYS) {
            None => answer.refuse(named, &["a star must be an object".to_owned()]),
            Some(mut star) => {
                named.extend(star.copied(&STAR_KEYS));
                match star.star() {
                    Some(place) if star.errors.is_empty() => {
                        answer.rows.extend(rows_of(&watch, &Source::Star(place), &named));
                    }
                    _ => answer.refuse(named, &star.errors),
                }
            }
        }
    }
    answer
}

fn local_night(row: &mut RowIn<'_>) -> Option<LocalNight> {
    let zone = row.text("time_zone").and_then(|name| {
        let zone = Tz::from_str(name).ok();
        if zone.is_none() {
            let nearest = nearest_zone(name);
            row.errors.push(format!("`time_zone`: there is no zone \"{name}\"; did you mean \"{nearest}\"?"));
        }
        zone
    });
    let date = row.text("local_date").and_then(|text| {
        let date = NaiveDate::parse_from_str(text, "%Y-%m-%d").ok();
        if date.is_none() {
            row.errors.push(format!("`local_date` must be a date such as \"2027-03-13\", found \"{text}\""));
        }
        date
    });
    match LocalNight::new(date?, zone?) {
        Ok(night) => Some(night),
        Err(error) => {
            row.errors.push(format!("`local_date`: {error}"));
            None
        }
    }
}

fn stars<'v>(row: &mut RowIn<'v>) -> &'v [Value] {
    if !row.has("stars") {
        return &[];
    }
    let Some(value) = row.value("stars") else { return &[] };
    value.as_array().map_or_else(
        || {
            row.errors.push("`stars` must be an array of objects".to_owned());
            &[][..]
        },
        Vec::as_slice,
    )
}

/// Instants of one event, or why there are none.
struct Occurrences {
    instants: Vec<Instant>,
    state: &'static str,
}

fn going(crossings: &Crossings, direction: Direction) -> Occurrences {
    let state = match crossings {
        Crossings::At(_) => "not_in_window",
        Crossings::AlwaysAbove => "always_above",
        Crossings::AlwaysBelow => "always_below",
    };
    Occurrences { instants: crossings.going(direction), state }
}

fn rows_of(watch: &Watch<'_>, source: &Source, named: &Map<String, Value>) -> Vec<Value> {
    let path = watch.path(source);
    let rise_set = path.crossings(&EventKind::RiseSet);
    let mut events =
        vec![("set", going(&rise_set, Direction::Down)), ("rise", going(&rise_set, Direction::Up))];
    let is_sun = *source == Source::Body(Body::Sun);
    let twilights = [
        ("civil_dusk", "civil_dawn", 6.0),
        ("nautical_dusk", "nautical_dawn", 12.0),
        ("astronomical_dusk", "astronomical_dawn", 18.0),
    ];
    for (dusk, dawn, depth_deg) in twilights.into_iter().filter(|_| is_sun) {
        let kind = EventKind::Twilight { depth: Angle::from_degrees(depth_deg) };
        let twilight = path.crossings(&kind);
        events.push((dusk, going(&twilight, Direction::Down)));
        events.push((dawn, going(&twilight, Direction::Up)));
    }
    let transit = |upper| Occurrences { instants: path.transits(upper), state: "not_in_window" };
    events.push(("transit_upper", transit(true)));
    if is_sun {
        events.push(("transit_lower", transit(false)));
    }
    events
        .iter()
        .flat_map(|(event, occurrences)| event_rows(watch.sky(), source, named, event, occurrences))
        .collect()
}

fn event_rows(
    sky: &EveningSky<'_>,
    source: &Source,
    named: &Map<String, Value>,
    event: &str,
    occurrences: &Occurrences,
) -> Vec<Value> {
    let count = occurrences.instants.len();
    let row = |occurrence: usize, instant: Option<Instant>| {
        let observed = instant.map(|instant| sky.at(instant).observe(source));
        let mut row = named.clone();
        let mut put = |key: &str, value| row.insert(key.to_owned(), value);
        put("event", json!(event));
        put("occurrence", json!(occurrence));
        put("occurrences_in_window", json!(count));
        put("state", json!(if instant.is_some() { "event" } else { occurrences.state }));
        put("utc", json!(instant.map(to_milliseconds)));
        put("altitude_airless_deg", rounded(observed.map(|observed| observed.altitude.degrees()), 7));
        put("azimuth_deg", rounded(observed.map(|observed| observed.azimuth.degrees()), 7));
        Value::Object(row)
    };
    if count == 0 {
        return vec![row(0, None)];
    }
    let numbered = occurrences.instants.iter().enumerate();
    numbered.map(|(index, instant)| row(index + 1, Some(*instant))).collect()
}

/// The nearest millisecond, in ISO 8601.
fn to_milliseconds(instant: Instant) -> String {
    let utc: DateTime<Utc> = instant.to_utc() + TimeDelta::microseconds(500);
    utc.to_rfc3339_opts(SecondsFormat::Millis, true)
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use super::answer;
    use crate::shell::assets;

    fn night(key: &str, value: Value) -> Vec<Value> {
        let mut night = json!({
            "night_id": 0, "latitude_deg": 31.7683, "longitude_deg": 35.2137, "elevation_m": 754.0,
            "time_zone": "Asia/Jerusalem", "local_date": "2032-04-15",
        });
        night[key] = value;
        answer(&night, &assets::ephemeris().unwrap()).rows
    }

    #[test]
    fn sunset_is_where_a_reference_has_it() {
        // skyfield 1.55 with JPL DE440: sunset 2032-04-15T16:08:26.247Z at azimuth 282.4666844.
        let rows = night("note", json!(null));
        let set = &rows[0];
        assert_eq!((set["body"].as_str(), set["event"].as_str()), (Some("sun"), Some("set")));
        assert!(set["utc"].as_str().unwrap().starts_with("2032-04-15T16:08:26."), "{set}");
        assert_eq!((set["occurrence"].as_u64(), set["state"].as_str()), (Some(1), Some("event")));
        assert_eq!(rows.iter().filter(|row| row["event"] == "transit_lower").count(), 1);
    }

    #[test]
    fn a_star_that_never_sets_says_so_and_a_bad_one_does_not_hide_it() {
        let star = json!({"ra_icrs_j2000_deg": 10.0, "dec_icrs_j2000_deg": 85.0});
        let rows = night("stars", json!([{"ra_icrs_j2000_deg": 10.0}, star]));
        let of_stars: Vec<&Value> = rows.iter().filter(|row| row["body"] == "star").collect();
        assert!(of_stars[0]["error"].as_str().unwrap().contains("`dec_icrs_j2000_deg` is missing"));
        assert_eq!(of_stars[1]["state"], "always_above");
        assert_eq!(of_stars[1]["occurrence"], 0);
        assert!(of_stars[1]["utc"].is_null());
    }

    #[test]
    fn a_bad_night_says_all_that_is_wrong() {
        let rows = night("time_zone", json!("Asia/Jerusalm"));
        assert_eq!(rows.len(), 1);
        assert!(rows[0]["error"].as_str().unwrap().contains("did you mean \"Asia/Jerusalem\"?"), "{rows:?}");
        assert!(
            night("local_date", json!("1900-01-01"))[0]["error"].as_str().unwrap().contains("1950 to 2100")
        );
    }
}
