//! Wishes that can't be kept: which, and what each contradicts.

use crate::catalogue::TargetId;
use crate::plan::{Rule, Stop};

/// Something the user wants of the running order.
#[derive(Clone, Debug, PartialEq)]
pub enum Wish {
    /// A stop held in its time, or a fixed entry of the programme, as it would stand.
    Stop(Stop),
    /// A stop held in its port.
    Port(Stop),
    /// A target that must be shown.
    Show(TargetId),
}

impl Wish {
    /// The target that it is about, if any.
    pub fn target(&self) -> Option<&TargetId> {
        match self {
            Self::Stop(stop) | Self::Port(stop) => stop.show().map(|show| &show.target),
            Self::Show(target) => Some(target),
        }
    }

    /// The stop that it is about, if it is about one that there is.
    pub const fn stop(&self) -> Option<&Stop> {
        match self {
            Self::Stop(stop) | Self::Port(stop) => Some(stop),
            Self::Show(_) => None,
        }
    }
}

/// A wish that a draft could not keep.
#[derive(Clone, Debug, PartialEq)]
pub struct GivenUp {
    /// Which.
    pub wish: Wish,
    /// Why.
    pub why: GivenUpWhy,
}

/// Why a wish is given up.
#[derive(Clone, Debug, PartialEq)]
pub enum GivenUpWhy {
    /// It breaks a rule all by itself.
    Rule(Rule),
    /// The evening was picked up after its time; it comes later if there is room.
    Past,
    /// At no time of the evening can it be met.
    Never,
    /// The moves that the mount really makes leave it no place that was found.
    Moves,
    /// It can't be met together with these, which are kept. None of them could be left out of the list.
    Against(Vec<Wish>),
}
