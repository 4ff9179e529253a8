//! Rise, set, twilight and transit: when, or always above, or always below.

use super::watch::Watch;
use crate::earth::Horizon;
use crate::place::{Air, EveningSky, Source};
use crate::time::{Instant, Interval, IntervalSet};
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
    Profile {
        /// The profile.
        horizon: Horizon,
        /// The air that lifts the source.
        air: Air,
    },
    /// Any airless altitude.
    Altitude(Angle),
    /// The region round the zenith that the mount can't follow a source through: up is entry, down is exit.
    Keyhole {
        /// Its radius: zenith distance of its edge, airless.
        radius: Angle,
    },
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

    /// The stretches of `window` (the one that was searched) in which the source is above the threshold.
    pub fn above(&self, window: Interval) -> IntervalSet {
        let mut stretches = Vec::new();
        match self {
            Self::AlwaysAbove => stretches.push(window),
            Self::AlwaysBelow => {}
            Self::At(all) => {
                let mut from = window.start();
                for (instant, direction) in all {
                    match direction {
                        Direction::Up => from = *instant,
                        Direction::Down => stretches.extend(Interval::new(from, *instant)),
                    }
                }
                if all.last().is_some_and(|last| last.1 == Direction::Up) {
                    stretches.extend(Interval::new(from, window.end()));
                }
            }
        }
        IntervalSet::from_intervals(stretches)
    }
}

/// All crossings of a source in a window (within the span of `sky`), from its start (included) to its end
/// (excluded), each within 1e-5 s of the root. For more than one search of a window keep its [`Watch`].
pub fn crossings(sky: &EveningSky<'_>, source: &Source, kind: &EventKind, window: Interval) -> Crossings {
    Watch::new(sky, window).path(source).crossings(kind)
}

/// Instants of upper transit (apparent hour angle 0) or of lower transit (half a turn) in a window; see
/// [`Path::transits`](super::Path::transits).
pub fn transits(sky: &EveningSky<'_>, source: &Source, upper: bool, window: Interval) -> Vec<Instant> {
    Watch::new(sky, window).path(source).transits(upper)
}
