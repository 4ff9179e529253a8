//! How the pages are looked at, and how far the writing of a set is.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use evenfall_core::chart::Scene;
use evenfall_core::output::Output;
use evenfall_core::output::pdf::Paper;

use super::SetTold;

/// The sides of a page as drawings, or why there are none.
pub type Sides = Result<Arc<Vec<Scene>>, String>;

/// Of which evening, in which version of it, on which paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SetOf {
    /// Its number among those opened.
    pub number: u64,
    /// The revision of what follows from it.
    pub revision: u64,
    /// The paper.
    pub paper: Paper,
}

impl SetOf {
    /// Whether it is of the same evening, on whatever paper.
    pub fn is_of_evening(self, other: Self) -> bool {
        (self.number, self.revision) == (other.number, other.revision)
    }
}

/// What came of writing a set.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PagesOutcome {
    /// The folder.
    pub folder: PathBuf,
    /// What was written.
    pub written: Vec<Output>,
    /// What could not be written, and why.
    pub failed: Vec<(Output, String)>,
    /// What was not tried any more.
    pub not_tried: Vec<Output>,
    /// Calendars that begin anew, as the old file could not be read.
    pub begun_anew: Vec<Output>,
}

/// How far the writing of a set is.
#[derive(Clone, Debug, Default)]
pub enum PagesStep {
    /// It is being chosen.
    #[default]
    Choosing,
    /// So many of its files are there already: may they be replaced?
    Asking(Vec<String>),
    /// It is being written.
    Writing {
        /// Which answer is waited for.
        ticket: u64,
        /// What is written.
        outputs: Vec<Output>,
        /// How many of them are done.
        done: usize,
        /// Set to end it after the file under way.
        stop: Arc<AtomicBool>,
    },
    /// This came of it.
    Done(PagesOutcome),
}

/// All of it.
#[derive(Clone, Debug)]
pub struct PagesView {
    /// The output that is looked at.
    pub shown: Output,
    /// Which of its sides, from 0.
    pub side: usize,
    /// Whether a side is as wide as its room, rather than seen whole.
    pub wide: bool,
    /// The folder as it is typed.
    pub folder: String,
    /// How far the writing is.
    pub step: PagesStep,
    /// The sides that are laid out, all of one set.
    pub(in crate::state) laid_out: Option<(SetOf, Vec<(Output, Sides)>)>,
    /// What was found for all pages of a set.
    pub(in crate::state) told: Option<(SetOf, Arc<SetTold>)>,
    /// The page whose sides are being laid out.
    pub(in crate::state) asked: Option<(SetOf, Output)>,
}

impl Default for PagesView {
    fn default() -> Self {
        Self {
            shown: Output::RunSheet,
            side: 0,
            wide: false,
            folder: String::new(),
            step: PagesStep::Choosing,
            laid_out: None,
            told: None,
            asked: None,
        }
    }
}

impl PagesView {
    /// The sides of a page in a set, once they are laid out.
    pub(in crate::state) fn known(&self, set: SetOf, output: Output) -> Option<&Sides> {
        let (of, known) = self.laid_out.as_ref()?;
        known.iter().find(|(known, _)| *of == set && *known == output).map(|(_, sides)| sides)
    }

    /// Keeps the sides of a page; those of another set are forgotten.
    pub(in crate::state) fn keep(&mut self, set: SetOf, output: Output, sides: Sides) {
        match &mut self.laid_out {
            Some((of, known)) if *of == set => known.push((output, sides)),
            other => *other = Some((set, vec![(output, sides)])),
        }
    }

    /// Whether a set is being written.
    pub const fn is_writing(&self) -> bool {
        matches!(self.step, PagesStep::Writing { .. })
    }
}
