//! Names in an evening's wishes that its catalogue or its rig does not know.

use crate::catalogue::{Catalogue, TargetId};
use crate::plan::Evening;
use crate::reading::{Fault, Faults, nearest_remedy};
use crate::rig::Rig;

/// One fault for each target and port of the wishes that nothing bears. Stops are judged by
/// [`check`](fn@crate::plan::check).
pub fn check_names(file: &str, evening: &Evening, rig: &Rig, catalogue: &Catalogue) -> Faults {
    let wishes = &evening.wishes;
    let targets: Vec<&str> = catalogue.targets.iter().map(|target| target.id.0.as_str()).collect();
    let ports: Vec<&str> = rig.ports.iter().map(|port| port.id.0.as_str()).collect();
    let ids = |targets: &[TargetId]| targets.iter().map(|id| id.0.clone()).collect::<Vec<_>>();
    let out: Vec<String> = wishes.ports_out_of_service.iter().map(|id| id.0.clone()).collect();
    [
        unknown(file, "wishes.must_show", &ids(&wishes.must_show), &targets, "target in the catalogue"),
        unknown(file, "wishes.leave_out", &ids(&wishes.leave_out), &targets, "target in the catalogue"),
        unknown(file, "wishes.ports_out_of_service", &out, &ports, "port on the rig"),
    ]
    .concat()
}

fn unknown(file: &str, key: &str, wished: &[String], known: &[&str], what: &str) -> Faults {
    let unknown = wished.iter().filter(|name| !known.contains(&name.as_str()));
    let fault = |name: &String| Fault {
        file: file.to_owned(),
        line: 0,
        column: 0,
        key: key.to_owned(),
        message: format!("there is no {what} with the id \"{name}\""),
        remedy: nearest_remedy(name, known),
    };
    unknown.map(fault).collect()
}
