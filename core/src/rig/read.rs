//! RON to a rig: strict, every fault with its place; impossible numbers refused.

use super::Rig;
use crate::reading::Faults;

/// The first line of a rig file says this.
pub const RIG_FORMAT: &str = "evenfall-rig/1";

/// Reads a rig.
///
/// # Errors
/// All faults found.
pub fn read_rig(file: &str, text: &str) -> Result<Rig, Faults> {
    todo!()
}
