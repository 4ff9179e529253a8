//! What follows from the document: the sky, the moves, the findings, the Shelf. Replaced, never edited.

use std::cmp::Ordering;
use std::sync::Arc;

use evenfall_core::plan::{
    Evening, Finding, Limit, Materials, Overruled, Prepared, QueueMinute, Severity, StopId, StopTiming,
    check, overruled, queue, timings,
};
use evenfall_core::rig::PortId;
use evenfall_core::time::Instant;
use evenfall_core::units::Fraction;

/// One target on the Shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct ShelfEntry {
    /// Its position in the catalogue.
    pub target_index: usize,
    /// Its best time and what that is worth; `None` when it can't be shown.
    pub best: Option<(Instant, Fraction)>,
    /// Its best port, if any port shows it.
    pub port: Option<PortId>,
    /// The view on that port.
    pub view: Fraction,
    /// The one reason why it can't be shown.
    pub limit: Option<Limit>,
}

/// Everything that follows from one version of an evening.
#[derive(Clone, Debug)]
pub struct Derived {
    /// The sky over time.
    pub prepared: Arc<Prepared>,
    /// The move to each stop.
    pub timings: Vec<StopTiming>,
    /// Stoppers first, then by time.
    pub findings: Vec<Finding>,
    /// Stops held on a port against the ranking.
    pub overruled: Vec<Overruled>,
    /// The line before the eyepiece, minute by minute.
    pub line: Vec<QueueMinute>,
    /// Every target: what can be shown first, by worth.
    pub shelf: Arc<Vec<ShelfEntry>>,
    /// Counts up with every change, so that pictures know when they are old.
    pub revision: u64,
}

impl Derived {
    /// For an evening under a prepared sky.
    pub fn new(evening: &Evening, prepared: Arc<Prepared>, materials: &Materials<'_>) -> Self {
        let shelf = Arc::new(shelf(&prepared, materials));
        let mut derived = Self {
            prepared,
            timings: Vec::new(),
            findings: Vec::new(),
            overruled: Vec::new(),
            line: Vec::new(),
            shelf,
            revision: 0,
        };
        derived.follow(evening, materials);
        derived
    }

    /// Follows an edit of the running order under the same sky.
    pub fn follow(&mut self, evening: &Evening, materials: &Materials<'_>) {
        self.timings = timings(&evening.order, &self.prepared, materials);
        self.findings = check(evening, &self.prepared, materials);
        self.overruled = overruled(&evening.order, &self.prepared, materials);
        self.line = queue(evening, &self.prepared, materials);
        self.revision += 1;
    }

    /// How many findings there are of a severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|finding| finding.severity == severity).count()
    }

    /// The gravest finding of a stop.
    pub fn gravest(&self, stop: StopId) -> Option<Severity> {
        self.findings
            .iter()
            .filter(|finding| finding.stop == Some(stop))
            .map(|finding| finding.severity)
            .min()
    }

    /// What speaks against the port that a stop is held on.
    pub fn overruled(&self, stop: StopId) -> Option<&Overruled> {
        self.overruled.iter().find(|overruled| overruled.stop == stop)
    }

    /// The move to a stop.
    pub fn timing(&self, stop: StopId) -> Option<&StopTiming> {
        self.timings.iter().find(|timing| timing.stop == stop)
    }
}

fn shelf(prepared: &Prepared, materials: &Materials<'_>) -> Vec<ShelfEntry> {
    let mut entries: Vec<ShelfEntry> = (0..materials.catalogue.targets.len())
        .map(|target_index| {
            let availability = prepared.availability.get(target_index);
            let choice = prepared
                .choices
                .get(target_index)
                .and_then(|choices| choices.first())
                .filter(|choice| choice.view > Fraction::ZERO);
            let best = availability.and_then(|availability| availability.best);
            let limit = availability.and_then(|availability| availability.limits.first().copied());
            ShelfEntry {
                target_index,
                best,
                port: choice.map(|choice| choice.port.clone()),
                view: choice.map_or(Fraction::ZERO, |choice| choice.view),
                limit: if best.is_some() { None } else { Some(limit.unwrap_or(Limit::NoPort)) },
            }
        })
        .collect();
    entries.sort_by(|one, other| {
        let worth = |entry: &ShelfEntry| entry.best.map(|(_, worth)| worth);
        worth(other).partial_cmp(&worth(one)).unwrap_or(Ordering::Equal)
    });
    entries
}
