//! Edits by hand: evening in, evening out; nothing is refused here, the check tells what can't stand.

mod laid;
mod ripple;
mod versions;
mod wishes;

use std::cmp::Ordering;
use std::mem::replace;

use chrono::Timelike;

use super::beside::is_in_the_way;
use super::draft::Measure;
use super::explain::Scene;
use super::timing::moves_still_fit;
use super::{
    Evening, Held, Materials, PickUp, Prepared, RunningOrder, Show, Stop, StopId, What, merit, needed_minutes,
};
use crate::assign::PortChoice;
use crate::catalogue::TargetId;
use crate::rig::{Port, PortId};
use crate::time::{Instant, Interval};

pub use ripple::{close_up, insert_entry, make_room, split};
pub use versions::{drop_version, keep_version, switch_version, tick};
pub use wishes::{MOST_SLACK_PERCENT, close_sky, open_sky, set_bedtime, set_rule, set_slack};

/// Moves a stop so that it starts at `start` (rounded to the minute), keeping its length.
#[must_use]
pub fn move_stop(evening: &Evening, id: StopId, start: Instant) -> Evening {
    with_stop(evening, id, |stop| {
        let start = whole_minute(start);
        let end = start.plus_seconds(stop.interval.seconds());
        stop.interval = Interval::new(start, end).unwrap_or(stop.interval);
    })
}

/// Gives a stop another interval.
#[must_use]
pub fn resize_stop(evening: &Evening, id: StopId, interval: Interval) -> Evening {
    with_stop(evening, id, |stop| stop.interval = interval)
}

/// Puts a stop on another port, with the field that suits the target there. It keeps its start and, unless held in
/// time, gets the length that everybody needs there.
#[must_use]
pub fn change_port(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    id: StopId,
    port: &PortId,
) -> Evening {
    with_stop(evening, id, |stop| {
        let What::Show(show) = &mut stop.what else { return };
        let known = materials.target_index(&show.target).zip(materials.rig.port(port));
        if let Some((index, instrument)) = known
            && show.port != *port
            && !stop.held.time
        {
            stop.interval =
                needed(evening, prepared, materials, index, instrument, stop.interval.start(), 1.0);
        }
        show.eyepiece = choice_on(prepared, materials, &show.target, stop.interval, port).and_then(eyepiece);
        show.port = port.clone();
    })
}

/// Sets what is held of a stop.
#[must_use]
pub fn hold(evening: &Evening, id: StopId, held: Held) -> Evening {
    with_stop(evening, id, |stop| stop.held = held)
}

/// Removes a stop.
#[must_use]
pub fn remove(evening: &Evening, id: StopId) -> Evening {
    let kept = evening.order.stops().iter().filter(|stop| stop.id != id).cloned().collect();
    with_order(evening, kept)
}

/// Brings a target on: on its best port, at `start` (rounded to the minute) if given, else at the best time and on the
/// best port that a gap takes with its moves, the earliest of equals: for everybody if that fits, else shorter. If no
/// gap takes it, it comes within doors where it does the least harm, and the check tells what it shares time with.
/// Returns the new stop's identity, `None` if the target is not in the catalogue or the rig has no port.
#[must_use]
pub fn bring_on(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    target: &TargetId,
    start: Option<Instant>,
) -> (Evening, Option<StopId>) {
    let Some(index) = materials.target_index(target) else { return (evening.clone(), None) };
    let start = start.map(whole_minute);
    let proposed = match start {
        Some(start) => best_at(evening, prepared, materials, index, start),
        None => LENGTHS
            .into_iter()
            .find_map(|share| best_gap(evening, prepared, materials, index, share))
            .or_else(|| least_harm(evening, prepared, materials, index)),
    };
    let Some(proposed) = proposed.or_else(|| {
        let after_all = evening.order.stops().iter().map(Stop::end).max();
        let start = start.or(after_all).unwrap_or(prepared.doors.start());
        anyway_at(evening, prepared, materials, index, start)
    }) else {
        return (evening.clone(), None);
    };
    let stop = proposed.stop(evening, materials, index);
    let id = stop.id;
    (with_order(evening, evening.order.stops().iter().cloned().chain([stop]).collect()), Some(id))
}

/// Swaps a stop's target with its understudy, if it has one. The stop keeps its time, and its port if that is held. Else it
/// goes to the port through which the understudy could stand in at the least loss to the evening, moves and all; where
/// there is none, to the one that shows it best.
///
/// * `pick_up`: where an evening that has begun is picked up; what is done is no loss any more.
#[must_use]
pub fn swap_understudy(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    pick_up: Option<&PickUp>,
    id: StopId,
) -> Evening {
    let port = port_of_understudy(evening, prepared, materials, pick_up, id);
    with_stop(evening, id, |stop| {
        let (interval, port_held) = (stop.interval, stop.held.port);
        let What::Show(show) = &mut stop.what else { return };
        let Some(understudy) = show.understudy.take() else { return };
        let leaving = replace(&mut show.target, understudy);
        show.understudy = Some(leaving);
        let Some(index) = materials.target_index(&show.target) else { return };
        let best = merit(prepared, materials, index, interval).into_iter().map(|merit| merit.choice);
        let on = |port: &PortId| choice_on(prepared, materials, &show.target, interval, port);
        let choice = match &port {
            Some(port) => on(port),
            None if port_held => on(&show.port),
            None => best.max_by(by_view_then(&show.port)).or(on(&show.port)),
        };
        if let Some(choice) = choice {
            show.port = choice.port.clone();
            show.eyepiece = eyepiece(choice);
        }
    })
}

/// The port through which a stop's understudy would best stand in for it; `None` where it could not.
fn port_of_understudy(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    pick_up: Option<&PickUp>,
    id: StopId,
) -> Option<PortId> {
    let stop = evening.order.get(id)?;
    let understudy = materials.target_index(stop.show()?.understudy.as_ref()?)?;
    let measure = Measure::new(evening, prepared, materials, pick_up);
    let scales = measure.scales();
    let scene = Scene::new(evening, prepared, materials, &scales);
    let port = scene.port_to_stand_in(stop, understudy)?;
    Some(materials.rig.ports[port].id.clone())
}

/// The better view; of two alike the one on `port`.
fn by_view_then(port: &PortId) -> impl Fn(&PortChoice, &PortChoice) -> Ordering + '_ {
    move |one, other| {
        let by_view = one.view.value().total_cmp(&other.view.value());
        by_view.then((&one.port == port).cmp(&(&other.port == port)))
    }
}

fn with_order(evening: &Evening, stops: Vec<Stop>) -> Evening {
    Evening { order: RunningOrder::new(stops), ..evening.clone() }
}

fn with_stop(evening: &Evening, id: StopId, change: impl FnOnce(&mut Stop)) -> Evening {
    let mut stops = evening.order.stops().to_vec();
    if let Some(stop) = stops.iter_mut().find(|stop| stop.id == id) {
        change(stop);
    }
    with_order(evening, stops)
}

/// The nearest whole minute of the clock: every zone in use since 1972 is a whole number of minutes from UTC.
fn whole_minute(instant: Instant) -> Instant {
    let utc = instant.to_utc();
    let past_minute_s = f64::from(utc.second()) + f64::from(utc.nanosecond()) / 1e9;
    let start = instant.plus_seconds(-past_minute_s);
    if past_minute_s < 30.0 { start } else { start.plus_seconds(60.0) }
}

/// The port's choice over an interval; where it shows nothing then, the one at the target's best time.
fn choice_on(
    prepared: &Prepared,
    materials: &Materials<'_>,
    target: &TargetId,
    interval: Interval,
    port: &PortId,
) -> Option<PortChoice> {
    let index = materials.target_index(target)?;
    merit(prepared, materials, index, interval)
        .into_iter()
        .map(|merit| merit.choice)
        .find(|choice| &choice.port == port)
        .or_else(|| {
            let choices = prepared.choices_of(materials, index);
            choices.into_iter().find(|choice| &choice.port == port)
        })
}

fn eyepiece(choice: PortChoice) -> Option<usize> {
    choice.field.eyepiece.map(|view| view.index)
}

/// A time and a port for a target that is brought on.
struct Proposal {
    port: PortId,
    eyepiece: Option<usize>,
    interval: Interval,
    view: f64,
}

impl Proposal {
    fn stop(self, evening: &Evening, materials: &Materials<'_>, index: usize) -> Stop {
        let target = materials.catalogue.targets[index].id.clone();
        let show = Show { target, port: self.port, eyepiece: self.eyepiece, understudy: None };
        Stop {
            id: evening.order.next_id(),
            what: What::Show(show),
            interval: self.interval,
            held: Held::default(),
        }
    }
}

/// Shares of the time that everybody needs that a target brought on may get, tried in this order. Below 40 % too many
/// go without a look; common practice, no source.
const LENGTHS: [f64; 4] = [1.0, 0.8, 0.6, 0.4];
/// No target is brought on for less, in minutes, unless everybody needs less.
const SHORTEST_MINUTES: f64 = 4.0;

/// A share of the time that everybody needs on a port, from `start`, in whole minutes.
fn needed(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    index: usize,
    port: &Port,
    start: Instant,
    share: f64,
) -> Interval {
    let everybody = needed_minutes(&evening.house, prepared, materials, index, port);
    let minutes = (everybody * share).max(everybody.min(SHORTEST_MINUTES)).ceil().max(1.0);
    Interval::new(start, start.plus_minutes(minutes)).expect("a stop lasts at least a minute")
}

/// The best port at a time, each for as long as everybody needs there.
fn best_at(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    index: usize,
    start: Instant,
) -> Option<Proposal> {
    let mut best: Option<Proposal> = None;
    for port in &materials.rig.ports {
        let interval = needed(evening, prepared, materials, index, port, start, 1.0);
        let merits = merit(prepared, materials, index, interval);
        let Some(merit) = merits.into_iter().find(|merit| merit.choice.port == port.id) else { continue };
        let view = merit.view.value();
        if best.as_ref().is_none_or(|best| view > best.view) {
            let eyepiece = eyepiece(merit.choice);
            best = Some(Proposal { port: port.id.clone(), eyepiece, interval, view });
        }
    }
    best
}

/// The best time and port in the gaps of the order, moves included, for a share of the time that everybody needs.
fn best_gap(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    index: usize,
    share: f64,
) -> Option<Proposal> {
    let allowed = &prepared.availability.get(index)?.allowed;
    let mut places: Vec<(f64, Instant, usize, Interval)> = Vec::new();
    let mut start = whole_minute(prepared.doors.start());
    while start < prepared.doors.end() {
        for (position, port) in materials.rig.ports.iter().enumerate() {
            let interval = needed(evening, prepared, materials, index, port, start, share);
            let taken = evening.order.stops().iter().any(|stop| is_in_the_way(stop, interval, port));
            let within = prepared.doors.covers(interval);
            if taken || !within || !allowed.covers(interval) {
                continue;
            }
            let (first, last) =
                (prepared.moment_index(interval.start()), prepared.moment_index(interval.end()));
            let view = prepared.views.worst(index, position, first, last);
            if view > 0.0 {
                places.push((view, start, position, interval));
            }
        }
        start = start.plus_minutes(1.0);
    }
    places.sort_by(|one, other| other.0.total_cmp(&one.0).then(one.1.cmp(&other.1)));
    places.into_iter().find_map(|(view, _, position, interval)| {
        let port = materials.rig.ports[position].id.clone();
        let proposal = Proposal { port, eyepiece: None, interval, view };
        if !moves_fit(evening, prepared, materials, index, &proposal) {
            return None;
        }
        let target = &materials.catalogue.targets[index].id;
        let choice = choice_on(prepared, materials, target, interval, &proposal.port);
        Some(Proposal { eyepiece: choice.and_then(eyepiece), ..proposal })
    })
}

/// The time and port within doors that share the least time with entries, then where the sky allows the target, then
/// with the least time shared with other targets, then of the best view; the earliest of equals.
fn least_harm(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    index: usize,
) -> Option<Proposal> {
    let allowed = &prepared.availability.get(index)?.allowed;
    let target = &materials.catalogue.targets[index].id;
    let shared_minutes = |interval: Interval, port: &Port, entries: bool| {
        let stops = evening
            .order
            .stops()
            .iter()
            .filter(|stop| stop.show().is_none() == entries && is_in_the_way(stop, interval, port));
        let shared = stops.filter_map(|stop| stop.interval.intersection(interval));
        shared.map(Interval::minutes).sum::<f64>()
    };
    let mut best: Option<([f64; 4], usize, Interval)> = None;
    let mut start = whole_minute(prepared.doors.start());
    while start < prepared.doors.end() {
        for (position, port) in materials.rig.ports.iter().enumerate() {
            let interval = needed(evening, prepared, materials, index, port, start, 1.0);
            if !prepared.doors.covers(interval) || prepared.ports_out_of_service.contains(&port.id) {
                continue;
            }
            let (first, last) =
                (prepared.moment_index(interval.start()), prepared.moment_index(interval.end()));
            let view = prepared.views.worst(index, position, first, last);
            let unseen = if allowed.covers(interval) && view > 0.0 { 0.0 } else { 1.0 };
            let harm = [
                shared_minutes(interval, port, true),
                unseen,
                shared_minutes(interval, port, false),
                1.0 - view,
            ];
            if best.as_ref().is_none_or(|best| harm < best.0) {
                best = Some((harm, position, interval));
            }
        }
        start = start.plus_minutes(1.0);
    }
    let (harm, position, interval) = best?;
    let port = materials.rig.ports[position].id.clone();
    let choice = choice_on(prepared, materials, target, interval, &port);
    Some(Proposal { port, eyepiece: choice.and_then(eyepiece), interval, view: 1.0 - harm[3] })
}

/// Whether the moves to a proposed stop and from it to the next showing fit into the order.
fn moves_fit(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    index: usize,
    proposal: &Proposal,
) -> bool {
    let copy = Proposal { port: proposal.port.clone(), ..*proposal };
    let stop = copy.stop(evening, materials, index);
    let with_it = evening.order.stops().iter().cloned().chain([stop]).collect();
    moves_still_fit(&evening.order, &RunningOrder::new(with_it), prepared, materials)
}

/// At a time where nothing shows it: on the port that ranks first for it.
fn anyway_at(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    index: usize,
    start: Instant,
) -> Option<Proposal> {
    if let Some(best) = best_at(evening, prepared, materials, index, start) {
        return Some(best);
    }
    let ranked = prepared.choices_of(materials, index).into_iter().next();
    let port = match &ranked {
        Some(choice) => materials.rig.port(&choice.port)?,
        None => materials.rig.ports.first()?,
    };
    let interval = needed(evening, prepared, materials, index, port, start, 1.0);
    let eyepiece = ranked.and_then(eyepiece);
    Some(Proposal { port: port.id.clone(), eyepiece, interval, view: 0.0 })
}

#[cfg(test)]
mod tests;
