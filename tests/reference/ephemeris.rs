//! Places and velocities from the embedded pack against JPL DE440, directions from the Earth too, and refusal outside
//! the span.

use evenfall_core::ephemeris::{EARTH_MOON_MASS_RATIO, Ephemeris, Series};
use evenfall_core::maths::Vec3;
use evenfall_tests::close::Comparison;

const PACK: &[u8] = include_bytes!("../../assets/ephemeris/planets.pack");
/// Read from the kernel itself; its first lines tell with what.
const SAMPLES: &str = include_str!("../data/ephemeris_samples.csv");
const GEOCENTRIC: &str = include_str!("../data/geocentric_samples.csv");

/// Largest errors promised in `assets/ephemeris/README.md`, rounded up: km and mm/s.
const fn promised(series: Series) -> (f64, f64) {
    match series {
        Series::SunFromBarycentre => (0.05, 0.2),
        Series::Mercury => (0.15, 2.1),
        Series::Venus => (0.08, 0.3),
        Series::EarthMoonBarycentre => (0.06, 0.2),
        Series::Mars => (0.12, 0.3),
        Series::Jupiter => (1.4, 2.2),
        Series::Saturn => (1.7, 2.5),
        Series::Uranus => (2.0, 2.5),
        Series::Neptune => (2.5, 2.6),
        Series::MoonFromEarth => (0.001, 0.03),
    }
}

fn embedded() -> Ephemeris {
    Ephemeris::from_bytes(PACK).expect("the embedded pack is sound")
}

fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a - b).powi(2)).sum::<f64>().sqrt()
}

#[test]
fn places_and_velocities_are_those_of_de440() {
    let ephemeris = embedded();
    let rows = SAMPLES.lines().filter(|line| !line.starts_with('#')).skip(1);
    let mut checked = [0; Series::ALL.len()];
    for row in rows {
        let (name, numbers) = row.split_once(',').expect("a name and numbers");
        let series = Series::ALL.into_iter().find(|series| format!("{series:?}") == name).expect("a series");
        let numbers: Vec<f64> = numbers.split(',').map(|n| n.parse().expect("a number")).collect();
        let &[tdb_s, x, y, z, vx, vy, vz] = numbers.as_slice() else { panic!("seven numbers in {row}") };
        let (place, velocity) = ephemeris.place_and_velocity(series, tdb_s).expect("inside the span");
        let (allowed_km, allowed_mm_s) = promised(series);
        let error_km = distance(place, [x, y, z]);
        assert!(error_km <= allowed_km, "{series:?} at {tdb_s}: {error_km} km off, allowed {allowed_km}");
        let error_mm_s = distance(velocity, [vx, vy, vz]) * 1e6;
        assert!(
            error_mm_s <= allowed_mm_s,
            "{series:?} at {tdb_s}: {error_mm_s} mm/s off, allowed {allowed_mm_s}"
        );
        assert_eq!(ephemeris.place(series, tdb_s), Some(place));
        checked[series as usize] += 1;
    }
    assert_eq!(checked, [40; Series::ALL.len()]);
}

/// From the Earth's centre, by the series that are from the Sun.
fn from_earth(ephemeris: &Ephemeris, body: &str, tdb_s: f64) -> Vec3 {
    let at = |series| Vec3::from_array(ephemeris.place(series, tdb_s).expect("inside the span"));
    let moon = at(Series::MoonFromEarth);
    let earth = at(Series::EarthMoonBarycentre) - moon * (1.0 / (1.0 + EARTH_MOON_MASS_RATIO));
    match body {
        "Sun" => -earth,
        "Moon" => moon,
        planet => {
            let series = Series::ALL.into_iter().find(|series| format!("{series:?}") == planet);
            at(series.expect("a series")) - earth
        }
    }
}

/// Where the bodies are nearest to the Earth, and elsewhere: none is off by more than half of what the pack is for.
#[test]
fn directions_from_the_earth_are_those_of_de440() {
    let ephemeris = embedded();
    let mut directions = Comparison::new("geocentric direction, pack against kernel", "arcsec", 0.0005);
    for row in GEOCENTRIC.lines().filter(|line| !line.starts_with('#')).skip(1) {
        let (body, numbers) = row.split_once(',').expect("a name and numbers");
        let numbers: Vec<f64> = numbers.split(',').map(|n| n.parse().expect("a number")).collect();
        let &[tdb_s, x, y, z] = numbers.as_slice() else { panic!("four numbers in {row}") };
        let off = from_earth(&ephemeris, body, tdb_s).angle_to(Vec3::new(x, y, z));
        directions.row(format!("{body} at {tdb_s}"), off.arcseconds(), 0.0);
    }
    directions.assert_close();
}

#[test]
fn the_span_is_1949_07_01_to_2101_07_01_and_nothing_more() {
    // Whole days from noon of 2000-01-01: JD 2433098.5 and 2488615.5 less 2451545.
    let (first, last) = (-18_446.5 * 86_400.0, 37_070.5 * 86_400.0);
    let ephemeris = embedded();
    assert_eq!(ephemeris.span_tdb_s(), (first, last));
    for series in Series::ALL {
        assert!(ephemeris.place(series, first).is_some());
        assert!(ephemeris.place(series, last).is_some());
        assert_eq!(ephemeris.place(series, first - 1.0), None);
        assert_eq!(ephemeris.place(series, last + 1.0), None);
    }
}
