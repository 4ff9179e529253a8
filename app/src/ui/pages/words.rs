//! What only the pages say: the name of each output, for whom it is, what is printed of it.

use evenfall_core::output::pdf::Paper;
use evenfall_core::output::{CalendarFor, Output};
use evenfall_core::sheet::{LeafKind, numbers};

/// The pages, on a button.
pub const PAGES: &str = "Pages";
/// The same in full.
pub const PAGES_NAME: &str = "Pages: look at them, write them…";
/// What they are.
pub const PAGES_HINT: &str = "All that the evening is printed and sent as, looked at and written as one set";

pub(super) const TITLE: &str = "Pages";
pub(super) const PAPER: &str = "Paper";
pub(super) const ALL: &str = "All";
pub(super) const ALL_NAME: &str = "Write everything";
pub(super) const NONE: &str = "None";
pub(super) const NONE_NAME: &str = "Write nothing";
pub(super) const USUAL_COPIES: &str = "Usual copies";
pub(super) const USUAL_COPIES_HINT: &str =
    "As many copies of each page as a house of this size needs as a rule";
pub(super) const FOLDER: &str = "Folder";
pub(super) const FOLDER_HINT: &str = "The folder for the files, made if it is not there. Enter writes them";
pub(super) const CHOOSE: &str = "Choose…";
pub(super) const CHOOSE_NAME: &str = "Choose the folder…";
pub(super) const CLOSE: &str = "Close";
pub(super) const CANCEL: &str = "Cancel";
pub(super) const CANCEL_NAME: &str = "Stop after this file";
pub(super) const STOPPING: &str = "Stopping after this file";
pub(super) const KEEP: &str = "Keep them";
pub(super) const BACK: &str = "Back to the pages";
pub(super) const BEFORE: &str = "Previous side";
pub(super) const AFTER: &str = "Next side";
pub(super) const WIDE: &str = "Wide";
pub(super) const WIDE_NAME: &str = "As wide as there is room";
pub(super) const LAYING_OUT: &str = "Laying the page out";
pub(super) const NO_PAGE: &str = "A file to send or to read by other programs: nothing to print.";
pub(super) const TO_PRINT: &str = "To print";
pub(super) const NOTHING_TO_PRINT: &str = "Nothing to print.";
pub(super) const NOT_WRITTEN: &str = "Not written; what was there is as it was";
pub(super) const STOPPED_BEFORE: &str = "Stopped before these";
pub(super) const WHAT_NOW: &str = "Put this right and write once more, or choose another folder.";

/// The plain name of an output, and for whom it is.
pub(super) const fn about(output: Output) -> (&'static str, &'static str) {
    match output {
        Output::RunSheet => ("Run sheet", "for those who run the evening"),
        Output::Leaf(kind) => about_leaf(kind),
        Output::Calendar(CalendarFor::Crew) => {
            ("Calendar for the crew", "call, crew and every stop, for their calendars")
        }
        Output::Calendar(CalendarFor::Visitors) => {
            ("Calendar for visitors", "the evening, for the park's website")
        }
        Output::SitePlan => ("Plan of the grounds", "for a map"),
        Output::OrderCsv => ("Running order as a table", "for a spreadsheet"),
        Output::OrderJson => ("Running order as numbers", "for other programs"),
        Output::Picture => {
            ("Picture of the evening", "the timeline in lines (SVG), for a website or a poster")
        }
        Output::Bitmap => ("Picture in dots", "the same (PNG), for a message or a document"),
    }
}

const fn about_leaf(kind: LeafKind) -> (&'static str, &'static str) {
    match kind {
        LeafKind::Handbill => ("Handbill", "for visitors to take home"),
        LeafKind::HandbillLarge => ("Handbill, large print", "for visitors with poor sight"),
        LeafKind::HandbillEasy => ("Handbill, easy words", "for visitors who like it plain"),
        LeafKind::DoorCard => ("Door card", "for the entrance"),
        LeafKind::CallCard => ("Call card", "for the night lead: go or no-go"),
        LeafKind::CloudCard => ("Cloud card", "for host and operator: what happens instead"),
        LeafKind::HostCard => ("Host card", "for the host: what to say when"),
        LeafKind::QueueCard => ("Queue card", "for whoever keeps the line"),
        LeafKind::Captions => ("Captions and spoken descriptions", "for the screen and whoever describes it"),
        LeafKind::HandOver => ("Hand-over card", "for whoever moves the telescope"),
        LeafKind::Cautions => ("Cautions", "for everybody who helps, to be signed"),
        LeafKind::NightReport => ("Night report", "for the night lead: what came of it"),
    }
}

/// A paper's name.
pub(super) const fn paper(paper: Paper) -> &'static str {
    match paper {
        Paper::A4 => "A4",
        Paper::Letter => "US Letter",
    }
}

/// How many sides a page has, or that it is none.
pub(super) fn sides(count: usize) -> String {
    numbers::count(count, "side", "sides")
}

/// The side that is looked at.
pub(super) fn side_of(side: usize, count: usize) -> String {
    format!("side {} of {count}", side + 1)
}

/// The button that writes.
pub(super) fn write(count: usize) -> String {
    format!("Write {}", numbers::count(count, "file", "files"))
}

/// The button that replaces.
pub(super) fn replace(count: usize) -> String {
    format!("Replace {}", numbers::count(count, "file", "files"))
}

/// The question about files that are there.
pub(super) fn in_the_way(names: &[String]) -> String {
    let (verb, what) = if names.len() == 1 { ("is", "Replace it?") } else { ("are", "Replace them?") };
    format!("{} {verb} there already. {what}", numbers::count(names.len(), "file", "files"))
}

/// How far the writing is.
pub(super) fn progress(done: usize, count: usize, name: &str) -> String {
    format!("{} of {count}: {name}", done + 1)
}

/// What is printed in all: copies, and sides where all of them are known.
pub(super) fn in_all(copies: u32, sides: Option<usize>) -> String {
    if copies == 0 {
        return NOTHING_TO_PRINT.to_owned();
    }
    let copies = numbers::count(copies as usize, "copy", "copies");
    match sides {
        Some(sides) => format!("{TO_PRINT}: {copies}, {}", self::sides(sides)),
        None => format!("{TO_PRINT}: {copies}"),
    }
}

/// What came of the writing.
pub(super) fn written(count: usize, of: usize, folder: &str) -> String {
    match (count, of) {
        (0, _) => "No file was written".to_owned(),
        (count, of) if count == of => {
            format!("{} written to {folder}", numbers::count(count, "file", "files"))
        }
        (count, of) => format!("{count} of {of} files written to {folder}"),
    }
}

/// A calendar whose old file was no calendar.
pub(super) fn begun_anew(name: &str) -> String {
    format!("{name}: the old file could not be read, so all its events count as new.")
}

#[cfg(test)]
mod tests {
    use evenfall_core::output::Output;

    use super::{about, in_all, written};

    #[test]
    fn every_output_has_a_name_of_its_own() {
        for (position, output) in Output::ALL.iter().enumerate() {
            let others = &Output::ALL[position + 1..];
            assert!(others.iter().all(|other| about(*other).0 != about(*output).0), "{output:?}");
        }
    }

    #[test]
    fn counts_are_worded_in_one_and_many() {
        assert_eq!(in_all(1, Some(2)), "To print: 1 copy, 2 sides");
        assert_eq!(in_all(0, Some(0)), "Nothing to print.");
        assert_eq!(written(1, 1, "x"), "1 file written to x");
        assert_eq!(written(3, 12, "x"), "3 of 12 files written to x");
    }
}
