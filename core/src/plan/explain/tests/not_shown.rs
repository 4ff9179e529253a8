//! Why targets are not shown.

use super::case::{Case, close};
use crate::plan::check::POOR_VIEW;
use crate::plan::explain::{BestHour, Explained, NotShown, NotShownWhy, WayIn, explain_order};
use crate::plan::views::CELL_MINUTES;
use crate::plan::{
    Drafting, EntryKind, Limit, Materials, PickUp, RunningOrder, Stop, What, WhyNot, draft, free_minutes,
    timings,
};
use crate::time::Interval;
use crate::units::{Angle, Fraction};

#[test]
fn why_a_target_is_not_shown_is_so() {
    let mut found: Vec<&str> = Vec::new();
    for round in 0..6 {
        let mut case = Case::of(round);
        let left_out = case.materials().catalogue.targets[30 + round as usize].id.clone();
        if !case.shown(30 + round as usize) {
            case.evening.wishes.leave_out.push(left_out);
        }
        let explained = case.explained();
        let shown = case.evening.order.stops().iter().filter(|stop| stop.show().is_some()).count();
        assert_eq!(explained.not_shown.len() + shown, case.materials().catalogue.targets.len());
        for not_shown in &explained.not_shown {
            let target = case.materials().target_index(&not_shown.target).expect("known");
            assert!(!case.shown(target));
            found.push(reason_holds(&case, &explained, target, &not_shown.why));
            best_hour_is_the_best(&case, target, not_shown.best.as_ref());
        }
    }
    for kind in ["left out", "never up", "too low", "out of service", "poor", "beaten"] {
        assert!(found.contains(&kind), "{kind} among {} reasons", found.len());
    }
}

#[test]
fn what_only_a_screen_shows_names_the_talk_at_the_screen() {
    let mut case = Case::of(0);
    let doors = case.prepared.doors;
    let talk = &mut case.evening.programme.fixed;
    talk.truncate(1);
    talk[0].kind = EntryKind::ScreenTalk;
    talk[0].title = "Over the last picture".to_owned();
    talk[0].start = case.evening.programme.doors_open;
    talk[0].minutes = doors.minutes();
    case.evening.order = draft(&case.evening, &case.prepared, &case.materials());
    let explained = case.explained();
    let named = |one: &&NotShown| {
        let target = case.materials().target_index(&one.target).expect("known");
        reason_holds(&case, &explained, target, &one.why) == "entry"
    };
    assert!(explained.not_shown.iter().filter(named).count() > 5);
}

#[test]
fn the_last_three_minutes_are_too_short_for_any_stop() {
    let mut too_short = 0;
    for round in 0..3 {
        let case = Case::of(round);
        let pick_up = PickUp::on_time(&case.evening, case.prepared.doors.end().plus_minutes(-3.0));
        let materials = case.materials();
        let explained = explain_order(&case.evening, &case.prepared, &materials, Some(&pick_up));
        for not_shown in &explained.not_shown {
            let why = &not_shown.why;
            assert!(!matches!(why, NotShownWhy::Beaten { .. } | NotShownWhy::Welcome { .. }), "{why:?}");
            if let NotShownWhy::TooShort { minutes, .. } = why {
                let target = materials.target_index(&not_shown.target).expect("known");
                assert_eq!(reason_holds(&case, &explained, target, why), "too short");
                assert!(*minutes <= 3.0, "{why:?}");
                too_short += 1;
            }
        }
    }
    assert!(too_short > 5, "{too_short}");
}

#[test]
fn what_has_no_appeal_is_said_to_have_none() {
    let case = Case::of(0);
    let beaten = |explained: &Explained| {
        let why = |one: &&NotShown| matches!(one.why, NotShownWhy::Beaten { .. });
        explained.not_shown.iter().find(why).map(|one| one.target.clone())
    };
    let id = beaten(&case.explained()).expect("something is beaten");
    let index = case.materials().target_index(&id).expect("known");
    let mut catalogue = case.materials().catalogue.clone();
    catalogue.targets[index].appeal = Fraction::ZERO;
    let materials = Materials { catalogue: &catalogue, ..case.materials() };
    let explained = explain_order(&case.evening, &case.prepared, &materials, None);
    let own = explained.not_shown.iter().find(|one| one.target == id);
    assert_eq!(own.map(|own| &own.why), Some(&NotShownWhy::NoAppeal));
}

fn reason_holds(case: &Case, explained: &Explained, target: usize, why: &NotShownWhy) -> &'static str {
    let doors = case.prepared.doors;
    let own = &case.prepared.availability[target];
    let track = case.prepared.moments.iter().zip(case.prepared.all_samples(target).into_owned());
    let within = track.filter(|(moment, _)| (doors.start()..=doors.end()).contains(&moment.instant));
    let ports = &case.materials().rig.ports;
    match why {
        NotShownWhy::LeftOut => {
            let id = &case.materials().catalogue.targets[target].id;
            assert!(case.evening.wishes.leave_out.contains(id));
            "left out"
        }
        NotShownWhy::NeverUp { highest, .. } => {
            let most = within.map(|(_, sample)| sample.altitude).fold(Angle::from_degrees(-90.0), Angle::max);
            assert!(most == *highest && most < Angle::ZERO);
            "never up"
        }
        NotShownWhy::TooLow { highest, needed, at, else_limit } => {
            assert!(own.allowed.is_empty() && highest < needed);
            let site = &case.materials().site.horizon;
            let mount = case.materials().rig.mount.lowest_altitude;
            let lowest = |azimuth| site.altitude(azimuth).max(mount);
            let low = within.filter(|(_, sample)| sample.altitude < lowest(sample.azimuth));
            let most = low.map(|(_, sample)| sample.altitude).fold(Angle::from_degrees(-90.0), Angle::max);
            assert!(most == *highest && *at >= doors.start() && *at <= doors.end());
            assert_eq!(else_limit.is_some(), own.limits.iter().any(|limit| *limit > Limit::MountLow));
            "too low"
        }
        NotShownWhy::Limit(limit) => {
            assert!(own.allowed.is_empty() && own.limits.first() == Some(limit));
            "limit"
        }
        NotShownWhy::OutOfService { port, view, at } => {
            assert!(case.evening.wishes.ports_out_of_service.contains(port));
            let mut all = case.evening.clone();
            all.wishes.ports_out_of_service.clear();
            let prepared = case.invented.prepare(&all);
            let seen = prepared.view_at(&case.materials(), target, port, *at);
            assert!(close(seen, view.value()) && seen >= POOR_VIEW);
            "out of service"
        }
        NotShownWhy::PoorView { why, .. } => {
            assert!(!matches!(why, Some(WhyNot::View { view, .. }) if view.value() >= POOR_VIEW), "{why:?}");
            assert!(!matches!(why, Some(WhyNot::Limit { .. })), "{why:?}");
            for moment in 0..case.prepared.moments.len() {
                let most =
                    (0..ports.len()).map(|port| case.prepared.views.get(target, moment / CELL_MINUTES, port));
                assert!(most.fold(0.0, f64::max) < POOR_VIEW);
            }
            "poor"
        }
        NotShownWhy::TooShort { port, minutes, needed_minutes } => {
            // A stop for all, of four minutes at least; at an eyepiece four tenths of that where no room is long enough.
            let port = &ports[case.port(port)];
            let full = case.needed(target, port).max(4.0);
            let least = (0.4 * full).max(4.0).ceil();
            let short = port.is_eyepiece() && close(least, *needed_minutes);
            assert!(close(full.ceil(), *needed_minutes) || short, "{minutes} {needed_minutes}");
            assert!(minutes < needed_minutes, "{minutes} {needed_minutes}");
            "too short"
        }
        NotShownWhy::EntryInTheWay { entry, interval, port } => {
            let titled = |stop: &&Stop| matches!(&stop.what, What::Entry { title, .. } if title == entry);
            let stops = case.evening.order.stops();
            assert!(stops.iter().filter(titled).any(|stop| stop.interval == *interval));
            let at = (0..=interval.minutes() as u32)
                .map(|minute| interval.start().plus_minutes(f64::from(minute)));
            let mut moments = at.filter_map(|at| Interval::new(at, at));
            assert!(moments.any(|at| case.may_be_shown(target, port, at)));
            "entry"
        }
        NotShownWhy::Gone { .. } => panic!("nothing is gone before the evening begins"),
        NotShownWhy::NoAppeal => {
            assert!(case.materials().catalogue.targets[target].appeal.value() < 0.001);
            "no appeal"
        }
        NotShownWhy::TooAlike { way } => {
            assert!(way.change < 0 && way.replaces.is_none());
            way_holds(case, explained, target, way);
            "too alike"
        }
        NotShownWhy::Beaten { by, more, way } => {
            assert!(way.change < 0 && way.replaces == Some(*by));
            way_holds(case, explained, target, way);
            case.measure(|worth| {
                let without = worth(&case.without(*by));
                let adds = explained.worth - without;
                let would = explained.worth + way.change - without;
                assert!(would <= 0 || close(*more, adds as f64 / would as f64 - 1.0));
            });
            no_stop_makes_way_cheaper(case, explained, target, way.change);
            "beaten"
        }
        NotShownWhy::Welcome { way } => {
            assert!(way.change >= 0, "{way:?}");
            way_holds(case, explained, target, way);
            "welcome"
        }
        NotShownWhy::NoRoom { .. } => {
            no_stop_makes_way_cheaper(case, explained, target, i64::MIN);
            "no room"
        }
    }
}

fn way_holds(case: &Case, explained: &Explained, target: usize, way: &WayIn) {
    assert!(case.may_be_shown(target, &way.port, way.interval));
    let with = case.replaced(way.replaces, (target, &way.port), way.interval);
    assert!(case.stoppers(&with) <= case.stoppers(&case.evening), "{way:?}");
    case.measure(|worth| assert_eq!(way.change, worth(&with.order) - explained.worth));
}

/// In the very minutes of no stop that is not held could a target stand for as long as the draft would show it there, at
/// less cost.
fn no_stop_makes_way_cheaper(case: &Case, explained: &Explained, target: usize, change: i64) {
    let before = case.stoppers(&case.evening);
    let materials = case.materials();
    let drafting = Drafting::new(&case.evening, &case.prepared, &materials, None);
    let scales = drafting.scales();
    let slack = |order: &RunningOrder| {
        let timings = timings(order, &case.prepared, &materials);
        free_minutes(order, &timings, case.prepared.doors)
    };
    let wished = case.prepared.doors.minutes() * case.evening.programme.slack_percent / 100.0;
    let least = wished.min(slack(&case.evening.order));
    for stop in case.evening.order.stops().iter().filter(|stop| stop.show().is_some() && !stop.held.time) {
        for way in scales.ways(target) {
            let port = &materials.rig.ports[way.port].id;
            let minutes = f64::from(way.minutes);
            let Some(interval) = Interval::new(stop.start(), stop.start().plus_minutes(minutes)) else {
                continue;
            };
            if minutes > stop.interval.minutes() || !case.may_be_shown(target, port, interval) {
                continue;
            }
            let with = case.replaced(Some(stop.id), (target, port), interval);
            let cheaper = drafting.worth_of(&with.order) - explained.worth > change;
            if cheaper && slack(&with.order) >= least {
                assert!(case.stoppers(&with) > before, "{target} instead of {stop:?}");
            }
        }
    }
}

fn best_hour_is_the_best(case: &Case, target: usize, best: Option<&BestHour>) {
    let prepared = &case.prepared;
    let own = &prepared.availability[target].showable;
    let ports = case.materials().rig.ports.len();
    let view = |moment: usize| {
        (0..ports).map(|port| prepared.views.get(target, moment / CELL_MINUTES, port)).fold(0.0, f64::max)
    };
    let moments = (0..prepared.moments.len()).filter(|moment| {
        let at = prepared.moments[*moment].instant;
        own.as_slice().iter().any(|run| run.start() <= at && at <= run.end())
    });
    let most = moments.clone().map(view).fold(0.0, f64::max);
    let Some(best) = best else {
        assert_eq!(most, 0.0);
        return;
    };
    assert!(close(best.view.value(), most), "{best:?} {most}");
    assert!(best.from <= best.at && best.at <= best.to);
    for moment in moments {
        let at = prepared.moments[moment].instant;
        assert!(at < best.from || at > best.to || view(moment) >= most - 0.05);
    }
    let sample = prepared.sample(target, best.at).expect("a sample");
    assert_eq!((sample.altitude, sample.azimuth), (best.altitude, best.azimuth));
}
