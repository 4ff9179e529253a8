//! `evenfall convert` on a file of elements: satellites and comets into a catalogue.

use std::path::Path;

use evenfall_core::catalogue::{Catalogue, MOST_SATELLITES, write_catalogue_as_in};
use evenfall_core::elements::{ElementsRead, read_elements, write_tt_day, write_utc};
use evenfall_core::lists::{Renewed, renewed};
use evenfall_core::sheet::numbers::count;

use super::ConvertArguments;
use super::convert::is_too_long;
use super::outcome::{Outcome, give, tell};
use crate::shell::write_keeping;

/// Brings the elements of a file in; `start` is the catalogue they come into, `old` its text.
pub fn run(arguments: &ConvertArguments, bytes: &[u8], (start, old): (&Catalogue, &str)) -> Outcome {
    let file = arguments.list.display().to_string();
    let read = read_elements(&file, bytes);
    for fault in &read.faults {
        tell(&fault.to_string());
    }
    let mut report = report(&file, &read);
    if read.satellites.is_empty() && read.comets.is_empty() {
        tell(&format!("{file}: no elements could be used, so nothing is written"));
        return Outcome::InputErrors.max(give(&report));
    }
    let renewed = renewed(start, &read);
    let is_whole = read.faults.is_empty() && renewed.too_many_satellites == 0;
    let outcome = if is_whole { Outcome::Done } else { Outcome::InputErrors };
    report.push_str(&renewal(&file, &renewed));
    let to = arguments.to.as_ref().or(arguments.into.as_ref().filter(|_| arguments.replace));
    let Some(to) = to else {
        report.push_str(
            "Nothing is written: --replace writes it over the catalogue, --to beside it. Comments at the top of the \
             catalogue's file come along, those further down don't\n",
        );
        return outcome.max(give(&report));
    };
    outcome.max(give(&report)).max(written(to, old, &renewed.catalogue))
}

fn written(to: &Path, old: &str, catalogue: &Catalogue) -> Outcome {
    let text = write_catalogue_as_in(old, catalogue);
    if is_too_long(to, text.len() as u64) {
        return Outcome::InputErrors;
    }
    match write_keeping(to, text.as_bytes()) {
        Ok(not_kept) => {
            if let Some(not_kept) = not_kept {
                tell(&not_kept.to_string());
            }
            let targets = count(catalogue.targets.len(), "target", "targets");
            let satellites = count(catalogue.satellites.len(), "satellite", "satellites");
            give(&format!("{}: {targets} and {satellites} written\n", to.display()))
        }
        Err(error) => {
            tell(&error.to_string());
            Outcome::from(&error)
        }
    }
}

/// What came in, each with the epoch that its age is counted from.
fn report(file: &str, read: &ElementsRead) -> String {
    let satellites = read.satellites.iter().map(|satellite| {
        format!("{file}: satellite \"{}\", epoch {}\n", satellite.name, write_utc(satellite.epoch))
    });
    let comets = read.comets.iter().map(|comet| {
        let epoch = match comet.elements.epoch {
            Some(epoch) => format!("epoch {} TT", write_tt_day(epoch)),
            None => "no epoch, so that its age can't be judged".to_owned(),
        };
        format!("{file}: comet \"{}\", {epoch}\n", comet.name)
    });
    satellites.chain(comets).collect()
}

fn renewal(file: &str, renewed: &Renewed) -> String {
    let stay = if renewed.newer_there.is_empty() {
        String::new()
    } else {
        format!("{file}: left out, as the catalogue has later elements: {}\n", renewed.newer_there.join(", "))
    };
    let too_many = match renewed.too_many_satellites {
        0 => String::new(),
        more => format!(
            "{file}: {} left out: a catalogue holds at most {MOST_SATELLITES}. Keep those you want to announce\n",
            count(more, "satellite", "satellites")
        ),
    };
    let counts = format!(
        "{file}: {} new and {} renewed satellites, {} new and {} renewed comets\n",
        renewed.new_satellites.len(),
        renewed.renewed_satellites.len(),
        renewed.new_comets.len(),
        renewed.renewed_comets.len(),
    );
    stay + &too_many + &counts
}
