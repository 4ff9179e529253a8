//! What holds cost and what would change.

use chrono::{Duration, NaiveDate, NaiveTime};

use super::case::{Case, close};
use crate::catalogue::TargetId;
use crate::plan::explain::{Change, Comparing, Explained, NotShownWhy, explain};
use crate::plan::invented::{Invented, march_evening};
use crate::plan::{Evening, Held, OrderDifference, RunningOrder, Severity, StopId, check, edit};
use crate::rig::PortId;
use crate::time::Instant;

#[test]
fn what_is_held_costs_what_the_order_without_the_hold_gains() {
    let mut costly = 0;
    for round in 0..6 {
        let mut case = Case::of(round);
        // What others beat, held in the place of one of them.
        let beaten = case.explained().not_shown.into_iter().find_map(|one| match one.why {
            NotShownWhy::Beaten { way, .. } => Some((one.target, way)),
            _ => None,
        });
        let Some((id, way)) = beaten else { continue };
        let target = case.materials().target_index(&id).expect("known");
        let with = case.replaced(way.replaces, (target, &way.port), way.interval);
        let stop = with.order.stops().iter().find(|stop| stop.show().is_some_and(|show| show.target == id));
        let held = Held { time: true, port: false };
        case.evening = edit::hold(&with, stop.expect("it came in").id, held);
        for price in &case.explained().held {
            assert!(case.stop(price.stop).held.time && price.free >= price.held);
            difference_is_from_the_board(&case, &price.difference, &price.order);
            assert!(close(price.cost_share, (price.free - price.held) as f64 / price.held.max(1) as f64));
            if price.free > price.held {
                assert_eq!(case.stoppers(&Evening { order: price.order.clone(), ..case.evening.clone() }), 0);
                case.measure(|worth| assert_eq!(worth(&price.order), price.free));
                costly += 1;
            }
        }
    }
    assert!(costly > 0, "no hold cost anything");
}

#[test]
fn what_would_change_is_an_order_that_could_be_made() {
    for round in 0..6 {
        let case = Case::of(round);
        let explained = case.explained();
        assert!(explained.what_ifs.len() >= 2);
        for what_if in &explained.what_ifs {
            case.measure(|worth| assert_eq!(what_if.before, worth(&case.evening.order)));
            let best = what_if.before.max(what_if.redraft).max(1) as f64;
            assert!(close(what_if.gain_share, (what_if.after - what_if.before) as f64 / best));
            assert!(close(what_if.redraft_share, (what_if.redraft - what_if.before) as f64 / best));
            let stopped = case.stoppers(&case.evening) > 0;
            assert!(what_if.redraft >= what_if.before || stopped, "round {round}: {what_if:?}");
            difference_is_from_the_board(&case, &what_if.difference, &what_if.order);
            let (mut evening, mut prepared) = (case.evening.clone(), case.prepared.clone());
            match &what_if.change {
                Change::WithoutPort(port) => {
                    assert!(what_if.after <= what_if.redraft);
                    evening.wishes.ports_out_of_service.push(port.clone());
                }
                Change::PortBack(port) => {
                    evening.wishes.ports_out_of_service.retain(|own| own != port);
                    prepared = case.invented.prepare(&evening);
                }
                Change::DoorsLonger(minutes) => {
                    let close = &mut evening.programme.doors_close;
                    *close += Duration::minutes(i64::from(*minutes));
                    prepared = case.invented.prepare(&evening);
                }
                Change::MoreVisitors(more) => evening.house.visitors += more,
            }
            evening.order = what_if.order.clone();
            let findings = check(&evening, &prepared, &case.materials());
            let stopped = findings.iter().find(|found| found.severity == Severity::Stopper);
            assert_eq!(stopped, None, "round {round}: {:?}", what_if.change);
        }
    }
}

/// What comes, goes and moves is so between the order as it stands and another.
fn difference_is_from_the_board(case: &Case, difference: &OrderDifference, order: &RunningOrder) {
    let stops = |order: &RunningOrder| order.stops().to_vec();
    let places = |order: &RunningOrder, id: &TargetId| -> Vec<(PortId, Instant)> {
        let shows = stops(order).into_iter().filter_map(|stop| Some((stop.show()?.clone(), stop.start())));
        shows.filter(|(show, _)| &show.target == id).map(|(show, at)| (show.port, at)).collect()
    };
    for target in &case.materials().catalogue.targets {
        let (own, other) = (places(&case.evening.order, &target.id), places(order, &target.id));
        assert_eq!(difference.came.contains(&target.id), own.is_empty() && !other.is_empty());
        assert_eq!(difference.went.contains(&target.id), !own.is_empty() && other.is_empty());
        assert_eq!(
            difference.moved.contains(&target.id),
            !own.is_empty() && !other.is_empty() && own != other
        );
    }
}

#[test]
fn what_is_compared_comes_one_by_one_as_all_at_once() {
    let case = Case::of(2);
    let explained = case.explained();
    let materials = case.materials();
    let mut one_by_one = Explained::default();
    let comparing = Comparing::new(&case.evening, &case.prepared, &materials, None);
    let mut steps = 0;
    for compared in comparing {
        one_by_one.take(compared);
        steps += 1;
    }
    assert_eq!(steps, explained.held.len() + explained.what_ifs.len());
    assert!(explained.held == one_by_one.held && explained.what_ifs == one_by_one.what_ifs);
    assert!(!explained.held.is_empty());
}

#[test]
fn an_order_made_worse_by_hand_is_told_what_a_new_draft_would_do() {
    let shows = |case: &Case| -> Vec<StopId> {
        let stops = case.evening.order.stops().iter();
        stops.filter(|stop| stop.show().is_some()).map(|stop| stop.id).collect()
    };
    let mut case = (0..6).map(Case::of).find(|case| shows(case).len() > 4).expect("a full evening");
    for stop in &shows(&case)[1..] {
        case.evening = edit::remove(&case.evening, *stop);
    }
    for what_if in case.explained().what_ifs {
        assert!(what_if.redraft > what_if.before && what_if.redraft_share > 0.0, "{what_if:?}");
        assert!(!what_if.difference.came.is_empty(), "{what_if:?}");
    }
}

#[test]
fn a_night_without_anything_is_explained_too() {
    let invented = Invented::new(5);
    let mut evening = march_evening();
    evening.date = NaiveDate::from_ymd_opt(2027, 6, 21).expect("a date");
    evening.programme.doors_open = NaiveTime::from_hms_opt(18, 0, 0).expect("a time");
    evening.programme.doors_close = NaiveTime::from_hms_opt(20, 30, 0).expect("a time");
    evening.programme.fixed.truncate(1);
    let prepared = invented.prepare(&evening);
    let explained = explain(&evening, &prepared, &invented.materials(), None);
    assert!(explained.stops.is_empty() && explained.worth == 0);
    assert_eq!(explained.not_shown.len(), invented.materials().catalogue.targets.len());
    assert!(explained.what_ifs.iter().all(|what_if| what_if.gain_share >= 0.0));
}
