//! The running order as CSV (RFC 4180), units in the headings, cells safe in a spreadsheet.

use crate::sheet::RunSheet;

/// The rows as CSV.
pub fn order_csv(sheet: &RunSheet) -> String {
    todo!()
}
