//! The groups `mount` and `dome` of a rig file.

use crate::reading::Fields;
use crate::rig::{AltAzimuth, Axis, Dome, Drive, Equatorial, MeridianFlip, Mount};
use crate::units::Angle;

/// A mount: alt-azimuth by its azimuth and altitude axes, or equatorial by its hour angle and declination axes.
pub(super) fn mount(mount: &Fields<'_>) -> Option<Mount> {
    let lowest = mount.number("lowest_altitude_deg", -5.0..=90.0);
    let highest = mount.number("highest_altitude_deg", -5.0..=90.0);
    if mount.has("lowest_altitude_deg") && mount.has("highest_altitude_deg") && lowest >= highest {
        let message = format!("the highest altitude, {highest}°, is not above the lowest, {lowest}°");
        mount.fault("highest_altitude_deg", message, "Swap or correct the two limits");
    }
    let settle_s = mount.number("settle_s", 0.0..=300.0);
    let given = |keys: [&'static str; 2]| keys.map(|key| mount.has(key)).contains(&true);
    let by_horizon = given(["azimuth_axis", "altitude_axis"]);
    let by_pole = given(["hour_angle_axis", "declination_axis"]);
    if by_horizon && by_pole {
        let message = "the mount has axes of both kinds";
        let remedy = "Keep `azimuth_axis` with `altitude_axis`, or `hour_angle_axis` with `declination_axis`";
        mount.fault("hour_angle_axis", message, remedy);
    }
    let drive = if by_pole {
        equatorial(mount, by_horizon).map(Drive::Equatorial)
    } else {
        alt_azimuth(mount).map(Drive::AltAzimuth)
    };
    Some(Mount {
        lowest_altitude: Angle::from_degrees(lowest),
        highest_altitude: Angle::from_degrees(highest),
        settle_s,
        drive: drive?,
    })
}

fn alt_azimuth(mount: &Fields<'_>) -> Option<AltAzimuth> {
    let (wrap_low, wrap_high) = mount.pair("cable_wrap_deg", -1080.0..=1080.0);
    if mount.has("cable_wrap_deg") && wrap_high - wrap_low < 360.0 {
        let message = format!("from {wrap_low}° to {wrap_high}° is less than a full turn");
        let remedy =
            "Give the lowest and the highest azimuth that the cables allow, such as `(-270.0, 270.0)`";
        mount.fault("cable_wrap_deg", message, remedy);
    }
    for key in ["meridian_flip", "pole_keyhole_radius_deg"] {
        if mount.has(key) {
            let remedy = "Leave it out, or give `hour_angle_axis` and `declination_axis`";
            mount.fault(key, "only an equatorial mount has it", remedy);
        }
    }
    let keyhole_radius = Angle::from_degrees(mount.number("keyhole_radius_deg", 0.0..=20.0));
    let azimuth = mount.group("azimuth_axis", |fields| Some(axis(fields)));
    let altitude = mount.group("altitude_axis", |fields| Some(axis(fields)));
    Some(AltAzimuth {
        keyhole_radius,
        azimuth: azimuth?,
        altitude: altitude?,
        cable_wrap: (Angle::from_degrees(wrap_low), Angle::from_degrees(wrap_high)),
    })
}

/// * `told`: whether a fault already says that the other axes stand there too.
fn equatorial(mount: &Fields<'_>, told: bool) -> Option<Equatorial> {
    for key in ["cable_wrap_deg", "keyhole_radius_deg"] {
        if mount.has(key) && !told {
            let remedy = "Leave it out, or give `azimuth_axis` and `altitude_axis`";
            mount.fault(key, "only an alt-azimuth mount has it", remedy);
        }
    }
    let pole_keyhole_deg = mount.optional_number("pole_keyhole_radius_deg", 0.0..=20.0);
    let hour_angle = mount.group("hour_angle_axis", |fields| Some(axis(fields)));
    let declination = mount.group("declination_axis", |fields| Some(axis(fields)));
    let flip = mount.optional_group("meridian_flip", |flip| {
        let past_meridian_min = flip.number("past_meridian_min", 0.0..=180.0);
        // A minute of the clock is a quarter of a degree of hour angle, to 0.3 %.
        let past_meridian = Angle::from_hours(past_meridian_min / 60.0);
        Some(MeridianFlip { past_meridian, flip_s: flip.number("flip_s", 0.0..=1800.0) })
    });
    Some(Equatorial {
        pole_keyhole_radius: Angle::from_degrees(pole_keyhole_deg.unwrap_or(0.0)),
        hour_angle: hour_angle?,
        declination: declination?,
        flip,
    })
}

pub(super) fn axis(axis: &Fields<'_>) -> Axis {
    Axis {
        rate_deg_per_s: axis.number("rate_deg_per_s", 0.01..=60.0),
        acceleration_deg_per_s2: axis.number("acceleration_deg_per_s2", 0.01..=60.0),
    }
}

pub(super) fn dome(dome: &Fields<'_>) -> Option<Dome> {
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
