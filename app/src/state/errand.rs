//! What the worker does in one go: files are read and written, the night of one target is followed.

use evenfall_core::document::write_evening;
use evenfall_core::plan::Drafting;

use super::{Answer, Job, OrderFacts, Outside, PathUse, Source, Told, Unsaved, pages, problem_text};

const NOWHERE: &str = "there is no place in which changes are kept. Check the folder of the settings";

/// The answer to what takes no long time.
pub(super) fn short_answer(outside: &dyn Outside, job: Job) -> Option<Answer> {
    Some(match job {
        Job::Open { ticket, source } => {
            let opened = match &source {
                Source::Demo => outside.demo(),
                Source::File(path) => outside.open(path),
                Source::Earlier(path, save) => outside.open_earlier(path, save),
                Source::Left(left) => {
                    let keeper = outside.keeper().unwrap_or_else(|| Err(NOWHERE.to_owned()));
                    keeper.and_then(|keeper| keeper.take_up(left))
                }
            };
            let result = opened.map(Box::new);
            Answer::Opened { ticket, result }
        }
        Job::Note { stands, evening, stock, file, on_disk, continues } => {
            let keeper = outside.keeper()?;
            let file = file.map(|file| outside.absolute(&file));
            let text = write_evening(&evening, stock.site.zone);
            let unsaved = Unsaved { file, on_disk, title: evening.title, text };
            let noted = keeper.and_then(|keeper| {
                keeper.note(&unsaved)?;
                if let Some(left) = &continues {
                    keeper.forget(left);
                }
                Ok(stands)
            });
            Answer::Noted(noted)
        }
        Job::NothingUnsaved => {
            outside.keeper()?.ok()?.nothing_unsaved();
            return None;
        }
        Job::NoteOpen(file) => {
            let file = file.map(|file| outside.absolute(&file));
            let is_elsewhere = outside.keeper()?.ok()?.note_open(file.as_deref());
            Answer::OpenElsewhere(file.filter(|_| is_elsewhere))
        }
        Job::LookForLeft => Answer::LeftFound(outside.keeper()?.ok()?.left()),
        Job::Forget(left) => {
            outside.keeper()?.ok()?.forget(&left);
            return None;
        }
        Job::LookForEarlier(path) => {
            let saves = outside.earlier_saves(&path);
            Answer::EarlierFound(path, saves)
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
