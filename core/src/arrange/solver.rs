//! The solver as its callers see it: effort in, the best order so far and its bound out.

use super::bound::Bound;
use super::fault::ProblemFault;
use super::prepared::Prepared;
use super::problem::{Answer, AnswerStop, Problem};
use super::search::Search;

/// What the search counts in a unit of work.
const COUNTS_A_UNIT: u64 = 32;

/// Arranges an evening, better the more effort it is given.
///
/// Effort is counted in units of work, never in seconds: the same calls give the same answers on every machine. A unit
/// takes about a microsecond on a server of 2023. The first order is laid by the first call, however little it is given.
/// Between calls a caller may show [`Solver::answer`], stop, or drop the solver.
#[derive(Clone, Debug)]
pub struct Solver {
    search: Search,
    bound: Bound,
}

impl Solver {
    /// Takes in a problem.
    ///
    /// # Errors
    /// What [`Problem::check`] finds.
    pub fn new(problem: &Problem) -> Result<Self, Vec<ProblemFault>> {
        Self::with_seed(problem, 1)
    }

    /// As [`Solver::new`], with chance that starts elsewhere: for measuring how much luck is in an answer.
    ///
    /// # Errors
    /// What [`Problem::check`] finds.
    pub fn with_seed(problem: &Problem, seed: u64) -> Result<Self, Vec<ProblemFault>> {
        let faults = problem.check();
        if !faults.is_empty() {
            return Err(faults);
        }
        let search = Search::new(Prepared::new(problem), seed);
        let (stops, standing) = search.best();
        let bound = Bound::new(&search.prepared, stops, standing);
        Ok(Self { search, bound })
    }

    /// Looks for a better order for about so much work; whether it found one.
    pub fn advance(&mut self, work: u64) -> bool {
        let before = self.search.best().1;
        self.search.advance(work.saturating_mul(COUNTS_A_UNIT));
        let (stops, standing) = self.search.best();
        if !self.bound.holds_for(&self.search.prepared, stops, standing) {
            self.bound = Bound::new(&self.search.prepared, stops, standing);
        }
        standing != before
    }

    /// Brings the bound down for about so much work; `false` once it can't come lower, or the order is proven best.
    pub fn advance_bound(&mut self, work: u64) -> bool {
        let (stops, standing) = self.search.best();
        let worth = u32::try_from(standing.worth()).unwrap_or(0);
        self.bound.advance(&self.search.prepared, stops, worth, work)
    }

    /// The best order so far, its score and loss, and the bound for orders that keep the wishes it keeps.
    pub fn answer(&self) -> Answer {
        let (stops, standing) = self.search.best();
        let choices = &self.search.prepared.choices;
        let stops = stops.iter().map(|stop| {
            let choice = &choices[stop.choice as usize];
            AnswerStop {
                target: choice.target as usize,
                option: choice.option as usize,
                start: i64::from(stop.start),
            }
        });
        Answer {
            stops: stops.collect(),
            score: i64::from(standing.score),
            loss: i64::from(standing.loss),
            bound: self.bound.points().max(standing.worth()),
        }
    }

    /// Work done in search of orders so far.
    pub fn work(&self) -> u64 {
        self.search.total_work() / COUNTS_A_UNIT
    }
}
