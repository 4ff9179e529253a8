//! Instants when something changes: rise, set, transit, twilight, and the night that they make.
//!
//! A [`Watch`] over a window is prepared once, gives the [`Path`] of any source, and that finds its events.
//! [`night`] and [`almanac`] are the sums of a night; [`moon_phases`] and [`lunar_eclipses`] need no site;
//! [`satellite_passes`] are those of a satellite by its elements.
//!
//! # None is missed, none made up
//!
//! Over a level threshold (rise, set, twilight, altitude, keyhole) and of transits:
//!
//! * The way of a source through at most 25.1 hours is one polynomial of degree 16 in each of its parts east,
//!   north and up. Its distance from the way itself is bounded by what Chebyshev's series of a turn of the
//!   sky leaves out, 1e-10 radians, or 0.00002 arcseconds; seen: 0.00005 with the rounding of the tracks
//!   (`ways_are_those_of_the_sky` in `path.rs`).
//! * Every change of sign of that polynomial is found, by Descartes' rule on its coefficients in Bernstein's
//!   form: no sampling is involved, so no pair can hide between samples (`maths/bernstein.rs`).
//! * So the events are those of the way, each within 1e-5 s and the time that the source takes for the
//!   distance above, unless it turns back within 0.00005 arcseconds of the threshold: then a pair that lies
//!   about a second apart (longer only beside the poles) may be told or not. Within 7 degrees of the Sun that
//!   distance is what the Sun bends light by, 1.75 arcseconds at its limb; there each event is led on to the way
//!   itself by one step of Newton's rule. A star behind the Sun's disc, bent by more, may be told seconds off.
//! * A window holds its start and not its end. At both ends the polynomial is the source's place itself, so
//!   that windows of one sky that touch count every event once, wherever the seam lies.
//!
//! Over a horizon profile the way is the same, but its height above the profile has corners and is sampled:
//! every 5 minutes, where the azimuth turns back, and at each corner that it passes, which no notch or mast
//! is too narrow for. None is missed if that height has at most one extreme between two samples. Between two
//! corners a profile is a straight line in azimuth, and two extremes need a way that inflects beside that
//! very line: off the zenith the pair that could hide there is less than an arcsecond deep, by the third
//! derivative of the way over 5 minutes.
//!
//! `tests/reference/none_missed.rs` counts random searches, skims, edges, keyholes and notches against dense
//! sampling of the places themselves.

mod crossing;
mod eclipse;
mod night;
mod pass;
mod path;
mod phases;
mod profile;
mod search;
mod watch;

pub use crossing::{Crossings, Direction, EventKind, crossings, transits};
pub use eclipse::{LunarEclipse, LunarEclipseKind, ShadowRule, lunar_eclipses};
pub use night::{BodyNight, MoonPhase, Night, almanac, moon_phase, night};
pub use pass::{Pass, PassPoint, satellite_passes, satellite_point};
pub use path::Path;
pub use phases::{PrincipalPhase, moon_phases};
pub use watch::Watch;
