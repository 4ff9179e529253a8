//! What the worker does in one go: files are read and written, the night of one target is followed.

use evenfall_core::document::write_evening;
use evenfall_core::plan::Drafting;

use super::{
    Answer, Job, OrderFacts, Outside, PartSave, PathUse, Source, Told, Unsaved, pages, problem_text,
};

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
        Job::Note { stands, evening, stock, file, on_disk, parts, continues } => {
            let keeper = outside.keeper()?;
            let file = file.map(|file| outside.absolute(&file));
            let text = write_evening(&evening, stock.site.zone);
            let unsaved = Unsaved { file, on_disk, title: evening.title, text, parts };
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
        Job::LookForPhotos(paths) => {
            let missing = paths.into_iter().filter(|path| !outside.is_there(path)).collect();
            Answer::PhotosLookedFor(missing)
        }
        Job::KeepMapping { path, text } => {
            Answer::MappingKept(outside.save_part(&path, &text, None).map(|_| ()))
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
        Job::Save { number, path, evening, stock, came_from, expected, parts, .. } => {
            // What the evening stands on comes first: its own file never names what is not there.
            let written = save_parts(outside, &parts).and_then(|not_kept| {
                let mut written =
                    outside.save(&path, &evening, &stock, came_from.as_deref(), expected.as_deref())?;
                written.not_kept = written.not_kept.or(not_kept);
                Ok(written)
            });
            Answer::Saved { number, path, stock, result: written.map(Box::new) }
        }
        Job::ReadText { purpose, path } => {
            let path = outside.absolute(&path);
            let result = outside.read_text(&path);
            Answer::TextRead { purpose, path, result }
        }
        Job::WritePart { part, number, path, replace: false, .. } if outside.is_there(&path) => {
            Answer::InTheWay { number, purpose: PathUse::NewPart(part), path }
        }
        Job::WritePart { part, path, text, .. } => {
            let path = outside.absolute(&path);
            let result = outside.save_part(&path, &text, None).map(|_| text);
            Answer::PartWritten { part, path, result }
        }
        Job::LaySidesOut(asked) => {
            let (sides, told) = pages::laid_out(outside, &asked);
            Answer::SidesLaidOut { set: asked.set, output: asked.output, sides, told: Some(told) }
        }
        Job::LayOut { .. } | Job::WritePages(_) | Job::ReadList(_) | Job::Explain(_) | Job::Appraise(_) => {
            return None;
        }
    })
}

/// Saves files of site, rig and catalogue; gives back why what one held before could not be kept, if so.
fn save_parts(outside: &dyn Outside, parts: &[PartSave]) -> Result<Option<String>, String> {
    let mut not_kept = None;
    for part in parts {
        not_kept = outside.save_part(&part.path, &part.text, Some(&part.expected))?.or(not_kept);
    }
    Ok(not_kept)
}
