//! The running order: stops from doors open to doors closed, and what is always true of them.

use serde::{Deserialize, Serialize};

use crate::catalogue::TargetId;
use crate::rig::PortId;
use crate::time::{Instant, Interval};

/// A stop's identity within its evening; kept when it moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StopId(pub u32);

/// An entry that needs no telescope.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum EntryKind {
    /// Welcome and safety talk.
    Welcome,
    /// A talk, a constellation tour, naked-eye time.
    Talk,
    /// An interval.
    Interval,
    /// A talk over the last picture on the screen, beside the line at the eyepiece.
    ScreenTalk,
    /// Last words, lights, way out.
    Closing,
}

/// A target on a port.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Show {
    /// The target.
    pub target: TargetId,
    /// The port.
    pub port: PortId,
    /// Which eyepiece of the port, by its position in the set.
    pub eyepiece: Option<usize>,
    /// The target prepared to replace it when its part of the sky closes.
    pub understudy: Option<TargetId>,
}

/// What happens at a stop.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// A target is shown.
    Show(Show),
    /// An entry without the telescope.
    Entry {
        /// What sort.
        kind: EntryKind,
        /// What it is called.
        title: String,
        /// What to say.
        cue: String,
    },
}

/// What the user has fixed about a stop.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Held {
    /// Its time.
    pub time: bool,
    /// Its port.
    pub port: bool,
}

/// One stop. Its interval is people's time: the move to it comes before, in the gap.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// Its identity.
    pub id: StopId,
    /// What happens.
    pub what: What,
    /// From the first visitor to the last.
    pub interval: Interval,
    /// What is fixed.
    pub held: Held,
}

impl Stop {
    /// What is shown, if it is a target.
    pub const fn show(&self) -> Option<&Show> {
        match &self.what {
            What::Show(show) => Some(show),
            What::Entry { .. } => None,
        }
    }

    /// When it begins.
    pub const fn start(&self) -> Instant {
        self.interval.start()
    }

    /// When it ends.
    pub const fn end(&self) -> Instant {
        self.interval.end()
    }
}

/// Stops in order of their start (then of their identity). Overlaps are possible: the check tells of them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RunningOrder {
    stops: Vec<Stop>,
}

impl RunningOrder {
    /// From stops in any order.
    pub fn new(mut stops: Vec<Stop>) -> Self {
        stops.sort_by_key(|stop| (stop.start(), stop.id));
        Self { stops }
    }

    /// The stops, in order.
    pub fn stops(&self) -> &[Stop] {
        &self.stops
    }

    /// The stop of an identity.
    pub fn get(&self, id: StopId) -> Option<&Stop> {
        self.stops.iter().find(|stop| stop.id == id)
    }

    /// An identity that no stop has.
    pub fn next_id(&self) -> StopId {
        StopId(self.stops.iter().map(|stop| stop.id.0 + 1).max().unwrap_or(1))
    }
}
