//! Settings on their way: read at the start, followed from frame to frame, written when they have changed.

use std::path::PathBuf;

use super::list_form::is_list;
use super::{AppState, Command, Dialog, Job, Kept, Notice, PathUse, Settings, Source, WindowPlace};

const FINISH_FIRST: &str =
    "The list was not read, as this page would be lost: finish it, or cancel it, then drop the list again.";

impl AppState {
    /// Takes over what was remembered. On the very first start, or with a damaged file, something is said.
    pub(super) fn remember(&mut self, kept: Kept, named: bool) {
        let settings = match kept {
            Kept::Nowhere => return,
            Kept::Nothing => {
                if !named {
                    self.view.dialog = Some(Dialog::Welcome);
                }
                self.settings_kept = Some(Settings::default());
                return;
            }
            Kept::Text(text) => {
                if let Ok(read) = Settings::read(&text) {
                    if !read.left_out.is_empty() {
                        self.greeting = Some(Notice::SettingsLeftOut(read.left_out));
                        // Once it is told it is mended.
                        if let Some(text) = read.settings.write() {
                            self.ask(Job::KeepSettings(text));
                        }
                    }
                    read.settings
                } else {
                    let aside = self.outside.set_settings_aside();
                    let is_safe = aside.is_some();
                    self.greeting = Some(Notice::SettingsDamaged(aside));
                    if !is_safe {
                        // What can't be put aside is not written over.
                        return;
                    }
                    Settings::default()
                }
            }
        };
        let view = &mut self.view;
        view.palette = settings.palette;
        view.span = settings.span;
        view.side = settings.side;
        view.show_all = settings.show_all;
        view.card.folded.clone_from(&settings.folded);
        self.settings_kept = Some(settings.clone());
        self.settings = settings;
    }

    /// What is remembered now.
    pub const fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Notes how large the window is.
    pub const fn note_window(&mut self, place: WindowPlace) {
        self.settings.window = Some(place);
    }

    /// Which of the recent evenings are known to be gone.
    pub fn is_gone(&self, path: &PathBuf) -> bool {
        self.gone.contains(path)
    }

    /// Opens what was open last, or the demonstration; a named evening comes first.
    pub(super) fn open_first(&mut self, named: Option<PathBuf>) {
        if named.is_none() {
            self.reopening.clone_from(&self.settings.last_evening);
        }
        let path = named.or_else(|| self.reopening.clone());
        self.ask_to_open(path.map_or(Source::Demo, Source::File));
    }

    /// Follows what is looked at, and has the worker write it once it differs from what was written last.
    pub(super) fn follow_settings(&mut self) {
        let (settings, view) = (&mut self.settings, &self.view);
        settings.palette = view.palette;
        settings.span = view.span;
        settings.side = view.side;
        settings.show_all = view.show_all;
        if settings.folded != view.card.folded {
            settings.folded.clone_from(&view.card.folded);
        }
        if let Some(open) = &self.open {
            let path = open.document.path.as_deref();
            let is_noted =
                |(number, noted): &(u64, Option<PathBuf>)| *number == open.number && noted.as_deref() == path;
            if !self.noted_path.as_ref().is_some_and(is_noted) {
                self.noted_path = Some((open.number, path.map(ToOwned::to_owned)));
                let absolute = path.map(|path| self.outside.absolute(path));
                settings.note_open(absolute.as_deref());
                let _ = self.worker.ask(Job::NoteOpen(absolute));
            }
        }
        if self.settings_kept.as_ref().is_some_and(|kept| *kept != self.settings) {
            self.settings_kept = Some(self.settings.clone());
            if let Some(text) = self.settings.write() {
                self.ask(Job::KeepSettings(text));
            }
        }
    }

    /// Writes the settings at once: the window closes, and the worker with it.
    pub fn keep_settings_now(&mut self) {
        self.follow_settings();
        if self.settings_kept.is_some()
            && let Some(text) = self.settings.write()
        {
            self.outside.keep_settings(&text);
        }
    }

    /// Files were dropped on the window: the one evening among them is opened.
    pub(super) fn take_dropped(&mut self, paths: Vec<PathBuf>) {
        let is_evening = |path: &PathBuf| path.to_string_lossy().to_lowercase().ends_with(".evening.ron");
        let mut evenings: Vec<PathBuf> = paths.iter().filter(|path| is_evening(path)).cloned().collect();
        let one = match (evenings.len(), paths.len()) {
            (1, _) => evenings.pop(),
            (_, 1) => paths.into_iter().next(),
            _ => None,
        };
        match one {
            Some(path) if is_list(&path) && self.open.is_some() => {
                if !matches!(self.view.dialog, None | Some(Dialog::List(_) | Dialog::Welcome)) {
                    self.view.notice = Some(Notice::Trouble(FINISH_FIRST.to_owned()));
                    return;
                }
                super::apply(self, Command::UsePath(PathUse::List, path));
            }
            Some(path) => super::apply(self, Command::OpenThis(path)),
            None => self.view.notice = Some(Notice::DropOne),
        }
    }
}
