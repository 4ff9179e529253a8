//! Names in an evening's wishes that its catalogue or its rig does not know.

use super::read::{EVENING_FORMAT, evening};
use crate::catalogue::Catalogue;
use crate::reading::{Faults, Fields, nearest_remedy, read_parts};
use crate::rig::Rig;

/// One fault for each target and port of the wishes that nothing bears, at its place in the text of the evening; none
/// where the text can't be read. Stops are judged by [`check`](fn@crate::plan::check).
pub fn check_names(file: &str, text: &str, rig: &Rig, catalogue: &Catalogue) -> Faults {
    let targets: Vec<&str> = catalogue.targets.iter().map(|target| target.id.0.as_str()).collect();
    let ports: Vec<&str> = rig.ports.iter().map(|port| port.id.0.as_str()).collect();
    let (_, faults) = read_parts(file, text, EVENING_FORMAT, |fields| {
        // The whole of it, so that no key counts as one that nobody asked for.
        evening(fields)?;
        fields.optional_group("wishes", |wishes| {
            unknown(wishes, "must_show", &targets, "target in the catalogue");
            unknown(wishes, "leave_out", &targets, "target in the catalogue");
            unknown(wishes, "ports_out_of_service", &ports, "port on the rig");
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
    use super::check_names;
    use crate::catalogue::read_catalogue;
    use crate::rig::read_rig;

    #[test]
    fn unknown_names_are_told_at_their_places() {
        let demo = include_str!("../../../catalog-demo/heron-fell.evening.ron");
        let rig = read_rig("r", include_str!("../../../catalog-demo/heron-fell.rig.ron")).unwrap();
        let (catalogue, _) =
            read_catalogue("c", include_str!("../../../catalog-demo/heron-fell.catalogue.ron"));
        assert_eq!(check_names("e", demo, &rig, &catalogue), []);
        let text = demo.replacen("must_show: []", "must_show: [\"jupiter\",\n  \"jupitre\"]", 1).replacen(
            "ports_out_of_service: []",
            "ports_out_of_service: [\"cellar\"]",
            1,
        );
        let line = |word| text.lines().position(|line| line.contains(word)).unwrap() + 1;
        let faults = check_names("e", &text, &rig, &catalogue);
        let places: Vec<_> = faults.iter().map(|fault| (fault.line, fault.column, &*fault.key)).collect();
        let wanted = [
            (line("\"jupitre\""), 3, "wishes.must_show[1]"),
            (line("\"cellar\""), 28, "wishes.ports_out_of_service[0]"),
        ];
        assert_eq!(places, wanted);
        assert!(faults[0].remedy.contains("`jupiter`"), "{}", faults[0]);
    }
}
