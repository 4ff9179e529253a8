//! What happens between stops: the move to each, when it must begin, and the time left over.

use super::{Materials, Prepared, RunningOrder, StopId, lead_s};
use crate::rig::{Move, MoveParts, Pointing, PortId, Rig, move_between};
use crate::time::{Instant, Interval};
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
    /// Minutes free between the end of what came before and `leave`; negative if the move does not fit. Before the
    /// first stop the telescope may be made ready while doors are still closed.
    pub free_minutes: f64,
}

/// The timing of every stop of an order, in its order. The telescope keeps its pointing through entries, and follows
/// its target through a stop; a stop of an unknown target or port leaves it where it is.
pub fn timings(order: &RunningOrder, prepared: &Prepared, materials: &Materials<'_>) -> Vec<StopTiming> {
    legs(order, prepared, materials).into_iter().map(|leg| leg.timing).collect()
}

/// A stop's timing with the way the mount goes.
pub(super) struct Leg {
    pub(super) timing: StopTiming,
    /// Where the mount leaves from and arrives, where it moves at all.
    pub(super) path: Option<(Pointing, Pointing)>,
}

pub(super) fn legs(order: &RunningOrder, prepared: &Prepared, materials: &Materials<'_>) -> Vec<Leg> {
    let mut stands = Stands::default();
    let mut free_from: Option<Instant> = None;
    let mut all = Vec::with_capacity(order.stops().len());
    for stop in order.stops() {
        let mut leg = Leg {
            timing: StopTiming {
                stop: stop.id,
                parts: MoveParts::default(),
                lead_s: 0.0,
                leave: stop.start(),
                azimuth_turn: Angle::ZERO,
                free_minutes: 0.0,
            },
            path: None,
        };
        let known = stop.show().and_then(|show| {
            let target_index = materials.target_index(&show.target)?;
            Some((target_index, materials.rig.port(&show.port)?))
        });
        if let Some((target_index, port)) = known {
            let arrival = stands.go(materials.rig, prepared, target_index, &port.id, stop.interval);
            if let Some((travel, after)) = arrival {
                let lead_s = lead_s(port, materials.catalogue.targets[target_index].kind);
                leg.path = stands.pointing.map(|from| (from, travel.end));
                leg.timing.parts = travel.parts;
                leg.timing.lead_s = lead_s;
                leg.timing.leave = stop.start().plus_seconds(-travel.parts.total_s() - lead_s);
                leg.timing.azimuth_turn = travel.azimuth_turn;
                stands = after;
            }
        }
        leg.timing.free_minutes = match free_from {
            Some(before) => leg.timing.leave.minutes_since(before),
            None => leg.timing.leave.minutes_since(prepared.doors.start()).max(0.0),
        };
        free_from = Some(free_from.map_or(stop.end(), |before| before.max(stop.end())));
        all.push(leg);
    }
    all
}

/// Where the telescope stands between stops: pointing and port, none of both before the first.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Stands<'p> {
    pub(super) pointing: Option<Pointing>,
    pub(super) port: Option<&'p PortId>,
}

impl<'p> Stands<'p> {
    /// The move to a target that is shown on a port over an interval, and where the telescope stands afterwards.
    /// `None` if the target was not prepared.
    pub(super) fn go(
        self,
        rig: &Rig,
        prepared: &Prepared,
        target_index: usize,
        port: &'p PortId,
        interval: Interval,
    ) -> Option<(Move, Self)> {
        let samples = &prepared.tracks.get(target_index)?.samples;
        let (first, last) = (prepared.moment_index(interval.start()), prepared.moment_index(interval.end()));
        let start = samples.get(first)?;
        let travel = move_between(rig, self.pointing, self.port, start.azimuth, start.altitude, port);
        let tracked = samples[first..=last]
            .iter()
            .fold(travel.end, |at, sample| at.tracked_to(sample.azimuth, sample.altitude));
        Some((travel, Self { pointing: Some(tracked), port: Some(port) }))
    }
}
