//! A site or a rig is asked about, its answers are taken as one step, and other files come in.

use std::mem::take;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use evenfall_core::site::read_horizon_text;

use super::{PlaceEdit, PlaceForm, Read, read};
use crate::shell::beginnings::beginnings;
use crate::state::app_state::AfterLayOut;
use crate::state::edits::in_zone;
use crate::state::{AppState, Dialog, Job, Notice, Part, PartFile, PathUse, StepName, Stock};

/// What is said where something else would lose the form.
const FINISH_FIRST: &str =
    "What is changed on this page would be lost by that: set it, or cancel, and ask again.";

/// What a part can begin with, in words.
pub fn beginning_words(part: Part) -> impl Iterator<Item = &'static str> {
    beginnings(part).map(|beginning| beginning.words)
}

/// Asks about the site or the rig.
pub(in crate::state) fn ask(state: &mut AppState, part: Part) {
    let Some(open) = &state.open else { return };
    let document = &open.document;
    let mut file = document.stock.file(part).clone();
    file.path = document.part_path(part);
    state.view.place = Some(Box::new(PlaceForm::new(part, &file)));
    state.view.dialog = Some(Dialog::Place);
}

/// Does what the form is asked for.
pub(in crate::state) fn edit(state: &mut AppState, edit: PlaceEdit) {
    let Some(form) = &mut state.view.place else { return };
    match edit {
        PlaceEdit::Put(name, typed) => form.put(&name, typed),
        PlaceEdit::Add(list, position) => form.add(list, position),
        PlaceEdit::AddEyepiece(port) => form.add_eyepiece(port),
        PlaceEdit::AddPort(kind) => form.add_port(kind),
        PlaceEdit::Remove(name) => form.remove(&name),
        PlaceEdit::LookAtCorner(position) => form.corner = position,
        PlaceEdit::MoveCorner(position, azimuth, altitude) => form.move_corner(position, azimuth, altitude),
        PlaceEdit::InsertCorner(position) => form.insert_corner(position),
        PlaceEdit::RemoveCorner(position) => form.remove_corner(position),
        PlaceEdit::FormerHorizon => form.bring_former_horizon_back(),
        PlaceEdit::Begin(position) => {
            if let Some(beginning) = beginnings(form.part).nth(position) {
                form.begin_with(beginning.text);
            }
        }
        PlaceEdit::Former => form.bring_former_back(),
        PlaceEdit::BeginHorizon(position) => {
            if let Some(site) = beginnings(Part::Site).nth(position) {
                form.begin_horizon(site.words, site.text);
            }
        }
    }
}

/// Whether a changed form stands in the way of something that would lose it; it says so then.
pub(in crate::state) fn is_in_the_way(state: &mut AppState) -> bool {
    if state.view.dialog != Some(Dialog::Place) {
        return false;
    }
    let form = state.view.place.as_mut().filter(|form| form.is_changed());
    if let Some(form) = form {
        form.trouble = Some(FINISH_FIRST.to_owned());
        return true;
    }
    false
}

/// Shows the form again, if there is one.
pub(in crate::state) fn show_again(state: &mut AppState) {
    if state.view.place.is_some() {
        state.view.dialog = Some(Dialog::Place);
    }
}

/// Puts the evening on what the form says, as one step, once the sky is computed for it. The running order stays.
pub(in crate::state) fn set(state: &mut AppState) {
    let (Some(form), Some(open)) = (&state.view.place, &state.open) else { return };
    let Ok(made) = read(form.part, &form.text) else { return };
    let (document, part) = (&open.document, form.part);
    let before = &document.stock;
    let mut files = before.files.clone();
    let own = &mut files[part as usize];
    own.text.clone_from(&form.text);
    if form.file.path != document.part_path(part) {
        own.path.clone_from(&form.file.path);
        own.on_disk.clone_from(&form.file.on_disk);
    }
    let catalogue = Arc::clone(&before.catalogue);
    let ephemeris = Arc::clone(&before.ephemeris);
    let (name, stock) = match made {
        Read::Site(site) => (
            StepName::SiteSet(site.name.clone()),
            Stock { site: *site, rig: before.rig.clone(), catalogue, ephemeris, files },
        ),
        Read::Rig(rig) => (
            StepName::RigSet(rig.name.clone()),
            Stock { site: before.site.clone(), rig: *rig, catalogue, ephemeris, files },
        ),
    };
    // Doors follow the clock of the site, and so does what stands between them.
    let evening = in_zone(&document.evening, before.site.zone, stock.site.zone);
    let step = AfterLayOut::Step(name, open.picked_up.clone());
    state.view.dialog = None;
    state.lay_out(evening, Arc::new(stock), None, step);
}

/// Has a text read that the form asked for.
pub(in crate::state) fn read_text_of(state: &mut AppState, purpose: PathUse, path: PathBuf) {
    show_again(state);
    state.ask_to_write(Job::ReadText { purpose, path });
}

/// Takes in a text that the form asked for.
pub(in crate::state) fn text_read(
    state: &mut AppState,
    purpose: PathUse,
    path: PathBuf,
    result: Result<String, String>,
) {
    let Some(form) = &mut state.view.place else { return };
    form.trouble = None;
    let text = match result {
        Ok(text) => text,
        Err(message) => {
            form.trouble = Some(message);
            return;
        }
    };
    match purpose {
        PathUse::HorizonText => form.take_horizon(&read_horizon_text(&text), &name_of(&path)),
        PathUse::OpenPart(part) if part == form.part => match read(part, &text) {
            Ok(_) => {
                let before = take(&mut form.before);
                **form = PlaceForm::new(part, &PartFile::read(Some(path), text));
                form.before = before;
            }
            Err(faults) => {
                let faults: Vec<String> = faults.iter().take(3).map(super::fault_words).collect();
                form.trouble = Some(format!("{} was not taken. {}", name_of(&path), faults.join(" ")));
            }
        },
        _ => {}
    }
}

/// Has what the form says written as a new file.
pub(in crate::state) fn write_new(state: &mut AppState, part: Part, path: PathBuf, replace: bool) {
    show_again(state);
    let (Some(form), Some(open)) = (&state.view.place, &state.open) else { return };
    if form.part == part && form.is_sound() {
        let job = Job::WritePart { part, number: open.number, path, text: form.text.clone(), replace };
        state.ask_to_write(job);
    }
}

/// A new file was written: the evening stands on it from now on.
pub(in crate::state) fn part_written(
    state: &mut AppState,
    part: Part,
    path: PathBuf,
    result: Result<String, String>,
) {
    let text = match result {
        Ok(text) => text,
        Err(message) => {
            match &mut state.view.place {
                Some(form) => form.trouble = Some(message),
                None => state.view.notice = Some(Notice::Trouble(message)),
            }
            return;
        }
    };
    if let Some(open) = &mut state.open {
        open.document.mark_part(part, path.clone(), text.clone());
    }
    if let Some(form) = state.view.place.as_mut().filter(|form| form.part == part) {
        form.file = PartFile::read(Some(path), text);
        if form.can_be_set() && !state.is_computing() {
            set(state);
        }
    }
}

fn name_of(path: &Path) -> String {
    path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}
