//! How a field stands on the sky: the direction that is up in it.

use evenfall_core::assign::PortChoice;
use evenfall_core::catalogue::Target;
use evenfall_core::plan::Sample;
use evenfall_core::rig::{FieldShape, Port, Side};
use evenfall_core::units::Angle;

/// The position angle, north through east, of what is up in a port's field.
///
/// Behind a rotator a target's long axis is laid along the long side of the sensor, and north is up for a target without
/// one. Without a rotator the field stands as the mount turns it.
pub(super) fn up_in_field(port: &Port, choice: &PortChoice, target: &Target, sample: &Sample) -> Angle {
    if !port.derotator {
        return turned(port.side, sample.parallactic_angle, sample.altitude);
    }
    let Some(along) = target.position_angle else { return Angle::ZERO };
    match choice.field.shape {
        FieldShape::Rectangle(width, height) if width >= height => along - Angle::from_degrees(90.0),
        _ => along,
    }
}

/// The position angle of up where the mount turns the field: the parallactic angle behind the mirror, more by the altitude
/// on the right Nasmyth side, less by it on the left.
///
/// Source: UCO/Lick, position angle note for the DEIMOS spectrograph; as for the rate of turning in the rig.
fn turned(side: Side, parallactic_angle: Angle, altitude: Angle) -> Angle {
    match side {
        Side::Cassegrain => parallactic_angle,
        Side::NasmythRight => parallactic_angle + altitude,
        Side::NasmythLeft => parallactic_angle - altitude,
    }
}

/// How far a field turns from one sample to another; nothing behind a rotator.
pub(super) fn turns_by(port: &Port, from: &Sample, to: &Sample) -> Angle {
    if port.derotator {
        return Angle::ZERO;
    }
    let up = |sample: &Sample| turned(port.side, sample.parallactic_angle, sample.altitude);
    (up(to) - up(from)).wrapped_signed()
}

#[cfg(test)]
mod tests {
    use evenfall_core::place::Turning;
    use evenfall_core::rig::{Side, field_rotation_arcsec_per_s};
    use evenfall_core::units::Angle;

    use super::turned;

    #[test]
    fn a_field_turns_as_fast_as_the_rig_says() {
        // The rates of the rig are checked against published ones there: this is their integral, by central differences.
        let latitude = Angle::from_degrees(54.7);
        let declination = Angle::from_degrees(20.0);
        let at = |seconds: f64| {
            let hour_angle = Angle::from_degrees(30.0) + Angle::from_arcseconds(15.041_067 * seconds);
            Turning::at(hour_angle, declination, latitude)
        };
        for side in [Side::Cassegrain, Side::NasmythRight, Side::NasmythLeft] {
            let up = |turning: Turning| turned(side, turning.parallactic_angle, turning.altitude);
            let rate = (up(at(1.0)) - up(at(-1.0))).arcseconds() / 2.0;
            let Turning { azimuth, altitude, .. } = at(0.0);
            let want = field_rotation_arcsec_per_s(side, latitude, azimuth, altitude);
            assert!((rate - want).abs() < 1e-4, "{side:?}: {rate}, want {want}");
        }
    }
}
