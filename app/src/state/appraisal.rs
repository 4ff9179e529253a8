//! How good an order is, against the best draft found with the same held stops and what no order can exceed.

use evenfall_core::catalogue::TargetId;
use evenfall_core::plan::{
    Drafted, Drafting, Evening, Finding, GivenUp, Materials, PickUp, Prepared, Rule, RunningOrder, Severity,
    Stop, check,
};
use evenfall_core::time::Interval;

/// How much work is put into a draft and its proof, in the solver's units of about a microsecond.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Search for a draft that the user asked for.
    pub draft: u64,
    /// Search for the draft that an order made by hand is compared with.
    pub appraisal: u64,
    /// Proof of how much better any order could be.
    pub bound: u64,
}

impl Default for Effort {
    fn default() -> Self {
        Self { draft: 600_000, appraisal: 240_000, bound: 7_500_000 }
    }
}

/// How far the work has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Better drafts are looked for.
    Searching,
    /// It is counted how much better any order could be.
    Counting,
    /// Nothing more is done.
    Done,
}

/// What an order is worth beside the best draft.
#[derive(Clone, Debug, PartialEq)]
pub struct Appraisal {
    /// What the order on the Board is worth, in points.
    pub own: i64,
    /// What the best draft found is worth, in points.
    pub best: i64,
    /// No order that a draft could choose is worth more, in points: one that keeps the wishes, in whole minutes, with the
    /// lengths offered and time between stops as drafts keep it. An order made by hand may be.
    pub most: i64,
    /// Whether the order on the Board leaves as much time free after each stop as a draft does.
    pub spares: bool,
    /// Targets that must be shown, that the draft shows and the order on the Board does not.
    pub missed: Vec<TargetId>,
    /// Wishes that no draft keeps.
    pub given_up: Vec<GivenUp>,
    /// How far the work has come.
    pub stage: Stage,
}

/// How good the order on the Board is, for people.
#[derive(Clone, Debug, PartialEq)]
pub enum Quality {
    /// No order that a draft could choose is better.
    Best,
    /// It is better than anything that a draft could choose.
    BeatsDrafts {
        /// Whether it leaves as much time free after each stop as a draft does.
        spares: bool,
    },
    /// No order that a draft could choose is better by more than this, in percent.
    AtMost(f64),
    /// A new draft is better by this, in percent.
    DraftBetter(f64),
    /// A new draft shows these targets too, which must be shown.
    DraftShows(Vec<TargetId>),
}

/// Below this a better draft is not worth telling of, in percent: the last figure shown.
const TOLD_PERCENT: f64 = 0.1;

impl Appraisal {
    /// How good the order on the Board is, if it keeps all that a draft must keep; `None` where it shows nothing that can
    /// be compared.
    pub fn quality(&self) -> Option<Quality> {
        if !self.missed.is_empty() {
            return Some(Quality::DraftShows(self.missed.clone()));
        }
        if self.own <= 0 {
            return None;
        }
        let percent = |points: i64| 100.0 * (points - self.own) as f64 / self.own as f64;
        Some(match (percent(self.best), percent(self.most.max(self.best))) {
            (better, _) if better >= TOLD_PERCENT => Quality::DraftBetter(better),
            (_, most) if most < 0.0 => Quality::BeatsDrafts { spares: self.spares },
            (_, most) if most <= 0.0 => Quality::Best,
            (_, most) => Quality::AtMost(most),
        })
    }

    /// Judges an order by a draft under way.
    pub(super) fn new(
        drafting: &Drafting<'_>,
        drafted: Drafted,
        evening: &Evening,
        order: &RunningOrder,
        stage: Stage,
    ) -> Self {
        let shows = |order: &RunningOrder, id: &TargetId| {
            order.stops().iter().any(|stop| stop.show().is_some_and(|show| show.target == *id))
        };
        let missed = evening.wishes.must_show.iter();
        let missed = missed.filter(|id| shows(&drafted.order, id) && !shows(order, id)).cloned().collect();
        let own = if *order == drafted.order { drafted.worth } else { drafting.worth_of(order) };
        let spares = own <= drafted.most || drafting.keeps_time_to_spare(order);
        Self {
            own,
            best: drafted.worth,
            most: drafted.most,
            spares,
            missed,
            given_up: drafted.given_up,
            stage,
        }
    }

    /// Whether a draft would be no better than the order on the Board, which keeps all that must be shown.
    pub(super) fn stands_up(&self) -> bool {
        self.missed.is_empty() && self.own >= self.best
    }

    /// What is seen of it, to tell whether it has changed.
    pub(super) fn seen(&self) -> (Option<Quality>, Stage) {
        let tenths = |percent: f64| (percent * 10.0).ceil();
        let quality = self.quality().map(|quality| match quality {
            Quality::AtMost(percent) => Quality::AtMost(tenths(percent)),
            Quality::DraftBetter(percent) => Quality::DraftBetter(tenths(percent)),
            other => other,
        });
        (quality, self.stage)
    }
}

/// Whether the order on the Board can stand beside a draft: nothing in it is stopped, and it breaks no wish for ports
/// unless the draft does.
pub(super) fn can_stand(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    draft: &RunningOrder,
) -> bool {
    let found = check(evening, prepared, materials);
    let breaks_wish = |found: &[Finding]| found.iter().any(breaks_port_wish);
    let drafted = || Evening { order: draft.clone(), ..evening.clone() };
    found.iter().all(|finding| finding.severity != Severity::Stopper)
        && (!breaks_wish(&found) || breaks_wish(&check(&drafted(), prepared, materials)))
}

/// Whether a wish for changes of port, or for stops on one, is broken.
pub(super) const fn breaks_port_wish(finding: &Finding) -> bool {
    matches!(finding.rule, Rule::TooManyPortChanges { .. } | Rule::TooFewOnPort { .. })
}

/// All of an evening that a draft depends on under one sky. What a draft is free to change is left out, so that an edit of
/// it goes on with the same draft.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct DraftKey {
    evening: Evening,
    picked_up: Option<PickUp>,
}

impl DraftKey {
    pub(super) fn new(evening: &Evening, picked_up: Option<&PickUp>, doors: Interval) -> Self {
        let is_done = |stop: &Stop| picked_up.is_some_and(|picked_up| picked_up.done.contains(&stop.id));
        let standing = evening.order.stops().iter().filter_map(|stop| {
            let free = !(stop.held.time || is_done(stop));
            match (free, stop.held.port) {
                (true, true) => Some(Stop { interval: doors, ..stop.clone() }),
                (true, false) => None,
                (false, _) => Some(stop.clone()),
            }
        });
        let evening = Evening {
            title: String::new(),
            site_file: String::new(),
            rig_file: String::new(),
            catalogue_file: String::new(),
            order: RunningOrder::new(standing.collect()),
            version: String::new(),
            versions: Vec::new(),
            shown: Vec::new(),
            ..evening.clone()
        };
        Self { evening, picked_up: picked_up.cloned() }
    }
}

#[cfg(test)]
mod tests {
    use super::{Appraisal, Quality, Stage};

    #[test]
    fn an_order_is_the_best_only_as_far_as_the_bound_tells() {
        let quality = |own, best, most| {
            let (missed, given_up) = (Vec::new(), Vec::new());
            Appraisal { own, best, most, spares: false, missed, given_up, stage: Stage::Done }.quality()
        };
        assert_eq!(quality(1000, 1000, 1000), Some(Quality::Best));
        assert_eq!(quality(1001, 1000, 1000), Some(Quality::BeatsDrafts { spares: false }));
        assert_eq!(
            quality(1001, 1000, 1002).map(|quality| matches!(quality, Quality::AtMost(_))),
            Some(true)
        );
        assert_eq!(quality(1000, 1100, 1100), Some(Quality::DraftBetter(10.0)));
        assert_eq!(quality(0, 1000, 1000), None);
    }
}
