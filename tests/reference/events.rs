//! Rise, set, twilight and transit of whole nights against tables made with other libraries
//! (`tests/data/README.md`).

use std::collections::HashMap;

use chrono::{DateTime, NaiveDate, Utc};
use chrono_tz::Tz;
use evenfall_core::earth::EarthOrientation;
use evenfall_core::ephemeris::Body;
use evenfall_core::events::{Crossings, Direction, EventKind, crossings, night, transits};
use evenfall_core::place::{EveningSky, Source, StarPlace};
use evenfall_core::time::{Instant, LocalNight};
use evenfall_core::units::Angle;
use evenfall_tests::close::Comparison;
use evenfall_tests::table::{EPHEMERIS, place, rows};
use serde::Deserialize;

use crate::place::body;

#[derive(Deserialize)]
pub struct NightRow {
    pub night_id: u32,
    pub latitude_deg: f64,
    pub longitude_deg: f64,
    pub elevation_m: f64,
    pub time_zone: String,
    pub local_date: NaiveDate,
    pub window_start_utc: DateTime<Utc>,
    pub window_end_utc: DateTime<Utc>,
    pub sun_min_altitude_airless_deg: f64,
}

#[derive(Deserialize)]
pub struct EventRow {
    pub night_id: u32,
    pub body: String,
    pub event: String,
    ra_icrs_j2000_deg: Option<f64>,
    dec_icrs_j2000_deg: Option<f64>,
    pm_ra_cosdec_mas_per_yr: Option<f64>,
    pm_dec_mas_per_yr: Option<f64>,
    pub occurrence: usize,
    pub occurrences_in_window: usize,
    pub state: String,
    pub utc: Option<DateTime<Utc>>,
    altitude_airless_deg: Option<f64>,
    azimuth_deg: Option<f64>,
}

impl NightRow {
    pub fn local(&self) -> LocalNight {
        let zone: Tz = self.time_zone.parse().expect("a zone of the database");
        LocalNight::new(self.local_date, zone).expect("a date of the calendar")
    }

    pub fn sky(&self) -> EveningSky<'static> {
        let place = place(self.latitude_deg, self.longitude_deg, self.elevation_m);
        EveningSky::new(&EPHEMERIS, place, EarthOrientation::default(), self.local().window())
            .expect("the tables keep within the ephemeris")
    }
}

impl EventRow {
    pub fn source(&self) -> Source {
        if self.body != "star" {
            return Source::Body(body(&self.body));
        }
        let number = |value: Option<f64>| value.expect("a star row has its coordinates");
        Source::Star(StarPlace {
            right_ascension: Angle::from_degrees(number(self.ra_icrs_j2000_deg)),
            declination: Angle::from_degrees(number(self.dec_icrs_j2000_deg)),
            pm_ra_cosdec_mas_per_yr: number(self.pm_ra_cosdec_mas_per_yr),
            pm_dec_mas_per_yr: number(self.pm_dec_mas_per_yr),
        })
    }
}

/// What an event of the table is to us: instants, and the state of a body that has none.
fn found(sky: &EveningSky<'_>, row: &EventRow) -> (Vec<Instant>, &'static str) {
    let (source, window) = (row.source(), sky.span());
    let (kind, direction) = match row.event.as_str() {
        "transit_upper" => return (transits(sky, &source, true, window), "not_in_window"),
        "transit_lower" => return (transits(sky, &source, false, window), "not_in_window"),
        "rise" => (EventKind::RiseSet, Direction::Up),
        "set" => (EventKind::RiseSet, Direction::Down),
        twilight => {
            let (name, turn) = twilight.split_once('_').expect("a twilight has its name and its turn");
            let depth = [("civil", 6.0), ("nautical", 12.0), ("astronomical", 18.0)]
                .into_iter()
                .find_map(|(known, depth)| (known == name).then_some(depth))
                .expect("one of three twilights");
            let direction = if turn == "dawn" { Direction::Up } else { Direction::Down };
            (EventKind::Twilight { depth: Angle::from_degrees(depth) }, direction)
        }
    };
    let found = crossings(sky, &source, &kind, window);
    let state = match found {
        Crossings::At(_) => "not_in_window",
        Crossings::AlwaysAbove => "always_above",
        Crossings::AlwaysBelow => "always_below",
    };
    (found.going(direction), state)
}

/// Each event within 0.001 s, which is what the table is rounded to.
#[test]
fn every_event_of_every_night() {
    let skies: HashMap<u32, _> =
        rows::<NightRow>("nights.json").into_iter().map(|row| (row.night_id, row.sky())).collect();
    let mut times = Comparison::new("time of an event", "s", 0.001);
    let mut altitudes = Comparison::new("altitude at an event", "arcsec", 0.001);
    let mut azimuths = Comparison::new("azimuth at an event", "arcsec", 0.002);
    for row in rows::<EventRow>("events.json") {
        let sky = &skies[&row.night_id];
        let name = format!("night {} {} {} {}", row.night_id, row.body, row.event, row.occurrence);
        let (instants, state) = found(sky, &row);
        assert_eq!(instants.len(), row.occurrences_in_window, "{name}: occurrences");
        let Some(want) = row.utc else {
            assert_eq!(state, row.state, "{name}: state");
            continue;
        };
        let got = instants[row.occurrence - 1];
        let want = Instant::from_utc(want);
        times.row(&name, got.seconds_since(want), 0.0);
        let at_event = sky.at(got).observe(&row.source());
        if let (Some(altitude), Some(azimuth)) = (row.altitude_airless_deg, row.azimuth_deg) {
            altitudes.scaled_row(&name, at_event.altitude.degrees(), altitude, 3600.0);
            azimuths.circle_row(
                &name,
                at_event.azimuth.degrees(),
                azimuth,
                3600.0 * altitude.to_radians().cos(),
            );
        }
    }
    times.assert_close();
    altitudes.assert_close();
    azimuths.assert_close();
}

/// The lowest Sun within 0.001 arcseconds; and the summary tells the same events.
#[test]
fn the_summary_of_every_night() {
    let mut lowest = Comparison::new("lowest altitude of the Sun", "arcsec", 0.001);
    for row in rows::<NightRow>("nights.json") {
        let (sky, local) = (row.sky(), row.local());
        let window = local.window();
        assert_eq!(window.start(), Instant::from_utc(row.window_start_utc), "night {}", row.night_id);
        assert_eq!(window.end(), Instant::from_utc(row.window_end_utc), "night {}", row.night_id);
        let summary = night(&sky, local);
        let name = format!("night {}", row.night_id);
        let got = summary.sun_lowest.1.degrees();
        lowest.scaled_row(&name, got, row.sun_min_altitude_airless_deg, 3600.0);
        let sun = Source::Body(Body::Sun);
        for (depth, told) in [(6.0, &summary.civil), (12.0, &summary.nautical), (18.0, &summary.astronomical)]
        {
            let kind = EventKind::Twilight { depth: Angle::from_degrees(depth) };
            assert_eq!(*told, crossings(&sky, &sun, &kind, window), "{name}: {depth} degrees");
        }
        assert_eq!(summary.sun, crossings(&sky, &sun, &EventKind::RiseSet, window), "{name}");
        assert_eq!(summary.dark.is_some(), row.sun_min_altitude_airless_deg < -18.0, "{name}: dark");
    }
    lowest.assert_close();
}
