//! Identifiers made from names.

use std::collections::HashMap;

use super::name_book::NameBook;
use crate::catalogue::{Catalogue, TargetId};

/// The longest identifier before a number is put behind it, so that the whole stays within 60 characters.
const LONGEST: usize = 50;

/// Gives out identifiers, each once.
#[derive(Debug, Default)]
pub(super) struct Ids {
    taken: NameBook,
    /// The last number behind each, so that a thousand equal names are not counted a thousand times.
    numbers: HashMap<String, usize>,
}

impl Ids {
    /// With those of a catalogue taken, also those of entries that can't be read.
    pub(super) fn beside(catalogue: &Catalogue) -> Self {
        let mut ids = Self::default();
        catalogue
            .targets
            .iter()
            .map(|target| &target.id)
            .chain(&catalogue.unread_ids)
            .for_each(|id| ids.take(id));
        ids
    }

    /// Takes an identifier that stands already.
    pub(super) fn take(&mut self, id: &TargetId) {
        self.taken.insert(&id.0);
    }

    /// The identifier of a name as names are compared: its words in a-z and 0-9 with hyphens between, and a number where it is
    /// taken.
    pub(super) fn next(&mut self, words: &str) -> TargetId {
        let letters = words.chars().map(|c| if c == ' ' { '-' } else { c });
        let plain: String =
            letters.filter(|c| c.is_ascii_alphanumeric() || *c == '-').take(LONGEST).collect();
        let plain = plain.trim_matches('-');
        let plain = if plain.is_empty() { "target" } else { plain };
        let mut id = plain.to_owned();
        while !self.taken.insert(&id).1 {
            let number = self.numbers.entry(plain.to_owned()).or_insert(1);
            *number += 1;
            id = format!("{plain}-{number}");
        }
        TargetId(id)
    }
}

#[cfg(test)]
mod tests {
    use super::Ids;
    use crate::catalogue::folded_name;

    #[test]
    fn names_become_identifiers_each_once() {
        let mut ids = Ids::default();
        for (name, id) in [
            ("Miller's Lantern", "millers-lantern"),
            ("EV 0057b", "ev-57-b"),
            ("Flüßchen", "flusschen"),
            ("ev57 b", "ev-57-b-2"),
            ("星", "target"),
            ("", "target-2"),
        ] {
            assert_eq!(ids.next(&folded_name(name)).0, id, "{name}");
        }
        assert!(ids.next(&folded_name(&"a b ".repeat(40))).0.len() <= 50);
    }
}
