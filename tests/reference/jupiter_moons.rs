//! Jupiter's four moons and its centre against the reference table, the whole theory, JPL and a book.

use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta, Utc};
use evenfall_core::ephemeris::{AU_KM, Body, JupiterMoon, jupiter_centre_from_barycentre_km};
use evenfall_core::maths::{Mat3, Vec3};
use evenfall_core::place::{AgainstDisc, JupiterSystem, MoonOfJupiter, Source};
use evenfall_core::time::Instant;
use evenfall_core::units::Angle;
use evenfall_tests::close::{Comparison, assert_close};
use evenfall_tests::table::{earth_centre, rows, sky_around};
use serde::Deserialize;

/// The output of the theory's authors and JPL's vectors; their first lines tell with what.
const WHOLE_THEORY: &str = include_str!("../data/galilean_moons_l12.csv");
const JUP365: &str = include_str!("../data/galilean_moons_jup365.csv");

#[derive(Deserialize)]
struct Row {
    utc: DateTime<Utc>,
    jupiter_distance_au: f64,
    jupiter_equatorial_radius_arcsec: f64,
    jupiter_pole_position_angle_deg: f64,
    sub_earth_latitude_deg: f64,
    /// Five columns for each moon.
    #[serde(flatten)]
    moons: BTreeMap<String, f64>,
}

fn system(utc: &str) -> JupiterSystem {
    let (sky, instant) = sky_around(earth_centre(), utc.parse().expect("an instant"));
    sky.at(instant).jupiter_system()
}

/// The table is rounded to 0.0001 arcseconds, 1e-6 radii (z 1e-5) and 1e-7 degrees. Along Jupiter's equator
/// 0.0001 arcseconds of the ephemeris and the table's last place are 0.00001 radii.
#[test]
fn moons_and_disc_of_the_table() {
    let mut offsets = Comparison::new("offset of a moon of Jupiter", "arcsec", 0.0001);
    let mut radii = Comparison::new("x, y of a moon", "Jupiter radii", 0.000_002);
    let mut depth = Comparison::new("z of a moon", "Jupiter radii", 0.000_01);
    let mut pole = Comparison::new("position angle of Jupiter's pole", "arcsec", 0.001);
    let mut latitude = Comparison::new("latitude of the middle of the disc", "arcsec", 0.001);
    let mut radius = Comparison::new("equatorial radius", "arcsec", 0.000_001);
    let mut distance = Comparison::new("distance of Jupiter", "1e-9 au", 20.0);
    let table = rows::<Row>("jupiter_moons.json");
    assert_eq!(table.len(), 60);
    for row in table {
        let (sky, instant) = sky_around(earth_centre(), row.utc);
        let observer = sky.at(instant);
        let got = observer.jupiter_system();
        let name = row.utc.to_string();
        let seen = observer.astrometric(&Source::Body(Body::Jupiter));
        distance.scaled_row(&name, seen.distance_au.expect("a body"), row.jupiter_distance_au, 1e9);
        radius.row(&name, got.equatorial_radius.arcseconds(), row.jupiter_equatorial_radius_arcsec);
        let angle = got.pole_position_angle.degrees();
        pole.circle_row(&name, angle, row.jupiter_pole_position_angle_deg, 3600.0);
        latitude.scaled_row(&name, got.sub_observer_latitude.degrees(), row.sub_earth_latitude_deg, 3600.0);
        for moon in got.moons {
            let of_moon = moon.moon.name().to_lowercase();
            let want = |column: &str| row.moons[&format!("{of_moon}_{column}")];
            let name = format!("{of_moon} {name}");
            offsets.row(&name, moon.east.arcseconds(), want("x_east_arcsec"));
            offsets.row(&name, moon.north.arcseconds(), want("y_north_arcsec"));
            radii.row(&name, moon.x, want("x_jupiter_radii"));
            radii.row(&name, moon.y, want("y_jupiter_radii"));
            depth.row(&name, moon.z, want("z_toward_observer_jupiter_radii"));
        }
    }
    for comparison in [offsets, radii, depth, pole, latitude, radius, distance] {
        comparison.assert_close();
    }
}

/// A place of a moon from Jupiter's centre, in au.
struct Sample {
    moon: JupiterMoon,
    /// From Julian Date 2451545.0.
    days: f64,
    place: Vec3,
}

fn samples(table: &str) -> Vec<Sample> {
    table
        .lines()
        .filter(|line| !line.starts_with('#'))
        .skip(1)
        .map(|line| {
            let (name, numbers) = line.split_once(',').expect("a moon and numbers");
            let moon = JupiterMoon::ALL.into_iter().find(|moon| moon.name() == name).expect("a moon");
            let numbers: Vec<f64> = numbers.split(',').map(|n| n.parse().expect("a number")).collect();
            let &[jd, x, y, z] = numbers.as_slice() else { panic!("four numbers in {line}") };
            Sample { moon, days: jd - 2_451_545.0, place: Vec3::new(x, y, z) }
        })
        .collect()
}

/// What the smaller terms are worth, 1932 to 2067.
#[test]
fn moons_of_the_whole_theory() {
    let mut places = Comparison::new("moon of Jupiter against all of L1.2", "km", 500.0);
    for sample in samples(WHOLE_THEORY) {
        let instant = Instant::J2000.plus_seconds(sample.days * 86_400.0);
        let off_km = (sample.moon.from_jupiter_km(instant) - sample.place * AU_KM).length();
        places.row(format!("{} {}", sample.moon.name(), sample.days), off_km, 0.0);
    }
    places.assert_close();
}

/// Two theories, fitted to other observations. Jupiter's centre, by JPL's places of the moons, inherits 1 in
/// 6000 of their difference and of that of the masses.
#[test]
fn moons_and_centre_of_jpl() {
    let mut places = Comparison::new("moon of Jupiter against JUP365", "km", 650.0);
    let mut centre = Comparison::new("Jupiter's centre against JUP365", "km", 0.1);
    let mut centres: BTreeMap<i64, (Instant, Vec3)> = BTreeMap::new();
    // The equator of the ICRF from the ecliptic of JPL's vectors.
    let to_icrf = Mat3::rotation_x(Angle::from_arcseconds(-84_381.448));
    for sample in samples(JUP365) {
        // TDB is within 2 ms of TT.
        let instant = Instant::J2000.plus_seconds(sample.days * 86_400.0);
        let place_km = to_icrf * sample.place * AU_KM;
        let off_km = (sample.moon.from_jupiter_km(instant) - place_km).length();
        places.row(format!("{} {}", sample.moon.name(), sample.days), off_km, 0.0);
        // Masses of an older set than that of the core: JPL's gm_de431.tpc (JUP230).
        let share = [5_959.916, 3_202.739, 9_887.834, 7_179.289][sample.moon as usize] / 126_712_764.8;
        let sum = &mut centres.entry(sample.days as i64).or_insert((instant, Vec3::default())).1;
        *sum += place_km * -share;
    }
    for (days, (instant, want)) in centres {
        let got = jupiter_centre_from_barycentre_km(instant);
        centre.row(format!("day {days}"), (got - want).length(), 0.0);
    }
    places.assert_close();
    centre.assert_close();
}

/// Jupiter's centre is never further from the barycentre than if all four moons stood in line: the sum of
/// their masses times their distances (422, 671, 1070 and 1883 thousand km, Meeus, Astronomical Algorithms,
/// 2nd ed., p. 301: 5.9, 9.4, 15.0, 26.4 radii), 221 km, 0.08 arcseconds at 4 au; and it is not nothing.
#[test]
fn jupiters_centre_is_near_its_barycentre() {
    let largest_km = (0..2000)
        .map(|step| {
            let instant = Instant::J2000.plus_seconds(f64::from(step) * 86_400.0 * 9.123);
            jupiter_centre_from_barycentre_km(instant).length()
        })
        .fold(0.0, f64::max);
    println!("Jupiter's centre is up to {largest_km:.1} km from the barycentre");
    assert!((200.0..221.5).contains(&largest_km), "{largest_km}");
}

/// Meeus, Astronomical Algorithms, 2nd ed., example 44.b, p. 314 (theory E5), 1992 December 16, 0h UT: X to
/// the west, in radii of 71 398 km. The theories differ by 0.04 to 0.19 arcseconds (root mean square of 1200
/// instants from 2000 to 2050, by two other libraries), 0.002 to 0.01 radii.
#[test]
fn moons_of_a_book_example() {
    let mut radii = Comparison::new("moons of example 44.b", "Jupiter radii", 0.005);
    let x_west = [-3.4503, 7.4418, 1.2010, 7.0720];
    let y = [0.2137, 0.2752, 0.5900, 1.0290];
    let scale = 71_398.0 / 71_492.0;
    for (moon, (x_west, y)) in system("1992-12-16T00:00:00Z").moons.iter().zip(x_west.into_iter().zip(y)) {
        radii.row(format!("{} X", moon.moon.name()), moon.x, -x_west * scale);
        radii.row(format!("{} Y", moon.moon.name()), moon.y, y * scale);
    }
    radii.assert_close();
}

/// The minute at which `state` is no more what it was ten minutes before `utc`.
fn change(utc: &str, moon: JupiterMoon, state: impl Fn(&MoonOfJupiter) -> bool) -> DateTime<Utc> {
    let about: DateTime<Utc> = utc.parse().expect("an instant");
    let (sky, _) = sky_around(earth_centre(), about);
    let at = |utc: DateTime<Utc>| {
        let system = sky.at(Instant::from_utc(utc)).jupiter_system();
        state(&system.moons[moon as usize])
    };
    let first = about - TimeDelta::minutes(10);
    let steps = (1..1200).map(|second| first + TimeDelta::seconds(second));
    steps.into_iter().find(|utc| at(*utc) != at(first)).unwrap_or_else(|| panic!("no change near {utc}"))
}

type State<'s> = &'s dyn Fn(&MoonOfJupiter) -> bool;

/// Computed with two other libraries, which agreed within 1.7 minutes, and told to the minute.
#[test]
fn transits_shadows_and_eclipses() {
    let transit = |moon: &MoonOfJupiter| moon.against_disc == AgainstDisc::InFront;
    let occultation = |moon: &MoonOfJupiter| moon.against_disc == AgainstDisc::Behind;
    let shadow = |moon: &MoonOfJupiter| moon.shadow.is_some();
    let eclipse = |moon: &MoonOfJupiter| moon.eclipsed;
    let mut times = Comparison::new("events of Jupiter's moons", "minutes", 1.0);
    let events: [(&str, JupiterMoon, State<'_>); 10] = [
        ("2027-03-14T03:57:00Z", JupiterMoon::Europa, &transit),
        ("2027-03-14T06:50:00Z", JupiterMoon::Europa, &transit),
        ("2027-03-14T05:25:00Z", JupiterMoon::Europa, &shadow),
        ("2027-03-14T08:18:00Z", JupiterMoon::Europa, &shadow),
        ("2027-03-21T01:23:00Z", JupiterMoon::Io, &transit),
        ("2027-03-21T02:14:00Z", JupiterMoon::Io, &shadow),
        ("2027-03-21T06:18:00Z", JupiterMoon::Europa, &transit),
        ("2027-03-21T08:01:00Z", JupiterMoon::Europa, &shadow),
        ("2027-04-10T07:25:00Z", JupiterMoon::Io, &occultation),
        ("2026-12-13T11:08:00Z", JupiterMoon::Ganymede, &eclipse),
    ];
    for (utc, moon, state) in events {
        let want: DateTime<Utc> = utc.parse().expect("an instant");
        let got = change(utc, moon, state);
        times.row(format!("{} {utc}", moon.name()), (got - want).num_seconds() as f64 / 60.0, 0.0);
    }
    times.assert_close();
}

/// Before the disc a moon is nearer than Jupiter, and never in its shadow; its own shadow falls within the
/// disc.
#[test]
fn what_hides_whom_is_consistent() {
    let (mut in_front, mut shadows) = (0, 0);
    for row in rows::<Row>("jupiter_moons.json") {
        let (sky, instant) = sky_around(earth_centre(), row.utc);
        for step in 0..24 {
            let system = sky.at(instant.plus_minutes(60.0 * f64::from(step) - 690.0)).jupiter_system();
            let polar = system.polar_radius / system.equatorial_radius;
            for moon in system.moons {
                if moon.against_disc == AgainstDisc::InFront {
                    in_front += 1;
                    assert!(moon.z > 0.0 && !moon.eclipsed, "{moon:?}");
                }
                if let Some((x, y)) = moon.shadow {
                    shadows += 1;
                    assert!(x.hypot(y / polar) <= 1.0 + 1e-4 && moon.z > 0.0, "{moon:?}");
                }
            }
        }
    }
    assert!(in_front > 30 && shadows > 30, "{in_front} transits, {shadows} shadows");
}

/// Of 66 854 and 71 492 km (Archinal et al. 2018, Celestial Mechanics and Dynamical Astronomy 130, 22); the
/// poles tilt by at most 3.5 degrees, which lengthens the polar radius by 0.0003 at most.
#[test]
fn the_disc_is_as_flat_as_published() {
    for utc in ["2025-01-01T00:00:00Z", "2027-03-14T04:00:00Z", "2030-01-01T00:00:00Z"] {
        let system = system(utc);
        let got = system.polar_radius / system.equatorial_radius;
        assert_close("polar over equatorial radius", "", got, 66_854.0 / 71_492.0, 0.0003);
    }
}
