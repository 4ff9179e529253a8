//! Reading and writing files: the path in every error, and a file written whole or not at all.

use std::error::Error;
use std::fmt;
use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use tempfile::Builder;

/// What was tried with a file, and what the machine said.
#[derive(Debug)]
pub struct FileError {
    doing: &'static str,
    path: PathBuf,
    source: io::Error,
}

impl FileError {
    pub(crate) fn new(doing: &'static str, path: &Path) -> impl FnOnce(io::Error) -> Self {
        let path = path.to_owned();
        move |source| Self { doing, path, source }
    }

    /// Whether the file is not there, rather than out of reach.
    pub fn is_missing(&self) -> bool {
        self.source.kind() == io::ErrorKind::NotFound
    }

    /// Whether the file was read, but holds something other than text.
    pub fn is_no_text(&self) -> bool {
        self.source.kind() == io::ErrorKind::InvalidData
    }

    /// What the machine said, in plain words where there are any. Of a file written beside the one that was asked for
    /// nobody needs to hear.
    fn reason(&self) -> String {
        let plain = match self.source.kind() {
            io::ErrorKind::NotFound => "there is no such file or folder",
            io::ErrorKind::PermissionDenied => "there is no permission",
            io::ErrorKind::ReadOnlyFilesystem => "the disk can only be read",
            io::ErrorKind::StorageFull => "the disk is full",
            io::ErrorKind::InvalidData => "it is not text in UTF-8",
            io::ErrorKind::FileTooLarge => "it is longer than 64 MB",
            io::ErrorKind::IsADirectory => "it is a folder",
            io::ErrorKind::NotADirectory => "a file stands where a folder should",
            _ => {
                let within = self.source.get_ref().and_then(|inner| inner.source());
                return within.map_or_else(|| self.source.to_string(), ToString::to_string);
            }
        };
        plain.to_owned()
    }

    fn remedy(&self) -> &'static str {
        match self.source.kind() {
            io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => "Check the name and the folder",
            io::ErrorKind::PermissionDenied => "Ask for permission, or choose another folder",
            io::ErrorKind::ReadOnlyFilesystem => "Choose another disk",
            io::ErrorKind::StorageFull => "Free some room, or choose another disk",
            io::ErrorKind::InvalidData => "Give a text file in UTF-8",
            io::ErrorKind::FileTooLarge => "Give a shorter file: a catalogue with fewer targets",
            io::ErrorKind::IsADirectory => "Give a file, not a folder",
            _ => "Try again, or choose another folder",
        }
    }
}

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { doing, path, .. } = self;
        write!(f, "can't {doing} {}: {}. {}", path.display(), self.reason(), self.remedy())
    }
}

impl Error for FileError {
    fn source(&self) -> Option<&(dyn Error + 'static)> {
        Some(&self.source)
    }
}

/// The text of a file that is to be replaced; empty where there is one that can't be read, nothing where there is none.
pub fn old_text(path: &Path) -> Option<String> {
    match read_text(path) {
        Ok(text) => Some(text),
        Err(error) if error.is_missing() => None,
        Err(_) => Some(String::new()),
    }
}

/// The longest text that is read, in bytes: 64 MB. A catalogue of 100,000 targets has less.
pub const MOST_TEXT: u64 = 64 << 20;

/// The text of a file.
///
/// # Errors
/// When it can't be read, is not UTF-8, or is longer than [`MOST_TEXT`]; of that no more is read than shows it.
pub fn read_text(path: &Path) -> Result<String, FileError> {
    let bytes = read_at_most(path, MOST_TEXT)?.ok_or(io::ErrorKind::FileTooLarge.into());
    let text =
        bytes.and_then(|bytes| String::from_utf8(bytes).map_err(|_| io::ErrorKind::InvalidData.into()));
    text.map_err(FileError::new("read", path))
}

/// The bytes of a file; `None` if there are more than `most`, of which no more is read than shows it.
///
/// # Errors
/// When it can't be read.
pub fn read_at_most(path: &Path, most: u64) -> Result<Option<Vec<u8>>, FileError> {
    let read = || {
        let file = File::open(path)?;
        if file.metadata()?.len() > most {
            return Ok(None);
        }
        let mut bytes = Vec::new();
        // What is no plain file has no length before it is read.
        file.take(most + 1).read_to_end(&mut bytes)?;
        Ok((bytes.len() as u64 <= most).then_some(bytes))
    };
    read().map_err(FileError::new("read", path))
}

/// A file without a name on the disk of another: for what is too long for the memory. It is gone when the program ends, however
/// that ends.
///
/// # Errors
/// When the machine refuses.
pub fn nameless_beside(path: &Path) -> Result<File, FileError> {
    let real = end_of_links(path);
    tempfile::tempfile_in(folder_of(&real)).map_err(FileError::new("write", path))
}

/// The folder that a file stands in.
fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Makes a folder and those above it, if they are not there.
///
/// # Errors
/// When the machine refuses.
pub fn make_folder(path: &Path) -> Result<(), FileError> {
    fs::create_dir_all(path).map_err(FileError::new("make the folder", path))
}

/// Writes a file whole or not at all: a new file beside it is written and flushed to the disk, then takes its name.
/// An old file keeps its permissions, a new one gets those of the system's umask, and a symbolic link still leads to
/// the file it led to. A program that is killed meanwhile leaves the new file unfinished; the next writing sweeps it up.
///
/// # Errors
/// When the machine refuses; the old file is then untouched.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    write_whole_with(path, |file| file.write_all(bytes))
}

/// As [`write_whole`], piece by piece.
///
/// # Errors
/// When the machine refuses, or `pieces` gives up; the old file is then untouched.
pub fn write_whole_with(
    path: &Path,
    pieces: impl FnOnce(&mut dyn Write) -> io::Result<()>,
) -> Result<(), FileError> {
    write(&end_of_links(path), pieces).map_err(FileError::new("write", path))
}

fn write(path: &Path, pieces: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> io::Result<()> {
    let folder = folder_of(path);
    // So much of it that even a name of four bytes a letter leaves room for the rest.
    let name: String = path.file_name().unwrap_or_default().to_string_lossy().chars().take(60).collect();
    let prefix = format!(".{name}.");
    sweep(folder, &prefix);
    let mut new = Builder::new();
    new.prefix(&prefix).suffix(UNFINISHED);
    let mut new = match fs::metadata(path) {
        Ok(old) => {
            // Made readable by its owner only, so that it is never more open than the old file was.
            let new = new.tempfile_in(folder)?;
            new.as_file().set_permissions(old.permissions())?;
            new
        }
        Err(_) => as_open_as_a_document(&mut new).tempfile_in(folder)?,
    };
    pieces(&mut new)?;
    new.as_file().sync_all()?;
    new.persist(path).map_err(|error| error.error)?;
    sync_folder(folder);
    Ok(())
}

/// Ends the name of a file that is being written: `.NAME.`, six letters, and this.
const UNFINISHED: &str = ".part";
/// A file still unfinished after this was left by a program that was killed: writing takes less than a second.
const LEFT_BEHIND: Duration = Duration::from_mins(1);

/// Removes what a program that was killed while it wrote the same file has left. What can't be removed stays.
fn sweep(folder: &Path, prefix: &str) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        let letters = name.strip_prefix(prefix).and_then(|rest| rest.strip_suffix(UNFINISHED));
        let is_ours = letters.is_some_and(|letters| letters.len() == 6);
        let written = entry.metadata().and_then(|metadata| metadata.modified());
        let age = written.ok().and_then(|written| written.elapsed().ok());
        if is_ours && age.is_some_and(|age| age > LEFT_BEHIND) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// As open as the system's umask lets a document be.
#[cfg(unix)]
fn as_open_as_a_document<'b, 'n>(new: &'b mut Builder<'n, 'n>) -> &'b mut Builder<'n, 'n> {
    use std::os::unix::fs::PermissionsExt;
    new.permissions(fs::Permissions::from_mode(0o666))
}

#[cfg(not(unix))]
fn as_open_as_a_document<'b, 'n>(new: &'b mut Builder<'n, 'n>) -> &'b mut Builder<'n, 'n> {
    new
}

/// Flushes the folder's list of names. Some file systems refuse this; the file itself is safe by then.
fn sync_folder(folder: &Path) {
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}

/// The file at the end of a chain of symbolic links, which need not exist yet.
pub(super) fn end_of_links(path: &Path) -> PathBuf {
    /// As many as Linux follows.
    const MOST_LINKS: usize = 40;
    let mut path = path.to_owned();
    for _ in 0..MOST_LINKS {
        let Ok(target) = fs::read_link(&path) else { break };
        path = path.parent().unwrap_or(Path::new("")).join(target);
    }
    path
}

#[cfg(test)]
mod tests {
    use std::fs::{self, File};
    use std::time::{Duration, SystemTime};

    use super::{read_at_most, read_text, write_whole};

    #[test]
    fn what_a_killed_program_left_is_swept_up_by_the_next_writing() {
        let folder = tempfile::tempdir().unwrap();
        let touch = |name: &str, age_s: u64| {
            let file = File::create(folder.path().join(name)).unwrap();
            file.set_modified(SystemTime::now() - Duration::from_secs(age_s)).unwrap();
        };
        touch(".a.ron.AbC123.part", 120);
        touch(".a.ron.new123.part", 5);
        touch(".b.ron.AbC123.part", 120);
        touch(".a.ron.mine.part", 120);
        write_whole(&folder.path().join("a.ron"), b"text").unwrap();
        let mut left: Vec<String> = fs::read_dir(folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        left.sort();
        assert_eq!(left, [".a.ron.mine.part", ".a.ron.new123.part", ".b.ron.AbC123.part", "a.ron"]);
    }

    #[test]
    fn a_file_is_replaced_whole_and_nothing_is_left_beside_it() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("evening.ron");
        write_whole(&path, b"old").unwrap();
        write_whole(&path, b"new").unwrap();
        assert_eq!(read_text(&path).unwrap(), "new");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_file_that_is_too_long_is_not_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("list.csv");
        fs::write(&path, b"12345").unwrap();
        assert_eq!(read_at_most(&path, 5).unwrap().as_deref(), Some(b"12345".as_slice()));
        assert_eq!(read_at_most(&path, 4).unwrap(), None);
        // A hole takes no room on the disk and would take all of the memory.
        File::create(&path).unwrap().set_len(1 << 40).unwrap();
        assert_eq!(read_at_most(&path, 4).unwrap(), None);
        assert!(read_at_most(&folder.path().join("nothing"), 4).unwrap_err().is_missing());
        let refused = read_text(&path).unwrap_err().to_string();
        assert!(
            refused.ends_with("it is longer than 64 MB. Give a shorter file: a catalogue with fewer targets")
        );
    }

    #[test]
    fn errors_name_the_file_and_what_to_do() {
        let folder = tempfile::tempdir().unwrap();
        let missing = folder.path().join("nowhere").join("a.ron");
        let error = read_text(&missing).unwrap_err();
        assert!(error.is_missing());
        assert!(
            error.to_string().contains("a.ron")
                && error.to_string().ends_with("Check the name and the folder")
        );
        let refused = write_whole(&missing, b"x").unwrap_err().to_string();
        let expected = format!(
            "can't write {}: there is no such file or folder. Check the name and the folder",
            missing.display()
        );
        assert_eq!(refused, expected, "not of the file beside it");
        fs::write(folder.path().join("bytes"), [0xff, 0xfe]).unwrap();
        assert!(read_text(&folder.path().join("bytes")).unwrap_err().is_no_text());
    }

    #[cfg(unix)]
    #[test]
    fn permissions_and_links_are_kept() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let folder = tempfile::tempdir().unwrap();
        let (real, link) = (folder.path().join("real.ron"), folder.path().join("link.ron"));
        write_whole(&real, b"old").unwrap();
        let mode = |path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        let usual = folder.path().join("usual.ron");
        fs::write(&usual, "as the system makes files").unwrap();
        assert_eq!(mode(&real), mode(&usual));
        fs::set_permissions(&real, fs::Permissions::from_mode(0o660)).unwrap();
        symlink("real.ron", &link).unwrap();
        write_whole(&link, b"new").unwrap();
        assert_eq!(read_text(&real).unwrap(), "new");
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(mode(&real), 0o660);
    }
}
