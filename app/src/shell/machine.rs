//! The machine as the window wants it: evenings opened and saved, files written, the typeface.

use std::path::{Component, Path, PathBuf};
use std::time::SystemTime;

use chrono::{DateTime, Utc};
use evenfall_core::document::write_evening;
use evenfall_core::lists::MOST_BYTES;
use evenfall_core::plan::Evening;
use evenfall_core::time::Instant;

use super::assets::{DEMO_PARTS, FONT};
use super::earlier::{earlier_saves, write_keeping};
use super::evenings::{LoadError, Loaded, demo, load, load_text};
use super::files::{end_of_links, make_folder, old_text, read_at_most, read_text, write_whole};
use crate::state::{EarlierSave, Opened, Outside, Stock, UnsavedParts, Written};

/// This machine.
#[derive(Clone, Copy, Debug, Default)]
pub struct Machine;

impl Outside for Machine {
    fn demo(&self) -> Result<Opened, String> {
        in_words(demo())
    }

    fn open(&self, path: &Path) -> Result<Opened, String> {
        in_words(load(path))
    }

    fn now(&self) -> Instant {
        Instant::from_utc(DateTime::<Utc>::from(SystemTime::now()))
    }

    fn is_there(&self, path: &Path) -> bool {
        path.symlink_metadata().is_ok()
    }

    fn save(
        &self,
        path: &Path,
        evening: &Evening,
        stock: &Stock,
        came_from: Option<&Path>,
        expected: Option<&str>,
    ) -> Result<Written, String> {
        let folder = folder_of(path);
        if !folder.is_dir() {
            let (path, folder) = (path.display(), folder.display());
            return Err(format!(
                "can't write {path}: there is no folder {folder}. Check the name, or make the folder"
            ));
        }
        if let Some(expected) = expected {
            spare_changes(path, expected)?;
        }
        spare_named_files(path, evening, came_from)?;
        let mut written = evening.clone();
        let files = [&mut written.site_file, &mut written.rig_file, &mut written.catalogue_file];
        for file in files {
            match came_from {
                None => *file = set_beside(path, file, stock)?,
                Some(came_from) if Path::new(file).is_absolute() || are_neighbours(came_from, path) => {}
                Some(came_from) => *file = named_from(path, &folder_of(came_from).join(&*file))?,
            }
        }
        let text = write_evening(&written, stock.site.zone);
        let not_kept = write_keeping(path, text.as_bytes()).map_err(|error| error.to_string())?;
        Ok(Written { evening: written, text, not_kept: not_kept.map(|error| error.to_string()) })
    }

    fn earlier_saves(&self, path: &Path) -> Vec<EarlierSave> {
        earlier_saves(path)
    }

    fn open_earlier(&self, path: &Path, save: &EarlierSave) -> Result<Opened, String> {
        let mut opened = in_words(load_text(path, &save.text, UnsavedParts::default()))?;
        // What stands under the path now is what saving would write over.
        opened.text = old_text(path);
        opened.is_unsaved = true;
        Ok(opened)
    }

    fn save_part(&self, path: &Path, text: &str, expected: Option<&str>) -> Result<Option<String>, String> {
        if let Some(expected) = expected
            && old_text(path).is_none_or(|there| there != text)
        {
            spare_changes(path, expected)?;
        }
        let not_kept = write_keeping(path, text.as_bytes()).map_err(|error| error.to_string())?;
        Ok(not_kept.map(|error| error.to_string()))
    }

    fn list_bytes(&self, path: &Path) -> Result<Vec<u8>, String> {
        match read_at_most(path, MOST_BYTES as u64) {
            Ok(Some(bytes)) => Ok(bytes),
            Ok(None) => {
                let most = MOST_BYTES / (1024 * 1024);
                Err(format!(
                    "{} is larger than {most} MB, so it was not read. Split the list",
                    path.display()
                ))
            }
            Err(error) => Err(error.to_string()),
        }
    }

    fn read_text(&self, path: &Path) -> Result<String, String> {
        read_text(path).map_err(|error| error.to_string())
    }

    fn write(&self, path: &Path, bytes: &[u8]) -> Result<(), String> {
        write_whole(path, bytes).map_err(|error| error.to_string())
    }

    fn make_folder(&self, path: &Path) -> Result<(), String> {
        make_folder(path).map_err(|error| error.to_string())
    }

    fn old_text(&self, path: &Path) -> Option<String> {
        old_text(path)
    }

    fn font(&self) -> &'static [u8] {
        FONT
    }
}

/// The evening with the faults of its files in words; only faults that leave no evening are an error.
pub(super) fn in_words(loaded: Result<Loaded, LoadError>) -> Result<Opened, String> {
    match loaded {
        Ok(Loaded { mut opened, faults }) => {
            opened.left_out = faults.iter().map(ToString::to_string).collect();
            Ok(opened)
        }
        Err(error) => Err(error.to_string()),
    }
}

/// Refuses to write over a file that has been changed by others. One that is gone is made anew.
fn spare_changes(path: &Path, expected: &str) -> Result<(), String> {
    match read_text(path) {
        Ok(text) if text == expected => Ok(()),
        Err(error) if error.is_missing() => Ok(()),
        Err(error) if !error.is_no_text() => Err(error.to_string()),
        _ => Err(format!(
            "can't save {}: it has been changed outside this window since it was read. Use Save as to keep both, or \
             open it again",
            path.display()
        )),
    }
}

/// Refuses to write the evening over a file that it names.
fn spare_named_files(path: &Path, evening: &Evening, came_from: Option<&Path>) -> Result<(), String> {
    let folder = folder_of(came_from.unwrap_or(path));
    let names =
        [("site", &evening.site_file), ("rig", &evening.rig_file), ("catalogue", &evening.catalogue_file)];
    match names.into_iter().find(|(_, name)| real(&folder.join(name)) == real(path)) {
        Some((part, _)) => Err(format!(
            "can't save the evening as {}: that file holds its {part}. Choose another name",
            path.display()
        )),
        None => Ok(()),
    }
}

/// The file itself, whichever way its path leads there. It need not exist yet.
fn real(path: &Path) -> PathBuf {
    let path = end_of_links(path);
    path.canonicalize().unwrap_or_else(|_| {
        let folder = folder_of(&path);
        folder.canonicalize().unwrap_or(folder).join(path.file_name().unwrap_or_default())
    })
}

/// Writes a file of the demo beside the evening, as it stands by now, so that the evening can be opened again.
fn set_beside(evening: &Path, name: &str, stock: &Stock) -> Result<String, String> {
    let Some(demo) = DEMO_PARTS.iter().find(|demo| demo.name == name) else { return Ok(name.to_owned()) };
    let path = folder_of(evening).join(name);
    let own = stock.files.iter().find(|file| file.path.is_none() && file.on_disk == demo.text);
    let wanted = own.map_or(demo.text, |file| file.text.as_str());
    match read_text(&path) {
        Ok(text) if text == wanted => {}
        Ok(text) if text == demo.text => {
            write_keeping(&path, wanted.as_bytes()).map_err(|error| error.to_string())?;
        }
        Err(error) if error.is_missing() => {
            write_whole(&path, wanted.as_bytes()).map_err(|error| error.to_string())?;
        }
        _ => {
            let path = path.display();
            return Err(format!(
                "{path} is there already and differs from the demo's. Save into another folder"
            ));
        }
    }
    Ok(name.to_owned())
}

/// Whether both files lie in the same folder.
fn are_neighbours(one: &Path, other: &Path) -> bool {
    let (one, other) = (folder_of(one), folder_of(other));
    one == other
        || one.canonicalize().ok().zip(other.canonicalize().ok()).is_some_and(|(one, other)| one == other)
}

/// The name of `file` as seen from the folder of `evening`, with `/` between folders on every system. The file need
/// not be there, and a link keeps its own name.
fn named_from(evening: &Path, file: &Path) -> Result<String, String> {
    let absolute = |path: &Path| {
        path.canonicalize()
            .map_err(|error| format!("can't find {}: {error}. Check the folder", path.display()))
    };
    let folder = absolute(&folder_of(evening))?;
    let file = absolute(&folder_of(file))?.join(file.file_name().unwrap_or_default());
    let shared = folder.components().zip(file.components()).take_while(|(one, other)| one == other).count();
    if shared == 0 {
        return Ok(file.display().to_string());
    }
    let up = folder.components().skip(shared).map(|_| "..".to_owned());
    let down = file.components().skip(shared).map(|part| match part {
        Component::Normal(name) => name.to_string_lossy().into_owned(),
        other => other.as_os_str().to_string_lossy().into_owned(),
    });
    Ok(up.chain(down).collect::<Vec<_>>().join("/"))
}

fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::Machine;
    use crate::state::Outside;

    #[test]
    fn the_demo_can_be_saved_opened_and_saved_elsewhere() {
        let folder = tempfile::tempdir().unwrap();
        let (first, second) =
            (folder.path().join("my.evening.ron"), folder.path().join("deep/your.evening.ron"));
        fs::create_dir(folder.path().join("deep")).unwrap();
        let demo = Machine.demo().unwrap();
        let written = Machine.save(&first, &demo.evening, &demo.stock, None, None).unwrap().evening;
        assert_eq!(written, demo.evening);
        let opened = Machine.open(&first).unwrap();
        assert_eq!(opened.evening, demo.evening);
        let moved =
            Machine.save(&second, &opened.evening, &opened.stock, Some(&first), None).unwrap().evening;
        assert_eq!(moved.site_file, "../heron-fell.site.ron");
        assert_eq!(Machine.open(&second).unwrap().evening, moved);
    }

    #[cfg(unix)]
    #[test]
    fn names_of_files_are_kept_in_place_and_links_stay_links() {
        use std::os::unix::fs::symlink;
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        let (first, second) = (at("my.evening.ron"), at("deep/your.evening.ron"));
        let demo = Machine.demo().unwrap();
        Machine.save(&first, &demo.evening, &demo.stock, None, None).unwrap();
        fs::create_dir(at("deep")).unwrap();
        fs::rename(at("heron-fell.site.ron"), at("deep/park.ron")).unwrap();
        symlink("deep/park.ron", at("heron-fell.site.ron")).unwrap();
        let opened = Machine.open(&first).unwrap();
        fs::remove_file(at("heron-fell.rig.ron")).unwrap();
        let kept = Machine.save(&first, &opened.evening, &opened.stock, Some(&first), None).unwrap().evening;
        assert_eq!(kept, opened.evening);
        let moved =
            Machine.save(&second, &opened.evening, &opened.stock, Some(&first), None).unwrap().evening;
        assert_eq!(
            (&*moved.site_file, &*moved.rig_file),
            ("../heron-fell.site.ron", "../heron-fell.rig.ron")
        );
    }

    #[test]
    fn an_evening_is_never_written_over_a_file_it_names() {
        let folder = tempfile::tempdir().unwrap();
        let demo = Machine.demo().unwrap();
        let site = folder.path().join("heron-fell.site.ron");
        let refused = Machine.save(&site, &demo.evening, &demo.stock, None, None).unwrap_err();
        assert!(refused.contains("holds its site"), "{refused}");
        assert!(!site.exists(), "nothing is set beside an evening that is not written");
        let first = folder.path().join("my.evening.ron");
        let evening = Machine.save(&first, &demo.evening, &demo.stock, None, None).unwrap().evening;
        fs::create_dir(folder.path().join("deep")).unwrap();
        for part in ["site", "rig", "catalogue"] {
            let path = folder.path().join(format!("deep/../heron-fell.{part}.ron"));
            let before = fs::read_to_string(&path).unwrap();
            let refused = Machine.save(&path, &evening, &demo.stock, Some(&first), None).unwrap_err();
            assert!(refused.contains(&format!("holds its {part}")), "{refused}");
            assert_eq!(fs::read_to_string(&path).unwrap(), before);
        }
    }

    #[test]
    fn a_different_file_beside_the_evening_is_never_overwritten() {
        let folder = tempfile::tempdir().unwrap();
        let site = folder.path().join("heron-fell.site.ron");
        fs::write(&site, "mine").unwrap();
        let demo = Machine.demo().unwrap();
        let refused =
            Machine.save(&folder.path().join("my.evening.ron"), &demo.evening, &demo.stock, None, None);
        assert!(refused.unwrap_err().contains("differs"));
        assert_eq!(fs::read_to_string(&site).unwrap(), "mine");
    }
}
