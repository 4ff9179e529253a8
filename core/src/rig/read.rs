//! RON to a rig: strict, every fault with its place; impossible numbers refused.

use std::collections::HashSet;

use super::{
    Axis, Camera, Dome, Eyepiece, Instrument, Mount, PairTimes, Port, PortId, Rig, Selector, Spectrograph,
    Telescope,
};
use crate::reading::{Faults, Fields, read_whole};
use crate::units::{Angle, Fraction, Magnitude};

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
    let dome = fields.optional_group("dome", dome);
    let selector = fields.group("selector", |selector| {
        Some(Selector {
            change_s: selector.number("change_s", 0.0..=600.0),
            refocus_s: selector.number("refocus_s", 0.0..=600.0),
            pairs: pairs(selector),
        })
    });
    let mut ids = HashSet::new();
    let ports = fields.entries("ports", |fields| {
        let id = fields.identifier("id");
        if !ids.insert(id.clone()) {
            fields.fault("id", "another port has this id", "Give each port an id of its own");
        }
        port(fields, PortId(id))
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

fn mount(mount: &Fields<'_>) -> Option<Mount> {
    let lowest = mount.number("lowest_altitude_deg", -5.0..=90.0);
    let highest = mount.number("highest_altitude_deg", -5.0..=90.0);
    if mount.has("lowest_altitude_deg") && mount.has("highest_altitude_deg") && lowest >= highest {
        let message = format!("the highest altitude, {highest}°, is not above the lowest, {lowest}°");
        mount.fault("highest_altitude_deg", message, "Swap or correct the two limits");
    }
    let (wrap_low, wrap_high) = mount.pair("cable_wrap_deg", -1080.0..=1080.0);
    if mount.has("cable_wrap_deg") && wrap_high - wrap_low < 360.0 {
        let message = format!("from {wrap_low}° to {wrap_high}° is less than a full turn");
        let remedy =
            "Give the lowest and the highest azimuth that the cables allow, such as `(-270.0, 270.0)`";
        mount.fault("cable_wrap_deg", message, remedy);
    }
    let keyhole_radius = Angle::from_degrees(mount.number("keyhole_radius_deg", 0.0..=20.0));
    let azimuth = mount.group("azimuth_axis", |fields| Some(axis(fields)));
    let altitude = mount.group("altitude_axis", |fields| Some(axis(fields)));
    let settle_s = mount.number("settle_s", 0.0..=300.0);
    Some(Mount {
        lowest_altitude: Angle::from_degrees(lowest),
        highest_altitude: Angle::from_degrees(highest),
        keyhole_radius,
        azimuth: azimuth?,
        altitude: altitude?,
        cable_wrap: (Angle::from_degrees(wrap_low), Angle::from_degrees(wrap_high)),
        settle_s,
    })
}

fn axis(axis: &Fields<'_>) -> Axis {
    Axis {
        rate_deg_per_s: axis.number("rate_deg_per_s", 0.01..=60.0),
        acceleration_deg_per_s2: axis.number("acceleration_deg_per_s2", 0.01..=60.0),
    }
}

fn dome(dome: &Fields<'_>) -> Option<Dome> {
    let radius_m = dome.number("radius_m", 0.5..=50.0);
    let slit_width_m = dome.number("slit_width_m", 0.1..=50.0);
    if slit_width_m > 2.0 * radius_m {
        dome.fault(
            "slit_width_m",
            "the slit is wider than the dome",
            "Give the width of the opening, in metres",
        );
    }
    let offset = |key| dome.optional_number(key, -20.0..=20.0).unwrap_or(0.0);
    let offset_m = [offset("offset_east_m"), offset("offset_north_m"), offset("offset_up_m")];
    if offset_m.iter().map(|part| part * part).sum::<f64>().sqrt() >= radius_m {
        let remedy = "Give where the axes cross, from the dome's centre, in metres";
        dome.fault("offset_east_m", "the mount's axes would cross outside the dome", remedy);
    }
    let rotation = dome.group("rotation", |fields| Some(axis(fields)));
    Some(Dome { radius_m, slit_width_m, offset_m, rotation: rotation? })
}

fn port(port: &Fields<'_>, id: PortId) -> Option<Port> {
    let name = port.name("name");
    let side = port.word("side");
    let derotator = port.read_required("derotator", "true or false");
    let instrument = instrument(port);
    Some(Port { id, name, side: side?, derotator: derotator?, instrument: instrument? })
}

fn instrument(port: &Fields<'_>) -> Option<Instrument> {
    let given = ["camera", "eyepieces", "spectrograph"].map(|key| port.has(key));
    if given.iter().filter(|given| **given).count() != 1 {
        let message = "a port needs exactly one of `camera`, `eyepieces` and `spectrograph`";
        port.fault("id", message, "Keep what hangs on this port");
        return None;
    }
    if given[0] {
        port.group("camera", camera).map(Instrument::Camera)
    } else if given[1] {
        let before = port.fault_count();
        let mut eyepieces: Vec<Eyepiece> = port
            .entries("eyepieces", |entry| Some(eyepiece(entry)))
            .into_iter()
            .map(|(_, one)| one)
            .collect();
        eyepieces.sort_by(|one, other| other.focal_length_mm.total_cmp(&one.focal_length_mm));
        if eyepieces.is_empty() && port.fault_count() == before {
            port.fault("eyepieces", "there is no eyepiece", "Add at least one");
        }
        Some(Instrument::Eyepieces(eyepieces))
    } else {
        port.group("spectrograph", |fields| Some(spectrograph(fields))).map(Instrument::Spectrograph)
    }
}

fn camera(camera: &Fields<'_>) -> Option<Camera> {
    let purpose = camera.word("purpose");
    let sensor_mm = camera.pair("sensor_mm", 0.5..=500.0);
    let pixel_um = camera.number("pixel_um", 0.5..=50.0);
    let focal_factor = camera.number("focal_factor", 0.1..=10.0);
    let colour = camera.word("colour");
    let quantum_efficiency = fraction(camera, "quantum_efficiency");
    let read_noise_e = camera.number("read_noise_e", 0.0..=100.0);
    let full_well_e = camera.number("full_well_e", 100.0..=10_000_000.0);
    Some(Camera {
        purpose: purpose?,
        sensor_mm,
        pixel_um,
        focal_factor,
        colour: colour?,
        quantum_efficiency,
        read_noise_e,
        full_well_e,
    })
}

fn eyepiece(eyepiece: &Fields<'_>) -> Eyepiece {
    Eyepiece {
        name: eyepiece.name("name"),
        focal_length_mm: eyepiece.number("focal_length_mm", 1.0..=200.0),
        apparent_field: Angle::from_degrees(eyepiece.number("apparent_field_deg", 10.0..=130.0)),
        field_stop_mm: eyepiece.optional_number("field_stop_mm", 0.5..=200.0),
    }
}

fn spectrograph(spectrograph: &Fields<'_>) -> Spectrograph {
    Spectrograph {
        slit_um: spectrograph.number("slit_um", 1.0..=5000.0),
        slit_length_um: spectrograph.number("slit_length_um", 10.0..=100_000.0),
        resolving_power: spectrograph.number("resolving_power", 10.0..=500_000.0),
        limiting_magnitude: Magnitude(spectrograph.number("limiting_magnitude", -2.0..=20.0)),
    }
}

#[cfg(test)]
mod tests {
    use super::read_rig;
    use crate::rig::PortId;

    const DEMO: &str = include_str!("../../../catalog-demo/heron-fell.rig.ron");

    fn fault(from: &str, to: &str) -> String {
        assert!(DEMO.contains(from), "{from}");
        let faults = read_rig("r", &DEMO.replacen(from, to, 1)).unwrap_err();
        faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    }

    #[test]
    fn the_demo_reads_without_a_fault() {
        let rig = read_rig("heron-fell.rig.ron", DEMO).unwrap();
        assert_eq!(rig.ports.len(), 4);
        assert!((rig.telescope.focal_length_mm / rig.telescope.aperture_mm - 7.0).abs() < 1e-12);
    }

    #[test]
    fn impossible_numbers_are_refused() {
        assert!(
            fault("lowest_altitude_deg: 15.0", "lowest_altitude_deg: 89.0")
                .contains("is not above the lowest")
        );
        assert!(fault("(-270.0, 270.0)", "(-90.0, 90.0)").contains("less than a full turn"));
        assert!(fault("id: \"planetary\"", "id: \"wide\"").contains("another port has this id"));
        assert!(
            fault("pixel_um: 6.0", "pixel_um: 0.0").contains("ports[0].camera.pixel_um: 0 is out of range")
        );
        assert!(fault("side: NasmythLeft", "side: NasmithLeft").contains("Did you mean `NasmythLeft`?"));
        assert!(fault("spectrograph: (", "spectograph: (").contains("exactly one of"));
        let pair = |to: &str| {
            format!(
                "refocus_s: 20.0, pairs: [(from: \"wide\", to: \"{to}\", change_s: 40.0, refocus_s: 5.0)]"
            )
        };
        assert!(fault("refocus_s: 20.0", &pair("cellar")).contains("\"cellar\", which is not on the rig"));
        assert!(fault("refocus_s: 20.0", &pair("wide")).contains("two ports"));
    }

    #[test]
    fn a_pair_of_ports_has_its_own_times_either_way() {
        let pairs =
            "refocus_s: 20.0, pairs: [(from: \"wide\", to: \"eyepiece\", change_s: 40.0, refocus_s: 5.0)]";
        let rig = read_rig("rig", &DEMO.replace("refocus_s: 20.0", pairs)).unwrap();
        let times =
            |from: &str, to: &str| rig.selector.times_s(Some(&PortId(from.into())), &PortId(to.into()));
        assert_eq!([times("wide", "eyepiece"), times("eyepiece", "wide")], [(40.0, 5.0); 2]);
        assert_eq!(times("wide", "planetary"), (25.0, 20.0));
        assert_eq!(times("wide", "wide"), (0.0, 0.0));
        assert_eq!(rig.selector.times_s(None, &PortId("wide".into())), (25.0, 20.0));
    }
}
