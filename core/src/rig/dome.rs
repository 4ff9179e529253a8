//! The dome: where its slit must stand, how far the telescope may run before it moves, how often that is.

use super::Axis;
use crate::maths::Vec3;
use crate::units::Angle;

/// The dome.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dome {
    /// Radius, in metres.
    pub radius_m: f64,
    /// Width of the slit, in metres.
    pub slit_width_m: f64,
    /// Where the mount's axes cross, from the dome's centre: east, north, up, in metres.
    pub offset_m: [f64; 3],
    /// Its pace in azimuth.
    pub rotation: Axis,
}

/// The azimuth to which the dome's slit must turn for the telescope to look through its middle.
///
/// Source: the straight line from the mount's axes along the pointing, cut with the dome's sphere.
/// The mount must stand inside the dome.
pub fn dome_azimuth(dome: &Dome, azimuth: Angle, altitude: Angle) -> Angle {
    let p = Vec3::from_array(dome.offset_m);
    let (sin_azimuth, cos_azimuth) = azimuth.sin_cos();
    let u = Vec3::new(altitude.cos() * sin_azimuth, altitude.cos() * cos_azimuth, altitude.sin());
    // k = -P.u + sqrt((P.u)^2 - P^2 + R^2), Q = P + k u
    let pu = p.dot(u);
    let k = -pu + (pu * pu - p.dot(p) + dome.radius_m * dome.radius_m).max(0.0).sqrt();
    let q = p + u * k;
    Angle::from_radians(q.x.atan2(q.y)).wrapped()
}

impl Dome {
    /// How far to either side of the slit's middle the telescope may look before the slit's edge cuts into its
    /// aperture; nothing where the slit is no wider than the aperture, half a turn where it is wide enough for all
    /// directions at that altitude.
    pub fn slit_tolerance(&self, aperture_mm: f64, altitude: Angle) -> Angle {
        // asin((w - D) / (2 R cos h))
        let spare_m = (self.slit_width_m - aperture_mm / 1000.0).max(0.0);
        let sine = spare_m / (2.0 * self.radius_m * altitude.cos());
        if sine < 1.0 { Angle::from_radians(sine.asin()) } else { Angle::from_degrees(180.0) }
    }

    /// How often the dome must move while the telescope follows a target: each time the slit's edge would cut in, its
    /// middle is brought to the telescope. It begins with the slit in the middle.
    ///
    /// * `way`: azimuth and altitude at the samples of a stop; a minute apart is close enough away from the zenith.
    pub fn moves_along(&self, aperture_mm: f64, way: impl IntoIterator<Item = (Angle, Angle)>) -> u32 {
        let mut slit: Option<Angle> = None;
        let mut moves = 0;
        for (azimuth, altitude) in way {
            let needed = dome_azimuth(self, azimuth, altitude);
            let off = slit.map_or(Angle::ZERO, |slit| (needed - slit).wrapped_signed().abs());
            if off > self.slit_tolerance(aperture_mm, altitude) {
                moves += 1;
                slit = Some(needed);
            }
            slit = slit.or(Some(needed));
        }
        moves
    }
}

#[cfg(test)]
mod tests {
    use super::{Dome, dome_azimuth};
    use crate::rig::Axis;
    use crate::units::Angle;

    fn dome(slit_width_m: f64, offset_m: [f64; 3]) -> Dome {
        let rotation = Axis { rate_deg_per_s: 3.0, acceleration_deg_per_s2: 1.0 };
        Dome { radius_m: 3.0, slit_width_m, offset_m, rotation }
    }

    fn near(got: f64, want: f64, allowed: f64) {
        assert!((got - want).abs() <= allowed, "got {got}, want {want} within {allowed}");
    }

    // Computed from the geometry of a line and a sphere of 3 m; the last is a tube 0.5 m to the right.
    #[test]
    fn slit_follows_the_telescope_not_the_centre() {
        for (offset_m, azimuth_deg, altitude_deg, slit_deg) in [
            ([0.0, 0.0, 0.0], 180.0, 45.0, 180.0),
            ([0.0, 0.2, 0.0], 90.0, 60.0, 82.3886),
            ([-0.2, 0.3, 0.4], 120.0, 30.0, 116.0302),
            ([-0.5, 0.0, 0.0], 180.0, 70.0, 206.2992),
        ] {
            let dome = dome(1.2, offset_m);
            let slit =
                dome_azimuth(&dome, Angle::from_degrees(azimuth_deg), Angle::from_degrees(altitude_deg));
            near(slit.degrees(), slit_deg, 0.000_06);
        }
    }

    // asin((w - D) / (2 R cos h)) with a slit of 1.2 m, an aperture of 0.7 m and a radius of 3 m, worked apart from
    // this code to a tenth of a degree.
    #[test]
    fn the_slit_is_wider_the_higher_one_looks() {
        let dome = dome(1.2, [0.0; 3]);
        for (altitude_deg, tolerance_deg) in [(0.0, 4.8), (45.0, 6.8), (60.0, 9.6), (75.0, 18.8)] {
            let tolerance = dome.slit_tolerance(700.0, Angle::from_degrees(altitude_deg));
            near(tolerance.degrees(), tolerance_deg, 0.05);
        }
        near(dome.slit_tolerance(700.0, Angle::from_degrees(89.0)).degrees(), 180.0, 1e-9);
        near(dome.slit_tolerance(1200.0, Angle::from_degrees(45.0)).degrees(), 0.0, 1e-9);
        near(dome.slit_tolerance(1500.0, Angle::from_degrees(45.0)).degrees(), 0.0, 1e-9);
    }

    #[test]
    fn the_dome_moves_when_its_edge_would_cut_in() {
        // At 45 degrees the tolerance is 6.77 degrees: along 20 degrees of azimuth, a degree a sample, it moves at the
        // 7th and at the 14th.
        let dome = dome(1.2, [0.0; 3]);
        let way = |to: i32| {
            (0..=to).map(|step| (Angle::from_degrees(355.0 + f64::from(step)), Angle::from_degrees(45.0)))
        };
        assert_eq!(dome.moves_along(700.0, way(6)), 0);
        assert_eq!(dome.moves_along(700.0, way(7)), 1);
        assert_eq!(dome.moves_along(700.0, way(20)), 2);
        assert_eq!(dome.moves_along(700.0, way(0)), 0);
    }
}
