//! The evening gone through in the dry: every move as the telescope will make it, the longest of them, and what would
//! stop the night.

use super::{Evening, Finding, Materials, Prepared, Severity, StopId, StopTiming, check, timings};

/// A move of the evening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DryMove {
    /// The stop that it leads to.
    pub timing: StopTiming,
    /// The stop that it comes from; none for the first.
    pub from: Option<StopId>,
}

impl DryMove {
    /// How long it takes, framing and exposing included, in seconds.
    pub fn seconds(&self) -> f64 {
        self.timing.parts.total_s() + self.timing.lead_s
    }
}

/// What a dry run finds.
#[derive(Clone, Debug, PartialEq)]
pub struct DryRun {
    /// Every move to a target, in order.
    pub moves: Vec<DryMove>,
    /// What would stop the night; empty if nothing does.
    pub blocking: Vec<Finding>,
}

impl DryRun {
    /// The longest move, the first of equals; `None` where nothing is shown.
    pub fn longest(&self) -> Option<&DryMove> {
        self.moves.iter().reduce(|longest, own| if own.seconds() > longest.seconds() { own } else { longest })
    }
}

/// Goes through the evening: all moves and limits, minute by minute, as [`check`] judges them.
pub fn dry_run(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> DryRun {
    let mut moves: Vec<DryMove> = Vec::new();
    for (stop, timing) in evening.order.stops().iter().zip(timings(&evening.order, prepared, materials)) {
        if stop.show().is_some() {
            let from = moves.last().map(|before| before.timing.stop);
            moves.push(DryMove { timing, from });
        }
    }
    let found = check(evening, prepared, materials);
    let blocking = found.into_iter().filter(|finding| finding.severity == Severity::Stopper).collect();
    DryRun { moves, blocking }
}
