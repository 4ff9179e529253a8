//! Saturn's rings, Jupiter's central meridian and the Moon's face.

use chrono::{DateTime, Utc};
use evenfall_core::ephemeris::{Body, MoonFace, Rings};
use evenfall_core::place::Source;
use evenfall_core::units::Angle;
use evenfall_tests::close::{Comparison, assert_close};
use evenfall_tests::table::{place, rows, sky_around};
use serde::Deserialize;

#[derive(Deserialize)]
struct SaturnRow {
    utc: DateTime<Utc>,
    ring_tilt_b_deg: f64,
    ring_tilt_sun_b_deg: f64,
    ring_major_axis_arcsec: f64,
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

/// The table is geocentric: from the ground the tilt differs by up to 0.0003 degrees, the size by 5e-5.
#[test]
fn rings_are_as_open_as_the_table_has_them() {
    let mut tilt = Comparison::new("ring tilt", "degrees", 0.001);
    let mut tilt_to_sun = Comparison::new("ring tilt to the Sun", "degrees", 0.0005);
    let mut major_axis = Comparison::new("long axis of the rings", "arcsec", 0.003);
    for row in rows::<SaturnRow>("saturn.json") {
        let got = Looks::at(&row.utc.to_rfc3339()).rings;
        let name = row.utc.to_string();
        tilt.row(&name, got.tilt.degrees(), row.ring_tilt_b_deg);
        tilt_to_sun.row(&name, got.tilt_to_sun.degrees(), row.ring_tilt_sun_b_deg);
        major_axis.row(&name, got.major_axis.arcseconds(), row.ring_major_axis_arcsec);
    }
    tilt.assert_close();
    tilt_to_sun.assert_close();
    major_axis.assert_close();
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
