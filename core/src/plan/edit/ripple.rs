//! Edits that move more than one stop: putting something in, splitting a stop, and letting the rest make room.

use super::laid::Laid;
use super::{whole_minute, with_order};
use crate::plan::timing::misfits;
use crate::plan::{Evening, Held, Materials, Prepared, RunningOrder, Stop, StopId, What, in_each_others_way};
use crate::time::{Instant, Interval};

/// Lets what comes after a stop make room for it and for the moves: each stop that is not held in time starts as much
/// later as it must, the least first. Held stops and entries keep their minute; others go past them. What finds no room
/// before doors close stays where it was, and the check tells.
#[must_use]
pub fn make_room(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    after: StopId,
) -> Evening {
    let Some(first) = evening.order.get(after) else { return evening.clone() };
    let moves =
        |stop: &Stop| stop.id != after && stop.start() >= first.start() && stop.may_be_moved_by_others();
    let (moving, still): (Vec<&Stop>, Vec<&Stop>) =
        evening.order.stops().iter().partition(|stop| moves(stop));
    let mut laid = Laid::new(prepared, materials);
    for stop in still {
        laid.put(stop, stop.interval);
    }
    for stop in moving {
        let interval = room_from(stop, &laid, prepared.doors).unwrap_or(stop.interval);
        laid.put(stop, interval);
    }
    with_order(evening, laid.into_stops())
}

/// Lets what comes after a gap move up into it: each stop that is not held in time starts as much earlier as the one
/// before it did, the first by the whole gap; by less where the sky, the moves or something held leave less. What is held
/// in time and entries keep their minute, and so does all that comes after them; a talk at the screen is passed by.
#[must_use]
pub fn close_up(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>, gap: Interval) -> Evening {
    let mut changed = evening.clone();
    let mut most_minutes = gap.minutes().floor();
    for stop in evening.order.stops().iter().filter(|stop| stop.start() >= gap.end()) {
        if stop.is_screen_talk() {
            continue;
        }
        if most_minutes < 1.0 || !stop.may_be_moved_by_others() {
            break;
        }
        let known = misfits(&changed.order, prepared, materials);
        let others: Vec<Stop> =
            changed.order.stops().iter().filter(|own| own.id != stop.id).cloned().collect();
        let mut earlier = (1..=most_minutes as u32).rev().filter_map(|minutes| {
            let minutes = f64::from(minutes);
            let start = stop.start().plus_minutes(-minutes);
            let interval = Interval::new(start, start.plus_seconds(stop.interval.seconds()))?;
            let there = Stop { interval, ..stop.clone() };
            let clear = others.iter().all(|other| !in_each_others_way(other, &there, materials.rig));
            if !clear || !prepared.doors.covers(interval) || !is_allowed(&there, prepared, materials) {
                return None;
            }
            let order = RunningOrder::new(others.iter().cloned().chain([there]).collect());
            let fits = misfits(&order, prepared, materials).iter().all(|stop| known.contains(stop));
            fits.then_some((minutes, order))
        });
        match earlier.next() {
            Some((minutes, order)) => {
                most_minutes = minutes;
                changed.order = order;
            }
            None => break,
        }
    }
    changed
}

impl Stop {
    /// Whether it moves along with others: a showing that is not held in time.
    const fn may_be_moved_by_others(&self) -> bool {
        !self.held.time && self.show().is_some()
    }
}

/// Whether the sky allows a showing over all of its time, on its port.
fn is_allowed(stop: &Stop, prepared: &Prepared, materials: &Materials<'_>) -> bool {
    let known = stop.show().and_then(|show| {
        let position = materials.rig.ports.iter().position(|port| port.id == show.port)?;
        Some((materials.target_index(&show.target)?, position))
    });
    known.is_some_and(|(index, position)| {
        let (first, last) = (prepared.moment_index(stop.start()), prepared.moment_index(stop.end()));
        let allowed = prepared.availability.get(index).is_some_and(|own| own.allowed.covers(stop.interval));
        allowed && prepared.views.worst(index, position, first, last) > 0.0
    })
}

/// The first interval of a stop's length from its own start on that nothing is in the way of and the moves fit.
fn room_from<'o>(stop: &'o Stop, laid: &Laid<'o, '_>, doors: Interval) -> Option<Interval> {
    let seconds = stop.interval.seconds();
    let mut start = stop.start();
    loop {
        let interval = Interval::new(start, start.plus_seconds(seconds))?;
        if !doors.covers(interval) {
            return None;
        }
        if laid.takes(stop, interval) {
            return Some(interval);
        }
        start = start.plus_minutes(1.0);
    }
}

/// Puts an entry in, from `start` (rounded to the minute) for so many minutes, held there. Returns its identity.
#[must_use]
pub fn insert_entry(evening: &Evening, what: What, start: Instant, minutes: u32) -> (Evening, StopId) {
    let id = evening.order.next_id();
    let start = whole_minute(start);
    let end = start.plus_minutes(f64::from(minutes.max(1)));
    let interval = Interval::new(start, end).expect("an entry lasts at least a minute");
    let stop = Stop { id, what, interval, held: Held { time: true, port: false } };
    (with_order(evening, evening.order.stops().iter().cloned().chain([stop]).collect()), id)
}

/// Splits a stop at an instant (rounded to the minute) into two of the same; each lasts at least a minute. Returns the
/// identity of the second, `None` where the instant is not within it.
#[must_use]
pub fn split(evening: &Evening, id: StopId, at: Instant) -> (Evening, Option<StopId>) {
    let at = whole_minute(at);
    let Some(stop) = evening.order.get(id) else { return (evening.clone(), None) };
    let halves = Interval::new(stop.start(), at).zip(Interval::new(at, stop.end()));
    let Some((first, second)) = halves.filter(|(one, other)| one.minutes() >= 1.0 && other.minutes() >= 1.0)
    else {
        return (evening.clone(), None);
    };
    let next = evening.order.next_id();
    let other = Stop { id: next, interval: second, ..stop.clone() };
    let stops = evening.order.stops().iter().cloned();
    let stops = stops.map(|stop| if stop.id == id { Stop { interval: first, ..stop } } else { stop });
    (with_order(evening, stops.chain([other]).collect()), Some(next))
}
