//! What must hold at a reference site and on three reference evenings, one test a capability: latitude 38 north, longitude 109
//! west, 1800 m, America/Denver, with the demo's rig. Sun and planets of these evenings were computed with Skyfield and
//! DE440 (sunset by the usual 0.8333 degrees, altitudes airless, checked with Astropy to 0.002 degrees).

use evenfall_core::catalogue::TargetId;
use evenfall_core::plan::{
    Evening, Finding, Held, Limit, Prepared, RunningOrder, Severity, Show, Stop, StopId, What, WhyNot, check,
    edit, free_minutes, timings, why_not_now,
};
use evenfall_core::rig::PortId;
use evenfall_core::sheet::{Names, RunSheet, finding_sentence, run_sheet};
use evenfall_core::time::Interval;
use evenfall_core::units::Angle;
use evenfall_tests::park::{Park, at};

/// Open country all round.
const LOW: &str = "(0.0, 5.0)";

fn sheet(park: &Park, prepared: &Prepared) -> RunSheet {
    run_sheet(&park.evening, prepared, &park.materials())
}

/// A line of the run sheet's head.
fn told<'s>(sheet: &'s RunSheet, label: &str) -> &'s str {
    &sheet.head.iter().find(|notice| notice.label == label).expect("the head tells it").value
}

fn stoppers(park: &Park, prepared: &Prepared, evening: &Evening) -> Vec<Finding> {
    let found = check(evening, prepared, &park.materials());
    found.into_iter().filter(|finding| finding.severity == Severity::Stopper).collect()
}

/// A stop on the rig's eyepiece between two times of the evening's clock.
fn at_eyepiece(
    park: &Park,
    prepared: &Prepared,
    (id, target): (u32, &str),
    (from, to): (&str, &str),
) -> Stop {
    let port = park.rig.ports.iter().find(|port| port.is_eyepiece()).expect("the rig has an eyepiece");
    let show = Show {
        target: TargetId(target.to_owned()),
        port: PortId(port.id.0.clone()),
        eyepiece: None,
        understudy: None,
    };
    let interval = Interval::new(at(prepared, from), at(prepared, to)).expect("in order");
    Stop { id: StopId(id), what: What::Show(show), interval, held: Held::default() }
}

#[test]
fn row_1_another_site_has_other_times_zone_and_moon_and_sunset_prints_20_19_mdt() {
    let doors = ("20:15", "23:30");
    let (park, prepared) = Park::at_reference_site(LOW, "2027-08-07", doors).drafted();
    let own = sheet(&park, &prepared);
    // Sunset is at 20:18:51 MDT, the Moon at 21:00 at 20.093 degrees, airless as its light is reckoned with.
    assert_eq!(told(&own, "Sunset"), "20:19 MDT");
    assert_eq!(own.zone, "All times MDT (America/Denver)");
    let nine = at(&prepared, "21:00");
    let moon = prepared.moments[prepared.moment_index(nine)].moon.altitude;
    assert!((moon.degrees() - 20.093).abs() < 0.003, "{moon:?}");

    let mut other = Park::demo_on("2027-08-07");
    other.evening.programme = park.evening.programme.clone();
    let (other, prepared) = other.drafted();
    let others = sheet(&other, &prepared);
    assert_eq!(others.zone, "All times BST (Europe/London)");
    for label in ["Doors", "Sunset", "Civil dusk", "Nautical dusk", "Astronomical dusk", "Moon"] {
        assert_ne!(told(&own, label), told(&others, label), "{label}");
    }
    for (sheet, zone) in [(&own, "MDT"), (&others, "BST")] {
        assert!(!sheet.rows.is_empty() && sheet.rows.iter().all(|row| row.zone == zone), "{zone}");
    }
    let nine = at(&prepared, "21:00");
    let there = prepared.moments[prepared.moment_index(nine)].moon.altitude;
    assert!((there - moon).abs() > Angle::from_degrees(5.0), "{there:?} and {moon:?}");
}

#[test]
fn row_2_a_skyline_of_50_degrees_takes_saturn_out_and_one_of_25_leaves_it_in() {
    // Saturn at 21:00: azimuth 217.160, altitude 46.497 degrees airless; refraction adds 0.015.
    for (height, is_in) in [(25.0, true), (50.0, false)] {
        let skyline =
            format!("(0.0, 5.0), (199.9, 5.0), (200.0, {height:.1}), (240.0, {height:.1}), (240.1, 5.0)");
        let mut park = Park::at_reference_site(&skyline, "2026-12-12", ("18:30", "22:30"));
        let prepared = park.prepared();
        let (index, nine) = (park.target("saturn"), at(&prepared, "21:00"));
        let sample = prepared.sample(index, nine).expect("it was sampled");
        assert!((sample.altitude.degrees() - 46.51).abs() < 0.03, "{:?}", sample.altitude);
        assert!((sample.azimuth.degrees() - 217.16).abs() < 0.03, "{:?}", sample.azimuth);
        let open = prepared.availability[index].showable.as_slice().iter().any(|run| run.contains(nine));
        assert_eq!(open, is_in, "{height}");
        let why = why_not_now(&prepared, &park.materials(), index, nine);
        let by_horizon = matches!(why, Some(WhyNot::Limit { limit: Limit::Horizon, lowest, .. })
            if (lowest.degrees() - height).abs() < 1e-9);
        assert_eq!(by_horizon, !is_in, "{why:?}");

        let stop = at_eyepiece(&park, &prepared, (1, "saturn"), ("21:00", "21:15"));
        park.evening.order = RunningOrder::new(vec![stop]);
        let found = stoppers(&park, &prepared, &park.evening);
        let materials = park.materials();
        let names = Names::new(&park.evening, &prepared, &materials);
        let sentences: Vec<String> =
            found.iter().map(|finding| finding_sentence(finding, &names).0).collect();
        let wanted = "Too low at 21:00 MST: altitude 46.5°, and 50.0° is needed there.";
        assert_eq!(sentences, if is_in { vec![] } else { vec![wanted] });
    }
}

#[test]
fn row_41_saturn_held_at_19_30_keeps_it_when_a_stop_is_put_in_before_it() {
    let mut park = Park::at_reference_site(LOW, "2026-12-12", ("18:00", "22:00"));
    let prepared = park.prepared();
    let stops = [
        at_eyepiece(&park, &prepared, (1, "uranus"), ("18:10", "18:40")),
        at_eyepiece(&park, &prepared, (2, "saturn"), ("19:30", "20:10")),
        at_eyepiece(&park, &prepared, (3, "neptune"), ("18:45", "19:20")),
    ];
    park.evening.order = RunningOrder::new(stops.to_vec());
    let held = edit::hold(&park.evening, StopId(2), Held { time: true, port: false });
    let materials = park.materials();
    let mut inserted = held.clone();
    let new = at_eyepiece(&park, &prepared, (4, "whin-and-sky"), ("18:44", "19:05"));
    inserted.order = RunningOrder::new(held.order.stops().iter().cloned().chain([new]).collect());
    let rippled = edit::make_room(&inserted, &prepared, &materials, StopId(4));
    let saturn = rippled.order.get(StopId(2)).expect("it stays");
    assert_eq!(saturn.interval, held.order.get(StopId(2)).expect("it stays").interval);
    assert_eq!(saturn.start(), at(&prepared, "19:30"));
    // Nothing is left in its way.
    for other in rippled.order.stops().iter().filter(|stop| stop.id != StopId(2)) {
        assert!(!other.interval.overlaps(saturn.interval), "{other:?}");
    }
    // What stood between goes past it.
    assert!(
        rippled.order.get(StopId(3)).is_some_and(|stop| stop.start() > saturn.end()),
        "{:?}",
        rippled.order
    );
    // Not held, it would have moved.
    let mut free = inserted.clone();
    free.order = RunningOrder::new(
        inserted.order.stops().iter().map(|stop| Stop { held: Held::default(), ..stop.clone() }).collect(),
    );
    let rippled = edit::make_room(&free, &prepared, &materials, StopId(4));
    assert_ne!(rippled.order.get(StopId(2)).map(Stop::start), Some(saturn.start()));
}

#[test]
fn row_42_the_draft_of_each_reference_evening_has_no_stopper_and_a_tenth_of_slack() {
    for (date, doors, at_least) in [
        ("2026-12-12", ("17:30", "21:30"), 5),
        ("2027-03-13", ("18:30", "22:30"), 5),
        ("2027-08-07", ("20:15", "23:30"), 3),
    ] {
        let (park, prepared) = Park::at_reference_site(LOW, date, doors).drafted();
        assert_eq!(stoppers(&park, &prepared, &park.evening), [], "{date}");
        let timings = timings(&park.evening.order, &prepared, &park.materials());
        let free = free_minutes(&park.evening.order, &timings, prepared.doors);
        assert!(free >= 0.1 * prepared.doors.minutes(), "{date}: {free} min free");
        let shows = park.evening.order.stops().iter().filter(|stop| stop.show().is_some()).count();
        assert!(shows >= at_least, "{date}: {shows} stops");
        // No longer than its doors, with every move in time.
        assert!(timings.iter().all(|timing| timing.free_minutes > -0.001), "{date}: {timings:?}");
    }
}
