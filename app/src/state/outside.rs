//! The outside world as the window needs it: files and the typeface.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::{DateTime, Utc};
use evenfall_core::plan::Evening;
use evenfall_core::time::Instant;

use super::{Stock, UnsavedParts};

/// An evening as it came from its files.
#[derive(Debug)]
pub struct Opened {
    /// The evening.
    pub evening: Evening,
    /// What it stands on.
    pub stock: Arc<Stock>,
    /// Its file; `None` for the built-in demonstration.
    pub path: Option<PathBuf>,
    /// What the file held; `None` for the built-in demonstration.
    pub text: Option<String>,
    /// Whether it is an earlier save or what a killed window left, so that its file holds something else.
    pub is_unsaved: bool,
    /// Faults of the files, in words: what they belong to was left out, the rest is here.
    pub left_out: Vec<String>,
}

/// What a file held before it was written over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EarlierSave {
    /// Where that is kept.
    pub path: PathBuf,
    /// When it was saved.
    pub saved: DateTime<Utc>,
    /// What it holds.
    pub text: String,
    /// The title of the evening in it and how many stops it has; `None` where it can't be read.
    pub holds: Option<(String, usize)>,
}

/// An evening that is not saved as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unsaved {
    /// Its file, by a path that leads there from any folder; `None` until it is saved for the first time.
    pub file: Option<PathBuf>,
    /// What the file held when it was read or written last.
    pub on_disk: Option<String>,
    /// Its title.
    pub title: String,
    /// What the file would hold.
    pub text: String,
    /// What the files of site and rig would hold.
    pub parts: UnsavedParts,
}

/// An evening that a killed window had not saved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftUnsaved {
    /// Where it is noted.
    pub path: PathBuf,
    /// Its title.
    pub title: String,
    /// Its file; `None` if it was never saved.
    pub file: Option<PathBuf>,
    /// When the last change was noted.
    pub noted: DateTime<Utc>,
}

/// An evening as it was written.
#[derive(Debug)]
pub struct Written {
    /// The evening, with the names of its files as seen from its own.
    pub evening: Evening,
    /// What its file holds now.
    pub text: String,
    /// Why what the file held before could not be kept, if so: a message for people.
    pub not_kept: Option<String>,
}

/// What the machine keeps of the settings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kept {
    /// There is no place for them, or the machine refuses to read it: nothing is kept.
    Nowhere,
    /// There is a place and nothing in it: the very first start.
    Nothing,
    /// Their text.
    Text(String),
}

/// A file to be written into a new folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewFile {
    /// Its name.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// Everything the window asks of the machine. What reads or writes an evening is asked on the worker's thread; in a frame
/// only the clock, where folders are, and at the start and the end the settings.
pub trait Outside: Send + Sync {
    /// The built-in demonstration evening.
    ///
    /// # Errors
    /// A message for people when the built-in files are damaged.
    fn demo(&self) -> Result<Opened, String>;

    /// Reads an evening and the files it names.
    ///
    /// # Errors
    /// A message for people: what could not be read, where, and what to do.
    fn open(&self, path: &Path) -> Result<Opened, String>;

    /// Whether a file or folder has this name.
    fn is_there(&self, path: &Path) -> bool;

    /// Saves an evening whole or not at all. `came_from` is where it was until now, so that the files it names
    /// are still found. With `expected`, a file that holds something else by now is left alone.
    ///
    /// # Errors
    /// A message for people.
    fn save(
        &self,
        path: &Path,
        evening: &Evening,
        stock: &Stock,
        came_from: Option<&Path>,
        expected: Option<&str>,
    ) -> Result<Written, String>;

    /// Saves the file of a site or a rig whole or not at all and keeps what it held before. With `expected`, a file that holds
    /// something else by now is left alone. Gives back why what it held could not be kept, if so.
    ///
    /// # Errors
    /// A message for people.
    fn save_part(&self, path: &Path, _text: &str, _expected: Option<&str>) -> Result<Option<String>, String> {
        Err(format!("can't write {}: there is no place for it", path.display()))
    }

    /// The bytes of a list of targets.
    ///
    /// # Errors
    /// A message for people, also where it is too long to be read.
    fn list_bytes(&self, path: &Path) -> Result<Vec<u8>, String> {
        Err(format!("can't read {}: there is no such file", path.display()))
    }

    /// The text of a file.
    ///
    /// # Errors
    /// A message for people.
    fn read_text(&self, path: &Path) -> Result<String, String> {
        Err(format!("can't read {}: there is no such file", path.display()))
    }

    /// Writes a file whole or not at all.
    ///
    /// # Errors
    /// A message for people.
    fn write(&self, path: &Path, bytes: &[u8]) -> Result<(), String>;

    /// Makes a folder and those above it, if they are not there.
    ///
    /// # Errors
    /// A message for people.
    fn make_folder(&self, path: &Path) -> Result<(), String> {
        Err(format!("can't make the folder {}: there is no place for it", path.display()))
    }

    /// The text of a file that is about to be replaced; `None` where there is none, or it can't be read.
    fn old_text(&self, _path: &Path) -> Option<String> {
        None
    }

    /// What the window remembered. Asked once, before the first frame.
    fn settings(&self) -> Kept {
        Kept::Nowhere
    }

    /// Keeps what the window remembers; a machine that refuses is not complained of.
    fn keep_settings(&self, _text: &str) {}

    /// Puts settings that can't be read aside, under a name of their own that is given back.
    fn set_settings_aside(&self) -> Option<PathBuf> {
        None
    }

    /// The folder in which people keep their documents.
    fn documents(&self) -> Option<PathBuf> {
        None
    }

    /// A path that leads to the same file from any folder.
    fn absolute(&self, path: &Path) -> PathBuf {
        path.to_owned()
    }

    /// Writes the files of a new evening, the evening's own first, with the demonstration's catalogue beside them; gives
    /// back the evening's path. A file that is there already is left alone.
    ///
    /// # Errors
    /// A message for people; nothing was replaced.
    fn make_evening(&self, folder: &Path, files: &[NewFile]) -> Result<PathBuf, String> {
        Err(format!(
            "can't write {} files into {}: there is no place for them",
            files.len(),
            folder.display()
        ))
    }

    /// What a file held before it was written over, the last first.
    fn earlier_saves(&self, _path: &Path) -> Vec<EarlierSave> {
        Vec::new()
    }

    /// Reads an earlier save of the evening at `path`; the files it names count from there.
    ///
    /// # Errors
    /// A message for people.
    fn open_earlier(&self, path: &Path, _save: &EarlierSave) -> Result<Opened, String> {
        Err(format!("can't read an earlier save of {}: none is kept here", path.display()))
    }

    /// Who keeps what is not saved; `None` where nothing is to be kept, an error for people where the machine refuses.
    fn keeper(&self) -> Option<Result<&dyn Keeper, String>> {
        None
    }

    /// What the clock says.
    fn now(&self) -> Instant;

    /// The typeface for paper.
    fn font(&self) -> &'static [u8];
}

/// Keeps what is not saved, so that a window that is killed loses nothing. Asked on the worker's thread, but for
/// [`close`](Self::close).
pub trait Keeper {
    /// Notes the evening as it stands, in place of what was noted before.
    ///
    /// # Errors
    /// A message for people.
    fn note(&self, unsaved: &Unsaved) -> Result<(), String>;

    /// Everything is saved, or given up.
    fn nothing_unsaved(&self);

    /// The window closes, and nothing that comes later is noted.
    fn close(&self);

    /// Notes which file is open in this window; whether another window has it open too.
    fn note_open(&self, file: Option<&Path>) -> bool;

    /// What killed windows had not saved, the last first. Each is offered by one window only.
    fn left(&self) -> Vec<LeftUnsaved>;

    /// Reads what a killed window had not saved.
    ///
    /// # Errors
    /// A message for people; the notes stay.
    fn take_up(&self, left: &LeftUnsaved) -> Result<Opened, String>;

    /// Lets go of what a killed window had not saved.
    fn forget(&self, left: &LeftUnsaved);
}
