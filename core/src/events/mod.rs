//! Instants when something changes: rise, set, transit, twilight, and the night that they make.
//!
//! A [`Watch`] over a window is prepared once, gives the [`Path`] of any source, and that finds its events.
//! [`night`] and [`almanac`] are the sums of a night; [`moon_phases`] and [`lunar_eclipses`] need no site.

mod crossing;
mod eclipse;
mod night;
mod path;
mod phases;
mod profile;
mod search;
mod watch;

pub use crossing::{Crossings, Direction, EventKind, crossings, transits};
pub use eclipse::{LunarEclipse, LunarEclipseKind, ShadowRule, lunar_eclipses};
pub use night::{BodyNight, MoonPhase, Night, almanac, moon_phase, night};
pub use path::Path;
pub use phases::{PrincipalPhase, moon_phases};
pub use watch::Watch;
