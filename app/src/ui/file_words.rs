//! What the window says about files: paths, what is in the way, what went wrong, what would be lost.

use std::path::Path;

use crate::state::{Part, PathUse, Report, Then};

/// Asks about unsaved changes.
pub const UNSAVED_TITLE: &str = "The evening has changes that are not saved";
/// Saves first.
pub const UNSAVED_SAVE: &str = "Save first";
/// Goes on without.
pub const UNSAVED_DISCARD: &str = "Go on without saving";
/// Leaves everything as it is.
pub const STAY: &str = "Stay";
/// Asks about a file that is there already.
pub const REPLACE_TITLE: &str = "Replace a file";
/// Loses the old file.
pub const REPLACE: &str = "Replace";
/// The field of a path.
pub const PATH: &str = "Path of the file";
/// Why the window asks itself.
pub const PATH_HINT: &str =
    "This desktop offers no file dialog, so type the path. Enter goes ahead, Escape changes nothing.";

/// What went wrong with files, and what now.
pub const fn report(about: Report) -> (&'static str, &'static str) {
    match about {
        Report::LeftOut => (
            "Some entries were left out",
            "The evening is open without them. Mend the files and open it again.",
        ),
        Report::NotOpened => ("The evening could not be opened", "Put this right and open it again."),
        Report::NotSaved => {
            ("The evening was not saved", "It is still open here. Put this right, or save it elsewhere.")
        }
        Report::NotExported => ("Not written", "Put this right, or write it elsewhere."),
        Report::NotMade => {
            ("The files of your evening were not written", "Put this right and describe it once more.")
        }
    }
}

/// The question over the path field.
pub const fn path_title(purpose: PathUse) -> &'static str {
    match purpose {
        PathUse::Open => "Open an evening",
        PathUse::Save => "Save the evening as",
        PathUse::Folder => "Write the pages into",
        PathUse::ExportProblem => "Save the evening as numbers to",
        PathUse::OpenPart(Part::Site) => "Choose another site",
        PathUse::OpenPart(Part::Rig) => "Choose another rig",
        PathUse::OpenPart(Part::Catalogue) => "Choose another catalogue",
        PathUse::NewPart(Part::Site) => "Save the site as a new file",
        PathUse::NewPart(Part::Rig) => "Save the rig as a new file",
        PathUse::NewPart(Part::Catalogue) => "Save the catalogue as a new file",
        PathUse::List => "Bring in a list of targets",
        PathUse::HorizonText => "Read the horizon from a text",
    }
}

/// The button under the path field.
pub const fn path_go(purpose: PathUse) -> &'static str {
    match purpose {
        PathUse::Open => "Open",
        PathUse::Save | PathUse::NewPart(_) => "Save",
        PathUse::OpenPart(_) => "Choose",
        PathUse::HorizonText | PathUse::List => "Read",
        PathUse::Folder | PathUse::ExportProblem => "Write",
    }
}

/// Which file is in the way.
pub fn replace_question(path: &Path) -> String {
    format!("{} is there already. Replace it?", path.display())
}

/// What is about to happen to unsaved changes.
pub const fn unsaved_question(then: &Then) -> &'static str {
    match then {
        Then::Close => "Evenfall is about to close.",
        Then::ChooseFile | Then::Open(_) => "Another evening is about to be opened.",
    }
}

/// Parts of an evening in words: `site and rig`.
pub fn parts(parts: &[Part]) -> String {
    let words: Vec<&str> = parts.iter().map(|part| part_word(*part)).collect();
    in_words(&words)
}

const fn part_word(part: Part) -> &'static str {
    match part {
        Part::Site => "site",
        Part::Rig => "rig",
        Part::Catalogue => "catalogue",
    }
}

/// What is not saved: the evening, its site.
pub fn not_saved(evening: bool, parts: &[Part]) -> String {
    let own = evening.then_some("the evening");
    let words: Vec<&str> = own.into_iter().chain(parts.iter().map(|part| part_word(*part))).collect();
    format!("Not saved: {}.", in_words(&words))
}

fn in_words(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::{not_saved, parts};
    use crate::state::Part;

    #[test]
    fn what_is_saved_with_an_evening_is_named() {
        assert_eq!(parts(&Part::ALL), "site, rig and catalogue");
        assert_eq!(not_saved(false, &[Part::Rig]), "Not saved: rig.");
        assert_eq!(not_saved(true, &[Part::Site, Part::Rig]), "Not saved: the evening, site and rig.");
    }
}
