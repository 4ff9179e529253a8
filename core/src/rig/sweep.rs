//! Where a slew passes between its ends.

use super::mount::{Axis, Drive, east_north_up, hour_angle_and_declination};
use super::{Mount, Pointing};
use crate::maths::Vec3;
use crate::units::Angle;

impl Mount {
    /// The directions, on axes east, north, up, that a slew passes: both axes start together, each at its own pace, and
    /// the path is sampled at least once a degree of the axis that turns further. A flip goes the way its axes must, over
    /// the pole.
    pub fn path(&self, latitude: Angle, from: Pointing, to: Pointing) -> Vec<Vec3> {
        match &self.drive {
            Drive::AltAzimuth(drive) => {
                let axes = |at: Pointing| (at.cable_azimuth, at.altitude);
                // Azimuth runs from north through east: x towards east, y towards north.
                let direction = |azimuth: Angle, altitude: Angle| {
                    let (sin_azimuth, cos_azimuth) = azimuth.sin_cos();
                    let (sin_altitude, cos_altitude) = altitude.sin_cos();
                    Vec3::new(cos_altitude * sin_azimuth, cos_altitude * cos_azimuth, sin_altitude)
                };
                swept((axes(from), axes(to)), (drive.azimuth, drive.altitude), direction)
            }
            Drive::Equatorial(drive) => {
                let sky = |at: Pointing| hour_angle_and_declination(latitude, at.cable_azimuth, at.altitude);
                let (start, end) = (sky(from), sky(to));
                let turned = match from.pier.zip(to.pier) {
                    Some((one, other)) => (one.axes(start.0, start.1), other.axes(end.0, end.1)),
                    None => (start, (start.0 + (end.0 - start.0).wrapped_signed(), end.1)),
                };
                let direction = |hour_angle, declination| east_north_up(latitude, hour_angle, declination);
                swept(turned, (drive.hour_angle, drive.declination), direction)
            }
        }
    }
}

/// The directions passed while two axes turn from one pair of angles to another.
fn swept(
    (from, to): ((Angle, Angle), (Angle, Angle)),
    (first, second): (Axis, Axis),
    direction: impl Fn(Angle, Angle) -> Vec3,
) -> Vec<Vec3> {
    let (first_turn, second_turn) = (to.0 - from.0, to.1 - from.1);
    let seconds = |axis: Axis, turn: Angle| turn.degrees().abs() / axis.rate_deg_per_s;
    let (first_s, second_s) = (seconds(first, first_turn), seconds(second, second_turn));
    let whole_s = first_s.max(second_s);
    // The slower axis sets the time, so the quicker one may pass more than a degree in one of its degrees.
    let fastest = first.rate_deg_per_s.max(second.rate_deg_per_s);
    let steps = (whole_s * fastest).ceil().clamp(1.0, 3600.0) as usize;
    let share = |at_s: f64, axis_s: f64| if axis_s > 0.0 { (at_s / axis_s).min(1.0) } else { 1.0 };
    (0..=steps)
        .map(|step| {
            let at_s = whole_s * step as f64 / steps as f64;
            let first_angle = from.0 + first_turn * share(at_s, first_s);
            direction(first_angle, from.1 + second_turn * share(at_s, second_s))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::maths::Vec3;
    use crate::rig::sample::equatorial_mount;
    use crate::rig::{PierSide, Pointing};
    use crate::units::Angle;

    const LATITUDE: Angle = Angle::from_degrees(38.0);

    #[test]
    fn a_flip_sweeps_the_tube_over_the_pole() {
        let mount = equatorial_mount(20.0, 90.0);
        let (cable_azimuth, altitude) = (Angle::from_degrees(180.0), Angle::from_degrees(62.0));
        let from = Pointing { cable_azimuth, altitude, pier: Some(PierSide::West) };
        let to = Pointing { pier: Some(PierSide::East), ..from };
        let path = mount.path(LATITUDE, from, to);
        // Both axes turn: half a turn in hour angle, 160 degrees in declination from 10 over 90 to 170. In the middle
        // the tube looks near the pole, which stands 38 degrees high in the north.
        let (sin_pole, cos_pole) = LATITUDE.sin_cos();
        let pole = Vec3::new(0.0, cos_pole, sin_pole);
        let nearest = path.iter().map(|at| at.angle_to(pole).degrees()).fold(180.0, f64::min);
        assert!(nearest < 12.0, "got {nearest}");
        assert!(path[0].angle_to(path[path.len() - 1]).degrees() < 1e-6);
        assert!(path.windows(2).all(|two| two[0].angle_to(two[1]).degrees() < 2.0));
    }
}
