//! The names by which people know stops, targets and ports: what every sentence about an evening needs.

use super::numbers;
use super::wording::entry_kind_word;
use crate::catalogue::{Target, TargetId};
use crate::plan::{Evening, Materials, Prepared, Stop, StopId, What};
use crate::rig::PortId;
use crate::time::Instant;

/// An evening with what it stands on, asked for names.
#[derive(Clone, Copy, Debug)]
pub struct Names<'a> {
    /// The evening.
    pub evening: &'a Evening,
    /// Its sky.
    pub prepared: &'a Prepared,
    /// What it stands on.
    pub materials: &'a Materials<'a>,
}

impl<'a> Names<'a> {
    /// Names of an evening.
    pub const fn new(evening: &'a Evening, prepared: &'a Prepared, materials: &'a Materials<'a>) -> Self {
        Self { evening, prepared, materials }
    }

    /// The number of a stop in the running order, from 1; as printed on every page and drawing.
    pub fn stop_number(&self, id: StopId) -> Option<usize> {
        self.evening.order.stops().iter().position(|stop| stop.id == id).map(|position| position + 1)
    }

    /// What a stop is called: its target's name, or its own title.
    pub fn stop_title(&self, stop: &Stop) -> String {
        match &stop.what {
            What::Show(show) => self.target_name(&show.target),
            What::Entry { kind, title, .. } if title.is_empty() => entry_kind_word(*kind).to_owned(),
            What::Entry { title, .. } => title.clone(),
        }
    }

    /// A stop in a sentence: `stop 3, Lantern Drift`.
    pub fn stop_phrase(&self, id: StopId) -> String {
        match (self.stop_number(id), self.evening.order.get(id)) {
            (Some(number), Some(stop)) => format!("stop {number}, {}", self.stop_title(stop)),
            _ => "a stop that is no longer there".to_owned(),
        }
    }

    /// A target, with its place in the catalogue.
    pub fn target(&self, id: &TargetId) -> Option<(usize, &'a Target)> {
        self.materials.catalogue.targets.iter().enumerate().find(|(_, target)| &target.id == id)
    }

    /// A target's name for people; its identifier where the catalogue does not have it.
    pub fn target_name(&self, id: &TargetId) -> String {
        self.target(id).map_or_else(|| id.0.clone(), |(_, target)| target.name.clone())
    }

    /// A port's name for people; its identifier where the rig does not have it.
    pub fn port_name(&self, id: &PortId) -> String {
        self.materials.rig.port(id).map_or_else(|| id.0.clone(), |port| port.name.clone())
    }

    /// A port's position on the rig.
    pub fn port_index(&self, id: &PortId) -> Option<usize> {
        self.materials.rig.ports.iter().position(|port| &port.id == id)
    }

    /// An instant on the night's clock, with its zone.
    pub fn clock(&self, instant: Instant) -> String {
        numbers::clock_with_zone(&self.prepared.night.local, instant)
    }
}

/// The letter of a port by its position on the rig: `A`, `B`, …, then `A2` after `Z`.
pub fn port_letter(index: usize) -> String {
    let letter = char::from(b'A' + (index % 26) as u8);
    match index / 26 {
        0 => letter.to_string(),
        round => format!("{letter}{}", round + 1),
    }
}
