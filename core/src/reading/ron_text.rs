//! Strict RON with places: the path of the key and the position of the fault in the text.

use serde::de::DeserializeOwned;

use super::{Fault, Faults};

/// A list in a file, each entry kept as the text it was, with its place.
#[derive(Clone, Debug)]
pub struct Entries;

/// Reads one value strictly (unknown keys are faults, with the nearest known key in the remedy).
///
/// # Errors
/// The fault, with its line, column and key.
pub fn read_strict<T: DeserializeOwned>(file: &str, text: &str) -> Result<T, Fault> {
    todo!()
}

/// Reads each entry of a list by itself; faulty ones are reported, the others come back with their index.
pub fn read_entries<T: DeserializeOwned>(
    file: &str,
    text: &str,
    entries: &Entries,
) -> (Vec<(usize, T)>, Faults) {
    todo!()
}
