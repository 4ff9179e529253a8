//! The document: one evening, what it stands on, and its file.

use std::path::PathBuf;
use std::sync::Arc;

use evenfall_core::catalogue::Catalogue;
use evenfall_core::ephemeris::Ephemeris;
use evenfall_core::plan::{Evening, Materials};
use evenfall_core::rig::Rig;
use evenfall_core::site::Site;

use super::Written;

/// What an evening stands on, owned; shared with the worker.
#[derive(Debug)]
pub struct Stock {
    /// Where.
    pub site: Site,
    /// With what.
    pub rig: Rig,
    /// Out of which targets.
    pub catalogue: Catalogue,
    /// Under which sky.
    pub ephemeris: Arc<Ephemeris>,
}

impl Stock {
    /// The same, borrowed as the core wants it.
    pub fn materials(&self) -> Materials<'_> {
        Materials { site: &self.site, rig: &self.rig, catalogue: &self.catalogue, ephemeris: &self.ephemeris }
    }
}

/// The open evening and its file.
#[derive(Clone, Debug)]
pub struct Document {
    /// What the user decides.
    pub evening: Evening,
    /// What it stands on.
    pub stock: Arc<Stock>,
    /// Its file; `None` until it is saved for the first time.
    pub path: Option<PathBuf>,
    /// As its file holds it; `None` if it holds something else that was not read.
    saved: Option<Evening>,
    on_disk: Option<String>,
    /// How often it was saved.
    saves: u64,
    dirty: bool,
    given_up: Option<Evening>,
}

impl Document {
    /// An evening with nothing unsaved in it, and what its file holds.
    pub fn new(evening: Evening, stock: Arc<Stock>, path: Option<PathBuf>, on_disk: Option<String>) -> Self {
        let saved = Some(evening.clone());
        Self { saved, evening, stock, path, on_disk, saves: 0, dirty: false, given_up: None }
    }

    /// An evening that its file does not hold: an earlier save, or what a killed window left.
    pub const fn unsaved(
        evening: Evening,
        stock: Arc<Stock>,
        path: Option<PathBuf>,
        on_disk: Option<String>,
    ) -> Self {
        Self { saved: None, evening, stock, path, on_disk, saves: 0, dirty: true, given_up: None }
    }

    /// Puts another version of the evening in place.
    pub fn replace(&mut self, evening: Evening) {
        self.evening = evening;
        self.dirty = self.saved.as_ref() != Some(&self.evening);
    }

    /// Puts a draft in place that nobody asked for: there is as little to lose as before.
    pub fn lay(&mut self, evening: Evening) {
        if !self.dirty {
            self.saved = Some(evening.clone());
        }
        self.replace(evening);
    }

    /// Notes what the file at `path` holds, and takes over the names of the other files as seen from there.
    pub fn mark_saved(&mut self, path: PathBuf, written: Written) {
        self.take_names(&written.evening);
        self.path = Some(path);
        self.on_disk = Some(written.text);
        self.saves += 1;
        self.dirty = self.evening != written.evening;
        self.saved = Some(written.evening);
    }

    /// What the file held when it was read or written last.
    pub fn on_disk(&self) -> Option<&str> {
        self.on_disk.as_deref()
    }

    /// How often it was saved since it was opened.
    pub const fn saves(&self) -> u64 {
        self.saves
    }

    fn take_names(&mut self, written: &Evening) {
        self.evening.site_file.clone_from(&written.site_file);
        self.evening.rig_file.clone_from(&written.rig_file);
        self.evening.catalogue_file.clone_from(&written.catalogue_file);
    }

    /// Notes that the evening as it stands may be lost: its user said so, or it is saved.
    pub fn give_up(&mut self) {
        self.given_up = self.dirty.then(|| self.evening.clone());
    }

    /// Whether the evening as it stands is the one that may be lost.
    pub fn is_given_up(&self) -> bool {
        !self.dirty || self.given_up.as_ref() == Some(&self.evening)
    }

    /// Whether there is something to lose.
    pub const fn is_dirty(&self) -> bool {
        self.dirty
    }
}
