//! Phases and lit share of the Moon against a table made with other libraries (`tests/data/README.md`).

use chrono::{DateTime, Utc};
use evenfall_core::ephemeris::Body;
use evenfall_core::events::{MoonPhase, moon_phase};
use evenfall_core::place::moon_phase_longitude;
use evenfall_tests::close::Comparison;
use evenfall_tests::table::{place, rows, sky_around};
use serde::Deserialize;

#[derive(Deserialize)]
struct MoonRow {
    kind: String,
    phase: Option<String>,
    utc: Option<DateTime<Utc>>,
    site: Option<String>,
    latitude_deg: Option<f64>,
    longitude_deg: Option<f64>,
    elevation_m: Option<f64>,
    local_midnight_utc: Option<DateTime<Utc>>,
    illuminated_fraction_topocentric: Option<f64>,
    phase_angle_topocentric_deg: Option<f64>,
    phase_longitude_deg: Option<f64>,
}

/// The table is rounded to 0.1 s, in which the Moon gains 0.03 arcseconds on the Sun at most.
#[test]
fn principal_phases() {
    let mut longitudes = Comparison::new("longitude of the Moon from the Sun", "arcsec", 0.05);
    for row in rows::<MoonRow>("moon.json").iter().filter(|row| row.kind == "phase") {
        let (name, utc) = (row.phase.as_deref().expect("its phase"), row.utc.expect("its instant"));
        let (sky, instant) = sky_around(place(0.0, 0.0, 0.0), utc);
        let (want, phase) = match name {
            "new" => (0.0, MoonPhase::New),
            "first_quarter" => (90.0, MoonPhase::FirstQuarter),
            "full" => (180.0, MoonPhase::Full),
            _ => (270.0, MoonPhase::LastQuarter),
        };
        let got = moon_phase_longitude(&sky, instant).degrees();
        longitudes.circle_row(format!("{name} {utc}"), got, want, 3600.0);
        assert_eq!(moon_phase(&sky, instant), phase, "{utc}");
    }
    longitudes.assert_close();
}

#[test]
fn lit_share_and_phase_angle() {
    let mut lit = Comparison::new("lit share of the Moon", "of the disc", 1e-8);
    let mut phase_angle = Comparison::new("phase angle of the Moon", "arcsec", 0.001);
    let mut longitude = Comparison::new("longitude of the Moon from the Sun", "arcsec", 0.001);
    for row in rows::<MoonRow>("moon.json").iter().filter(|row| row.kind == "illumination") {
        let site = place(
            row.latitude_deg.expect("its latitude"),
            row.longitude_deg.expect("its longitude"),
            row.elevation_m.expect("its height"),
        );
        let utc = row.local_midnight_utc.expect("its midnight");
        let name = format!("{} {utc}", row.site.as_deref().unwrap_or_default());
        let (sky, instant) = sky_around(site, utc);
        let got = sky.at(instant).appearance(Body::Moon);
        let want = |value: Option<f64>| value.expect("an illumination row has it");
        lit.row(&name, got.illuminated.unwrap().value(), want(row.illuminated_fraction_topocentric));
        let angle = got.phase_angle.unwrap().degrees();
        phase_angle.scaled_row(&name, angle, want(row.phase_angle_topocentric_deg), 3600.0);
        let gained = moon_phase_longitude(&sky, instant).degrees();
        longitude.circle_row(&name, gained, want(row.phase_longitude_deg), 3600.0);
    }
    lit.assert_close();
    phase_angle.assert_close();
    longitude.assert_close();
}
