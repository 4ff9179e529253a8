//! Earlier saves: what a file held before it was written over, the last ten times.

use std::fs;
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};
use evenfall_core::document::read_evening;

use super::files::{FileError, end_of_links, read_text, write_whole_with};
use crate::state::EarlierSave;

/// The folder beside the file.
const FOLDER: &str = "earlier-saves";
/// So many are kept of a file.
pub const MOST_EARLIER: usize = 10;
/// When the file was saved, in a form that sorts by time and that every system takes in a name.
const TIME: &str = "%Y-%m-%dT%H-%M-%S%.3fZ";
/// Of the time and the number behind it.
const TIME_LENGTH: usize = "2027-03-13T18-30-00.000Z.00".len();
/// Ends the name: not the ending of an evening, which would be opened without the files beside it.
const ENDING: &str = ".kept";

/// Writes a file whole or not at all, and keeps what it held until now. What could not be kept is told beside: the new
/// content matters more than the old.
///
/// # Errors
/// When the machine refuses; the old file is then untouched.
pub fn write_keeping(path: &Path, bytes: &[u8]) -> Result<Option<FileError>, FileError> {
    keeping(path, Some(bytes), |file| file.write_all(bytes))
}

/// As [`write_keeping`], piece by piece. What the file held is kept even where it held the same.
///
/// # Errors
/// When the machine refuses, or `pieces` gives up; the old file is then untouched.
pub fn write_keeping_with(
    path: &Path,
    pieces: impl FnOnce(&mut dyn Write) -> io::Result<()>,
) -> Result<Option<FileError>, FileError> {
    keeping(path, None, pieces)
}

fn keeping(
    path: &Path,
    bytes: Option<&[u8]>,
    pieces: impl FnOnce(&mut dyn Write) -> io::Result<()>,
) -> Result<Option<FileError>, FileError> {
    let real = end_of_links(path);
    let kept = keep(&real, bytes);
    if let Err(error) = write_whole_with(&real, pieces) {
        // Nothing was written over, so nothing is earlier.
        if let Ok(Some(kept)) = kept {
            let _ = fs::remove_file(kept);
        }
        return Err(error);
    }
    match kept {
        Ok(kept) => {
            if let Some(kept) = kept {
                let_go(&real, &kept);
            }
            Ok(None)
        }
        Err(error) => Ok(Some(FileError::new("keep the earlier save of", path)(error))),
    }
}

/// The earlier saves of a file, the last one first; those that can't be read are left out.
pub fn earlier_saves(path: &Path) -> Vec<EarlierSave> {
    let real = end_of_links(path);
    let Some((folder, prefix)) = place(&real) else { return Vec::new() };
    let mut saves: Vec<EarlierSave> = list(&folder, &prefix)
        .into_iter()
        .filter_map(|name| {
            let path = folder.join(&name);
            let saved = fs::metadata(&path).ok()?.modified().ok()?;
            // With its text, so that a save in between can't let go of what is looked at.
            let text = read_text(&path).ok()?;
            let holds = read_evening(&name, &text).ok();
            let holds = holds.map(|evening| (evening.title, evening.order.stops().len()));
            Some(EarlierSave { path, saved: DateTime::<Utc>::from(saved), text, holds })
        })
        .collect();
    saves.reverse();
    saves
}

/// Keeps what is about to be written over, unless it is known to be the same; gives back where.
fn keep(path: &Path, new: Option<&[u8]>) -> io::Result<Option<PathBuf>> {
    let Some((folder, prefix)) = place(path) else { return Ok(None) };
    let old = match fs::metadata(path) {
        Ok(old) => old,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(error),
    };
    if let Some(new) = new
        && old.len() == new.len() as u64
        && fs::read(path)? == new
    {
        return Ok(None);
    }
    fs::create_dir_all(&folder)?;
    let saved = DateTime::<Utc>::from(old.modified()?).format(TIME);
    // Two saves within one tick of the disk's clock get numbers.
    let mut names = (0..).map(|number| format!("{prefix}{saved}.{number:02}{ENDING}"));
    let kept = names.find(|name| !folder.join(name).exists()).map(|name| folder.join(name));
    let Some(kept) = kept else { return Ok(None) };
    // The same file under a second name: nothing to copy, and its time stays. It outlives the first, which is replaced,
    // never written into.
    fs::hard_link(path, &kept).or_else(|_| copy(path, &kept, &old))?;
    Ok(Some(kept))
}

/// Lets go of the oldest, never of the one just kept. What can't be removed stays.
fn let_go(path: &Path, kept: &Path) {
    let Some((folder, prefix)) = place(path) else { return };
    let paths = list(&folder, &prefix).into_iter().map(|name| folder.join(name));
    let others: Vec<PathBuf> = paths.filter(|other| other != kept).collect();
    for oldest in others.iter().rev().skip(MOST_EARLIER - 1) {
        let _ = fs::remove_file(oldest);
    }
}

/// Where a disk knows no second names: a copy, under its name only once it is whole.
fn copy(path: &Path, kept: &Path, old: &fs::Metadata) -> io::Result<()> {
    let unfinished = kept.with_extension("part");
    fs::copy(path, &unfinished)?;
    let file = fs::File::options().write(true).open(&unfinished)?;
    file.set_modified(old.modified()?)?;
    file.sync_all()?;
    fs::rename(&unfinished, kept)
}

/// The folder of a file's earlier saves, and how their names begin.
fn place(path: &Path) -> Option<(PathBuf, String)> {
    let name = path.file_name()?.to_string_lossy().into_owned();
    Some((path.with_file_name(FOLDER), format!("{name}.")))
}

/// Names of the earlier saves, the oldest first.
fn list(folder: &Path, prefix: &str) -> Vec<String> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let names = entries.flatten().map(|entry| entry.file_name().to_string_lossy().into_owned());
    let is_ours = |name: &String| {
        let time = name.strip_prefix(prefix).and_then(|rest| rest.strip_suffix(ENDING));
        time.is_some_and(|time| {
            time.len() == TIME_LENGTH && time.starts_with(|first: char| first.is_ascii_digit())
        })
    };
    let mut names: Vec<String> = names.filter(is_ours).collect();
    names.sort();
    names
}

#[cfg(test)]
mod tests {
    use std::fs::{self, File};
    use std::time::{Duration, SystemTime};

    use super::{MOST_EARLIER, earlier_saves, write_keeping};

    #[test]
    fn the_last_ten_are_kept_and_the_same_twice_counts_once() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("my.evening.ron");
        assert!(earlier_saves(&path).is_empty());
        for number in 0..14 {
            let text = format!("save {number}");
            assert!(write_keeping(&path, text.as_bytes()).unwrap().is_none());
            assert!(write_keeping(&path, text.as_bytes()).unwrap().is_none(), "the same again");
        }
        let texts: Vec<String> =
            earlier_saves(&path).iter().map(|save| fs::read_to_string(&save.path).unwrap()).collect();
        let expected: Vec<String> = (3..13).rev().map(|number| format!("save {number}")).collect();
        assert_eq!(texts, expected);
        assert_eq!(texts.len(), MOST_EARLIER);
        assert_eq!(fs::read_to_string(&path).unwrap(), "save 13");
    }

    #[test]
    fn an_old_file_put_back_is_kept_before_newer_saves() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("my.evening.ron");
        for number in 0..12 {
            write_keeping(&path, format!("save {number}").as_bytes()).unwrap();
        }
        fs::write(&path, "from last year").unwrap();
        let last_year = SystemTime::now() - Duration::from_hours(365 * 24);
        File::options().write(true).open(&path).unwrap().set_modified(last_year).unwrap();
        write_keeping(&path, b"new").unwrap();
        let saves = earlier_saves(&path);
        assert_eq!(saves.len(), MOST_EARLIER);
        assert!(saves.iter().any(|save| save.text == "from last year"));
    }

    #[test]
    fn files_beside_each_other_keep_their_own() {
        let folder = tempfile::tempdir().unwrap();
        let (one, other) = (folder.path().join("a.ron"), folder.path().join("a.ron.b"));
        for path in [&one, &other] {
            for text in ["first", "second"] {
                write_keeping(path, format!("{text} of {}", path.display()).as_bytes()).unwrap();
            }
        }
        for path in [&one, &other] {
            let saves = earlier_saves(path);
            assert_eq!(saves.len(), 1);
            let kept = fs::read_to_string(&saves[0].path).unwrap();
            assert_eq!(kept, format!("first of {}", path.display()));
        }
    }

    #[test]
    fn a_save_that_can_not_be_kept_is_told_and_the_new_one_written() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("my.evening.ron");
        write_keeping(&path, b"old").unwrap();
        fs::write(folder.path().join("earlier-saves"), "a file where a folder should be").unwrap();
        let told = write_keeping(&path, b"new").unwrap().unwrap().to_string();
        assert!(
            told.starts_with("can't keep the earlier save of") && told.contains("my.evening.ron"),
            "{told}"
        );
        assert_eq!(fs::read_to_string(&path).unwrap(), "new");
    }
}
