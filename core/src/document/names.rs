//! What an evening names: the files it stands on; in its wishes what its catalogue or its rig does not know; at its times
//! another zone than its site's.

use chrono_tz::Tz;

use super::read::{EVENING_FORMAT, evening};
use super::zoned::note_zones;
use crate::catalogue::Catalogue;
use crate::reading::{Faults, Fields, nearest_remedy, read_parts};
use crate::rig::Rig;

/// The longest file name, in characters.
pub(super) const LONGEST_FILE_NAME: usize = 1000;

/// The files that an evening names, as it writes them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NamedFiles {
    /// Where.
    pub site: Option<String>,
    /// With what.
    pub rig: Option<String>,
    /// What could be shown.
    pub catalogue: Option<String>,
}

/// The files that the text of an evening names, as far as it can be read, however faulty the rest of it is. Its own
/// faults are told by [`read_evening`](super::read_evening).
pub fn named_files(file: &str, text: &str) -> NamedFiles {
    let (named, _) = read_parts(file, text, EVENING_FORMAT, |fields| {
        let name = |key| fields.optional_text(key, LONGEST_FILE_NAME).filter(|name| !name.is_empty());
        Some(NamedFiles { site: name("site"), rig: name("rig"), catalogue: name("catalogue") })
    });
    named.unwrap_or_default()
}

/// One fault for each target and port of the wishes that nothing bears, at its place in the text of the evening, and one
/// for times on the clock of another zone than `zone`, the site's, and one for times whose offset is not that of the zone they
/// name; none where the text can't be read. What stops show is
/// judged by [`check`](fn@crate::plan::check).
pub fn check_names(file: &str, text: &str, zone: Tz, rig: &Rig, catalogue: &Catalogue) -> Faults {
    let targets: Vec<&str> = catalogue.targets.iter().map(|target| target.id.0.as_str()).collect();
    let ports: Vec<&str> = rig.ports.iter().map(|port| port.id.0.as_str()).collect();
    let (_, faults) = read_parts(file, text, EVENING_FORMAT, |fields| {
        // The whole of it, so that no key counts as one that nobody asked for.
        evening(fields)?;
        note_zones(fields, zone);
        fields.optional_group("wishes", |wishes| {
            // It names nothing, but is a key like the others.
            wishes.has("closed_sky");
            wishes.has("most_port_changes");
            unknown(wishes, "must_show", &targets, "target in the catalogue");
            unknown(wishes, "leave_out", &targets, "target in the catalogue");
            unknown(wishes, "ports_out_of_service", &ports, "port on the rig");
            if wishes.has("least_stops") {
                wishes.entries("least_stops", |entry| {
                    entry.has("stops");
                    let name = entry.identifier("port");
                    if !ports.contains(&name.as_str()) {
                        let message = format!("there is no port on the rig with the id \"{name}\"");
                        entry.fault("port", message, nearest_remedy(&name, &ports));
                    }
                    Some(())
                });
            }
            Some(())
        })
    });
    faults
}

fn unknown(wishes: &Fields<'_>, key: &'static str, known: &[&str], what: &str) {
    for (index, name) in wishes.identifiers(key).iter().enumerate() {
        if !known.contains(&name.as_str()) {
            let message = format!("there is no {what} with the id \"{name}\"");
            wishes.item_fault(key, index, message, nearest_remedy(name, known));
        }
    }
}

#[cfg(test)]
mod tests {
    use chrono_tz::Europe::{London, Paris};

    use super::{NamedFiles, check_names, named_files};
    use crate::catalogue::read_catalogue;
    use crate::rig::read_rig;

    #[test]
    fn a_faulty_evening_still_names_its_files() {
        let demo = include_str!("../../../catalog-demo/heron-fell.evening.ron");
        let text = demo.replacen("visitors: 60", "visitor: true", 1).replacen("rig: \"", "rig: 7, // \"", 1);
        let named = NamedFiles {
            site: Some("heron-fell.site.ron".into()),
            rig: None,
            catalogue: Some("heron-fell.catalogue.ron".into()),
        };
        assert_eq!(named_files("e", &text), named);
        assert_eq!(named_files("e", &demo.replacen("house: (", "house: [", 1)), NamedFiles::default());
    }

    #[test]
    fn unknown_names_are_told_at_their_places() {
        let demo = include_str!("../../../catalog-demo/heron-fell.evening.ron");
        let rig = read_rig("r", include_str!("../../../catalog-demo/heron-fell.rig.ron")).unwrap();
        let (catalogue, _) =
            read_catalogue("c", include_str!("../../../catalog-demo/heron-fell.catalogue.ron"));
        assert_eq!(check_names("e", demo, London, &rig, &catalogue), []);
        let text = demo.replacen("must_show: []", "must_show: [\"jupiter\",\n  \"jupitre\"]", 1).replacen(
            "ports_out_of_service: []",
            "ports_out_of_service: [\"cellar\"]",
            1,
        );
        let line = |word| text.lines().position(|line| line.contains(word)).unwrap() + 1;
        let faults = check_names("e", &text, London, &rig, &catalogue);
        let places: Vec<_> = faults.iter().map(|fault| (fault.line, fault.column, &*fault.key)).collect();
        let wanted = [
            (line("\"jupitre\""), 3, "wishes.must_show[1]"),
            (line("\"cellar\""), 28, "wishes.ports_out_of_service[0]"),
        ];
        assert_eq!(places, wanted);
        assert!(faults[0].remedy.contains("`jupiter`"), "{}", faults[0]);
    }

    #[test]
    fn times_of_another_zone_are_told_once_at_the_first_of_them() {
        let demo = include_str!("../../../catalog-demo/heron-fell.evening.ron");
        let rig = read_rig("r", include_str!("../../../catalog-demo/heron-fell.rig.ron")).unwrap();
        let (catalogue, _) =
            read_catalogue("c", include_str!("../../../catalog-demo/heron-fell.catalogue.ron"));
        let stops = |zone: &str| {
            let stop = |id, from, to| {
                format!(
                    "(id: {id}, start: \"2027-03-13T{from}:00+00:00{zone}\", end: \"2027-03-13T{to}:00+00:00{zone}\", \
                     entry: Talk, title: \"T\"),\n"
                )
            };
            let order = format!("order: [\n{}{}]", stop(1, "19:00", "19:10"), stop(2, "20:00", "20:10"));
            demo.replacen("order: []", &format!("{order}, versions: [(name: \"Other\", {order})]"), 1)
        };
        // Another name of the same clock is sound as well.
        for sound in ["", "[Europe/London]", "[!Europe/London]", "[Africa/Abidjan]"] {
            assert_eq!(check_names("e", &stops(sound), London, &rig, &catalogue), [], "{sound}");
        }
        let text = stops("[Europe/Paris]");
        let faults = check_names("e", &text, London, &rig, &catalogue);
        let line = text.lines().position(|line| line.contains("(id: 1,")).unwrap() + 1;
        // The zone and its offset, each once.
        assert_eq!((faults.len(), faults[0].line, &*faults[0].key), (2, line, "order[0].start"));
        assert!(
            faults[0].message.ends_with("is on the clock of Europe/Paris, and the site's is Europe/London"),
            "{}",
            faults[0]
        );
        let faults = check_names("e", &stops("[Europe/Paris]"), Paris, &rig, &catalogue);
        assert_eq!((faults.len(), &*faults[0].key), (1, "order[0].start"));
        assert!(faults[0].remedy.contains("Write +01:00"), "{}", faults[0]);
    }
}
