//! What follows from the document: the sky, the moves, the findings, the Shelf. Replaced, never edited.

use std::sync::Arc;

use evenfall_core::plan::{
    Evening, Finding, Judged, Materials, Overruled, Prepared, QueueMinute, Seen, Severity, ShelfEntry,
    StopId, StopTiming, judge, judge_again, overruled, shelf,
};

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
    /// How each target shown is seen.
    seen: Vec<Seen>,
    /// Every target: what can be shown first, by worth.
    pub shelf: Arc<Vec<ShelfEntry>>,
    /// Counts up with every change, so that pictures know when they are old.
    pub revision: u64,
}

impl Derived {
    /// For an evening under a prepared sky.
    pub fn new(evening: &Evening, prepared: Arc<Prepared>, materials: &Materials<'_>) -> Self {
        let shelf = Arc::new(by_worth(evening, &prepared, materials));
        let mut derived = Self {
            prepared,
            timings: Vec::new(),
            findings: Vec::new(),
            overruled: Vec::new(),
            line: Vec::new(),
            seen: Vec::new(),
            shelf,
            revision: 0,
        };
        derived.follow(evening, materials);
        derived
    }

    /// Follows an edit of the running order under the same sky.
    pub fn follow(&mut self, evening: &Evening, materials: &Materials<'_>) {
        let Judged { findings, timings, line, seen } = judge(evening, &self.prepared, materials);
        (self.findings, self.timings, self.line, self.seen) = (findings, timings, line, seen);
        self.overruled = overruled(&evening.order, &self.prepared, materials);
        self.revision += 1;
    }

    /// Another running order for the evening that is followed, judged; nothing but the order may differ.
    pub fn judge(&self, evening: &Evening, materials: &Materials<'_>) -> Judged {
        judge_again(evening, &self.prepared, materials, &self.seen)
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

/// Every target: what can be shown first, by worth.
fn by_worth(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> Vec<ShelfEntry> {
    let mut entries = shelf(&evening.house, prepared, materials, None);
    entries.sort_by(|one, other| other.worth.value().total_cmp(&one.worth.value()));
    entries
}
