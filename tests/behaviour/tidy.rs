//! Habits that a machine can check: every file says first what it is for, and none grows without bound.

use std::fs;
use std::path::Path;

use evenfall_tests::files::rust_files;

#[test]
fn every_file_says_first_what_it_is_for() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut files = Vec::new();
    for folder in ["core", "app", "tests"] {
        files.extend(rust_files(&root.join(folder)));
    }
    assert!(files.len() > 80, "only {} files were found", files.len());
    for file in files {
        let text = fs::read_to_string(&file).expect("a listed source file can be read");
        assert!(text.starts_with("//! "), "{} does not begin with its purpose", file.display());
        let lines = text.lines().count();
        assert!(lines <= 700, "{} has {lines} lines: has it more than one reason to exist?", file.display());
    }
}

#[test]
fn the_bibliography_names_every_folder() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let guide = fs::read_to_string(root.join("DEVELOPERS.md")).expect("DEVELOPERS.md can be read");
    for entry in fs::read_dir(root.join("core/src")).expect("the core's source folder can be listed") {
        let path = entry.expect("an entry of the source folder can be read").path();
        if path.is_dir() {
            let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
            assert!(guide.contains(&format!("`{name}`")), "DEVELOPERS.md does not speak of `{name}`");
        }
    }
}
