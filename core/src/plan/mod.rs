//! The evening: what is wished, what the sky allows, the running order, and what is wrong with it.
//!
//! Read [`Evening`] (what the user decides and saves), [`Materials`] (site, rig, catalogue, ephemeris), then
//! [`prepare`] (the sky over time, once per date), [`draft`] (a first running order), [`check`] (the one judge of any
//! order) and [`edit`] (evening in, evening out).

mod check;
mod draft;
pub mod edit;
mod evening;
mod merit;
mod order;
mod prepared;
mod stop_length;
mod timing;

pub use check::{Finding, Rule, Severity, check};
pub use draft::draft;
pub use evening::{Evening, FixedEntry, House, Materials, Programme, Wishes};
pub use merit::{Merit, merit};
pub use order::{EntryKind, Held, RunningOrder, Show, Stop, StopId, What};
pub use prepared::{Availability, Limit, Moment, PrepareError, Prepared, Sample, Track, prepare};
pub use stop_length::{lead_s, stop_minutes};
pub use timing::{StopTiming, timings};
