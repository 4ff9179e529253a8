//! What a held stop costs: the best order with and without the hold.

use crate::plan::{OrderDifference, RunningOrder, StopId};

/// The price of holding a stop.
#[derive(Clone, Debug, PartialEq)]
pub struct HeldPrice {
    /// The stop.
    pub stop: StopId,
    /// What the best order found with everything that is held is worth, in points.
    pub held: i64,
    /// What the best order found without this one hold is worth, by the same measure; no less.
    pub free: i64,
    /// The price as a share of `held`; 0 where it costs nothing.
    pub cost_share: f64,
    /// What comes, goes and moves in the order as it stands where it is drafted anew without the hold.
    pub difference: OrderDifference,
    /// The best order found without the hold, without understudies.
    pub order: RunningOrder,
}
