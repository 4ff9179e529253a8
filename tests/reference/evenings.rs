//! Three evenings of an invented site, end to end: twilights, Moon, planets and one source in the zenith.
//!
//! Computed with Skyfield and JPL DE440 (almanac conventions), altitudes and azimuths checked with Astropy:
//! printed to the second (cut off, not rounded) and to 0.001 or 0.01 degrees, airless and topocentric; lit
//! share geocentric.

use chrono::{DateTime, NaiveDate, NaiveTime, Utc};
use chrono_tz::Tz;
use evenfall_core::earth::EarthOrientation;
use evenfall_core::ephemeris::Body;
use evenfall_core::events::{Direction, almanac, transits};
use evenfall_core::place::{EveningSky, Source, StarPlace};
use evenfall_core::time::{Instant, LocalNight};
use evenfall_core::units::Angle;
use evenfall_tests::close::Comparison;
use evenfall_tests::table::{EPHEMERIS, earth_centre, place, sky_around};

struct Evening {
    date: (i32, u32, u32),
    /// Local clock: sunset, civil, nautical, astronomical dusk, astronomical dawn, sunrise, moonset.
    clock: [&'static str; 7],
    /// The instant of the places below, 21:00 local.
    utc: &'static str,
    sidereal_hours: f64,
    sun_altitude: f64,
    /// Altitude, azimuth, lit share, phase angle.
    moon: [f64; 4],
    planets: &'static [Planet],
    ring_tilt: f64,
    /// Altitude of the source at declination +36.46 degrees, its transit by the local clock.
    zenith: (f64, &'static str),
}

/// Altitude; azimuth, diameter and magnitude where printed.
struct Planet(Body, f64, Option<f64>, Option<f64>, Option<f64>);

const EVENINGS: [Evening; 3] = [
    Evening {
        date: (2026, 12, 12),
        clock: ["16:56:47", "17:26:13", "17:59:11", "18:31:12", "05:49:01", "07:23:30", "20:13:46"],
        utc: "2026-12-13T04:00:00Z",
        sidereal_hours: 2.190_80,
        sun_altitude: -47.01,
        moon: [-8.857, 250.543, 0.1455, 135.16],
        planets: &[
            Planet(Body::Jupiter, -11.69, Some(62.62), Some(40.64), Some(-2.28)),
            Planet(Body::Saturn, 46.497, Some(217.160), Some(18.30), Some(0.66)),
            Planet(Body::Mars, -19.1, None, None, None),
            Planet(Body::Uranus, 60.159, Some(117.665), None, Some(5.60)),
        ],
        ring_tilt: -6.11,
        zenith: (-7.80, "11:28:48"),
    },
    Evening {
        date: (2027, 3, 13),
        clock: ["18:21:11", "18:47:26", "19:17:59", "19:48:49", "06:01:16", "07:28:46", "00:30:11"],
        utc: "2027-03-14T04:00:00Z",
        sidereal_hours: 8.170_42,
        sun_altitude: -31.35,
        moon: [36.268, 275.954, 0.3338, 109.41],
        planets: &[
            Planet(Body::Jupiter, 62.857, Some(137.865), Some(43.69), Some(-2.46)),
            Planet(Body::Saturn, -11.91, Some(284.37), None, None),
            Planet(Body::Mars, 60.546, Some(127.282), Some(12.81), Some(-0.81)),
            Planet(Body::Uranus, 33.843, Some(270.607), None, None),
        ],
        ring_tilt: -9.31,
        zenith: (-1.50, "06:31:03"),
    },
    Evening {
        date: (2027, 8, 7),
        clock: ["20:18:51", "20:47:29", "21:22:16", "21:59:34", "04:44:17", "06:25:00", "23:09:28"],
        utc: "2027-08-08T03:00:00Z",
        sidereal_hours: 16.827_07,
        sun_altitude: -8.20,
        moon: [20.093, 225.497, 0.3884, 102.90],
        planets: &[
            Planet(Body::Jupiter, 1.23, Some(283.48), Some(31.03), Some(-1.72)),
            Planet(Body::Saturn, -27.2, None, None, None),
            Planet(Body::Mars, 19.903, Some(245.588), Some(5.15), Some(1.28)),
            Planet(Body::Uranus, -30.0, None, None, None),
        ],
        ring_tilt: -14.4,
        zenith: (87.898, "20:53:05"),
    },
];

/// Three fixed places by right ascension in hours and declination in degrees, J2000.0, ICRS (typed from
/// memory), and their altitudes at 21:00 of the three evenings.
const FIXED: [(f64, f64, [f64; 3]); 3] = [
    (5.588_14, -5.391_11, [25.65, 33.86, -55.7]),
    (0.712_31, 41.269_17, [72.93, 10.99, 7.12]),
    (18.893_08, 33.029_17, [6.81, -16.80, 64.218]),
];

/// What that library predicts for these evenings, as its sidereal times tell.
const UT1_MINUS_UTC_S: f64 = 0.10;

#[test]
fn three_evenings() {
    let mut times = Comparison::new("events of three evenings", "s", 0.55);
    let mut angles = Comparison::new("places of three evenings", "last digit printed", 0.6);
    let mut looks = Comparison::new("looks of three evenings", "last digit printed", 0.6);
    for (index, evening) in EVENINGS.into_iter().enumerate() {
        let (year, month, day) = evening.date;
        let date = NaiveDate::from_ymd_opt(year, month, day).expect("a date of the calendar");
        let local = LocalNight::new(date, Tz::America__Denver).expect("a date of the calendar");
        let sky = EveningSky::new(
            &EPHEMERIS,
            place(38.0, -109.0, 1800.0),
            EarthOrientation { ut1_minus_utc_s: UT1_MINUS_UTC_S, ..EarthOrientation::default() },
            local.window(),
        )
        .expect("inside the ephemeris");
        let at_clock = |clock: &str| local.at(clock.parse::<NaiveTime>().expect("a clock")).expect("a time");

        let (night, _) = almanac(&sky, local.clone());
        let (down, up) = (Direction::Down, Direction::Up);
        let found = [
            night.sun.going(down),
            night.civil.going(down),
            night.nautical.going(down),
            night.astronomical.going(down),
            night.astronomical.going(up),
            night.sun.going(up),
            night.moon.going(down),
        ];
        for (found, clock) in found.iter().zip(evening.clock) {
            assert_eq!(found.len(), 1, "{date} {clock}");
            times.row(format!("{date} {clock}"), found[0].seconds_since(at_clock(clock)), 0.5);
        }

        let instant = Instant::from_utc(evening.utc.parse::<DateTime<Utc>>().expect("an instant"));
        let observer = sky.at(instant);
        let sidereal = sky.frame().greenwich_apparent_sidereal_time(instant) + sky.place().longitude;
        angles.scaled_row(
            format!("{date} sidereal time"),
            sidereal.wrapped().hours(),
            evening.sidereal_hours,
            1e5,
        );
        angles.scaled_row(
            format!("{date} Sun"),
            observer.sun().altitude.degrees(),
            evening.sun_altitude,
            100.0,
        );
        let moon = observer.moon();
        angles.scaled_row(format!("{date} Moon, altitude"), moon.altitude.degrees(), evening.moon[0], 1000.0);
        angles.scaled_row(format!("{date} Moon, azimuth"), moon.azimuth.degrees(), evening.moon[1], 1000.0);
        let (from_centre, instant) = sky_around(earth_centre(), evening.utc.parse().expect("an instant"));
        let look = from_centre.at(instant).appearance(Body::Moon);
        let (lit, phase_angle) = (look.illuminated.unwrap().value(), look.phase_angle.unwrap().degrees());
        looks.scaled_row(format!("{date} Moon, lit share"), lit, evening.moon[2], 10_000.0);
        looks.scaled_row(format!("{date} Moon, phase angle"), phase_angle, evening.moon[3], 100.0);
        for Planet(body, altitude, azimuth, diameter, magnitude) in evening.planets {
            let name = format!("{date} {}", body.name());
            let got = observer.observe(&Source::Body(*body));
            let look = observer.appearance(*body);
            // Altitudes with three decimals come with azimuths of three, those of below the horizon with
            // fewer.
            let digits = |value: f64| {
                [1.0, 10.0, 100.0, 1000.0]
                    .into_iter()
                    .find(|scale| (value * scale - (value * scale).round()).abs() < 1e-6)
                    .unwrap_or(1000.0)
            };
            angles.scaled_row(&name, got.altitude.degrees(), *altitude, digits(*altitude));
            if let Some(azimuth) = azimuth {
                angles.scaled_row(&name, got.azimuth.degrees(), *azimuth, digits(*azimuth));
            }
            if let Some(diameter) = diameter {
                looks.scaled_row(&name, look.diameter.arcseconds(), *diameter, 100.0);
            }
            if let Some(magnitude) = magnitude {
                looks.scaled_row(&name, look.magnitude.unwrap().0, *magnitude, 100.0);
            }
        }
        looks.scaled_row(
            format!("{date} rings"),
            observer.saturn_rings().tilt.degrees(),
            evening.ring_tilt,
            if evening.ring_tilt == -14.4 { 10.0 } else { 100.0 },
        );

        for (hours, degrees, altitudes) in FIXED {
            let star = StarPlace::fixed(Angle::from_hours(hours), Angle::from_degrees(degrees));
            let got = observer.observe(&Source::Star(star)).altitude.degrees();
            let scale = if altitudes[index] == -55.7 { 10.0 } else { 100.0 };
            angles.scaled_row(format!("{date} at {hours} h"), got, altitudes[index], scale);
        }

        let right_ascension = Angle::from_hours(16.0 + 41.0 / 60.0 + 41.6 / 3600.0);
        let star = Source::Star(StarPlace::fixed(right_ascension, Angle::from_degrees(36.4614)));
        let scale = if evening.zenith.0 == 87.898 { 500.0 } else { 100.0 };
        let altitude = observer.observe(&star).altitude.degrees();
        angles.scaled_row(format!("{date} star"), altitude, evening.zenith.0, scale);
        let transit = transits(&sky, &star, true, local.window());
        times.row(format!("{date} transit"), transit[0].seconds_since(at_clock(evening.zenith.1)), 0.5);
    }
    times.assert_close();
    angles.assert_close();
    looks.assert_close();
}
