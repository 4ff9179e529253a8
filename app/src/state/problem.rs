//! The evening as numbers for a solver: the text of its file.

use evenfall_core::arrange::Problem;

/// The problem as `evenfall arrange` reads it, in the format `evening-schedule/1`.
///
/// # Errors
/// A message for people; only a fault in Evenfall leads to it.
pub fn problem_text(problem: &Problem) -> Result<String, String> {
    let text = serde_json::to_string(problem);
    text.map(|text| text + "\n").map_err(|error| format!("can't write the evening as numbers: {error}"))
}
