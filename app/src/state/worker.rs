//! A thread that computes, reads and writes; it answers through a channel and wakes the window.

use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::thread;

use super::desk::{Desk, Wake};
use super::{Answer, Effort, Job, Outside};

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
            Desk::new(outside.as_ref(), effort, (inbox, outbox), waker).serve();
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
