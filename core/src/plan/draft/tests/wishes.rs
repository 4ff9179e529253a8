//! Wishes that contradict each other: as few as can be are given up, and each is told with what it stands against.

use crate::catalogue::TargetId;
use crate::plan::invented::{Invented, Seed, march_evening};
use crate::plan::{
    Drafting, Evening, GivenUp, GivenUpWhy, Held, Materials, Prepared, RunningOrder, Severity, Show, Stop,
    StopId, What, Wish, check,
};
use crate::rig::PortId;
use crate::time::Interval;

fn given_up(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> Vec<GivenUp> {
    let mut drafting = Drafting::new(evening, prepared, materials, None);
    drafting.advance(5_000);
    drafting.drafted().given_up
}

/// Stops held in their time that the sky allows one by one, at random.
fn held_stops(prepared: &Prepared, invented: &Invented, seed: &mut Seed, count: u32) -> Vec<Stop> {
    let materials = invented.materials();
    let mut stops: Vec<Stop> = Vec::new();
    while stops.len() < count as usize {
        let target = seed.below(prepared.availability.len());
        let start = prepared.doors.start().plus_minutes(seed.between(16.0, 160.0).floor());
        let interval = Interval::new(start, start.plus_minutes(20.0)).expect("in order");
        let known = stops.iter().any(|stop| {
            stop.show().is_some_and(|show| show.target == materials.catalogue.targets[target].id)
        });
        if known || !prepared.availability[target].showable.covers(interval) {
            continue;
        }
        let show = Show {
            target: materials.catalogue.targets[target].id.clone(),
            port: PortId("wide".to_owned()),
            eyepiece: None,
            understudy: None,
        };
        let id = StopId(stops.len() as u32 + 10);
        let held = Held { time: true, port: true };
        let stop = Stop { id, what: What::Show(show), interval, held };
        let alone = with_order(&march_evening(), vec![stop.clone()]);
        if is_clear(&alone, prepared, &materials) {
            stops.push(stop);
        }
    }
    stops
}

fn with_order(evening: &Evening, stops: Vec<Stop>) -> Evening {
    Evening { order: RunningOrder::new(stops), ..evening.clone() }
}

fn is_clear(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> bool {
    check(evening, prepared, materials).iter().all(|finding| finding.severity != Severity::Stopper)
}

#[test]
fn no_more_held_stops_are_given_up_than_must_be() {
    let mut seed = Seed(5);
    let mut some = 0;
    for round in 0..60 {
        let invented = Invented::new(round);
        let mut evening = march_evening();
        evening.programme.fixed.clear();
        let prepared = invented.prepare(&evening);
        let materials = invented.materials();
        let stops = held_stops(&prepared, &invented, &mut seed, 7);
        // Every choice among them, judged by the check.
        let most = (0_u32..128)
            .filter(|chosen| {
                let kept = stops.iter().enumerate().filter(|(n, _)| chosen & (1 << n) > 0);
                is_clear(
                    &with_order(&evening, kept.map(|(_, stop)| stop.clone()).collect()),
                    &prepared,
                    &materials,
                )
            })
            .map(u32::count_ones)
            .max();
        let evening = with_order(&evening, stops);
        let given_up = given_up(&evening, &prepared, &materials);
        assert_eq!(most, Some(7 - given_up.len() as u32), "round {round}: {given_up:?}");
        for GivenUp { wish, why } in &given_up {
            let GivenUpWhy::Against(others) = why else { panic!("round {round}: {why:?}") };
            for other in others {
                let pair = [wish, other].map(|wish| wish.stop().expect("all are stops").clone());
                assert!(
                    !is_clear(&with_order(&evening, pair.to_vec()), &prepared, &materials),
                    "round {round}"
                );
            }
            some += 1;
        }
    }
    assert!(some > 60, "only {some} contradictions");
}

#[test]
fn what_a_wish_stands_against_holds_nothing_too_much() {
    let invented = Invented::new(3);
    let mut evening = march_evening();
    evening.programme.fixed.clear();
    evening.programme.doors_close = chrono::NaiveTime::from_hms_opt(20, 30, 0).expect("a time");
    evening.house.visitors = 60;
    evening.wishes.ports_out_of_service =
        ["wide", "planetary", "spectrograph"].map(|port| PortId(port.to_owned())).to_vec();
    let prepared = invented.prepare(&evening);
    let materials = invented.materials();
    let showable = |target: &usize| prepared.availability[*target].showable.minutes() > 70.0;
    let targets = (0..materials.catalogue.targets.len()).filter(showable).take(6);
    let wished: Vec<TargetId> =
        targets.map(|target| materials.catalogue.targets[target].id.clone()).collect();
    let lost = |wishes: Vec<TargetId>| {
        let mut evening = evening.clone();
        evening.wishes.must_show = wishes;
        given_up(&evening, &prepared, &materials)
    };
    let all = lost(wished);
    assert!(!all.is_empty(), "six targets find no room in ninety minutes at the eyepiece");
    for GivenUp { wish, why } in &all {
        let GivenUpWhy::Against(others) = why else { panic!("{why:?}") };
        let names = |without: Option<usize>| -> Vec<TargetId> {
            let others = others.iter().enumerate().filter(|(n, _)| Some(*n) != without);
            others.map(|(_, wish)| wish).chain([wish]).filter_map(Wish::target).cloned().collect()
        };
        assert!(!lost(names(None)).is_empty(), "{wish:?} can be met with {others:?}");
        for (position, other) in others.iter().enumerate() {
            assert_eq!(lost(names(Some(position))), [], "{other:?} need not be named");
        }
    }
}

#[test]
fn everything_held_at_one_minute_leaves_one() {
    let invented = Invented::new(4);
    let evening = march_evening();
    let prepared = invented.prepare(&evening);
    let materials = invented.materials();
    let at = prepared.doors.start().plus_minutes(130.0);
    let interval = Interval::new(at, at.plus_minutes(10.0)).expect("in order");
    let stops = materials.catalogue.targets.iter().zip(10..).map(|(target, id)| {
        let show = Show {
            target: target.id.clone(),
            port: PortId("wide".to_owned()),
            eyepiece: None,
            understudy: None,
        };
        Stop { id: StopId(id), what: What::Show(show), interval, held: Held { time: true, port: true } }
    });
    let evening = with_order(&evening, stops.collect());
    let count = evening.order.stops().len();
    let mut drafting = Drafting::new(&evening, &prepared, &materials, None);
    drafting.advance(0);
    let drafted = drafting.drafted();
    assert_eq!(drafted.given_up.len(), count - 1);
    let after = Evening { order: drafted.order, ..evening };
    assert!(is_clear(&after, &prepared, &materials));
}
