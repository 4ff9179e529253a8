//! `evenfall convert`: a list of targets to a catalogue, or into one, every row that can't be used told.

use std::fs;
use std::path::Path;

use evenfall_core::catalogue::{Catalogue, read_catalogue, write_catalogue};
use evenfall_core::elements::looks_like_elements;
use evenfall_core::lists::{
    ColumnUse, Effect, ListRead, MOST_BYTES, Mapping, Meaning, Merged, merged, read_list, read_mapping,
    write_mapping,
};

use super::outcome::{Outcome, give, tell};
use super::{ConvertArguments, elements};
use crate::shell::evenings::listed;
use crate::shell::files::{MOST_TEXT, read_at_most, read_text};
use crate::shell::write_keeping;

/// Shown below the help.
pub const EXAMPLE: &str = "Examples:
  evenfall convert my-targets.csv --to my.catalogue.ron
  evenfall convert my-targets.csv --show-mapping > my.mapping.ron
  evenfall convert my-targets.csv --mapping my.mapping.ron --to my.catalogue.ron --replace
  evenfall convert more.vot --into my.catalogue.ron             shows what is new, and what is there already
  evenfall convert more.vot --into my.catalogue.ron --replace   and does it

VOTable with its data as TABLEDATA, BINARY2 or BINARY; or comma, semicolon, tab or bar between the columns; UTF-8, UTF-16 or Windows-1252; any order of columns, with or without a header;
decimal point or comma. A column's UCD and a table's coordinate system count. It says what each column was used as, and lists every row it could not use with line, column, value,
reason and remedy (exit status 1); the rest comes in. What was guessed wrongly is corrected in the mapping.

  evenfall convert passes.json --into my.catalogue.ron --replace
Elements of satellites (OMM as JSON, XML, KVN or CSV, or two-line elements) and of comets (a table with T, q, e, i, node, argument, epoch, H, n, or the
export lines of the minor-planet centre) come in alike. Satellites are told as events of the night, comets become targets. What is there already is renewed.";

/// Runs the command.
pub fn run(arguments: &ConvertArguments) -> Outcome {
    let mapping = match arguments.mapping.as_deref().map(mapping_of).transpose() {
        Ok(mapping) => mapping,
        Err(outcome) => return outcome,
    };
    let into = match arguments.into.as_deref().map(catalogue_of).transpose() {
        Ok(into) => into,
        Err(outcome) => return outcome,
    };
    if let Some(to) = arguments.to.as_deref().filter(|to| !arguments.replace && to.exists()) {
        tell(&format!("{} is there already. Give another name, or --replace to write over it", to.display()));
        return Outcome::WrongUsage;
    }
    let bytes = match bytes_of(&arguments.list) {
        Ok(bytes) => bytes,
        Err(outcome) => return outcome,
    };
    let file = arguments.list.display();
    if looks_like_elements(&bytes) {
        let new = || Catalogue { name: name_of(&arguments.list), ..Catalogue::default() };
        return elements::run(arguments, &bytes, &into.unwrap_or_else(new));
    }
    let read = read_list(&bytes, mapping.as_ref());
    for remark in &read.remarks {
        let gap = if remark.line > 0 { "" } else { " " };
        tell(&format!("{file}:{gap}{remark}"));
    }
    let outcome = if read.remarks.is_empty() { Outcome::Done } else { Outcome::InputErrors };
    if into.is_none() && arguments.to.is_none() {
        return outcome.max(give(&write_mapping(&read.mapping)));
    }
    let mut report = report(&file.to_string(), &read);
    if arguments.show_mapping {
        report.push_str(&write_mapping(&read.mapping));
    }
    if read.targets.is_empty() {
        tell(&format!("{file}: no row could be used, so nothing is written"));
        return Outcome::InputErrors.max(give(&report));
    }
    let catalogue = match into {
        None => Catalogue { name: name_of(&arguments.list), targets: read.targets, satellites: Vec::new() },
        Some(into) => {
            let merged = merged(&into.targets, &read.targets);
            report.push_str(&merge_report(&file.to_string(), &merged));
            Catalogue { targets: merged.targets, ..into }
        }
    };
    let to = arguments.to.as_ref().or(arguments.into.as_ref().filter(|_| arguments.replace));
    let Some(to) = to else {
        report.push_str(
            "Nothing is written: --replace writes it over the catalogue, --to beside it. Comments of your own in the \
             catalogue's file don't come along\n",
        );
        return outcome.max(give(&report));
    };
    match write_keeping(to, write_catalogue(&catalogue).as_bytes()) {
        Ok(None) => {}
        Ok(Some(not_kept)) => tell(&not_kept.to_string()),
        Err(error) => {
            tell(&error.to_string());
            return Outcome::from(&error);
        }
    }
    if fs::metadata(to).is_ok_and(|written| written.len() > MOST_TEXT) {
        let most = MOST_TEXT >> 20;
        tell(&format!(
            "{}: it is longer than the {most} MB that Evenfall opens. Take fewer targets into one list",
            to.display()
        ));
    }
    let count = catalogue.targets.len();
    let words = if count == 1 { "target" } else { "targets" };
    let written = format!("{}: {count} {words} written\n", to.display());
    outcome.max(give(&(report + &written)))
}

/// The catalogue that a list is put into. One with faults is left alone: what can't be read would be lost.
fn catalogue_of(path: &Path) -> Result<Catalogue, Outcome> {
    let text = read_text(path).map_err(|error| {
        tell(&error.to_string());
        Outcome::from(&error)
    })?;
    let (catalogue, faults) = read_catalogue(&path.display().to_string(), &text);
    if faults.is_empty() {
        return Ok(catalogue);
    }
    tell(&listed(&faults));
    Err(Outcome::InputErrors)
}

/// What comes of putting the list into a catalogue.
fn merge_report(file: &str, merged: &Merged) -> String {
    let mut lines: Vec<String> = merged.met.iter().map(|met| format!("{file}: {met}")).collect();
    let gaining = merged.met.iter().filter(|met| !met.filled.is_empty()).count();
    lines.push(format!(
        "{file}: {} new, {} in the catalogue already, {gaining} of them with something it lacked",
        merged.new_count,
        merged.met.len(),
    ));
    lines.join("\n") + "\n"
}

fn mapping_of(path: &Path) -> Result<Mapping, Outcome> {
    let text = read_text(path).map_err(|error| {
        tell(&error.to_string());
        Outcome::from(&error)
    })?;
    read_mapping(&path.display().to_string(), &text).map_err(|faults| {
        tell(&listed(&faults));
        Outcome::InputErrors
    })
}

/// The bytes of a list; one that is too large is refused before it is read.
fn bytes_of(path: &Path) -> Result<Vec<u8>, Outcome> {
    match read_at_most(path, MOST_BYTES as u64) {
        Ok(Some(bytes)) => Ok(bytes),
        Ok(None) => {
            let most = MOST_BYTES / (1024 * 1024);
            let file = path.display();
            tell(&format!("{file}: it is larger than {most} MB, so it was not read. Split the list"));
            Err(Outcome::InputErrors)
        }
        Err(error) => {
            tell(&error.to_string());
            Err(Outcome::from(&error))
        }
    }
}

/// The catalogue's name: that of the list, as long as a name may be.
fn name_of(path: &Path) -> String {
    const LONGEST: usize = 60;
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let name: String = stem.chars().filter(|c| !c.is_control()).take(LONGEST).collect();
    if name.trim().is_empty() { "Targets".to_owned() } else { name }
}

/// What was used as what, what was taken for granted, and how many came in.
fn report(file: &str, read: &ListRead) -> String {
    let mut lines: Vec<String> =
        read.columns.iter().map(|column| format!("{file}: {}", column_line(column))).collect();
    lines.extend(read.notes.iter().map(|note| format!("{file}: {note}")));
    let with_values = read.remarks.iter().filter(|remark| remark.effect == Effect::ValueLeftOut).count();
    lines.push(format!(
        "{file}: {} rows, {} used, {} not used, {with_values} values not used",
        read.row_count,
        read.targets.len(),
        read.rows_left_out(),
    ));
    lines.join("\n") + "\n"
}

fn column_line(column: &ColumnUse) -> String {
    let guessed = if column.guessed { "guessed: " } else { "" };
    if column.is == Meaning::Ignored {
        return format!("column \"{}\" is not used: {}", column.column, column.why);
    }
    let unit = column.unit.map(|unit| format!(" in {unit:?}")).unwrap_or_default();
    format!("column \"{}\" is {:?}{unit} ({guessed}{})", column.column, column.is, column.why)
}
