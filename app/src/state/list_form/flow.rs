//! A list is read, corrected, read again, and brought in as one step.

use std::path::Path;
use std::sync::Arc;

use evenfall_core::catalogue::CatalogueChange;
use evenfall_core::lists::{ListProgress, Mapping};

use super::{ListAsked, ListEdit, ListForm, ListSeen, Stop, mapping_path};
use crate::state::{AppState, Dialog, Job, Notice, StepName};

/// Begins to read a list.
pub(in crate::state) fn begin(state: &mut AppState, path: &Path) {
    if state.open.is_none() {
        return;
    }
    let form = ListForm {
        path: state.outside.absolute(path),
        mapping: Mapping::default(),
        list_says: false,
        progress: None,
        seen: None,
        fills: true,
        trouble: None,
        ticket: 0,
        stop: Stop::default(),
    };
    state.view.dialog = Some(Dialog::List(Box::new(form)));
    read_again(state);
}

/// Takes a correction, and has the list read again where it matters.
pub(in crate::state) fn edit(state: &mut AppState, edit: ListEdit) {
    let Some(Dialog::List(form)) = &mut state.view.dialog else { return };
    if form.edit(edit) {
        read_again(state);
    }
}

fn read_again(state: &mut AppState) {
    let ticket = state.new_ticket();
    let Some(open) = &state.open else { return };
    let stock = Arc::clone(&open.document.stock);
    let Some(Dialog::List(form)) = &mut state.view.dialog else { return };
    form.stop.set();
    form.stop = Stop::default();
    form.ticket = ticket;
    form.progress = Some(ListProgress { rows_done: 0, row_count: 0 });
    form.trouble = None;
    let (path, mapping, stop) = (form.path.clone(), form.mapping.clone(), form.stop.clone());
    let list_says = form.list_says;
    state.ask(Job::ReadList(Box::new(ListAsked { ticket, path, mapping, list_says, stock, stop })));
}

/// Lets go of a list that is being read, or was.
pub(in crate::state) fn let_go(form: &ListForm) {
    form.stop.set();
}

/// Brings the targets in as one step, and has the mapping kept beside the list. The running order stays.
pub(in crate::state) fn bring(state: &mut AppState) {
    let Some(Dialog::List(form)) = &state.view.dialog else { return };
    let Some(seen) = form.seen.clone().filter(|_| form.can_be_brought()) else { return };
    let (fills, path) = (form.fills, form.path.clone());
    let Some(open) = &state.open else { return };
    let evening = open.document.evening.clone();
    let filled = if fills { seen.filled.as_slice() } else { &[] };
    let set = filled.iter().chain(&seen.new).cloned().collect();
    let file = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let count = seen.new.len();
    state.view.dialog = None;
    state.view.notice = Some(Notice::BroughtIn { count, file: file.clone() });
    if let Some(text) = seen.to_keep.clone() {
        state.ask(Job::KeepMapping { path: mapping_path(&path), text });
    }
    let change = CatalogueChange { set, ..CatalogueChange::default() };
    state.change_catalogue(StepName::ListBroughtIn { count, file }, change, evening, None);
}

impl AppState {
    /// Whether a list is being read.
    pub fn is_reading_list(&self) -> bool {
        matches!(&self.view.dialog, Some(Dialog::List(form)) if form.progress.is_some())
    }

    pub(in crate::state) fn list_goes_on(&mut self, ticket: u64, progress: ListProgress) {
        if let Some(Dialog::List(form)) = &mut self.view.dialog
            && form.ticket == ticket
            && form.progress.is_some()
        {
            form.progress = Some(progress);
        }
    }

    pub(in crate::state) fn take_list(&mut self, ticket: u64, result: Result<Arc<ListSeen>, String>) {
        let Some(Dialog::List(form)) = &mut self.view.dialog else { return };
        if form.ticket != ticket {
            return;
        }
        form.progress = None;
        match result {
            Ok(seen) => form.seen = Some(seen),
            Err(message) => form.trouble = Some(message),
        }
    }
}
