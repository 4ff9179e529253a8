//! The Moon's principal phases in a window of any length.

use crate::ephemeris::Ephemeris;
use crate::maths::bracketed_root;
use crate::place::{OutsideSpan, moon_phase_course};
use crate::time::{Instant, Interval};
use crate::units::Angle;

/// One of the four phases that have an instant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PrincipalPhase {
    /// The Moon's longitude is that of the Sun.
    New,
    /// A quarter of a turn ahead.
    FirstQuarter,
    /// Half a turn.
    Full,
    /// Three quarters.
    LastQuarter,
}

impl PrincipalPhase {
    /// All, as they follow each other.
    pub const ALL: [Self; 4] = [Self::New, Self::FirstQuarter, Self::Full, Self::LastQuarter];
}

/// Longest step of the search: the Moon gains 10 to 15 degrees on the Sun in it, always forwards.
const STEP_S: f64 = 86_400.0;

/// How near to its root a phase lies, in seconds.
const TOLERANCE_S: f64 = 0.001;

/// All principal phases from the window's start (included) to its end (excluded), in order, each within 0.05
/// s. None is missed: the Moon never falls back in longitude, and never gains a quarter in a day.
///
/// # Errors
/// When part of the window is outside the years of the ephemeris.
pub fn moon_phases(
    ephemeris: &Ephemeris,
    window: Interval,
) -> Result<Vec<(Instant, PrincipalPhase)>, OutsideSpan> {
    let longitude = moon_phase_course(ephemeris, window)?;
    let right_angle = Angle::from_degrees(90.0);
    let steps = (window.seconds() / STEP_S).ceil().max(1.0);
    let step_s = window.seconds() / steps;
    let mut phases = Vec::new();
    let mut before = longitude(window.start());
    for index in 0..steps as u32 {
        let start = window.start().plus_seconds(f64::from(index) * step_s);
        let after = longitude(start.plus_seconds(step_s));
        let gained = (after - before).wrapped();
        let next_quarter = (before / right_angle).ceil();
        if gained > right_angle * next_quarter - before {
            let left = |at_s| {
                let ahead = longitude(start.plus_seconds(at_s)) - right_angle * next_quarter;
                ahead.wrapped_signed().radians()
            };
            let at_s = bracketed_root(left, 0.0, step_s, TOLERANCE_S);
            let phase = PrincipalPhase::ALL[next_quarter as usize % 4];
            phases.extend(at_s.map(|at_s| (start.plus_seconds(at_s), phase)));
        }
        before = after;
    }
    Ok(phases)
}
