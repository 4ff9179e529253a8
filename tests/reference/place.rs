//! Observed places and appearances against tables made with other libraries (`tests/data/README.md`).

use chrono::{DateTime, Utc};
use evenfall_core::earth::EarthOrientation;
use evenfall_core::ephemeris::Body;
use evenfall_core::place::{Air, EveningSky, Observed, Source, StarPlace};
use evenfall_core::time::{Instant, Interval};
use evenfall_core::units::Angle;
use evenfall_tests::close::Comparison;
use evenfall_tests::table::{EPHEMERIS, place, rows, sky_around};
use serde::Deserialize;

const ARCSECONDS: f64 = 3600.0;

/// What both tables have: where and when, and where the source then stands.
#[derive(Deserialize)]
struct SeenRow {
    latitude_deg: f64,
    longitude_deg: f64,
    elevation_m: f64,
    utc: DateTime<Utc>,
    altitude_airless_deg: f64,
    azimuth_deg: f64,
    altitude_refracted_deg: Option<f64>,
    airmass: Option<f64>,
    hour_angle_deg: f64,
    ra_apparent_topocentric_deg: f64,
    dec_apparent_topocentric_deg: f64,
}

impl SeenRow {
    fn sky(&self) -> (EveningSky<'static>, Instant) {
        sky_around(place(self.latitude_deg, self.longitude_deg, self.elevation_m), self.utc)
    }
}

#[derive(Deserialize)]
struct PositionRow {
    id: u32,
    body: String,
    #[serde(flatten)]
    seen: SeenRow,
    ra_astrometric_icrs_deg: f64,
    dec_astrometric_icrs_deg: f64,
    distance_au: f64,
    angular_diameter_arcsec: f64,
    illuminated_fraction: Option<f64>,
    phase_angle_deg: Option<f64>,
    visual_magnitude: Option<f64>,
}

#[derive(Deserialize)]
struct StarRow {
    id: u32,
    ra_icrs_j2000_deg: f64,
    dec_icrs_j2000_deg: f64,
    pm_ra_cosdec_mas_per_yr: f64,
    pm_dec_mas_per_yr: f64,
    #[serde(flatten)]
    seen: SeenRow,
    parallactic_angle_deg: f64,
    moon_separation_deg: f64,
    moon_altitude_airless_deg: f64,
    sun_altitude_airless_deg: f64,
}

pub fn body(name: &str) -> Body {
    let found = Body::ALL.into_iter().find(|body| body.name().eq_ignore_ascii_case(name));
    found.unwrap_or_else(|| panic!("no body is called {name}"))
}

/// The quantities of a [`SeenRow`].
struct Chain {
    altitude: Comparison,
    azimuth: Comparison,
    refracted: Comparison,
    airmass: Comparison,
    hour_angle: Comparison,
    right_ascension: Comparison,
    declination: Comparison,
}

impl Chain {
    /// `arcsec` is what a direction may be off.
    fn new(arcsec: f64) -> Self {
        Self {
            altitude: Comparison::new("airless altitude", "arcsec", arcsec),
            azimuth: Comparison::new("azimuth x cos(altitude)", "arcsec", arcsec),
            refracted: Comparison::new("refracted altitude", "arcsec", arcsec),
            airmass: Comparison::new("airmass", "of itself", 1e-7),
            hour_angle: Comparison::new("hour angle x cos(declination)", "arcsec", arcsec),
            right_ascension: Comparison::new("apparent right ascension x cos(declination)", "arcsec", arcsec),
            declination: Comparison::new("apparent declination", "arcsec", arcsec),
        }
    }

    fn row(&mut self, name: &str, got: &Observed, want: &SeenRow) {
        let (altitude, azimuth) = (want.altitude_airless_deg, want.azimuth_deg);
        let (right_ascension, declination) =
            (want.ra_apparent_topocentric_deg, want.dec_apparent_topocentric_deg);
        let around_zenith = ARCSECONDS * altitude.to_radians().cos();
        let around_pole = ARCSECONDS * declination.to_radians().cos();
        self.altitude.scaled_row(name, got.altitude.degrees(), altitude, ARCSECONDS);
        self.azimuth.circle_row(name, got.azimuth.degrees(), azimuth, around_zenith);
        self.hour_angle.circle_row(name, got.hour_angle.degrees(), want.hour_angle_deg, around_pole);
        self.right_ascension.circle_row(name, got.right_ascension.degrees(), right_ascension, around_pole);
        self.declination.scaled_row(name, got.declination.degrees(), declination, ARCSECONDS);
        self.air(name, got, want.altitude_refracted_deg, want.airmass);
    }

    fn air(&mut self, name: &str, got: &Observed, refracted: Option<f64>, airmass: Option<f64>) {
        if let Some(refracted) = refracted {
            let got = got.apparent_altitude(Air::STANDARD).degrees();
            self.refracted.scaled_row(name, got, refracted, ARCSECONDS);
        }
        // Below -1 degree the table has neither; between -1 and 0 it has no airmass, and nor have we.
        let got = got.airmass(Air::STANDARD);
        assert_eq!(got.is_some(), airmass.is_some(), "{name}: airmass");
        if let (Some(got), Some(airmass)) = (got, airmass) {
            self.airmass.scaled_row(name, got, airmass, 1.0 / airmass);
        }
    }

    fn assert_close(self) {
        self.altitude.assert_close();
        self.azimuth.assert_close();
        self.refracted.assert_close();
        self.airmass.assert_close();
        self.hour_angle.assert_close();
        self.right_ascension.assert_close();
        self.declination.assert_close();
    }
}

/// Sun, Moon and planets within 0.001 arcseconds, which is what the pack promises against its kernel.
#[test]
fn bodies_stand_where_the_table_has_them() {
    let mut chain = Chain::new(0.001);
    let mut astrometric_ra =
        Comparison::new("astrometric right ascension x cos(declination)", "arcsec", 0.001);
    let mut astrometric_dec = Comparison::new("astrometric declination", "arcsec", 0.001);
    let mut distance = Comparison::new("distance", "of itself", 5e-9);
    for row in rows::<PositionRow>("positions.json") {
        let name = format!("{} {} {}", row.id, row.body, row.seen.utc);
        let source = Source::Body(body(&row.body));
        let (sky, instant) = row.seen.sky();
        let observer = sky.at(instant);
        let got = observer.observe(&source);
        chain.row(&name, &got, &row.seen);
        distance.scaled_row(&name, got.distance_au.unwrap(), row.distance_au, 1.0 / row.distance_au);
        let astrometric = observer.astrometric(&source);
        let around_pole = ARCSECONDS * row.dec_astrometric_icrs_deg.to_radians().cos();
        let (ra, dec) = (astrometric.right_ascension.degrees(), astrometric.declination.degrees());
        astrometric_ra.circle_row(&name, ra, row.ra_astrometric_icrs_deg, around_pole);
        astrometric_dec.scaled_row(&name, dec, row.dec_astrometric_icrs_deg, ARCSECONDS);
    }
    chain.assert_close();
    astrometric_ra.assert_close();
    astrometric_dec.assert_close();
    distance.assert_close();
}

/// Diameter to 1e-5 arcseconds, phase angle to 0.001, lit share to 1e-8, magnitude to 0.00001.
#[test]
fn bodies_look_as_the_table_has_them() {
    let mut diameter = Comparison::new("angular diameter", "arcsec", 1e-5);
    let mut phase_angle = Comparison::new("phase angle", "arcsec", 0.001);
    let mut illuminated = Comparison::new("illuminated fraction", "of the disc", 1e-8);
    let mut magnitude = Comparison::new("visual magnitude", "mag", 0.000_01);
    for row in rows::<PositionRow>("positions.json") {
        let name = format!("{} {} {}", row.id, row.body, row.seen.utc);
        let (sky, instant) = row.seen.sky();
        let got = sky.at(instant).appearance(body(&row.body));
        diameter.row(&name, got.diameter.arcseconds(), row.angular_diameter_arcsec);
        let there = |present: bool| if present { 1.0 } else { f64::NAN };
        match (got.phase_angle.map(Angle::degrees), row.phase_angle_deg) {
            (Some(got), Some(want)) => phase_angle.scaled_row(&name, got, want, ARCSECONDS),
            (got, want) => assert_eq!(got, want, "{name}: phase angle"),
        }
        match (got.illuminated, row.illuminated_fraction) {
            (Some(got), Some(want)) => illuminated.row(&name, got.value(), want),
            (got, want) => illuminated.row(&name, there(got.is_none()), there(want.is_none())),
        }
        match (got.magnitude, row.visual_magnitude) {
            (Some(got), Some(want)) => magnitude.row(&name, got.0, want),
            (got, want) => magnitude.row(&name, there(got.is_none()), there(want.is_none())),
        }
    }
    diameter.assert_close();
    phase_angle.assert_close();
    illuminated.assert_close();
    magnitude.assert_close();
}

/// Fixed places within 0.00005 arcseconds. Left is the light time across the Earth's orbit, which the table
/// counts along the proper motion and we do not: 500 s of at most 2 arcseconds a year.
#[test]
fn fixed_places_stand_where_the_table_has_them() {
    let mut chain = Chain::new(0.000_05);
    let mut parallactic = Comparison::new("parallactic angle x cos(altitude)", "arcsec", 0.000_05);
    let mut moon_separation = Comparison::new("Moon separation", "arcsec", 0.001);
    let mut moon_altitude = Comparison::new("Moon altitude", "arcsec", 0.001);
    let mut sun_altitude = Comparison::new("Sun altitude", "arcsec", 0.001);
    for row in rows::<StarRow>("stars.json") {
        let name = format!("{} {}", row.id, row.seen.utc);
        let star = StarPlace {
            right_ascension: Angle::from_degrees(row.ra_icrs_j2000_deg),
            declination: Angle::from_degrees(row.dec_icrs_j2000_deg),
            pm_ra_cosdec_mas_per_yr: row.pm_ra_cosdec_mas_per_yr,
            pm_dec_mas_per_yr: row.pm_dec_mas_per_yr,
        };
        let (sky, instant) = row.seen.sky();
        let observer = sky.at(instant);
        let got = observer.observe(&Source::Star(star));
        assert_eq!(got.east_north_up, observer.direction(&Source::Star(star)), "{name}");
        chain.row(&name, &got, &row.seen);
        let around_zenith = ARCSECONDS * row.seen.altitude_airless_deg.to_radians().cos();
        parallactic.circle_row(
            &name,
            got.parallactic_angle.degrees(),
            row.parallactic_angle_deg,
            around_zenith,
        );
        let separation = got.separation(&observer.moon()).degrees();
        moon_separation.scaled_row(&name, separation, row.moon_separation_deg, ARCSECONDS);
        let moon = observer.moon().altitude.degrees();
        moon_altitude.scaled_row(&name, moon, row.moon_altitude_airless_deg, ARCSECONDS);
        let sun = observer.sun().altitude.degrees();
        sun_altitude.scaled_row(&name, sun, row.sun_altitude_airless_deg, ARCSECONDS);
    }
    chain.assert_close();
    parallactic.assert_close();
    moon_separation.assert_close();
    moon_altitude.assert_close();
    sun_altitude.assert_close();
}

/// With a measured pole and UT1, within 0.00001 arcseconds of another route, whose Earth (the series of
/// `eraEpv00`) moves 5 mm/s differently at most: 3e-6 arcseconds.
///
/// Source: pyerfa 2.0.1.5, `atco13` for 2013-04-02 23:15:43.55 UTC, 216.2145671°, -4.577334° without motion,
/// 55.1° N, 2.5° W, 260 m, no air; UT1 - UTC in s and the pole in arcseconds as below; 2026-11-25.
#[test]
fn measured_orientation_of_the_earth_is_used() {
    let mut comparison = Comparison::new("direction with a measured pole", "arcsec", 0.000_01);
    let star = StarPlace::fixed(Angle::from_degrees(216.214_567_1), Angle::from_degrees(-4.577_334));
    let instant = Instant::from_utc("2013-04-02T23:15:43.55Z".parse().unwrap());
    for (ut1_minus_utc_s, x, y, azimuth, altitude, hour_angle) in [
        (0.0, 0.0, 0.0, 137.867_331_257_547_05, 22.329_675_004_099_897, -38.505_092_819_463_89),
        (0.155_067_5, 0.2472, -0.3641, 137.868_026_752_032_1, 22.329_818_831_709_545, -38.504_441_572_401_43),
        (-0.4321, -0.15, 0.45, 137.865_485_176_167_8, 22.329_078_595_646_266, -38.506_904_381_849_765),
    ] {
        let (pole_x, pole_y) = (Angle::from_arcseconds(x), Angle::from_arcseconds(y));
        let orientation = EarthOrientation { ut1_minus_utc_s, pole_x, pole_y };
        let span = Interval::new(instant.plus_minutes(-300.0), instant.plus_minutes(300.0)).unwrap();
        let sky = EveningSky::new(&EPHEMERIS, place(55.1, -2.5, 260.0), orientation, span).unwrap();
        let got = sky.at(instant).observe(&Source::Star(star));
        let name = format!("pole {x} {y}");
        let around_zenith = ARCSECONDS * f64::to_radians(altitude).cos();
        comparison.scaled_row(&name, got.azimuth.degrees(), azimuth, around_zenith);
        comparison.scaled_row(&name, got.altitude.degrees(), altitude, ARCSECONDS);
        comparison.scaled_row(&name, got.hour_angle.degrees(), hour_angle, ARCSECONDS);
    }
    comparison.assert_close();
}
