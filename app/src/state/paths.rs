//! Where evenings and papers are opened from and written to, and what is asked before anything is lost.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::{AppState, Dialog, Job, OwnField, PathUse, Source, Then, list_form, place_form};

/// Opens a file, unless the description of an evening of one's own would be lost by that.
pub(super) fn open_this(state: &mut AppState, path: PathBuf) {
    if let Some(Dialog::Own(form)) = &mut state.view.dialog
        && (form.is_begun() || form.making)
    {
        let path = path.display();
        form.trouble = Some(format!(
            "{path} was not opened, as what stands on this page would be lost: finish it, or cancel it, then open the \
             file."
        ));
        return;
    }
    if place_form::is_in_the_way(state) {
        return;
    }
    state.view.dialog = None;
    guard(state, Then::Open(Source::File(path)));
}

/// Has the files of an evening of one's own written, once nothing is wrong with its description.
pub(super) fn make_own(state: &mut AppState) {
    let is_writing = state.is_writing();
    let Some(Dialog::Own(form)) = &mut state.view.dialog else { return };
    let Some(files) = form.files().filter(|_| !form.making) else { return };
    if is_writing {
        form.trouble = Some("Another file is being written: try again in a moment.".to_owned());
        return;
    }
    form.making = true;
    form.trouble = None;
    let folder = PathBuf::from(form.text(OwnField::Folder).trim());
    state.ask_to_write(Job::Make { folder, files });
}

/// Saves where the evening is, or asks where.
pub(super) fn save_in_place(state: &mut AppState) {
    match state.open().and_then(|open| open.document.path.clone()) {
        Some(path) => {
            state.view.chosen = None;
            save(state, path, Replacing::Own);
        }
        None => ask_path(state, PathUse::Save),
    }
}

/// Asks where to write something, from the usual path on.
pub(super) fn ask_path(state: &mut AppState, purpose: PathUse) {
    state.view.chosen = None;
    state.view.wants_path = Some(purpose);
}

/// Goes on at once if there is nothing to lose. A file being written is waited for before the window closes, until
/// that is asked for a second time.
pub(super) fn guard(state: &mut AppState, then: Then) {
    let waited = state.view.after_save.take();
    if place_form::is_in_the_way(state) {
        return;
    }
    match state.view.dialog.take() {
        Some(Dialog::Own(form)) if form.is_begun() && !form.making => {
            state.view.dialog = Some(Dialog::LosesOwn { form, then });
            return;
        }
        // The question is asked already.
        Some(Dialog::LosesOwn { form, .. }) => {
            state.view.dialog = Some(Dialog::LosesOwn { form, then });
            return;
        }
        other => state.view.dialog = other,
    }
    if state.open().is_some_and(|open| open.document.is_dirty()) {
        state.view.dialog = Some(Dialog::Unsaved(then));
    } else if then == Then::Close && state.is_writing() && waited != Some(Then::Close) {
        state.view.after_save = Some(then);
    } else {
        state.go_on(then);
    }
}

/// Opens or writes. Agreeing to lose a file holds for the path as it was chosen, not for one that got an ending since.
pub(super) fn use_path(state: &mut AppState, purpose: PathUse, chosen: &Path, agreed: bool) {
    if purpose == PathUse::Folder {
        return state.choose_folder(chosen);
    }
    state.view.dialog = None;
    let path = match purpose {
        PathUse::Open | PathUse::Folder | PathUse::OpenPart(_) | PathUse::HorizonText | PathUse::List => {
            chosen.to_owned()
        }
        PathUse::NewPart(part) => with_ending(chosen, part.ending()),
        PathUse::Save => with_ending(chosen, ".evening.ron"),
        PathUse::ExportProblem => with_ending(chosen, ".problem.json"),
    };
    let replacing = if agreed && path == chosen { Replacing::Anything } else { Replacing::Nothing };
    if !matches!(purpose, PathUse::Open | PathUse::OpenPart(_) | PathUse::HorizonText | PathUse::List) {
        state.view.chosen = Some((purpose, path.clone()));
    }
    match purpose {
        // The evening may have been edited while the desktop's dialog was open.
        PathUse::Open if state.open().is_none_or(|open| open.document.is_given_up()) => {
            state.go_on(Then::Open(Source::File(path)));
        }
        PathUse::Open => guard(state, Then::Open(Source::File(path))),
        PathUse::Save => save(state, path, replacing),
        PathUse::Folder => {}
        PathUse::List => list_form::flow::begin(state, &path),
        PathUse::OpenPart(_) | PathUse::HorizonText => place_form::read_text_of(state, purpose, path),
        PathUse::NewPart(part) => {
            place_form::write_new(state, part, path, replacing == Replacing::Anything);
        }
        PathUse::ExportProblem => {
            let ticket = state.new_ticket();
            let Some(open) = &state.open else { return };
            let asked = open.to_appraise(ticket, false);
            let replace = replacing == Replacing::Anything;
            let job = Job::ExportProblem { number: open.number, path, asked, replace };
            state.ask_to_write(job);
        }
    }
}

/// What may be lost by writing a file.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Replacing {
    /// Nothing.
    Nothing,
    /// The evening's own file, as it was read or written last.
    Own,
    /// Whatever is there.
    Anything,
}

fn save(state: &mut AppState, path: PathBuf, replacing: Replacing) {
    let Some(open) = &state.open else { return };
    let own = (replacing == Replacing::Own).then(|| open.document.on_disk().map(str::to_owned));
    let job = Job::Save {
        number: open.number,
        path,
        evening: Box::new(open.document.evening.clone()),
        stock: Arc::clone(&open.document.stock),
        came_from: open.document.path.clone(),
        expected: own.flatten(),
        parts: open.document.parts_to_save(),
        replace: replacing != Replacing::Nothing,
    };
    state.ask_to_write(job);
}

/// The path with an ending, if it has not the same kind of one. So numbers never take an evening's name.
fn with_ending(path: &Path, ending: &str) -> PathBuf {
    let kind = ending.rsplit('.').next();
    if path.extension().zip(kind).is_some_and(|(own, kind)| own.eq_ignore_ascii_case(kind)) {
        return path.to_owned();
    }
    let mut text = path.as_os_str().to_owned();
    text.push(ending);
    PathBuf::from(text)
}
