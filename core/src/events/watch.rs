//! A window of time, watched: observers at the instants from which every path through it is built.
//!
//! The direction to a source turns with the Earth, so that each of its parts, east, north and up, is a smooth
//! function of time: 17 values in 25 hours fix the polynomial that it is within 1e-10 (0.00002 arcseconds).
//! All crossings are sought on such polynomials, whose every change of sign is found ([`Bernstein`]); `mod.rs` of this
//! folder says what that guarantees.

use super::crossing::Direction;
use crate::maths::{BERNSTEIN_NODES, BERNSTEIN_POINTS, Bernstein};
use crate::place::{EveningSky, ObserverAt};
use crate::time::{Instant, Interval};

/// How near to the true root a found one lies, in seconds.
pub(super) const ROOT_TOLERANCE_S: f64 = 1e-5;

/// How near to the true extreme a found one lies, in seconds.
pub(super) const EXTREME_TOLERANCE_S: f64 = 0.01;

/// Longest stretch that one polynomial covers: a night of 25 hours is one.
const STRETCH_S: f64 = 25.1 * 3600.0;

/// Observers of one window, prepared once for any number of searches.
#[derive(Clone, Debug)]
pub struct Watch<'s> {
    sky: &'s EveningSky<'s>,
    window: Interval,
    stretches: Vec<Stretch<'s>>,
}

#[derive(Clone, Debug)]
struct Stretch<'s> {
    from_s: f64,
    length_s: f64,
    observers: Vec<ObserverAt<'s>>,
}

/// A smooth function of time through the window, one polynomial a stretch.
#[derive(Clone, Debug)]
pub(super) struct Course(Vec<Piece>);

#[derive(Clone, Copy, Debug)]
struct Piece {
    from_s: f64,
    length_s: f64,
    polynomial: Bernstein,
}

/// Where a function of time changes its sign, in seconds into the window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Turn {
    pub at_s: f64,
    /// From below zero to above.
    pub upwards: bool,
}

impl Turn {
    /// Which way a source goes through its threshold here.
    pub fn direction(self) -> Direction {
        if self.upwards { Direction::Up } else { Direction::Down }
    }
}

impl<'s> Watch<'s> {
    /// Watches a window within the span of `sky`: some 2 microseconds a day.
    pub fn new(sky: &'s EveningSky<'s>, window: Interval) -> Self {
        let count = (window.seconds() / STRETCH_S).ceil().max(1.0);
        let length_s = window.seconds() / count;
        let stretches = (0..count as u32)
            .map(|index| {
                let from_s = f64::from(index) * length_s;
                let at = |x: &f64| sky.at(window.start().plus_seconds(from_s + x * length_s));
                Stretch { from_s, length_s, observers: BERNSTEIN_NODES.iter().map(at).collect() }
            })
            .collect();
        Self { sky, window, stretches }
    }

    /// The window.
    pub fn window(&self) -> Interval {
        self.window
    }

    /// The sky over it.
    pub fn sky(&self) -> &'s EveningSky<'s> {
        self.sky
    }

    /// All observers, stretch by stretch.
    pub(super) fn observers(&self) -> impl Iterator<Item = &ObserverAt<'s>> {
        self.stretches.iter().flat_map(|stretch| &stretch.observers)
    }

    /// The observer in the middle of each stretch, and its place among all.
    pub(super) fn middles(&self) -> impl Iterator<Item = (usize, &ObserverAt<'s>)> {
        self.observers().enumerate().skip(BERNSTEIN_POINTS / 2).step_by(BERNSTEIN_POINTS)
    }

    /// The course of a function whose values at all observers are these, in their order.
    pub(super) fn course(&self, values: impl IntoIterator<Item = f64>) -> Course {
        let mut values = values.into_iter();
        let pieces = self.stretches.iter().map(|stretch| {
            let mut taken = [f64::NAN; BERNSTEIN_POINTS];
            for (one, value) in taken.iter_mut().zip(&mut values) {
                *one = value;
            }
            Piece {
                from_s: stretch.from_s,
                length_s: stretch.length_s,
                polynomial: Bernstein::through(&taken),
            }
        });
        Course(pieces.collect())
    }

    /// An instant of the window; a root that rounds to its end lies before it.
    pub(super) fn instant(&self, at_s: f64) -> Instant {
        let instant = self.window.start().plus_seconds(at_s);
        if instant < self.window.end() {
            instant
        } else {
            self.window.end().just_before().max(self.window.start())
        }
    }
}

impl Course {
    /// The same less a constant.
    pub fn less(&self, constant: f64) -> Self {
        Self(
            self.0
                .iter()
                .map(|piece| Piece { polynomial: piece.polynomial.less(constant), ..*piece })
                .collect(),
        )
    }

    /// All changes of sign, from the window's start (included) to its end (excluded), in order.
    pub fn turns(&self) -> Vec<Turn> {
        self.turns_that(|_| true)
    }

    /// Those alone of which `is_wanted` holds, told whether they go upwards.
    pub fn turns_that(&self, is_wanted: impl Fn(bool) -> bool) -> Vec<Turn> {
        let mut turns = Vec::new();
        for piece in self.0.iter().filter(|piece| piece.length_s > 0.0) {
            let tolerance = ROOT_TOLERANCE_S / piece.length_s;
            let changes = piece.polynomial.sign_changes(tolerance);
            turns.extend(changes.iter().filter(|change| is_wanted(change.upwards)).map(|change| Turn {
                at_s: piece.from_s + piece.polynomial.root(change, tolerance) * piece.length_s,
                upwards: change.upwards,
            }));
        }
        turns
    }

    /// Whether it lies above zero on the whole, where it has no turn.
    pub fn is_above(&self) -> bool {
        // Touching counts as staying, so all values that are not zero have the same sign.
        self.0.iter().map(|piece| piece.polynomial.at(0.0) + piece.polynomial.at(0.37)).sum::<f64>() > 0.0
    }

    /// Its value, so many seconds into the window.
    pub fn at(&self, at_s: f64) -> f64 {
        let after = self.0.partition_point(|piece| piece.from_s <= at_s);
        let piece = &self.0[after.saturating_sub(1)];
        let x = if piece.length_s > 0.0 { (at_s - piece.from_s) / piece.length_s } else { 0.0 };
        piece.polynomial.at(x.clamp(0.0, 1.0))
    }

    /// Where it is least, in seconds into the window.
    pub fn lowest_s(&self) -> f64 {
        let ends = self.0.iter().flat_map(|piece| [piece.from_s, piece.from_s + piece.length_s]);
        let slope = Self(
            self.0.iter().map(|piece| Piece { polynomial: piece.polynomial.slope(), ..*piece }).collect(),
        );
        let bottoms = slope.turns_that(|upwards| upwards).into_iter().map(|turn| turn.at_s);
        ends.chain(bottoms).min_by(|one, other| self.at(*one).total_cmp(&self.at(*other))).unwrap_or(0.0)
    }
}
