//! Elements put into a catalogue: what it has already is renewed, what is new becomes a target or a satellite.

use super::ids::Ids;
use super::rows::blank_target;
use crate::catalogue::{Catalogue, Kind, Target, folded_name};
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
}

/// Puts elements into a catalogue. A comet is known by any of its names, a satellite by its catalogue number, or by its
/// name where it has none. Elements of an earlier epoch never take the place of later ones, within a file either.
pub fn renewed(catalogue: &Catalogue, read: &ElementsRead) -> Renewed {
    let mut renewed = Renewed { catalogue: catalogue.clone(), ..Renewed::default() };
    let mut ids = Ids::default();
    for target in &catalogue.targets {
        ids.take(&target.id);
    }
    for comet in &read.comets {
        let name = folded_name(&comet.name);
        let is_same = |target: &Target| {
            let mut names = [&target.name].into_iter().chain(&target.other_names);
            target.kind == Kind::Comet && names.any(|own| folded_name(own) == name)
        };
        let targets = &mut renewed.catalogue.targets;
        if let Some(target) = targets.iter_mut().find(|target| is_same(target)) {
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
    for satellite in &read.satellites {
        let satellites = &mut renewed.catalogue.satellites;
        if let Some(own) = satellites.iter_mut().find(|own| is_same_satellite(own, satellite)) {
            let name = own.name.clone();
            if satellite.epoch < own.epoch {
                renewed.newer_there.push(name);
            } else {
                *own = SatelliteElements { name: name.clone(), ..satellite.clone() };
                renewed.renewed_satellites.push(name);
            }
        } else {
            satellites.push(satellite.clone());
            renewed.new_satellites.push(satellite.name.clone());
        }
    }
    renewed
}

fn is_same_satellite(own: &SatelliteElements, other: &SatelliteElements) -> bool {
    if own.catalogue_number > 0 && other.catalogue_number > 0 {
        own.catalogue_number == other.catalogue_number
    } else {
        folded_name(&own.name) == folded_name(&other.name)
    }
}

#[cfg(test)]
mod tests {
    use super::renewed;
    use crate::catalogue::Catalogue;
    use crate::elements::read_elements;

    const TABLE: &str = "name,T,q,e,i,node,argument,epoch\n";

    fn put(into: &Catalogue, rows: &[&str]) -> super::Renewed {
        let read = read_elements("comets", format!("{TABLE}{}\n", rows.join("\n")).as_bytes());
        assert_eq!(read.faults, []);
        renewed(into, &read)
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
