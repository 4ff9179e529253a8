//! Which port for which target: angular size against field, brightness against eye and sensor.
//!
//! [`rank_ports`] gives every port a verdict with its reasons as data; words come later, in the sheet.

mod choose;
mod reason;

pub use choose::{PortChoice, Showing, rank_ports};
pub use reason::{Fit, Reason};
