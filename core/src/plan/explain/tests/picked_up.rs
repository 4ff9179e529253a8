//! An evening that has begun and is picked up again: what is done stays, and nothing is offered in the past.

use super::case::Case;
use crate::plan::check::POOR_VIEW;
use crate::plan::explain::{
    Explained, NotShownWhy, RequestWhen, WayIn, WhyNow, explain, when_could_be_shown,
};
use crate::plan::{Drafting, Held, PickUp, RunningOrder, Stop, edit};
use crate::time::{Instant, Interval};

/// A case whose rest is drafted anew from the middle of the evening, with a stop held in what is done and one in what is not.
fn picked_up(round: u64) -> (Case, PickUp) {
    let mut case = Case::of(round);
    let at = case.prepared.doors.start().plus_minutes((case.prepared.doors.minutes() / 2.0).floor());
    let pick_up = PickUp::on_time(&case.evening, at);
    let materials = case.materials();
    let mut drafting = Drafting::new(&case.evening, &case.prepared, &materials, Some(&pick_up));
    drafting.advance(20_000);
    let order = drafting.drafted().order;
    case.evening.order = order;
    let (done, open): (Vec<Stop>, Vec<Stop>) =
        case.evening.order.stops().iter().cloned().partition(|stop| pick_up.done.contains(&stop.id));
    for stops in [done, open] {
        if let Some(shows) = stops.iter().find(|stop| stop.show().is_some()) {
            case.evening = edit::hold(&case.evening, shows.id, Held { time: true, port: true });
        }
    }
    (case, pick_up)
}

fn ways(explained: &Explained) -> impl Iterator<Item = &WayIn> {
    explained.not_shown.iter().filter_map(|one| match &one.why {
        NotShownWhy::Beaten { way, .. } | NotShownWhy::Welcome { way } | NotShownWhy::TooAlike { way } => {
            Some(way)
        }
        _ => None,
    })
}

#[test]
fn nothing_is_offered_before_an_evening_is_picked_up() {
    let (mut offered, mut gone, mut compared) = (0, 0, 0);
    for round in 0..8 {
        let (case, pick_up) = picked_up(round);
        let explained = explain(&case.evening, &case.prepared, &case.materials(), Some(&pick_up));
        for way in ways(&explained) {
            assert!(way.interval.start() >= pick_up.at, "round {round}: {way:?}");
            assert!(way.replaces.is_none_or(|stop| !pick_up.done.contains(&stop)), "round {round}: {way:?}");
            offered += 1;
        }
        for reason in &explained.stops {
            assert!(!pick_up.done.contains(&reason.stop));
            for now in &reason.now {
                assert!(!matches!(now, WhyNow::BestTaken { at, .. } if *at < pick_up.at), "{now:?}");
            }
        }
        for not_shown in &explained.not_shown {
            assert!(not_shown.best.as_ref().is_none_or(|best| best.from >= pick_up.at), "{not_shown:?}");
            if let NotShownWhy::Gone { last } = not_shown.why {
                let target = case.materials().target_index(&not_shown.target).expect("known");
                assert!(last < pick_up.at && !shows_later(&case, target, pick_up.at));
                gone += 1;
            }
        }
        let orders = explained.what_ifs.iter().map(|what_if| &what_if.order);
        for order in orders.chain(explained.held.iter().map(|price| &price.order)) {
            what_is_done_stays(&case, &pick_up, order);
            compared += 1;
        }
        assert!(explained.held.iter().all(|price| !pick_up.done.contains(&price.stop)));
    }
    assert!(offered > 100 && gone > 10 && compared > 20, "{offered} {gone} {compared}");
}

fn what_is_done_stays(case: &Case, pick_up: &PickUp, order: &RunningOrder) {
    for done in &pick_up.done {
        assert_eq!(order.get(*done), case.evening.order.get(*done));
    }
    for stop in order.stops().iter().filter(|stop| !pick_up.done.contains(&stop.id)) {
        assert!(stop.start() >= pick_up.at, "{stop:?}");
    }
}

fn shows_later(case: &Case, target: usize, from: Instant) -> bool {
    let minutes = case.prepared.doors.end().minutes_since(from) as u32;
    let moments = (0..=minutes).filter_map(|minute| {
        let at = from.plus_minutes(f64::from(minute));
        Interval::new(at, at)
    });
    let ports = 0..case.materials().rig.ports.len();
    moments
        .filter(|at| case.prepared.availability[target].allowed.covers(*at))
        .any(|at| ports.clone().any(|port| case.worst(target, port, at) >= POOR_VIEW))
}

#[test]
fn a_request_is_given_no_place_before_an_evening_is_picked_up() {
    let mut places = 0;
    for round in 0..4 {
        let (case, pick_up) = picked_up(round);
        for own in &case.materials().catalogue.targets {
            let (materials, now) = (case.materials(), case.prepared.doors.start());
            let ask =
                when_could_be_shown(&case.evening, &case.prepared, &materials, Some(&pick_up), &own.id, now);
            let answer = ask.expect("it is in the catalogue");
            assert!(answer.way.is_none() || !matches!(answer.when, RequestWhen::InOrder { .. }));
            if let Some(way) = answer.way {
                assert!(way.interval.start() >= pick_up.at, "{way:?}");
                places += 1;
            }
        }
    }
    assert!(places > 20, "{places}");
}
