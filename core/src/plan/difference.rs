//! What differs between two running orders: which targets came, went and moved.

use super::RunningOrder;
use crate::catalogue::TargetId;
use crate::rig::PortId;
use crate::time::Instant;

/// What differs between an order and another one of the same night.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OrderDifference {
    /// Targets that came in, in the order of the evening.
    pub came: Vec<TargetId>,
    /// Targets that went out, in the order of the evening.
    pub went: Vec<TargetId>,
    /// Targets that stayed but at another time or port.
    pub moved: Vec<TargetId>,
}

impl OrderDifference {
    /// From one order to the other.
    pub fn between(before: &RunningOrder, after: &RunningOrder) -> Self {
        let (before, after) = (shown(before), shown(after));
        let moved = after.iter().filter(|stop| !lacks(&before, stop.0) && !before.contains(stop));
        Self {
            came: only(&after, &before),
            went: only(&before, &after),
            moved: moved.map(|(id, ..)| (*id).clone()).collect(),
        }
    }

    /// Whether nothing changed.
    pub fn is_nothing(&self) -> bool {
        self.came.is_empty() && self.went.is_empty() && self.moved.is_empty()
    }
}

type Shown<'o> = (&'o TargetId, &'o PortId, Instant);

fn shown(order: &RunningOrder) -> Vec<Shown<'_>> {
    let stops = order.stops().iter();
    stops.filter_map(|stop| stop.show().map(|show| (&show.target, &show.port, stop.start()))).collect()
}

fn lacks(list: &[Shown<'_>], id: &TargetId) -> bool {
    list.iter().all(|(own, ..)| *own != id)
}

/// What only one of two lists has.
fn only(list: &[Shown<'_>], other: &[Shown<'_>]) -> Vec<TargetId> {
    list.iter().filter(|(id, ..)| lacks(other, id)).map(|(id, ..)| (*id).clone()).collect()
}
