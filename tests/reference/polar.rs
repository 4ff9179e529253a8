//! Never rises, never sets, only just: what a search says where the usual day is no more.

use chrono::NaiveDate;
use chrono_tz::Tz;
use evenfall_core::earth::{EarthOrientation, Horizon};
use evenfall_core::ephemeris::Body;
use evenfall_core::events::{Crossings, Direction, EventKind, crossings, night, transits};
use evenfall_core::place::{Air, EveningSky, OutsideSpan, Source, StarPlace};
use evenfall_core::time::{Instant, Interval, LocalNight};
use evenfall_core::units::Angle;
use evenfall_tests::table::{EPHEMERIS, place};

const SUN: Source = Source::Body(Body::Sun);

fn local(year: i32, month: u32, day: u32, zone: Tz) -> LocalNight {
    let date = NaiveDate::from_ymd_opt(year, month, day).expect("a date of the calendar");
    LocalNight::new(date, zone).expect("a date of the calendar")
}

fn sky(latitude_deg: f64, longitude_deg: f64, span: Interval) -> EveningSky<'static> {
    let place = place(latitude_deg, longitude_deg, 0.0);
    EveningSky::new(&EPHEMERIS, place, EarthOrientation::default(), span).expect("inside the ephemeris")
}

/// Geometry alone: at the pole the Sun's altitude is its declination all day, 23.4 degrees at most.
#[test]
fn at_the_poles() {
    let summer = local(2027, 6, 21, Tz::UTC);
    let winter = local(2027, 12, 22, Tz::UTC);
    let light = night(&sky(90.0, 0.0, summer.window()), summer.clone());
    assert_eq!(light.sun, Crossings::AlwaysAbove);
    assert_eq!(light.astronomical, Crossings::AlwaysAbove);
    assert_eq!(light.dark, None);
    assert!((light.sun_lowest.1.degrees() - 23.435).abs() < 0.01);
    let dark = night(&sky(90.0, 0.0, winter.window()), winter.clone());
    assert_eq!(dark.sun, Crossings::AlwaysBelow);
    assert_eq!(dark.dark, Some(winter.window()));
    let south = night(&sky(-90.0, 0.0, winter.window()), winter);
    assert_eq!(south.sun, Crossings::AlwaysAbove);
    assert_eq!(transits(&sky(90.0, 0.0, summer.window()), &SUN, true, summer.window()).len(), 1);
}

/// No night is dark at midsummer where the Sun stays within 18 degrees of the horizon: beyond 90 - 18 - 23.44
/// = 48.56 degrees of latitude; at 52 degrees it goes down to 14.6 degrees (arithmetic).
#[test]
fn midsummer_has_no_dark_beyond_48_degrees() {
    let midsummer = local(2027, 6, 21, Tz::Europe__London);
    let lowest = |latitude_deg| {
        let summary = night(&sky(latitude_deg, 0.0, midsummer.window()), midsummer.clone());
        (summary.sun_lowest.1.degrees(), summary.dark.is_some())
    };
    assert!(lowest(48.54).1 && !lowest(48.58).1);
    let (altitude, dark) = lowest(52.0);
    assert!((altitude + 14.56).abs() < 0.02 && !dark, "{altitude}");
}

/// Counted by sampling every 10 s, which no pair of crossings further apart than that can slip through: the
/// search finds neither more nor fewer, at latitudes where the Sun skims each threshold.
#[test]
fn skimming_suns_are_counted_right() {
    let dates = [local(2027, 6, 20, Tz::Europe__London), local(2027, 12, 21, Tz::Europe__London)];
    for date in dates {
        let window = date.window();
        for latitude_deg in [48.5, 54.5, 60.5, 65.7, 65.72, 65.74, 66.0, 67.3, 67.4, 72.5, 78.5, 84.5] {
            let sky = sky(latitude_deg, -2.5, window);
            let altitudes: Vec<f64> = (0..=8640)
                .map(|step| {
                    sky.at(window.start().plus_seconds(f64::from(step) * 10.0)).sun().altitude.degrees()
                })
                .collect();
            for threshold_deg in [-50.0 / 60.0, -6.0, -12.0, -18.0] {
                let counted = altitudes
                    .windows(2)
                    .filter(|two| (two[0] > threshold_deg) != (two[1] > threshold_deg))
                    .count();
                let kind = EventKind::Altitude(Angle::from_degrees(threshold_deg));
                let found = match crossings(&sky, &SUN, &kind, window) {
                    Crossings::At(all) => all.len(),
                    Crossings::AlwaysAbove | Crossings::AlwaysBelow => 0,
                };
                assert_eq!(found, counted, "latitude {latitude_deg}, threshold {threshold_deg}");
            }
        }
    }
}

/// A sidereal day is 3 min 56 s shorter than a night from noon to noon: a star that sets just after the
/// window's start sets again just before its end. The two are a sidereal day apart (86164.09 s, IERS
/// Conventions 2010).
#[test]
fn a_star_can_set_twice_and_transit_twice_in_one_night() {
    let night = local(2027, 3, 13, Tz::UTC);
    let window = night.window();
    let sky = sky(50.0, 0.0, window);
    let setting = |right_ascension_deg: f64| {
        Source::Star(StarPlace::fixed(Angle::from_degrees(right_ascension_deg), Angle::from_degrees(10.0)))
    };
    let twice = (0..720).map(|half| setting(f64::from(half) / 2.0)).find_map(|star| {
        let sets = crossings(&sky, &star, &EventKind::RiseSet, window).going(Direction::Down);
        (sets.len() == 2).then_some(sets)
    });
    let sets = twice.expect("one star in a degree sets in the first four minutes");
    assert!((sets[1].seconds_since(sets[0]) - 86_164.09).abs() < 0.1);
    let all: usize =
        (0..360).map(|degree| transits(&sky, &setting(f64::from(degree)), true, window).len()).sum();
    assert_eq!(all, 361);
}

/// Cutting a window in two loses no event and doubles none, wherever the cut is: at an event too.
#[test]
fn windows_that_touch_share_no_event() {
    let night = local(2027, 3, 13, Tz::Europe__London);
    let window = night.window();
    let sky = sky(55.1, -2.5, window);
    let Crossings::At(whole) = crossings(&sky, &SUN, &EventKind::RiseSet, window) else { panic!("it sets") };
    assert_eq!(whole.len(), 2);
    for cut in [whole[0].0, whole[0].0.plus_seconds(1e-6), whole[1].0, window.start().plus_minutes(700.0)] {
        let count = |from: Instant, to: Instant| match crossings(
            &sky,
            &SUN,
            &EventKind::RiseSet,
            Interval::new(from, to).unwrap(),
        ) {
            Crossings::At(all) => all.len(),
            Crossings::AlwaysAbove | Crossings::AlwaysBelow => 0,
        };
        assert_eq!(count(window.start(), cut) + count(cut, window.end()), 2, "{}", cut.to_utc());
    }
}

/// A flat profile without air is the mathematical horizon; a mast hides a star for as long as the star's
/// azimuth takes to run past it.
#[test]
fn a_profile_is_followed_corner_by_corner() {
    let night = local(2027, 3, 13, Tz::Europe__London);
    let window = night.window();
    let sky = sky(55.1, -2.5, window);
    let star = Source::Star(StarPlace::fixed(Angle::from_degrees(150.0), Angle::from_degrees(20.0)));
    let flat = EventKind::Profile { horizon: Horizon::flat(), air: Air::NONE };
    let level = EventKind::Altitude(Angle::ZERO);
    for direction in [Direction::Up, Direction::Down] {
        let over = |kind| crossings(&sky, &star, kind, window).going(direction)[0];
        assert!(over(&flat).seconds_since(over(&level)).abs() < 2e-5);
    }

    // A mast half a degree wide due south, higher than the star ever gets.
    let degrees = |pairs: &[(f64, f64)]| -> Horizon {
        Horizon::from_corners(
            pairs
                .iter()
                .map(|(azimuth, altitude)| (Angle::from_degrees(*azimuth), Angle::from_degrees(*altitude))),
        )
        .unwrap()
    };
    let mast = degrees(&[(0.0, 0.0), (179.75, 0.0), (179.751, 80.0), (180.249, 80.0), (180.25, 0.0)]);
    let kind = EventKind::Profile { horizon: mast, air: Air::STANDARD };
    let found = crossings(&sky, &star, &kind, window);
    let transit = transits(&sky, &star, true, window)[0];
    let hidden = found
        .going(Direction::Down)
        .into_iter()
        .find(|down| down.seconds_since(transit).abs() < 600.0)
        .expect("it passes behind the mast");
    let back = found.going(Direction::Up).into_iter().find(|up| *up > hidden).expect("it comes out again");
    assert!(hidden < transit && transit < back);
    // dA/dt = 15.041 arcsec/s cos(declination) / cos(altitude) on the meridian, with altitude 90 - 55.1 + 20.
    let expected_s = 0.4995 * 3600.0 / (15.041 * 20_f64.to_radians().cos() / 54.9_f64.to_radians().cos());
    assert!((back.seconds_since(hidden) - expected_s).abs() < 1.0, "{}", back.seconds_since(hidden));
}

#[test]
fn years_outside_the_ephemeris_are_refused() {
    let place = place(55.1, -2.5, 260.0);
    let of = |year| {
        let window = local(year, 3, 13, Tz::Europe__London).window();
        EveningSky::new(&EPHEMERIS, place, EarthOrientation::default(), window).map(|_| ())
    };
    assert_eq!(
        (of(1948), of(1950), of(2100), of(2102)),
        (Err(OutsideSpan), Ok(()), Ok(()), Err(OutsideSpan))
    );
}

/// A window of several days, which takes more than one polynomial, has the events of its parts; and a sky
/// prepared for one second shows what one prepared for days shows.
#[test]
fn days_together_and_apart() {
    let start = local(2027, 3, 13, Tz::Europe__London).window().start();
    let hours = |from: f64, to: f64| {
        Interval::new(start.plus_minutes(60.0 * from), start.plus_minutes(60.0 * to)).expect("forwards")
    };
    let whole = hours(0.0, 70.0);
    let long = sky(55.1, -2.5, whole);
    let star = Source::Star(StarPlace::fixed(Angle::from_degrees(150.0), Angle::from_degrees(20.0)));
    for source in [SUN, Source::Body(Body::Moon), Source::Body(Body::Venus), star] {
        let together = crossings(&long, &source, &EventKind::RiseSet, whole);
        let found = |direction| together.going(direction);
        let mut apart = [Vec::new(), Vec::new(), Vec::new()];
        for part in [hours(0.0, 11.0), hours(11.0, 30.5), hours(30.5, 70.0)] {
            let own = sky(55.1, -2.5, part);
            let part_found = crossings(&own, &source, &EventKind::RiseSet, part);
            apart[0].extend(part_found.going(Direction::Up));
            apart[1].extend(part_found.going(Direction::Down));
            apart[2].extend(transits(&own, &source, true, part));
        }
        let all = [found(Direction::Up), found(Direction::Down), transits(&long, &source, true, whole)];
        for (together, apart) in all.iter().zip(&apart) {
            assert_eq!(together.len(), apart.len());
            for (one, other) in together.iter().zip(apart) {
                assert!(one.seconds_since(*other).abs() < 1e-4, "{}", one.seconds_since(*other));
            }
        }
        let at = all[2][0];
        let moment = sky(55.1, -2.5, Interval::new(at, at.plus_seconds(1.0)).expect("forwards"));
        let off = moment.at(at).direction(&source).angle_to(long.at(at).direction(&source));
        assert!(off.arcseconds() < 3e-5, "{}", off.arcseconds());
    }
}
