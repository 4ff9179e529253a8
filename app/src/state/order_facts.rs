//! The running orders of an evening side by side: what each shows, what it is worth, and what differs.

use evenfall_core::plan::{
    Drafting, Evening, OrderDifference, RunningOrder, Severity, check, free_minutes, longest_wait, queue,
    timings,
};

use super::Appraise;

/// One of the running orders, as it compares with the one on the Board.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderFacts {
    /// What it is called; empty for one on the Board that has no name yet.
    pub name: String,
    /// Whether it is the one on the Board.
    pub stands: bool,
    /// The order.
    pub order: RunningOrder,
    /// What it is worth, in percent of the one on the Board; `None` where that is worth nothing.
    pub worth_percent: Option<f64>,
    /// Minutes within doors that neither stops nor moves take.
    pub free_minutes: f64,
    /// The longest wait at an eyepiece, in minutes.
    pub longest_wait_minutes: f64,
    /// What can't stand.
    pub stoppers: usize,
    /// What needs a look.
    pub cautions: usize,
    /// What differs from the one on the Board.
    pub difference: OrderDifference,
}

impl OrderFacts {
    /// The order on the Board, then those that are kept beside it; nothing where none is.
    pub(super) fn all(asked: &Appraise) -> Vec<Self> {
        let Appraise { evening, stock, prepared, picked_up, .. } = asked;
        if evening.versions.is_empty() {
            return Vec::new();
        }
        let materials = stock.materials();
        let drafting = Drafting::new(evening, prepared, &materials, picked_up.as_ref());
        let own_worth = drafting.worth_of(&evening.order);
        let facts = |name: &str, stands: bool, order: &RunningOrder| {
            let with_it = Evening { order: order.clone(), ..Evening::clone(evening) };
            let findings = check(&with_it, prepared, &materials);
            let count = |severity| findings.iter().filter(|finding| finding.severity == severity).count();
            let wait = longest_wait(&queue(&with_it, prepared, &materials));
            let worth = drafting.worth_of(order);
            Self {
                name: name.to_owned(),
                stands,
                worth_percent: (own_worth > 0).then(|| 100.0 * worth as f64 / own_worth as f64),
                free_minutes: free_minutes(order, &timings(order, prepared, &materials), prepared.doors),
                longest_wait_minutes: wait.map_or(0.0, |minute| minute.wait_minutes),
                stoppers: count(Severity::Stopper),
                cautions: count(Severity::Caution),
                difference: OrderDifference::between(&evening.order, order),
                order: order.clone(),
            }
        };
        let own = facts(&evening.version, true, &evening.order);
        let kept = evening.versions.iter().map(|kept| facts(&kept.name, false, &kept.order));
        [own].into_iter().chain(kept).collect()
    }
}
