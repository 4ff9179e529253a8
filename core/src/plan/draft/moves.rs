//! How the telescope moves, in the whole numbers of a problem: never quicker than it does in truth, but for
//! cables, rotators and flips, which the stops are laid by afterwards.

use super::desk::Desk;
use crate::arrange::{ProblemPort, Slew};
use crate::plan::timing::Stands;
use crate::rig::{Axis, Drive, hour_angle_and_declination};
use crate::units::Angle;

/// The slew of the rig's mount.
///
/// A trapezoid of speed takes `D/v + v/a` or less; the dome turns along with the first axis. The second summand goes to
/// the settling time.
pub(super) fn slew(desk: Desk<'_>) -> Slew {
    let rig = desk.materials.rig;
    let (first, second) = match &rig.mount.drive {
        Drive::AltAzimuth(drive) => (drive.azimuth, drive.altitude),
        Drive::Equatorial(drive) => (drive.hour_angle, drive.declination),
    };
    let dome = rig.dome.as_ref().map(|dome| dome.rotation);
    let slowest = dome.map_or(first.rate_deg_per_s, |dome| dome.rate_deg_per_s.min(first.rate_deg_per_s));
    let start_s = |axis: Axis| axis.rate_deg_per_s / axis.acceleration_deg_per_s2;
    let starts_s = [Some(first), Some(second), dome].into_iter().flatten().map(start_s).fold(0.0, f64::max);
    Slew {
        rate1: hundredths_a_second(slowest),
        rate2: hundredths_a_second(second.rate_deg_per_s),
        wrap1: 36_000,
        settle_s: (rig.mount.settle_s + starts_s).ceil() as i64,
    }
}

fn hundredths_a_second(rate_deg_per_s: f64) -> i64 {
    ((rate_deg_per_s * 100.0).floor() as i64).clamp(1, 100_000)
}

/// The ports, and the selector's times between them.
pub(super) fn ports(desk: Desk<'_>) -> (Vec<ProblemPort>, Vec<Vec<i64>>) {
    let rig = desk.materials.rig;
    let seconds = |seconds: f64| seconds.ceil() as i64;
    let ports = rig.ports.iter().map(|to| {
        let from = rig.ports.iter().filter(|from| from.id != to.id);
        let focus_s = from.map(|from| rig.selector.times_s(Some(&from.id), &to.id).1).fold(0.0, f64::max);
        ProblemPort { name: to.id.0.clone(), focus_s: seconds(focus_s) }
    });
    let change_s = rig.ports.iter().map(|from| {
        rig.ports.iter().map(|to| seconds(rig.selector.times_s(Some(&from.id), &to.id).0)).collect()
    });
    (ports.collect(), change_s.collect())
}

/// The two axes of the mount towards a target at a moment, in hundredths of a degree.
pub(super) fn axes(desk: Desk<'_>, target: usize, moment: usize) -> (i32, i32) {
    let last = desk.prepared.moments.len().saturating_sub(1);
    let Some(sample) = desk.prepared.sample_at(target, moment.min(last)) else { return (0, 0) };
    axes_of(desk, sample.azimuth, sample.altitude)
}

/// The two axes where the telescope stands, both 0 where that is not known: its first move takes as long from anywhere
/// that the lead-in allows for.
pub(super) fn axes_at(desk: Desk<'_>, stands: Stands<'_>) -> (i32, i32) {
    stands.pointing.map_or((0, 0), |at| axes_of(desk, at.cable_azimuth, at.altitude))
}

fn axes_of(desk: Desk<'_>, azimuth: Angle, altitude: Angle) -> (i32, i32) {
    let hundredths = |angle: Angle| (angle.degrees() * 100.0).round() as i32;
    match &desk.materials.rig.mount.drive {
        Drive::AltAzimuth(_) => (hundredths(azimuth.wrapped()), hundredths(altitude)),
        Drive::Equatorial(_) => {
            let latitude = desk.materials.site.place.latitude;
            let (hour_angle, declination) = hour_angle_and_declination(latitude, azimuth, altitude);
            (hundredths(hour_angle.wrapped()), hundredths(declination))
        }
    }
}
