//! Phases and lit share of the Moon against a table made with other libraries (`tests/data/README.md`).

use chrono::{DateTime, Utc};
use evenfall_core::ephemeris::Body;
use evenfall_core::events::{MoonPhase, PrincipalPhase, moon_phase, moon_phases};
use evenfall_core::place::moon_phase_longitude;
use evenfall_core::time::{Instant, Interval};
use evenfall_tests::close::Comparison;
use evenfall_tests::table::{EPHEMERIS, earth_centre, place, rows, sky_around};
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
    illuminated_fraction_geocentric: Option<f64>,
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

/// The same found by search, all phases of six years at once: within the 0.1 s to which the table is rounded.
/// Every other lunation is in it, so it has half of what is found.
#[test]
fn principal_phases_are_found() {
    let mut times = Comparison::new("time of a principal phase", "s", 0.06);
    let at = |utc: &str| Instant::from_utc(utc.parse::<DateTime<Utc>>().expect("an instant"));
    let window = Interval::new(at("2025-01-01T00:00:00Z"), at("2031-01-01T00:00:00Z")).expect("forwards");
    let found = moon_phases(&EPHEMERIS, window).expect("inside the ephemeris");
    // 2192 days hold 74.2 synodic months of 29.5306 days (Meeus, Astronomical Algorithms, 2nd ed., p. 349).
    assert!((296..=298).contains(&found.len()), "{} phases", found.len());
    for (one, next) in found.iter().zip(&found[1..]) {
        assert_eq!((one.1 as usize + 1) % 4, next.1 as usize, "{}", next.0.to_utc());
    }
    for row in rows::<MoonRow>("moon.json").iter().filter(|row| row.kind == "phase") {
        let (name, utc) = (row.phase.as_deref().expect("its phase"), row.utc.expect("its instant"));
        let want = Instant::from_utc(utc);
        let nearest = found
            .iter()
            .min_by(|one, other| {
                let away = |at: Instant| at.seconds_since(want).abs();
                away(one.0).total_cmp(&away(other.0))
            })
            .expect("some phase");
        let phase = match name {
            "new" => PrincipalPhase::New,
            "first_quarter" => PrincipalPhase::FirstQuarter,
            "full" => PrincipalPhase::Full,
            _ => PrincipalPhase::LastQuarter,
        };
        assert_eq!(nearest.1, phase, "{utc}");
        times.row(format!("{name} {utc}"), nearest.0.seconds_since(want), 0.0);
    }
    times.assert_close();
}

#[test]
fn lit_share_and_phase_angle() {
    let mut lit = Comparison::new("lit share of the Moon", "of the disc", 1e-8);
    let mut from_centre = Comparison::new("lit share from the Earth's centre", "of the disc", 1e-8);
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
        let geocentric = sky_around(earth_centre(), utc).0.at(instant).appearance(Body::Moon);
        let lit_from_centre = geocentric.illuminated.unwrap().value();
        from_centre.row(&name, lit_from_centre, want(row.illuminated_fraction_geocentric));
        let angle = got.phase_angle.unwrap().degrees();
        phase_angle.scaled_row(&name, angle, want(row.phase_angle_topocentric_deg), 3600.0);
        let gained = moon_phase_longitude(&sky, instant).degrees();
        longitude.circle_row(&name, gained, want(row.phase_longitude_deg), 3600.0);
    }
    lit.assert_close();
    from_centre.assert_close();
    phase_angle.assert_close();
    longitude.assert_close();
}
