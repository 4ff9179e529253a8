//! Saturn's rings, Jupiter's central meridian and the Moon's face.

use chrono::{DateTime, Utc};
use evenfall_core::ephemeris::{Body, MoonFace, Rings};
use evenfall_core::place::Source;
use evenfall_core::units::Angle;
use evenfall_tests::close::{Comparison, assert_close};
use evenfall_tests::table::{earth_centre, place, rows, sky_around};
use serde::Deserialize;

#[derive(Deserialize)]
struct SaturnRow {
    utc: DateTime<Utc>,
    ring_tilt_b_deg: f64,
    ring_tilt_sun_b_deg: f64,
    ring_major_axis_arcsec: f64,
    distance_au: f64,
}

/// What the ground sees of all three at an instant; it hardly matters from where.
struct Looks {
    rings: Rings,
    meridian: Angle,
    face: MoonFace,
}

impl Looks {
    fn at(utc: &str) -> Self {
        let (sky, instant) = sky_around(place(0.0, 0.0, 0.0), utc.parse().expect("an instant"));
        let observer = sky.at(instant);
        Self {
            rings: observer.saturn_rings(),
            meridian: observer.jupiter_central_meridian(),
            face: observer.moon_face(),
        }
    }
}

/// The table is rounded to 1e-7 degrees and 1e-5 arcseconds.
#[test]
fn rings_are_as_open_as_the_table_has_them() {
    let mut tilt = Comparison::new("ring tilt", "degrees", 5e-7);
    let mut tilt_to_sun = Comparison::new("ring tilt to the Sun", "degrees", 5e-7);
    let mut major_axis = Comparison::new("long axis of the rings", "arcsec", 0.000_02);
    let mut distance = Comparison::new("distance of Saturn", "of itself", 5e-9);
    for row in rows::<SaturnRow>("saturn.json") {
        let (sky, instant) = sky_around(earth_centre(), row.utc);
        let observer = sky.at(instant);
        let got = observer.saturn_rings();
        let name = row.utc.to_string();
        tilt.row(&name, got.tilt.degrees(), row.ring_tilt_b_deg);
        tilt_to_sun.row(&name, got.tilt_to_sun.degrees(), row.ring_tilt_sun_b_deg);
        major_axis.row(&name, got.major_axis.arcseconds(), row.ring_major_axis_arcsec);
        let seen = observer.astrometric(&Source::Body(Body::Saturn)).distance_au.expect("a body");
        distance.scaled_row(&name, seen, row.distance_au, 1.0 / row.distance_au);
    }
    for comparison in [tilt, tilt_to_sun, major_axis, distance] {
        comparison.assert_close();
    }
}

/// Of eight dates at 0h UTC, computed from JPL DE440 with other tools and printed to 0.01 degrees (two to
/// 0.1), the width and height of the rings of one to 0.1 arcseconds.
#[test]
fn rings_through_the_years() {
    let mut tilt = Comparison::new("ring tilt through the years", "last digit printed", 0.6);
    for (date, want, digits) in [
        ("2025-03-23", 0.0, 10.0),
        ("2026-01-01", -0.95, 100.0),
        ("2026-07-01", -9.01, 100.0),
        ("2026-10-04", -7.46, 100.0),
        ("2027-01-01", -6.36, 100.0),
        ("2027-10-18", -12.89, 100.0),
        ("2028-10-30", -17.89, 100.0),
        ("2030-11-27", -25.0, 10.0),
        ("2032-05-15", -26.9, 10.0),
    ] {
        tilt.scaled_row(date, Looks::at(&format!("{date}T00:00:00Z")).rings.tilt.degrees(), want, digits);
    }
    tilt.assert_close();
    let rings = Looks::at("2027-10-18T00:00:00Z").rings;
    assert_close("width of the rings", "arcsec", rings.major_axis.arcseconds(), 45.3, 0.06);
    assert_close("height of the rings", "arcsec", rings.minor_axis.arcseconds(), 10.1, 0.06);
}

/// Meeus, Astronomical Algorithms, 2nd ed., example 45.a, p. 320: 1992 December 16, 0h UT: B +16.442°, B'
/// +14.679°, axes 35.87" and 10.15". His pole is that of an older report, 0.004 degrees away.
#[test]
fn rings_of_a_book_example() {
    let got = Looks::at("1992-12-16T00:00:00Z").rings;
    assert_close("ring tilt of example 45.a", "degrees", got.tilt.degrees(), 16.442, 0.005);
    assert_close("the same to the Sun", "degrees", got.tilt_to_sun.degrees(), 14.679, 0.005);
    // The book's outer edge is 375.35" at 1 au, ours 136 780 km, 377.18".
    let (long, short) = (got.major_axis.arcseconds(), got.minor_axis.arcseconds());
    assert_close("long axis", "arcsec", long * (375.35 / 377.18), 35.87, 0.006);
    assert_close("short axis", "arcsec", short * (375.35 / 377.18), 10.15, 0.006);
}

/// Meeus, example 43.a, p. 295: 1992 December 16, 0h UT: Jupiter's pole at 24.80°, its middle at -2.48°, by
/// an older pole 0.01 degrees away.
#[test]
fn jupiters_axis() {
    let (sky, instant) = sky_around(earth_centre(), "1992-12-16T00:00:00Z".parse().unwrap());
    let got = sky.at(instant).jupiter_system();
    assert_close("Jupiter's pole", "degrees", got.pole_position_angle.degrees(), 24.80, 0.015);
    assert_close("middle of its disc", "degrees", got.sub_observer_latitude.degrees(), -2.48, 0.015);
}

/// A spot at 90 degrees in System II crosses the middle at these instants, computed with other tools; it
/// takes 1.65 minutes over a degree, 9 h 55 min 41 s round.
#[test]
fn a_spot_of_jupiter() {
    let mut spot = Comparison::new("spot on the central meridian", "degrees", 0.06);
    for utc in ["2027-03-14T06:39:23Z", "2027-03-14T16:35:02Z"] {
        spot.circle_row(utc, Looks::at(utc).meridian.degrees(), 90.0, 1.0);
    }
    spot.assert_close();
    let turned = Looks::at("2027-03-14T05:00:00Z").meridian - Looks::at("2027-03-14T04:00:00Z").meridian;
    assert_close("turn of an hour", "degrees", turned.wrapped().degrees(), 36.261, 0.005);
}

/// Meeus, example 43.a, p. 295: 1992 December 16, 0h UT: 72.74° in System II, of which 0.43° correct for the
/// phase, which we don't; and two values of the same elements computed with other tools.
#[test]
fn jupiters_face() {
    let mut meridian = Comparison::new("central meridian, System II", "degrees", 0.06);
    for (utc, want) in [
        ("1992-12-16T00:00:00Z", 72.74 - 0.43),
        ("2027-03-14T04:00:00Z", 353.67),
        ("2027-08-08T03:00:00Z", 63.53),
    ] {
        let got = Looks::at(utc).meridian;
        meridian.circle_row(utc, got.degrees(), want, 1.0);
    }
    meridian.assert_close();
}

/// Meeus, example 53.a, p. 377: 1992 April 12, 0h TD: libration in longitude -1.23°, in latitude +4.20°, Sun
/// overhead at 67.90°, +1.46°; and colongitudes of three evenings by other tools. From where the Moon stands
/// overhead the ground sees what the Earth's centre sees.
#[test]
fn the_moons_face() {
    let mut colongitude = Comparison::new("colongitude of the Sun", "degrees", 0.06);
    for (utc, want) in [
        ("1992-04-11T23:59:01Z", 22.10),
        ("2026-12-13T04:00:00Z", 318.17),
        ("2027-03-14T04:00:00Z", 345.06),
        ("2027-08-08T03:00:00Z", 339.40),
    ] {
        colongitude.circle_row(utc, Looks::at(utc).face.colongitude().degrees(), want, 1.0);
    }
    colongitude.assert_close();

    let utc = "1992-04-11T23:59:01Z".parse().unwrap();
    let mut below = place(0.0, 0.0, 0.0);
    // The Moon's parallax moves its place by up to a degree: a few looks lead to where it stands overhead.
    for _ in 0..5 {
        let (sky, instant) = sky_around(below, utc);
        let moon = sky.at(instant).observe(&Source::Body(Body::Moon));
        below.latitude = moon.declination;
        below.longitude -= moon.hour_angle;
    }
    let (sky, instant) = sky_around(below, utc);
    let got = sky.at(instant).moon_face();
    assert_close("libration in longitude", "degrees", got.libration_longitude.degrees(), -1.23, 0.06);
    assert_close("libration in latitude", "degrees", got.libration_latitude.degrees(), 4.20, 0.06);
    assert_close("latitude of the Sun", "degrees", got.sub_solar_latitude.degrees(), 1.46, 0.03);
    let crater = got.sun_altitude(Angle::from_degrees(-20.0), Angle::from_degrees(9.7));
    assert_close("Sun's altitude at a crater", "degrees", crater.degrees(), 2.318, 0.06);
}
