//! The readers that are fuzzed, which are those that the tests replay.

#[path = "../../src/readers.rs"]
pub mod readers;
