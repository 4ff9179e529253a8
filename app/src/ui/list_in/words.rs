//! The words of the page on which a list comes in.

use std::path::Path;

use evenfall_core::lists::{ColumnUse, Effect, Meaning, Remark};
use evenfall_core::place::StarPlace;
use evenfall_core::sheet::numbers;
use evenfall_core::units::{Angle, Magnitude};

use crate::state::ListSeen;

/// The command.
pub const LIST_NAME: &str = "Bring in a list…";
/// What it is for.
pub const LIST_HINT: &str = "Targets from CSV, plain coordinates or VOTable; or drop the file on the window";

pub(super) const HINT: &str = "Nothing is done yet. What each column is can be corrected; then one step brings the targets in, and how \
                               the list was read is kept beside it for the next time.";
pub(super) const COLUMNS: &str = "What each column is";
pub(super) const FIRST: &str = "The first rows as they are read";
pub(super) const GOOD_TO_KNOW: &str = "Good to know";
pub(super) const NOT_USED: &str = "Not used";
pub(super) const THERE_ALREADY: &str = "In the catalogue already";
pub(super) const NO_ROW: &str = "No row can be used as it stands.";
pub(super) const NO_UNIT: &str = "as written";
pub(super) const USUAL_KIND: &str = "Kind of every row";
pub(super) const EQUINOX: &str = "Coordinates for";
pub(super) const STOP: &str = "Stop and close";
pub(super) const CANCEL: &str = "Cancel";
pub(super) const KEPT_MAPPING: &str = "Read as it was the last time, by the mapping beside it.";
pub(super) const HEADS: [&str; 5] = ["Name", "Kind", "Place (J2000)", "Size", "Magnitude"];

const NOT_KNOWN: &str = "not known";

pub(super) fn title(path: &Path) -> String {
    let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
    format!("Bring in {name}")
}

pub(super) fn reading(rows_done: usize, row_count: usize) -> String {
    if row_count == 0 {
        "Reading the list…".to_owned()
    } else {
        format!("Reading: {rows_done} of {row_count} rows")
    }
}

/// How many rows came to what.
pub(super) fn outcome(seen: &ListSeen) -> String {
    let rows = numbers::count(seen.account.row_count, "row", "rows");
    let left_out = seen.account.row_count - seen.account.used_count;
    let there = match seen.met_count {
        0 => String::new(),
        met => format!(", {met} in the catalogue already"),
    };
    format!("{rows}: {} used, {left_out} not used{there}, {} new", seen.account.used_count, seen.new.len())
}

/// What the button does; `fills` where targets of the catalogue gain something.
pub(super) fn bring(count: usize, fills: bool) -> String {
    if count == 0 && fills {
        return "Take what the catalogue lacks".to_owned();
    }
    format!("Bring in {}", numbers::count(count, "target", "targets"))
}

pub(super) fn column_is(column: &str) -> String {
    format!("{column} is")
}

pub(super) fn unit_of(column: &str) -> String {
    format!("Unit of {column}")
}

pub(super) fn meaning(is: Meaning) -> &'static str {
    match is {
        Meaning::Ignored => "not used",
        is => is.words().strip_prefix("the ").unwrap_or(is.words()),
    }
}

pub(super) fn why(column: &ColumnUse, is_corrected: bool) -> String {
    match (is_corrected, column.guessed) {
        (true, _) => "as you say".to_owned(),
        (false, true) => format!("guessed: {}", column.why),
        (false, false) => column.why.clone(),
    }
}

pub(super) fn equinox(equinox: Option<&str>) -> String {
    equinox.unwrap_or("what the list says, else J2000").to_owned()
}

pub(super) fn broken_mapping(why: &str) -> String {
    format!("The mapping beside the list can't be read and is left alone, so everything is guessed. {why}")
}

pub(super) fn too_many(most: usize) -> String {
    format!("With these the catalogue would have more than {most} targets: take fewer into one list.")
}

pub(super) fn fill(count: usize) -> String {
    let entries = numbers::count(count, "target", "targets");
    format!("Let {entries} of the catalogue take from the list what they lack")
}

pub(super) fn beyond(count: usize) -> String {
    format!("and {count} more")
}

/// A remark with its place before it.
pub(super) fn remark(remark: &Remark) -> String {
    let mut words = String::new();
    if remark.line > 0 {
        let (line, column, value) = (remark.line, &remark.column, &remark.value);
        let column = if column.is_empty() { String::new() } else { format!(", column {column}") };
        let value = if value.is_empty() { String::new() } else { format!(", \"{value}\"") };
        words = format!("Line {line}{column}{value}: ");
    }
    words += match remark.effect {
        Effect::List => "",
        Effect::RowLeftOut => "row not used: ",
        Effect::ValueLeftOut => "value not used: ",
    };
    format!("{words}{}. {}", remark.reason, remark.remedy)
}

pub(super) fn place(place: StarPlace) -> String {
    let declination = numbers::degrees_minutes_seconds(place.declination);
    format!("{}, {declination}", numbers::hours_minutes_seconds(place.right_ascension))
}

pub(super) fn size(size: Option<(Angle, Angle)>) -> String {
    match size {
        None => NOT_KNOWN.to_owned(),
        Some((long, short)) if long == short => format!("{:.1}′", long.arcminutes()),
        Some((long, short)) => format!("{:.1}′ × {:.1}′", long.arcminutes(), short.arcminutes()),
    }
}

pub(super) fn magnitude(magnitude: Option<Magnitude>) -> String {
    magnitude.map_or_else(|| NOT_KNOWN.to_owned(), |magnitude| format!("{:.1}", magnitude.0))
}
