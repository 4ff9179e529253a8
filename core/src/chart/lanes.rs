//! Lanes by port: where each stop and each part of its move lies, without any painting.

use super::{AltitudeScale, Rectangle, TimeAxis};
use crate::plan::{RunningOrder, StopId, StopTiming, screen_of_talk};
use crate::rig::Rig;
use crate::time::Instant;

/// Lanes one below the other, the same height each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lanes {
    /// Upper edge of the first.
    pub top: f32,
    /// Height of one.
    pub height: f32,
    /// Space between two.
    pub gap: f32,
    /// How many.
    pub count: usize,
}

/// Where a stop lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lane {
    /// On the lane of a port, by its position on the rig.
    Port(usize),
    /// Across all lanes: an entry without the telescope, or a port that the rig does not have.
    All,
}

/// The parts of a move as stretches of a lane, in order of time; each may be empty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoveBars {
    /// Mount, dome and selector on their way.
    pub travel: Rectangle,
    /// Settling and focusing.
    pub settle: Rectangle,
    /// Framing or exposing before the first look.
    pub lead: Rectangle,
}

/// A stop in its lane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    /// The stop.
    pub stop: StopId,
    /// Its number in the running order, from 1.
    pub number: usize,
    /// Its lane.
    pub lane: Lane,
    /// People's time.
    pub rectangle: Rectangle,
    /// The move to it, if the telescope moves.
    pub bars: Option<MoveBars>,
}

impl Lanes {
    /// Upper and lower edge of a lane.
    pub fn edges(&self, lane: Lane) -> (f32, f32) {
        match lane {
            Lane::Port(index) => {
                let top = self.top + index as f32 * (self.height + self.gap);
                (top, top + self.height)
            }
            Lane::All => (self.top, self.bottom()),
        }
    }

    /// Lower edge of the last lane.
    pub fn bottom(&self) -> f32 {
        self.top + self.count as f32 * (self.height + self.gap) - if self.count > 0 { self.gap } else { 0.0 }
    }

    /// The sky of a lane: the horizon at its foot, the zenith at its head.
    pub fn sky(&self, lane: Lane) -> AltitudeScale {
        let (zenith, horizon) = self.edges(lane);
        AltitudeScale { zenith, horizon }
    }

    /// The lane at a height, if one is there.
    pub fn at(&self, y: f32) -> Option<usize> {
        let index = ((y - self.top) / (self.height + self.gap)).floor();
        (index >= 0.0 && (index as usize) < self.count && y <= self.edges(Lane::Port(index as usize)).1)
            .then_some(index as usize)
    }
}

/// Every stop of an order in its lane, in its order.
pub fn lane_blocks(
    order: &RunningOrder,
    timings: &[StopTiming],
    rig: &Rig,
    axis: &TimeAxis,
    lanes: &Lanes,
) -> Vec<Block> {
    let mut blocks = Vec::with_capacity(order.stops().len());
    for (index, stop) in order.stops().iter().enumerate() {
        let own = stop.show().and_then(|show| rig.ports.iter().position(|port| port.id == show.port));
        let lane = own.or_else(|| screen_of_talk(order, stop, rig)).map_or(Lane::All, Lane::Port);
        let (top, bottom) = lanes.edges(lane);
        let stretch =
            |from: Instant, to: Instant| Rectangle { left: axis.x(from), top, right: axis.x(to), bottom };
        let timing = timings.iter().find(|timing| timing.stop == stop.id);
        let bars = timing.filter(|timing| timing.parts.total_s() + timing.lead_s > 0.0).map(|timing| {
            let parts = timing.parts;
            let arrive = timing.leave.plus_seconds(parts.together_s());
            let ready = timing.leave.plus_seconds(parts.total_s());
            let first_look = ready.plus_seconds(timing.lead_s);
            MoveBars {
                travel: stretch(timing.leave, arrive),
                settle: stretch(arrive, ready),
                lead: stretch(ready, first_look),
            }
        });
        blocks.push(Block {
            stop: stop.id,
            number: index + 1,
            lane,
            rectangle: stretch(stop.start(), stop.end()),
            bars,
        });
    }
    blocks
}

#[cfg(test)]
mod tests {
    use super::{Lane, Lanes};

    #[test]
    fn a_height_finds_its_lane_and_no_gap() {
        let lanes = Lanes { top: 10.0, height: 20.0, gap: 4.0, count: 3 };
        assert_eq!(
            (lanes.at(9.0), lanes.at(15.0), lanes.at(32.0), lanes.at(35.0)),
            (None, Some(0), None, Some(1))
        );
        assert_eq!(lanes.edges(Lane::All), (10.0, 78.0));
        assert_eq!(lanes.at(79.0), None);
    }
}
