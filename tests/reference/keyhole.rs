//! The zenith keyhole: when a source enters it and leaves it.

use chrono::NaiveDate;
use chrono_tz::Tz;
use evenfall_core::earth::EarthOrientation;
use evenfall_core::events::{Crossings, Direction, EventKind, Watch};
use evenfall_core::place::{EveningSky, Source, StarPlace, Turning};
use evenfall_core::time::LocalNight;
use evenfall_core::units::Angle;
use evenfall_tests::close::{Comparison, assert_close};
use evenfall_tests::table::{EPHEMERIS, place};

/// A source through the zenith stays in a keyhole of radius r for 2 asin(r / cos(latitude)) of hour angle,
/// about; minutes by latitude and radius computed with other tools.
#[test]
fn minutes_in_the_keyhole() {
    let night =
        LocalNight::new(NaiveDate::from_ymd_opt(2027, 3, 13).expect("a date"), Tz::UTC).expect("a date");
    let mut minutes = Comparison::new("time in the keyhole", "min", 0.06);
    for (latitude_deg, of_radii) in [
        (38.0, [(0.5, 5.1), (1.0, 10.1), (2.0, 20.2), (3.0, 30.4)]),
        (52.0, [(0.5, 6.5), (1.0, 13.0), (2.0, 25.9), (3.0, 38.9)]),
    ] {
        let site = place(latitude_deg, 0.0, 0.0);
        let sky =
            EveningSky::new(&EPHEMERIS, site, EarthOrientation::default(), night.window()).expect("inside");
        let watch = Watch::new(&sky, night.window());
        // Of date the declination is the latitude: precession and aberration are taken off by looking where
        // the place comes to stand.
        let wanted = Angle::from_degrees(latitude_deg);
        let mut declination = wanted;
        let star = |declination| Source::Star(StarPlace::fixed(Angle::from_degrees(200.0), declination));
        for _ in 0..4 {
            let transit = watch.path(&star(declination)).transits(true)[0];
            declination = declination + wanted - sky.at(transit).observe(&star(declination)).declination;
        }
        let path = watch.path(&star(declination));
        for (radius_deg, want) in of_radii {
            let found = path.crossings(&EventKind::Keyhole { radius: Angle::from_degrees(radius_deg) });
            let (entry, exit) = (found.going(Direction::Up), found.going(Direction::Down));
            assert_eq!((entry.len(), exit.len()), (1, 1));
            minutes.row(format!("{latitude_deg} {radius_deg}"), exit[0].minutes_since(entry[0]), want);
            let there = sky.at(entry[0]).direction(&star(declination)).z.acos().to_degrees();
            assert_close("zenith distance at the edge", "degrees", there, radius_deg, 1e-7);
        }
        let outside = star(declination + Angle::from_degrees(4.0));
        let missed = watch.path(&outside).crossings(&EventKind::Keyhole { radius: Angle::from_degrees(3.9) });
        assert_eq!(missed, Crossings::AlwaysBelow);
    }
    minutes.assert_close();
}

/// Latitude 38°, declination +36.4614°, by the formulas with other tools: 1.539° from the zenith at transit,
/// where the azimuth turns by 0.125° and the field by 441" a second; from 126.9° to 233.1° in the 20 minutes
/// around it.
#[test]
fn a_source_through_the_keyhole() {
    let at = |minutes: f64| {
        let hour_angle = Angle::from_hours(minutes * (366.2422 / 365.2422) / 60.0);
        Turning::at(hour_angle, Angle::from_degrees(36.4614), Angle::from_degrees(38.0))
    };
    let transit = at(0.0);
    assert_close("zenith distance", "degrees", 90.0 - transit.altitude.degrees(), 1.539, 0.0005);
    assert_close("azimuth", "degrees a second", transit.azimuth_arcsec_per_s / 3600.0, 0.125, 0.0005);
    assert_close("field", "arcsec a second", transit.parallactic_arcsec_per_s, 441.0, 0.6);
    assert_close("ten minutes before", "degrees", at(-10.0).azimuth.degrees(), 126.9, 0.06);
    assert_close("ten minutes after", "degrees", at(10.0).azimuth.degrees(), 233.1, 0.06);
}
