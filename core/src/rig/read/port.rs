//! The entries of `ports` in a rig file, and what hangs on each.

use std::ops::RangeInclusive;

use super::fraction;
use super::mount::axis;
use crate::reading::Fields;
use crate::rig::field::{USUAL_BARREL_MM, widest_field_stop_mm};
use crate::rig::{Access, Camera, EyeHeight, Eyepiece, Instrument, Port, PortId, Side, Spectrograph};
use crate::units::{Angle, Magnitude};

pub(super) fn port(port: &Fields<'_>, id: PortId, on_equatorial: bool) -> Option<Port> {
    let name = port.name("name");
    let side = port.word("side");
    let derotator = port.read_required("derotator", "true or false");
    let rotator = port.optional_group("rotator_axis", |fields| Some(axis(fields)));
    if rotator.is_some() && derotator == Some(false) {
        port.fault("rotator_axis", "the port has no rotator", "Leave it out, or say `derotator: true`");
    }
    let instrument = instrument(port);
    let access = access(port, side);
    let focus_offset_steps = focus_offset(port);
    Some(Port {
        id,
        name,
        side: side?,
        derotator: derotator?,
        rotator,
        on_equatorial,
        access,
        focus_offset_steps,
        instrument: instrument?,
    })
}

/// Where the focuser stands for a port, in whole steps.
fn focus_offset(port: &Fields<'_>) -> Option<i32> {
    let steps = port.optional_number("focus_offset_steps", -1_000_000.0..=1_000_000.0)?;
    if steps.fract() != 0.0 {
        port.fault(
            "focus_offset_steps",
            format!("{steps} is no whole number of steps"),
            "Give -40, 0, 120 ...",
        );
    }
    Some(steps as i32)
}

/// How the eyepiece of a port is reached; `None` where the file does not say how high it stands.
fn access(port: &Fields<'_>, side: Option<Side>) -> Option<Access> {
    /// Heights and lengths that a visitor's telescope can have, in millimetres.
    const LENGTHS_MM: RangeInclusive<f64> = 0.0..=10_000.0;
    let constant_mm = port.optional_number("eye_height_mm", LENGTHS_MM);
    let axis_height_mm = port.optional_number("axis_height_mm", LENGTHS_MM);
    let axis_to_eyepiece_mm = port.optional_number("axis_to_eyepiece_mm", LENGTHS_MM);
    let step_mm = port.optional_number("step_mm", 1.0..=10_000.0);
    let keys = ["eye_height_mm", "axis_height_mm", "axis_to_eyepiece_mm", "step_mm"];
    let given = keys.into_iter().find(|key| port.has(key))?;
    if !port.has("eyepieces") {
        port.fault(given, "only a port with eyepieces has it", "Leave it out");
        return None;
    }
    let remedy =
        "Give `eye_height_mm` for a Nasmyth port, `axis_height_mm` and `axis_to_eyepiece_mm` for Cassegrain";
    let height = match (side?, constant_mm, axis_height_mm, axis_to_eyepiece_mm) {
        (Side::NasmythLeft | Side::NasmythRight, Some(height_mm), None, None) => {
            EyeHeight::Constant(height_mm)
        }
        (Side::Cassegrain, None, Some(axis_height_mm), Some(axis_to_eyepiece_mm)) => {
            EyeHeight::BehindMirror { axis_height_mm, axis_to_eyepiece_mm }
        }
        _ => {
            port.fault(given, "this does not tell how high the eyepiece of this side stands", remedy);
            return None;
        }
    };
    Some(Access { height, step_mm })
}

fn instrument(port: &Fields<'_>) -> Option<Instrument> {
    let given = port.given(&["camera", "eyepieces", "spectrograph"]);
    let [instrument] = given[..] else {
        let message = "a port needs exactly one of `camera`, `eyepieces` and `spectrograph`";
        port.fault(given.get(1).unwrap_or(&"id"), message, "Keep what hangs on this port");
        return None;
    };
    if instrument == "camera" {
        port.group("camera", camera).map(Instrument::Camera)
    } else if instrument == "eyepieces" {
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
    let binning = binning(camera);
    let turned_deg = camera.optional_number("turned_deg", -180.0..=180.0).unwrap_or(0.0);
    // b pixels a side read out one by one and added: the pitch grows with b, the charge with b^2, and b^2 noises add
    // up to b of them.
    let side = f64::from(binning);
    Some(Camera {
        purpose: purpose?,
        sensor_mm,
        pixel_um: pixel_um * side,
        binning,
        focal_factor,
        colour: colour?,
        quantum_efficiency,
        read_noise_e: read_noise_e * side,
        full_well_e: full_well_e * side * side,
        turned: Angle::from_degrees(turned_deg),
    })
}

/// Pixels a side that are read out as one, 1 where the file says nothing.
fn binning(camera: &Fields<'_>) -> u32 {
    let binning = camera.optional_number("binning", 1.0..=8.0).unwrap_or(1.0);
    if binning.fract() != 0.0 {
        camera.fault("binning", format!("{binning} is no whole number of pixels"), "Give 1, 2, 3 ...");
    }
    binning as u32
}

fn eyepiece(eyepiece: &Fields<'_>) -> Eyepiece {
    let field_stop_mm = eyepiece.optional_number("field_stop_mm", 0.5..=200.0);
    let barrel_mm = eyepiece.optional_number("barrel_mm", 20.0..=210.0).unwrap_or(USUAL_BARREL_MM);
    let widest_mm = widest_field_stop_mm(barrel_mm);
    if let Some(stop_mm) = field_stop_mm.filter(|stop_mm| *stop_mm > widest_mm) {
        eyepiece.fault(
            "field_stop_mm",
            format!("a field stop of {stop_mm} mm does not fit a barrel of {barrel_mm} mm, which leaves {widest_mm:.1} mm"),
            "Correct it, or give the barrel's outer diameter as `barrel_mm`, in millimetres",
        );
    }
    Eyepiece {
        name: eyepiece.name("name"),
        focal_length_mm: eyepiece.number("focal_length_mm", 1.0..=200.0),
        apparent_field: Angle::from_degrees(eyepiece.number("apparent_field_deg", 10.0..=130.0)),
        field_stop_mm,
        barrel_mm,
        eye_relief_mm: eyepiece.optional_number("eye_relief_mm", 0.5..=100.0),
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
