//! What each number of a site or a rig takes, as the reader of such files says it.

use evenfall_core::reading::edit::with_value;

use super::field::{Kind, PlaceField, fields_of, order_around};
use super::{PlaceForm, read};

/// What a reader says where it expected something else.
const EXPECTED: &str = "expected ";
/// What is put in a number's place to hear what is expected there.
const NO_NUMBER: &str = "x";
const POLE_KEYHOLE: &str = "mount.pole_keyhole_radius_deg";
const POLE_AXIS: &str = "mount.hour_angle_axis";

impl PlaceForm {
    /// Hears from the reader what each number takes: with something else in its place, it says what it expected.
    pub(super) fn find_ranges(&mut self) {
        let mut probe = self.text.clone();
        for name in self.number_names() {
            probe = with_value(&probe, &name, NO_NUMBER, order_around(&name)).unwrap_or(probe);
        }
        let Err(faults) = read(self.part, &probe) else { return };
        for fault in faults {
            let expected = fault.message.strip_prefix(EXPECTED);
            let range = expected.and_then(|words| words.split_once(", found").map(|(range, _)| range));
            let from = range.and_then(|range| range.split_once("from ").map(|(_, range)| range));
            if let Some(from) = from {
                self.ranges.insert(fault.key, format!("From {from}."));
            }
        }
    }

    /// The names of all numbers, those included that may be left out.
    pub(super) fn number_names(&self) -> Vec<String> {
        let numbers = fields_of(self.part)
            .iter()
            .filter(|field| matches!(field.kind, Kind::Number | Kind::MaybeNumber | Kind::Degrees(..)))
            .filter(|field| !field.name.starts_with("horizon"));
        let mut names: Vec<String> = numbers.flat_map(|field| self.names_of(field)).collect();
        names.dedup();
        names
    }

    /// The names that a field has in this file: for a number that must be given, where it is given.
    fn names_of(&self, field: &PlaceField) -> Vec<String> {
        let name = field.name.split('/').next().unwrap_or_default();
        let mut names = self.with_positions(name);
        // The pole's keyhole may be left out, but there must be a pole.
        let can_be_there = name != POLE_KEYHOLE || self.has(POLE_AXIS);
        names.retain(|name| can_be_there && (field.kind == Kind::MaybeNumber || self.has(name)));
        names
    }

    /// A name with each of the positions that the file has for it.
    fn with_positions(&self, name: &str) -> Vec<String> {
        let Some((list, rest)) = name.split_once("[]") else {
            let group = name.rsplit_once('.').map_or("", |(group, _)| group);
            let is_there = group.is_empty() || self.has(group);
            return if is_there { vec![name.to_owned()] } else { Vec::new() };
        };
        let entries = 0..self.entries(list);
        entries.flat_map(|position| self.with_positions(&format!("{list}[{position}]{rest}"))).collect()
    }
}
