//! Files that people write: RON read strictly, with every fault placed by line, column and key.
//!
//! [`read_strict`] reads one value and stops at its first fault; lists inside a file are read entry by
//! entry through [`Entries`], so that one bad entry does not hide the others. [`Fault`] is what every
//! reader gives back beside what it could read.

mod fault;
mod ron_text;

pub use fault::{Fault, Faults};
pub use ron_text::{Entries, read_entries, read_strict};
