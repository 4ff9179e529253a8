//! `evenfall check`: every error, Stopper and Caution of any number of files.

use std::collections::{BTreeSet, HashSet};
use std::fs;
use std::path::{Path, PathBuf};

use evenfall_core::catalogue::{CATALOGUE_FORMAT, read_catalogue};
use evenfall_core::document::EVENING_FORMAT;
use evenfall_core::plan::{Severity, check, draft, dry_run, prepare};
use evenfall_core::reading::{Fault, Faults, format_of};
use evenfall_core::rig::{RIG_FORMAT, read_rig};
use evenfall_core::sheet::{Names, dry_run_lines, outdated_satellites, wording};
use evenfall_core::site::{SITE_FORMAT, read_site};

use super::Outcome;
use super::outcome::{give, tell};
use super::plan::finding_lines;
use crate::shell::evenings::{LoadError, Loaded, listed, load};
use crate::shell::files::read_text;

/// Shown below the help.
pub const EXAMPLE: &str = "Examples:
  evenfall check spring.evening.ron
  evenfall check *.site.ron *.rig.ron *.catalogue.ron
  evenfall check --dry-run spring.evening.ron

An evening is checked with the files it names; an empty running order is drafted first.
A fault of a file is told once, however many evenings name it.
--dry-run goes through each evening as well: every move with its parts, the longest, and what would stop the night.
A Stopper counts as an error (exit status 1), a Caution does not.";

/// Runs the command.
pub fn run(files: &[PathBuf], dry_run: bool) -> Outcome {
    let mut told = Told { files: files.iter().map(|file| real(file)).collect() };
    let mut outcome = Outcome::Done;
    for file in files {
        let report = report(file, &mut told, dry_run);
        outcome = outcome.max(report.outcome).max(give(&report.text));
    }
    outcome
}

/// The files whose faults are told in a place of their own: those to be checked, and those that an evening before has
/// told.
struct Told {
    files: HashSet<PathBuf>,
}

impl Told {
    /// The faults to tell with an evening: its own, and those of the files that it is the first to name.
    fn with_evening(&mut self, name: &str, faults: &Faults) -> Faults {
        let here = |fault: &&Fault| fault.file == name || !self.files.contains(&real(Path::new(&fault.file)));
        let here: Faults = faults.iter().filter(here).cloned().collect();
        self.files.extend(here.iter().map(|fault| real(Path::new(&fault.file))));
        here
    }
}

/// One name for a file, however it is reached.
fn real(path: &Path) -> PathBuf {
    fs::canonicalize(path).unwrap_or_else(|_| path.to_owned())
}

/// What is to be said about one file, and how grave it is.
struct Report {
    text: String,
    outcome: Outcome,
}

fn report(path: &Path, told: &mut Told, dry: bool) -> Report {
    let name = path.display().to_string();
    let text = match read_text(path) {
        Ok(text) => text,
        Err(error) => {
            tell(&error.to_string());
            return Report { text: String::new(), outcome: (&error).into() };
        }
    };
    let format = match format_of(&name, &text) {
        Ok(format) => format,
        Err(faults) => return of_faults(&name, &faults),
    };
    match format.as_str() {
        EVENING_FORMAT => evening(path, &name, told, dry),
        SITE_FORMAT => of_faults(&name, &read_site(&name, &text).err().unwrap_or_default()),
        RIG_FORMAT => of_faults(&name, &read_rig(&name, &text).err().unwrap_or_default()),
        CATALOGUE_FORMAT => of_faults(&name, &read_catalogue(&name, &text).1),
        other => Report {
            text: format!(
                "{name}: format: \"{other}\" is not supported. Supported are {EVENING_FORMAT}, {SITE_FORMAT}, \
                 {RIG_FORMAT} and {CATALOGUE_FORMAT}\n"
            ),
            outcome: Outcome::InputErrors,
        },
    }
}

fn of_faults(name: &str, faults: &Faults) -> Report {
    if faults.is_empty() {
        return Report { text: format!("{name}: no fault\n"), outcome: Outcome::Done };
    }
    Report { text: format!("{}\n", listed(faults)), outcome: Outcome::InputErrors }
}

/// The faults of an evening and of what it stands on, each told once, and a line for the evening itself where those of
/// its files touch it.
fn of_parts(name: &str, faults: &Faults, told: &mut Told, touched: &str) -> Report {
    let others: BTreeSet<&str> =
        faults.iter().map(|fault| fault.file.as_str()).filter(|file| *file != name).collect();
    let told_here = told.with_evening(name, faults);
    let mut lines: Vec<String> = told_here.iter().map(|fault| format!("{fault}\n")).collect();
    if !others.is_empty() {
        let others: Vec<&str> = others.into_iter().collect();
        lines.push(format!("{name}: {touched} {}\n", others.join(", ")));
    }
    Report { text: lines.concat(), outcome: Outcome::InputErrors }
}

fn evening(path: &Path, name: &str, told: &mut Told, dry: bool) -> Report {
    let Loaded { opened, faults } = match load(path) {
        Ok(loaded) => loaded,
        Err(error) => {
            let outcome = (&error).into();
            let LoadError::Files { unread, faults } = error else {
                tell(&error.to_string());
                return Report { text: String::new(), outcome };
            };
            for error in &unread {
                tell(&error.to_string());
            }
            let report = of_parts(name, &faults, told, "not judged before the faults are mended in");
            return Report { outcome, ..report };
        }
    };
    let (mut evening, materials) = (opened.evening, opened.stock.materials());
    let prepared = match prepare(&evening, &materials) {
        Ok(prepared) => prepared,
        Err(error) => {
            return Report {
                text: format!("{name}: {}: {error}\n", evening.date),
                outcome: Outcome::InputErrors,
            };
        }
    };
    if evening.order.stops().is_empty() {
        evening.order = draft(&evening, &prepared, &materials);
    }
    let findings = check(&evening, &prepared, &materials);
    let stopped = findings.iter().any(|finding| finding.severity == Severity::Stopper);
    let names = Names::new(&evening, &prepared, &materials);
    let mut findings = finding_lines(&findings, &names);
    let caution = wording::severity_word(Severity::Caution);
    findings.extend(outdated_satellites(&names).map(|line| format!("{caution}: {line}")));
    let mut report = match (faults.is_empty(), findings.is_empty()) {
        (false, _) => of_parts(name, &faults, told, "judged without what is faulty in"),
        (true, true) => of_faults(name, &faults),
        (true, false) => Report { text: String::new(), outcome: Outcome::Done },
    };
    report.text.extend(findings.iter().map(|line| format!("{name}: {line}\n")));
    if dry {
        let run = dry_run(&evening, &prepared, &materials);
        let lines = dry_run_lines(&run, &evening, &prepared, &materials);
        report.text.extend(lines.iter().map(|line| format!("{name}: {line}\n")));
    }
    if stopped {
        report.outcome = Outcome::InputErrors;
    }
    report
}
