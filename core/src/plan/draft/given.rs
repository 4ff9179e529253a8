//! What the evening gives a draft whatever is laid: worth by rank, entries, room, slack, stops wanted on ports.

use super::desk::Desk;
use super::frame::Frame;
use crate::arrange::{Block, Kind as ProblemKind};
use crate::catalogue::Kind;
use crate::plan::{StopId, What};
use crate::time::IntervalSet;

/// Minutes to allow for the move before a stop when the room for it is reckoned.
const MOVE_MINUTES: f64 = 2.0;
/// Share of an evening's room that moves take, as far as the slack between the stops is reckoned.
const MOVING_SHARE: f64 = 0.13;
/// The worth of the second, third... of a kind, each against the one before. Common practice, no source.
const SAME_KIND_AGAIN: f64 = 0.7;
/// The same for planets: each is a world of its own, and they are what first-time visitors remember.
const ANOTHER_PLANET: f64 = 0.95;
/// How many of a kind are told apart in their worth.
const TOLD_APART: i32 = 8;

/// Minutes to keep free for each minute of a stop, so that the whole comes to the slack that is wished.
pub(super) fn pad_share(desk: Desk<'_>, frame: &Frame) -> f64 {
    let doors_minutes = f64::from(desk.doors_minutes());
    let slack = doors_minutes * (desk.evening.programme.slack_percent / 100.0).clamp(0.0, 0.9);
    let fixed = frame.fixed.iter().map(|fixed| fixed.stop.interval.minutes()).sum::<f64>();
    let stops = (doors_minutes - fixed - slack) * (1.0 - MOVING_SHARE);
    if stops > slack { slack / stops } else { 1.0 }
}

/// Worth by rank within each kind; what has been shown counts as the first ones.
pub(super) fn kinds(desk: Desk<'_>, frame: &Frame) -> Vec<ProblemKind> {
    let done = frame.done.iter().filter_map(|stop| Some(desk.showing(stop)?.0));
    let done: Vec<Kind> = done.map(|target| desk.materials.catalogue.targets[target].kind).collect();
    let kinds = Kind::ALL.iter().map(|kind| {
        let again = if *kind == Kind::Planet { ANOTHER_PLANET } else { SAME_KIND_AGAIN };
        let before = done.iter().filter(|own| *own == kind).count().cast_signed() as i32;
        let factors = (before..before + TOLD_APART).map(|rank| (1000.0 * again.powi(rank)).round() as i64);
        ProblemKind { name: format!("{kind:?}"), factors: factors.collect() }
    });
    kinds.collect()
}

/// The least stops on each port that are still wanted.
pub(super) fn least_stops(desk: Desk<'_>, frame: &Frame) -> Vec<i64> {
    let ports = desk.materials.rig.ports.iter().enumerate();
    let wished = ports.map(|(index, port)| {
        let least = desk.evening.wishes.least_stops.iter().find(|(own, _)| own == &port.id);
        let least = least.filter(|_| desk.in_service(index)).map_or(0, |(_, least)| i64::from(*least));
        let done = frame.done.iter().filter(|stop| desk.showing(stop).is_some_and(|own| own.1 == index));
        (least - done.count().cast_signed() as i64).max(0)
    });
    wished.collect()
}

/// Entries without the telescope, each with its stop.
pub(super) fn blocks(desk: Desk<'_>, frame: &Frame, first_minute: i64) -> Vec<(StopId, Block)> {
    let step = |minute: f64| minute as i64 - first_minute;
    let stops = frame.fixed.iter().map(|fixed| &fixed.stop).chain(&frame.done);
    let entries = stops.filter_map(|stop| match &stop.what {
        What::Entry { title, .. } if !stop.is_screen_talk() => Some((stop, title)),
        _ => None,
    });
    let blocks = entries.map(|(stop, title)| {
        let (from, to) = (desk.minute(stop.start()).floor(), desk.minute(stop.end()).ceil());
        (stop.id, Block { name: title.clone(), from: step(from), to: step(to) })
    });
    blocks.collect()
}

/// The longest time between fixed stops at which one target can be shown throughout, less a move.
pub(super) fn room_minutes(desk: Desk<'_>, frame: &Frame) -> f64 {
    let fixed = IntervalSet::from_intervals(frame.fixed.iter().map(|fixed| fixed.stop.interval));
    let gaps = fixed.gaps_in(desk.prepared.doors);
    let rooms = desk.prepared.availability.iter().map(|own| own.showable.intersection(&gaps));
    let longest = |rooms: IntervalSet| rooms.as_slice().iter().map(|room| room.minutes()).fold(0.0, f64::max);
    rooms.map(longest).fold(0.0, f64::max) - MOVE_MINUTES
}
