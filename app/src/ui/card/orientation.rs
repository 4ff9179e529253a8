//! How a field stands on the sky: the direction that is up in it, and how far that turns.

use evenfall_core::assign::PortChoice;
use evenfall_core::catalogue::Target;
use evenfall_core::plan::Sample;
use evenfall_core::rig::{FieldHold, Port, best_field_angle, turn_through};
use evenfall_core::units::Angle;

/// The position angle, north through east, of what is up in a port's field. A rotator is set to what suits the target.
pub(super) fn up_in_field(port: &Port, choice: &PortChoice, target: &Target, sample: &Sample) -> Angle {
    match (port.field_hold(), target.position_angle) {
        (FieldHold::Rotator, Some(along)) => best_field_angle(along, choice.field.shape),
        _ => port.field_angle(sample.parallactic_angle, sample.altitude),
    }
}

/// How far a field turns through the samples of a stop.
pub(super) fn turns_by(port: &Port, samples: &[Sample]) -> Angle {
    let angle = |sample: &Sample| port.field_angle(sample.parallactic_angle, sample.altitude);
    turn_through(samples.iter().map(angle))
}
