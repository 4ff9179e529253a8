//! Azimuth and altitude to a place on the ring and back: north up, azimuth clockwise, altitude from the rim to the centre.

use egui::{Pos2, vec2};

/// Where the ring lies.
#[derive(Clone, Copy, Debug)]
pub(super) struct Compass {
    /// The zenith.
    pub(super) centre: Pos2,
    /// From there to altitude 0.
    pub(super) radius: f32,
}

impl Compass {
    /// How far from the centre an altitude lies.
    pub(super) fn distance(self, altitude_deg: f64) -> f32 {
        self.radius * ((90.0 - altitude_deg) / 90.0) as f32
    }

    /// Where a direction lies.
    pub(super) fn place(self, azimuth_deg: f64, altitude_deg: f64) -> Pos2 {
        let (sine, cosine) = azimuth_deg.to_radians().sin_cos();
        self.centre + vec2(sine as f32, -cosine as f32) * self.distance(altitude_deg)
    }

    /// The azimuth and altitude of a place.
    pub(super) fn direction(self, place: Pos2) -> (f64, f64) {
        let from = place - self.centre;
        let azimuth_deg = f64::from(from.x).atan2(f64::from(-from.y)).to_degrees().rem_euclid(360.0);
        (azimuth_deg, 90.0 * (1.0 - f64::from(from.length() / self.radius)))
    }
}

#[cfg(test)]
mod tests {
    use egui::pos2;

    use super::Compass;

    #[test]
    fn north_is_up_east_right_and_the_zenith_in_the_middle() {
        let compass = Compass { centre: pos2(100.0, 100.0), radius: 90.0 };
        assert!(compass.place(0.0, 0.0).distance(pos2(100.0, 10.0)) < 1e-3);
        assert!(compass.place(90.0, 45.0).distance(pos2(145.0, 100.0)) < 1e-3);
        assert!(compass.place(123.0, 90.0).distance(pos2(100.0, 100.0)) < 1e-3);
        for azimuth in 0..36 {
            for altitude in [-10.0, 0.0, 18.0, 60.0] {
                let azimuth = f64::from(azimuth) * 10.0;
                let (back, up) = compass.direction(compass.place(azimuth, altitude));
                assert!((back - azimuth).abs() < 1e-3 || (back - azimuth).abs() > 359.99, "{azimuth} {back}");
                assert!((up - altitude).abs() < 1e-3, "{altitude} {up}");
            }
        }
    }
}
