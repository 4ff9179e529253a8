//! Where an evening that has begun is picked up again.

use crate::plan::{Evening, StopId};
use crate::time::Instant;

/// From when the rest is laid anew, and what is done.
#[derive(Clone, Debug, PartialEq)]
pub struct PickUp {
    /// From when.
    pub at: Instant,
    /// The stops that were shown or are being shown; they stay as they are. What should have begun before and is not
    /// among them is late: entries of the programme begin at once, targets may come later.
    pub done: Vec<StopId>,
}

impl PickUp {
    /// With everything done that should have begun by then.
    pub fn on_time(evening: &Evening, at: Instant) -> Self {
        let begun = evening.order.stops().iter().filter(|stop| stop.start() < at);
        Self { at, done: begun.map(|stop| stop.id).collect() }
    }
}
