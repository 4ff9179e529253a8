//! Elements put into a catalogue: what it has already is renewed, what is new becomes a target or a satellite.

use std::collections::HashMap;

use super::ids::Ids;
use super::rows::blank_target;
use crate::catalogue::{Catalogue, Kind, MOST_SATELLITES, Target, folded_name};
use crate::elements::{ElementsRead, SatelliteElements};
use crate::place::Source;

/// What came of bringing elements in.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Renewed {
    /// The catalogue with them.
    pub catalogue: Catalogue,
    /// Names of comets that are new.
    pub new_comets: Vec<String>,
    /// Names of comets whose elements were renewed; everything else about them stays.
    pub renewed_comets: Vec<String>,
    /// Names of satellites that are new.
    pub new_satellites: Vec<String>,
    /// Names of satellites whose elements were renewed.
    pub renewed_satellites: Vec<String>,
    /// Names of comets and satellites whose elements the catalogue has of a later epoch, which stay.
    pub newer_there: Vec<String>,
    /// How many new satellites found no room beside [`MOST_SATELLITES`].
    pub too_many_satellites: usize,
}

/// Puts elements into a catalogue. A comet is known by any of its names, a satellite by its catalogue number, or by its
/// name where it has none. Elements of an earlier epoch never take the place of later ones, within a file either.
pub fn renewed(catalogue: &Catalogue, read: &ElementsRead) -> Renewed {
    let mut renewed = Renewed { catalogue: catalogue.clone(), ..Renewed::default() };
    let mut ids = Ids::beside(catalogue);
    // Of several with one name the first is meant.
    let mut comets: HashMap<String, usize> = HashMap::new();
    for (position, target) in catalogue.targets.iter().enumerate() {
        if target.kind == Kind::Comet {
            for name in [&target.name].into_iter().chain(&target.other_names) {
                comets.entry(folded_name(name)).or_insert(position);
            }
        }
    }
    for comet in &read.comets {
        let name = folded_name(&comet.name);
        let targets = &mut renewed.catalogue.targets;
        let known = *comets.entry(name.clone()).or_insert(targets.len());
        if let Some(target) = targets.get_mut(known) {
            let known = if let Source::Comet(known) = &target.source { known.epoch } else { None };
            if known.zip(comet.elements.epoch).is_some_and(|(known, given)| given < known) {
                renewed.newer_there.push(comet.name.clone());
            } else {
                target.source = Source::Comet(comet.elements);
                renewed.renewed_comets.push(comet.name.clone());
            }
        } else {
            targets.push(Target {
                id: ids.next(&name),
                name: comet.name.clone(),
                source: Source::Comet(comet.elements),
                ..blank_target(Kind::Comet)
            });
            renewed.new_comets.push(comet.name.clone());
        }
    }
    let mut known = KnownSatellites::default();
    for (position, satellite) in catalogue.satellites.iter().enumerate() {
        known.add(satellite, position);
    }
    for satellite in &read.satellites {
        let satellites = &mut renewed.catalogue.satellites;
        let position = known.position(satellite);
        if let Some((position, own)) = position.and_then(|at| Some((at, satellites.get_mut(at)?))) {
            let name = own.name.clone();
            if satellite.epoch < own.epoch {
                renewed.newer_there.push(name);
            } else {
                known.numbered(own, satellite.catalogue_number, position);
                *own = SatelliteElements { name: name.clone(), ..satellite.clone() };
                renewed.renewed_satellites.push(name);
            }
        } else if satellites.len() >= MOST_SATELLITES {
            renewed.too_many_satellites += 1;
        } else {
            known.add(satellite, satellites.len());
            satellites.push(satellite.clone());
            renewed.new_satellites.push(satellite.name.clone());
        }
    }
    renewed
}

/// Where satellites stand, by what they are known by; of several alike the first.
#[derive(Default)]
struct KnownSatellites {
    by_number: HashMap<u64, usize>,
    by_name: HashMap<String, usize>,
    /// Those without a number.
    numberless: HashMap<String, usize>,
}

impl KnownSatellites {
    fn add(&mut self, satellite: &SatelliteElements, position: usize) {
        let name = folded_name(&satellite.name);
        if satellite.catalogue_number > 0 {
            self.by_number.entry(satellite.catalogue_number).or_insert(position);
        } else {
            self.numberless.entry(name.clone()).or_insert(position);
        }
        self.by_name.entry(name).or_insert(position);
    }

    /// A satellite that had no number has one now: no other number is it.
    fn numbered(&mut self, before: &SatelliteElements, number: u64, position: usize) {
        if before.catalogue_number == 0 && number > 0 {
            self.numberless.remove(&folded_name(&before.name));
            self.by_number.entry(number).or_insert(position);
        }
    }

    /// A number is held against numbers, a name against the others where either has no number.
    fn position(&self, satellite: &SatelliteElements) -> Option<usize> {
        let name = folded_name(&satellite.name);
        if satellite.catalogue_number == 0 {
            return self.by_name.get(&name).copied();
        }
        let by_number = self.by_number.get(&satellite.catalogue_number);
        by_number.into_iter().chain(self.numberless.get(&name)).min().copied()
    }
}

#[cfg(test)]
mod tests {
    use chrono::DateTime;

    use super::renewed;
    use crate::catalogue::{Catalogue, MOST_SATELLITES};
    use crate::elements::{ElementsRead, SatelliteElements, read_elements};

    const TABLE: &str = "name,T,q,e,i,node,argument,epoch\n";

    fn put(into: &Catalogue, rows: &[&str]) -> super::Renewed {
        let read = read_elements("comets", format!("{TABLE}{}\n", rows.join("\n")).as_bytes());
        assert_eq!(read.faults, []);
        renewed(into, &read)
    }

    #[test]
    fn satellites_are_known_by_number_or_name_and_have_a_limit() {
        let satellite = |name: &str, catalogue_number: u64| SatelliteElements {
            name: name.to_owned(),
            catalogue_number,
            epoch: DateTime::default(),
            mean_motion_rev_per_day: 15.5,
            eccentricity: 0.001,
            inclination_deg: 51.6,
            ascending_node_deg: 0.0,
            perigee_argument_deg: 0.0,
            mean_anomaly_deg: 0.0,
            bstar: 0.0,
        };
        let read =
            |satellites: Vec<SatelliteElements>| ElementsRead { satellites, ..ElementsRead::default() };
        let there = Catalogue {
            satellites: vec![satellite("Pond Lamp", 0), satellite("Kiln", 7)],
            ..Catalogue::default()
        };
        let given = vec![
            satellite("pond lamp", 9),
            satellite("Oven", 7),
            satellite("Kiln", 8),
            satellite("Kiln", 0),
            satellite("Pond Lamp", 10),
        ];
        let then = renewed(&there, &read(given));
        assert_eq!(then.renewed_satellites, ["Pond Lamp", "Kiln", "Kiln"]);
        assert_eq!(then.new_satellites, ["Kiln", "Pond Lamp"], "another number is another satellite");
        let many = (1..=MOST_SATELLITES as u64 + 3).map(|number| satellite("Lamp", number)).collect();
        let many = renewed(&Catalogue::default(), &read(many));
        assert_eq!((many.catalogue.satellites.len(), many.too_many_satellites), (MOST_SATELLITES, 3));
    }

    #[test]
    fn earlier_elements_do_not_take_the_place_of_later_ones() {
        let early = "Pond Comet,2027-01-20.1,1.1,1,42.8,108.4,352,2026-12-01";
        let late = "Pond Comet,2027-01-20.3,1.1,1,42.8,108.4,352,2027-02-01";
        let first = put(&Catalogue::default(), &[early]);
        let then = put(&first.catalogue, &[late]);
        assert_eq!((then.renewed_comets.len(), then.newer_there.len()), (1, 0));
        let back = put(&then.catalogue, &[early]);
        assert_eq!(back.newer_there, ["Pond Comet"]);
        assert_eq!(back.catalogue, then.catalogue);
        // The order in a file does not matter.
        let both = |rows: &[&str]| put(&Catalogue::default(), rows).catalogue.targets[0].source;
        assert_eq!(both(&[early, late]), both(&[late, early]));
    }
}
