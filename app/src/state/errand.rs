//! What the worker does in one go: files are read and written, the night of one target is followed.

use evenfall_core::chart::timeline;
use evenfall_core::output::pdf::{PdfOptions, run_sheet_pdf};
use evenfall_core::plan::Drafting;
use evenfall_core::sheet::run_sheet;

use super::{Answer, Job, OrderFacts, Outside, PathUse, Told, problem_text};

/// The answer to what takes no long time.
pub(super) fn short_answer(outside: &dyn Outside, job: Job) -> Option<Answer> {
    Some(match job {
        Job::Open { ticket, path } => {
            let opened = path.map_or_else(|| outside.demo(), |path| outside.open(&path));
            let result = opened.map(Box::new);
            Answer::Opened { ticket, result }
        }
        Job::Compare(asked) => Answer::Compared { ticket: asked.ticket, orders: OrderFacts::all(&asked) },
        Job::Tell(question) => Answer::Told(Told::answering(question)),
        Job::KeepSettings(text) => {
            outside.keep_settings(&text);
            return None;
        }
        Job::LookFor(paths) => {
            Answer::LookedFor(paths.into_iter().filter(|path| !outside.is_there(path)).collect())
        }
        Job::Make { folder, files } => Answer::Made(outside.make_evening(&folder, &files)),
        Job::Save { number, path, replace: false, .. } if outside.is_there(&path) => {
            Answer::InTheWay { number, purpose: PathUse::Save, path }
        }
        Job::Export { number, path, paper, replace: false, .. } if outside.is_there(&path) => {
            Answer::InTheWay { number, purpose: PathUse::Export(paper), path }
        }
        Job::ExportProblem { number, path, replace: false, .. } if outside.is_there(&path) => {
            Answer::InTheWay { number, purpose: PathUse::ExportProblem, path }
        }
        Job::ExportProblem { path, asked, .. } => {
            let materials = asked.stock.materials();
            let drafting =
                Drafting::new(&asked.evening, &asked.prepared, &materials, asked.picked_up.as_ref());
            let result =
                problem_text(drafting.problem()).and_then(|text| outside.write(&path, text.as_bytes()));
            Answer::Exported { path, result }
        }
        Job::Save { number, path, evening, stock, came_from, expected, .. } => {
            let result = outside
                .save(&path, &evening, &stock, came_from.as_deref(), expected.as_deref())
                .map(Box::new);
            Answer::Saved { number, path, result }
        }
        Job::Export { path, evening, stock, prepared, paper, .. } => {
            let materials = stock.materials();
            let sheet = run_sheet(&evening, &prepared, &materials);
            let scene = timeline(&evening, &prepared, &materials, paper.timeline());
            // Dated by its evening, not by the clock: the same evening gives the same bytes.
            let created = prepared.doors.start().to_utc();
            let options = PdfOptions { paper, font: outside.font(), created };
            let result = run_sheet_pdf(&sheet, &scene, &options)
                .map_err(|error| error.to_string())
                .and_then(|bytes| outside.write(&path, &bytes));
            Answer::Exported { path, result }
        }
        Job::LayOut { .. } | Job::Explain(_) | Job::Appraise(_) => return None,
    })
}
