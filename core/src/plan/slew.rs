//! How near to the Sun the way of a slew passes.

use super::limits::{SUN_EXCLUSION_ENDS, near_sun};
use super::{Materials, Prepared};
use crate::place::Observed;
use crate::rig::{Mount, Pointing};
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
    let latitude = materials.site.place.latitude;
    let closest = closest_to_sun(&materials.rig.mount, latitude, from, to, sun);
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

/// The closest that a slew comes to the Sun, along [`Mount::path`].
fn closest_to_sun(mount: &Mount, latitude: Angle, from: Pointing, to: Pointing, sun: &Observed) -> Angle {
    let path = mount.path(latitude, from, to).into_iter();
    path.map(|towards| towards.angle_to(sun.east_north_up)).fold(Angle::from_degrees(180.0), Angle::min)
}

#[cfg(test)]
mod tests {
    use super::closest_to_sun;
    use crate::maths::Vec3;
    use crate::place::Observed;
    use crate::rig::{AltAzimuth, Axis, Drive, Equatorial, MeridianFlip, Mount, PierSide, Pointing};
    use crate::units::Angle;

    const fn degrees(value: f64) -> Angle {
        Angle::from_degrees(value)
    }

    fn mount(azimuth_rate: f64, altitude_rate: f64) -> Mount {
        let axis = |rate_deg_per_s| Axis { rate_deg_per_s, acceleration_deg_per_s2: 1.0 };
        Mount {
            lowest_altitude: degrees(15.0),
            highest_altitude: degrees(88.0),
            settle_s: 3.0,
            drive: Drive::AltAzimuth(AltAzimuth {
                keyhole_radius: degrees(3.0),
                azimuth: axis(azimuth_rate),
                altitude: axis(altitude_rate),
                cable_wrap: (degrees(-270.0), degrees(270.0)),
            }),
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
        Pointing { cable_azimuth: degrees(cable_azimuth), altitude: degrees(altitude), pier: None }
    }

    const LATITUDE: Angle = degrees(38.0);

    #[test]
    fn a_level_slew_over_the_sunset_point() {
        // At constant altitude 20° from azimuth 240° to 330° past a Sun at azimuth 280°, altitude -2°: 22° by geometry.
        let closest =
            closest_to_sun(&mount(2.0, 2.0), LATITUDE, at(240.0, 20.0), at(330.0, 20.0), &sun(280.0, -2.0));
        assert!((closest.degrees() - 22.0).abs() < 0.1, "got {}", closest.degrees());
    }

    #[test]
    fn the_other_way_round_stays_clear() {
        let closest =
            closest_to_sun(&mount(2.0, 2.0), LATITUDE, at(240.0, 20.0), at(-30.0, 20.0), &sun(280.0, -2.0));
        let ends = at(240.0, 20.0);
        assert!(closest.degrees() > 40.0, "got {} from {ends:?}", closest.degrees());
    }

    #[test]
    fn unequal_axes_bend_the_path() {
        // The quick altitude axis is up at 70° long before the azimuth is there.
        let closest =
            closest_to_sun(&mount(1.0, 10.0), LATITUDE, at(200.0, 20.0), at(280.0, 70.0), &sun(280.0, -2.0));
        assert!(closest.degrees() > 65.0, "got {}", closest.degrees());
    }

    #[test]
    fn an_equatorial_slew_keeps_its_declination_and_a_flip_goes_over_the_pole() {
        let axis = Axis { rate_deg_per_s: 2.0, acceleration_deg_per_s2: 1.0 };
        let flip = MeridianFlip { past_meridian: degrees(5.0), flip_s: 90.0 };
        let mut mount = mount(2.0, 2.0);
        mount.drive = Drive::Equatorial(Equatorial {
            pole_keyhole_radius: Angle::ZERO,
            hour_angle: axis,
            declination: axis,
            flip: Some(flip),
        });
        // On the equator from an hour angle of 1 h to 5 h: the way passes the equator at 3 h, which stands in azimuth
        // 238.4 and altitude 33.9 (checked against ERFA at -3 h). A Sun there is met, one at the pole is 90 degrees off.
        let east_of_pier =
            |azimuth, altitude| Pointing { pier: Some(PierSide::East), ..at(azimuth, altitude) };
        let (from, to) = (east_of_pier(203.5197, 49.5666), east_of_pier(260.6325, 11.7682));
        let met = closest_to_sun(&mount, LATITUDE, from, to, &sun(238.3810, 33.8629));
        assert!(met.degrees() < 0.6, "got {}", met.degrees());
        let pole = sun(0.0, 38.0);
        let straight = closest_to_sun(&mount, LATITUDE, from, to, &pole);
        assert!((straight.degrees() - 90.0).abs() < 0.01, "got {}", straight.degrees());
        let flipped = Pointing { pier: Some(PierSide::West), ..at(156.4803, 49.5666) };
        let over = closest_to_sun(&mount, LATITUDE, from, flipped, &pole);
        assert!(over.degrees() < 20.0, "got {}", over.degrees());
    }
}
