//! What can be done with the pages, and what the worker tells of them.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use evenfall_core::output::Output;
use evenfall_core::output::pdf::Paper;
use evenfall_core::sheet::numbers;

use super::{AskedSides, PagesNews, PagesOrder, PagesOutcome, PagesStep, SetOf, SetTold, Sides};
use crate::state::{AppState, Dialog, Focus, Job, Notice, PathUse, Report, View};

/// Something done with the pages.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PagesEdit {
    /// Look at an output.
    Show(Output),
    /// Turn so many sides on.
    Turn(isize),
    /// A side as wide as its room, or seen whole.
    Wide(bool),
    /// Write an output, or leave it out.
    Include(Output, bool),
    /// Write everything, or nothing.
    IncludeAll(bool),
    /// Print so many copies of a page.
    Copies(Output, u32),
    /// The usual copies of every page.
    UsualCopies,
    /// On this paper.
    Paper(Paper),
    /// The folder as it is being typed.
    Folder(String),
    /// Choose the folder.
    ChooseFolder,
    /// Write what is chosen.
    Write,
    /// Write it, and replace the files that are there.
    Replace,
    /// End the writing after the file under way.
    Cancel,
    /// Choose again.
    Back,
}

/// Opens the pages; a set that is being written is shown as far as it is.
pub(in crate::state) fn show(state: &mut AppState) {
    let Some(open) = &state.open else { return };
    let document = &open.document;
    let beside = document.path.as_deref().and_then(Path::parent).map(Path::to_owned);
    let beside = beside.or_else(|| state.outside.documents()).unwrap_or_default();
    let folder = state.settings.pages.folder_for(document.evening.date, &beside);
    let pages = &mut state.view.pages;
    if !pages.is_writing() {
        pages.step = PagesStep::Choosing;
        pages.folder = folder.display().to_string();
        pages.side = 0;
    }
    state.view.dialog = Some(Dialog::Pages);
}

/// Escape: ends the writing, or leaves the question about files that are there; whether there was either.
pub(in crate::state) fn step_back(view: &mut View) -> bool {
    match &view.pages.step {
        PagesStep::Writing { stop, .. } => stop.store(true, Ordering::Relaxed),
        PagesStep::Asking(_) => view.pages.step = PagesStep::Choosing,
        PagesStep::Choosing | PagesStep::Done(_) => return false,
    }
    true
}

/// Does what is wanted with the pages.
pub(in crate::state) fn edit(state: &mut AppState, edit: PagesEdit) {
    let sides = state.sides(state.view.pages.shown).and_then(|sides| sides.as_ref().ok());
    let last = sides.map_or(0, |sides| sides.len().saturating_sub(1));
    let (pages, choice) = (&mut state.view.pages, &mut state.settings.pages);
    match edit {
        PagesEdit::Show(output) => {
            if pages.shown != output {
                (pages.shown, pages.side) = (output, 0);
            }
        }
        PagesEdit::Turn(sides) => pages.side = pages.side.saturating_add_signed(sides).min(last),
        PagesEdit::Wide(wide) => pages.wide = wide,
        PagesEdit::Include(output, includes) => choice.include(output, includes),
        PagesEdit::IncludeAll(includes) => {
            for output in Output::ALL {
                choice.include(output, includes);
            }
        }
        PagesEdit::Copies(output, copies) => choice.set_copies(output, copies),
        PagesEdit::UsualCopies => choice.forget_copies(),
        PagesEdit::Paper(paper) => choice.us_letter = paper == Paper::Letter,
        PagesEdit::Folder(typed) => pages.folder = typed,
        PagesEdit::ChooseFolder => state.view.wants_path = Some(PathUse::Folder),
        PagesEdit::Write => write(state, false),
        PagesEdit::Replace => write(state, true),
        PagesEdit::Cancel => {
            if let PagesStep::Writing { stop, .. } = &pages.step {
                stop.store(true, Ordering::Relaxed);
            }
        }
        PagesEdit::Back => {
            if !pages.is_writing() {
                pages.step = PagesStep::Choosing;
            }
        }
    }
}

/// Has what is chosen written.
fn write(state: &mut AppState, replace: bool) {
    let ticket = state.new_ticket();
    let Some(open) = &state.open else { return };
    let typed = PathBuf::from(state.view.pages.folder.trim());
    let choice = &mut state.settings.pages;
    let order = PagesOrder {
        ticket,
        evening: Box::new(open.document.evening.clone()),
        stock: Arc::clone(&open.document.stock),
        prepared: Arc::clone(&open.derived.prepared),
        outputs: choice.included(),
        paper: choice.paper(),
        folder: state.outside.absolute(&typed),
        replace,
        stop: Arc::new(AtomicBool::new(false)),
    };
    let (outputs, stop) = (order.outputs.clone(), Arc::clone(&order.stop));
    state.view.pages.step = PagesStep::Writing { ticket, outputs, done: 0, stop };
    state.ask_to_write(Job::WritePages(Box::new(order)));
}

impl AppState {
    /// The set that the pages show; `None` while no evening is open.
    fn set(&self) -> Option<SetOf> {
        let open = self.open.as_ref()?;
        let paper = self.settings.pages.paper();
        Some(SetOf { number: open.number, revision: open.derived.revision, paper })
    }

    /// The sides of a page, once they are laid out.
    pub fn sides(&self, output: Output) -> Option<&Sides> {
        self.view.pages.known(self.set()?, output)
    }

    fn told_of(&self, set: SetOf) -> Option<&Arc<SetTold>> {
        self.view.pages.told.as_ref().filter(|(of, _)| of.is_of_evening(set)).map(|(_, told)| told)
    }

    /// What whoever writes the pages should know, in sentences; none until a page is laid out.
    pub fn page_notes(&self) -> &[String] {
        self.set().and_then(|set| self.told_of(set)).map_or(&[], |told| &told.notes)
    }

    /// Whether there is something to write, and somewhere to write it to.
    pub fn has_pages_to_write(&self) -> bool {
        !self.view.pages.folder.trim().is_empty() && !self.settings.pages.included().is_empty()
    }

    /// The folder that was chosen for the pages.
    pub(in crate::state) fn choose_folder(&mut self, folder: &Path) {
        self.view.pages.folder = folder.display().to_string();
    }

    /// The desktop has no dialog for a folder: its field gets the keyboard.
    pub fn type_folder(&mut self) {
        self.view.focus = Some(Focus::Folder);
    }

    /// While the pages are open, asks for sides that are not laid out, those that are looked at first.
    pub(in crate::state) fn ask_for_sides(&mut self) {
        if !matches!(self.view.dialog, Some(Dialog::Pages)) {
            self.view.pages.laid_out = None;
            self.view.pages.told = None;
            self.view.pages.asked = None;
            return;
        }
        let (Some(set), Some(open)) = (self.set(), &self.open) else { return };
        let pages = &self.view.pages;
        let waits = pages.asked.is_some_and(|(of, output)| {
            of == set && (output == pages.shown || pages.known(set, pages.shown).is_some())
        });
        let first = [pages.shown].into_iter().chain(Output::ALL);
        let next = first.filter(|output| output.is_page()).find(|output| pages.known(set, *output).is_none());
        let Some(output) = next.filter(|_| !waits) else {
            if next.is_none() {
                self.view.pages.asked = None;
            }
            return;
        };
        let asked = AskedSides {
            set,
            output,
            evening: Box::new(open.document.evening.clone()),
            stock: Arc::clone(&open.document.stock),
            prepared: Arc::clone(&open.derived.prepared),
            told: self.told_of(set).cloned(),
        };
        self.view.pages.asked = Some((set, output));
        self.ask(Job::LaySidesOut(asked));
    }

    /// Takes in sides; those of another set, or no longer asked for, come too late.
    pub(in crate::state) fn take_sides(
        &mut self,
        (set, output): (SetOf, Output),
        sides: Sides,
        told: Option<Arc<SetTold>>,
    ) {
        let pages = &mut self.view.pages;
        if pages.asked == Some((set, output)) {
            pages.asked = None;
            pages.told = told.map(|told| (set, told));
            if pages.known(set, output).is_none() {
                pages.keep(set, output, sides);
            }
        }
        let count = self.sides(self.view.pages.shown).and_then(|sides| sides.as_ref().ok());
        if let Some(last) = count.map(|sides| sides.len().saturating_sub(1)) {
            self.view.pages.side = self.view.pages.side.min(last);
        }
    }

    /// Takes in what is told of a set that is being written.
    pub(in crate::state) fn take_pages(&mut self, ticket: u64, news: PagesNews) {
        let is_this = matches!(self.view.pages.step, PagesStep::Writing { ticket: own, .. } if own == ticket);
        let is_shown = is_this && self.view.dialog == Some(Dialog::Pages);
        match news {
            PagesNews::Done(now) => {
                if let PagesStep::Writing { done, .. } = &mut self.view.pages.step
                    && is_this
                {
                    *done = now;
                }
            }
            PagesNews::InTheWay(there) => {
                self.writing = self.writing.saturating_sub(1);
                if is_this {
                    self.view.pages.step = PagesStep::Choosing;
                }
                if is_shown {
                    self.view.after_save = None;
                    self.view.pages.step = PagesStep::Asking(there);
                } else {
                    let message = format!(
                        "No page was written: {} there already",
                        numbers::count(there.len(), "file is", "files are")
                    );
                    self.view.chosen = None;
                    self.after_writing(Err(message), Report::NotExported);
                }
            }
            PagesNews::Ended(outcome) => {
                self.writing = self.writing.saturating_sub(1);
                self.end_pages(outcome, is_this, is_shown);
            }
        }
    }

    fn end_pages(&mut self, outcome: PagesOutcome, is_this: bool, is_shown: bool) {
        let notice = Notice::PagesWritten(outcome.written.len(), outcome.folder.clone());
        let told = match outcome.failed.as_slice() {
            [] => Ok(notice),
            failed => Err(failed.iter().map(|(_, why)| why.as_str()).collect::<Vec<_>>().join("\n")),
        };
        // A folder that took nothing is not proposed again.
        if !outcome.written.is_empty() {
            self.settings.pages.folder = Some(outcome.folder.clone());
        }
        if is_this {
            self.view.pages.step = PagesStep::Done(outcome);
        }
        match told {
            // The pages tell it themselves.
            Err(_) if is_shown => self.view.after_save = None,
            told => {
                // No path was chosen for them that could be asked for again.
                self.view.chosen = None;
                self.after_writing(told, Report::NotExported);
            }
        }
    }
}
