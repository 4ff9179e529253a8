//! The files of site, rig and catalogue that an evening stands on: what they hold, or are to hold once the evening is saved.

use std::path::{Path, PathBuf};

/// A file that an evening names and the window can change.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// Where.
    Site,
    /// With what.
    Rig,
    /// Out of which targets.
    Catalogue,
}

impl Part {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Site, Self::Rig, Self::Catalogue];

    /// The ending of its files' names.
    pub const fn ending(self) -> &'static str {
        match self {
            Self::Site => ".site.ron",
            Self::Rig => ".rig.ron",
            Self::Catalogue => ".catalogue.ron",
        }
    }
}

/// Such a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartFile {
    /// Where it is; `None` for one of the demonstration, which is written beside the evening.
    pub path: Option<PathBuf>,
    /// What it holds, or is to hold.
    pub text: String,
    /// What it held when it was read.
    pub on_disk: String,
}

impl PartFile {
    /// As it was read.
    pub fn read(path: Option<PathBuf>, text: String) -> Self {
        Self { path, on_disk: text.clone(), text }
    }
}

/// Such a file to be written with an evening.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartSave {
    /// Where.
    pub path: PathBuf,
    /// What.
    pub text: String,
    /// What it must still hold.
    pub expected: String,
}

/// What files hold that are not saved: in the order of [`Part::ALL`]; `None` where the file holds it.
pub type UnsavedParts = [Option<String>; 3];

/// The name of a file as an evening at `evening` gives it: from its folder where the file lies in it or below.
pub(super) fn name_beside(evening: Option<&Path>, file: &Path) -> String {
    let folder = evening.and_then(Path::parent);
    let inside = folder.and_then(|folder| file.strip_prefix(folder).ok());
    match inside {
        Some(inside) => {
            let parts: Vec<_> = inside.iter().map(|part| part.to_string_lossy()).collect();
            parts.join("/")
        }
        None => file.display().to_string(),
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::name_beside;

    #[test]
    fn a_file_in_the_folder_of_the_evening_is_named_from_there() {
        let evening = Some(Path::new("/nights/my.evening.ron"));
        assert_eq!(name_beside(evening, Path::new("/nights/my.site.ron")), "my.site.ron");
        assert_eq!(name_beside(evening, Path::new("/nights/deep/my.site.ron")), "deep/my.site.ron");
        assert_eq!(name_beside(evening, Path::new("/other/my.site.ron")), "/other/my.site.ron");
        assert_eq!(name_beside(None, Path::new("/other/my.site.ron")), "/other/my.site.ron");
    }
}
