//! Which altitude paths go on through their lane beyond a stop: of what is selected, under the pointer or being dragged.

use evenfall_core::plan::{StopId, closed_stretches};
use evenfall_core::time::Interval;

use super::model::BoardModel;

/// A path through the whole evening.
pub struct Trail {
    pub target_index: usize,
    pub lane: usize,
    /// What is selected or dragged weighs more than what is only under the pointer.
    pub strong: bool,
    /// While it runs in a closed part of the sky.
    pub closed: Vec<Interval>,
}

/// All of them, what weighs more first, each target once in a lane; while something is dragged, its own alone.
pub fn trails(model: &BoardModel<'_>, hovered: Option<StopId>) -> Vec<Trail> {
    let is_dragged = model.drag.is_some();
    let chosen = |strong: bool| {
        let blocks = model.blocks.iter().filter(move |block| match strong {
            _ if is_dragged => strong && block.lifted_from.is_some(),
            true => block.selected,
            false => !block.selected && hovered == Some(block.stop),
        });
        blocks.filter_map(move |block| Some((block.target_index?, block.lane?, strong)))
    };
    let off_the_shelf = off_the_shelf(model).map(|ghost| (ghost.target_index, ghost.lane, true));
    let looked_at = model.looked_at.filter(|_| !is_dragged);
    let looked_at = looked_at.and_then(|(target_index, lane)| Some((target_index, lane?, true)));
    let mut trails: Vec<Trail> = Vec::new();
    for (target_index, lane, strong) in
        chosen(true).chain(off_the_shelf).chain(looked_at).chain(chosen(false))
    {
        if !trails.iter().any(|trail| (trail.target_index, trail.lane) == (target_index, lane)) {
            let closed = closed_stretches(&model.open.derived.prepared, target_index, model.span);
            trails.push(Trail { target_index, lane, strong, closed });
        }
    }
    trails
}

/// A target taken off the Shelf, as the stop that it would be.
pub struct Ghost {
    pub target_index: usize,
    pub lane: usize,
    pub interval: Interval,
}

/// What is held over the lanes, off the Shelf.
pub fn off_the_shelf(model: &BoardModel<'_>) -> Option<Ghost> {
    let (drag, trial) = model.drag.zip(model.trial)?;
    let stop = trial.stop.filter(|_| drag.stop().is_none()).and_then(|stop| trial.evening.order.get(stop))?;
    let (target_index, _) = model.open.target(stop)?;
    Some(Ghost { target_index, lane: model.lane_of(&stop.show()?.port)?, interval: stop.interval })
}
