//! `evenfall convert`: a list of targets in CSV to a catalogue, every row that can't be used told.

use std::path::Path;

use evenfall_core::catalogue::write_catalogue;
use evenfall_core::lists::{
    ColumnUse, Effect, ListRead, MOST_BYTES, Mapping, Meaning, read_csv_list, read_mapping, write_mapping,
};

use super::ConvertArguments;
use super::outcome::{Outcome, give, tell};
use crate::shell::evenings::listed;
use crate::shell::files::{read_at_most, read_text, write_whole};

/// Shown below the help.
pub const EXAMPLE: &str = "Examples:
  evenfall convert my-targets.csv --to my.catalogue.ron
  evenfall convert my-targets.csv --show-mapping > my.mapping.ron
  evenfall convert my-targets.csv --mapping my.mapping.ron --to my.catalogue.ron --replace

Comma, semicolon, tab or bar between the columns; UTF-8, UTF-16 or Windows-1252; any order of columns, with or without a header;
decimal point or comma. It says what each column was used as, and lists every row it could not use with line, column, value,
reason and remedy (exit status 1); the rest comes in. What was guessed wrongly is corrected in the mapping.";

/// Runs the command.
pub fn run(arguments: &ConvertArguments) -> Outcome {
    let mapping = match arguments.mapping.as_deref().map(mapping_of).transpose() {
        Ok(mapping) => mapping,
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
    if is_votable(&bytes) {
        tell(&format!("{file}: a VOTable can't be read by this version; export it as CSV"));
        return Outcome::InputErrors;
    }
    let read = read_csv_list(&bytes, mapping.as_ref());
    for remark in &read.remarks {
        let gap = if remark.line > 0 { "" } else { " " };
        tell(&format!("{file}:{gap}{remark}"));
    }
    let outcome = if read.remarks.is_empty() { Outcome::Done } else { Outcome::InputErrors };
    let Some(to) = &arguments.to else {
        return outcome.max(give(&write_mapping(&read.mapping)));
    };
    let mut report = report(&file.to_string(), &read);
    if arguments.show_mapping {
        report.push_str(&write_mapping(&read.mapping));
    }
    if read.targets.is_empty() {
        tell(&format!("{file}: no row could be used, so {} is not written", to.display()));
        return Outcome::InputErrors.max(give(&report));
    }
    let name = name_of(&arguments.list);
    if let Err(error) = write_whole(to, write_catalogue(&name, &read.targets).as_bytes()) {
        tell(&error.to_string());
        return Outcome::from(&error);
    }
    let targets = if read.targets.len() == 1 { "target" } else { "targets" };
    let written = format!("{}: {} {targets} written\n", to.display(), read.targets.len());
    outcome.max(give(&(report + &written)))
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

/// Whether a list is a `VOTable` (IVOA): its root element stands near the beginning.
fn is_votable(bytes: &[u8]) -> bool {
    const LOOKED_AT: usize = 2000;
    let start = String::from_utf8_lossy(&bytes[..bytes.len().min(LOOKED_AT)]).to_lowercase();
    start.contains("<votable") && start.trim_start_matches('\u{feff}').trim_start().starts_with('<')
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
