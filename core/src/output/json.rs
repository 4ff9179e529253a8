//! The running order as JSON for other programs: versioned, units in the keys, instants in UTC.

use crate::plan::{Evening, Materials, Prepared};

/// The running order with its findings.
pub fn order_json(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> String {
    todo!()
}
