//! `evenfall plan`: an evening laid out and written as pages, tables and a picture.

use std::path::Path;

use evenfall_core::chart::{TimelineOptions, timeline};
use evenfall_core::output::pdf::{Paper, PdfOptions, run_sheet_pdf};
use evenfall_core::output::{order_csv, order_json, scene_svg};
use evenfall_core::plan::{Drafting, Evening, Materials, Prepared, check, draft, prepare};
use evenfall_core::sheet::{Names, finding_place, finding_sentence, run_sheet, wording};

use super::outcome::tell;
use super::{Outcome, PlanArguments};
use crate::shell::assets::FONT;
use crate::shell::evenings::{Loaded, demo, listed, load};
use crate::shell::files::{make_folder, write_whole};
use crate::state::problem_text;

/// The timeline as a picture of its own.
const AS_PICTURE: TimelineOptions = TimelineOptions { width: 1000.0, height: 560.0, text_size: 11.0 };

/// Shown below the help.
pub const EXAMPLE: &str = "Examples:
  evenfall plan --out pages
  evenfall plan spring.evening.ron --out pages --run-sheet --csv
  evenfall plan spring.evening.ron --out pages --problem
  evenfall arrange < pages/spring.problem.json";

/// Runs the command.
pub fn run(arguments: &PlanArguments) -> Outcome {
    let loaded = match arguments.evening.as_deref().map_or_else(demo, load) {
        Ok(loaded) => loaded,
        Err(error) => {
            tell(&error.to_string());
            return (&error).into();
        }
    };
    let Loaded { opened, faults } = loaded;
    let mut outcome = Outcome::Done;
    if !faults.is_empty() {
        tell(&listed(&faults));
        outcome = Outcome::InputErrors;
    }
    let (mut evening, materials) = (opened.evening, opened.stock.materials());
    let prepared = match prepare(&evening, &materials) {
        Ok(prepared) => prepared,
        Err(error) => {
            let file = arguments.evening.as_deref().unwrap_or(Path::new("demo")).display();
            tell(&format!("{file}: can't lay out the evening of {}: {error}", evening.date));
            return Outcome::InputErrors;
        }
    };
    if evening.order.stops().is_empty() {
        evening.order = draft(&evening, &prepared, &materials);
    }
    for line in finding_lines(&evening, &prepared, &materials) {
        tell(&line);
    }
    outcome.max(write_outputs(arguments, &evening, &prepared, &materials))
}

/// Every Stopper and Caution as one line.
pub fn finding_lines(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> Vec<String> {
    let names = Names::new(evening, prepared, materials);
    let findings = check(evening, prepared, materials);
    let line = |finding| {
        let (what, remedy) = finding_sentence(finding, &names);
        let place = finding_place(finding, &names).map_or_else(String::new, |place| format!("{place}: "));
        format!("{}: {place}{what} {remedy}", wording::severity_word(finding.severity)).trim_end().to_owned()
    };
    findings.iter().map(line).collect()
}

/// Makes the outputs first and writes them after, so that a fault leaves nothing half done.
fn write_outputs(
    arguments: &PlanArguments,
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
) -> Outcome {
    let PlanArguments { json, run_sheet: pages, csv, picture, problem, .. } = *arguments;
    let all = !(json || pages || csv || picture || problem);
    let sheet = run_sheet(evening, prepared, materials);
    let mut outputs: Vec<(String, Vec<u8>)> = Vec::new();
    if all || pages {
        // The same input gives the same bytes: the document is dated by its evening, not by the clock.
        let created = prepared.doors.start().to_utc();
        for (name, paper) in [("run-sheet-a4.pdf", Paper::A4), ("run-sheet-letter.pdf", Paper::Letter)] {
            let scene = timeline(evening, prepared, materials, paper.timeline());
            match run_sheet_pdf(&sheet, &scene, &PdfOptions { paper, font: FONT, created }) {
                Ok(bytes) => outputs.push((name.to_owned(), bytes)),
                Err(error) => {
                    tell(&error.to_string());
                    return Outcome::MachineFailed;
                }
            }
        }
    }
    if all || json {
        let text = order_json(evening, prepared, materials);
        outputs.push(("running-order.json".to_owned(), text.into_bytes()));
    }
    if all || csv {
        outputs.push(("running-order.csv".to_owned(), order_csv(&sheet).into_bytes()));
    }
    if all || picture {
        let scene = timeline(evening, prepared, materials, AS_PICTURE);
        outputs.push(("timeline.svg".to_owned(), scene_svg(&scene).into_bytes()));
    }
    if problem {
        let drafting = Drafting::new(evening, prepared, materials, None);
        match problem_text(drafting.problem()) {
            Ok(text) => outputs.push((problem_name(arguments.evening.as_deref()), text.into_bytes())),
            Err(error) => {
                tell(&error);
                return Outcome::MachineFailed;
            }
        }
    }
    let written = make_folder(&arguments.out).and_then(|()| {
        outputs.iter().try_for_each(|(name, bytes)| {
            let path = arguments.out.join(name);
            write_whole(&path, bytes)?;
            tell(&format!("wrote {}", path.display()));
            Ok(())
        })
    });
    match written {
        Ok(()) => Outcome::Done,
        Err(error) => {
            tell(&error.to_string());
            Outcome::MachineFailed
        }
    }
}

/// The problem's file, named after its evening's: `spring.problem.json` for `spring.evening.ron`.
fn problem_name(evening: Option<&Path>) -> String {
    let name = evening.and_then(Path::file_name).map_or("demo".into(), |name| name.to_string_lossy());
    let name = name.strip_suffix(".ron").unwrap_or(&name);
    format!("{}.problem.json", name.strip_suffix(".evening").unwrap_or(name))
}
