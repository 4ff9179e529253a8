//! Data flows downward only: a folder of the core imports itself and the folders before it.

use std::fs;
use std::path::{Path, PathBuf};

use evenfall_tests::files::rust_files;

/// The folders of the core, and for each those it may import beside itself.
const LAYERS: [(&str, &[&str]); 21] = [
    ("units", &[]),
    ("maths", &["units"]),
    ("time", &["units", "maths"]),
    ("earth", &["units", "maths", "time"]),
    ("ephemeris", &["units", "maths", "time", "earth"]),
    ("reading", &["units"]),
    ("elements", &["units", "maths", "time", "ephemeris", "reading"]),
    ("place", &["units", "maths", "time", "earth", "ephemeris", "elements"]),
    ("arrange", &["units", "maths", "reading"]),
    ("events", &["units", "maths", "time", "earth", "ephemeris", "elements", "place"]),
    ("catalogue", &["units", "time", "ephemeris", "elements", "place", "reading"]),
    ("lists", &["units", "maths", "elements", "place", "reading", "catalogue"]),
    ("rig", &["units", "maths", "reading"]),
    ("site", &["units", "earth", "place", "reading"]),
    ("sky", &["units", "maths", "earth", "place", "site"]),
    ("assign", &["units", "maths", "ephemeris", "catalogue", "rig", "sky"]),
    (
        "plan",
        &[
            "units",
            "maths",
            "time",
            "earth",
            "ephemeris",
            "elements",
            "place",
            "events",
            "catalogue",
            "rig",
            "site",
            "sky",
            "assign",
            "arrange",
        ],
    ),
    ("document", &["units", "time", "earth", "catalogue", "rig", "site", "plan", "reading"]),
    (
        "chart",
        &[
            "units",
            "maths",
            "time",
            "earth",
            "ephemeris",
            "elements",
            "place",
            "events",
            "catalogue",
            "rig",
            "site",
            "sky",
            "assign",
            "plan",
            "sheet",
        ],
    ),
    (
        "sheet",
        &[
            "units",
            "maths",
            "time",
            "earth",
            "ephemeris",
            "elements",
            "place",
            "events",
            "catalogue",
            "rig",
            "site",
            "sky",
            "assign",
            "plan",
        ],
    ),
    (
        "output",
        &[
            "units",
            "maths",
            "time",
            "earth",
            "ephemeris",
            "elements",
            "place",
            "events",
            "catalogue",
            "rig",
            "site",
            "sky",
            "assign",
            "plan",
            "document",
            "chart",
            "sheet",
        ],
    ),
];

#[test]
fn every_import_points_downward() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("../core/src");
    let mut wrong = Vec::new();
    let mut seen = 0;
    for (layer, allowed) in LAYERS {
        let files = rust_files(&source.join(layer));
        let for_tests = test_modules(&files);
        for file in files.iter().filter(|file| !for_tests.contains(file)) {
            let text = fs::read_to_string(file).expect("a listed source file can be read");
            // What stands in a module of tests may build worlds out of anything.
            let code = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default();
            for imported in code.split("crate::").skip(1) {
                assert!(!imported.starts_with('{'), "{}: import folder by folder", file.display());
                let folder: String =
                    imported.chars().take_while(|c| c.is_ascii_lowercase() || *c == '_').collect();
                seen += 1;
                if folder != layer && !folder.is_empty() && !allowed.contains(&folder.as_str()) {
                    wrong.push(format!("{} imports crate::{folder}", file.display()));
                }
            }
        }
    }
    assert!(seen > 100, "only {seen} imports were found: is the scan looking in the right place?");
    assert!(wrong.is_empty(), "imports against the flow of data:\n{}", wrong.join("\n"));
}

/// Files that their parent declares for tests alone: they may build worlds out of anything.
fn test_modules(files: &[PathBuf]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for file in files {
        let text = fs::read_to_string(file).expect("a listed source file can be read");
        for declared in text.split("#[cfg(test)]").skip(1) {
            let line = declared.trim_start().lines().next().unwrap_or_default();
            let name = line.trim_start_matches("pub(crate) ").strip_prefix("mod ");
            if let Some(name) = name.and_then(|rest| rest.strip_suffix(';')) {
                found.push(file.with_file_name(format!("{name}.rs")));
            }
        }
    }
    found
}

#[test]
fn every_folder_of_the_core_has_its_layer() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("../core/src");
    for entry in fs::read_dir(source).expect("the core's source folder can be listed") {
        let path = entry.expect("an entry of the source folder can be read").path();
        if path.is_dir() {
            let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
            assert!(LAYERS.iter().any(|layer| layer.0 == name), "{name} stands in no layer");
        }
    }
}
