//! This machine with a place for what the window remembers.

use std::env;
use std::fs;
use std::iter::once;
use std::path::{Path, PathBuf, absolute};
use std::sync::{Arc, OnceLock};

use directories::{ProjectDirs, UserDirs};
use evenfall_core::plan::Evening;
use evenfall_core::time::Instant;

use super::Machine;
use super::assets::DEMO_PARTS;
use super::files::{make_folder, read_text, write_whole};
use super::unsaved::{FOLDER, UnsavedNotes};
use crate::state::{EarlierSave, Keeper, Kept, NewFile, Opened, Outside, Stock, Written};

/// Names a folder for the settings in place of the user's own; empty keeps none.
const SETTINGS_VARIABLE: &str = "EVENFALL_SETTINGS";
const SETTINGS: &str = "settings.ron";
const DAMAGED: &str = "settings.damaged.ron";

/// This machine, with a folder for settings and one for documents, or without.
#[derive(Clone, Debug, Default)]
pub struct AtHome {
    settings: Option<PathBuf>,
    documents: Option<PathBuf>,
    /// Begun when it is needed first; tried again where the machine refused.
    notes: Arc<OnceLock<UnsavedNotes>>,
}

impl AtHome {
    /// With the user's own folders, or the folder that `EVENFALL_SETTINGS` names.
    pub fn of_user() -> Self {
        let own = || ProjectDirs::from("", "", "evenfall").map(|folders| folders.config_dir().to_owned());
        let settings = match env::var_os(SETTINGS_VARIABLE) {
            Some(named) if named.is_empty() => None,
            Some(named) => Some(PathBuf::from(named)),
            None => own(),
        };
        let folders = UserDirs::new();
        let documents = folders.map(|user| user.document_dir().unwrap_or(user.home_dir()).to_owned());
        Self::in_folders(settings, documents)
    }

    /// With folders that the caller names.
    pub fn in_folders(settings: Option<PathBuf>, documents: Option<PathBuf>) -> Self {
        Self { settings, documents, notes: Arc::default() }
    }

    fn settings_file(&self) -> Option<PathBuf> {
        self.settings.as_ref().map(|folder| folder.join(SETTINGS))
    }
}

impl Outside for AtHome {
    fn demo(&self) -> Result<Opened, String> {
        Machine.demo()
    }

    fn open(&self, path: &Path) -> Result<Opened, String> {
        Machine.open(path)
    }

    fn is_there(&self, path: &Path) -> bool {
        Machine.is_there(path)
    }

    fn save(
        &self,
        path: &Path,
        evening: &Evening,
        stock: &Stock,
        came_from: Option<&Path>,
        expected: Option<&str>,
    ) -> Result<Written, String> {
        Machine.save(path, evening, stock, came_from, expected)
    }

    fn save_part(&self, path: &Path, text: &str, expected: Option<&str>) -> Result<Option<String>, String> {
        Machine.save_part(path, text, expected)
    }

    fn list_bytes(&self, path: &Path) -> Result<Vec<u8>, String> {
        Machine.list_bytes(path)
    }

    fn read_text(&self, path: &Path) -> Result<String, String> {
        Machine.read_text(path)
    }

    fn write(&self, path: &Path, bytes: &[u8]) -> Result<(), String> {
        Machine.write(path, bytes)
    }

    fn now(&self) -> Instant {
        Machine.now()
    }

    fn make_folder(&self, path: &Path) -> Result<(), String> {
        Machine.make_folder(path)
    }

    fn old_text(&self, path: &Path) -> Option<String> {
        Machine.old_text(path)
    }

    fn font(&self) -> &'static [u8] {
        Machine.font()
    }

    fn settings(&self) -> Kept {
        let Some(file) = self.settings_file() else { return Kept::Nowhere };
        match read_text(&file) {
            Ok(text) => Kept::Text(text),
            Err(error) if error.is_missing() => Kept::Nothing,
            // Bytes that are no text are as damaged as a text that is no settings.
            Err(error) if error.is_no_text() => Kept::Text(String::new()),
            Err(_) => Kept::Nowhere,
        }
    }

    fn keep_settings(&self, text: &str) {
        if let Some(file) = self.settings_file()
            && let Some(folder) = file.parent()
            && make_folder(folder).is_ok()
        {
            // A home that can't be written to is no reason to disturb anybody: the usual settings hold next time.
            let _ = write_whole(&file, text.as_bytes());
        }
    }

    fn earlier_saves(&self, path: &Path) -> Vec<EarlierSave> {
        Machine.earlier_saves(path)
    }

    fn open_earlier(&self, path: &Path, save: &EarlierSave) -> Result<Opened, String> {
        Machine.open_earlier(path, save)
    }

    fn keeper(&self) -> Option<Result<&dyn Keeper, String>> {
        let settings = self.settings.as_ref()?;
        if self.notes.get().is_none() {
            match UnsavedNotes::begin(&settings.join(FOLDER)) {
                // One that another thread has begun meanwhile is as good.
                Ok(begun) => drop(self.notes.set(begun).map_err(|other| other.close())),
                Err(error) => return Some(Err(error.to_string())),
            }
        }
        self.notes.get().map(|notes| Ok(notes as &dyn Keeper))
    }

    fn set_settings_aside(&self) -> Option<PathBuf> {
        let file = self.settings_file()?;
        let earlier = (2..=99).map(|number| format!("settings.damaged-{number}.ron"));
        let mut names = once(DAMAGED.to_owned()).chain(earlier).map(|name| file.with_file_name(name));
        let aside = names.find(|aside| !aside.exists())?;
        fs::rename(&file, &aside).ok().map(|()| aside)
    }

    fn documents(&self) -> Option<PathBuf> {
        self.documents.clone()
    }

    fn absolute(&self, path: &Path) -> PathBuf {
        absolute(path).unwrap_or_else(|_| path.to_owned())
    }

    fn make_evening(&self, folder: &Path, files: &[NewFile]) -> Result<PathBuf, String> {
        let catalogue = DEMO_PARTS.iter().filter(|part| part.name.ends_with(".catalogue.ron"));
        let catalogue =
            catalogue.map(|part| NewFile { name: part.name.to_owned(), text: part.text.to_owned() });
        let all: Vec<NewFile> = files.iter().cloned().chain(catalogue).collect();
        let Some(evening) = all.first().map(|file| folder.join(&file.name)) else {
            return Err("there is nothing to write".to_owned());
        };
        // What is there already and the same, such as the catalogue of another evening, is as good as written.
        let is_same =
            |file: &NewFile| read_text(&folder.join(&file.name)).is_ok_and(|text| text == file.text);
        let missing: Vec<&NewFile> = all.iter().filter(|file| !is_same(file)).collect();
        if let Some(taken) = missing.iter().find(|file| self.is_there(&folder.join(&file.name))) {
            return Err(format!(
                "{} is there already, with something else in it. Choose another folder, date or name for the site",
                folder.join(&taken.name).display()
            ));
        }
        make_folder(folder).map_err(|error| error.to_string())?;
        // The evening comes last: once it is there, all that it names is.
        for file in missing.iter().rev() {
            write_whole(&folder.join(&file.name), file.text.as_bytes()).map_err(|error| error.to_string())?;
        }
        Ok(evening)
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::{AtHome, DAMAGED, SETTINGS};
    use crate::state::{Kept, NewFile, Outside};

    #[test]
    fn settings_are_kept_in_their_folder_and_set_aside_when_damaged() {
        let folder = tempfile::tempdir().unwrap();
        let deep = folder.path().join("a/b");
        let home = AtHome::in_folders(Some(deep.clone()), None);
        assert_eq!(home.settings(), Kept::Nothing);
        home.keep_settings("()");
        assert_eq!(home.settings(), Kept::Text("()".to_owned()));
        fs::write(deep.join(SETTINGS), [0xff, 0x00]).unwrap();
        assert_eq!(home.settings(), Kept::Text(String::new()));
        assert_eq!(home.set_settings_aside(), Some(deep.join(DAMAGED)));
        assert_eq!(fs::read(deep.join(DAMAGED)).unwrap(), [0xff, 0x00]);
        assert_eq!(home.settings(), Kept::Nothing);
        // Another time, what was set aside stays.
        fs::write(deep.join(SETTINGS), [0xfe]).unwrap();
        assert_eq!(home.set_settings_aside(), Some(deep.join("settings.damaged-2.ron")));
        assert_eq!(fs::read(deep.join(DAMAGED)).unwrap(), [0xff, 0x00]);
    }

    #[test]
    fn without_a_folder_or_with_a_broken_one_nothing_is_kept_and_nothing_said() {
        assert_eq!(AtHome::default().settings(), Kept::Nowhere);
        AtHome::default().keep_settings("()");
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("file");
        fs::write(&file, "a file where a folder should be").unwrap();
        let broken = AtHome::in_folders(Some(file.clone()), None);
        assert_eq!(broken.settings(), Kept::Nowhere);
        broken.keep_settings("()");
        assert_eq!(fs::read_to_string(&file).unwrap(), "a file where a folder should be");
    }

    #[test]
    fn a_new_evening_replaces_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let file = |name: &str, text: &str| NewFile { name: name.to_owned(), text: text.to_owned() };
        let files = [file("a.evening.ron", "one"), file("a.site.ron", "two")];
        let home = AtHome::default();
        let made = home.make_evening(&folder.path().join("new"), &files).unwrap();
        assert_eq!(made, folder.path().join("new/a.evening.ron"));
        assert_eq!(fs::read_dir(folder.path().join("new")).unwrap().count(), 3, "with the catalogue");
        assert_eq!(
            home.make_evening(&folder.path().join("new"), &files),
            Ok(made.clone()),
            "the same once more"
        );
        let other = [file("a.evening.ron", "other"), file("b.site.ron", "two")];
        let refused = home.make_evening(&folder.path().join("new"), &other).unwrap_err();
        assert!(refused.contains("a.evening.ron is there already"), "{refused}");
        assert_eq!(fs::read_to_string(made).unwrap(), "one");
        assert!(!folder.path().join("new/b.site.ron").exists());
        let next = [file("b.evening.ron", "three"), file("a.site.ron", "two")];
        let made = home.make_evening(&folder.path().join("new"), &next).unwrap();
        assert_eq!(fs::read_to_string(made).unwrap(), "three", "another evening beside the same site");
        let moved = [file("c.evening.ron", "four"), file("a.site.ron", "moved")];
        let refused = home.make_evening(&folder.path().join("new"), &moved).unwrap_err();
        assert!(refused.contains("a.site.ron is there already"), "{refused}");
        assert!(!folder.path().join("new/c.evening.ron").exists());
    }
}
