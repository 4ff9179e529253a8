//! Directions of the sky on axes east, north, up.

use crate::maths::Vec3;
use crate::units::Angle;

/// Azimuth and altitude of a direction on axes east, north, up.
pub(super) fn direction_of(towards: Vec3) -> (Angle, Angle) {
    let azimuth = Angle::from_radians(towards.x.atan2(towards.y)).wrapped();
    (azimuth, Angle::from_radians(towards.z.atan2(towards.x.hypot(towards.y))))
}

/// A direction on axes east, north, up.
pub(super) fn towards(azimuth: Angle, altitude: Angle) -> Vec3 {
    let (east, north) = azimuth.sin_cos();
    let (up, level) = altitude.sin_cos();
    Vec3::new(level * east, level * north, up)
}

/// The directions at an angle from another one, all around it and back to the first.
pub(super) fn around(middle: Vec3, radius: Angle) -> Vec<Vec3> {
    let level = Vec3::new(middle.y, -middle.x, 0.0);
    let first = if level.length() > 1e-9 { level.unit() } else { Vec3::new(1.0, 0.0, 0.0) };
    let second = middle.cross(first);
    let (sine, cosine) = radius.sin_cos();
    (0..=180)
        .map(|step| {
            let (up, along) = Angle::from_degrees(f64::from(step) * 2.0).sin_cos();
            middle * cosine + (first * along + second * up) * sine
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{around, direction_of, towards};
    use crate::units::Angle;

    const fn degrees(value: f64) -> Angle {
        Angle::from_degrees(value)
    }

    #[test]
    fn a_circle_keeps_its_distance() {
        let middle = towards(degrees(250.0), degrees(10.0));
        assert!(
            around(middle, degrees(30.0))
                .iter()
                .all(|at| (at.angle_to(middle).degrees() - 30.0).abs() < 1e-9)
        );
        let zenith = around(towards(Angle::ZERO, degrees(90.0)), degrees(3.0));
        assert!(zenith.iter().all(|at| (direction_of(*at).1.degrees() - 87.0).abs() < 1e-9));
    }

    #[test]
    fn a_direction_comes_back() {
        for (azimuth, altitude) in [(0.0, 0.0), (123.0, 45.0), (359.0, -12.0), (270.0, 88.0)] {
            let (back, height) = direction_of(towards(degrees(azimuth), degrees(altitude)));
            assert!((back - degrees(azimuth)).wrapped_signed().degrees().abs() < 1e-9, "{azimuth}");
            assert!((height.degrees() - altitude).abs() < 1e-9, "{altitude}");
        }
    }
}
