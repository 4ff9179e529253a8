//! What is not saved, on its way to where it is kept; what killed windows left; earlier saves.

use std::path::PathBuf;
use std::sync::Arc;

use super::paths::guard;
use super::{AppState, Dialog, EarlierSave, Job, LeftUnsaved, Notice, Source, Stands, Then};

/// What is noted of what is not saved.
#[derive(Debug, Default)]
pub(super) struct Keeping {
    /// What is on its way to the notes, or stands there.
    noted: Option<Stands>,
    /// What stands in the notes.
    safe: Option<Stands>,
    /// What a killed window left and this one is opening.
    pub(super) opening: Option<LeftUnsaved>,
    /// What a killed window left, of which the open evening is the continuation, until that is noted.
    pub(super) continues: Option<LeftUnsaved>,
    /// What killed windows had not saved.
    left: Vec<LeftUnsaved>,
    /// Whether that was offered.
    is_offered: bool,
    /// Whether it was told that nothing can be noted.
    is_told: bool,
}

impl AppState {
    /// What killed windows had not saved and nobody has taken up or let go of.
    pub fn left_unsaved(&self) -> &[LeftUnsaved] {
        &self.keeping.left
    }

    /// Has the evening noted as it stands, whenever it is not saved and has changed.
    pub(super) fn follow_unsaved(&mut self) {
        let Some(open) = &self.open else { return };
        let document = &open.document;
        let job = if document.is_dirty() {
            let stands = (open.number, open.derived.revision, document.saves());
            if self.keeping.noted == Some(stands) {
                return;
            }
            self.keeping.noted = Some(stands);
            Job::Note {
                stands,
                evening: Box::new(document.evening.clone()),
                stock: Arc::clone(&document.stock),
                file: document.path.clone(),
                on_disk: document.on_disk().map(str::to_owned),
                parts: document.unsaved_parts(),
                continues: self.keeping.continues.take(),
            }
        } else {
            if self.keeping.noted.take().is_none() {
                return;
            }
            Job::NothingUnsaved
        };
        self.ask(job);
    }

    /// Whether the evening stands in the notes as it is now.
    pub fn is_noted(&self) -> bool {
        self.keeping.noted.is_some() && self.keeping.noted == self.keeping.safe
    }

    /// The window closes in peace: what is not saved is given up.
    pub fn close_keeping(&self) {
        if let Some(Ok(keeper)) = self.outside.keeper() {
            keeper.close();
        }
    }

    pub(super) fn take_noted(&mut self, result: Result<Stands, String>) {
        match result {
            Ok(stands) => {
                self.keeping.safe = Some(stands);
                self.keeping.is_told = false;
            }
            Err(message) if !self.keeping.is_told => {
                self.keeping.is_told = true;
                self.view.notice = Some(Notice::NotNoted(message));
            }
            Err(_) => {}
        }
    }

    pub(super) fn take_elsewhere(&mut self, file: Option<PathBuf>) {
        if let Some(file) = file {
            self.view.notice = Some(Notice::OpenElsewhere(file));
        }
    }

    /// Killed windows had not saved something: it is offered at once, unless something else is asked already.
    pub(super) fn take_left(&mut self, left: Vec<LeftUnsaved>) {
        self.keeping.left = left;
        self.keeping.is_offered = false;
        if matches!(self.view.dialog, Some(Dialog::Welcome)) && !self.keeping.left.is_empty() {
            self.view.dialog = None;
        }
        self.offer_left();
    }

    /// Offers what killed windows had not saved, once, as soon as nothing else is asked.
    pub(super) fn offer_left(&mut self) {
        if !self.keeping.is_offered && !self.keeping.left.is_empty() && self.view.dialog.is_none() {
            self.keeping.is_offered = true;
            self.view.dialog = Some(Dialog::LeftUnsaved(None));
        }
    }

    /// What a killed window left is open now.
    pub(super) fn left_is_open(&mut self) {
        let Some(opened) = self.keeping.opening.take() else { return };
        self.keeping.left.retain(|left| *left != opened);
        self.keeping.continues = Some(opened);
    }

    pub(super) fn forget_left(&mut self, forgotten: LeftUnsaved) {
        self.keeping.left.retain(|left| *left != forgotten);
        self.view.dialog = (!self.keeping.left.is_empty()).then_some(Dialog::LeftUnsaved(None));
        self.ask(Job::Forget(forgotten));
    }
}

/// Looks for the earlier saves of the open evening.
pub(super) fn show_earlier(state: &mut AppState) {
    let Some(path) = state.open().and_then(|open| open.document.path.clone()) else { return };
    state.view.dialog = Some(Dialog::Earlier(None));
    state.ask(Job::LookForEarlier(path));
}

/// Opens an earlier save of the open evening.
pub(super) fn open_earlier(state: &mut AppState, save: EarlierSave) {
    let Some(path) = state.open().and_then(|open| open.document.path.clone()) else { return };
    state.view.dialog = None;
    guard(state, Then::Open(Source::Earlier(path, save)));
}
