//! Instants when something changes: rise, set, transit, twilight, and the night that they make.

mod crossing;
mod night;
mod search;

pub use crossing::{Crossings, Direction, EventKind, crossings, transits};
pub use night::{MoonPhase, Night, moon_phase, night};
