//! Edits keep identities and refuse nothing.

use super::{bring_on, change_port, hold, move_stop, remove, resize_stop, split, swap_understudy};
use crate::catalogue::TargetId;
use crate::plan::invented::{Invented, march_evening};
use crate::plan::{Evening, Held, Prepared, Rule, Severity, Stop, check, draft, timings};
use crate::rig::PortId;
use crate::time::Interval;

fn drafted() -> (Invented, Evening, Prepared) {
    let invented = Invented::new(11);
    let evening = march_evening();
    let prepared = invented.prepare(&evening);
    let order = draft(&evening, &prepared, &invented.materials());
    (invented, Evening { order, ..evening }, prepared)
}

fn a_show(evening: &Evening, with_understudy: bool) -> Stop {
    let mut stops = evening.order.stops().iter();
    stops
        .find(|stop| stop.show().is_some_and(|show| !with_understudy || show.understudy.is_some()))
        .expect("a show")
        .clone()
}

#[test]
fn a_moved_stop_keeps_identity_and_length_and_starts_on_the_minute() {
    let (_, evening, _) = drafted();
    let stop = a_show(&evening, false);
    let moved = move_stop(&evening, stop.id, stop.start().plus_seconds(40.0 * 60.0 + 31.0));
    let now = moved.order.get(stop.id).expect("it stays");
    assert_eq!(now.start(), stop.start().plus_minutes(41.0));
    assert_eq!(now.interval.seconds(), stop.interval.seconds());
    assert_eq!(moved.order.stops().len(), evening.order.stops().len());
    let back = move_stop(&evening, stop.id, stop.start().plus_seconds(29.0));
    assert_eq!(back.order, evening.order);
}

#[test]
fn resize_hold_and_remove_touch_one_stop() {
    let (_, evening, _) = drafted();
    let stop = a_show(&evening, false);
    let interval = Interval::new(stop.start(), stop.end().plus_minutes(7.0)).expect("in order");
    let resized = resize_stop(&evening, stop.id, interval);
    assert_eq!(resized.order.get(stop.id).expect("it stays").interval, interval);
    let held = hold(&evening, stop.id, Held { time: true, port: false });
    assert!(held.order.get(stop.id).expect("it stays").held.time);
    let removed = remove(&evening, stop.id);
    assert_eq!(removed.order.get(stop.id), None);
    assert_eq!(removed.order.stops().len() + 1, evening.order.stops().len());
}

#[test]
fn a_stop_split_in_two_needs_no_move_between_its_halves() {
    let (invented, evening, prepared) = drafted();
    let materials = invented.materials();
    for stop in evening.order.stops().iter().filter(|stop| stop.interval.minutes() >= 6.0) {
        let at = stop.start().plus_minutes((stop.interval.minutes() / 2.0).floor());
        let (halves, second) = split(&evening, stop.id, at);
        let second = second.expect("it is long enough");
        let timings = timings(&halves.order, &prepared, &materials);
        let timing = timings.iter().find(|timing| timing.stop == second).expect("each has one");
        assert_eq!((timing.parts.total_s(), timing.lead_s, timing.leave), (0.0, 0.0, at));
        let moves = check(&halves, &prepared, &materials);
        let misfit = moves.iter().find(|found| matches!(found.rule, Rule::MoveDoesNotFit { .. }));
        assert_eq!(misfit, None, "{stop:?}");
    }
}

#[test]
fn another_port_brings_its_own_field() {
    let (invented, evening, prepared) = drafted();
    let stop = a_show(&evening, false);
    let materials = invented.materials();
    let on = |port: &str| {
        let changed = change_port(&evening, &prepared, &materials, stop.id, &PortId(port.to_owned()));
        changed.order.get(stop.id).and_then(Stop::show).expect("it stays").clone()
    };
    assert_eq!(on("wide").port.0, "wide");
    assert_eq!(on("wide").eyepiece, None);
    assert!(on("eyepiece").eyepiece.is_some());
}

#[test]
fn a_target_is_brought_into_a_gap_without_a_stopper() {
    let (invented, evening, prepared) = drafted();
    let materials = invented.materials();
    let mut wide_open = evening.clone();
    for stop in evening.order.stops().iter().filter(|stop| stop.show().is_some()).skip(1) {
        wide_open = remove(&wide_open, stop.id);
    }
    let shown = a_show(&wide_open, false);
    let target = materials
        .catalogue
        .targets
        .iter()
        .enumerate()
        .find(|(index, target)| {
            prepared.availability[*index].showable.minutes() > 150.0
                && shown.show().is_some_and(|show| show.target != target.id)
        })
        .map(|(_, target)| target.id.clone())
        .expect("a target");
    let (brought, id) = bring_on(&wide_open, &prepared, &materials, &target, None);
    let id = id.expect("a new stop");
    assert_eq!(wide_open.order.get(id), None);
    assert!(brought.order.get(id).and_then(Stop::show).is_some_and(|show| show.target == target));
    let findings = check(&brought, &prepared, &materials);
    assert!(findings.iter().all(|found| found.severity != Severity::Stopper), "{findings:?}");
    // At a given time it comes there, whatever the check says of it.
    let at = prepared.doors.start().plus_minutes(3.0);
    let (there, id) = bring_on(&wide_open, &prepared, &materials, &target, Some(at));
    assert_eq!(there.order.get(id.expect("a new stop")).expect("it is there").start(), at);
    let nowhere = TargetId("nowhere".to_owned());
    assert_eq!(bring_on(&wide_open, &prepared, &materials, &nowhere, None), (wide_open.clone(), None));
}

#[test]
fn another_port_brings_its_own_length_unless_the_time_is_held() {
    let (invented, evening, prepared) = drafted();
    let materials = invented.materials();
    let by_eye =
        evening.order.stops().iter().find(|stop| stop.show().is_some_and(|show| show.port.0 == "eyepiece"));
    let stop = by_eye.expect("a stop at the eyepiece");
    let wide = PortId("wide".to_owned());
    let changed = change_port(&evening, &prepared, &materials, stop.id, &wide);
    let now = changed.order.get(stop.id).expect("it stays").interval;
    assert_eq!((now.start(), now.minutes().round()), (stop.start(), evening.house.screen_minutes));
    let held = hold(&evening, stop.id, Held { time: true, port: false });
    let changed = change_port(&held, &prepared, &materials, stop.id, &wide);
    assert_eq!(changed.order.get(stop.id).expect("it stays").interval, stop.interval);
}

#[test]
fn a_full_evening_takes_no_target_outside_doors_or_over_an_entry() {
    let (invented, evening, prepared) = drafted();
    let materials = invented.materials();
    for (index, target) in materials.catalogue.targets.iter().enumerate().step_by(5) {
        let (brought, id) = bring_on(&evening, &prepared, &materials, &target.id, None);
        let stop = brought.order.get(id.expect("a new stop")).expect("it is there");
        assert!(prepared.doors.covers(stop.interval), "{index}: {:?}", stop.interval);
        let entries = evening.order.stops().iter().filter(|stop| stop.show().is_none());
        assert!(entries.into_iter().all(|entry| !entry.interval.overlaps(stop.interval)), "{index}");
    }
}

#[test]
fn an_understudy_swapped_twice_is_back() {
    let (invented, evening, prepared) = drafted();
    let materials = invented.materials();
    let stop = a_show(&evening, true);
    let show = stop.show().expect("a show");
    let once = swap_understudy(&evening, &prepared, &materials, None, stop.id);
    let swapped = once.order.get(stop.id).expect("it stays");
    assert_eq!(swapped.interval, stop.interval);
    assert_eq!(swapped.show().map(|show| &show.target), show.understudy.as_ref());
    let twice = swap_understudy(&once, &prepared, &materials, None, stop.id);
    let back = twice.order.get(stop.id).and_then(Stop::show).expect("it stays");
    assert_eq!((&back.target, &back.understudy), (&show.target, &show.understudy));
    let findings = check(&once, &prepared, &materials);
    let stopped =
        findings.iter().find(|found| found.severity == Severity::Stopper && found.stop == Some(stop.id));
    assert!(!matches!(stopped.map(|found| &found.rule), Some(Rule::NoView)), "{stopped:?}");
}
