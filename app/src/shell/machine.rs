//! The machine as the window wants it: evenings opened and saved, files written, the typeface.

use std::path::{Component, Path, PathBuf};

use evenfall_core::document::write_evening;
use evenfall_core::plan::Evening;

use super::assets::{DEMO_PARTS, FONT};
use super::evenings::{LoadError, Loaded, demo, load};
use super::files::{read_text, write_whole};
use crate::state::{Opened, Outside, Stock};

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

    fn is_there(&self, path: &Path) -> bool {
        path.symlink_metadata().is_ok()
    }

    fn save(
        &self,
        path: &Path,
        evening: &Evening,
        stock: &Stock,
        came_from: Option<&Path>,
    ) -> Result<Evening, String> {
        let mut written = evening.clone();
        let files = [&mut written.site_file, &mut written.rig_file, &mut written.catalogue_file];
        for file in files {
            *file = match came_from {
                Some(came_from) => named_from(path, &folder_of(came_from).join(&*file))?,
                None => set_beside(path, file)?,
            };
        }
        write_whole(path, write_evening(&written, stock.site.zone).as_bytes())
            .map_err(|error| error.to_string())?;
        Ok(written)
    }

    fn write(&self, path: &Path, bytes: &[u8]) -> Result<(), String> {
        write_whole(path, bytes).map_err(|error| error.to_string())
    }

    fn font(&self) -> &'static [u8] {
        FONT
    }
}

/// The evening with the faults of its files in words; only faults that leave no evening are an error.
fn in_words(loaded: Result<Loaded, LoadError>) -> Result<Opened, String> {
    match loaded {
        Ok(Loaded { mut opened, faults }) => {
            opened.left_out = faults.iter().map(ToString::to_string).collect();
            Ok(opened)
        }
        Err(error) => Err(error.to_string()),
    }
}

/// Writes a file of the demo beside the evening, so that the evening can be opened again.
fn set_beside(evening: &Path, name: &str) -> Result<String, String> {
    let Some(demo) = DEMO_PARTS.iter().find(|demo| demo.name == name) else { return Ok(name.to_owned()) };
    let path = folder_of(evening).join(name);
    match read_text(&path) {
        Ok(text) if text == demo.text => {}
        Err(error) if error.is_missing() => {
            write_whole(&path, demo.text.as_bytes()).map_err(|error| error.to_string())?;
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

/// The name of `file` as seen from the folder of `evening`, with `/` between folders on every system.
fn named_from(evening: &Path, file: &Path) -> Result<String, String> {
    let absolute = |path: &Path| {
        path.canonicalize()
            .map_err(|error| format!("can't find {}: {error}. Check the folder", path.display()))
    };
    let folder = absolute(&folder_of(evening))?;
    let file = absolute(file)?;
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
        let written = Machine.save(&first, &demo.evening, &demo.stock, None).unwrap();
        assert_eq!(written, demo.evening);
        let opened = Machine.open(&first).unwrap();
        assert_eq!(opened.evening, demo.evening);
        let moved = Machine.save(&second, &opened.evening, &opened.stock, Some(&first)).unwrap();
        assert_eq!(moved.site_file, "../heron-fell.site.ron");
        assert_eq!(Machine.open(&second).unwrap().evening, moved);
    }

    #[test]
    fn a_different_file_beside_the_evening_is_never_overwritten() {
        let folder = tempfile::tempdir().unwrap();
        let site = folder.path().join("heron-fell.site.ron");
        fs::write(&site, "mine").unwrap();
        let demo = Machine.demo().unwrap();
        let refused = Machine.save(&folder.path().join("my.evening.ron"), &demo.evening, &demo.stock, None);
        assert!(refused.unwrap_err().contains("differs"));
        assert_eq!(fs::read_to_string(&site).unwrap(), "mine");
    }
}
