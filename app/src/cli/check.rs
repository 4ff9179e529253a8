//! `evenfall check`: every error, Stopper and Caution of any number of files.

use std::path::{Path, PathBuf};

use evenfall_core::catalogue::{CATALOGUE_FORMAT, read_catalogue};
use evenfall_core::document::EVENING_FORMAT;
use evenfall_core::plan::{Severity, check, draft, prepare};
use evenfall_core::reading::{Faults, format_of};
use evenfall_core::rig::{RIG_FORMAT, read_rig};
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

An evening is checked with the files it names; an empty running order is drafted first.
A Stopper counts as an error (exit status 1), a Caution does not.";

/// Runs the command.
pub fn run(files: &[PathBuf]) -> Outcome {
    let mut outcome = Outcome::Done;
    for file in files {
        let report = report(file);
        outcome = outcome.max(report.outcome).max(give(&report.text));
    }
    outcome
}

/// What is to be said about one file, and how grave it is.
struct Report {
    text: String,
    outcome: Outcome,
}

fn report(path: &Path) -> Report {
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
        EVENING_FORMAT => evening(path, &name),
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

fn evening(path: &Path, name: &str) -> Report {
    let Loaded { opened, faults } = match load(path) {
        Ok(loaded) => loaded,
        Err(LoadError::Faults(faults)) => return of_faults(name, &faults),
        Err(error) => {
            tell(&error.to_string());
            return Report { text: String::new(), outcome: (&error).into() };
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
    let stopped =
        check(&evening, &prepared, &materials).iter().any(|finding| finding.severity == Severity::Stopper);
    let findings = finding_lines(&evening, &prepared, &materials);
    let mut report = of_faults(name, &faults);
    if !findings.is_empty() {
        let lines: Vec<String> = findings.iter().map(|line| format!("{name}: {line}")).collect();
        let lines = lines.join("\n") + "\n";
        report.text = if faults.is_empty() { lines } else { report.text + &lines };
    }
    if stopped {
        report.outcome = Outcome::InputErrors;
    }
    report
}
