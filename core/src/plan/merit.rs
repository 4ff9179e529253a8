//! Worth of showing a target on a port at an instant, in named parts.

use super::{Materials, Prepared};
use crate::assign::PortChoice;
use crate::time::Interval;
use crate::units::Fraction;

/// The worth of a showing and its parts, each from 0 to 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Merit {
    /// The target's appeal.
    pub appeal: Fraction,
    /// The view at the worst minute of the showing.
    pub view: Fraction,
    /// The port and field that give it.
    pub choice: PortChoice,
}

impl Merit {
    /// Appeal times view.
    pub fn worth(&self) -> Fraction {
        Fraction::clamped(self.appeal.value() * self.view.value())
    }
}

/// The merit of a target on each port over an interval, best first; ports without a view are left out.
pub fn merit(
    prepared: &Prepared,
    materials: &Materials<'_>,
    target_index: usize,
    interval: Interval,
) -> Vec<Merit> {
    todo!()
}
