//! A first running order that never lays out something impossible; same input, same answer.

use super::{Evening, Materials, Prepared, RunningOrder};

/// Drafts the evening anew: held stops and the programme's fixed entries stay, everything else is laid out again.
pub fn draft(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> RunningOrder {
    todo!()
}
