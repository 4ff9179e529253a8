//! The best running order for an evening given as whole numbers, and a proof of how good it is.
//!
//! An orienteering problem with windows and moves that depend on time (Vansteenwegen, Souffriau & Van Oudheusden 2011,
//! European Journal of Operational Research 209, 1). [`Problem`] says what may be shown when; [`Solver`] arranges it,
//! better the more effort it is given; [`judge`] is apart from it and judges any order, drafted or made by hand.
//! Wishes (pins, least stops) that contradict each other are given up as few as found, and the judge names them; windows,
//! moves, blocks, exclusions and the limit of port changes are never broken.
//!
//! Reading order: `problem`, `fault`, `read`, `judge`; then `prepared` and `moves` (exact moves), `kinds` (ranks), `timing` (values
//! through an order), `trial` (an order changed), `pool`, `insertion` and `relay` (what fills it), `change`, `exchange`, `search`; then
//! `prices` and `bundle`, `relaxed` (repeats allowed), `open` (what can still matter), `labels` (fewer repeats), `fork` (orders
//! parted in two), `passes` (all of these in turn) and `bound`.

mod bound;
mod bundle;
mod change;
mod dice;
mod divisor;
mod exchange;
mod fault;
mod fork;
mod insertion;
mod judge;
mod kinds;
mod labels;
mod moves;
mod open;
mod passes;
mod pool;
mod prepared;
mod prices;
mod problem;
mod read;
mod relaxed;
mod relay;
#[cfg(test)]
mod sample;
mod search;
mod solver;
mod timing;
mod trial;

pub use fault::{MOST_VALUE, MOST_VALUE_STEPS, ProblemFault};
pub use judge::{BrokenRule, Judgement, judge};
pub use problem::{
    Answer, AnswerStop, Block, Kind, PROBLEM_FORMAT, Pin, Problem, ProblemPort, ProblemTarget, RankBy,
    ShowingOption, Slew, Start,
};
pub use read::read_problem;
pub use solver::Solver;
