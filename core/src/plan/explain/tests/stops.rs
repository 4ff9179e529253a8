//! Why stops are as they are.

use super::case::{Case, close};
use crate::plan::explain::{StopReason, WhyNow};
use crate::plan::{Drafting, Evening, Limit, OrderRule, RunningOrder, Stop, What, edit, merit};
use crate::time::{Instant, Interval};
use crate::units::Angle;

#[test]
fn every_stop_adds_what_it_is_said_to_and_nothing_better_could_stand_there() {
    let (mut rivals, mut none) = (0, 0);
    for round in 0..5 {
        let case = Case::of(round);
        let explained = case.explained();
        let before = case.stoppers(&case.evening);
        case.measure(|worth| {
            assert_eq!(explained.worth, worth(&case.evening.order));
            for reason in &explained.stops {
                let stop = case.stop(reason.stop);
                let without = worth(&case.without(stop.id));
                assert_eq!(reason.adds, explained.worth - without);
                assert!(close(reason.adds_share, reason.adds as f64 / explained.worth.max(1) as f64));
                let adds = reason.rival.as_ref().map_or(i64::MIN, |rival| {
                    let target = case.materials().target_index(&rival.target).expect("known");
                    let there = case.replaced(Some(stop.id), (target, &rival.port), stop.interval);
                    assert_eq!(rival.adds, worth(&there.order) - without);
                    assert!(case.stoppers(&there) <= before, "round {round}: {rival:?}");
                    let more = reason.adds as f64 / rival.adds as f64 - 1.0;
                    assert!(rival.adds <= 0 || close(rival.beaten_by, more));
                    rivals += 1;
                    rival.adds
                });
                none += usize::from(reason.rival.is_none());
                for target in (0..case.materials().catalogue.targets.len()).filter(|own| !case.shown(*own)) {
                    for port in &case.materials().rig.ports {
                        let held = stop.held.port && stop.show().is_some_and(|show| show.port != port.id);
                        let served =
                            |target, port| (stop.interval.minutes() / case.needed(target, port)).min(1.0);
                        let own = case.materials().rig.port(&stop.show().expect("it shows").port);
                        let fewer =
                            served(target, port) < 0.7 * served(case.index(stop), own.expect("a port"));
                        if held || fewer || !case.may_be_shown(target, &port.id, stop.interval) {
                            continue;
                        }
                        let there = case.replaced(Some(stop.id), (target, &port.id), stop.interval);
                        let more = worth(&there.order) - without > adds;
                        assert!(
                            !more || case.stoppers(&there) > before,
                            "round {round}: {target} {}",
                            port.id
                        );
                    }
                }
            }
        });
    }
    assert!(rivals > 15, "{rivals} rivals, {none} stops without");
}

#[test]
fn what_speaks_for_a_time_is_so() {
    let mut found: Vec<&str> = Vec::new();
    for round in 0..12 {
        let case = Case::of(round);
        for reason in &case.explained().stops {
            let stop = case.stop(reason.stop);
            for now in &reason.now {
                found.push(verified(&case, reason, stop, now));
            }
        }
    }
    for kind in ["held", "only", "goes", "best", "taken", "rule"] {
        assert!(found.contains(&kind), "{kind} among {} statements", found.len());
    }
}

fn verified(case: &Case, reason: &StopReason, stop: &Stop, now: &WhyNow) -> &'static str {
    let target = case.index(stop);
    let port = stop.show().expect("it shows").port.clone();
    let doors = case.prepared.doors;
    let minutes = (0..=doors.minutes() as usize).map(|minute| doors.start().plus_minutes(minute as f64));
    let at = |instant: Instant| Interval::new(instant, instant).expect("a moment");
    let whole =
        |start: Instant| Interval::new(start, start.plus_seconds(stop.interval.seconds())).expect("in order");
    let allowed = &case.prepared.availability[target].allowed;
    match now {
        WhyNow::Held => {
            assert!(stop.held.time);
            "held"
        }
        WhyNow::OnlyTime { window } => {
            let shows = |instant: Instant| {
                let mut ports = case.materials().rig.ports.iter();
                ports.any(|port| case.may_be_shown(target, &port.id, at(instant)))
            };
            let outside = minutes.filter(|instant| *instant < window.start() || *instant > window.end());
            assert_eq!(outside.filter(|instant| shows(*instant)).count(), 0, "{reason:?}");
            assert!(window.covers(stop.interval) && window.minutes() <= stop.interval.minutes() + 15.0);
            "only"
        }
        WhyNow::BeforeItGoes { last, limit } => {
            assert!(*last >= stop.end() && last.minutes_since(stop.end()) <= 60.0);
            let later = minutes.filter(|instant| *instant > *last);
            assert_eq!(later.filter(|instant| allowed.covers(at(*instant))).count(), 0);
            let sample = case.prepared.sample(target, last.plus_minutes(1.0)).expect("a sample");
            let place = case.materials().site.horizon.altitude(sample.azimuth);
            match limit {
                Limit::Horizon => assert!(sample.altitude < place),
                Limit::MountLow => assert!(sample.altitude < case.materials().rig.mount.lowest_altitude),
                _ => {}
            }
            "goes"
        }
        WhyNow::NearBest => {
            let own = case.worst(target, case.port(&port), stop.interval);
            let starts = minutes.map(whole).filter(|interval| allowed.covers(*interval));
            let most =
                starts.map(|interval| case.worst(target, case.port(&port), interval)).fold(0.0, f64::max);
            assert!(own >= 0.95 * most, "{own} against {most}");
            "best"
        }
        WhyNow::BestTaken { at, by, more } => {
            assert!(case.stop(*by).interval.overlaps(whole(*at)) && by != &stop.id);
            // By itself a stop has no neighbours and no other of its kind.
            case.measure(|worth| {
                let alone = |start: Instant| {
                    worth(&RunningOrder::new(vec![Stop { interval: whole(start), ..stop.clone() }]))
                };
                let (here, there) = (alone(stop.start()), alone(*at));
                assert!(close(*more, there as f64 / here as f64 - 1.0) && *more >= 0.05);
                for start in minutes {
                    assert!(alone(start) <= there || !allowed.covers(whole(start)));
                }
            });
            "taken"
        }
        WhyNow::Rule(rule) => {
            rule_speaks(case, stop, *rule);
            "rule"
        }
    }
}

/// Switched off, the rule no longer makes the stop worth more; or its neighbours are as it says.
fn rule_speaks(case: &Case, stop: &Stop, rule: OrderRule) {
    assert!(case.evening.rules.get(rule) > 0);
    let shows: Vec<&Stop> = case.evening.order.stops().iter().filter(|stop| stop.show().is_some()).collect();
    let position = shows.iter().position(|own| own.id == stop.id).expect("it is among them");
    let before = position.checked_sub(1).map(|before| shows[before]);
    let eyepiece = |stop: &Stop| {
        let port = stop.show().and_then(|show| case.materials().rig.port(&show.port));
        port.expect("a port").is_eyepiece()
    };
    let faint = |stop: &Stop| {
        let kind = case.materials().catalogue.targets[case.index(stop)].kind;
        ["Nebula", "SupernovaRemnant", "Galaxy", "DarkNebula"].contains(&format!("{kind:?}").as_str())
    };
    match rule {
        OrderRule::InTurn => assert!(before.is_some_and(|before| eyepiece(before) != eyepiece(stop))),
        OrderRule::FaintApart => {
            let after = shows.get(position + 1);
            assert!(faint(stop) && !before.is_some_and(faint) && !after.is_some_and(|after| faint(after)));
            assert!(shows.iter().filter(|own| faint(own)).count() > 1);
        }
        OrderRule::SetsFirst => {
            let last = |stop: &Stop| {
                let runs = case.prepared.availability[case.index(stop)].showable.as_slice().to_vec();
                runs.last().map(|run| run.end())
            };
            assert!(position + 1 < shows.len());
            assert!(shows[position + 1..].iter().all(|later| last(later) > last(stop)));
        }
        _ => {
            let mut without = case.evening.clone();
            without.rules.set(rule, 0);
            let alone = RunningOrder::new(vec![stop.clone()]);
            let materials = case.materials();
            let of =
                |evening: &Evening| Drafting::new(evening, &case.prepared, &materials, None).worth_of(&alone);
            assert!(of(&case.evening) > of(&without), "{rule:?} {stop:?}");
        }
    }
}

#[test]
fn an_understudy_can_really_stand_in_and_costs_what_is_said() {
    let (mut swapped, mut elsewhere) = (0, 0);
    for round in 0..10 {
        let case = Case::of(round);
        let before = case.stoppers(&case.evening);
        let explained = case.explained();
        for reason in &explained.stops {
            let Some(understudy) = &reason.understudy else { continue };
            let stop = case.stop(reason.stop);
            let mut with = case.evening.clone();
            with.order = RunningOrder::new(
                case.evening
                    .order
                    .stops()
                    .iter()
                    .cloned()
                    .map(|mut own| {
                        if let (What::Show(show), true) = (&mut own.what, own.id == stop.id) {
                            show.understudy = Some(understudy.target.clone());
                        }
                        own
                    })
                    .collect(),
            );
            let after = edit::swap_understudy(&with, &case.prepared, &case.materials(), None, stop.id);
            let now = after.order.get(stop.id).and_then(Stop::show).expect("it shows");
            assert_eq!((&now.target, &now.port), (&understudy.target, &understudy.port), "round {round}");
            assert!(case.stoppers(&after) <= before, "round {round}: {understudy:?}");
            let target = case.materials().target_index(&understudy.target).expect("known");
            let views = merit(&case.prepared, &case.materials(), target, stop.interval);
            assert!(views.iter().any(|merit| merit.choice.port == now.port));
            case.measure(|worth| {
                assert_eq!(understudy.change, worth(&after.order) - explained.worth, "round {round}");
            });
            let azimuth = |target| case.prepared.sample(target, stop.start()).expect("a sample").azimuth;
            let apart = (azimuth(target) - azimuth(case.index(stop))).wrapped_signed().abs();
            assert!((apart - understudy.apart).abs() < Angle::from_arcseconds(0.1));
            assert_eq!(understudy.elsewhere, apart >= Angle::from_degrees(60.0));
            swapped += 1;
            elsewhere += usize::from(understudy.elsewhere);
        }
    }
    assert!(swapped > 30 && elsewhere * 2 > swapped, "{swapped} swapped, {elsewhere} elsewhere");
}

#[test]
fn drafted_understudies_are_those_that_the_explanation_names() {
    let case = Case::of(0);
    let mut named = 0;
    for reason in &case.explained().stops {
        let drafted = case.stop(reason.stop).show().and_then(|show| show.understudy.clone());
        assert_eq!(reason.understudy.as_ref().map(|understudy| understudy.target.clone()), drafted);
        named += usize::from(drafted.is_some());
    }
    assert!(named > 2, "{named}");
}
