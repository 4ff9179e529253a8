//! Rows that mean the same target: by place, and by any form of a name.

use std::collections::HashMap;

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

/// Finds targets that came before, one after the other; only those that are new are remembered.
#[derive(Debug, Default)]
pub(super) struct Twins {
    places: HashMap<(Kind, i32, i32), Vec<usize>>,
    names: HashMap<String, usize>,
    others: HashMap<String, usize>,
    /// Those that were new: where they stand and their names.
    known: Vec<(Vec3, String)>,
}

impl Twins {
    /// How many were new so far.
    pub(super) const fn count(&self) -> usize {
        self.known.len()
    }

    /// The position of the earlier target that this one is, counting those that were new. A new one is remembered.
    pub(super) fn earlier(&mut self, target: &Target) -> Option<(usize, Same)> {
        let Source::Star(place) = target.source else { return None };
        let direction = Vec3::from_spherical(place.right_ascension, place.declination);
        let apart = |other: usize| direction.angle_to(self.known[other].0).arcseconds();
        let cells = cells_round(place);
        let near = cells.iter().filter_map(|(band, cell)| self.places.get(&(target.kind, *band, *cell)));
        let near = near.flatten().map(|other| (apart(*other), *other));
        let name = folded_name(&target.name);
        let within = |other: usize| {
            let two = are_two_entries(&name, &self.known[other].1);
            if two { SAME_ENTRY_ARCSEC } else { SAME_PLACE_ARCSEC }
        };
        let near = near.filter(|(apart, other)| *apart <= within(*other));
        let nearest = near.min_by(|one, other| one.0.total_cmp(&other.0));
        let others: Vec<String> = target.other_names.iter().map(|name| folded_name(name)).collect();
        let by_name = || self.names.get(&name).filter(|_| !name.is_empty()).copied();
        let by_other = || {
            let known = others.iter().chain([&name]).filter_map(|name| self.others.get(name)).copied();
            let crossed = others.iter().filter_map(|name| self.names.get(name)).copied();
            known.chain(crossed).find(|other| apart(*other) <= SAME_FIELD_ARCSEC)
        };
        let found = nearest
            .map(|(apart, other)| (other, Same::Place(apart)))
            .or_else(|| by_name().map(|other| (other, Same::Name)))
            .or_else(|| by_other().map(|other| (other, Same::OtherName)));
        if found.is_none() {
            let position = self.known.len();
            self.known.push((direction, name.clone()));
            let (band, cell) = cell_of(place);
            self.places.entry((target.kind, band, cell)).or_default().push(position);
            self.names.entry(name).or_insert(position);
            for other in others.into_iter().filter(|other| !other.is_empty()) {
                self.others.entry(other).or_insert(position);
            }
        }
        found
    }
}

/// Whether two names are different numbers of one catalogue, such as `EV 57` and `EV 58`.
fn are_two_entries(one: &str, other: &str) -> bool {
    let number = |name: &str| name.bytes().all(|byte| byte.is_ascii_digit());
    let entry = |name: &str| name.split_once(' ').is_some_and(|(_, rest)| number(rest));
    let letters = |name: &str| name.split_once(' ').map(|(letters, _)| letters.to_owned());
    entry(one) && entry(other) && letters(one) == letters(other) && one != other
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
