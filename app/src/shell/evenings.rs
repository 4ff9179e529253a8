//! An evening put together from its file and the files it names, or from the embedded demo.

use std::fmt;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use evenfall_core::catalogue::read_catalogue;
use evenfall_core::document::{check_names, read_evening};
use evenfall_core::reading::{Fault, Faults};
use evenfall_core::rig::read_rig;
use evenfall_core::site::read_site;

use super::assets::{self, DEMO_EVENING, DEMO_PARTS};
use super::files::{FileError, read_text};
use crate::state::{Opened, Stock};

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
    /// A file can't be read.
    File(FileError),
    /// The files were read, but hold faults.
    Faults(Faults),
    /// The embedded ephemeris is damaged.
    Ephemeris(String),
}

impl fmt::Display for LoadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File(error) => error.fmt(f),
            Self::Faults(faults) => f.write_str(&listed(faults)),
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
    let part = |name: &str| {
        let text = DEMO_PARTS.iter().find(|file| file.name == name).map_or("", |file| file.text);
        Ok((name.to_owned(), text.to_owned()))
    };
    assemble(DEMO_EVENING.name, DEMO_EVENING.text, None, part)
}

/// An evening from its file; the files it names count from its folder.
///
/// # Errors
/// A file that can't be read, or all faults of those that could.
pub fn load(path: &Path) -> Result<Loaded, LoadError> {
    let text = read_text(path).map_err(LoadError::File)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    let part = |name: &str| {
        let path = folder.join(name);
        read_text(&path).map(|text| (path.display().to_string(), text))
    };
    assemble(&path.display().to_string(), &text, Some(path.to_owned()), part)
}

/// Puts the parts together. `part` gives the shown name and the text of a file that the evening names.
fn assemble(
    file: &str,
    text: &str,
    path: Option<PathBuf>,
    part: impl Fn(&str) -> Result<(String, String), FileError>,
) -> Result<Loaded, LoadError> {
    let evening = read_evening(file, text).map_err(LoadError::Faults)?;
    let mut faults = Faults::new();
    let mut note = |found: Faults| faults.extend(found);
    let (site_name, site_text) = part(&evening.site_file).map_err(LoadError::File)?;
    let site = read_site(&site_name, &site_text).map_err(&mut note).ok();
    let (rig_name, rig_text) = part(&evening.rig_file).map_err(LoadError::File)?;
    let rig = read_rig(&rig_name, &rig_text).map_err(&mut note).ok();
    let (catalogue_name, catalogue_text) = part(&evening.catalogue_file).map_err(LoadError::File)?;
    let (catalogue, left_out) = read_catalogue(&catalogue_name, &catalogue_text);
    let unreadable = catalogue.targets.is_empty() && !left_out.is_empty();
    note(left_out);
    let (Some(site), Some(rig), false) = (site, rig, unreadable) else {
        return Err(LoadError::Faults(faults));
    };
    faults.extend(check_names(file, text, &rig, &catalogue));
    let ephemeris = assets::ephemeris().map_err(|error| LoadError::Ephemeris(error.to_string()))?;
    let stock = Arc::new(Stock { site, rig, catalogue, ephemeris: Arc::new(ephemeris) });
    Ok(Loaded { opened: Opened { evening, stock, path, left_out: Vec::new() }, faults })
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
        for file in DEMO_PARTS.iter().chain([&DEMO_EVENING]) {
            let text = file.text.replace("latitude_deg: 55.1", "latitude_deg: 155.1");
            fs::write(folder.path().join(file.name), text.replace("aperture_mm", "apperture_mm")).unwrap();
        }
        let Err(LoadError::Faults(faults)) = load(&folder.path().join(DEMO_EVENING.name)) else {
            panic!("the faults were not found");
        };
        let files: Vec<bool> = faults.iter().map(|fault| fault.file.contains("site")).collect();
        assert!(files.contains(&true) && files.contains(&false), "{faults:?}");
    }
}
