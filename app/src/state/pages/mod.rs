//! The pages: everything an evening is written as, chosen, looked at and written as one set.
//!
//! [`PagesChoice`] is what is remembered of the choice, [`PagesView`] how it is looked at and how far the writing is,
//! [`PagesEdit`] what can be done there (`flow` does it). `worker` lays sides out and writes the set on the worker's thread.

mod choice;
mod flow;
mod view;
mod worker;

pub use choice::{MOST_COPIES, PagesChoice, usual_copies};
pub use flow::PagesEdit;
pub use view::{PagesOutcome, PagesStep, PagesView, Sides};
pub use worker::{AskedSides, PagesNews, PagesOrder, SetTold};

pub(super) use flow::{edit, show, step_back};
pub(super) use view::SetOf;
pub(super) use worker::{laid_out, write};
