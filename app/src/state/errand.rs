//! What the worker does in one go: files are read and written, the night of one target is followed.

use evenfall_core::plan::Drafting;

use super::{Answer, Job, OrderFacts, Outside, PathUse, Told, pages, problem_text};

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
        Job::LaySidesOut(asked) => {
            let (sides, told) = pages::laid_out(outside, &asked);
            Answer::SidesLaidOut { set: asked.set, output: asked.output, sides, told: Some(told) }
        }
        Job::LayOut { .. } | Job::WritePages(_) | Job::Explain(_) | Job::Appraise(_) => return None,
    })
}
