//! The source files of the project, for the tests that read them.

use std::fs;
use std::path::{Path, PathBuf};

/// All `.rs` files under a folder, build products left out, in order.
///
/// # Panics
/// When the folder can't be listed: then the test that asked is meaningless.
pub fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let entries = fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() && entry.file_name() != "target" {
            found.extend(rust_files(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}
