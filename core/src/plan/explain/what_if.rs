//! What would change with a port more or less, doors open longer, or more visitors.

use crate::plan::{OrderDifference, RunningOrder};
use crate::rig::PortId;

/// Something else than as it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// A port that is out of service is back.
    PortBack(PortId),
    /// A port that is in service is not.
    WithoutPort(PortId),
    /// Doors, and the closing with them, so many minutes later.
    DoorsLonger(u32),
    /// So many visitors more.
    MoreVisitors(u32),
}

/// What a change would do to the order as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct WhatIf {
    /// The change.
    pub change: Change,
    /// What the order as it stands is worth, in points.
    pub before: i64,
    /// What the best order found without a Stopper is worth as things are, in points: what a new draft alone would do.
    pub redraft: i64,
    /// What the best order found is worth with the change, in points.
    pub after: i64,
    /// By what share of the best of now `after` is more than `before`; less than 0 where it is less.
    pub gain_share: f64,
    /// By what share of the best of now `redraft` is more than `before`; 0 where the order as it stands is the best found.
    pub redraft_share: f64,
    /// What comes, goes and moves in the order as it stands.
    pub difference: OrderDifference,
    /// The order with the change, without understudies.
    pub order: RunningOrder,
}
