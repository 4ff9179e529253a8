//! Where a closed part of the sky bites: the stretches in which it is closed, and those of a target's path in it.

use evenfall_core::plan::Prepared;
use evenfall_core::sheet::closed_sky_words;
use evenfall_core::time::Interval;

use crate::state::OpenEvening;

/// A closed part of the sky within the span of the Board.
pub struct ClosedBand {
    /// Which part, and when.
    pub words: String,
    pub interval: Interval,
}

/// All that are closed within a span.
pub fn bands(open: &OpenEvening, span: Interval) -> Vec<ClosedBand> {
    // The sky is prepared with one part for each wish, in their order.
    let parts = open.derived.prepared.closed_sky.iter();
    let wished = open.document.evening.wishes.closed_sky.iter();
    let bands = parts.zip(wished).filter_map(|(part, wished)| {
        let interval = part.interval.intersection(span)?;
        Some(ClosedBand { words: closed_sky_words(wished), interval })
    });
    bands.collect()
}

/// The stretches of a target's path within an interval that lie in a closed part of the sky, minute by minute as the
/// check counts them.
pub fn runs(prepared: &Prepared, target_index: usize, within: Interval) -> Vec<Interval> {
    if prepared.closed_sky.is_empty() {
        return Vec::new();
    }
    let (first, last) = (prepared.moment_index(within.start()), prepared.moment_index(within.end()));
    let mut runs: Vec<Interval> = Vec::new();
    let samples = prepared.samples(target_index, first..=last);
    for (moment, sample) in prepared.moments.iter().skip(first).zip(samples.iter()) {
        let closed = prepared.closed_sky.iter().any(|part| part.closes(sample.azimuth, moment.instant));
        if !closed {
            continue;
        }
        // A minute stands for what is nearer to it than to another.
        let (from, to) = (moment.instant.plus_minutes(-0.5), moment.instant.plus_minutes(0.5));
        let joined = match runs.last() {
            Some(run) if from.minutes_since(run.end()) < 0.1 => {
                Interval::new(run.start(), to).map(|longer| (runs.len() - 1, longer))
            }
            _ => Interval::new(from, to).map(|run| (runs.len(), run)),
        };
        if let Some((position, run)) = joined {
            runs.truncate(position);
            runs.push(run);
        }
    }
    runs.into_iter().filter_map(|run| run.intersection(within)).collect()
}
