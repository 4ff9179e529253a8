//! What is not saved yet, noted beside the settings after every change, so that a window that is killed loses nothing;
//! and which evening each window has open.
//!
//! Every window has three files of one name: `.lock`, which the system lets go of when its program ends in whichever
//! way; `.open`, the path of its evening; `.ron`, its changes. A lock that can be had was left by a program that was killed.

use std::fs::{self, File, TryLockError};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use chrono::{DateTime, Utc};
use evenfall_core::document::named_files;
use ron::ser::{PrettyConfig, to_string_pretty};
use serde::{Deserialize, Serialize};
use tempfile::Builder;

use super::evenings::{load_text, of_demo};
use super::files::{FileError, make_folder, read_text, write_whole};
use super::machine::in_words;
use crate::state::{Keeper, LeftUnsaved, Opened, Unsaved};

/// The folder beside the settings.
pub(super) const FOLDER: &str = "unsaved";
const FORMAT: &str = "evenfall-unsaved/1";
const LOCK: &str = "lock";
const OPEN: &str = "open";
const CHANGES: &str = "ron";

/// What is noted of an evening that is not saved.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Note {
    format: String,
    /// Its file; none before it is saved for the first time.
    file: Option<String>,
    /// What the file held when it was read or written last.
    on_disk: Option<String>,
    title: String,
    /// The evening as it stands, as its file would hold it.
    evening: String,
    /// What the file of its site would hold, where that is not saved either.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    site: Option<String>,
    /// The same of its rig.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    rig: Option<String>,
    /// The same of its catalogue.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    catalogue: Option<String>,
}

impl Note {
    /// Whether the file holds the same by now. It is written after those of site, rig and catalogue.
    fn is_saved(&self) -> bool {
        let Some(file) = self.file.as_deref().map(Path::new) else { return false };
        let named = named_files("", &self.evening);
        let holds = |name: Option<String>, wanted: &Option<String>| match (name, wanted) {
            (_, None) => true,
            (Some(name), Some(wanted)) => {
                let part = file.with_file_name("").join(name);
                read_text(&part).is_ok_and(|text| text == *wanted)
            }
            (None, Some(_)) => false,
        };
        read_text(file).is_ok_and(|text| text == self.evening)
            && holds(named.site, &self.site)
            && holds(named.rig, &self.rig)
            && holds(named.catalogue, &self.catalogue)
    }
}

/// This window's notes.
#[derive(Debug)]
pub struct UnsavedNotes {
    lock_path: PathBuf,
    /// Held as long as the window is open.
    _lock: File,
    inner: Mutex<Inner>,
}

#[derive(Debug, Default)]
struct Inner {
    /// Nothing is noted once the window has closed in peace.
    closed: bool,
    /// Locks that killed programs left: held, so that no other window offers the same.
    left: Vec<(PathBuf, File)>,
}

impl UnsavedNotes {
    /// Begins to note in a folder, which is made if it is not there.
    ///
    /// # Errors
    /// When the machine refuses.
    pub fn begin(folder: &Path) -> Result<Self, FileError> {
        make_folder(folder)?;
        let made = || {
            // It is a lock by its name only once it is locked: no other window can take it for one that was left.
            let new = Builder::new().prefix("window-").suffix(".new").tempfile_in(folder)?;
            new.as_file().try_lock().map_err(|error| match error {
                TryLockError::Error(error) => error,
                TryLockError::WouldBlock => ErrorKind::ResourceBusy.into(),
            })?;
            let path = new.path().with_extension(LOCK);
            let file = new.persist(&path).map_err(|error| error.error)?;
            Ok((path, file))
        };
        let (lock_path, lock) = made().map_err(FileError::new("make a file in", folder))?;
        Ok(Self { lock_path, _lock: lock, inner: Mutex::default() })
    }

    fn inner(&self) -> MutexGuard<'_, Inner> {
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn folder(&self) -> &Path {
        self.lock_path.parent().unwrap_or(Path::new(""))
    }

    /// The locks of other windows.
    fn others(&self) -> Vec<PathBuf> {
        let Ok(entries) = fs::read_dir(self.folder()) else { return Vec::new() };
        let locks = entries.flatten().map(|entry| entry.path());
        locks
            .filter(|path| path.extension().is_some_and(|ending| ending == LOCK) && *path != self.lock_path)
            .collect()
    }
}

/// Whether the program that made this lock has ended; if so, with its lock, now ours.
fn ended(lock: &Path) -> Option<File> {
    let file = File::options().read(true).write(true).open(lock).ok()?;
    file.try_lock().is_ok().then_some(file)
}

fn remove(lock: &Path) {
    // Its changes first: while the lock is there, they are found.
    for ending in [CHANGES, OPEN, LOCK] {
        let _ = fs::remove_file(lock.with_extension(ending));
    }
}

fn read(path: &Path) -> Result<Note, String> {
    let text = read_text(path).map_err(|error| error.to_string())?;
    let note: Result<Note, String> = ron::from_str(&text).map_err(|error| error.to_string());
    let note = note.and_then(|note| match note.format.as_str() {
        FORMAT => Ok(note),
        other => Err(format!("expected \"{FORMAT}\", found \"{other}\"")),
    });
    note.map_err(|error| {
        let path = path.display();
        format!("{path}: {error}: these changes can't be read. The text of the evening stands in that file")
    })
}

impl Keeper for UnsavedNotes {
    fn note(&self, unsaved: &Unsaved) -> Result<(), String> {
        let inner = self.inner();
        if inner.closed {
            return Ok(());
        }
        let [site, rig, catalogue] = unsaved.parts.clone();
        let note = Note {
            format: FORMAT.to_owned(),
            file: unsaved.file.as_ref().map(|path| path.to_string_lossy().into_owned()),
            on_disk: unsaved.on_disk.clone(),
            title: unsaved.title.clone(),
            evening: unsaved.text.clone(),
            site,
            rig,
            catalogue,
        };
        let text = to_string_pretty(&note, PrettyConfig::default().escape_strings(false))
            .map_err(|error| error.to_string())?;
        write_whole(&self.lock_path.with_extension(CHANGES), text.as_bytes())
            .map_err(|error| error.to_string())
    }

    fn nothing_unsaved(&self) {
        let _inner = self.inner();
        let _ = fs::remove_file(self.lock_path.with_extension(CHANGES));
    }

    fn close(&self) {
        let mut inner = self.inner();
        inner.closed = true;
        inner.left.clear();
        remove(&self.lock_path);
    }

    fn note_open(&self, file: Option<&Path>) -> bool {
        let inner = self.inner();
        if inner.closed {
            return false;
        }
        // The same file by whichever way.
        let file = file.map(|file| file.canonicalize().unwrap_or_else(|_| file.to_owned()));
        let text = file.map(|file| file.to_string_lossy().into_owned()).unwrap_or_default();
        // Who can't be told that this evening is open finds out when it is saved.
        let _ = write_whole(&self.lock_path.with_extension(OPEN), text.as_bytes());
        // A lock that is held here was left by a program that was killed.
        let is_left = |lock: &PathBuf| inner.left.iter().any(|(left, _)| left == lock);
        let has_same = |lock: &PathBuf| {
            !is_left(lock)
                && read_text(&lock.with_extension(OPEN)).is_ok_and(|other| other == text)
                && ended(lock).is_none()
        };
        !text.is_empty() && self.others().iter().any(has_same)
    }

    fn left(&self) -> Vec<LeftUnsaved> {
        let mut found = Vec::new();
        for lock in self.others() {
            let Some(held) = ended(&lock) else { continue };
            let path = lock.with_extension(CHANGES);
            let noted = match fs::metadata(&path).and_then(|noted| noted.modified()) {
                Ok(noted) => noted,
                Err(error) if error.kind() == ErrorKind::NotFound => {
                    remove(&lock);
                    continue;
                }
                // Out of reach for now: it stays.
                Err(_) => continue,
            };
            let note = read(&path).ok();
            if note.as_ref().is_some_and(Note::is_saved) {
                // It was killed after it had saved and before it could say so.
                remove(&lock);
                continue;
            }
            self.inner().left.push((lock.clone(), held));
            found.push(LeftUnsaved {
                title: note.as_ref().map(|note| note.title.clone()).unwrap_or_default(),
                file: note.and_then(|note| note.file).map(PathBuf::from),
                noted: DateTime::<Utc>::from(noted),
                path,
            });
        }
        found.sort_by_key(|left| left.noted);
        found.reverse();
        found
    }

    fn take_up(&self, left: &LeftUnsaved) -> Result<Opened, String> {
        let note = read(&left.path)?;
        let loaded = match &note.file {
            Some(file) => load_text(Path::new(file), &note.evening, [note.site, note.rig, note.catalogue]),
            None => of_demo(&note.evening, [note.site, note.rig, note.catalogue]),
        };
        let mut opened = in_words(loaded)?;
        opened.text = note.on_disk;
        opened.is_unsaved = true;
        Ok(opened)
    }

    fn forget(&self, left: &LeftUnsaved) {
        let lock = left.path.with_extension(LOCK);
        remove(&lock);
        self.inner().left.retain(|(held, _)| *held != lock);
    }
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::{Path, PathBuf};

    use super::UnsavedNotes;
    use crate::shell::Machine;
    use crate::state::{Keeper, Outside, Part, Unsaved};

    fn unsaved(file: Option<&Path>, title: &str) -> Unsaved {
        let demo = Machine.demo().unwrap();
        let mut evening = demo.evening;
        title.clone_into(&mut evening.title);
        let text = evenfall_core::document::write_evening(&evening, demo.stock.site.zone);
        Unsaved {
            file: file.map(Path::to_owned),
            on_disk: Some("as it was".to_owned()),
            title: title.to_owned(),
            text,
            parts: [None, None, None],
        }
    }

    #[test]
    fn a_killed_window_leaves_its_changes_to_the_next() {
        let folder = tempfile::tempdir().unwrap();
        let killed = UnsavedNotes::begin(folder.path()).unwrap();
        killed.note(&unsaved(None, "one")).unwrap();
        killed.note(&unsaved(None, "two \"quoted\" # \\ words")).unwrap();
        let next = UnsavedNotes::begin(folder.path()).unwrap();
        assert!(next.left().is_empty(), "it is still open");
        drop(killed);
        let left = next.left();
        assert_eq!(left.len(), 1);
        assert_eq!(left[0].title, "two \"quoted\" # \\ words");
        let third = UnsavedNotes::begin(folder.path()).unwrap();
        assert!(third.left().is_empty(), "offered by one window only");
        let opened = next.take_up(&left[0]).unwrap();
        assert!(opened.is_unsaved);
        assert_eq!((opened.path, opened.text.as_deref()), (None, Some("as it was")));
        assert_eq!(opened.evening.title, left[0].title);
        next.forget(&left[0]);
        drop(next);
        assert!(third.left().is_empty(), "forgotten, and nothing else was noted");
    }

    #[test]
    fn the_files_of_a_changed_evening_are_found_from_where_it_was() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("my.evening.ron");
        let demo = Machine.demo().unwrap();
        Machine.save(&path, &demo.evening, &demo.stock, None, None).unwrap();
        let notes = folder.path().join("notes");
        let changed = unsaved(Some(&path), "mine");
        UnsavedNotes::begin(&notes).unwrap().note(&changed).unwrap();
        let next = UnsavedNotes::begin(&notes).unwrap();
        let opened = next.take_up(&next.left()[0]).unwrap();
        assert_eq!((opened.path.as_ref(), &*opened.evening.title), (Some(&path), "mine"));
        drop(next);
        // Killed right after it had saved.
        fs::write(&path, changed.text).unwrap();
        assert!(UnsavedNotes::begin(&notes).unwrap().left().is_empty());
    }

    #[test]
    fn a_site_that_was_not_saved_is_taken_up_with_its_evening() {
        let folder = tempfile::tempdir().unwrap();
        let (notes, path) = (folder.path().join("notes"), folder.path().join("a.evening.ron"));
        let demo = Machine.demo().unwrap();
        let written = Machine.save(&path, &demo.evening, &demo.stock, None, None).unwrap();
        let site = demo.stock.files[0].text.replacen("260.0", "300.0", 1);
        let changed = Unsaved {
            text: written.text,
            parts: [Some(site.clone()), None, None],
            ..unsaved(Some(&path), "mine")
        };
        UnsavedNotes::begin(&notes).unwrap().note(&changed).unwrap();
        let next = UnsavedNotes::begin(&notes).unwrap();
        let left = next.left();
        assert_eq!(left.len(), 1, "the evening is saved, its site is not");
        let opened = next.take_up(&left[0]).unwrap();
        assert!((opened.stock.site.place.height_m - 300.0).abs() < 1e-9);
        let file = &opened.stock.files[0];
        assert_eq!((&file.text, &file.on_disk), (&site, &demo.stock.files[0].text));
        drop(next);
        // Killed right after it had saved the site too.
        fs::write(folder.path().join("heron-fell.site.ron"), site).unwrap();
        assert!(UnsavedNotes::begin(&notes).unwrap().left().is_empty());
    }

    #[test]
    fn targets_that_were_not_saved_come_back_with_an_evening_that_was() {
        let folder = tempfile::tempdir().unwrap();
        let (notes, path) = (folder.path().join("notes"), folder.path().join("a.evening.ron"));
        let demo = Machine.demo().unwrap();
        let written = Machine.save(&path, &demo.evening, &demo.stock, None, None).unwrap();
        let catalogue = demo.stock.file(Part::Catalogue).text.replacen("Market Lamps", "Quay Lamps", 1);
        let parts = [None, None, Some(catalogue.clone())];
        let changed = Unsaved { text: written.text, parts, ..unsaved(Some(&path), "mine") };
        UnsavedNotes::begin(&notes).unwrap().note(&changed).unwrap();
        let next = UnsavedNotes::begin(&notes).unwrap();
        let left = next.left();
        assert_eq!(left.len(), 1, "the evening is saved, its catalogue is not");
        assert_eq!(next.take_up(&left[0]).unwrap().stock.file(Part::Catalogue).text, catalogue);
    }

    #[test]
    fn targets_that_were_changed_and_not_saved_come_back() {
        let folder = tempfile::tempdir().unwrap();
        let demo = Machine.demo().unwrap().stock;
        let file = demo.file(Part::Catalogue);
        let text = file.text.replacen("name: \"Market Lamps\"", "name: \"Quay Lamps\"", 1);
        let changed = Unsaved { parts: [None, None, Some(text.clone())], ..unsaved(None, "mine") };
        UnsavedNotes::begin(folder.path()).unwrap().note(&changed).unwrap();
        let next = UnsavedNotes::begin(folder.path()).unwrap();
        let stock = next.take_up(&next.left()[0]).unwrap().stock;
        assert!(stock.catalogue.targets.iter().any(|target| target.name == "Quay Lamps"));
        let again = stock.file(Part::Catalogue);
        assert_eq!((&again.text, &again.on_disk), (&text, &file.text), "its file still holds the other");
    }

    #[test]
    fn who_closes_in_peace_leaves_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let notes = UnsavedNotes::begin(folder.path()).unwrap();
        notes.note(&unsaved(None, "one")).unwrap();
        notes.note_open(Some(Path::new("/a/b.evening.ron")));
        notes.close();
        notes.note(&unsaved(None, "too late")).unwrap();
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
    }

    #[test]
    fn two_windows_on_one_file_are_noticed() {
        let folder = tempfile::tempdir().unwrap();
        let file = PathBuf::from("/nights/a.evening.ron");
        let begin = || UnsavedNotes::begin(folder.path()).unwrap();
        let (one, other) = (begin(), begin());
        assert!(!one.note_open(Some(&file)));
        assert!(!other.note_open(None));
        assert!(other.note_open(Some(&file)));
        assert!(!other.note_open(Some(Path::new("/nights/b.evening.ron"))));
        one.note(&unsaved(None, "one")).unwrap();
        drop(one);
        assert!(!other.note_open(Some(&file)), "a killed window has nothing open");
        assert_eq!(other.left().len(), 1);
        assert!(!other.note_open(Some(&file)), "nor has one whose changes are offered here");
    }

    #[test]
    fn damaged_notes_are_told_and_left_where_they_are() {
        let folder = tempfile::tempdir().unwrap();
        let killed = UnsavedNotes::begin(folder.path()).unwrap();
        killed.note(&unsaved(None, "one")).unwrap();
        let path = killed.lock_path.with_extension("ron");
        drop(killed);
        fs::write(&path, "(format: \"evenfall-unsaved/1\",").unwrap();
        let next = UnsavedNotes::begin(folder.path()).unwrap();
        let left = next.left();
        let refused = next.take_up(&left[0]).unwrap_err();
        assert!(refused.contains(&path.display().to_string()), "{refused}");
        assert!(path.exists());
    }
}
