//! What happens between stops: the move to each, when it must begin, and the time left over.

use super::{Materials, Prepared, RunningOrder, StopId};
use crate::rig::MoveParts;
use crate::time::Instant;
use crate::units::Angle;

/// The move to one stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StopTiming {
    /// The stop.
    pub stop: StopId,
    /// The move's parts; all zero for an entry without the telescope.
    pub parts: MoveParts,
    /// Framing or exposing after the move, in seconds.
    pub lead_s: f64,
    /// When the move must begin for the stop to start on time.
    pub leave: Instant,
    /// How far the azimuth axis turns, positive from north through east.
    pub azimuth_turn: Angle,
    /// Minutes free between the end of what came before and `leave`; negative if the move does not fit.
    pub free_minutes: f64,
}

/// The timing of every stop of an order, in its order. The telescope keeps its pointing through entries.
pub fn timings(order: &RunningOrder, prepared: &Prepared, materials: &Materials<'_>) -> Vec<StopTiming> {
    todo!()
}
