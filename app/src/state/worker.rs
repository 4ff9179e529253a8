//! A thread that computes, reads and writes; it answers through a channel and wakes the window. What takes long, a draft
//! and its proof, is done in slices by `drafter`, with all else served in between.

use std::collections::{BTreeSet, VecDeque};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::sync::{Arc, Mutex};
use std::thread;

use evenfall_core::chart::timeline;
use evenfall_core::output::pdf::{Paper, PdfOptions, run_sheet_pdf};
use evenfall_core::plan::{Drafting, Evening, Explained, PickUp, Prepared, RunningOrder, explain};
use evenfall_core::sheet::run_sheet;

use super::drafter;
use super::{
    Appraisal, Effort, NewFile, Opened, Outside, PathUse, Question, Stock, Told, Written, problem_text,
};

const BROKEN_DOWN: &str = "This could not be done: a fault in Evenfall. The evening is as it was. Save it under \
                           another name, then start Evenfall again.";

/// Something slow to do.
#[derive(Debug)]
pub enum Job {
    /// Read an evening; `None` for the demonstration.
    Open {
        /// Which question this is.
        ticket: u64,
        /// Its file.
        path: Option<PathBuf>,
    },
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
        /// The draft of its running order, if that is asked for.
        draft: Option<DraftWish>,
    },
    /// Find how good an order is beside the best draft.
    Appraise(Appraise),
    /// Follow one target through the night, for the Card.
    Tell(Question),
    /// Say why the order on the Board is as it is.
    Explain(Appraise),
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
        /// Whether a file that is there already may be replaced.
        replace: bool,
    },
    /// Write the run sheet as PDF.
    Export {
        /// The number of its evening among those opened.
        number: u64,
        /// Where to.
        path: PathBuf,
        /// Of which evening.
        evening: Box<Evening>,
        /// What it stands on.
        stock: Arc<Stock>,
        /// Its sky.
        prepared: Arc<Prepared>,
        /// Paper.
        paper: Paper,
        /// Whether a file that is there already may be replaced.
        replace: bool,
    },
    /// Write what the window remembers.
    KeepSettings(String),
    /// Find which of these files are gone.
    LookFor(Vec<PathBuf>),
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
    const fn takes_long(&self) -> bool {
        matches!(self, Self::LayOut { .. } | Self::Appraise(_))
    }

    /// Its place in the line, the least first: files, what the Card waits for, the Board, and only then reasons and
    /// how good the order is.
    const fn place_in_line(&self) -> u8 {
        match self {
            Self::Open { .. }
            | Self::Save { .. }
            | Self::Export { .. }
            | Self::ExportProblem { .. }
            | Self::KeepSettings(_)
            | Self::LookFor(_)
            | Self::Make { .. } => 0,
            Self::Tell(_) => 1,
            Self::LayOut { .. } => 2,
            Self::Explain(_) => 3,
            Self::Appraise(_) => 4,
        }
    }

    /// The answer when a panic, a fault in Evenfall, ends the job.
    fn broken_down(&self) -> Answer {
        let fault = BROKEN_DOWN.to_owned();
        match self {
            Self::Open { ticket, .. } => Answer::Opened { ticket: *ticket, result: Err(fault) },
            Self::LayOut { ticket, .. } => Answer::LaidOut { ticket: *ticket, result: Err(fault) },
            Self::Tell(question) => Answer::Told(Told::nothing(question.clone())),
            Self::KeepSettings(_) | Self::LookFor(_) => Answer::LookedFor(BTreeSet::new()),
            Self::Make { .. } => Answer::Made(Err(fault)),
            Self::Save { number, path, .. } => {
                Answer::Saved { number: *number, path: path.clone(), result: Err(fault) }
            }
            Self::Export { path, .. } | Self::ExportProblem { path, .. } => {
                Answer::Exported { path: path.clone(), result: Err(fault) }
            }
            Self::Explain(asked) => Answer::Explained { ticket: asked.ticket, explained: None },
            Self::Appraise(asked) => Answer::Drafted { ticket: asked.ticket, order: None, appraisal: None },
        }
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
    /// Which of the recent evenings are gone.
    LookedFor(BTreeSet<PathBuf>),
    /// The files of a new evening were written, and this is the evening's; or what is wrong.
    Made(Result<PathBuf, String>),
    /// Why the order on the Board is as it is.
    Explained {
        /// Which question this answers.
        ticket: u64,
        /// The reasons; `None` after a fault in Evenfall.
        explained: Option<Box<Explained>>,
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
        /// As written, or what is wrong.
        result: Result<Box<Written>, String>,
    },
    /// The run sheet was written, or not.
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
    /// Its sky.
    pub prepared: Arc<Prepared>,
    /// How good its order is, if it was drafted; better ones may follow.
    pub appraisal: Option<Appraisal>,
}

type Wake = Arc<Mutex<Option<Box<dyn Fn() + Send>>>>;

/// The thread and its two channels.
pub struct Worker {
    jobs: Sender<Job>,
    answers: Receiver<Answer>,
    wake: Wake,
}

impl Worker {
    /// Starts the thread, with so much work for a draft.
    pub fn start(outside: Arc<dyn Outside>, effort: Effort) -> Self {
        let (jobs, inbox) = channel();
        let (outbox, answers) = channel();
        let wake: Wake = Arc::default();
        let waker = Arc::clone(&wake);
        thread::spawn(move || {
            let outside = outside.as_ref();
            Desk {
                outside,
                inbox,
                outbox,
                wake: waker,
                effort,
                waiting: VecDeque::new(),
                on_bench: None,
                alone: false,
            }
            .serve();
        });
        Self { jobs, answers, wake }
    }

    /// Sets what to call when an answer is ready.
    pub fn wake_with(&self, wake: impl Fn() + Send + 'static) {
        if let Ok(mut slot) = self.wake.lock() {
            *slot = Some(Box::new(wake));
        }
    }

    /// Hands a job over; `false` when the thread is gone.
    pub fn ask(&self, job: Job) -> bool {
        self.jobs.send(job).is_ok()
    }

    /// The next answer, if one is ready.
    ///
    /// # Errors
    /// When the thread is gone: a fault in Evenfall.
    pub fn poll(&self) -> Result<Option<Answer>, TryRecvError> {
        match self.answers.try_recv() {
            Ok(answer) => Ok(Some(answer)),
            Err(TryRecvError::Empty) => Ok(None),
            Err(gone) => Err(gone),
        }
    }
}

/// Where the thread sits: what waits, and where answers go.
pub(super) struct Desk<'o> {
    outside: &'o dyn Outside,
    inbox: Receiver<Job>,
    outbox: Sender<Answer>,
    wake: Wake,
    pub(super) effort: Effort,
    waiting: VecDeque<Job>,
    /// The question that the draft under way answers.
    pub(super) on_bench: Option<u64>,
    /// Whether nobody asks or listens any longer.
    alone: bool,
}

impl Desk<'_> {
    fn serve(mut self) {
        while self.wait() {
            while let Some(job) = self.next() {
                self.do_job(job);
            }
        }
    }

    /// Waits until there is a job; `false` when none can come.
    pub(super) fn wait(&mut self) -> bool {
        if self.waiting.is_empty() {
            match self.inbox.recv() {
                Ok(job) => self.take(job),
                Err(_) => self.alone = true,
            }
        }
        self.look()
    }

    /// Takes in what has come; `false` when nobody listens any longer.
    pub(super) fn look(&mut self) -> bool {
        loop {
            match self.inbox.try_recv() {
                Ok(job) => self.take(job),
                Err(TryRecvError::Empty) => break,
                Err(TryRecvError::Disconnected) => {
                    // What was asked for before is still written.
                    self.alone |= self.waiting.is_empty();
                    break;
                }
            }
        }
        !self.alone
    }

    /// Puts a job behind the others. It overtakes what it makes pointless.
    fn take(&mut self, job: Job) {
        self.waiting.retain(|other| {
            !matches!(
                (&job, other),
                (Job::LayOut { .. }, Job::LayOut { .. } | Job::Appraise(_))
                    | (Job::Appraise(_), Job::Appraise(_))
                    | (Job::Explain(_), Job::Explain(_))
                    | (Job::Tell(_), Job::Tell(_))
            )
        });
        self.waiting.push_back(job);
    }

    /// The next job.
    fn next(&mut self) -> Option<Job> {
        self.first().and_then(|first| self.waiting.remove(first))
    }

    /// The next job, if it takes no long time.
    pub(super) fn next_short(&mut self) -> Option<Job> {
        let first = self.first().filter(|first| !self.waiting[*first].takes_long())?;
        self.waiting.remove(first)
    }

    /// Where the next job waits: among those of one place in line, the one that has waited longest.
    fn first(&self) -> Option<usize> {
        let places = self.waiting.iter().map(Job::place_in_line).enumerate();
        places.min_by_key(|(_, place)| *place).map(|(position, _)| position)
    }

    /// The order to be judged, if that is all that waits.
    pub(super) fn next_appraise(&mut self, is_same: impl Fn(&Appraise) -> bool) -> Option<Appraise> {
        match self.waiting.front() {
            Some(Job::Appraise(asked)) if is_same(asked) => match self.waiting.pop_front() {
                Some(Job::Appraise(asked)) => Some(asked),
                _ => None,
            },
            _ => None,
        }
    }

    /// Whether something waits.
    pub(super) fn has_more(&self) -> bool {
        !self.waiting.is_empty()
    }

    /// Does a job and answers, even where a fault in Evenfall ends it.
    pub(super) fn do_job(&mut self, job: Job) {
        let (broken_down, takes_long) = (job.broken_down(), job.takes_long());
        if takes_long {
            self.on_bench = None;
        }
        // Nothing is shared but what the outside guards itself: the job and what it made are dropped.
        let done = catch_unwind(AssertUnwindSafe(|| match job {
            Job::LayOut { ticket, evening, stock, prepared, draft } => {
                drafter::lay_out(self, ticket, *evening, stock, prepared, draft);
            }
            Job::Appraise(asked) => drafter::appraise(self, asked),
            short => {
                if let Some(answer) = short_answer(self.outside, short) {
                    self.send(answer);
                }
            }
        }));
        if done.is_err() {
            self.send(broken_down);
        }
        // Whoever follows a draft that broke down must not wait for it.
        if done.is_err()
            && takes_long
            && let Some(ticket) = self.on_bench
        {
            self.send(Answer::Drafted { ticket, order: None, appraisal: None });
        }
    }

    /// Hands an answer over and wakes the window.
    pub(super) fn send(&mut self, answer: Answer) {
        self.alone |= self.outbox.send(answer).is_err();
        if let Ok(slot) = self.wake.lock()
            && let Some(wake) = slot.as_ref()
        {
            wake();
        }
    }
}

/// The answer to what takes no long time.
fn short_answer(outside: &dyn Outside, job: Job) -> Option<Answer> {
    Some(match job {
        Job::Open { ticket, path } => {
            let opened = path.map_or_else(|| outside.demo(), |path| outside.open(&path));
            let result = opened.map(Box::new);
            Answer::Opened { ticket, result }
        }
        Job::Tell(question) => Answer::Told(Told::answering(question)),
        Job::KeepSettings(text) => {
            outside.keep_settings(&text);
            return None;
        }
        Job::LookFor(paths) => {
            Answer::LookedFor(paths.into_iter().filter(|path| !outside.is_there(path)).collect())
        }
        Job::Make { folder, files } => Answer::Made(outside.make_evening(&folder, &files)),
        Job::Explain(asked) => {
            let materials = asked.stock.materials();
            let picked_up = asked.picked_up.as_ref();
            let explained = explain(&asked.evening, &asked.prepared, &materials, picked_up);
            Answer::Explained { ticket: asked.ticket, explained: Some(Box::new(explained)) }
        }
        Job::Save { number, path, replace: false, .. } if outside.is_there(&path) => {
            Answer::InTheWay { number, purpose: PathUse::Save, path }
        }
        Job::Export { number, path, paper, replace: false, .. } if outside.is_there(&path) => {
            Answer::InTheWay { number, purpose: PathUse::Export(paper), path }
        }
        Job::ExportProblem { number, path, replace: false, .. } if outside.is_there(&path) => {
            Answer::InTheWay { number, purpose: PathUse::ExportProblem, path }
        }
        Job::ExportProblem { path, asked, .. } => {
            let materials = asked.stock.materials();
            let drafting =
                Drafting::new(&asked.evening, &asked.prepared, &materials, asked.picked_up.as_ref());
            let result =
                problem_text(drafting.problem()).and_then(|text| outside.write(&path, text.as_bytes()));
            Answer::Exported { path, result }
        }
        Job::Save { number, path, evening, stock, came_from, expected, .. } => {
            let result = outside
                .save(&path, &evening, &stock, came_from.as_deref(), expected.as_deref())
                .map(Box::new);
            Answer::Saved { number, path, result }
        }
        Job::Export { path, evening, stock, prepared, paper, .. } => {
            let materials = stock.materials();
            let sheet = run_sheet(&evening, &prepared, &materials);
            let scene = timeline(&evening, &prepared, &materials, paper.timeline());
            // Dated by its evening, not by the clock: the same evening gives the same bytes.
            let created = prepared.doors.start().to_utc();
            let options = PdfOptions { paper, font: outside.font(), created };
            let result = run_sheet_pdf(&sheet, &scene, &options)
                .map_err(|error| error.to_string())
                .and_then(|bytes| outside.write(&path, &bytes));
            Answer::Exported { path, result }
        }
        Job::LayOut { .. } | Job::Appraise(_) => return None,
    })
}

#[cfg(test)]
mod tests {
    use std::collections::VecDeque;
    use std::path::PathBuf;
    use std::sync::Arc;
    use std::sync::mpsc::channel;

    use evenfall_core::plan::prepare;

    use super::{Appraise, Desk, Job};
    use crate::shell::Machine;
    use crate::state::{Effort, Outside};

    #[test]
    fn files_come_first_and_reasons_wait_for_a_new_board() {
        let opened = Machine.demo().unwrap();
        let evening = Box::new(opened.evening);
        let prepared = Arc::new(prepare(&evening, &opened.stock.materials()).unwrap());
        let asked = || {
            let (evening, stock) = (evening.clone(), Arc::clone(&opened.stock));
            Appraise {
                ticket: 0,
                evening,
                stock,
                prepared: Arc::clone(&prepared),
                picked_up: None,
                rest: false,
            }
        };
        let lay_out = || {
            let (evening, stock) = (evening.clone(), Arc::clone(&opened.stock));
            Job::LayOut { ticket: 1, evening, stock, prepared: None, draft: None }
        };
        let save = |name: &str| Job::Save {
            number: 0,
            path: PathBuf::from(name),
            evening: evening.clone(),
            stock: Arc::clone(&opened.stock),
            came_from: None,
            expected: None,
            replace: false,
        };
        let (_jobs, inbox) = channel();
        let (outbox, _answers) = channel();
        let mut desk = Desk {
            outside: &Machine,
            inbox,
            outbox,
            wake: Arc::default(),
            effort: Effort::default(),
            waiting: VecDeque::new(),
            on_bench: None,
            alone: false,
        };
        for job in [Job::Explain(asked()), lay_out(), Job::Appraise(asked()), save("one"), save("two")] {
            desk.take(job);
        }
        let is_file = |job: Option<Job>, name: &str| matches!(job, Some(Job::Save { path, .. }) if path.as_os_str() == name);
        assert!(is_file(desk.next_short(), "one") && is_file(desk.next(), "two"));
        assert!(desk.next_short().is_none(), "the draft on the bench makes room for a new Board");
        assert!(matches!(desk.next(), Some(Job::LayOut { .. })));
        assert!(matches!(desk.next_short(), Some(Job::Explain(_))));
        assert!(desk.next_short().is_none());
        assert!(matches!(desk.next(), Some(Job::Appraise(_))));
        assert!(desk.next().is_none());
    }
}
