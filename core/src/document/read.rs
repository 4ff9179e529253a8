//! RON to an evening: strict, every fault with its place.

use crate::plan::Evening;
use crate::reading::Faults;

/// The first line of an evening file says this.
pub const EVENING_FORMAT: &str = "evenfall-evening/1";

/// Reads an evening. Its stops are kept in local time with offset, so the file alone is enough.
///
/// # Errors
/// All faults found.
pub fn read_evening(file: &str, text: &str) -> Result<Evening, Faults> {
    todo!()
}
