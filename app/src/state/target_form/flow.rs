//! A target is asked about, its answers are taken as one step; a target goes.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::Arc;

use evenfall_core::catalogue::{CatalogueChange, TargetId};
use evenfall_core::plan::{Evening, RunningOrder, Show, Stop, Version, What};

use super::{TargetForm, TargetPage};
use crate::state::{AppState, Dialog, Job, Notice, Part, Selected, StepName};

/// Asks about the target on the Card, or what a new one is.
pub(in crate::state) fn ask(state: &mut AppState, page: TargetPage) {
    let Some(open) = &state.open else { return };
    let file = open.document.part_path(Part::Catalogue);
    let file = file.map(|file| state.outside.absolute(&file));
    let Some(form) = TargetForm::of(page, &open.document.stock.catalogue, file) else { return };
    look_for_photos(state, &form);
    state.view.dialog = Some(Dialog::Target(Box::new(form)));
}

/// The target on the Card.
pub(in crate::state) fn on_card(state: &AppState) -> Option<TargetId> {
    state.target_on_card().cloned()
}

/// Takes in what is being typed.
pub(in crate::state) fn follow(state: &mut AppState, form: Box<TargetForm>) {
    let Some(Dialog::Target(shown)) = &mut state.view.dialog else { return };
    let looks = form.photos() != shown.photos();
    *shown = form;
    shown.trouble = None;
    if looks && let Some(Dialog::Target(form)) = &state.view.dialog {
        let form = form.clone();
        look_for_photos(state, &form);
    }
}

fn look_for_photos(state: &mut AppState, form: &TargetForm) {
    let paths: Vec<PathBuf> = form.photos().iter().filter_map(|photo| form.photo_path(photo)).collect();
    if !paths.is_empty() {
        state.ask(Job::LookForPhotos(paths));
    }
}

/// Notes which photos are not there.
pub(in crate::state) fn photos_looked_for(state: &mut AppState, missing: BTreeSet<PathBuf>) {
    if let Some(Dialog::Target(form)) = &mut state.view.dialog {
        form.missing = missing;
    }
}

/// Takes the answers as one step. The running order stays as it is, and is judged anew by what the target is now.
pub(in crate::state) fn set(state: &mut AppState, form: &TargetForm) {
    let Some(open) = &state.open else { return };
    let document = &open.document;
    let Some(target) = form.target(&document.stock.catalogue) else { return };
    let (title, id) = (target.name.clone(), target.id.clone());
    let percent = form.appeal_percent;
    let is_rated = form.is_rated() && matches!(form.page, TargetPage::Change(_));
    let name = match &form.page {
        TargetPage::New | TargetPage::Duplicate(_) => StepName::TargetAdded { title: title.clone() },
        TargetPage::Change(_) if is_rated => StepName::TargetRated { title: title.clone(), percent },
        TargetPage::Change(_) => StepName::TargetChanged { title: title.clone() },
    };
    let behind = match &form.page {
        TargetPage::Duplicate(id) => Some(id.clone()),
        TargetPage::New | TargetPage::Change(_) => None,
    };
    let change = CatalogueChange { set: vec![target], behind, removed: Vec::new() };
    let sky = form.keeps_sky().then(|| Arc::clone(&open.derived.prepared));
    let evening = document.evening.clone();
    state.view.dialog = None;
    state.view.target = Some(Box::new(form.clone()));
    state.view.notice = is_rated.then_some(Notice::Rated { title, percent });
    let is_new = !matches!(form.page, TargetPage::Change(_));
    state.change_catalogue(name, change, evening, sky);
    if is_new {
        state.view.shown_next = Some(id);
    }
}

/// Takes the target on the Card out of the catalogue, and out of everything that names it.
pub(in crate::state) fn remove(state: &mut AppState) {
    let Some(id) = on_card(state) else { return };
    let Some(open) = &state.open else { return };
    let name = StepName::TargetRemoved { title: open.target_name(&id) };
    let evening = without_target(&open.document.evening, &id);
    let change = CatalogueChange { removed: vec![id], ..CatalogueChange::default() };
    state.view.dialog = None;
    state.change_catalogue(name, change, evening, None);
}

/// The page comes back with what the catalogue does not take.
pub(in crate::state) fn comes_back(state: &mut AppState, form: Option<Box<TargetForm>>, error: String) {
    let Some(mut form) = form else { return };
    form.trouble = Some(error);
    (state.view.shown_next, state.view.notice) = (None, None);
    state.view.dialog = Some(Dialog::Target(form));
}

/// The evening with nothing in it that names a target.
fn without_target(evening: &Evening, id: &TargetId) -> Evening {
    let others = |list: &[TargetId]| list.iter().filter(|own| *own != id).cloned().collect();
    let order = |order: &RunningOrder| {
        let stops = order.stops().iter().filter_map(|stop| {
            let what = match &stop.what {
                What::Show(show) if show.target == *id => return None,
                What::Show(show) => {
                    let understudy = show.understudy.clone().filter(|own| own != id);
                    What::Show(Show { understudy, ..show.clone() })
                }
                entry @ What::Entry { .. } => entry.clone(),
            };
            Some(Stop { what, ..stop.clone() })
        });
        RunningOrder::new(stops.collect())
    };
    let mut wishes = evening.wishes.clone();
    wishes.must_show = others(&wishes.must_show);
    wishes.leave_out = others(&wishes.leave_out);
    let versions = evening.versions.iter();
    let versions = versions.map(|kept| Version { name: kept.name.clone(), order: order(&kept.order) });
    Evening {
        wishes,
        order: order(&evening.order),
        versions: versions.collect(),
        shown: others(&evening.shown),
        ..evening.clone()
    }
}

/// Shows a target that has just come, once it is there.
pub(in crate::state) fn show_new(state: &mut AppState) {
    if let Some(id) = state.view.shown_next.take() {
        state.view.selected = Some(Selected::Target(id));
    }
}
