//! An evening put together from its file and the files it names, or from the embedded demo.

use std::fmt;
use std::path::{Path, PathBuf, absolute};
use std::sync::Arc;

use evenfall_core::catalogue::read_catalogue;
use evenfall_core::document::{check_names, named_files, read_evening};
use evenfall_core::reading::{Fault, Faults};
use evenfall_core::rig::read_rig;
use evenfall_core::site::read_site;

use super::assets::{self, DEMO_EVENING, DEMO_PARTS};
use super::files::{FileError, read_text};
use crate::state::{Opened, PartFile, Stock, UnsavedParts};

/// An evening as it could be read, and what could not.
#[derive(Debug)]
pub struct Loaded {
    /// The evening with what it stands on.
    pub opened: Opened,
    /// Targets left out of the catalogue, and names in the evening that nothing bears.
    pub faults: Faults,
}

/// Why there is no evening.
#[derive(Debug)]
pub enum LoadError {
    /// Files that can't be read, and the faults of all that could.
    Files {
        /// The evening's own file, or files that it names.
        unread: Vec<FileError>,
        /// Those of the evening first, then of what it stands on.
        faults: Faults,
    },
    /// The embedded ephemeris is damaged.
    Ephemeris(String),
}

impl fmt::Display for LoadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Files { unread, faults } => {
                let unread = unread.iter().map(ToString::to_string);
                let lines: Vec<String> = unread.chain(faults.iter().map(ToString::to_string)).collect();
                f.write_str(&lines.join("\n"))
            }
            Self::Ephemeris(error) => {
                write!(f, "the embedded ephemeris can't be used: {error}. Install Evenfall anew")
            }
        }
    }
}

impl std::error::Error for LoadError {}

/// Faults as lines of text.
pub fn listed(faults: &[Fault]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

/// The embedded demo.
///
/// # Errors
/// When the embedded data are damaged: a fault in the build.
pub fn demo() -> Result<Loaded, LoadError> {
    of_demo(DEMO_EVENING.text, UnsavedParts::default())
}

/// An evening of the embedded demo's site, rig and catalogue.
///
/// # Errors
/// When there are faults in it.
pub fn of_demo(text: &str, parts: UnsavedParts) -> Result<Loaded, LoadError> {
    let part = |name: &str| {
        let text = DEMO_PARTS.iter().find(|file| file.name == name).map_or("", |file| file.text);
        Ok((name.to_owned(), text.to_owned()))
    };
    assemble(DEMO_EVENING.name, text, None, parts, part)
}

/// An evening from its file; the files it names count from its folder.
///
/// # Errors
/// All files that can't be read, and all faults of those that could.
pub fn load(path: &Path) -> Result<Loaded, LoadError> {
    let text =
        read_text(path).map_err(|error| LoadError::Files { unread: vec![error], faults: Faults::new() })?;
    load_text(path, &text, UnsavedParts::default())
}

/// An evening from a text that its file held, or is to hold; the files it names count from the folder of `path`, and `parts`
/// is what those files are to hold.
///
/// # Errors
/// All files that can't be read, and all faults of those that could.
pub fn load_text(path: &Path, text: &str, parts: UnsavedParts) -> Result<Loaded, LoadError> {
    let folder = path.parent().unwrap_or(Path::new(""));
    let part = |name: &str| {
        let path = folder.join(name);
        read_text(&path).map(|text| (path.display().to_string(), text))
    };
    assemble(&path.display().to_string(), text, Some(path.to_owned()), parts, part)
}

/// Puts the parts together. `part` gives the shown name and the text of a file that the evening names. A fault in one
/// file hides none in another.
fn assemble(
    file: &str,
    text: &str,
    path: Option<PathBuf>,
    [new_site, new_rig, new_catalogue]: UnsavedParts,
    part: impl Fn(&str) -> Result<(String, String), FileError>,
) -> Result<Loaded, LoadError> {
    let (mut unread, mut faults) = (Vec::new(), Faults::new());
    let evening = read_evening(file, text).map_err(|found| faults.extend(found)).ok();
    let named = named_files(file, text);
    let mut part = |name: Option<String>| part(&name?).map_err(|error| unread.push(error)).ok();
    let (site, rig, catalogue) = (part(named.site), part(named.rig), part(named.catalogue));
    let mut note = |found: Faults| faults.extend(found);
    let is_file = path.is_some();
    // By a path that leads there from any folder.
    let part_file = |name: String, on_disk: String, new: Option<String>| PartFile {
        path: is_file.then(|| absolute(&name).unwrap_or(PathBuf::from(name))),
        text: new.unwrap_or_else(|| on_disk.clone()),
        on_disk,
    };
    let site = site.and_then(|(name, text)| {
        let file = part_file(name.clone(), text, new_site);
        read_site(&name, &file.text).map_err(&mut note).ok().map(|site| (site, file))
    });
    let rig = rig.and_then(|(name, text)| {
        let file = part_file(name.clone(), text, new_rig);
        read_rig(&name, &file.text).map_err(&mut note).ok().map(|rig| (rig, file))
    });
    let catalogue = catalogue.and_then(|(name, text)| {
        let file = part_file(name.clone(), text, new_catalogue);
        let (catalogue, left_out) = read_catalogue(&name, &file.text);
        let readable = left_out.is_empty() || !catalogue.targets.is_empty();
        note(left_out);
        readable.then_some((catalogue, file))
    });
    let (Some(evening), Some((site, site_file)), Some((rig, rig_file)), Some((catalogue, catalogue_file))) =
        (evening, site, rig, catalogue)
    else {
        return Err(LoadError::Files { unread, faults });
    };
    faults.extend(check_names(file, text, site.zone, &rig, &catalogue));
    let ephemeris = assets::ephemeris().map_err(|error| LoadError::Ephemeris(error.to_string()))?;
    let stock = Arc::new(Stock {
        site,
        rig,
        catalogue: Arc::new(catalogue),
        ephemeris: Arc::new(ephemeris),
        files: [site_file, rig_file, catalogue_file],
    });
    let text = path.is_some().then(|| text.to_owned());
    Ok(Loaded {
        opened: Opened { evening, stock, path, text, is_unsaved: false, left_out: Vec::new() },
        faults,
    })
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::{LoadError, demo, load};
    use crate::shell::assets::{DEMO_EVENING, DEMO_PARTS};

    #[test]
    fn the_demo_loads_from_within_and_from_a_folder_alike() {
        let folder = tempfile::tempdir().unwrap();
        for file in DEMO_PARTS.iter().chain([&DEMO_EVENING]) {
            fs::write(folder.path().join(file.name), file.text).unwrap();
        }
        let (within, outside) = (demo().unwrap(), load(&folder.path().join(DEMO_EVENING.name)).unwrap());
        assert!(within.faults.is_empty(), "{:?}", within.faults);
        assert_eq!(within.opened.evening, outside.opened.evening);
        assert_eq!(within.opened.stock.catalogue, outside.opened.stock.catalogue);
        assert_eq!(within.opened.path, None);
    }

    #[test]
    fn faults_of_all_files_come_together() {
        let folder = tempfile::tempdir().unwrap();
        let faulty = [
            ("visitors: 60", "visitors: 6000"),
            ("latitude_deg: 55.1", "latitude_deg: 155.1"),
            ("aperture_mm", "apperture_mm"),
            ("kind: Moon", "kind: Mooon"),
        ];
        for file in DEMO_PARTS.iter().chain([&DEMO_EVENING]) {
            let text = faulty.iter().fold(file.text.to_owned(), |text, (from, to)| text.replace(from, to));
            fs::write(folder.path().join(file.name), text).unwrap();
        }
        let evening = folder.path().join(DEMO_EVENING.name);
        let told = load(&evening).unwrap_err().to_string();
        for (file, key) in [
            (DEMO_EVENING.name, "house.visitors"),
            ("heron-fell.site.ron", "latitude_deg"),
            ("heron-fell.rig.ron", "telescope.apperture_mm"),
            ("heron-fell.catalogue.ron", "targets[0].kind"),
        ] {
            let is_told =
                |line: &str| line.contains(&format!("{file}:")) && line.contains(&format!(": {key}: "));
            assert_eq!(told.lines().filter(|line| is_told(line)).count(), 1, "{file}, {key}:\n{told}");
        }

        fs::remove_file(folder.path().join("heron-fell.rig.ron")).unwrap();
        let Err(LoadError::Files { unread, faults }) = load(&evening) else {
            panic!("the missing file was not found");
        };
        assert!(unread.len() == 1 && unread[0].is_missing(), "{unread:?}");
        for file in [DEMO_EVENING.name, "heron-fell.site.ron", "heron-fell.catalogue.ron"] {
            assert!(faults.iter().any(|fault| fault.file.ends_with(file)), "{file}: {faults:?}");
        }
    }
}
