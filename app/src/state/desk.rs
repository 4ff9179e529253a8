//! Where the worker's thread sits: what waits, in which order it is done, and where answers go. What takes long, a draft
//! and its proof, is done in slices by `drafter`, the reasons by `explainer`, with what is waited for in between.

use std::collections::VecDeque;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, Sender, TryRecvError};
use std::sync::{Arc, Mutex};

use super::errand::short_answer;
use super::{Answer, Appraise, Effort, Job, Outside, drafter, explainer, list_form, pages};

/// What is called when an answer is ready.
pub(super) type Wake = Arc<Mutex<Option<Box<dyn Fn() + Send>>>>;

/// Where the thread sits: what waits, and where answers go.
pub(super) struct Desk<'o> {
    pub(super) outside: &'o dyn Outside,
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

impl<'o> Desk<'o> {
    pub(super) fn new(
        outside: &'o dyn Outside,
        effort: Effort,
        (inbox, outbox): (Receiver<Job>, Sender<Answer>),
        wake: Wake,
    ) -> Self {
        let waiting = VecDeque::new();
        Self { outside, inbox, outbox, wake, effort, waiting, on_bench: None, alone: false }
    }

    /// Does what comes until nobody asks any longer.
    pub(super) fn serve(mut self) {
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
                    | (Job::LaySidesOut(_), Job::LaySidesOut(_))
                    | (Job::Compare(_), Job::Compare(_))
                    | (Job::LookForPhotos(_), Job::LookForPhotos(_))
                    | (Job::ReadList(_), Job::ReadList(_))
                    | (Job::NothingUnsaved, Job::Note { continues: None, .. })
                    | (Job::Note { .. }, Job::Note { continues: None, .. })
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

    /// The next job, if somebody waits for it.
    pub(super) fn next_waited_for(&mut self) -> Option<Job> {
        let first = self.first().filter(|first| self.waiting[*first].is_waited_for())?;
        self.waiting.remove(first)
    }

    /// Whether a job of a sort waits.
    pub(super) fn waits(&self, is_such: impl Fn(&Job) -> bool) -> bool {
        self.waiting.iter().any(is_such)
    }

    /// Puts a job that was begun back, behind the others.
    pub(super) fn put_off(&mut self, job: Job) {
        self.waiting.push_back(job);
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
            Job::LayOut { ticket, evening, stock, prepared, doing } => {
                drafter::lay_out(self, ticket, *evening, stock, prepared, doing);
            }
            Job::Appraise(asked) => drafter::appraise(self, asked),
            Job::Explain(asked) => explainer::explain(self, asked),
            Job::WritePages(order) => pages::write(self, &order),
            Job::ReadList(asked) => list_form::read(self, &asked),
            short => {
                if let Some(answer) = short_answer(self.outside, short) {
                    self.send(answer);
                }
            }
        }));
        if done.is_err()
            && let Some(answer) = broken_down
        {
            self.send(answer);
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

#[cfg(test)]
mod tests {
    use std::path::PathBuf;
    use std::sync::Arc;
    use std::sync::mpsc::channel;

    use evenfall_core::plan::prepare;

    use super::{Answer, Appraise, Desk, Job};
    use crate::shell::Machine;
    use crate::state::{Doing, Effort, Outside};

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
            Job::LayOut { ticket: 1, evening, stock, prepared: None, doing: Doing::Sky }
        };
        let save = |name: &str| Job::Save {
            number: 0,
            path: PathBuf::from(name),
            evening: evening.clone(),
            stock: Arc::clone(&opened.stock),
            came_from: None,
            expected: None,
            parts: Vec::new(),
            replace: false,
        };
        let (_jobs, inbox) = channel();
        let (outbox, _answers) = channel();
        let mut desk = Desk::new(&Machine, Effort::default(), (inbox, outbox), Arc::default());
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

    #[test]
    fn who_has_gone_is_given_no_reasons() {
        let opened = Machine.demo().unwrap();
        let prepared = Arc::new(prepare(&opened.evening, &opened.stock.materials()).unwrap());
        let asked = Appraise {
            ticket: 0,
            evening: Box::new(opened.evening),
            stock: Arc::clone(&opened.stock),
            prepared,
            picked_up: None,
            rest: false,
        };
        let (jobs, inbox) = channel();
        let (outbox, answers) = channel();
        let mut desk = Desk::new(&Machine, Effort::default(), (inbox, outbox), Arc::default());
        desk.take(Job::Explain(asked));
        drop(jobs);
        desk.serve();
        assert!(answers.recv().is_err(), "nobody listens");
    }

    #[test]
    fn a_save_is_never_behind_the_reasons() {
        let opened = Machine.demo().unwrap();
        let evening = Box::new(opened.evening);
        let prepared = Arc::new(prepare(&evening, &opened.stock.materials()).unwrap());
        let save = Job::Save {
            number: 7,
            // A folder that there is not: it is refused, but at once.
            path: PathBuf::from("no such folder").join("no such folder").join("one.evening.ron"),
            evening: evening.clone(),
            stock: Arc::clone(&opened.stock),
            came_from: None,
            expected: None,
            parts: Vec::new(),
            replace: false,
        };
        let asked = Appraise {
            ticket: 1,
            evening,
            stock: Arc::clone(&opened.stock),
            prepared,
            picked_up: None,
            rest: false,
        };
        let (jobs, inbox) = channel();
        let (outbox, answers) = channel();
        let mut desk = Desk::new(&Machine, Effort::default(), (inbox, outbox), Arc::default());
        jobs.send(save).unwrap();
        desk.do_job(Job::Explain(asked));
        assert!(matches!(answers.try_recv(), Ok(Answer::Saved { number: 7, .. })));
        match answers.try_recv() {
            Ok(Answer::Explained { ticket: 1, explained: Some(explained) }) => {
                assert!(!explained.what_ifs.is_empty());
            }
            other => panic!("no reasons, but {other:?}"),
        }
    }
}
