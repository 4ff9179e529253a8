//! A catalogue's text with some of its targets changed: what is not changed stays byte for byte, comments and targets that can't be
//! read too.

use std::collections::HashMap;

use super::write::{TARGET_KEYS, WORDS_KEYS, write_target};
use super::{Catalogue, Target, TargetId};
use crate::reading::edit::{keys_at, list_at, value_at, with_entry, with_value, without, words_at};

/// The list of the targets.
const TARGETS: &str = "targets";

/// What becomes of some targets of a catalogue.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CatalogueChange {
    /// Targets as they are to be, in the place of those with their identifiers; others are new.
    pub set: Vec<Target>,
    /// Behind which target the new ones come; `None` for the end.
    pub behind: Option<TargetId>,
    /// Targets that go.
    pub removed: Vec<TargetId>,
}

/// The text of a catalogue, of which `old` was read, with a change. Of a target that stays only the values that differ are
/// written anew; a comment behind a target that goes, on its last line, goes with it. `None` where the text is no catalogue.
pub fn amended_catalogue(text: &str, old: &Catalogue, change: &CatalogueChange) -> Option<String> {
    let mut text = text.to_owned();
    if !change.removed.is_empty() {
        let places = places(&list_at(&text, TARGETS)?);
        let gone = change.removed.iter().filter_map(|id| places.get(&id.0).copied());
        let mut gone: Vec<usize> = gone.collect();
        gone.sort_unstable();
        for position in gone.into_iter().rev() {
            text = without(&text, &format!("{TARGETS}[{position}]"))?;
        }
    }
    let entries = list_at(&text, TARGETS)?;
    let places = places(&entries);
    let known: HashMap<&TargetId, &Target> = old.targets.iter().map(|target| (&target.id, target)).collect();
    let (mut changed, mut new) = (Vec::new(), Vec::new());
    for target in &change.set {
        match (known.get(&target.id), places.get(&target.id.0)) {
            (Some(before), Some(position)) => {
                let entry = entries[*position];
                let start = entry.as_ptr().addr() - text.as_ptr().addr();
                changed.push((start..start + entry.len(), amended_entry(entry, before, target)?));
            }
            _ => new.push(target),
        }
    }
    let position = change.behind.as_ref().and_then(|id| places.get(&id.0)).map_or(entries.len(), |at| at + 1);
    changed.sort_by_key(|(place, _)| place.start);
    let mut amended = String::with_capacity(text.len() + 400 * new.len());
    let mut at = 0;
    for (place, entry) in changed {
        amended += text.get(at..place.start)?;
        amended += &entry;
        at = place.end;
    }
    amended += text.get(at..)?;
    with_new(amended, position, &new)
}

/// Which entry has an identifier; of several the first.
fn places(entries: &[&str]) -> HashMap<String, usize> {
    let mut places = HashMap::with_capacity(entries.len());
    for (position, entry) in entries.iter().enumerate() {
        if let Some(id) = words_at(entry, "id") {
            places.entry(id).or_insert(position);
        }
    }
    places
}

/// The text with new targets before the one at a position.
fn with_new(text: String, position: usize, new: &[&Target]) -> Option<String> {
    let Some((first, others)) = new.split_first() else { return Some(text) };
    let mut text = with_entry(&text, TARGETS, position, &entry_of(first))?;
    let first = value_at(&text, &format!("{TARGETS}[{position}]"))?;
    let end = first.as_ptr().addr() - text.as_ptr().addr() + first.len();
    let others: Vec<String> = others.iter().map(|target| entry_of(target)).collect();
    let others = others.iter().flat_map(|entry| [",\n    ", entry]).collect::<String>();
    text.insert_str(end, &others);
    Some(text)
}

/// A target as an entry of its list.
fn entry_of(target: &Target) -> String {
    let mut text = String::new();
    write_target(&mut text, target);
    text.trim().trim_end_matches(',').to_owned()
}

/// An entry with the values that differ.
fn amended_entry(entry: &str, before: &Target, after: &Target) -> Option<String> {
    let (was, is) = (entry_of(before), entry_of(after));
    let (was, is) = (keys_at(&was)?, keys_at(&is)?);
    let mut amended = entry.to_owned();
    for (key, value) in is.iter().filter(|own| !was.contains(own)) {
        amended = with_value(&amended, key, value, &TARGET_KEYS)?;
    }
    // Words that stand there though they were those usual for the kind: of another kind they are not true.
    let spelt_out = WORDS_KEYS.iter().filter(|_| before.kind != after.kind).map(|key| (*key).to_owned());
    let gone = was.iter().map(|(key, _)| key.clone()).chain(spelt_out);
    for key in gone.filter(|key| is.iter().all(|(own, _)| own != key)) {
        let key = &key;
        if value_at(&amended, key).is_some() {
            amended = without(&amended, key)?;
        }
    }
    Some(amended)
}

#[cfg(test)]
mod tests {
    use super::{CatalogueChange, amended_catalogue};
    use crate::catalogue::{Catalogue, Kind, Target, TargetId, read_catalogue, usual_words, write_catalogue};
    use crate::reading::edit::value_at;
    use crate::units::{Fraction, Magnitude};

    const DEMO: &str = include_str!("../../../catalog-demo/heron-fell.catalogue.ron");

    fn demo() -> Catalogue {
        read_catalogue("demo", DEMO).0
    }

    fn set(target: Target) -> CatalogueChange {
        CatalogueChange { set: vec![target], ..CatalogueChange::default() }
    }

    #[test]
    fn one_value_changes_and_no_other_byte() {
        let old = demo();
        let lamps = old.get(&TargetId("market-lamps".into())).unwrap();
        let rated = Target { appeal: Fraction::clamped(0.11), ..lamps.clone() };
        let text = amended_catalogue(DEMO, &old, &set(rated.clone())).unwrap();
        let differing: Vec<_> = DEMO.lines().zip(text.lines()).filter(|(one, other)| one != other).collect();
        assert_eq!((differing.len(), DEMO.lines().count()), (1, text.lines().count()), "{differing:?}");
        let (new, faults) = read_catalogue("new", &text);
        assert_eq!(faults, []);
        assert_eq!(new.get(&rated.id), Some(&rated));
        assert_eq!(amended_catalogue(&text, &new, &set(lamps.clone())).unwrap(), DEMO, "and back again");
    }

    #[test]
    fn values_come_and_go_with_what_is_known() {
        let old = demo();
        let mut lamps = old.get(&TargetId("market-lamps".into())).unwrap().clone();
        (lamps.size, lamps.surface_brightness) = (None, None);
        lamps.magnitude = Some(Magnitude(6.25));
        "From the car park, left of the gate.".clone_into(&mut lamps.notes.at_home);
        lamps.notes.photos = vec!["photos/lamps.jpg".into(), "photos/\"lamps\" 2.jpg".into()];
        let text = amended_catalogue(DEMO, &old, &set(lamps.clone())).unwrap();
        let (new, faults) = read_catalogue("new", &text);
        assert_eq!(faults, []);
        assert_eq!(new.get(&lamps.id), Some(&lamps));
        assert_eq!(new.targets.len(), old.targets.len());
    }

    #[test]
    fn words_usual_for_a_kind_are_not_said_of_another() {
        let old = demo();
        let lamps = old.get(&TargetId("market-lamps".into())).unwrap();
        let plain = Target { words: usual_words(lamps.kind), ..lamps.clone() };
        let text = amended_catalogue(DEMO, &old, &set(plain.clone())).unwrap();
        // As files had them that spell these words out.
        let entry = value_at(&text, "targets[8]").unwrap();
        assert!(entry.contains("market-lamps") && !entry.contains("line:"), "{entry}");
        let spelt =
            format!("{}, line: {:?})", entry.trim_end_matches(['\n', ' ', ')', ',']), plain.words.line);
        let spelt = text.replacen(entry, &spelt, 1);
        let (old, faults) = read_catalogue("spelt", &spelt);
        assert_eq!(faults, []);
        assert_eq!(old.get(&plain.id), Some(&plain));
        let other = Target { kind: Kind::Galaxy, words: usual_words(Kind::Galaxy), ..plain };
        let text = amended_catalogue(&spelt, &old, &set(other.clone())).unwrap();
        assert_eq!(read_catalogue("new", &text).0.get(&other.id), Some(&other));
    }

    #[test]
    fn targets_come_behind_another_and_go_with_all_others_as_they_were() {
        let old = demo();
        let copies: Vec<Target> = [1, 2, 3]
            .map(|number| Target { id: TargetId(format!("copy-{number}")), ..old.targets[20].clone() })
            .into();
        for behind in [Some(old.targets[20].id.clone()), None, Some(TargetId("nowhere".into()))] {
            let change = CatalogueChange { set: copies.clone(), behind: behind.clone(), removed: Vec::new() };
            let text = amended_catalogue(DEMO, &old, &change).unwrap();
            let (new, faults) = read_catalogue("new", &text);
            assert_eq!(faults, []);
            let at = if behind == Some(old.targets[20].id.clone()) { 21 } else { old.targets.len() };
            assert_eq!(new.targets[at..at + 3], copies);
            let removed = copies.iter().map(|copy| copy.id.clone()).collect();
            let back = CatalogueChange { removed, ..CatalogueChange::default() };
            assert_eq!(amended_catalogue(&text, &new, &back).unwrap(), DEMO);
        }
    }

    #[test]
    fn what_cannot_be_read_and_comments_stay() {
        let broken = DEMO.replacen("ra_deg: 11.9021", "ra_deg: 411.9021 /* typed at night */", 1);
        let (old, faults) = read_catalogue("broken", &broken);
        assert_eq!(faults.len(), 1);
        let rated = Target { appeal: Fraction::clamped(0.11), ..old.targets[30].clone() };
        let text = amended_catalogue(&broken, &old, &set(rated.clone())).unwrap();
        assert!(text.contains("ra_deg: 411.9021 /* typed at night */"));
        assert_eq!(read_catalogue("new", &text).0.get(&rated.id), Some(&rated));
        assert_eq!(amended_catalogue("no catalogue", &old, &set(rated)), None);
    }

    #[test]
    fn a_catalogue_without_targets_takes_some() {
        let old = Catalogue { name: "empty".into(), ..Catalogue::default() };
        let change = CatalogueChange { set: demo().targets[8..11].to_vec(), ..CatalogueChange::default() };
        for empty in [
            write_catalogue(&old),
            "(format: \"evenfall-catalogue/1\", name: \"empty\", targets: [])".to_owned(),
        ] {
            let text = amended_catalogue(&empty, &old, &change).unwrap();
            let (new, faults) = read_catalogue("new", &text);
            assert_eq!(faults, [], "{text}");
            assert_eq!(new.targets, change.set);
        }
    }
}
