//! Edits by hand: evening in, evening out; nothing is refused here, the check tells what can't stand.

use super::{Evening, Held, Materials, Prepared, StopId};
use crate::catalogue::TargetId;
use crate::rig::PortId;
use crate::time::{Instant, Interval};

/// Moves a stop so that it starts at `start` (rounded to the minute), keeping its length.
#[must_use]
pub fn move_stop(evening: &Evening, id: StopId, start: Instant) -> Evening {
    todo!()
}

/// Gives a stop another interval.
#[must_use]
pub fn resize_stop(evening: &Evening, id: StopId, interval: Interval) -> Evening {
    todo!()
}

/// Puts a stop on another port, with the field that suits the target there.
#[must_use]
pub fn change_port(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    id: StopId,
    port: &PortId,
) -> Evening {
    todo!()
}

/// Sets what is held of a stop.
#[must_use]
pub fn hold(evening: &Evening, id: StopId, held: Held) -> Evening {
    todo!()
}

/// Removes a stop.
#[must_use]
pub fn remove(evening: &Evening, id: StopId) -> Evening {
    todo!()
}

/// Brings a target on: on its best port, at `start` if given, else in the first gap that takes it whole (with its
/// moves) at the best time; if there is none, after the last stop. Returns the new stop's identity.
#[must_use]
pub fn bring_on(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    target: &TargetId,
    start: Option<Instant>,
) -> (Evening, Option<StopId>) {
    todo!()
}

/// Swaps a stop's target with its understudy, if it has one.
#[must_use]
pub fn swap_understudy(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    id: StopId,
) -> Evening {
    todo!()
}
