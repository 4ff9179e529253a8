//! How near to the Sun the way of a slew passes.

use super::limits::{SUN_EXCLUSION_ENDS, near_sun};
use super::{Materials, Prepared};
use crate::maths::Vec3;
use crate::place::Observed;
use crate::rig::{Axis, Mount, Pointing};
use crate::time::Instant;
use crate::units::Angle;

/// The closest distance from the Sun on the way of a slew that begins at `leave`, if it is within the Sun's exclusion.
pub(super) fn slew_near_sun(
    materials: &Materials<'_>,
    prepared: &Prepared,
    (from, to): (Pointing, Pointing),
    leave: Instant,
) -> Option<Angle> {
    let sun = &prepared.moments.get(prepared.moment_index(leave))?.sun;
    if sun.altitude <= SUN_EXCLUSION_ENDS {
        return None;
    }
    let closest = closest_to_sun(&materials.rig.mount, from, to, sun);
    near_sun(materials.site, sun.altitude, closest).then_some(closest)
}

/// The closest distance from the Sun on the way of a slew that is begun too early between `free_from` and `leave`, and
/// the minute from which on it keeps clear; `None` where it may begin at any time.
pub(super) fn too_early(
    materials: &Materials<'_>,
    prepared: &Prepared,
    path: (Pointing, Pointing),
    free_from: Instant,
    leave: Instant,
) -> Option<(Angle, Instant)> {
    let minutes = prepared.moment_index(free_from)..prepared.moment_index(leave);
    let near = minutes.filter_map(|minute| {
        let at = prepared.moments[minute].instant;
        let separation = slew_near_sun(materials, prepared, path, at)?;
        Some((separation, prepared.moments[minute + 1].instant))
    });
    near.reduce(|(closest, _), (separation, clear)| (closest.min(separation), clear))
}

/// The closest that a slew comes to the Sun: both axes start together, each at its own pace, and the path is sampled
/// at least once a degree of the axis that turns further.
fn closest_to_sun(mount: &Mount, from: Pointing, to: Pointing, sun: &Observed) -> Angle {
    let azimuth_turn = to.cable_azimuth - from.cable_azimuth;
    let altitude_turn = to.altitude - from.altitude;
    let seconds = |axis: Axis, turn: Angle| turn.degrees().abs() / axis.rate_deg_per_s;
    let azimuth_s = seconds(mount.azimuth, azimuth_turn);
    let altitude_s = seconds(mount.altitude, altitude_turn);
    let whole_s = azimuth_s.max(altitude_s);
    // The slower axis sets the time, so the quicker one may pass more than a degree in one of its degrees.
    let fastest = mount.azimuth.rate_deg_per_s.max(mount.altitude.rate_deg_per_s);
    let steps = (whole_s * fastest).ceil().clamp(1.0, 3600.0) as usize;
    let share = |at_s: f64, axis_s: f64| if axis_s > 0.0 { (at_s / axis_s).min(1.0) } else { 1.0 };
    (0..=steps)
        .map(|step| {
            let at_s = whole_s * step as f64 / steps as f64;
            let azimuth = from.cable_azimuth + azimuth_turn * share(at_s, azimuth_s);
            let altitude = from.altitude + altitude_turn * share(at_s, altitude_s);
            // Azimuth runs from north through east: x towards east, y towards north.
            let (sin_azimuth, cos_azimuth) = azimuth.sin_cos();
            let (sin_altitude, cos_altitude) = altitude.sin_cos();
            Vec3::new(cos_altitude * sin_azimuth, cos_altitude * cos_azimuth, sin_altitude)
                .angle_to(sun.east_north_up)
        })
        .fold(Angle::from_degrees(180.0), Angle::min)
}

#[cfg(test)]
mod tests {
    use super::closest_to_sun;
    use crate::maths::Vec3;
    use crate::place::Observed;
    use crate::rig::{Axis, Mount, Pointing};
    use crate::units::Angle;

    const fn degrees(value: f64) -> Angle {
        Angle::from_degrees(value)
    }

    fn mount(azimuth_rate: f64, altitude_rate: f64) -> Mount {
        let axis = |rate_deg_per_s| Axis { rate_deg_per_s, acceleration_deg_per_s2: 1.0 };
        Mount {
            lowest_altitude: degrees(15.0),
            highest_altitude: degrees(88.0),
            keyhole_radius: degrees(3.0),
            azimuth: axis(azimuth_rate),
            altitude: axis(altitude_rate),
            cable_wrap: (degrees(-270.0), degrees(270.0)),
            settle_s: 3.0,
        }
    }

    fn sun(azimuth: f64, altitude: f64) -> Observed {
        let east_north_up = Vec3::from_spherical(degrees(90.0 - azimuth), degrees(altitude));
        Observed {
            right_ascension: Angle::ZERO,
            declination: Angle::ZERO,
            hour_angle: Angle::ZERO,
            altitude: degrees(altitude),
            azimuth: degrees(azimuth),
            parallactic_angle: Angle::ZERO,
            distance_au: Some(1.0),
            east_north_up,
        }
    }

    fn at(cable_azimuth: f64, altitude: f64) -> Pointing {
        Pointing { cable_azimuth: degrees(cable_azimuth), altitude: degrees(altitude) }
    }

    #[test]
    fn a_level_slew_over_the_sunset_point() {
        // At constant altitude 20° from azimuth 240° to 330° past a Sun at azimuth 280°, altitude -2°: 22° by geometry.
        let closest = closest_to_sun(&mount(2.0, 2.0), at(240.0, 20.0), at(330.0, 20.0), &sun(280.0, -2.0));
        assert!((closest.degrees() - 22.0).abs() < 0.1, "got {}", closest.degrees());
    }

    #[test]
    fn the_other_way_round_stays_clear() {
        let closest = closest_to_sun(&mount(2.0, 2.0), at(240.0, 20.0), at(-30.0, 20.0), &sun(280.0, -2.0));
        let ends = at(240.0, 20.0);
        assert!(closest.degrees() > 40.0, "got {} from {ends:?}", closest.degrees());
    }

    #[test]
    fn unequal_axes_bend_the_path() {
        // The quick altitude axis is up at 70° long before the azimuth is there.
        let closest = closest_to_sun(&mount(1.0, 10.0), at(200.0, 20.0), at(280.0, 70.0), &sun(280.0, -2.0));
        assert!(closest.degrees() > 65.0, "got {}", closest.degrees());
    }
}
