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
    /// With everything done that should have begun by then, but for targets that an earlier one still kept waiting.
    pub fn on_time(evening: &Evening, at: Instant) -> Self {
        let mut telescope_until: Option<Instant> = None;
        let mut done = Vec::new();
        for stop in evening.order.stops().iter().filter(|stop| stop.start() < at) {
            if stop.show().is_some() {
                if telescope_until.is_some_and(|until| stop.start() < until) {
                    continue;
                }
                telescope_until = Some(stop.end());
            }
            done.push(stop.id);
        }
        Self { at, done }
    }
}
