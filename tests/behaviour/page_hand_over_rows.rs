//! The hand-over card: a second person points from paper alone, and sees how near each stop comes to its limits.

use chrono::{NaiveTime, Timelike};
use evenfall_core::plan::{ClosedSky, prepare};
use evenfall_core::rig::{Axis, Drive, Equatorial};
use evenfall_core::sheet::LeafKind;
use evenfall_core::units::Angle;
use evenfall_tests::park::Park;

use super::pages::{Pages, demo, facts};

/// Hours, minutes and seconds, or degrees with their sign, as decimals.
fn sexagesimal(text: &str) -> f64 {
    let digits = |c: char| !(c.is_ascii_digit() || c == '.');
    let parts: Vec<f64> = text.split(digits).filter_map(|part| part.parse().ok()).collect();
    let [whole, minutes, seconds] = parts[..] else { panic!("{text}") };
    let value = whole + minutes / 60.0 + seconds / 3600.0;
    if text.starts_with('\u{2212}') { -value } else { value }
}

fn number(text: &str) -> f64 {
    text.replace('\u{2212}', "-").trim_end_matches('°').parse().unwrap_or_else(|_| panic!("{text}"))
}

/// Altitude with refraction and azimuth in degrees, worked from what stands on the card by the formulas of a book.
///
/// Meeus, Astronomical Algorithms, 2nd ed.: mean sidereal time, eq. 12.4; altitude and azimuth, eqs. 13.5 and 13.6 with the
/// azimuth from the south; refraction, eq. 16.4.
fn pointed(
    right_ascension_h: f64,
    declination_deg: f64,
    jd_ut: f64,
    (latitude, longitude): (f64, f64),
    air: (f64, f64),
) -> (f64, f64) {
    let t = (jd_ut - 2_451_545.0) / 36_525.0;
    let sidereal_deg = 280.460_618_37 + 360.985_647_366_29 * (jd_ut - 2_451_545.0) + 0.000_387_933 * t * t;
    let hour_angle = (sidereal_deg + longitude - 15.0 * right_ascension_h).to_radians();
    let (declination, latitude) = (declination_deg.to_radians(), latitude.to_radians());
    let from_south =
        hour_angle.sin().atan2(hour_angle.cos() * latitude.sin() - declination.tan() * latitude.cos());
    let sine = latitude.sin() * declination.sin() + latitude.cos() * declination.cos() * hour_angle.cos();
    let altitude = sine.asin().to_degrees();
    let refraction_arcmin = 1.02 / (altitude + 10.3 / (altitude + 5.11)).to_radians().tan()
        * (air.0 / 1010.0)
        * (283.0 / (273.0 + air.1));
    (altitude + refraction_arcmin / 60.0, (from_south.to_degrees() + 180.0).rem_euclid(360.0))
}

#[test]
fn row_78_a_second_person_points_from_paper_alone() {
    let (_, _, pages) = demo();
    let card = pages.page(LeafKind::HandOver);
    assert!(card.landscape);
    let site =
        facts(card).into_iter().find(|notice| notice.label == "Site").expect("the card tells the site");
    let told: Vec<f64> = site
        .value
        .split([' ', '°', ','])
        .filter_map(|part| part.replace('\u{2212}', "-").parse().ok())
        .collect();
    let [latitude, longitude_west, _, pressure_hpa, temperature_c] = told[..] else { panic!("{told:?}") };
    assert!(site.value.contains("° north") && site.value.contains("° west"));
    let table = pages.table(LeafKind::HandOver, "RA of date (h\u{a0}m\u{a0}s)");
    for head in [
        "Dec of date (°\u{a0}′\u{a0}″)",
        "RA ICRS, J2000.0 (h\u{a0}m\u{a0}s)",
        "UTC (h:m:s)",
        "Altitude (°)",
        "Azimuth (°)",
    ] {
        assert!(table.heads.iter().any(|own| own == head), "{head}");
    }
    // 2027 March 13.0 UT: Julian day by Meeus, chapter 7.
    let midnight = 2_461_477.5;
    let mut worked = 0;
    for row in &table.rows {
        let first =
            |column: usize, mark: &str| row[column].split(mark).next().expect("a cell").trim().to_owned();
        let utc = NaiveTime::parse_from_str(&first(2, " to "), "%H:%M:%S").expect("a time in UTC");
        let jd = midnight + f64::from(utc.num_seconds_from_midnight()) / 86_400.0;
        let (right_ascension, declination) = (sexagesimal(&row[3]), sexagesimal(&row[4]));
        let (altitude, azimuth) = pointed(
            right_ascension,
            declination,
            jd,
            (latitude, -longitude_west),
            (pressure_hpa, temperature_c),
        );
        // Half of the last digit printed, and what mean sidereal time leaves out.
        assert!((altitude - number(&first(7, "→"))).abs() < 0.06, "{row:?}: {altitude}");
        let off = (azimuth - number(&first(8, "→"))) * altitude.to_radians().cos();
        assert!(off.abs() < 0.06, "{row:?}: {azimuth}");
        // ICRS to date in 27 years: precession is 50.3″ a year, 0.38 degrees, and nutation and aberration a hundredth.
        let east = 15.0 * (right_ascension - sexagesimal(&row[5])) * declination.to_radians().cos();
        let apart = east.hypot(declination - sexagesimal(&row[6]));
        assert!((0.1..0.40).contains(&apart), "{row:?}: {apart}");
        worked += 1;
    }
    assert!(worked >= 9, "{worked}");
    let settings = pages.table(LeafKind::HandOver, "Rotator (°)");
    for (row, sheet) in
        settings.rows.iter().zip(pages.sheet.rows.iter().filter(|row| !row.altitude.is_empty()))
    {
        assert!(row.iter().all(|cell| !cell.is_empty()), "{row:?}");
        assert_eq!([&row[1], &row[2], &row[3]], [&sheet.port, &sheet.port_detail, &sheet.focus]);
    }
    for label in ["Sun", "Mount", "Keyhole", "Cables", "Horizon, azimuth: altitude"] {
        assert!(facts(card).iter().any(|notice| notice.label == label), "{label}");
    }
}

#[test]
fn margins_tell_every_limit_of_the_drive_and_closed_sky() {
    let (mut park, ..) = demo();
    let (from, to) = (Angle::from_degrees(80.0), Angle::from_degrees(100.0));
    park.evening.wishes.closed_sky = vec![ClosedSky::new(from, to, None, None)];
    let told = |park: &Park| {
        let prepared = prepare(&park.evening, &park.materials()).expect("the evening can be prepared");
        let pages = Pages::of(park, &prepared);
        let table = pages.table(LeafKind::HandOver, "Nearest to its limits (°)");
        table.rows.iter().map(|row| row[6].clone()).collect::<Vec<_>>()
    };
    let at_zenith = told(&park);
    assert!(at_zenith.len() > 5);
    for margins in &at_zenith {
        for limit in ["lowest ", "highest ", "keyhole ", "closed sky", "Sun "] {
            assert!(margins.to_lowercase().contains(&limit.to_lowercase()), "no {limit} in {margins}");
        }
    }
    // An equatorial mount has its keyhole at the pole: 90 degrees less the declination, less its radius.
    let axis = Axis { rate_deg_per_s: 2.0, acceleration_deg_per_s2: 1.0 };
    let pole_keyhole_radius = Angle::from_degrees(2.0);
    park.rig.mount.drive = Drive::Equatorial(Equatorial {
        pole_keyhole_radius,
        hour_angle: axis,
        declination: axis,
        flip: None,
    });
    let prepared = prepare(&park.evening, &park.materials()).expect("the evening can be prepared");
    let pages = Pages::of(&park, &prepared);
    let declinations = pages.table(LeafKind::HandOver, "RA of date (h\u{a0}m\u{a0}s)");
    for (row, margins) in pages
        .table(LeafKind::HandOver, "Nearest to its limits (°)")
        .rows
        .iter()
        .map(|row| (declinations.rows.iter().find(|own| own[0].starts_with(&row[0])), &row[6]))
    {
        let declination = sexagesimal(&row.expect("it is pointed at")[4]);
        let keyhole = margins.split("keyhole ").nth(1).and_then(|rest| rest.split('°').next());
        let keyhole: f64 = keyhole.expect("it is told").parse().expect("a number");
        // Refraction lifts by a third of a degree at 3 degrees altitude and less above; printed in whole degrees.
        assert!((keyhole - (90.0 - declination.abs() - 2.0)).abs() < 1.0, "{declination}: {margins}");
    }
}
