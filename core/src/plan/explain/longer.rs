//! The evening with doors open longer, its closing with them.

use chrono::{Duration, NaiveTime};

use crate::plan::prepare_again::with_doors_longer;
use crate::plan::{EntryKind, Evening, Materials, Prepared};

/// An evening whose doors close so many minutes later, its closing with them, and its sky; `None` where there is no such
/// evening.
pub(super) fn longer(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    minutes: u32,
) -> Option<(Evening, Prepared)> {
    let later = |time: NaiveTime| time + Duration::minutes(i64::from(minutes));
    let mut longer = evening.clone();
    longer.programme.doors_close = later(evening.programme.doors_close);
    for entry in longer.programme.fixed.iter_mut().filter(|entry| entry.kind == EntryKind::Closing) {
        entry.start = later(entry.start);
    }
    let prepared = with_doors_longer(prepared, &longer, materials)?;
    Some((longer, prepared))
}
