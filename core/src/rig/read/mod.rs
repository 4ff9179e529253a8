//! RON to a rig: strict, every fault with its place; impossible numbers refused.

mod mount;
mod port;
#[cfg(test)]
mod tests;

use std::collections::HashSet;

use super::field::sky_covered;
use super::{Guider, Mount, PairTimes, PortId, Rig, Selector, Telescope};
use crate::reading::{Faults, Fields, read_whole};
use crate::units::{Angle, Fraction, Magnitude};
use mount::{dome, mount};
use port::port;

/// The first line of a rig file says this.
pub const RIG_FORMAT: &str = "evenfall-rig/1";

/// Reads a rig.
///
/// # Errors
/// All faults found.
pub fn read_rig(file: &str, text: &str) -> Result<Rig, Faults> {
    read_whole(file, text, RIG_FORMAT, rig)
}

fn rig(fields: &Fields<'_>) -> Option<Rig> {
    let name = fields.name("name");
    let telescope = fields.group("telescope", |telescope| Some(read_telescope(telescope)));
    let mount = fields.group("mount", mount);
    let on_equatorial = mount.as_ref().is_some_and(Mount::is_equatorial);
    let dome = fields.optional_group("dome", dome);
    let selector = fields.group("selector", |selector| {
        Some(Selector {
            change_s: selector.number("change_s", 0.0..=600.0),
            refocus_s: selector.number("refocus_s", 0.0..=600.0),
            pairs: pairs(selector),
        })
    });
    let guider = fields.optional_group("guider", |fields| Some(guider(fields)));
    let mut ids = HashSet::new();
    let ports = fields.entries("ports", |fields| {
        let id = fields.identifier("id");
        if !ids.insert(id.clone()) && !id.is_empty() {
            fields.fault("id", "another port has this id", "Give each port an id of its own");
        }
        port(fields, PortId(id), on_equatorial)
    });
    if fields.has("ports") && ids.is_empty() {
        fields.fault("ports", "there is no port", "Add at least one port with what hangs on it");
    }
    let known = |id: &PortId| ids.contains(&id.0);
    let pairs = selector.iter().flat_map(|selector| &selector.pairs);
    for id in pairs.flat_map(|pair| [&pair.ports.0, &pair.ports.1]).filter(|id| !known(id)) {
        fields.fault(
            "selector",
            format!("`pairs` names the port \"{id}\", which is not on the rig"),
            "Give the id of a port",
        );
    }
    Some(Rig {
        name,
        telescope: telescope?,
        mount: mount?,
        dome,
        selector: selector?,
        ports: ports.into_iter().map(|(_, port)| port).collect(),
        guider,
    })
}

/// Pairs of ports with times of their own; none where the file has none.
fn pairs(selector: &Fields<'_>) -> Vec<PairTimes> {
    if !selector.has("pairs") {
        return Vec::new();
    }
    let pairs = selector.entries("pairs", |pair| {
        let ports = (PortId(pair.identifier("from")), PortId(pair.identifier("to")));
        if ports.0 == ports.1 {
            pair.fault("to", "a change needs two ports", "Name the other port");
        }
        let change_s = pair.number("change_s", 0.0..=600.0);
        let refocus_s = pair.number("refocus_s", 0.0..=600.0);
        Some(PairTimes { ports, change_s, refocus_s })
    });
    pairs.into_iter().map(|(_, pair)| pair).collect()
}

fn read_telescope(telescope: &Fields<'_>) -> Telescope {
    Telescope {
        aperture_mm: telescope.number("aperture_mm", 20.0..=50_000.0),
        focal_length_mm: telescope.number("focal_length_mm", 50.0..=500_000.0),
        obstruction: fraction(telescope, "central_obstruction"),
        throughput: fraction(telescope, "throughput"),
    }
}

fn fraction(fields: &Fields<'_>, key: &'static str) -> Fraction {
    Fraction::clamped(fields.number(key, 0.0..=1.0))
}

/// A guider by the field it sees, or by its sensor and the focal length before it.
fn guider(guider: &Fields<'_>) -> Guider {
    let by_sensor = guider.has("sensor_mm") || guider.has("focal_length_mm");
    if by_sensor && guider.has("field_arcmin") {
        let remedy = "Keep `field_arcmin`, or `sensor_mm` with `focal_length_mm`";
        guider.fault("field_arcmin", "the field is given twice, once by the sensor", remedy);
    }
    let field = if by_sensor {
        let (width_mm, height_mm) = guider.pair("sensor_mm", 0.5..=500.0);
        let focal_length_mm = guider.number("focal_length_mm", 20.0..=500_000.0);
        let covered = |length_mm| sky_covered(length_mm, focal_length_mm);
        (covered(width_mm), covered(height_mm))
    } else {
        let (width, height) = guider.pair("field_arcmin", 0.1..=1200.0);
        (Angle::from_arcminutes(width), Angle::from_arcminutes(height))
    };
    let limiting_magnitude = Magnitude(guider.number("limiting_magnitude", 8.0..=18.0));
    Guider { field, limiting_magnitude }
}
