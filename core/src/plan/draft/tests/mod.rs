//! What holds for every drafted evening.

mod absurd;
mod bad_input;
mod wishes;

use chrono::{NaiveDate, NaiveTime};

use crate::catalogue::TargetId;
use crate::plan::invented::{Invented, Seed, any_evening, march_evening};
use crate::plan::{
    EntryKind, Evening, Finding, FixedEntry, Held, Rule, Severity, Stop, StopId, check, draft, edit, timings,
};
use crate::rig::{MeridianFlip, Port, PortId};
use crate::units::Angle;

fn stoppers(evening: &Evening, invented: &Invented) -> Vec<Finding> {
    let prepared = invented.prepare(evening);
    let findings = check(evening, &prepared, &invented.materials());
    findings.into_iter().filter(|finding| finding.severity == Severity::Stopper).collect()
}

fn drafted(evening: &Evening, invented: &Invented) -> Evening {
    let prepared = invented.prepare(evening);
    let order = draft(evening, &prepared, &invented.materials());
    Evening { order, ..evening.clone() }
}

fn shows(evening: &Evening) -> Vec<&Stop> {
    evening.order.stops().iter().filter(|stop| stop.show().is_some()).collect()
}

#[test]
fn a_spring_evening_is_full_and_has_no_stopper() {
    let invented = Invented::new(7);
    let evening = drafted(&march_evening(), &invented);
    assert_eq!(stoppers(&evening, &invented), []);
    assert!(shows(&evening).len() >= 6, "only {} stops", shows(&evening).len());
    let rig = invented.materials().rig;
    let by_eye = shows(&evening)
        .iter()
        .filter(|stop| stop.show().and_then(|show| rig.port(&show.port)).is_some_and(Port::is_eyepiece))
        .count();
    assert!(by_eye >= 2 && by_eye < shows(&evening).len(), "{by_eye} by eye");
    assert!(
        shows(&evening)
            .iter()
            .filter(|stop| stop.show().is_some_and(|show| show.understudy.is_some()))
            .count()
            > 3
    );
}

#[test]
fn nothing_is_drafted_across_a_meridian_flip() {
    let mut invented = Invented::new(7);
    invented.set_equatorial(MeridianFlip { past_meridian: Angle::ZERO, flip_s: 90.0 });
    let evening = drafted(&march_evening(), &invented);
    assert!(shows(&evening).len() >= 6, "only {} stops", shows(&evening).len());
    let prepared = invented.prepare(&evening);
    let findings = check(&evening, &prepared, &invented.materials());
    assert!(findings.iter().all(|found| !matches!(found.rule, Rule::FlipInside { .. })), "{findings:?}");
    assert_eq!(stoppers(&evening, &invented), []);
}

#[test]
fn row_38_a_talk_at_the_screen_keeps_the_eyepiece_and_no_other_screen() {
    let invented = Invented::new(7);
    let mut evening = march_evening();
    let talk = |hour, minute| FixedEntry {
        title: "The picture".to_owned(),
        kind: EntryKind::ScreenTalk,
        start: NaiveTime::from_hms_opt(hour, minute, 0).expect("a clock time"),
        minutes: 20.0,
        cue: "Stay as long as you like.".to_owned(),
    };
    evening.programme.fixed.extend([talk(20, 10), talk(21, 20)]);
    let with = drafted(&evening, &invented);
    assert_eq!(stoppers(&with, &invented), []);
    let rig = invented.materials().rig;
    let talks: Vec<&Stop> = with.order.stops().iter().filter(|stop| stop.is_screen_talk()).collect();
    assert_eq!(talks.len(), 2);
    let beside = |stop: &&&Stop| talks.iter().any(|talk| talk.interval.overlaps(stop.interval));
    let shown = shows(&with);
    let beside: Vec<_> = shown.iter().filter(beside).collect();
    assert!(!beside.is_empty(), "the telescope need not wait for a talk at the screen");
    for stop in beside {
        let port = stop.show().and_then(|show| rig.port(&show.port));
        assert!(port.is_some_and(Port::is_eyepiece), "{stop:?}");
    }
}

#[test]
fn a_drafted_stop_is_too_short_only_where_everybody_finds_no_room() {
    let invented = Invented::new(7);
    let too_short = |visitors: u32| {
        let mut evening = march_evening();
        evening.house.visitors = visitors;
        let evening = drafted(&evening, &invented);
        let prepared = invented.prepare(&evening);
        let findings = check(&evening, &prepared, &invented.materials());
        let told = findings.iter().filter(|found| matches!(found.rule, Rule::TooShort { .. })).count();
        (told, shows(&evening).len())
    };
    for visitors in [10, 40, 80] {
        assert_eq!(too_short(visitors).0, 0, "{visitors} visitors");
    }
    assert!(too_short(400).1 > 1, "a crowd beyond any room still has an evening");
}

#[test]
fn the_same_input_gives_the_same_order() {
    let invented = Invented::new(7);
    assert_eq!(drafted(&march_evening(), &invented).order, drafted(&march_evening(), &invented).order);
}

#[test]
fn no_random_evening_has_a_stopper() {
    let mut seed = Seed(20_270_313);
    let mut stops = 0;
    for round in 0..24 {
        let mut invented = Invented::new(round);
        invented.set_latitude(Angle::from_degrees([55.1, 28.0, -43.5, 66.0][round as usize % 4]));
        let evening = drafted(&any_evening(&mut seed), &invented);
        let found = stoppers(&evening, &invented);
        assert_eq!(found, [], "round {round}, {} {:?}", evening.date, evening.programme);
        let prepared = invented.prepare(&evening);
        for timing in timings(&evening.order, &prepared, &invented.materials()) {
            let stop = evening.order.get(timing.stop).expect("a stop of the order");
            assert!(stop.show().is_none() || timing.free_minutes >= 0.0, "round {round}");
        }
        stops += shows(&evening).len();
    }
    assert!(stops > 80, "only {stops} stops in all");
}

#[test]
fn a_random_redraft_keeps_what_is_held_and_adds_no_stopper() {
    let mut seed = Seed(1);
    for round in 0..12 {
        let invented = Invented::new(round);
        let mut evening = drafted(&any_evening(&mut seed), &invented);
        let ids: Vec<StopId> = shows(&evening).iter().map(|stop| stop.id).collect();
        for id in ids {
            let held = Held { time: seed.share() < 0.4, port: seed.share() < 0.3 };
            evening = edit::hold(&evening, id, held);
        }
        evening.house.visitors = evening.house.visitors / 2 + 1;
        let again = drafted(&evening, &invented);
        for stop in shows(&evening) {
            let kept = again.order.get(stop.id);
            if stop.held.time {
                assert_eq!(kept.map(|kept| (kept.interval, &kept.what)), Some((stop.interval, &stop.what)));
            } else if stop.held.port {
                let port = kept.and_then(Stop::show).map(|show| &show.port);
                assert_eq!(port, stop.show().map(|show| &show.port));
            }
        }
        assert_eq!(stoppers(&again, &invented), [], "round {round}");
        let mut ids: Vec<StopId> = again.order.stops().iter().map(|stop| stop.id).collect();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), again.order.stops().len(), "identities are distinct");
    }
}

#[test]
fn held_stops_and_wishes_are_kept() {
    let invented = Invented::new(3);
    let mut evening = drafted(&march_evening(), &invented);
    let held = shows(&evening)[2].clone();
    let port_held = shows(&evening)[3].clone();
    let left_out = shows(&evening)[0].show().expect("a show").target.clone();
    evening = edit::hold(&evening, held.id, Held { time: true, port: true });
    evening = edit::hold(&evening, port_held.id, Held { time: false, port: true });
    evening.wishes.leave_out.push(left_out.clone());
    let prepared = invented.prepare(&evening);
    let unshown = invented.materials().catalogue.targets.iter().enumerate().find(|(index, target)| {
        prepared.availability[*index].showable.minutes() > 60.0
            && prepared.availability[*index].best.is_some_and(|best| best.1.value() > 0.2)
            && !shows(&evening).iter().any(|stop| stop.show().is_some_and(|show| show.target == target.id))
    });
    let wanted = unshown.expect("something is not shown").1.id.clone();
    evening.wishes.must_show.push(wanted.clone());
    let again = drafted(&evening, &invented);
    let kept = again.order.get(held.id).expect("the held stop stays");
    assert_eq!((kept.interval, &kept.what), (held.interval, &held.what));
    let moved = again.order.get(port_held.id).and_then(Stop::show).expect("the stop held in its port stays");
    assert_eq!(moved.port, port_held.show().expect("a show").port);
    let shown = |target: &TargetId| {
        shows(&again).iter().any(|stop| stop.show().is_some_and(|show| &show.target == target))
    };
    assert!(shown(&wanted) && !shown(&left_out));
    assert_eq!(stoppers(&again, &invented), []);
}

#[test]
fn a_port_out_of_service_is_not_used() {
    let invented = Invented::new(5);
    let mut evening = march_evening();
    evening.wishes.ports_out_of_service.push(PortId("eyepiece".to_owned()));
    let evening = drafted(&evening, &invented);
    assert!(!shows(&evening).is_empty());
    assert!(shows(&evening).iter().all(|stop| stop.show().is_some_and(|show| show.port.0 != "eyepiece")));
    assert_eq!(stoppers(&evening, &invented), []);
}

#[test]
fn daylight_leaves_only_the_programme() {
    let invented = Invented::new(5);
    let mut evening = march_evening();
    evening.date = NaiveDate::from_ymd_opt(2027, 6, 21).expect("a date");
    evening.programme.doors_open = NaiveTime::from_hms_opt(18, 0, 0).expect("a time");
    evening.programme.doors_close = NaiveTime::from_hms_opt(20, 30, 0).expect("a time");
    evening.programme.fixed.truncate(1);
    let evening = drafted(&evening, &invented);
    assert_eq!(evening.order.stops().len(), 1);
    assert!(evening.order.get(StopId(1)).is_some_and(|stop| stop.show().is_none()));
}

#[test]
fn entries_of_one_title_stay_apart_and_a_held_one_is_not_doubled() {
    let invented = Invented::new(5);
    let mut evening = march_evening();
    let mut second = evening.programme.fixed[1].clone();
    second.start = NaiveTime::from_hms_opt(21, 45, 0).expect("a time");
    evening.programme.fixed.push(second);
    let evening = drafted(&evening, &invented);
    let entries = |evening: &Evening| -> Vec<Stop> {
        evening.order.stops().iter().filter(|stop| stop.show().is_none()).cloned().collect()
    };
    let first = entries(&evening);
    assert_eq!(first.len(), 3);
    let moved = edit::move_stop(&evening, first[2].id, first[2].start().plus_minutes(10.0));
    let held = edit::hold(&moved, first[2].id, Held { time: true, port: false });
    let again = entries(&drafted(&held, &invented));
    assert_eq!(
        again.iter().map(|stop| stop.id).collect::<Vec<_>>(),
        first.iter().map(|stop| stop.id).collect::<Vec<_>>()
    );
    assert_eq!(again[2].start(), first[2].start().plus_minutes(10.0));
    assert_eq!(again[1], first[1]);
}
