//! What is under the pointer over the Board, where it would be put down, and what would come of that.

use evenfall_core::catalogue::TargetId;
use evenfall_core::plan::{Evening, Judged, StopId};
use evenfall_core::rig::PortId;
use evenfall_core::time::Instant;

use super::Command;

/// An edge of a stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    /// Its start.
    Start,
    /// Its end.
    End,
}

/// What the pointer has taken hold of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Dragged {
    /// A stop, to be moved.
    Stop(StopId),
    /// An edge of a stop, to make it longer or shorter.
    Edge(StopId, Edge),
    /// A target of the Shelf, to be brought on.
    Target(TargetId),
}

/// A place on the Board.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// The start of a stop or target, or where the edge would be.
    pub at: Instant,
    /// On which port; `None` for an entry.
    pub port: Option<PortId>,
}

/// Something under the pointer, not yet put down.
#[derive(Clone, Debug, PartialEq)]
pub struct Drag {
    /// What.
    pub what: Dragged,
    /// Minutes from the start or the edge to where it was taken hold of.
    pub grip_minutes: f64,
    /// Where it would be put down; `None` while the pointer is beside the lanes.
    pub spot: Option<Spot>,
    /// Whether Escape was pressed: nothing happens until the button is let go.
    pub cancelled: bool,
}

impl Drag {
    /// A target taken off the Shelf. The Board follows the pointer from here on, and brings the target on where the
    /// button is let go over a lane.
    pub const fn of_target(target: TargetId) -> Self {
        Self { what: Dragged::Target(target), grip_minutes: 0.0, spot: None, cancelled: false }
    }

    /// The stop that is moved or made longer; `None` for a target of the Shelf.
    pub const fn stop(&self) -> Option<StopId> {
        match self.what {
            Dragged::Stop(stop) | Dragged::Edge(stop, _) => Some(stop),
            Dragged::Target(_) => None,
        }
    }

    /// What letting go here is; `None` where nothing would happen.
    pub fn command(&self) -> Option<Command> {
        let Spot { at, port } = self.spot.clone().filter(|_| !self.cancelled)?;
        Some(match &self.what {
            Dragged::Stop(stop) => Command::Place { stop: *stop, start: at, port },
            Dragged::Edge(stop, edge) => Command::SetEdge(*stop, *edge, at),
            Dragged::Target(target) => Command::BringOn { target: target.clone(), start: Some(at), port },
        })
    }
}

/// What would come of letting go.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// The evening then.
    pub evening: Evening,
    /// What would be wrong with it, its moves and its line before the eyepiece.
    pub judged: Judged,
    /// The stop put down, in that evening.
    pub stop: Option<StopId>,
    /// The other stops that would be moved, in the order of that evening.
    pub moved: Vec<StopId>,
}
