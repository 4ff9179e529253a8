//! A list of targets on its way into the catalogue: how it is read, what it gives, what of it can't be used.
//!
//! `reading` reads it on the worker's thread; `flow` asks for that, anew whenever what a column means is corrected, and brings the
//! targets in as one step.

pub(super) mod flow;
mod reading;

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use evenfall_core::catalogue::{Kind, Target};
use evenfall_core::lists::{ListAccount, ListProgress, MappedColumn, Mapping, Meaning, Remark, Unit};

pub(super) use reading::read;

use super::Stock;

/// The most targets of a catalogue to which a list adds; the sky of each takes some 25 kB in an evening.
pub const MOST_TARGETS: usize = 50_000;
/// So many remarks and twins are shown; the others are counted.
pub const MOST_SHOWN: usize = 500;

/// A list that is to be read.
#[derive(Debug)]
pub struct ListAsked {
    /// Which question this is.
    pub ticket: u64,
    /// The list.
    pub path: PathBuf,
    /// What is corrected of how it is read.
    pub mapping: Mapping,
    /// Whether coordinates are for the equinox that the list says, whatever a mapping beside it has.
    pub list_says: bool,
    /// What its targets go into.
    pub stock: Arc<Stock>,
    /// Set to end it.
    pub stop: Stop,
}

/// Ends the reading of a list.
#[derive(Clone, Debug, Default)]
pub struct Stop(Arc<AtomicBool>);

impl Stop {
    /// Ends it.
    pub fn set(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    fn is_set(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

impl PartialEq for Stop {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

/// What was found of a mapping beside the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum KeptMapping {
    /// There is none.
    None,
    /// The list is read by it.
    Used,
    /// It can't be read: why. It is left alone.
    Unreadable(String),
}

/// What a list gives.
#[derive(Debug)]
pub struct ListSeen {
    /// How it was read, and what was taken for granted.
    pub account: ListAccount,
    /// What was found of a mapping beside it.
    pub kept: KeptMapping,
    /// What it would write beside the list to be read the same again; `None` where that stands there.
    pub to_keep: Option<String>,
    /// The targets of its first rows, as they are read.
    pub first: Vec<Target>,
    /// Those that the catalogue does not have.
    pub new: Vec<Target>,
    /// Targets of the catalogue with what they lacked.
    pub filled: Vec<Target>,
    /// What the catalogue has already, told; the first of them.
    pub met: Vec<String>,
    /// How many that are.
    pub met_count: usize,
    /// What can't be used; the first of them.
    pub remarks: Vec<Remark>,
    /// How many those are.
    pub remark_count: usize,
    /// Whether there are more new targets than a catalogue takes.
    pub too_many: bool,
}

/// The page.
#[derive(Clone, Debug)]
pub struct ListForm {
    /// The list.
    pub path: PathBuf,
    /// What is corrected of how it is read.
    pub mapping: Mapping,
    /// Whether coordinates are for the equinox that the list says, whatever a mapping beside it has.
    pub list_says: bool,
    /// How far the reading is; `None` when it has ended.
    pub progress: Option<ListProgress>,
    /// What it gave; of the reading before while another is under way.
    pub seen: Option<Arc<ListSeen>>,
    /// Whether targets of the catalogue take what they lack.
    pub fills: bool,
    /// Why it could not be read.
    pub trouble: Option<String>,
    ticket: u64,
    stop: Stop,
}

impl PartialEq for ListForm {
    fn eq(&self, other: &Self) -> bool {
        (self.ticket, self.progress) == (other.ticket, other.progress)
            && (self.fills, self.list_says) == (other.fills, other.list_says)
            && (&self.path, &self.mapping, &self.trouble) == (&other.path, &other.mapping, &other.trouble)
            && self.seen.as_ref().map(Arc::as_ptr) == other.seen.as_ref().map(Arc::as_ptr)
    }
}

/// Something done on the page.
#[derive(Clone, Debug, PartialEq)]
pub enum ListEdit {
    /// The column of this name holds something else.
    Meaning(String, Meaning),
    /// Its values have another unit.
    Unit(String, Unit),
    /// Coordinates are for another equinox; `None` for what the list says.
    Equinox(Option<String>),
    /// Rows that tell no kind are of this one.
    UsualKind(Kind),
    /// Whether targets of the catalogue take what they lack.
    Fill(bool),
}

impl ListForm {
    /// How many targets would come in.
    pub fn new_count(&self) -> usize {
        self.seen.as_ref().map_or(0, |seen| seen.new.len())
    }

    /// Whether there is something to bring in.
    pub fn can_be_brought(&self) -> bool {
        let gives = |seen: &ListSeen| {
            !seen.too_many && (!seen.new.is_empty() || (self.fills && !seen.filled.is_empty()))
        };
        self.progress.is_none() && self.seen.as_ref().is_some_and(|seen| gives(seen))
    }

    /// The equinox that is taken for coordinates which don't say theirs; `None` for what the list says.
    pub fn equinox(&self) -> Option<String> {
        let kept = self.seen.as_ref().filter(|seen| seen.kept == KeptMapping::Used && !self.list_says);
        let kept = kept.and_then(|seen| seen.account.mapping.equinox.clone());
        self.mapping.equinox.clone().or(kept)
    }

    /// Whether a column's meaning was corrected here.
    pub fn is_corrected(&self, column: &str) -> bool {
        self.mapping.columns.iter().any(|own| own.column == column)
    }

    fn correct(&mut self, column: &str, is: Meaning, unit: Option<Unit>) {
        let own = MappedColumn { column: column.to_owned(), is, unit };
        match self.mapping.columns.iter_mut().find(|own| own.column == column) {
            Some(known) => *known = own,
            None => self.mapping.columns.push(own),
        }
    }

    /// Takes a correction; whether the list is to be read again for it.
    fn edit(&mut self, edit: ListEdit) -> bool {
        let used = |form: &Self, column: &str| {
            let columns = form.seen.as_ref().map(|seen| &seen.account.columns);
            columns
                .and_then(|columns| columns.iter().find(|own| own.column == column))
                .map(|own| (own.is, own.unit))
        };
        match edit {
            ListEdit::Meaning(column, is) => {
                let unit = used(self, &column).and_then(|(_, unit)| unit).filter(|unit| unit.fits(is));
                self.correct(&column, is, unit);
            }
            ListEdit::Unit(column, unit) => {
                let Some((is, _)) = used(self, &column) else { return false };
                self.correct(&column, is, Some(unit));
            }
            ListEdit::Equinox(equinox) => {
                self.list_says = equinox.is_none();
                self.mapping.equinox = equinox;
            }
            ListEdit::UsualKind(kind) => self.mapping.usual_kind = Some(kind),
            ListEdit::Fill(fills) => {
                self.fills = fills;
                return false;
            }
        }
        true
    }
}

/// Where the mapping of a list is kept.
pub(super) fn mapping_path(list: &Path) -> PathBuf {
    list.with_extension("mapping.ron")
}

/// Whether a file is a list by its name.
pub(super) fn is_list(path: &Path) -> bool {
    const ENDINGS: [&str; 7] = ["csv", "tsv", "tab", "txt", "vot", "votable", "xml"];
    path.extension().is_some_and(|ending| ENDINGS.iter().any(|own| ending.eq_ignore_ascii_case(own)))
}
