//! Nothing is claimed that is not so: each statement about random evenings recomputed another way.

use chrono::NaiveDate;

use super::{Change, Explained, NotShownWhy, RequestWhen, StopReason, WhyNow, explain, when_could_be_shown};
use crate::plan::check::POOR_VIEW;
use crate::plan::invented::{Invented, Seed, any_evening, march_evening};
use crate::plan::views::CELL_MINUTES;
use crate::plan::{
    Drafting, Evening, Held, Limit, Materials, OrderRule, Prepared, Rule, RunningOrder, Severity, Show, Stop,
    StopId, What, WhyNot, check, draft, edit, merit, needed_minutes,
};
use crate::rig::{Port, PortId};
use crate::time::{Instant, Interval};
use crate::units::Angle;

/// A random evening with its order, explained.
struct Case {
    invented: Invented,
    evening: Evening,
    prepared: Prepared,
}

impl Case {
    /// Out of several climates and latitudes; every third order is changed by hand.
    fn of(round: u64) -> Self {
        let mut invented = Invented::new(round);
        invented.set_latitude(Angle::from_degrees([55.1, 28.0, -43.5, 66.0][round as usize % 4]));
        let mut seed = Seed(77 + round);
        let mut evening = any_evening(&mut seed);
        evening.house.children = evening.house.children.max(5);
        if round % 4 == 1 {
            evening.wishes.ports_out_of_service.push(PortId("eyepiece".to_owned()));
        }
        let prepared = invented.prepare(&evening);
        evening.order = draft(&evening, &prepared, &invented.materials());
        if round % 3 == 2 {
            let shows: Vec<&Stop> =
                evening.order.stops().iter().filter(|stop| stop.show().is_some()).collect();
            if let [first, .., last] = shows[..] {
                let (first, last) = (first.id, last.id);
                evening = edit::hold(&edit::remove(&evening, first), last, Held { time: true, port: true });
            }
        }
        Self { invented, evening, prepared }
    }

    fn materials(&self) -> Materials<'_> {
        self.invented.materials()
    }

    fn explained(&self) -> Explained {
        explain(&self.evening, &self.prepared, &self.materials())
    }

    /// What an order is worth, by the draft of the evening.
    fn measure(&self, of: impl FnOnce(&dyn Fn(&RunningOrder) -> i64)) {
        let materials = self.materials();
        let drafting = Drafting::new(&self.evening, &self.prepared, &materials, None);
        of(&|order| drafting.worth_of(order));
    }

    fn stoppers(&self, evening: &Evening) -> usize {
        let findings = check(evening, &self.prepared, &self.materials());
        let grave = |severity| severity == Severity::Stopper;
        findings
            .iter()
            .filter(|found| grave(found.severity) || matches!(found.rule, Rule::FlipInside { .. }))
            .count()
    }

    fn with(&self, stops: Vec<Stop>) -> Evening {
        Evening { order: RunningOrder::new(stops), ..self.evening.clone() }
    }

    /// The order with a stop replaced, or one more.
    fn replaced(&self, replaced: Option<StopId>, show: (usize, &PortId), interval: Interval) -> Evening {
        let kept = self.evening.order.stops().iter().filter(|stop| Some(stop.id) != replaced);
        let target = self.materials().catalogue.targets[show.0].id.clone();
        let what = What::Show(Show { target, port: show.1.clone(), eyepiece: None, understudy: None });
        let id = replaced.unwrap_or(self.evening.order.next_id());
        self.with(kept.cloned().chain([Stop { id, what, interval, held: Held::default() }]).collect())
    }

    fn without(&self, stop: StopId) -> RunningOrder {
        edit::remove(&self.evening, stop).order
    }

    fn stop(&self, id: StopId) -> &Stop {
        self.evening.order.get(id).expect("a stop of the order")
    }

    fn shown(&self, target: usize) -> bool {
        let id = &self.materials().catalogue.targets[target].id;
        self.evening.order.stops().iter().any(|stop| stop.show().is_some_and(|show| &show.target == id))
    }

    fn index(&self, stop: &Stop) -> usize {
        self.materials().target_index(&stop.show().expect("it shows").target).expect("it is known")
    }

    fn port(&self, port: &PortId) -> usize {
        self.materials().rig.ports.iter().position(|own| &own.id == port).expect("it is known")
    }

    /// The worst view over an interval, cell by cell of the grid.
    fn worst(&self, target: usize, port: usize, interval: Interval) -> f64 {
        let (first, last) =
            (self.prepared.moment_index(interval.start()), self.prepared.moment_index(interval.end()));
        let views = (first..=last).map(|moment| self.prepared.views.get(target, moment / CELL_MINUTES, port));
        views.fold(1.0, f64::min)
    }

    fn needed(&self, target: usize, port: &Port) -> f64 {
        needed_minutes(&self.evening.house, &self.prepared, &self.materials(), target, port)
    }

    fn may_be_shown(&self, target: usize, port: &PortId, interval: Interval) -> bool {
        self.prepared.availability[target].allowed.covers(interval)
            && self.worst(target, self.port(port), interval) >= POOR_VIEW
            && !self.evening.wishes.ports_out_of_service.contains(port)
    }
}

fn close(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-9
}

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
            let after = edit::swap_understudy(&with, &case.prepared, &case.materials(), stop.id);
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

fn reason_holds(case: &Case, explained: &Explained, target: usize, why: &NotShownWhy) -> &'static str {
    let doors = case.prepared.doors;
    let own = &case.prepared.availability[target];
    let track = case.prepared.moments.iter().zip(&case.prepared.tracks[target].samples);
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
            let needed = case.needed(target, &ports[case.port(port)]);
            assert!(close(needed, *needed_minutes) && *minutes < needed.ceil(), "{minutes} {needed_minutes}");
            "too short"
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
            way_holds(case, explained, target, way);
            "welcome"
        }
        NotShownWhy::NoRoom { .. } => {
            no_stop_makes_way_cheaper(case, explained, target, i64::MIN);
            "no room"
        }
    }
}

fn way_holds(case: &Case, explained: &Explained, target: usize, way: &super::WayIn) {
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
        let timings = crate::plan::timings(order, &case.prepared, &materials);
        crate::plan::free_minutes(order, &timings, case.prepared.doors)
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

fn best_hour_is_the_best(case: &Case, target: usize, best: Option<&super::BestHour>) {
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
            assert!(what_if.before > 0 || what_if.gain_share >= 0.0);
            let (mut evening, mut prepared) = (case.evening.clone(), case.prepared.clone());
            match &what_if.change {
                Change::WithoutPort(port) => {
                    assert!(what_if.after <= what_if.before);
                    evening.wishes.ports_out_of_service.push(port.clone());
                }
                Change::PortBack(port) => {
                    evening.wishes.ports_out_of_service.retain(|own| own != port);
                    prepared = case.invented.prepare(&evening);
                }
                Change::DoorsLonger(minutes) => {
                    let close = &mut evening.programme.doors_close;
                    *close += chrono::Duration::minutes(i64::from(*minutes));
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

#[test]
fn a_request_is_answered_as_the_sky_has_it() {
    let mut found: Vec<&str> = Vec::new();
    for round in 0..8 {
        let case = Case::of(round);
        let now = case.prepared.doors.start().plus_minutes(case.prepared.doors.minutes() / 2.0);
        let at = Interval::new(now, now).expect("a moment");
        for (target, own) in case.materials().catalogue.targets.iter().enumerate().step_by(3) {
            let answer = when_could_be_shown(&case.evening, &case.prepared, &case.materials(), &own.id, now);
            let answer = answer.expect("it is in the catalogue");
            let allowed = &case.prepared.availability[target].allowed;
            if let Some(way) = &answer.way {
                assert!(way.interval.start() >= now && case.may_be_shown(target, &way.port, way.interval));
            }
            found.push(match answer.when {
                RequestWhen::InOrder { stop, .. } => {
                    assert!(case.stop(stop).end() > now && case.index(case.stop(stop)) == target);
                    "in order"
                }
                RequestWhen::Now { view, until, .. } => {
                    assert!(allowed.covers(Interval::new(now, until).expect("in order")));
                    assert!(view.value() >= POOR_VIEW && allowed.covers(at));
                    "now"
                }
                RequestWhen::From { better, within_doors, .. } => {
                    assert!(better.from > now && better.view.value() > 0.0);
                    assert_eq!(within_doors, better.from < case.prepared.doors.end());
                    "from"
                }
                RequestWhen::Gone { last, .. } => {
                    let later = own_later(&case, target, now);
                    assert!(last < now && !later, "{last:?}");
                    "gone"
                }
                RequestWhen::No(_) => "no",
            });
        }
    }
    for kind in ["in order", "now", "from", "gone", "no"] {
        assert!(found.contains(&kind), "{kind} among {} answers", found.len());
    }
}

/// Whether a port shows a target no worse than poorly at any minute from one on.
fn own_later(case: &Case, target: usize, now: Instant) -> bool {
    let minutes =
        (0..=case.prepared.doors.end().minutes_since(now) as u32).map(|m| now.plus_minutes(f64::from(m)));
    let mut moments = minutes.filter_map(|at| Interval::new(at, at));
    moments.any(|at| case.materials().rig.ports.iter().any(|port| case.may_be_shown(target, &port.id, at)))
}

#[test]
fn a_night_without_anything_is_explained_too() {
    let invented = Invented::new(5);
    let mut evening = march_evening();
    evening.date = NaiveDate::from_ymd_opt(2027, 6, 21).expect("a date");
    evening.programme.doors_open = chrono::NaiveTime::from_hms_opt(18, 0, 0).expect("a time");
    evening.programme.doors_close = chrono::NaiveTime::from_hms_opt(20, 30, 0).expect("a time");
    evening.programme.fixed.truncate(1);
    let prepared = invented.prepare(&evening);
    let explained = explain(&evening, &prepared, &invented.materials());
    assert!(explained.stops.is_empty() && explained.worth == 0);
    assert_eq!(explained.not_shown.len(), invented.materials().catalogue.targets.len());
    assert!(explained.what_ifs.iter().all(|what_if| what_if.gain_share >= 0.0));
}
