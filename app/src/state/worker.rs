//! A thread that computes, reads and writes; it answers through a channel and wakes the window.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::sync::{Arc, Mutex};
use std::thread;

use evenfall_core::chart::timeline;
use evenfall_core::output::pdf::{Paper, PdfOptions, run_sheet_pdf};
use evenfall_core::plan::{Evening, Prepared, draft, prepare};
use evenfall_core::sheet::run_sheet;

use super::{Opened, Outside, PathUse, Question, Stock, Told, Written};

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
        /// Whether to draft the running order.
        draft: bool,
    },
    /// Follow one target through the night, for the Card.
    Tell(Question),
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
}

impl Job {
    /// The answer when a panic, a fault in Evenfall, ends the job.
    fn broken_down(&self) -> Answer {
        let fault = BROKEN_DOWN.to_owned();
        match self {
            Self::Open { ticket, .. } => Answer::Opened { ticket: *ticket, result: Err(fault) },
            Self::LayOut { ticket, .. } => Answer::LaidOut { ticket: *ticket, result: Err(fault) },
            Self::Tell(question) => Answer::Told(Told::nothing(question.clone())),
            Self::Save { number, path, .. } => {
                Answer::Saved { number: *number, path: path.clone(), result: Err(fault) }
            }
            Self::Export { path, .. } => Answer::Exported { path: path.clone(), result: Err(fault) },
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
        result: Result<(Box<Evening>, Arc<Prepared>), String>,
    },
    /// One target's night.
    Told(Told),
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

type Wake = Arc<Mutex<Option<Box<dyn Fn() + Send>>>>;

/// The thread and its two channels.
pub struct Worker {
    jobs: Sender<Job>,
    answers: Receiver<Answer>,
    wake: Wake,
}

impl Worker {
    /// Starts the thread.
    pub fn start(outside: Arc<dyn Outside>) -> Self {
        let (jobs, inbox) = channel();
        let (outbox, answers) = channel();
        let wake: Wake = Arc::default();
        let waker = Arc::clone(&wake);
        thread::spawn(move || serve(outside.as_ref(), &inbox, &outbox, &waker));
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

fn serve(outside: &dyn Outside, inbox: &Receiver<Job>, outbox: &Sender<Answer>, wake: &Wake) {
    while let Ok(first) = inbox.recv() {
        let mut jobs = vec![first];
        jobs.extend(inbox.try_iter());
        let newest = jobs.iter().rposition(|job| matches!(job, Job::LayOut { .. }));
        let asked_last = jobs.iter().rposition(|job| matches!(job, Job::Tell(_)));
        for (position, job) in jobs.into_iter().enumerate() {
            let newest = match job {
                Job::LayOut { .. } => newest,
                Job::Tell(_) => asked_last,
                Job::Open { .. } | Job::Save { .. } | Job::Export { .. } => None,
            };
            let overtaken = newest.is_some_and(|newest| position < newest);
            if overtaken {
                continue;
            }
            let broken_down = job.broken_down();
            // Nothing is shared but what the outside guards itself: the job and what it made are dropped.
            let answer = catch_unwind(AssertUnwindSafe(|| answer(outside, job))).unwrap_or(broken_down);
            if outbox.send(answer).is_err() {
                return;
            }
            if let Ok(slot) = wake.lock()
                && let Some(wake) = slot.as_ref()
            {
                wake();
            }
        }
    }
}

fn answer(outside: &dyn Outside, job: Job) -> Answer {
    match job {
        Job::Open { ticket, path } => {
            let opened = path.map_or_else(|| outside.demo(), |path| outside.open(&path));
            let result = opened.map(Box::new);
            Answer::Opened { ticket, result }
        }
        Job::LayOut { ticket, mut evening, stock, prepared, draft: drafted } => {
            let materials = stock.materials();
            let prepared = prepared.map_or_else(|| prepare(&evening, &materials).map(Arc::new), Ok);
            let result = prepared.map(|prepared| {
                if drafted {
                    evening.order = draft(&evening, &prepared, &materials);
                }
                (evening, prepared)
            });
            Answer::LaidOut { ticket, result: result.map_err(|error| error.to_string()) }
        }
        Job::Tell(question) => Answer::Told(Told::answering(question)),
        Job::Save { number, path, replace: false, .. } if outside.is_there(&path) => {
            Answer::InTheWay { number, purpose: PathUse::Save, path }
        }
        Job::Export { number, path, paper, replace: false, .. } if outside.is_there(&path) => {
            Answer::InTheWay { number, purpose: PathUse::Export(paper), path }
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
    }
}
