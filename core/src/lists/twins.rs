//! Rows that mean the same target: by place, and by any form of a name.

use std::collections::HashMap;

use super::name_book::{MixedState, NameBook};
use crate::catalogue::{Kind, Target, folded_name};
use crate::maths::Vec3;
use crate::place::{Source, StarPlace};
use crate::units::Angle;

/// Targets of one kind that stand nearer together than this are the same.
const SAME_PLACE_ARCSEC: f64 = 30.0;
/// Two numbers of one catalogue are two targets by that catalogue's own word, unless they stand nearer together than this.
const SAME_ENTRY_ARCSEC: f64 = 3.0;
/// Targets that share another name and stand nearer together than this are the same.
pub(super) const SAME_FIELD_ARCSEC: f64 = 300.0;
/// Width of the cells in which neighbours are looked for: twice as wide as they may be apart, so that a cell and those round
/// it hold them all.
const CELL_ARCSEC: f64 = 2.0 * SAME_PLACE_ARCSEC;

/// Why a target is the same as an earlier one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Same {
    /// Within so many arcseconds, and of the same kind.
    Place(f64),
    /// By its name, however far away.
    Name,
    /// By another name, in the same field.
    OtherName,
}

/// No target.
const NONE: u32 = u32::MAX;

/// A target that was new.
#[derive(Clone, Copy, Debug)]
struct Known {
    direction: Vec3,
    /// The number of its name.
    name: u32,
    /// The one before it in its cell.
    before: u32,
}

/// Finds targets that came before, one after the other; only those that are new are remembered, in some 100 bytes each.
#[derive(Debug, Default)]
pub(super) struct Twins {
    known: Vec<Known>,
    /// The last of those that stand in a cell.
    places: HashMap<u64, u32, MixedState>,
    names: NameBook,
    /// By the number of a name: the first that has it as its name, and the first that has it as another name.
    first_named: Vec<(u32, u32)>,
}

impl Twins {
    /// How many were new so far.
    pub(super) const fn count(&self) -> usize {
        self.known.len()
    }

    /// The position of the earlier target that this one is, counting those that were new. A new one is remembered.
    pub(super) fn earlier(&mut self, target: &Target) -> Option<(usize, Same)> {
        self.earlier_by_name(target, &folded_name(&target.name))
    }

    /// As [`Self::earlier`], where the name as it is compared is known.
    pub(super) fn earlier_by_name(&mut self, target: &Target, name: &str) -> Option<(usize, Same)> {
        let Source::Star(place) = target.source else { return None };
        let direction = Vec3::from_spherical(place.right_ascension, place.declination);
        let others: Vec<String> = target.other_names.iter().map(|name| folded_name(name)).collect();
        let found = self.found(target.kind, place, direction, name, &others);
        if found.is_none() {
            self.remember(target.kind, place, direction, name, &others);
        }
        found.map(|(earlier, same)| (earlier as usize, same))
    }

    fn found(
        &self,
        kind: Kind,
        place: StarPlace,
        direction: Vec3,
        name: &str,
        others: &[String],
    ) -> Option<(u32, Same)> {
        let apart = |other: u32| direction.angle_to(self.known[other as usize].direction).arcseconds();
        let mut nearest: Option<(f64, u32)> = None;
        for (band, cell) in cells_round(place) {
            let mut at = self.places.get(&cell_key(kind, band, cell)).copied().unwrap_or(NONE);
            while at != NONE {
                let known = self.known[at as usize];
                let distance = apart(at);
                let is_near = distance <= SAME_PLACE_ARCSEC
                    && (distance <= SAME_ENTRY_ARCSEC || !are_two_entries(name, self.names.name(known.name)));
                // Of those equally near the one that came first.
                if is_near && nearest.is_none_or(|(least, first)| (distance, at) < (least, first)) {
                    nearest = Some((distance, at));
                }
                at = known.before;
            }
        }
        if let Some((apart, other)) = nearest {
            return Some((other, Same::Place(apart)));
        }
        let first =
            |name: &str| self.names.number(name).map_or((NONE, NONE), |n| self.first_named[n as usize]);
        let by_name = first(name);
        if by_name.0 != NONE && !name.is_empty() {
            return Some((by_name.0, Same::Name));
        }
        let known: Vec<(u32, u32)> = others.iter().map(|other| first(other)).collect();
        let as_other = known.iter().map(|first| first.1).chain([by_name.1]);
        let crossed = known.iter().map(|first| first.0);
        let mut found = as_other.chain(crossed).filter(|other| *other != NONE);
        found.find(|other| apart(*other) <= SAME_FIELD_ARCSEC).map(|other| (other, Same::OtherName))
    }

    fn remember(&mut self, kind: Kind, place: StarPlace, direction: Vec3, name: &str, others: &[String]) {
        let position = self.known.len() as u32;
        let name = self.named(name);
        let (band, cell) = cell_of(place);
        let before = self.places.insert(cell_key(kind, band, cell), position).unwrap_or(NONE);
        self.known.push(Known { direction, name, before });
        let first = &mut self.first_named[name as usize].0;
        *first = (*first).min(position);
        for other in others.iter().filter(|other| !other.is_empty()) {
            let number = self.named(other);
            let first = &mut self.first_named[number as usize].1;
            *first = (*first).min(position);
        }
    }

    fn named(&mut self, name: &str) -> u32 {
        let (number, is_new) = self.names.insert(name);
        if is_new {
            self.first_named.push((NONE, NONE));
        }
        number
    }
}

/// A cell of a kind as one well mixed number: the finaliser of `SplitMix64` (Steele, Lea and Flood, *Fast splittable pseudorandom
/// number generators*, 2014), which maps no two numbers to one.
fn cell_key(kind: Kind, band: i32, cell: i32) -> u64 {
    // Bands go from -5400 to 5400, cells to 21600.
    let mut key = (kind as u64) << 48 | u64::from((band + 0x4000) as u32) << 32 | u64::from(cell as u32);
    key = (key ^ (key >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    key = (key ^ (key >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    key ^ (key >> 31)
}

/// Whether two names are different numbers of one catalogue, such as `EV 57` and `EV 58`.
fn are_two_entries(one: &str, other: &str) -> bool {
    let entry = |name: &str| {
        let (letters, number) = name.split_once(' ')?;
        number.bytes().all(|byte| byte.is_ascii_digit()).then_some(letters.len())
    };
    let Some(letters) = entry(one).filter(|letters| entry(other) == Some(*letters)) else { return false };
    one.as_bytes()[..letters] == other.as_bytes()[..letters] && one != other
}

/// The band of declination and the cell in it.
fn cell_of(place: StarPlace) -> (i32, i32) {
    let band = (place.declination.arcseconds() / CELL_ARCSEC).floor() as i32;
    (band, cell_in(band, place.right_ascension))
}

fn cell_in(band: i32, right_ascension: Angle) -> i32 {
    (right_ascension.wrapped().radians() / std::f64::consts::TAU * f64::from(cells_in(band))).floor() as i32
}

/// How many cells a band has: those at its narrow side are still wide enough.
fn cells_in(band: i32) -> i32 {
    let edge = |band: i32| Angle::from_arcseconds(f64::from(band) * CELL_ARCSEC).cos();
    let round = 1_296_000.0 * edge(band).min(edge(band + 1)).max(0.0);
    ((round / CELL_ARCSEC) as i32).max(1)
}

/// The cells in which neighbours may stand, each once.
fn cells_round(place: StarPlace) -> Vec<(i32, i32)> {
    let (band, _) = cell_of(place);
    let mut cells = Vec::with_capacity(9);
    for band in band - 1..=band + 1 {
        let (cell, count) = (cell_in(band, place.right_ascension), cells_in(band));
        cells.extend((cell - 1..=cell + 1).map(|cell| (band, cell.rem_euclid(count))));
    }
    cells.sort_unstable();
    cells.dedup();
    cells
}

#[cfg(test)]
mod tests {
    use super::{Same, Twins};
    use crate::catalogue::{Kind, Target};
    use crate::lists::rows::blank_target;
    use crate::place::{Source, StarPlace};
    use crate::units::Angle;

    fn target(name: &str, ra_deg: f64, dec_deg: f64) -> Target {
        let place = StarPlace::fixed(Angle::from_degrees(ra_deg), Angle::from_degrees(dec_deg));
        Target { name: name.into(), source: Source::Star(place), ..blank_target(Kind::Galaxy) }
    }

    #[test]
    fn neighbours_are_found_at_the_pole_and_across_the_turn() {
        let step = 20.0 / 3600.0;
        for (ra, dec, ra_step, dec_step) in [
            (100.0, 20.0, 0.0, step),
            (100.0, 60.0, 2.0 * step, 0.0),
            (359.9999, -5.0, 0.0002, step),
            (10.0, 89.999, 30.0, 0.0),
            (0.0, 90.0, 180.0, -step),
            (0.0, -90.0, 77.0, step),
        ] {
            let mut twins = Twins::default();
            assert_eq!(twins.earlier(&target("one", ra, dec)), None);
            let found = twins.earlier(&target("two", (ra + ra_step) % 360.0, dec + dec_step));
            assert!(matches!(found, Some((0, Same::Place(_)))), "{ra} {dec}: {found:?}");
            assert_eq!(twins.earlier(&target("three", ra, -dec.signum() * 45.0)), None);
        }
    }

    #[test]
    fn two_numbers_of_one_catalogue_are_two_targets() {
        let step = 20.0 / 3600.0;
        for (name, is_twin) in [("EV 58", false), ("EV 57 b", true), ("Lamp", true), ("XE 58", true)] {
            let mut twins = Twins::default();
            assert_eq!(twins.earlier(&target("EV 57", 10.0, 10.0)), None);
            assert_eq!(twins.earlier(&target(name, 10.0, 10.0 + step)).is_some(), is_twin, "{name}");
        }
        let mut twins = Twins::default();
        assert_eq!(twins.earlier(&target("EV 57", 10.0, 10.0)), None);
        assert!(twins.earlier(&target("EV 58", 10.0, 10.0)).is_some(), "one place is one target");
    }

    #[test]
    fn names_are_the_same_in_any_form() {
        let mut twins = Twins::default();
        assert_eq!(twins.earlier(&target("EV 57", 10.0, 10.0)), None);
        assert_eq!(twins.earlier(&target("ev-057", 200.0, 10.0)), Some((0, Same::Name)));
        let other = |ra| Target { other_names: vec!["Ev57".into()], ..target("Lamp", ra, 10.0) };
        assert_eq!(twins.earlier(&other(200.0)), None, "another name may be borrowed far away");
        let near = Target { kind: Kind::Nebula, name: "Torch".into(), ..other(10.02) };
        assert_eq!(twins.earlier(&near), Some((0, Same::OtherName)));
    }
}
