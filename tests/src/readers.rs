//! Every reader of what people give the program, each with what must hold whatever the bytes: the fuzzers of `tests/fuzz` call
//! these, and so do the tests that replay what was found.

use std::sync::LazyLock;

use chrono_tz::Europe::London;
use evenfall_core::arrange::{Solver, read_problem};
use evenfall_core::catalogue::{Catalogue, NameIndex, folded_name, read_catalogue, write_catalogue};
use evenfall_core::document::{named_files, read_evening, write_evening};
use evenfall_core::elements::read_elements;
use evenfall_core::lists::{Effect, ListRead, read_list, read_mapping, renewed, write_mapping};
use evenfall_core::reading::{Fault, format_of};
use evenfall_core::rig::read_rig;
use evenfall_core::site::{read_horizon_text, read_site};

/// A reader: its name, which is that of its fuzzer and of the folder of its corpus, and what it does with some bytes.
pub type Reader = (&'static str, fn(&[u8]));

/// All of them.
pub const READERS: [Reader; 12] = [
    ("list", list),
    ("votable", votable),
    ("angle", angle),
    ("mapping", mapping),
    ("catalogue", catalogue),
    ("evening", evening),
    ("rig", rig),
    ("site", site),
    ("problem", problem),
    ("name", name),
    ("elements", elements),
    ("horizon", horizon),
];

/// The names of the demo, to search in.
static INDEX: LazyLock<NameIndex> = LazyLock::new(|| {
    let demo = include_str!("../../catalog-demo/heron-fell.catalogue.ron");
    NameIndex::new(&read_catalogue("demo", demo).0, |target| format!("{:?}", target.kind))
});

/// A list in any form.
pub fn list(bytes: &[u8]) {
    holds_together(&read_list(bytes, None), bytes);
}

/// The same, as a `VOTable` whatever it begins with.
pub fn votable(bytes: &[u8]) {
    let table = [b"<VOTABLE>".as_slice(), bytes].concat();
    holds_together(&read_list(&table, None), &table);
}

/// A right ascension and a declination, the bytes up to and from a line's end.
pub fn angle(bytes: &[u8]) {
    let cell = |part: &[u8]| String::from_utf8_lossy(part).replace(['"', '\n', '\r', '\0'], "");
    let mut parts = bytes.splitn(3, |byte| *byte == b'\n').map(cell);
    let mut next = || parts.next().unwrap_or_default();
    let text = format!("ra\tdec\tequinox\n\"{}\"\t\"{}\"\t\"{}\"\n", next(), next(), next());
    holds_together(&read_list(text.as_bytes(), None), text.as_bytes());
}

/// Elements of satellites and comets; what is read is put into a catalogue, which is written and read again.
pub fn elements(bytes: &[u8]) {
    let read = read_elements("given", bytes);
    have_places(&read.faults, &String::from_utf8_lossy(bytes));
    let filled = renewed(&Catalogue { name: "Drawn".into(), ..Catalogue::default() }, &read).catalogue;
    let (again, faults) = read_catalogue("again", &write_catalogue(&filled));
    assert_eq!(faults, [], "{bytes:?}");
    assert_eq!(again, filled, "{bytes:?}");
}

/// A horizon as lines of two numbers; its corners stand in the order of their azimuths.
pub fn horizon(bytes: &[u8]) {
    let read = read_horizon_text(&String::from_utf8_lossy(bytes));
    assert!(read.corners.is_sorted_by(|one, other| one.0 < other.0), "{bytes:?}");
}

/// The mapping of a list; what is read is written and read again.
pub fn mapping(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    match read_mapping("given", &text) {
        Ok(read) => assert_eq!(read_mapping("again", &write_mapping(&read)), Ok(read)),
        Err(faults) => have_places(&faults, &text),
    }
}

/// A catalogue; what is read is written and read again.
pub fn catalogue(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let (read, faults) = read_catalogue("given", &text);
    have_places(&faults, &text);
    if faults.is_empty() {
        let written = write_catalogue(&read);
        assert_eq!(read_catalogue("again", &written), (read, Vec::new()));
    }
}

/// An evening; what is read is written and read again, and written again to the same bytes.
pub fn evening(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let _ = named_files("given", &text);
    let _ = format_of("given", &text);
    match read_evening("given", &text) {
        Ok(read) => {
            let written = write_evening(&read, London);
            let again = read_evening("again", &written);
            assert_eq!(again.as_ref().map(|again| write_evening(again, London)), Ok(written));
        }
        Err(faults) => have_places(&faults, &text),
    }
}

/// A rig.
pub fn rig(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    if let Err(faults) = read_rig("given", &text) {
        have_places(&faults, &text);
    }
}

/// A site.
pub fn site(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    if let Err(faults) = read_site("given", &text) {
        have_places(&faults, &text);
    }
}

/// An evening as numbers.
pub fn problem(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    match read_problem(&text) {
        Ok(problem) => drop(Solver::new(&problem)),
        Err(faults) => assert!(!faults.is_empty()),
    }
}

/// A name, and the search for it.
pub fn name(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let folded = folded_name(&text);
    assert_eq!(folded_name(&folded), folded, "what is folded stays so");
    let _ = INDEX.find(&text);
}

/// Every fault names a line of the text, and what is wrong.
fn have_places(faults: &[Fault], text: &str) {
    let lines = text.matches('\n').count() + 1;
    for fault in faults {
        assert!(fault.line <= lines && !fault.message.is_empty(), "{fault}");
    }
}

/// What holds of every list, however bad.
pub fn holds_together(read: &ListRead, bytes: &[u8]) {
    let whole = read.remarks.iter().any(|remark| remark.effect == Effect::List);
    let left_out = read.remarks.iter().filter(|remark| remark.effect == Effect::RowLeftOut);
    let mut lines: Vec<usize> = left_out.map(|remark| remark.line).collect();
    // Rows of a VOTable may stand in one line.
    if !read.notes.iter().any(|note| note.contains("VOTable")) {
        lines.dedup();
    }
    assert!(whole || lines.len() >= read.rows_left_out(), "each row is used or told: {bytes:?}");
    assert!(read.remarks.iter().all(|remark| !remark.reason.is_empty() && !remark.remedy.is_empty()));
    let drawn = Catalogue { name: "Drawn".into(), targets: read.targets.clone(), ..Catalogue::default() };
    let written = write_catalogue(&drawn);
    let (again, faults) = read_catalogue("again", &written);
    assert_eq!(faults, [], "{bytes:?}");
    assert_eq!(again, drawn, "{bytes:?}");
    let kept = read_mapping("kept", &write_mapping(&read.mapping));
    assert_eq!(kept.as_ref(), Ok(&read.mapping), "{bytes:?}");
}
