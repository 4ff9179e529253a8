//! Which port for which target: angular size against field, brightness against eye and sensor.
//!
//! [`rank_ports`] gives every port a verdict with its reasons as data; words come later, in the sheet. Reading order:
//! `subject` (the target tonight, above the air), `air` (what stands between), `fit` (its size), `moon` (its places), then
//! `eye`, `screen` and `slit` (its light), each a chain of parts gathered in a `verdict`. `port` holds what depends on a
//! target and a port alone, for a whole evening of minutes; `choose` ranks the ports of one.

mod air;
mod choose;
mod eye;
mod fit;
mod moon;
mod port;
mod reason;
#[cfg(test)]
mod sample;
mod screen;
mod slit;
mod subject;
mod verdict;

pub use air::AirAndSky;
pub use choose::{Bearing, PortChoice, Showing, rank_ports, view_on_port};
pub use moon::feature_worth;
pub use port::TargetOnPort;
pub use reason::{Fit, Reason};
pub use subject::extent;
