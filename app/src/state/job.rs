//! What the worker is asked, and what it answers.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::Arc;

use evenfall_core::catalogue::CatalogueChange;
use evenfall_core::lists::ListProgress;
use evenfall_core::output::Output;
use evenfall_core::plan::{Evening, Explained, PickUp, Prepared, RunningOrder};

use super::pages::SetOf;
use super::{
    Appraisal, AskedSides, EarlierSave, LeftUnsaved, ListAsked, ListSeen, NewFile, Opened, OrderFacts,
    PagesNews, PagesOrder, Part, PartSave, PathUse, Question, SetTold, Sides, Stock, Told, UnsavedParts,
    Written,
};

const BROKEN_DOWN: &str = "This could not be done: a fault in Evenfall. The evening is as it was. Save it under \
                           another name, then start Evenfall again.";

/// Something slow to do.
#[derive(Debug)]
pub enum Job {
    /// Read an evening.
    Open {
        /// Which question this is.
        ticket: u64,
        /// Where from.
        source: Source,
    },
    /// Note the evening as it stands, which is not saved.
    Note {
        /// Which state of which evening this is.
        stands: Stands,
        /// The evening.
        evening: Box<Evening>,
        /// What it stands on.
        stock: Arc<Stock>,
        /// Its file.
        file: Option<PathBuf>,
        /// What the file held when it was read or written last.
        on_disk: Option<String>,
        /// What the files of site and rig are to hold and do not hold yet.
        parts: UnsavedParts,
        /// What a killed window left, of which this is the continuation: let go of once this is noted.
        continues: Option<LeftUnsaved>,
    },
    /// Note that everything is saved, or given up.
    NothingUnsaved,
    /// Note which file is open, and find whether another window has it open too.
    NoteOpen(Option<PathBuf>),
    /// Find what killed windows had not saved.
    LookForLeft,
    /// Let go of what a killed window had not saved.
    Forget(LeftUnsaved),
    /// Find the earlier saves of a file.
    LookForEarlier(PathBuf),
    /// Compute the sky and, if asked, a draft.
    LayOut {
        /// Which question this is.
        ticket: u64,
        /// The evening as it shall become.
        evening: Box<Evening>,
        /// What it stands on.
        stock: Arc<Stock>,
        /// Its sky, where it is known already.
        prepared: Option<Arc<Prepared>>,
        /// What is done beside that.
        doing: Doing,
    },
    /// Find how good an order is beside the best draft.
    Appraise(Appraise),
    /// Follow one target through the night, for the Card.
    Tell(Question),
    /// Say why the order on the Board is as it is.
    Explain(Appraise),
    /// Compare the running orders that are kept with the one on the Board.
    Compare(Appraise),
    /// Save the evening.
    Save {
        /// Its number among those opened.
        number: u64,
        /// Where to.
        path: PathBuf,
        /// What.
        evening: Box<Evening>,
        /// What it stands on.
        stock: Arc<Stock>,
        /// Where it was until now.
        came_from: Option<PathBuf>,
        /// What the file must still hold, if that matters.
        expected: Option<String>,
        /// The files of site and rig to be written before.
        parts: Vec<PartSave>,
        /// Whether a file that is there already may be replaced.
        replace: bool,
    },
    /// Read a text that a form asked for.
    ReadText {
        /// What for.
        purpose: PathUse,
        /// The file.
        path: PathBuf,
    },
    /// Write a new file of a site or a rig.
    WritePart {
        /// Which.
        part: Part,
        /// The number of its evening among those opened.
        number: u64,
        /// Where to.
        path: PathBuf,
        /// What.
        text: String,
        /// Whether a file that is there already may be replaced.
        replace: bool,
    },
    /// Lay the sides of a page out, to be looked at.
    LaySidesOut(AskedSides),
    /// Write a set of pages and files.
    WritePages(Box<PagesOrder>),
    /// Write what the window remembers.
    KeepSettings(String),
    /// Find which of these files are gone.
    LookFor(Vec<PathBuf>),
    /// Find which of these photos are not there.
    LookForPhotos(Vec<PathBuf>),
    /// Read a list of targets.
    ReadList(Box<ListAsked>),
    /// Keep how a list was read beside it.
    KeepMapping {
        /// Where.
        path: PathBuf,
        /// Its text.
        text: String,
    },
    /// Write the files of a new evening, the evening's own first, into a folder.
    Make {
        /// The folder; made if it is not there.
        folder: PathBuf,
        /// Names and texts.
        files: Vec<NewFile>,
    },
    /// Write the evening as numbers for a solver.
    ExportProblem {
        /// The number of its evening among those opened.
        number: u64,
        /// Where to.
        path: PathBuf,
        /// Which evening.
        asked: Appraise,
        /// Whether a file that is there already may be replaced.
        replace: bool,
    },
}

/// Which state of an evening is noted: its number among those opened, its revision, and how often it was saved.
pub type Stands = (u64, u64, u64);

/// Where an evening is read from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    /// The built-in demonstration.
    Demo,
    /// A file.
    File(PathBuf),
    /// What the file held before it was written over.
    Earlier(PathBuf, EarlierSave),
    /// What a killed window had not saved.
    Left(LeftUnsaved),
}

/// What is done as an evening is laid out. A catalogue that changes and a draft never come together: an order made by hand
/// stays.
#[derive(Clone, Debug)]
pub enum Doing {
    /// Its sky alone.
    Sky,
    /// Targets of the catalogue change before.
    Change(Box<CatalogueChange>),
    /// Its running order is drafted.
    Draft(DraftWish),
}

/// How a draft is wanted.
#[derive(Clone, Debug, Default)]
pub struct DraftWish {
    /// Where an evening that has begun is picked up.
    pub pick_up: Option<PickUp>,
    /// Whether the order as it stands is kept unless a better one is found.
    pub only_better: bool,
}

/// The order on the Board, under its sky.
#[derive(Clone, Debug)]
pub struct Appraise {
    /// Which question this is.
    pub ticket: u64,
    /// The evening.
    pub evening: Box<Evening>,
    /// What it stands on.
    pub stock: Arc<Stock>,
    /// Its sky.
    pub prepared: Arc<Prepared>,
    /// Where it was picked up, if it was.
    pub picked_up: Option<PickUp>,
    /// Whether nothing more is to be looked for.
    pub rest: bool,
}

impl Job {
    /// Whether it takes long, so that it is done in slices with all else in between.
    pub(super) const fn takes_long(&self) -> bool {
        matches!(self, Self::LayOut { .. } | Self::Appraise(_))
    }

    /// Whether somebody waits for it: for a file, or for what the Card or a dialog tells.
    pub(super) const fn is_waited_for(&self) -> bool {
        self.place_in_line() <= 1
    }

    /// Its place in the line, the least first: files, what Card and dialogs wait for, the Board, and only then reasons and
    /// how good the order is.
    pub(super) const fn place_in_line(&self) -> u8 {
        match self {
            Self::Open { .. }
            | Self::Save { .. }
            | Self::WritePages(_)
            | Self::ExportProblem { .. }
            | Self::Note { .. }
            | Self::NothingUnsaved
            | Self::NoteOpen(_)
            | Self::LookForLeft
            | Self::Forget(_)
            | Self::LookForEarlier(_)
            | Self::KeepSettings(_)
            | Self::LookFor(_)
            | Self::KeepMapping { .. }
            | Self::ReadText { .. }
            | Self::WritePart { .. }
            | Self::Make { .. } => 0,
            Self::Tell(_)
            | Self::Compare(_)
            | Self::LaySidesOut(_)
            | Self::LookForPhotos(_)
            | Self::ReadList(_) => 1,
            Self::LayOut { .. } => 2,
            Self::Explain(_) => 3,
            Self::Appraise(_) => 4,
        }
    }

    /// The answer when a panic, a fault in Evenfall, ends the job; `None` where nobody waits for one.
    pub(super) fn broken_down(&self) -> Option<Answer> {
        let fault = BROKEN_DOWN.to_owned();
        Some(match self {
            Self::Open { ticket, .. } => Answer::Opened { ticket: *ticket, result: Err(fault) },
            Self::LayOut { ticket, .. } => Answer::LaidOut { ticket: *ticket, result: Err(fault) },
            Self::Tell(question) => Answer::Told(Told::nothing(question.clone())),
            Self::KeepSettings(_) | Self::NothingUnsaved | Self::Forget(_) | Self::LookForLeft => {
                return None;
            }
            Self::Note { .. } => Answer::Noted(Err(fault)),
            Self::NoteOpen(_) => Answer::OpenElsewhere(None),
            Self::LookForEarlier(path) => Answer::EarlierFound(path.clone(), Vec::new()),
            Self::LookFor(_) => Answer::LookedFor(BTreeSet::new()),
            Self::LookForPhotos(_) => Answer::PhotosLookedFor(BTreeSet::new()),
            Self::ReadList(asked) => Answer::ListRead { ticket: asked.ticket, result: Err(fault) },
            Self::KeepMapping { .. } => Answer::MappingKept(Err(fault)),
            Self::Make { .. } => Answer::Made(Err(fault)),
            Self::Save { number, path, stock, .. } => {
                let (path, stock) = (path.clone(), Arc::clone(stock));
                Answer::Saved { number: *number, path, stock, result: Err(fault) }
            }
            Self::ReadText { purpose, path } => {
                Answer::TextRead { purpose: *purpose, path: path.clone(), result: Err(fault) }
            }
            Self::WritePart { part, path, .. } => {
                Answer::PartWritten { part: *part, path: path.clone(), result: Err(fault) }
            }
            Self::LaySidesOut(asked) => {
                Answer::SidesLaidOut { set: asked.set, output: asked.output, sides: Err(fault), told: None }
            }
            Self::WritePages(order) => {
                Answer::Pages { ticket: order.ticket, news: PagesNews::Ended(order.failed(&fault)) }
            }
            Self::ExportProblem { path, .. } => Answer::Exported { path: path.clone(), result: Err(fault) },
            Self::Explain(asked) => Answer::Explained { ticket: asked.ticket, explained: None },
            Self::Compare(asked) => Answer::Compared { ticket: asked.ticket, orders: Vec::new() },
            Self::Appraise(asked) => Answer::Drafted { ticket: asked.ticket, order: None, appraisal: None },
        })
    }
}

/// What came of a job.
#[derive(Debug)]
pub enum Answer {
    /// An evening was read, or not.
    Opened {
        /// Which question this answers.
        ticket: u64,
        /// The evening, or what is wrong.
        result: Result<Box<Opened>, String>,
    },
    /// An evening was laid out, or can't be.
    LaidOut {
        /// Which question this answers.
        ticket: u64,
        /// The evening and its sky.
        result: Result<Box<LaidOut>, String>,
    },
    /// A draft goes on.
    Drafted {
        /// Which question this answers.
        ticket: u64,
        /// A better order, if one was found and asked for.
        order: Option<RunningOrder>,
        /// How good the order on the Board, or the better one, is; `None` after a fault in Evenfall.
        appraisal: Option<Appraisal>,
    },
    /// One target's night.
    Told(Told),
    /// The evening was noted as it stands, or not.
    Noted(Result<Stands, String>),
    /// The file that is open here, if another window has it open too.
    OpenElsewhere(Option<PathBuf>),
    /// What killed windows had not saved.
    LeftFound(Vec<LeftUnsaved>),
    /// The earlier saves of a file.
    EarlierFound(PathBuf, Vec<EarlierSave>),
    /// Which of the recent evenings are gone.
    LookedFor(BTreeSet<PathBuf>),
    /// Which of the photos are not there.
    PhotosLookedFor(BTreeSet<PathBuf>),
    /// A list is being read.
    ListGoesOn {
        /// Which question this answers.
        ticket: u64,
        /// How far it is.
        progress: ListProgress,
    },
    /// A list was read, or not.
    ListRead {
        /// Which question this answers.
        ticket: u64,
        /// What it gives, or what is wrong.
        result: Result<Arc<ListSeen>, String>,
    },
    /// How a list was read was kept beside it, or not.
    MappingKept(Result<(), String>),
    /// The files of a new evening were written, and this is the evening's; or what is wrong.
    Made(Result<PathBuf, String>),
    /// Why the order on the Board is as it is.
    Explained {
        /// Which question this answers.
        ticket: u64,
        /// The reasons; `None` after a fault in Evenfall.
        explained: Option<Box<Explained>>,
    },
    /// How the running orders compare.
    Compared {
        /// Which question this answers.
        ticket: u64,
        /// Each of them; none after a fault in Evenfall.
        orders: Vec<OrderFacts>,
    },
    /// Nothing was written: a file that was not to be replaced is there.
    InTheWay {
        /// Of which evening, by its number among those opened.
        number: u64,
        /// What was to be written.
        purpose: PathUse,
        /// The file.
        path: PathBuf,
    },
    /// The evening was saved, or not.
    Saved {
        /// Its number among those opened.
        number: u64,
        /// Where to.
        path: PathBuf,
        /// What it stands on.
        stock: Arc<Stock>,
        /// As written, or what is wrong.
        result: Result<Box<Written>, String>,
    },
    /// A text that a form asked for was read, or not.
    TextRead {
        /// What for.
        purpose: PathUse,
        /// The file.
        path: PathBuf,
        /// What it holds, or what is wrong.
        result: Result<String, String>,
    },
    /// A new file of a site or a rig was written, or not.
    PartWritten {
        /// Which.
        part: Part,
        /// Where to.
        path: PathBuf,
        /// What it holds, or what is wrong.
        result: Result<String, String>,
    },
    /// The sides of a page.
    SidesLaidOut {
        /// Of which set.
        set: SetOf,
        /// Which page.
        output: Output,
        /// Its sides.
        sides: Sides,
        /// What serves the other pages of the evening.
        told: Option<Arc<SetTold>>,
    },
    /// A set is being written.
    Pages {
        /// Which question this answers.
        ticket: u64,
        /// How far it is.
        news: PagesNews,
    },
    /// The evening as numbers was written, or not.
    Exported {
        /// Where to.
        path: PathBuf,
        /// What is wrong, if anything.
        result: Result<(), String>,
    },
}

/// An evening laid out.
#[derive(Debug)]
pub struct LaidOut {
    /// The evening.
    pub evening: Evening,
    /// What it stands on, where that was changed for it.
    pub stock: Option<Arc<Stock>>,
    /// Its sky.
    pub prepared: Arc<Prepared>,
    /// How good its order is, if it was drafted; better ones may follow.
    pub appraisal: Option<Appraisal>,
}
