//! Headings and labels of the printed pages and tables: what stands there whatever the evening.

use super::numbers::count;

/// The title of an evening that has none.
pub const RUN_SHEET: &str = "Run sheet";
/// What stands in place of the table of an evening without stops.
pub const NO_STOPS: &str = "No stops are laid out yet.";
/// Heading of what is wrong with the whole evening.
pub const FINDINGS: &str = "Before doors open";
/// Heading of the drawing.
pub const TIMELINE: &str = "The evening on a clock";
/// What follows the drawing's own words, for those who can't see it.
pub const TIMELINE_TABLE: &str = "The table of stops before it says the same in words.";
/// Heading of the safety cautions.
pub const CAUTIONS: &str = "Cautions";
/// Heading of the decision box.
pub const DECISION: &str = "Go or no-go";
/// Above the limits in the decision box.
pub const CLOSE_AT: &str = "Close the dome or call it off at:";
/// The choices of the decision box.
pub const CHOICES: [&str; 2] = ["Go", "No-go"];
/// The lines to fill in below them.
pub const DECISION_LINES: [&str; 3] = ["Decided at", "Night lead", "Operator"];
/// What a box to tick stands for, where it can't be seen.
pub const TICK_BOX: &str = "box to tick when done";
/// What a box beside a choice stands for, where it can't be seen.
pub const CHOICE_BOX: &str = "box to tick";
/// What a box for a count stands for, where it can't be seen.
pub const COUNT_BOX: &str = "box for the number of visitors";
/// What a line to fill in stands for, where it can't be seen.
pub const FILL_IN: &str = "to be filled in";
/// What an empty cell says.
pub const NOTHING: &str = "–";
/// What the table shows, for those who can't see it.
pub const TABLE_SUMMARY: &str = "One row for each stop of the evening in order of time. A row below a stop tells of its \
                                 Stoppers and Cautions.";

/// Heads of the columns of the table of stops.
pub const COLUMNS: [&str; 11] = [
    "Done",
    "Stop",
    "Time",
    "Target",
    "Port",
    "Altitude, azimuth",
    "Move, turn, frame",
    "People",
    "What to say",
    "Understudy",
    "Count",
];

/// What stands over an evening with Stoppers: `3 Stoppers: not to be run as it stands`; nothing over one without.
pub fn not_to_be_run(stoppers: usize) -> String {
    match stoppers {
        0 => String::new(),
        _ => format!("{}: not to be run as it stands", count(stoppers, "Stopper", "Stoppers")),
    }
}

/// The page of all pages: `Page 1 of 2`.
pub fn page_of(page: usize, pages: usize) -> String {
    format!("Page {page} of {pages}")
}
