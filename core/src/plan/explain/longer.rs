//! The evening with doors open longer, without computing the whole sky anew.

use chrono::Timelike;
use chrono::{Duration, NaiveTime};

use crate::plan::{EntryKind, Evening, Materials, Prepared, RunningOrder, prepare};

/// An evening whose doors close so many minutes later, its closing with them, and its sky; `None` where there is no such
/// evening.
pub(super) fn longer(
    evening: &Evening,
    materials: &Materials<'_>,
    minutes: u32,
) -> Option<(Evening, Prepared)> {
    let later = |time: NaiveTime| time + Duration::minutes(i64::from(minutes));
    let mut longer = evening.clone();
    longer.programme.doors_close = later(evening.programme.doors_close);
    for entry in longer.programme.fixed.iter_mut().filter(|entry| entry.kind == EntryKind::Closing) {
        entry.start = later(entry.start);
    }
    let _ = longer.programme.doors_close.hour();
    longer.order = RunningOrder::new(evening.order.stops().to_vec());
    let prepared = prepare(&longer, materials).ok()?;
    Some((longer, prepared))
}
