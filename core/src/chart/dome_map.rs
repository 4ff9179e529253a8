//! The sky laid flat to be held overhead: from a direction to a place on paper.

use std::f64::consts::SQRT_2;

use super::Point;
use crate::units::Angle;

/// A quarter of a turn: from the horizon to the zenith.
const QUARTER: Angle = Angle::from_degrees(90.0);

/// The dome of the sky as a disc: the zenith in its middle, the level horizon on its rim, north up and, as it is held
/// overhead, east to the left. Equal parts of the sky take equal parts of the disc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DomeMap {
    /// The zenith.
    pub centre: Point,
    /// From the zenith to the rim.
    pub radius: f32,
}

impl DomeMap {
    /// The place of a direction; below the horizon it lies beyond the rim.
    ///
    /// `r = R sqrt(2) sin(z / 2)`: Lambert's azimuthal equal-area projection; Snyder, Map Projections: A Working Manual,
    /// USGS Professional Paper 1395, 1987, eq. 24-1, its sphere scaled so that the horizon lies at R.
    pub fn place(&self, azimuth: Angle, altitude: Angle) -> Point {
        let distance = f64::from(self.radius) * SQRT_2 * ((QUARTER - altitude) / 2.0).sin();
        let (right, north) = (-azimuth).sin_cos();
        Point { x: self.centre.x + (distance * right) as f32, y: self.centre.y - (distance * north) as f32 }
    }

    /// A place beyond the rim, so many points out.
    pub fn beyond(&self, azimuth: Angle, points: f32) -> Point {
        let (right, north) = (-azimuth).sin_cos();
        let distance = self.radius + points;
        Point { x: self.centre.x + distance * right as f32, y: self.centre.y - distance * north as f32 }
    }
}

#[cfg(test)]
mod tests {
    use super::DomeMap;
    use crate::chart::Point;
    use crate::units::Angle;

    const MAP: DomeMap = DomeMap { centre: Point { x: 300.0, y: 200.0 }, radius: 100.0 };

    const fn degrees(value: f64) -> Angle {
        Angle::from_degrees(value)
    }

    #[test]
    fn directions_lie_where_they_were_worked_out_by_hand() {
        // 100 sqrt(2) sin(z / 2): z 90 gives 100; z 60 gives 70.711; z 30 gives 36.603; the zenith 0. East lies left.
        for (azimuth, altitude, x, y) in [
            (0.0, 0.0, 300.0, 100.0),
            (90.0, 0.0, 200.0, 200.0),
            (180.0, 30.0, 300.0, 270.711),
            (270.0, 60.0, 336.603, 200.0),
            (45.0, 30.0, 250.0, 150.0),
            (123.0, 90.0, 300.0, 200.0),
        ] {
            let at = MAP.place(degrees(azimuth), degrees(altitude));
            assert!((at.x - x).abs() < 0.002 && (at.y - y).abs() < 0.002, "{azimuth} {altitude}: {at:?}");
        }
        let beyond = MAP.beyond(degrees(90.0), 5.0);
        assert!((beyond.x - 195.0).abs() < 0.002 && (beyond.y - 200.0).abs() < 0.002, "{beyond:?}");
    }

    #[test]
    fn equal_parts_of_the_sky_take_equal_parts_of_the_disc() {
        // Half of the sky stands above 30 degrees: sin 30 = 1/2. The disc inside it has half of the area.
        let at = MAP.place(Angle::ZERO, degrees(30.0));
        assert!(((200.0 - at.y).powi(2) / 100.0_f32.powi(2) - 0.5).abs() < 1e-5);
    }
}
