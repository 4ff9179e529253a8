//! The mount: how far it reaches, the axes it turns on, its cables or the side of the pier its tube stands on.

use crate::maths::Vec3;
use crate::units::Angle;

/// The mount: its limits and its pace.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mount {
    /// Lowest altitude it may point to.
    pub lowest_altitude: Angle,
    /// Highest altitude it may point to.
    pub highest_altitude: Angle,
    /// Time to settle after any move, in seconds.
    pub settle_s: f64,
    /// The axes it turns on.
    pub drive: Drive,
}

/// The axes a mount turns on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Drive {
    /// One axis upright, one level.
    AltAzimuth(AltAzimuth),
    /// One axis parallel to that of the Earth.
    Equatorial(Equatorial),
}

/// The pace of an axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// Top speed, in degrees a second.
    pub rate_deg_per_s: f64,
    /// Acceleration, in degrees a second squared.
    pub acceleration_deg_per_s2: f64,
}

/// An alt-azimuth drive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AltAzimuth {
    /// Radius round the zenith where it can't follow well: the zenith keyhole.
    pub keyhole_radius: Angle,
    /// Azimuth axis.
    pub azimuth: Axis,
    /// Altitude axis.
    pub altitude: Axis,
    /// Azimuth the cables allow, counted without wrapping from north through east, such as -270 to 270 degrees.
    pub cable_wrap: (Angle, Angle),
}

/// An equatorial drive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Equatorial {
    /// Radius round the celestial pole where it can't follow well.
    pub pole_keyhole_radius: Angle,
    /// Hour angle axis.
    pub hour_angle: Axis,
    /// Declination axis.
    pub declination: Axis,
    /// The flip at the meridian; `None` for a mount that needs none, such as a fork.
    pub flip: Option<MeridianFlip>,
}

/// The flip that a tube beside its pier makes, because it would run into the pier beyond the meridian.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeridianFlip {
    /// Hour angle beyond the meridian, upper or lower, to which it may still track.
    pub past_meridian: Angle,
    /// Time that a flip takes, the half turns of both axes included, in seconds.
    pub flip_s: f64,
}

/// The side of the pier on which a tube stands: the western one looks into the eastern half of the sky.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PierSide {
    /// West of the pier, for what has not yet crossed the meridian.
    West,
    /// East of the pier, for what has.
    East,
}

impl PierSide {
    /// The side that a slew to an hour angle ends on.
    ///
    /// Common practice, no source: a slew goes by the half of the sky that its aim stands in, even where the other
    /// side could still reach it.
    pub fn for_hour_angle(hour_angle: Angle) -> Self {
        if hour_angle.wrapped_signed().radians() < 0.0 { Self::West } else { Self::East }
    }

    /// The other side.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::West => Self::East,
            Self::East => Self::West,
        }
    }

    /// How far the hour angle axis stands beyond the beginning of this side's half of the sky: 0 to half a turn
    /// within it, more beyond its end.
    fn into_half(self, hour_angle: Angle) -> Angle {
        let quarter = Angle::from_degrees(90.0);
        let middle = match self {
            Self::West => -quarter,
            Self::East => quarter,
        };
        quarter + (hour_angle - middle).wrapped_signed()
    }

    /// The two axes of a tube on this side, pointed to an hour angle and a declination. On the western side the
    /// declination axis is turned over the pole.
    pub(super) fn axes(self, hour_angle: Angle, declination: Angle) -> (Angle, Angle) {
        let declination = match self {
            Self::West => Angle::from_degrees(180.0) - declination,
            Self::East => declination,
        };
        (self.into_half(hour_angle), declination)
    }
}

impl Mount {
    /// Whether the field of a port without a rotator stands still while the mount tracks.
    pub const fn is_equatorial(&self) -> bool {
        matches!(self.drive, Drive::Equatorial(_))
    }

    /// Whether the cables reach an azimuth counted without wrapping; those of an equatorial mount always do.
    pub fn cables_reach(&self, cable_azimuth: Angle) -> bool {
        match &self.drive {
            Drive::AltAzimuth(drive) => (drive.cable_wrap.0..=drive.cable_wrap.1).contains(&cable_azimuth),
            Drive::Equatorial(_) => true,
        }
    }

    /// Whether a place in the sky lies where the mount can't follow well: round the zenith, or round the pole for an
    /// equatorial one.
    pub fn in_keyhole(&self, latitude: Angle, azimuth: Angle, altitude: Angle) -> bool {
        self.beyond_keyhole(latitude, azimuth, altitude) < Angle::ZERO
    }

    /// How far a place in the sky lies from the rim of the keyhole, negative within it.
    pub fn beyond_keyhole(&self, latitude: Angle, azimuth: Angle, altitude: Angle) -> Angle {
        let quarter = Angle::from_degrees(90.0);
        match &self.drive {
            Drive::AltAzimuth(drive) => quarter - altitude - drive.keyhole_radius,
            Drive::Equatorial(drive) => {
                let (_, declination) = hour_angle_and_declination(latitude, azimuth, altitude);
                quarter - declination.abs() - drive.pole_keyhole_radius
            }
        }
    }

    /// Whether a tube that follows the sky must flip at an hour angle.
    pub fn must_flip(&self, pier: Option<PierSide>, hour_angle: Angle) -> bool {
        let (Drive::Equatorial(Equatorial { flip: Some(flip), .. }), Some(pier)) = (&self.drive, pier) else {
            return false;
        };
        pier.into_half(hour_angle) > Angle::from_degrees(180.0) + flip.past_meridian
    }
}

/// The hour angle (west positive, from minus to plus half a turn) and the declination of a place in the sky.
///
/// Source: Meeus, Astronomical Algorithms, 2nd ed., chapter 13.
pub fn hour_angle_and_declination(latitude: Angle, azimuth: Angle, altitude: Angle) -> (Angle, Angle) {
    let (sin_p, cos_p) = latitude.sin_cos();
    let (sin_a, cos_a) = azimuth.sin_cos();
    let (sin_h, cos_h) = altitude.sin_cos();
    // sin delta = sin phi sin h + cos phi cos h cos A, A from north
    let sin_d = sin_p * sin_h + cos_p * cos_h * cos_a;
    let (west, south) = (-sin_a * cos_h, sin_h * cos_p - cos_h * cos_a * sin_p);
    let hour_angle = Angle::from_radians(west.atan2(south));
    (hour_angle, Angle::from_radians(sin_d.atan2(west.hypot(south))))
}

/// The parallactic angle of a place in the sky, positive west of the meridian.
pub(super) fn parallactic_angle(latitude: Angle, azimuth: Angle, altitude: Angle) -> Angle {
    let (sin_p, cos_p) = latitude.sin_cos();
    let (sin_a, cos_a) = azimuth.sin_cos();
    let (sin_h, cos_h) = altitude.sin_cos();
    // In the triangle of pole, zenith and place: sin q cos delta = -sin A cos phi, A from north
    Angle::from_radians((-sin_a * cos_p).atan2(sin_p * cos_h - cos_p * sin_h * cos_a))
}

/// The unit vector on axes east, north, up towards an hour angle and a declination; a declination beyond the pole is
/// that of an axis turned over it.
pub(super) fn east_north_up(latitude: Angle, hour_angle: Angle, declination: Angle) -> Vec3 {
    let (sin_p, cos_p) = latitude.sin_cos();
    let (sin_h, cos_h) = hour_angle.sin_cos();
    let (sin_d, cos_d) = declination.sin_cos();
    Vec3::new(-cos_d * sin_h, sin_d * cos_p - cos_d * cos_h * sin_p, sin_p * sin_d + cos_p * cos_d * cos_h)
}

#[cfg(test)]
mod tests {
    use super::{PierSide, east_north_up, hour_angle_and_declination, parallactic_angle};
    use crate::rig::sample::equatorial_mount;
    use crate::units::Angle;

    const fn degrees(value: f64) -> Angle {
        Angle::from_degrees(value)
    }

    #[test]
    fn back_from_the_horizon() {
        // ERFA test values of eraAe2hd, t_erfa_c: azimuth 5.5, altitude 1.1, latitude 0.7 radians.
        let (hour_angle, declination) = hour_angle_and_declination(
            Angle::from_radians(0.7),
            Angle::from_radians(5.5),
            Angle::from_radians(1.1),
        );
        assert!((hour_angle.radians() - 0.593_329_111_550_731).abs() < 1e-13);
        assert!((declination.radians() - 0.961_393_476_164_781_8).abs() < 1e-13);
    }

    #[test]
    fn parallactic_angles_from_the_horizon() {
        // Latitude; azimuth and altitude of common cases, checked against ERFA; q.
        for (latitude, azimuth, altitude, want) in [
            (38.0, 243.7691, 58.4135, 48.7836),
            (38.0, 121.6190, 33.8629, -42.1468),
            (38.0, 0.0, 68.0, 180.0),
            (35.0, 276.6692, 77.7520, 87.9788),
            (-33.0, 207.0084, 56.5978, 49.6158),
        ] {
            let got = parallactic_angle(degrees(latitude), degrees(azimuth), degrees(altitude));
            assert!((got - degrees(want)).wrapped_signed().degrees().abs() < 0.0006, "got {}", got.degrees());
        }
    }

    #[test]
    fn the_tube_points_the_same_way_from_either_side() {
        let latitude = degrees(38.0);
        for (hours, declination) in [(-3.0, 20.0), (0.2, 70.0), (2.0, -10.0), (11.5, 60.0), (-11.9, 80.0)] {
            let (hour_angle, declination) = (Angle::from_hours(hours), degrees(declination));
            let want = east_north_up(latitude, hour_angle, declination);
            for side in [PierSide::West, PierSide::East] {
                let (turned, over) = side.axes(hour_angle, declination);
                assert!(want.angle_to(east_north_up(latitude, turned, over)).radians() < 1e-12);
            }
        }
    }

    #[test]
    fn a_tube_flips_past_the_meridian_above_and_below_the_pole() {
        // 20 minutes of time past the meridian: 5 degrees.
        let mount = equatorial_mount(20.0, 90.0);
        let flips = |side, degrees_past: f64| mount.must_flip(Some(side), degrees(degrees_past));
        for (side, hour_angle, flips_there) in [
            (PierSide::West, -170.0, false),
            (PierSide::West, -10.0, false),
            (PierSide::West, 4.9, false),
            (PierSide::West, 5.1, true),
            (PierSide::East, -4.0, false),
            (PierSide::East, 5.1, false),
            (PierSide::East, 179.0, false),
            (PierSide::East, -176.0, false),
            (PierSide::East, -174.0, true),
        ] {
            assert_eq!(flips(side, hour_angle), flips_there, "{side:?} {hour_angle}");
        }
        assert!(!mount.must_flip(None, degrees(40.0)));
        assert_eq!(PierSide::for_hour_angle(degrees(-1.0)), PierSide::West);
        assert_eq!(PierSide::for_hour_angle(degrees(359.0)), PierSide::West);
        assert_eq!(PierSide::for_hour_angle(degrees(1.0)).other(), PierSide::West);
    }

    #[test]
    fn an_equatorial_mount_has_its_keyhole_at_the_pole() {
        let mut mount = equatorial_mount(20.0, 90.0);
        let latitude = degrees(55.0);
        let inside =
            |azimuth: f64, altitude: f64| mount.in_keyhole(latitude, degrees(azimuth), degrees(altitude));
        assert!(inside(0.0, 55.5) && inside(0.0, 54.2));
        assert!(!inside(0.0, 57.0) && !inside(180.0, 89.9) && !inside(180.0, 55.0));
        mount = crate::rig::sample::rig().mount;
        assert!(mount.in_keyhole(latitude, degrees(180.0), degrees(86.0)));
        assert!(!mount.in_keyhole(latitude, degrees(0.0), degrees(55.0)));
    }
}
