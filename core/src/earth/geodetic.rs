//! A place on the ground: geodetic latitude, longitude and height, as a vector and as local axes.

use crate::maths::{Mat3, Vec3};
use crate::units::Angle;

/// A place on the WGS84 ellipsoid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GeodeticPlace {
    /// Geodetic latitude, north positive, from -90 to 90 degrees.
    pub latitude: Angle,
    /// Longitude, east positive.
    pub longitude: Angle,
    /// Height above the ellipsoid, in metres.
    pub height_m: f64,
}

/// Equatorial radius of WGS84, in kilometres.
///
/// Source: NGA.STND.0036 (2014), Department of Defense World Geodetic System 1984, table 3.1.
pub const EQUATORIAL_RADIUS_KM: f64 = 6378.137;
/// Flattening of WGS84, from the same table.
pub const FLATTENING: f64 = 1.0 / 298.257_223_563;

impl GeodeticPlace {
    /// Earth-fixed geocentric vector in kilometres: x towards longitude 0, z towards the north pole.
    pub fn earth_fixed_km(&self) -> Vec3 {
        // N = a / sqrt(1 - e^2 sin^2 phi), e^2 = f (2 - f)
        let (sin_latitude, cos_latitude) = self.latitude.sin_cos();
        let (sin_longitude, cos_longitude) = self.longitude.sin_cos();
        let e2 = FLATTENING * (2.0 - FLATTENING);
        let n = EQUATORIAL_RADIUS_KM / (1.0 - e2 * sin_latitude * sin_latitude).sqrt();
        let height_km = self.height_m / 1000.0;
        let from_axis = (n + height_km) * cos_latitude;
        Vec3::new(
            from_axis * cos_longitude,
            from_axis * sin_longitude,
            (n * (1.0 - e2) + height_km) * sin_latitude,
        )
    }

    /// From Earth-fixed axes to axes east, north, up.
    pub fn east_north_up(&self) -> Mat3 {
        let (sin_latitude, cos_latitude) = self.latitude.sin_cos();
        let (sin_longitude, cos_longitude) = self.longitude.sin_cos();
        Mat3([
            [-sin_longitude, cos_longitude, 0.0],
            [-sin_latitude * cos_longitude, -sin_latitude * sin_longitude, cos_latitude],
            [cos_latitude * cos_longitude, cos_latitude * sin_longitude, sin_latitude],
        ])
    }
}

#[cfg(test)]
mod tests {
    use super::GeodeticPlace;
    use crate::units::Angle;

    #[test]
    fn vector_as_published() {
        // ERFA test value of eraGd2gc for WGS84, t_erfa_c: longitude 3.1, latitude -0.5, height 2500 m.
        let place = GeodeticPlace {
            latitude: Angle::from_radians(-0.5),
            longitude: Angle::from_radians(3.1),
            height_m: 2500.0,
        };
        let got = place.earth_fixed_km();
        assert!((got.x + 5_599.000_557_704_994).abs() < 1e-9, "got {}", got.x);
        assert!((got.y - 233.011_672_234_795_2).abs() < 1e-9, "got {}", got.y);
        assert!((got.z + 3_040.909_470_698_336).abs() < 1e-9, "got {}", got.z);
    }

    #[test]
    fn observer_of_a_book_example() {
        // Meeus, Astronomical Algorithms, 2nd ed., example 11.a, p. 82 (ellipsoid of 1976, a = 6378.14 km):
        // latitude 33° 21' 22", 1706 m: rho sin phi' 0.546861, rho cos phi' 0.836339.
        let latitude = Angle::from_degrees(33.0 + 21.0 / 60.0 + 22.0 / 3600.0);
        let place = GeodeticPlace { latitude, longitude: Angle::ZERO, height_m: 1706.0 };
        let got = place.earth_fixed_km() * (1.0 / 6378.14);
        assert!((got.z - 0.546_861).abs() < 1e-6 && (got.x - 0.836_339).abs() < 1e-6, "got {got:?}");
    }

    #[test]
    fn up_points_up() {
        let latitude = Angle::from_degrees(55.1);
        let place = GeodeticPlace { latitude, longitude: Angle::from_degrees(-2.5), height_m: 0.0 };
        let local = place.east_north_up() * place.earth_fixed_km().unit();
        // The plumb line misses the Earth's centre by at most 11.6 arcminutes, to the south of up here.
        assert!(local.x.abs() < 1e-15 && local.z > 0.99999 && local.y < 0.0);
    }
}
