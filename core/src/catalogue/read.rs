//! RON to a catalogue: strict, entry by entry, every fault with its place.

use super::Catalogue;
use crate::reading::Faults;

/// The first line of a catalogue file says this.
pub const CATALOGUE_FORMAT: &str = "evenfall-catalogue/1";

/// Reads a catalogue. Faulty targets are left out and reported; the rest comes in.
pub fn read_catalogue(file: &str, text: &str) -> (Catalogue, Faults) {
    todo!()
}
