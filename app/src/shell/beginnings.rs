//! Sites, rigs and targets to begin with: invented files within the binary, the demo's among them.

use super::assets::DEMO_PARTS;
use crate::state::Part;

/// A file to begin with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Beginning {
    /// A site or a rig.
    pub part: Part,
    /// What it is called where it is chosen.
    pub words: &'static str,
    /// Its text.
    pub text: &'static str,
}

const fn beginning(part: Part, words: &'static str, text: &'static str) -> Beginning {
    Beginning { part, words, text }
}

/// All of them.
static BEGINNINGS: [Beginning; 7] = [
    beginning(Part::Site, "Open field", include_str!("../../../assets/beginnings/open-field.site.ron")),
    beginning(
        Part::Site,
        "Trees to the south",
        include_str!("../../../assets/beginnings/trees-to-the-south.site.ron"),
    ),
    beginning(Part::Site, "Roof-off shed", include_str!("../../../assets/beginnings/roof-off-shed.site.ron")),
    beginning(Part::Site, "The demo's hillside with a dome", DEMO_PARTS[0].text),
    beginning(
        Part::Rig,
        "Park telescope, one eyepiece and one camera",
        include_str!("../../../assets/beginnings/park-telescope.rig.ron"),
    ),
    beginning(
        Part::Rig,
        "Reflector with two Nasmyth ports",
        include_str!("../../../assets/beginnings/two-port.rig.ron"),
    ),
    beginning(Part::Rig, "The demo's reflector with four Nasmyth ports", DEMO_PARTS[1].text),
];

/// A target of every kind.
pub static BEGINNING_TARGETS: &str = include_str!("../../../assets/beginnings/targets.catalogue.ron");

/// Those of a part.
pub fn beginnings(part: Part) -> impl Iterator<Item = &'static Beginning> {
    BEGINNINGS.iter().filter(move |beginning| beginning.part == part)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use evenfall_core::catalogue::{Kind, read_catalogue};
    use evenfall_core::rig::{Port, read_rig};
    use evenfall_core::site::read_site;
    use evenfall_core::units::Angle;

    use super::{BEGINNING_TARGETS, beginnings};
    use crate::state::{Part, TARGET_KINDS};

    #[test]
    fn every_site_to_begin_with_is_sound_and_has_a_horizon_of_its_own() {
        let mut highest = Vec::new();
        for site in beginnings(Part::Site) {
            let read = read_site(site.words, site.text).unwrap();
            highest.push(read.horizon.corners().len());
            let south = read.horizon.altitude(Angle::from_degrees(180.0)).degrees();
            assert_eq!(south > 25.0, site.words == "Trees to the south", "{}: {south}", site.words);
        }
        assert_eq!(highest.len(), 4);
        assert!(highest.iter().all(|corners| *corners >= 8));
    }

    #[test]
    fn every_rig_to_begin_with_is_sound_and_an_eyepiece_hangs_on_it() {
        let ports: Vec<usize> = beginnings(Part::Rig)
            .map(|rig| {
                let read = read_rig(rig.words, rig.text).unwrap();
                assert!(read.ports.iter().any(Port::is_eyepiece), "{}", rig.words);
                read.ports.len()
            })
            .collect();
        assert_eq!(ports, [2, 2, 4]);
    }

    #[test]
    fn there_is_one_target_to_begin_with_of_every_kind_that_can_be_chosen() {
        let (catalogue, left_out) = read_catalogue("targets", BEGINNING_TARGETS);
        assert!(left_out.is_empty(), "{left_out:?}");
        let kinds: BTreeSet<Kind> = catalogue.targets.iter().map(|target| target.kind).collect();
        assert_eq!(kinds, BTreeSet::from(TARGET_KINDS));
        assert_eq!(catalogue.targets.len(), TARGET_KINDS.len());
    }
}
