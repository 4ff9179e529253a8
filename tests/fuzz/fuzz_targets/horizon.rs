//! Fuzzes the reader `horizon`.
#![no_main]

use evenfall_fuzz::readers;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| readers::horizon(bytes));
