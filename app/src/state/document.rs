//! The document: one evening, what it stands on, and its file.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use evenfall_core::catalogue::Catalogue;
use evenfall_core::ephemeris::Ephemeris;
use evenfall_core::plan::{Evening, Materials};
use evenfall_core::rig::Rig;
use evenfall_core::site::Site;

use super::{Part, PartFile, PartSave, UnsavedParts, Written};

/// What an evening stands on, owned; shared with the worker.
#[derive(Debug)]
pub struct Stock {
    /// Where.
    pub site: Site,
    /// With what.
    pub rig: Rig,
    /// Out of which targets.
    pub catalogue: Arc<Catalogue>,
    /// Under which sky.
    pub ephemeris: Arc<Ephemeris>,
    /// The files of these, in the order of [`Part::ALL`].
    pub files: [PartFile; 3],
}

impl Stock {
    /// The same, borrowed as the core wants it.
    pub fn materials(&self) -> Materials<'_> {
        Materials { site: &self.site, rig: &self.rig, catalogue: &self.catalogue, ephemeris: &self.ephemeris }
    }

    /// The file of a part.
    pub const fn file(&self, part: Part) -> &PartFile {
        &self.files[part as usize]
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
    /// What the files of site, rig and catalogue hold, as they were read or written last, by where they are.
    parts: BTreeMap<(Part, Option<PathBuf>), String>,
    /// How often it was saved.
    saves: u64,
    dirty: bool,
    given_up: Option<(Evening, UnsavedParts)>,
}

impl Document {
    /// An evening with nothing unsaved in it, and what its file holds.
    pub fn new(evening: Evening, stock: Arc<Stock>, path: Option<PathBuf>, on_disk: Option<String>) -> Self {
        let saved = Some(evening.clone());
        Self::holding(saved, evening, stock, path, on_disk)
    }

    /// An evening that its file does not hold: an earlier save, or what a killed window left.
    pub fn unsaved(
        evening: Evening,
        stock: Arc<Stock>,
        path: Option<PathBuf>,
        on_disk: Option<String>,
    ) -> Self {
        Self::holding(None, evening, stock, path, on_disk)
    }

    fn holding(
        saved: Option<Evening>,
        evening: Evening,
        stock: Arc<Stock>,
        path: Option<PathBuf>,
        on_disk: Option<String>,
    ) -> Self {
        let mut document = Self {
            saved,
            evening,
            stock: Arc::clone(&stock),
            path,
            on_disk,
            parts: BTreeMap::new(),
            saves: 0,
            dirty: false,
            given_up: None,
        };
        document.stand_on(stock);
        document
    }

    /// Puts another version of the evening in place.
    pub fn replace(&mut self, evening: Evening) {
        self.evening = evening;
        self.find_dirty();
    }

    /// Puts something else under it.
    pub fn stand_on(&mut self, stock: Arc<Stock>) {
        for part in Part::ALL {
            let file = stock.file(part);
            self.parts.entry((part, file.path.clone())).or_insert_with(|| file.on_disk.clone());
        }
        self.stock = stock;
        self.find_dirty();
    }

    fn find_dirty(&mut self) {
        self.dirty =
            self.saved.as_ref() != Some(&self.evening) || Part::ALL.iter().any(|part| self.is_unsaved(*part));
    }

    fn is_unsaved(&self, part: Part) -> bool {
        self.held(part) != self.stock.file(part).text
    }

    /// Whether the evening itself is not saved, and which of site, rig and catalogue are not.
    pub fn not_saved(&self) -> (bool, Vec<Part>) {
        let parts = Part::ALL.into_iter().filter(|part| self.is_unsaved(*part));
        (self.saved.as_ref() != Some(&self.evening), parts.collect())
    }

    /// Which of site, rig and catalogue are written when the evening is saved on `stock`: what their files do not hold, and all
    /// files of the demonstration when the evening gets a file of its own.
    pub fn written_with(&self, stock: &Stock) -> Vec<Part> {
        let is_first = self.path.is_none();
        let is_written = |part: &Part| {
            let file = stock.file(*part);
            let held = self.parts.get(&(*part, file.path.clone()));
            held.is_some_and(|held| *held != file.text) || (is_first && file.path.is_none())
        };
        Part::ALL.into_iter().filter(is_written).collect()
    }

    /// What the files of site, rig and catalogue are to hold and do not hold yet.
    pub fn unsaved_parts(&self) -> UnsavedParts {
        Part::ALL.map(|part| self.is_unsaved(part).then(|| self.stock.file(part).text.clone()))
    }

    /// What the file of a part held when it was read or written last.
    fn held(&self, part: Part) -> &str {
        let file = self.stock.file(part);
        self.parts.get(&(part, file.path.clone())).map_or(file.on_disk.as_str(), String::as_str)
    }

    /// Where the file of a part is; `None` before it is written for the first time.
    pub fn part_path(&self, part: Part) -> Option<PathBuf> {
        let name = match part {
            Part::Site => &self.evening.site_file,
            Part::Rig => &self.evening.rig_file,
            Part::Catalogue => &self.evening.catalogue_file,
        };
        let beside = || self.path.as_ref().map(|path| path.with_file_name("").join(name));
        self.stock.file(part).path.clone().or_else(beside)
    }

    /// The files of site, rig and catalogue to be written when the evening is saved. Those of the demonstration are first written beside
    /// the evening.
    pub fn parts_to_save(&self) -> Vec<PartSave> {
        let unsaved = self.unsaved_parts();
        let to_save = Part::ALL.into_iter().zip(unsaved).filter_map(|(part, text)| {
            Some(PartSave { path: self.part_path(part)?, text: text?, expected: self.held(part).to_owned() })
        });
        to_save.collect()
    }

    /// Puts a draft in place that nobody asked for: there is as little to lose as before.
    pub fn lay(&mut self, evening: Evening) {
        if !self.dirty {
            self.saved = Some(evening.clone());
        }
        self.replace(evening);
    }

    /// Notes what the file at `path` holds, and takes over the names of the other files as seen from there; `stock` is what
    /// was saved with it.
    pub fn mark_saved(&mut self, path: PathBuf, written: Written, stock: &Stock) {
        self.take_names(&written.evening);
        self.path = Some(path);
        self.on_disk = Some(written.text);
        self.saves += 1;
        self.saved = Some(written.evening);
        for part in Part::ALL {
            let file = stock.file(part);
            self.parts.insert((part, file.path.clone()), file.text.clone());
        }
        self.find_dirty();
    }

    /// Notes what a file of a part holds.
    pub fn mark_part(&mut self, part: Part, path: PathBuf, text: String) {
        self.parts.insert((part, Some(path)), text);
        self.find_dirty();
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
        self.given_up = self.dirty.then(|| (self.evening.clone(), self.unsaved_parts()));
    }

    /// Whether the evening as it stands is the one that may be lost.
    pub fn is_given_up(&self) -> bool {
        let is_it = |(evening, parts): &(Evening, UnsavedParts)| {
            *evening == self.evening && *parts == self.unsaved_parts()
        };
        !self.dirty || self.given_up.as_ref().is_some_and(is_it)
    }

    /// Whether there is something to lose.
    pub const fn is_dirty(&self) -> bool {
        self.dirty
    }
}
