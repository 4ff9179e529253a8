//! What the comparisons with the outside world share.

pub mod close;
#[cfg(feature = "application")]
pub mod contrast;
pub mod draws;
pub mod evening_schedule;
pub mod files;
#[cfg(feature = "application")]
pub mod harness;
pub mod many_targets;
pub mod park;
#[cfg(feature = "application")]
pub mod pictures;
pub mod readers;
#[cfg(feature = "application")]
pub mod soft_renderer;
pub mod table;
