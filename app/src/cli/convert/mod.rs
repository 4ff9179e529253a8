//! `evenfall convert`: a list of targets to a catalogue, or into one, every row that can't be used told.

mod brightest;
mod progress;
mod taking;

use std::fs::File;
use std::io::{self, BufReader, Seek, Write};
use std::path::Path;

use evenfall_core::catalogue::{
    Catalogue, catalogue_head_as_in, catalogue_tail, read_catalogue, write_target,
};
use evenfall_core::elements::{SatelliteElements, looks_like_elements};
use evenfall_core::lists::{
    ColumnUse, ListAccount, MOST_BYTES, Mapping, Meaning, Merging, read_list_into, read_mapping,
    write_mapping,
};

use super::outcome::{Outcome, give, tell};
use super::{ConvertArguments, elements};
use crate::shell::evenings::listed;
use crate::shell::files::{FileError, MOST_TEXT, nameless_beside, read_at_most, read_text};
use crate::shell::write_keeping_with;
use brightest::Brightest;
use taking::Taking;

/// Shown below the help.
pub const EXAMPLE: &str = "Examples:
  evenfall convert my-targets.csv --to my.catalogue.ron         a catalogue of its own
  evenfall convert more.csv --into my.catalogue.ron             shows what a list would add to a catalogue
  evenfall convert more.csv --into my.catalogue.ron --replace   and adds it
  evenfall convert survey.csv --brightest 5000 --to my.catalogue.ron
  evenfall convert my-targets.csv --show-mapping > my.mapping.ron
  evenfall convert my-targets.csv --mapping my.mapping.ron --to my.catalogue.ron --replace

The list may be a table saved from a spreadsheet (CSV: comma, semicolon, tab or bar between the columns), one pair of
coordinates a line, or a VOTable. Columns may stand in any order, with or without a header, the right ascension and
declination in one column each, in one for both, or in hours, minutes and seconds apart.

It says what each column was taken for and lists every row it could not use, with line, column, value, reason and remedy
(exit status 1); the others come in. Where a column was taken wrongly, --show-mapping writes down how the list was read:
correct it there, and give it with --mapping. Ctrl+C stops it, and nothing is written then.

  evenfall convert passes.json --into my.catalogue.ron --replace
Elements of satellites (OMM as JSON, XML, KVN or CSV, or two-line elements) and of comets (a table with T, q, e, i, node,
argument, epoch, H, n, or the export lines of the minor-planet centre) come in alike. Satellites are told as events of the
night, comets become targets. What is there already is renewed.";

/// Up to so many remarks are not counted by their reasons: they can be seen at once.
const SEEN_AT_ONCE: usize = 10;

/// Runs the command.
pub fn run(arguments: &ConvertArguments) -> Outcome {
    match convert(arguments) {
        Ok(outcome) | Err(outcome) => outcome,
    }
}

fn convert(arguments: &ConvertArguments) -> Result<Outcome, Outcome> {
    let mapping = arguments.mapping.as_deref().map(mapping_of).transpose()?;
    let (into, old) = arguments.into.as_deref().map(catalogue_of).transpose()?.unzip();
    let old: String = old.unwrap_or_default();
    if let Some(to) = arguments.to.as_deref().filter(|to| !arguments.replace && to.exists()) {
        tell(&format!("{} is there already. Give another name, or --replace to write over it", to.display()));
        return Err(Outcome::WrongUsage);
    }
    let bytes = bytes_of(&arguments.list)?;
    if looks_like_elements(&bytes) {
        if arguments.brightest.is_some() {
            tell(
                "--brightest is for lists of targets; these are elements of satellites or comets. Leave it out",
            );
            return Err(Outcome::WrongUsage);
        }
        let new = || Catalogue { name: name_of(&arguments.list), ..Catalogue::default() };
        return Ok(elements::run(arguments, &bytes, (&into.unwrap_or_else(new), &old)));
    }
    let to = arguments.to.as_deref().or(arguments.into.as_deref().filter(|_| arguments.replace));
    let new = to.map(nameless_beside).transpose().map_err(|error| failed(&error))?;
    let name = into.as_ref().map_or_else(|| name_of(&arguments.list), |into| into.name.clone());
    let file = arguments.list.display().to_string();
    let (targets, satellites) = into.map(|into| (into.targets, into.satellites)).unzip();
    let brightest = arguments.brightest.map(|most| Brightest::new(most as usize));
    let merging = targets.map(|targets| Merging::into(targets, &[]));
    let mut taking = Taking::new(&file, merging, brightest, new);
    let account = read_list_into(&bytes, mapping.as_ref(), &mut taking);
    drop(bytes);
    let let_go = taking.brightest.as_ref().and_then(Brightest::account);
    let ended = taking.end();
    let Taking { counted, merging, new_count, .. } = taking;
    let outcome = if counted.remarks == 0 { Outcome::Done } else { Outcome::InputErrors };
    if arguments.into.is_none() && arguments.to.is_none() {
        return Ok(outcome.max(give(&write_mapping(&account.mapping))));
    }
    let new = match (ended, to) {
        (Ok(new), _) => new,
        (Err(error), to) => return Err(failed(&FileError::new("write", to.unwrap_or(Path::new("")))(error))),
    };
    if account.row_count == 0 {
        // What is wrong with the list as a whole has been told.
        return Err(Outcome::InputErrors);
    }
    let mut report = report(&file, &account, counted.values_left_out);
    if counted.remarks > SEEN_AT_ONCE {
        report.push_str("Why rows and values were not used:\n");
        report.extend(counted.lines().into_iter().map(|line| line + "\n"));
    }
    if arguments.show_mapping {
        report.push_str(&write_mapping(&account.mapping));
    }
    if account.used_count == 0 {
        tell(&format!("{file}: no row could be used, so nothing is written"));
        return Err(Outcome::InputErrors.max(give(&report)));
    }
    let mut targets = new_count;
    if let Some(merging) = &merging {
        report.push_str(&merge_report(merging, arguments.brightest.is_some().then_some(new_count)));
        targets += merging.entries().len();
    }
    report.extend(let_go.map(|account| account + "\n"));
    let (Some(to), Some(new)) = (to, new) else {
        report.push_str(
            "Nothing is written: --replace writes it over the catalogue, --to beside it. Comments at the top of the \
             catalogue's file come along, those further down don't\n",
        );
        return Ok(outcome.max(give(&report)));
    };
    write(to, catalogue_head_as_in(&old, &name), merging.as_ref(), (new, &satellites.unwrap_or_default()))?;
    let words = if targets == 1 { "target" } else { "targets" };
    let written = format!("{}: {targets} {words} written\n", to.display());
    Ok(outcome.max(give(&(report + &written))))
}

/// Writes the catalogue: what it held, and behind that the new targets.
fn write(
    to: &Path,
    mut head: String,
    merging: Option<&Merging>,
    (mut new, satellites): (File, &[SatelliteElements]),
) -> Result<(), Outcome> {
    const AT_ONCE: usize = 1 << 20;
    for entry in merging.map(Merging::entries).unwrap_or_default() {
        write_target(&mut head, entry);
    }
    let tail = catalogue_tail(satellites);
    let new_length = new.metadata().map_or(0, |new| new.len());
    if is_too_long(to, (head.len() + tail.len()) as u64 + new_length) {
        return Err(Outcome::InputErrors);
    }
    let pieces = |file: &mut dyn Write| {
        file.write_all(head.as_bytes())?;
        new.rewind()?;
        io::copy(&mut BufReader::with_capacity(AT_ONCE, new), file)?;
        file.write_all(tail.as_bytes())
    };
    let not_kept = write_keeping_with(to, pieces).map_err(|error| failed(&error))?;
    if let Some(not_kept) = not_kept {
        tell(&not_kept.to_string());
    }
    Ok(())
}

/// Whether a catalogue would be longer than what Evenfall opens, which is told: then nothing is written.
pub(super) fn is_too_long(to: &Path, length: u64) -> bool {
    let too_long = length > MOST_TEXT;
    if too_long {
        let (most, file) = (MOST_TEXT >> 20, to.display());
        tell(&format!(
            "{file}: it would be longer than the {most} MB that Evenfall opens, so nothing is written. Take fewer targets into \
             one list: of a long one, --brightest N takes the brightest"
        ));
    }
    too_long
}

/// Tells what the machine refused.
fn failed(error: &FileError) -> Outcome {
    tell(&error.to_string());
    Outcome::from(error)
}

/// The catalogue that a list is put into, and its text. One with faults is left alone: what can't be read would be lost.
fn catalogue_of(path: &Path) -> Result<(Catalogue, String), Outcome> {
    let text = read_text(path).map_err(|error| failed(&error))?;
    let (catalogue, faults) = read_catalogue(&path.display().to_string(), &text);
    if faults.is_empty() {
        return Ok((catalogue, text));
    }
    tell(&listed(&faults));
    Err(Outcome::InputErrors)
}

/// What comes of putting the list into a catalogue; where not all that is new is taken, how many of it.
fn merge_report(merging: &Merging, taken: Option<usize>) -> String {
    let mut lines: Vec<String> = merging.met().iter().map(|met| format!("  {met}")).collect();
    if !lines.is_empty() {
        lines.insert(0, "What the catalogue has already:".to_owned());
    }
    let gaining = merging.met().iter().filter(|met| !met.filled.is_empty()).count();
    let of_these = taken.map(|taken| format!(" of which {taken} taken,")).unwrap_or_default();
    lines.push(format!(
        "{} new,{of_these} {} in the catalogue already, {gaining} of them with something it lacked",
        merging.new_count(),
        merging.met().len(),
    ));
    lines.join("\n") + "\n"
}

fn mapping_of(path: &Path) -> Result<Mapping, Outcome> {
    let text = read_text(path).map_err(|error| failed(&error))?;
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
        Err(error) => Err(failed(&error)),
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
fn report(file: &str, account: &ListAccount, values_left_out: usize) -> String {
    let mut notes = account.notes.iter();
    let mut lines: Vec<String> = notes.next().map(|how| format!("{file}: {how}")).into_iter().collect();
    lines.push("What each column was taken for:".to_owned());
    lines.extend(account.columns.iter().map(column_line));
    if account.columns.iter().any(|column| column.guessed || column.is == Meaning::Ignored) {
        lines.push(
            "  (If one is wrong: --show-mapping writes this down, to be corrected and given with --mapping.)"
                .to_owned(),
        );
    }
    if notes.len() > 0 {
        lines.push("Good to know:".to_owned());
        lines.extend(notes.map(|note| format!("  {note}")));
    }
    let ListAccount { row_count, used_count, .. } = account;
    let left_out = row_count - used_count;
    lines.push(format!(
        "{row_count} rows, {used_count} used, {left_out} not used, {values_left_out} values not used"
    ));
    lines.join("\n") + "\n"
}

fn column_line(column: &ColumnUse) -> String {
    let ColumnUse { column, is, unit, guessed, why } = column;
    if *is == Meaning::Ignored {
        return format!("  \"{column}\" is not used: {why}");
    }
    let guessed = if *guessed { "guessed: " } else { "" };
    let unit = unit.map(|unit| format!(" in {}", unit.words())).unwrap_or_default();
    format!("  \"{column}\" is {}{unit} ({guessed}{why})", is.words())
}
