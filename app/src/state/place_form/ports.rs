//! Ports and eyepieces that are added to a rig, each as the demonstration has it.

use evenfall_core::reading::edit::{quoted, value_at, with_entry, with_value, words_at};

use super::PlaceForm;
use crate::shell::assets::DEMO_PARTS;
use crate::state::Part;

/// What hangs on a new port.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PortKind {
    /// A wide camera.
    Wide,
    /// A planetary camera.
    Planetary,
    /// Eyepieces.
    Eyepiece,
    /// A spectrograph.
    Spectrograph,
}

impl PortKind {
    /// All of them, in the order of the demonstration's ports.
    pub const ALL: [Self; 4] = [Self::Wide, Self::Planetary, Self::Eyepiece, Self::Spectrograph];

    /// What it is called.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Wide => "Wide camera",
            Self::Planetary => "Planetary camera",
            Self::Eyepiece => "Eyepiece",
            Self::Spectrograph => "Spectrograph",
        }
    }
}

impl PlaceForm {
    /// The ids of all ports.
    pub(super) fn port_ids(&self) -> Vec<String> {
        let id = |position| words_at(&self.text, &format!("ports[{position}].id"));
        (0..self.entries("ports")).filter_map(id).collect()
    }

    /// The ids of all ports, each with its name.
    pub fn ports_to_choose(&self) -> Vec<(String, String)> {
        let named = |position| {
            let word = |key: &str| words_at(&self.text, &format!("ports[{position}].{key}"));
            Some((word("id")?, word("name").unwrap_or_default()))
        };
        (0..self.entries("ports")).filter_map(named).collect()
    }

    /// One more port behind the others, with an id of its own.
    pub(in crate::state) fn add_port(&mut self, kind: PortKind) {
        let demo = DEMO_PARTS[Part::Rig as usize].text;
        let Some(port) = value_at(demo, &format!("ports[{}]", kind as usize)) else { return };
        let ids = self.port_ids();
        let usual = words_at(port, "id").unwrap_or_default();
        let mut names = (2..).map(|number| format!("{usual}-{number}"));
        let id =
            if ids.contains(&usual) { names.find(|id| !ids.contains(id)).unwrap_or_default() } else { usual };
        let Some(port) = with_value(port, "id", &quoted(&id), &[]) else { return };
        let behind = self.entries("ports");
        self.change_list("ports", with_entry(&self.text, "ports", behind, &port));
    }

    /// One more eyepiece on a port, behind the others.
    pub(in crate::state) fn add_eyepiece(&mut self, port: usize) {
        const USUAL: &str = "(name: \"25 mm\", focal_length_mm: 25.0, apparent_field_deg: 60.0)";
        let list = format!("ports[{port}].eyepieces");
        let behind = self.entries(&list);
        self.change_list(&list, with_entry(&self.text, &list, behind, USUAL));
    }
}
