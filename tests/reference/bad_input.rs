//! Ends of every range: an answer or a clear refusal, never a panic, never a number that is none.

use chrono::{DateTime, NaiveDate, Utc};
use chrono_tz::Tz;
use evenfall_core::earth::{EarthOrientation, Horizon};
use evenfall_core::ephemeris::Body;
use evenfall_core::events::{EventKind, ShadowRule, Watch, almanac, lunar_eclipses, moon_phases};
use evenfall_core::place::{Air, EveningSky, Observed, OutsideSpan, Source, StarPlace};
use evenfall_core::time::{Instant, Interval, LocalNight};
use evenfall_core::units::Angle;
use evenfall_tests::table::{EPHEMERIS, place};

fn sources() -> Vec<Source> {
    let fixed =
        |ra: f64, dec: f64| Source::Star(StarPlace::fixed(Angle::from_degrees(ra), Angle::from_degrees(dec)));
    let mut sources: Vec<Source> = Body::ALL.into_iter().map(Source::Body).collect();
    sources.extend([fixed(0.0, 90.0), fixed(123.0, -90.0), fixed(359.999_999, 0.0), fixed(0.0, -0.0)]);
    sources
}

fn assert_numbers(name: &str, observed: &Observed) {
    let Observed { right_ascension, declination, hour_angle, altitude, azimuth, parallactic_angle, .. } =
        observed;
    for angle in [right_ascension, declination, hour_angle, altitude, azimuth, parallactic_angle] {
        assert!(angle.radians().is_finite(), "{name}: {observed:?}");
    }
    let direction = observed.east_north_up;
    assert!((direction.length() - 1.0).abs() < 1e-12, "{name}: {direction:?}");
    assert!((0.0..360.0).contains(&azimuth.degrees()) && altitude.degrees().abs() <= 90.0, "{name}");
    for air in [Air::STANDARD, Air::NONE, Air { pressure_hpa: 1100.0, temperature_c: -89.0 }] {
        assert!(observed.apparent_altitude(air).radians().is_finite(), "{name}");
        assert!(observed.airmass(air).is_none_or(|airmass| (0.999..40.0).contains(&airmass)), "{name}");
    }
}

#[test]
fn every_corner_of_the_earth() {
    let night =
        LocalNight::new(NaiveDate::from_ymd_opt(2027, 6, 21).expect("a date"), Tz::UTC).expect("a date");
    let window = night.window();
    for latitude_deg in [90.0, 89.999_999, 0.0, -90.0] {
        for longitude_deg in [180.0, -180.0, 0.0, 540.0] {
            for elevation_m in [-400.0, 0.0, 9000.0] {
                let site = place(latitude_deg, longitude_deg, elevation_m);
                let orientation = EarthOrientation {
                    ut1_minus_utc_s: 0.9,
                    pole_x: Angle::from_arcseconds(0.5),
                    pole_y: Angle::from_arcseconds(-0.5),
                };
                let sky = EveningSky::new(&EPHEMERIS, site, orientation, window).expect("inside");
                let name = format!("{latitude_deg} {longitude_deg} {elevation_m}");
                for minutes in [0.0, 333.3, 1440.0] {
                    let observer = sky.at(window.start().plus_minutes(minutes));
                    for source in sources() {
                        assert_numbers(&name, &observer.observe(&source));
                    }
                    for body in Body::ALL {
                        assert!(observer.appearance(body).diameter.radians() > 0.0, "{name}");
                    }
                    assert!(observer.saturn_rings().minor_axis.radians() >= 0.0, "{name}");
                    for moon in observer.jupiter_system().moons {
                        assert!(moon.east.radians().is_finite() && moon.x.hypot(moon.y) < 30.0, "{name}");
                    }
                    assert!(observer.moon_face().colongitude().radians().is_finite(), "{name}");
                }
                let (summary, bodies) = almanac(&sky, night.clone());
                assert!(summary.sun_lowest.1.radians().is_finite(), "{name}");
                // An hour angle grows by one turn a day, by nearly 4 minutes more among the stars.
                for body in bodies {
                    assert!(body.transits.len() <= 2, "{name} {}", body.body.name());
                }
            }
        }
    }
}

/// A source in the zenith: its altitude is good to the last digits though its azimuth is anyone's.
#[test]
fn a_source_in_the_zenith() {
    let instant = Instant::from_utc("2027-03-13T21:00:00Z".parse().expect("an instant"));
    let window = Interval::new(instant.plus_minutes(-300.0), instant.plus_minutes(300.0)).expect("forwards");
    for latitude_deg in [55.1, -33.0, 0.0] {
        let site = place(latitude_deg, -2.5, 0.0);
        let sky = EveningSky::new(&EPHEMERIS, site, EarthOrientation::default(), window).expect("inside");
        let observer = sky.at(instant);
        let mut star = StarPlace::fixed(Angle::from_degrees(150.0), Angle::from_degrees(latitude_deg));
        for _ in 0..6 {
            let seen = observer.observe(&Source::Star(star));
            star.right_ascension += seen.hour_angle;
            star.declination += Angle::from_degrees(latitude_deg) - seen.declination;
        }
        let seen = observer.observe(&Source::Star(star));
        assert_numbers("zenith", &seen);
        assert!(seen.altitude.degrees() > 90.0 - 1e-6, "{}", seen.altitude.degrees());
    }
}

#[test]
fn every_second_of_a_leap_second() {
    let site = place(55.1, -2.5, 260.0);
    let at = |utc: &str| Instant::from_utc(utc.parse::<DateTime<Utc>>().expect("an instant"));
    let window = Interval::new(at("2016-12-31T12:00:00Z"), at("2017-01-01T12:00:00Z")).expect("forwards");
    let sky = EveningSky::new(&EPHEMERIS, site, EarthOrientation::default(), window).expect("inside");
    let star = Source::Star(StarPlace::fixed(Angle::ZERO, Angle::ZERO));
    let seconds =
        ["2016-12-31T23:59:59Z", "2016-12-31T23:59:60Z", "2016-12-31T23:59:60.999Z", "2017-01-01T00:00:00Z"];
    let hour_angles = seconds.map(|utc| sky.at(at(utc)).observe(&star).hour_angle.arcseconds());
    // 15.04 arcseconds a second, through the leap second and out of it.
    for (pair, elapsed_s) in hour_angles.windows(2).zip([1.0, 0.999, 0.001]) {
        assert!((pair[1] - pair[0] - 15.041 * elapsed_s).abs() < 0.001, "{hour_angles:?}");
    }
}

/// The first and the last night that the years of the ephemeris hold, and those beyond.
#[test]
fn the_edges_of_the_pack() {
    let (first_s, last_s) = EPHEMERIS.span_tdb_s();
    let site = place(55.1, -2.5, 260.0);
    let day = |from_s: f64| {
        let start = Instant::J2000.plus_seconds(from_s);
        Interval::new(start, start.plus_minutes(1440.0)).expect("forwards")
    };
    let sky = |window| EveningSky::new(&EPHEMERIS, site, EarthOrientation::default(), window);
    let hours_s = 6.01 * 3600.0;
    for window in [day(first_s + hours_s), day(last_s - hours_s - 86_400.0)] {
        let sky = sky(window).expect("hours inside");
        for source in sources() {
            assert_numbers("edge", &sky.at(window.start()).observe(&source));
            assert_numbers("edge", &sky.at(window.end()).observe(&source));
        }
        moon_phases(&EPHEMERIS, window).expect("hours inside");
        // An eclipse begins before the window or ends behind it: it needs five hours more.
        assert_eq!(lunar_eclipses(&EPHEMERIS, window, &ShadowRule::DANJON), Err(OutsideSpan));
    }
    for window in [day(first_s + 2.0 * hours_s), day(last_s - 2.0 * hours_s - 86_400.0)] {
        assert_eq!(lunar_eclipses(&EPHEMERIS, window, &ShadowRule::DANJON), Ok(Vec::new()));
        let (start, end) = (window.start(), window.end());
        let sky = sky(window).expect("hours inside");
        assert!([start, end].iter().all(|at| sky.at(*at).jupiter_system().moons[3].z.is_finite()));
    }
    for window in [day(first_s), day(last_s - 86_400.0), day(first_s - 1e9), day(last_s + 1e9), day(1e300)] {
        assert_eq!(sky(window).map(|_| ()), Err(OutsideSpan));
        assert_eq!(moon_phases(&EPHEMERIS, window).err(), Some(OutsideSpan));
        assert_eq!(lunar_eclipses(&EPHEMERIS, window, &ShadowRule::DANJON), Err(OutsideSpan));
    }
}

/// What is no number in gives no panic, and finds no event.
#[test]
fn numbers_that_are_none() {
    let instant = Instant::from_utc("2027-03-13T21:00:00Z".parse().expect("an instant"));
    let window = Interval::new(instant, instant.plus_minutes(1440.0)).expect("forwards");
    let site = place(55.1, -2.5, 260.0);
    let sky = EveningSky::new(&EPHEMERIS, site, EarthOrientation::default(), window).expect("inside");
    let none = Angle::from_degrees(f64::NAN);
    let watch = Watch::new(&sky, window);
    let path = watch.path(&Source::Star(StarPlace::fixed(none, Angle::ZERO)));
    assert_eq!(path.transits(true), []);
    for kind in [EventKind::RiseSet, EventKind::Altitude(none), EventKind::Keyhole { radius: none }] {
        assert_eq!(path.crossings(&kind).above(window).minutes(), 0.0, "{kind:?}");
    }
    let sun = watch.path(&Source::Body(Body::Sun));
    assert_eq!(sun.crossings(&EventKind::Altitude(none)).above(window).minutes(), 0.0);
    let profile = EventKind::Profile { horizon: Horizon::flat(), air: Air::STANDARD };
    assert_eq!(path.crossings(&profile).above(window).minutes(), 0.0);
    assert!(Horizon::from_corners([(none, Angle::ZERO)]).is_err());
    // An empty window has no event either.
    let empty = Interval::new(instant, instant).expect("forwards");
    assert_eq!(Watch::new(&sky, empty).path(&Source::Body(Body::Sun)).transits(true), []);
}
