//! Rise, set and twilight as crossings of an altitude: when, or always above, or always below.

use crate::earth::Horizon;
use crate::place::{EveningSky, Source};
use crate::time::{Instant, Interval};
use crate::units::Angle;

/// Which way the altitude crosses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Upwards: rising, dawn.
    Up,
    /// Downwards: setting, dusk.
    Down,
}

/// What altitude counts as the threshold.
#[derive(Clone, Debug, PartialEq)]
pub enum EventKind {
    /// By the almanac: Sun at -50', Moon's upper limb at -34', planets and stars at -34', airless.
    RiseSet,
    /// The Sun at a depth: 6, 12 or 18 degrees.
    Twilight {
        /// Depth below the horizon, positive.
        depth: Angle,
    },
    /// The site's horizon profile, by apparent altitude of the centre in the given air.
    Profile(Horizon),
    /// Any airless altitude.
    Altitude(Angle),
}

/// What a search found in its window. "Never" is told as plainly as "when".
#[derive(Clone, Debug, PartialEq)]
pub enum Crossings {
    /// The crossings in order, each with its direction.
    At(Vec<(Instant, Direction)>),
    /// It stays above the threshold through the whole window.
    AlwaysAbove,
    /// It stays below.
    AlwaysBelow,
}

impl Crossings {
    /// The instants of one direction, in order.
    pub fn going(&self, direction: Direction) -> Vec<Instant> {
        match self {
            Self::At(all) => all.iter().filter(|one| one.1 == direction).map(|one| one.0).collect(),
            Self::AlwaysAbove | Self::AlwaysBelow => Vec::new(),
        }
    }
}

/// All crossings of a source in a window (within the span of `sky`).
pub fn crossings(sky: &EveningSky<'_>, source: &Source, kind: &EventKind, window: Interval) -> Crossings {
    todo!()
}

/// Instants of upper transit (apparent hour angle 0) and of lower transit (half a turn) in a window.
pub fn transits(sky: &EveningSky<'_>, source: &Source, upper: bool, window: Interval) -> Vec<Instant> {
    todo!()
}
