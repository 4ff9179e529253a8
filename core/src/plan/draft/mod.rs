//! The running order drafted: the best that the solver finds, laid by the mount's real moves, never breaking a rule.
//!
//! Read `frame` (what stands before anything is drafted: what is done, programme, held stops), `kept_together` and
//! `given_up` (wishes that contradict each other), `length` and `worth` (what could be shown, for how long, and what it
//! counts), `layout`, `given` and `moves` (the evening as a problem for the solver), `lay` and `finish` (back to stops),
//! `understudy`; [`Drafting`] drives them all, `measure` tells what orders are worth
//! where none is looked for, `scales` weighs whatever is asked by the same measure.

mod desk;
mod drafting;
mod finish;
mod frame;
mod given;
mod given_up;
mod kept_together;
mod lay;
mod layout;
mod length;
mod measure;
mod moves;
mod pick_up;
mod scales;
#[cfg(test)]
mod tests;
mod understudy;
mod worth;

use super::{Evening, Materials, Prepared, RunningOrder};
pub use drafting::{Drafted, Drafting};
pub use given_up::{GivenUp, GivenUpWhy, Wish};
pub(in crate::plan) use measure::Measure;
pub use pick_up::PickUp;
pub(in crate::plan) use scales::{Scales, Way, Weighed};

/// Work of the solver for a draft that is not asked for more: some hundredths of a second.
const USUAL_WORK: u64 = 40_000;

/// Drafts the evening anew with the usual effort. As [`Drafting`] tells; same input, same answer.
pub fn draft(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> RunningOrder {
    let mut drafting = Drafting::new(evening, prepared, materials, None);
    drafting.advance(USUAL_WORK);
    drafting.drafted().order
}
