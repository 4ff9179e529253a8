//! Which port for which target: angular size against field, brightness against eye and sensor.
//!
//! [`rank_ports`] gives every port a verdict with its reasons as data; words come later, in the sheet. Reading order:
//! `subject` (the target tonight), `fit` (its size), then `eye`, `screen` and `slit` (its light), gathered in a
//! `verdict` and ranked in `choose`.

mod choose;
mod eye;
mod fit;
mod reason;
#[cfg(test)]
mod sample;
mod screen;
mod slit;
mod subject;
mod verdict;

pub use choose::{Bearing, PortChoice, Showing, rank_ports, view_on_port};
pub use reason::{Fit, Reason};
