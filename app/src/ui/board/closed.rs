//! Where a closed part of the sky bites: the stretches in which it is closed.

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
