//! What a draft could not keep: wishes given up, and what an evening picked up late has lost.

use evenfall_core::catalogue::TargetId;
use evenfall_core::plan::{Evening, GivenUp, PickUp, RunningOrder, StopId};

/// What there is to tell after a draft.
#[derive(Clone, Debug, PartialEq)]
pub struct Account {
    /// Where the evening was picked up, if it was.
    pub picked_up: Option<PickUp>,
    /// Wishes that could not be kept.
    pub given_up: Vec<GivenUp>,
    /// Targets that stood in the order before and are shown no more.
    pub lost: Vec<TargetId>,
    /// Held stops that kept their times.
    pub kept: Vec<StopId>,
}

impl Account {
    /// Compares the orders before and after; `None` where there is nothing to tell.
    pub(super) fn new(
        before: &RunningOrder,
        after: &Evening,
        picked_up: Option<&PickUp>,
        given_up: &[GivenUp],
    ) -> Option<Self> {
        let order = &after.order;
        let shown = |id: &TargetId| {
            after.shown.contains(id)
                || order.stops().iter().any(|stop| stop.show().is_some_and(|show| show.target == *id))
        };
        let (mut lost, mut kept) = (Vec::new(), Vec::new());
        if let Some(picked_up) = picked_up {
            let planned = before.stops().iter().filter_map(|stop| Some(&stop.show()?.target));
            lost.extend(planned.filter(|target| !shown(target)).cloned());
            let held =
                before.stops().iter().filter(|stop| stop.held.time && !picked_up.done.contains(&stop.id));
            let stands =
                held.filter(|stop| order.get(stop.id).is_some_and(|now| now.interval == stop.interval));
            kept.extend(stands.map(|stop| stop.id));
        }
        let nothing = picked_up.is_none() && given_up.is_empty();
        let picked_up = picked_up.cloned();
        (!nothing).then(|| Self { picked_up, given_up: given_up.to_vec(), lost, kept })
    }
}
