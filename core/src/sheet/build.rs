//! Evening to run sheet.

use super::RunSheet;
use crate::plan::{Evening, Materials, Prepared};

/// The run sheet of an evening.
pub fn run_sheet(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> RunSheet {
    todo!()
}
