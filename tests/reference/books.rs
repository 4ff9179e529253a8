//! Worked examples of Meeus, *Astronomical Algorithms*, 2nd ed., Willmann-Bell 1998, through the whole chain.
//!
//! The book's theories (nutation of 1980, precession of 1976, FK5) differ from today's by some 0.1
//! arcseconds, and its examples are printed to about that.

use chrono::{DateTime, Utc};
use evenfall_core::earth::EarthOrientation;
use evenfall_core::ephemeris::Body;
use evenfall_core::events::{Direction, EventKind, crossings, transits};
use evenfall_core::maths::{Mat3, Vec3};
use evenfall_core::place::{
    Air, EveningSky, Observed, Source, StarPlace, Turning, refraction_bennett, refraction_saemundsson,
};
use evenfall_core::time::{Instant, Interval};
use evenfall_core::units::{Angle, Magnitude};
use evenfall_tests::close::{Comparison, assert_close};
use evenfall_tests::table::{EPHEMERIS, earth_centre, place, sky_around};

const ARCSECONDS: f64 = 3600.0;

fn hours(hours: f64, minutes: f64, seconds: f64) -> f64 {
    15.0 * (hours + minutes / 60.0 + seconds / 3600.0)
}

fn degrees(degrees: f64, minutes: f64, seconds: f64) -> f64 {
    degrees + minutes / 60.0 + seconds / 3600.0
}

fn observed(latitude_deg: f64, longitude_deg: f64, elevation_m: f64, utc: &str, source: &Source) -> Observed {
    let (sky, instant) =
        sky_around(place(latitude_deg, longitude_deg, elevation_m), utc.parse().expect("an instant"));
    sky.at(instant).observe(source)
}

/// Example 13.b, p. 95: Venus from Washington, 1987 April 10, 19:21 UT, without parallax: azimuth 68.0337°
/// from south, altitude 15.1249°. From the ground it stands lower by its parallax, 8.7" at most, and UTC is
/// 0.4 s from UT1.
#[test]
fn altitude_and_azimuth_of_venus() {
    let (latitude, longitude) = (degrees(38.0, 55.0, 17.0), -degrees(77.0, 3.0, 56.0));
    let venus = Source::Body(Body::Venus);
    let got = observed(latitude, longitude, 0.0, "1987-04-10T19:21:00Z", &venus);
    assert_close("azimuth of example 13.b", "degrees", got.azimuth.degrees(), 248.0337, 0.004);
    assert_close("altitude of example 13.b", "degrees", got.altitude.degrees(), 15.1249, 0.004);

    // The book's own coordinates through geometry alone: its sidereal time is 8h34m56.853s.
    let (right_ascension, declination) = (hours(23.0, 9.0, 16.641), -degrees(6.0, 43.0, 11.61));
    let hour_angle = hours(8.0, 34.0, 56.853) + longitude - right_ascension;
    let turning = Turning::at(
        Angle::from_degrees(hour_angle),
        Angle::from_degrees(declination),
        Angle::from_degrees(latitude),
    );
    // The book's results are one off in their last place.
    assert_close("its geometry: azimuth", "degrees", turning.azimuth.degrees(), 248.0337, 0.000_11);
    assert_close("its geometry: altitude", "degrees", turning.altitude.degrees(), 15.1249, 0.000_11);
}

/// Example 15.a, p. 103: Venus from Boston on 1988 March 20 (UT): sets 02:54:40, rises 12:25:26, transit
/// 19:40:30. The book leaves out parallax (1 s at the horizon) and prints 0.00001 days.
#[test]
fn rise_transit_and_set_of_venus() {
    let boston = place(degrees(42.0, 20.0, 0.0), -degrees(71.0, 5.0, 0.0), 0.0);
    let at = |utc: &str| Instant::from_utc(utc.parse::<DateTime<Utc>>().expect("an instant"));
    let day = Interval::new(at("1988-03-20T00:00:00Z"), at("1988-03-21T00:00:00Z")).unwrap();
    let sky = EveningSky::new(&EPHEMERIS, boston, EarthOrientation::default(), day).unwrap();
    let venus = Source::Body(Body::Venus);
    let found = crossings(&sky, &venus, &EventKind::RiseSet, day);
    let mut times = Comparison::new("rise, set and transit of example 15.a", "s", 3.0);
    for (name, got, want) in [
        ("set", found.going(Direction::Down), "1988-03-20T02:54:40Z"),
        ("rise", found.going(Direction::Up), "1988-03-20T12:25:26Z"),
        ("transit", transits(&sky, &venus, true, day), "1988-03-20T19:40:30Z"),
    ] {
        assert_eq!(got.len(), 1, "{name}");
        times.row(name, got[0].seconds_since(at(want)), 0.0);
    }
    times.assert_close();
}

/// Example 13.b, p. 95: apparent sidereal time at Greenwich on 1987 April 10, 19:21 UT: 8h34m56.853s. The
/// precession of its theory is off by 0.04 arcseconds by then, its nutation by 0.05: 0.006 s together.
#[test]
fn sidereal_time() {
    let (sky, instant) = sky_around(earth_centre(), "1987-04-10T19:21:00Z".parse().expect("an instant"));
    let got = sky.frame().greenwich_apparent_sidereal_time(instant).wrapped().hours() * 3600.0;
    assert_close("sidereal time of example 13.b", "s", got, hours(8.0, 34.0, 56.853) * 240.0, 0.006);
}

/// Example 22.a, p. 148: nutation -3.788" in longitude, +9.443" in obliquity, which is 23°26'27.407" in the
/// mean, on 1987 April 10, 0h TD; with the precession of p. 134 the way from J2000.0 to the true equator of
/// that date.
#[test]
fn precession_and_nutation() {
    let (sky, instant) = sky_around(earth_centre(), "1987-04-09T23:59:04.816Z".parse().expect("an instant"));
    let t = instant.tt_centuries();
    let angle = |arcseconds: f64| Angle::from_arcseconds(arcseconds);
    let zeta = angle(2306.2181 * t + 0.301_88 * t * t + 0.017_998 * t.powi(3));
    let z = angle(2306.2181 * t + 1.094_68 * t * t + 0.018_203 * t.powi(3));
    let theta = angle(2004.3109 * t - 0.426_65 * t * t - 0.041_833 * t.powi(3));
    let precession = Mat3::rotation_z(-z) * Mat3::rotation_y(theta) * Mat3::rotation_z(-zeta);
    let (psi, epsilon) = (angle(-3.788), angle(9.443));
    let mean = Angle::from_degrees(degrees(23.0, 26.0, 27.407));
    let nutation = Mat3::rotation_x(-(mean + epsilon)) * Mat3::rotation_z(-psi) * Mat3::rotation_x(mean);
    let (got, want) = (sky.frame().icrs_to_true_of_date(instant), nutation * precession);
    let mut axes = Comparison::new("true equator of example 22.a", "arcsec", 0.1);
    for row in 0..3 {
        axes.row(format!("axis {row}"), got.row(row).angle_to(want.row(row)).arcseconds(), 0.0);
    }
    axes.assert_close();
}

/// Example 28.a, p. 184: equation of time on 1992 October 13, 0h TD: +13m42.6s, the hour angle of the Sun
/// less the clock of Greenwich from noon. The book has the mean Sun of TD, the clock that of UT, 59.184 s
/// less one part in 365.24.
#[test]
fn equation_of_time() {
    let (sky, instant) = sky_around(earth_centre(), "1992-10-12T23:59:00.816Z".parse().expect("an instant"));
    let clock_s = 12.0 * 3600.0 - 59.184;
    let ahead_s = sky.at(instant).sun().hour_angle.hours() * 3600.0 - clock_s;
    let got = (ahead_s + 43_200.0).rem_euclid(86_400.0) - 43_200.0 + 59.184 / 365.24;
    assert_close("equation of time of example 28.a", "s", got, 13.0 * 60.0 + 42.6, 0.1);
}

/// Example 16.a, p. 107: the Sun's lower limb at an apparent 30' stands at 1.246' in truth; with a diameter
/// of 32' refraction flattens it to 0.871.
#[test]
fn flattened_sun() {
    let arcminutes = Angle::from_arcminutes;
    let lower = arcminutes(30.0) - refraction_bennett(arcminutes(30.0), Air::STANDARD);
    assert_close("lower limb of example 16.a", "arcmin", lower.arcminutes(), 1.246, 0.001);
    let upper = lower + arcminutes(32.0);
    let height = upper + refraction_saemundsson(upper, Air::STANDARD) - arcminutes(30.0);
    assert_close("flattening of example 16.a", "of the diameter", height.arcminutes() / 32.0, 0.871, 0.0005);
}

/// Examples 56.a to 56.e, pp. 393 to 395: magnitudes of lights put together, and how much brighter.
#[test]
fn magnitudes() {
    let together = |lights: &[(f64, f64)]| {
        Magnitude::from_flux(
            lights.iter().map(|(count, magnitude)| count * Magnitude(*magnitude).flux()).sum(),
        )
    };
    let mut sums = Comparison::new("magnitudes of chapter 56", "mag", 0.005);
    sums.row("56.a", together(&[(1.0, 1.96), (1.0, 2.89)]).0, 1.58);
    sums.row("56.b", together(&[(1.0, 4.73), (1.0, 5.22), (1.0, 5.60)]).0, 3.93);
    sums.row("56.c", together(&[(4.0, 5.0), (14.0, 6.0), (23.0, 7.0), (38.0, 8.0)]).0, 2.02);
    sums.row("56.e", Magnitude(0.0).0 - Magnitude::from_flux(500.0 * Magnitude(0.0).flux()).0, 6.75);
    sums.assert_close();
    let ratio = Magnitude(0.14).flux() / Magnitude(2.12).flux();
    assert_close("ratio of example 56.d", "", ratio, 6.19, 0.01);
}

/// Example 17.a and exercise, p. 110: two bright stars 32°47'35" apart, two others, nearly opposite, 169°58'.
#[test]
fn separations() {
    let towards = |ra: f64, dec: f64| Vec3::from_spherical(Angle::from_degrees(ra), Angle::from_degrees(dec));
    let one = towards(hours(14.0, 15.0, 39.7), degrees(19.0, 10.0, 57.0));
    let other = towards(hours(13.0, 25.0, 11.6), -degrees(11.0, 9.0, 41.0));
    let got = one.angle_to(other).arcseconds();
    assert_close("separation of example 17.a", "arcsec", got, degrees(32.0, 47.0, 35.0) * ARCSECONDS, 1.0);
    let one = towards(hours(4.0, 35.0, 55.2), degrees(16.0, 30.0, 33.0));
    let other = towards(hours(16.0, 29.0, 24.0), -degrees(26.0, 25.0, 55.0));
    let got = one.angle_to(other).arcminutes();
    assert_close("nearly opposite", "arcmin", got, 169.0 * 60.0 + 58.0, 0.5);
}

/// Example 7.d, p. 64: two returns of a comet, 1910 April 20 and 1986 February 9, are 27 689 days apart.
#[test]
fn days_between_two_dates() {
    let day = |utc: &str| {
        let instant = Instant::from_utc(utc.parse::<DateTime<Utc>>().expect("an instant"));
        let (noon, part) = instant.julian_date_ut1(0.0);
        noon + part
    };
    let days = day("1986-02-09T00:00:00Z") - day("1910-04-20T00:00:00Z");
    assert_close("days of example 7.d", "days", days, 27_689.0, 1e-9);
}

/// Example 13.a, p. 95: a star at 7h45m18.946s, +28°01'34.26" has ecliptic longitude 113.215630°, latitude
/// +6.684170°, by an obliquity of 23.4392911°. And the exercise of p. 96: a nova at 17h48m59.74s, -14°43'08.2"
/// (B1950.0) stands at galactic 12.9593°, +6.0463°, the pole at 192.25°, +27.4°, the node at 33° of galactic
/// longitude.
#[test]
fn ecliptic_and_galactic_places() {
    let towards = |ra: f64, dec: f64| Vec3::from_spherical(Angle::from_degrees(ra), Angle::from_degrees(dec));
    let star = towards(hours(7.0, 45.0, 18.946), degrees(28.0, 1.0, 34.26));
    let (longitude, latitude) = (Mat3::rotation_x(Angle::from_degrees(23.439_291_1)) * star).spherical();
    assert_close("longitude of example 13.a", "degrees", longitude.degrees(), 113.215_630, 1e-6);
    assert_close("latitude of example 13.a", "degrees", latitude.degrees(), 6.684_170, 1e-6);

    let to_galactic = Mat3::rotation_z(Angle::from_degrees(-33.0))
        * Mat3::rotation_x(Angle::from_degrees(90.0 - 27.4))
        * Mat3::rotation_z(Angle::from_degrees(192.25 + 90.0));
    let nova = towards(hours(17.0, 48.0, 59.74), -degrees(14.0, 43.0, 8.2));
    let (longitude, latitude) = (to_galactic * nova).spherical();
    assert_close("galactic longitude of p. 96", "degrees", longitude.degrees(), 12.9593, 0.000_06);
    assert_close("galactic latitude of p. 96", "degrees", latitude.degrees(), 6.0463, 0.000_06);
}

/// Example 23.a, p. 152: a star with proper motion on 2028 November 13.19 TD: 2h46m14.390s, +49°21'07.45".
/// From the ground diurnal aberration adds 0.3" at most.
#[test]
fn apparent_place_of_a_star() {
    let declination = Angle::from_degrees(degrees(49.0, 13.0, 42.48));
    let star = StarPlace {
        right_ascension: Angle::from_degrees(hours(2.0, 44.0, 11.986)),
        declination,
        pm_ra_cosdec_mas_per_yr: 0.034_25 * 15_000.0 * declination.cos(),
        pm_dec_mas_per_yr: -89.5,
    };
    // At a pole the ground stands still.
    let got = observed(90.0, 0.0, 0.0, "2028-11-13T04:32:27Z", &Source::Star(star));
    let mut place = Comparison::new("apparent place of example 23.a", "arcsec", 0.15);
    let around_pole = ARCSECONDS * declination.cos();
    let (ra, dec) = (got.right_ascension.degrees(), got.declination.degrees());
    place.circle_row("right ascension", ra, hours(2.0, 46.0, 14.390), around_pole);
    place.scaled_row("declination", dec, degrees(49.0, 21.0, 7.45), ARCSECONDS);
    place.assert_close();
}

/// P. 169, of the Sun on 1992 October 13, 0h TD, by the full theory: 13h13m30.749s, -7°47'01.74", geocentric:
/// as seen from where it stands overhead. There the turning ground alone moves it, eastwards by 0.319"
/// cos(latitude).
#[test]
fn apparent_place_of_the_sun() {
    let sun = Source::Body(Body::Sun);
    let utc = "1992-10-12T23:59:00.816Z";
    let first = observed(-7.78, 176.6, 0.0, utc, &sun);
    let longitude_deg = 176.6 - first.hour_angle.degrees();
    let got = observed(first.declination.degrees(), longitude_deg, 0.0, utc, &sun);
    let mut place = Comparison::new("apparent place of example 25.b", "arcsec", 0.15);
    let want = hours(13.0, 13.0, 30.749) + 0.319 / ARCSECONDS;
    place.circle_row("right ascension", got.right_ascension.degrees(), want, ARCSECONDS);
    place.scaled_row("declination", got.declination.degrees(), -degrees(7.0, 47.0, 1.74), ARCSECONDS);
    place.assert_close();
}

/// Example 40.a, p. 280: Mars from Palomar, 2003 August 28, 3:17 UT: 22h38m08.54s, -15°46'30.0", from
/// apparent geocentric coordinates.
#[test]
fn topocentric_place_of_mars() {
    let (latitude, longitude) = (degrees(33.0, 21.0, 22.0), -hours(7.0, 47.0, 27.0));
    let got = observed(latitude, longitude, 1706.0, "2003-08-28T03:17:00Z", &Source::Body(Body::Mars));
    let mut place = Comparison::new("topocentric place of example 40.a", "arcsec", 0.2);
    place.circle_row("right ascension", got.right_ascension.degrees(), hours(22.0, 38.0, 8.54), ARCSECONDS);
    place.scaled_row("declination", got.declination.degrees(), -degrees(15.0, 46.0, 30.0), ARCSECONDS);
    place.assert_close();
}
