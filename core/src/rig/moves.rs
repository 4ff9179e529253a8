//! Seconds from one pointing and port to the next: slew, dome, selector, focus, settle.

use super::{PortId, Rig};
use crate::units::Angle;

/// The pace of an axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// Top speed, in degrees a second.
    pub rate_deg_per_s: f64,
    /// Acceleration, in degrees a second squared.
    pub acceleration_deg_per_s2: f64,
}

/// Where the telescope points, with the azimuth counted as the cables see it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pointing {
    /// Azimuth without wrapping, within the cable wrap.
    pub cable_azimuth: Angle,
    /// Altitude.
    pub altitude: Angle,
}

/// The parts of a move, each in seconds. What turns together runs together; selector included. Settling and
/// focusing follow.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MoveParts {
    /// Mount, the slower of its two axes.
    pub slew_s: f64,
    /// Dome.
    pub dome_s: f64,
    /// Selector.
    pub selector_s: f64,
    /// Settling.
    pub settle_s: f64,
    /// Focusing.
    pub focus_s: f64,
}

impl MoveParts {
    /// Total: the longest of slew, dome and selector, then settle, then focus.
    pub fn total_s(self) -> f64 {
        self.slew_s.max(self.dome_s).max(self.selector_s) + self.settle_s + self.focus_s
    }
}

/// A move and where it ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Move {
    /// Its parts.
    pub parts: MoveParts,
    /// Where the mount ends, cables counted.
    pub end: Pointing,
    /// How far the azimuth axis turns, positive from north through east.
    pub azimuth_turn: Angle,
}

/// Seconds for one axis to travel `distance`: a trapezoid of speed.
pub fn axis_seconds(axis: Axis, distance: Angle) -> f64 {
    todo!()
}

/// The move from one pointing and port to a place in the sky and a port. Chooses the shorter way that the cable
/// wrap allows.
///
/// * `from`: where the mount points, `None` for its parking place (taken as already there);
/// * `from_port`, `to_port`: equal means no change of port; `None` means none was set.
pub fn move_between(
    rig: &Rig,
    from: Option<Pointing>,
    from_port: Option<&PortId>,
    to_azimuth: Angle,
    to_altitude: Angle,
    to_port: &PortId,
) -> Move {
    todo!()
}
