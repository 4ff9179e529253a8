//! No crossing is missed and none made up: searches counted against dense sampling of the places themselves.

use std::f64::consts::PI;

use chrono::NaiveDate;
use chrono_tz::Tz;
use evenfall_core::earth::{EarthOrientation, Horizon};
use evenfall_core::ephemeris::Body;
use evenfall_core::events::{Crossings, Direction, EventKind, Watch};
use evenfall_core::place::{Air, EveningSky, ObserverAt, Source, StarPlace};
use evenfall_core::time::{Instant, Interval, LocalNight};
use evenfall_core::units::Angle;
use evenfall_tests::close::Comparison;
use evenfall_tests::table::{EPHEMERIS, place};

/// Sampling stays independent of the search: places are asked one by one, never a polynomial through them.
const STEP_S: f64 = 20.0;
/// Where a place comes within this of its threshold and turns back, it is looked at again in finer steps, between
/// which a pair would have to hide.
const NEAR_DEG: f64 = 0.3;
const FINE_STEP_S: f64 = 0.05;
const AIR: Air = Air { pressure_hpa: 990.0, temperature_c: 3.0 };

/// A stretch of the window in which the value changes sign, in seconds, and whether upwards.
type Change = (f64, f64, bool);

/// Changes of sign of a function that takes and gives plain numbers, by sampling alone.
fn counted(length_s: f64, value: impl Fn(f64) -> f64) -> Vec<Change> {
    let steps = (length_s / STEP_S).ceil() as u32;
    let mut samples: Vec<(f64, f64)> = (0..=steps)
        .map(|step| (f64::from(step) * STEP_S).min(length_s))
        .map(|at_s| (at_s, value(at_s)))
        .collect();
    let mut finer = Vec::new();
    for three in samples.windows(3) {
        let [before, here, after] = [three[0].1, three[1].1, three[2].1];
        let one_side = before * here > 0.0 && here * after > 0.0;
        let turns_back = here.abs() <= before.abs() && here.abs() <= after.abs();
        if one_side && turns_back && here.abs() < NEAR_DEG {
            let fine_steps = ((three[2].0 - three[0].0) / FINE_STEP_S) as u32;
            let times = (1..fine_steps).map(|step| three[0].0 + f64::from(step) * FINE_STEP_S);
            finer.extend(times.map(|at_s| (at_s, value(at_s))));
        }
    }
    samples.extend(finer);
    samples.sort_by(|one, other| one.0.total_cmp(&other.0));
    let changes = samples.windows(2).filter(|two| (two[0].1 > 0.0) != (two[1].1 > 0.0));
    changes.map(|two| (two[0].0, two[1].0, two[1].1 > 0.0)).collect()
}

/// The height above the threshold in degrees, from the observed place.
fn height_deg(observer: &ObserverAt<'_>, source: &Source, kind: &EventKind) -> f64 {
    let seen = observer.observe(source);
    match kind {
        EventKind::RiseSet => {
            // Sun -50', Moon's limb and all others -34': tests/data/README.md.
            let below_arcmin = match source {
                Source::Body(Body::Sun) => 50.0,
                Source::Body(Body::Moon) => 34.0 + observer.appearance(Body::Moon).diameter.degrees() * 30.0,
                _ => 34.0,
            };
            seen.altitude.degrees() + below_arcmin / 60.0
        }
        EventKind::Twilight { depth } => seen.altitude.degrees() + depth.degrees(),
        EventKind::Altitude(altitude) => seen.altitude.degrees() - altitude.degrees(),
        EventKind::Keyhole { radius } => seen.altitude.degrees() - (90.0 - radius.degrees()),
        EventKind::Profile { horizon, air } => {
            (seen.apparent_altitude(*air) - horizon.altitude(seen.azimuth)).degrees()
        }
    }
}

fn found(crossings: &Crossings) -> Vec<(Instant, bool)> {
    match crossings {
        Crossings::At(all) => all.iter().map(|one| (one.0, one.1 == Direction::Up)).collect(),
        Crossings::AlwaysAbove | Crossings::AlwaysBelow => Vec::new(),
    }
}

fn assert_same(name: &str, start: Instant, found: &[(Instant, bool)], counted: &[Change]) {
    assert_eq!(found.len(), counted.len(), "{name}: found {found:?}, counted {counted:?}");
    for ((instant, upwards), (from_s, to_s, counted_upwards)) in found.iter().zip(counted) {
        let at_s = instant.seconds_since(start);
        assert_eq!(upwards, counted_upwards, "{name} at {at_s} s");
        assert!((from_s - 1e-4..=to_s + 1e-4).contains(&at_s), "{name}: {at_s} s, not {from_s} to {to_s} s");
    }
}

/// The search against the sampling, also of what it says where there is no event.
fn assert_counted(name: &str, watch: &Watch<'_>, source: &Source, kind: &EventKind) -> usize {
    let (sky, window) = (watch.sky(), watch.window());
    let height = |at_s: f64| height_deg(&sky.at(window.start().plus_seconds(at_s)), source, kind);
    let counted = counted(window.seconds(), height);
    let crossings = watch.path(source).crossings(kind);
    assert_same(name, window.start(), &found(&crossings), &counted);
    if counted.is_empty() {
        let state = if height(0.0) > 0.0 { Crossings::AlwaysAbove } else { Crossings::AlwaysBelow };
        assert_eq!(crossings, state, "{name}");
    }
    counted.len()
}

/// Upper or lower transits against the sampled hour angle.
fn assert_transits_counted(name: &str, watch: &Watch<'_>, source: &Source, upper: bool) {
    let (sky, window) = (watch.sky(), watch.window());
    let counted = counted(window.seconds(), |at_s| {
        let hour_angle = sky.at(window.start().plus_seconds(at_s)).observe(source).hour_angle.degrees();
        if upper { hour_angle } else { (hour_angle + 360.0) % 360.0 - 180.0 }
    });
    // Where the angle runs into its other end it jumps down: no transit.
    let counted: Vec<Change> = counted.into_iter().filter(|change| change.2).collect();
    let transits: Vec<_> = watch.path(source).transits(upper).into_iter().map(|at| (at, true)).collect();
    assert_same(name, window.start(), &transits, &counted);
}

/// Numbers from 0 to 1 that are the same in each run: the congruences of Park and Miller 1988, Communications of
/// the ACM 31, 1192.
struct Dice(u64);

impl Dice {
    fn share(&mut self) -> f64 {
        self.0 = self.0 * 48_271 % 2_147_483_647;
        self.0 as f64 / 2_147_483_647.0
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// Corners 10 to 20 degrees apart, some of them high.
    fn horizon(&mut self) -> Horizon {
        let mut corners = Vec::new();
        let mut azimuth_deg = self.between(0.0, 10.0);
        while azimuth_deg < 350.0 {
            let altitude_deg = self.between(-1.0, 30.0);
            corners.push((Angle::from_degrees(azimuth_deg), Angle::from_degrees(altitude_deg)));
            azimuth_deg += self.between(10.0, 20.0);
        }
        Horizon::from_corners(corners).expect("corners in range")
    }
}

fn sky(latitude_deg: f64, longitude_deg: f64, span: Interval) -> EveningSky<'static> {
    let place = place(latitude_deg, longitude_deg, 260.0);
    EveningSky::new(&EPHEMERIS, place, EarthOrientation::default(), span).expect("inside the ephemeris")
}

fn star(right_ascension_deg: f64, declination_deg: f64) -> Source {
    Source::Star(StarPlace::fixed(
        Angle::from_degrees(right_ascension_deg),
        Angle::from_degrees(declination_deg),
    ))
}

fn spring_night() -> Interval {
    let date = NaiveDate::from_ymd_opt(2027, 3, 13).expect("a date of the calendar");
    LocalNight::new(date, Tz::Europe__London).expect("a date of the calendar").window()
}

/// Any site, any night of the ephemeris, any source, any kind of event.
#[test]
fn random_searches_are_counted_right() {
    let mut dice = Dice(3);
    let mut events = 0;
    for night in 0..60 {
        // As many sites near the poles as elsewhere: there things skim.
        let latitude_deg = dice.between(-90.0, 90.0);
        let start = Instant::J2000.plus_seconds(dice.between(-1.57e9, 3.18e9));
        let window = Interval::new(start, start.plus_minutes(dice.between(60.0, 1500.0))).expect("forwards");
        let sky = sky(latitude_deg, dice.between(-180.0, 180.0), window);
        let watch = Watch::new(&sky, window);
        let body = Source::Body(Body::ALL[night % Body::ALL.len()]);
        let fixed = star(dice.between(0.0, 360.0), dice.between(-90.0, 90.0));
        let radius = Angle::from_degrees(dice.between(1.0, 30.0));
        let profile = EventKind::Profile { horizon: dice.horizon(), air: AIR };
        let level = EventKind::Altitude(Angle::from_degrees(dice.between(-40.0, 60.0)));
        let twilight = EventKind::Twilight { depth: Angle::from_degrees(6.0 * (1 + night % 3) as f64) };
        let searches = [
            (body, EventKind::RiseSet),
            (Source::Body(Body::Moon), EventKind::RiseSet),
            (Source::Body(Body::Sun), twilight),
            (body, level),
            (fixed, EventKind::Keyhole { radius }),
            (fixed, profile),
        ];
        for (source, kind) in searches {
            let name = format!("night {night} latitude {latitude_deg} {source:?} {kind:?}");
            events += assert_counted(&name, &watch, &source, &kind);
        }
        assert_transits_counted(&format!("night {night} {body:?}"), &watch, &body, night % 2 == 0);
    }
    assert!(events > 200, "only {events} events were counted");
}

/// A star whose lowest altitude is a little under the horizon, at both ends of a night that is longer than a sidereal
/// day: it sets and rises twice, each time for minutes or seconds. Half a degree lower or higher it does neither.
#[test]
fn a_star_skims_the_horizon_twice_in_a_night() {
    let window = spring_night();
    let sky = sky(55.1, -2.5, window);
    let watch = Watch::new(&sky, window);
    let lowest = |source: &Source| watch.path(source).lowest().1.degrees();
    // The declination for which the star's lowest altitude is the almanac's -34', and the right ascension for which it
    // is reached two minutes after the window's start, and again two minutes before its end.
    let (mut declination_deg, mut right_ascension_deg) = (34.5, 0.0);
    for _ in 0..6 {
        let source = star(right_ascension_deg, declination_deg);
        let first = watch.path(&source).transits(false)[0];
        right_ascension_deg += (118.0 - first.seconds_since(window.start())) / 240.0 * 1.002_738;
        declination_deg -= lowest(&source) + 34.0 / 60.0;
    }
    // 60 arcseconds lower it is below for 16 minutes, which the window's edges cut; within a day aberration moves the
    // star by some tenths of an arcsecond, so that the lesser of both skims is the first to go.
    for (higher_arcsec, events) in
        [(-60.0, 2), (-3.0, 4), (-1.0, 4), (-0.01, 2), (0.01, 0), (1.0, 0), (60.0, 0)]
    {
        let source = star(right_ascension_deg, declination_deg + higher_arcsec / 3600.0);
        let name = format!("{higher_arcsec} arcsec higher");
        assert_eq!(assert_counted(&name, &watch, &source, &EventKind::RiseSet), events, "{name}");
    }
}

/// Far north the Moon sets earlier each day while it runs south: twice in one night, and rises once between.
///
/// Computed with pyerfa 2.0.1.5 and jplephem 2.24 on JPL DE440 (`eraPnm06a`, `eraGst06a`, `eraGd2gc`, `eraAb`; light
/// time by repetition) by bisection, UT1 = UTC, TAI - UTC = 37 s.
#[test]
fn the_moon_sets_twice_in_a_night() {
    let date = NaiveDate::from_ymd_opt(2027, 12, 15).expect("a date of the calendar");
    let window = LocalNight::new(date, Tz::UTC).expect("a date of the calendar").window();
    let sky = sky(64.0, -2.5, window);
    let watch = Watch::new(&sky, window);
    let moon = Source::Body(Body::Moon);
    assert_eq!(assert_counted("two moonsets", &watch, &moon, &EventKind::RiseSet), 3);
    let events = found(&watch.path(&moon).crossings(&EventKind::RiseSet));
    let mut times = Comparison::new("time of two moonsets", "s", 0.000_2);
    for ((instant, upwards), (want_s, want_upwards)) in
        events.iter().zip([(167.565_1, false), (14_679.267_2, true), (86_110.729_7, false)])
    {
        assert_eq!(*upwards, want_upwards);
        times.row("Moon", instant.seconds_since(window.start()), want_s);
    }
    times.assert_close();
}

/// By the site's latitude alone: above the pole's distance a star never sets, as far below the equator it never rises.
#[test]
fn stars_that_never_set_or_never_rise() {
    let window = spring_night();
    let sky = sky(55.1, -2.5, window);
    let watch = Watch::new(&sky, window);
    for (declination_deg, state) in [(36.0, Crossings::AlwaysAbove), (-36.0, Crossings::AlwaysBelow)] {
        for right_ascension_deg in [0.0, 100.0, 200.0, 300.0] {
            let path_of = star(right_ascension_deg, declination_deg);
            assert_eq!(watch.path(&path_of).crossings(&EventKind::RiseSet), state);
            assert_counted("never", &watch, &path_of, &EventKind::RiseSet);
        }
    }
}

/// A star that passes near the zenith two minutes after the window's start is there again a sidereal day later.
#[test]
fn a_keyhole_is_entered_and_left_twice() {
    let window = spring_night();
    let sky = sky(55.1, -2.5, window);
    let watch = Watch::new(&sky, window);
    let (mut declination_deg, mut right_ascension_deg) = (55.0, 0.0);
    for _ in 0..6 {
        let source = star(right_ascension_deg, declination_deg);
        let first = watch.path(&source).transits(true)[0];
        right_ascension_deg += (118.0 - first.seconds_since(window.start())) / 240.0 * 1.002_738;
        declination_deg += 55.05 - sky.at(first).observe(&source).declination.degrees();
    }
    let source = star(right_ascension_deg, declination_deg);
    for (radius_deg, events) in [(0.2, 4), (3.0, 2)] {
        // 3 degrees take 20 minutes of the sky's turning: the window begins and ends inside.
        let kind = EventKind::Keyhole { radius: Angle::from_degrees(radius_deg) };
        assert_eq!(assert_counted("keyhole", &watch, &source, &kind), events, "{radius_deg} degrees");
    }
}

/// The event belongs to the window that begins with it, not to the one that ends with it; a nanosecond later it is
/// the other way about. Windows of one sky that touch never lose or double it.
#[test]
fn an_event_on_the_edge_is_in_one_window() {
    let whole = spring_night();
    let sky = sky(55.1, -2.5, whole);
    let count = |from: Instant, to: Instant, source: &Source| {
        let part = Interval::new(from, to).expect("forwards");
        let watch = Watch::new(&sky, part);
        let path = watch.path(source);
        [
            found(&path.crossings(&EventKind::RiseSet)).len(),
            path.transits(true).len(),
            path.transits(false).len(),
        ]
    };
    let all = Watch::new(&sky, whole);
    for body in Body::ALL {
        let source = Source::Body(body);
        let path = all.path(&source);
        let mut instants: Vec<Instant> =
            found(&path.crossings(&EventKind::RiseSet)).iter().map(|event| event.0).collect();
        instants.extend(path.transits(true));
        instants.extend(path.transits(false));
        let total = count(whole.start(), whole.end(), &source);
        for event in instants {
            for off_ns in [-20_000.0, -1_000.0, -1.0, 0.0, 1.0, 1_000.0, 20_000.0] {
                let cut = event.plus_seconds(off_ns / 1e9);
                let [before, after] = [count(whole.start(), cut, &source), count(cut, whole.end(), &source)];
                let sum: Vec<usize> = before.iter().zip(after).map(|(one, other)| one + other).collect();
                assert_eq!(sum, total, "{} cut {off_ns} ns from {}", body.name(), event.to_utc());
                // 20 microseconds are more than a root is off.
                let is_first_later = off_ns == 20_000.0;
                if off_ns.abs() == 20_000.0 {
                    let first: usize = before.iter().sum();
                    let earlier = count(whole.start(), event.plus_seconds(-1.0), &source);
                    let want = earlier.iter().sum::<usize>() + usize::from(is_first_later);
                    assert_eq!(first, want, "{} cut {off_ns} ns", body.name());
                }
            }
        }
    }
}

/// Exactly on it, to the last bit: the threshold is the star's own altitude at the edge, at minutes for which the sine
/// of that altitude comes back unrounded.
#[test]
fn an_event_exactly_on_the_edge() {
    let whole = spring_night();
    let sky = sky(55.1, -2.5, whole);
    let source = star(150.0, 20.0);
    let mut exact = 0;
    for minute in 400..1000 {
        let edge = whole.start().plus_minutes(f64::from(minute));
        let up = sky.at(edge).direction(&source).z;
        let altitude = Angle::from_radians(up.asin());
        if altitude.sin() != up {
            continue;
        }
        exact += 1;
        let on_edge = |from_minutes: f64, to_minutes: f64| {
            let part = Interval::new(edge.plus_minutes(from_minutes), edge.plus_minutes(to_minutes));
            let watch = Watch::new(&sky, part.expect("forwards"));
            let crossings = watch.path(&source).crossings(&EventKind::Altitude(altitude));
            found(&crossings).iter().filter(|one| one.0.seconds_since(edge).abs() < 0.01).count()
        };
        assert_eq!((on_edge(0.0, 60.0), on_edge(-60.0, 0.0)), (1, 0), "minute {minute}");
        assert_eq!(on_edge(-60.0, 60.0), 1, "minute {minute}");
    }
    assert!(exact > 20, "only {exact} altitudes came back unrounded");
}

/// A horizon of 80 degrees with notches far narrower than the sampling's five minutes: the star shows in each, for
/// as long as its azimuth takes to pass.
#[test]
fn a_notch_narrower_than_the_sampling_is_seen() {
    let window = spring_night();
    let sky = sky(55.1, -2.5, window);
    let watch = Watch::new(&sky, window);
    let source = star(150.0, 20.0);
    for (azimuth_deg, width_deg, tip_deg) in
        [(180.0, 0.02, None), (180.0, 0.002, None), (140.0, 0.02, Some(5.0)), (233.0, 0.001, Some(5.0))]
    {
        let at = |off: f64, altitude_deg: f64| {
            (Angle::from_degrees(azimuth_deg + off), Angle::from_degrees(altitude_deg))
        };
        let half = width_deg / 2.0;
        let corners = match tip_deg {
            None => vec![at(-half * 1.01, 80.0), at(-half, 5.0), at(half, 5.0), at(half * 1.01, 80.0)],
            Some(tip_deg) => vec![at(-half, 80.0), at(0.0, tip_deg), at(half, 80.0)],
        };
        let horizon = Horizon::from_corners(corners).expect("corners in range");
        let kind = EventKind::Profile { horizon, air: Air::STANDARD };
        let found = found(&watch.path(&source).crossings(&kind));
        assert_eq!(found.iter().map(|one| one.1).collect::<Vec<_>>(), [true, false], "{azimuth_deg}");
        // dA/dt = w (sin phi - cos phi cos A tan h), Meeus, Astronomical Algorithms, 2nd ed., chapter 13.
        let seen = sky.at(found[0].0).observe(&source);
        let (latitude, azimuth, altitude) = (55.1_f64.to_radians(), seen.azimuth, seen.altitude);
        let rate_deg_per_s = 15.041_067 / 3600.0
            * (latitude.sin() - latitude.cos() * azimuth.cos() * altitude.sin() / altitude.cos());
        // The share of a V that lies below the star.
        let share = tip_deg.map_or(1.0, |tip| (seen.altitude.degrees() - tip) / (80.0 - tip));
        let want_s = width_deg * share / rate_deg_per_s;
        let got_s = found[1].0.seconds_since(found[0].0);
        assert!((got_s - want_s).abs() < 0.02 * want_s + 1e-3, "{azimuth_deg}: {got_s} s, want {want_s} s");
    }
}

/// The sampling itself, on a function with known roots.
#[test]
fn the_sampling_counts_right() {
    let turns = |at_s: f64| ((at_s - 7.0) / 86_400.0 * 2.0 * PI).sin() * 50.0 - 49.999_999;
    // Above where the cosine from the top exceeds 1 - 2e-8: 2e-4 radians, 2.75 s either way.
    let counted = counted(86_400.0, turns);
    assert_eq!(counted.len(), 2);
    assert!((counted[1].0 - counted[0].1 - 5.5).abs() < 0.2, "{counted:?}");
}
