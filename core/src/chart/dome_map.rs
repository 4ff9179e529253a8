//! The sky overhead laid flat as it lies on the ground: from a direction to a place on paper and back.

use std::f64::consts::SQRT_2;

use super::Point;
use crate::maths::Vec3;
use crate::units::Angle;

/// A quarter of a turn: from the horizon to the zenith.
const QUARTER: Angle = Angle::from_degrees(90.0);

/// The dome of the sky as a disc: the zenith in its middle, the level horizon on its rim, north up and east to the right,
/// as a plan of the place lies on the ground; or, to be held overhead, east to the left. Equal parts of the sky take equal parts of the disc, so that a shade on it
/// weighs what the light weighs overhead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DomeMap {
    /// The zenith.
    pub centre: Point,
    /// From the zenith to the rim.
    pub radius: f32,
    /// Whether it is to be held overhead: east to the left.
    pub overhead: bool,
}

impl DomeMap {
    /// The place of a direction; below the horizon it lies beyond the rim.
    ///
    /// `r = R sqrt(2) sin(z / 2)`: Lambert's azimuthal equal-area projection; Snyder, Map Projections: A Working Manual,
    /// USGS Professional Paper 1395, 1987, eq. 24-1, its sphere scaled so that the horizon lies at R.
    pub fn place(&self, azimuth: Angle, altitude: Angle) -> Point {
        let distance = f64::from(self.radius) * SQRT_2 * ((QUARTER - altitude) / 2.0).sin();
        let (right, north) = self.on_paper(azimuth).sin_cos();
        Point { x: self.centre.x + (distance * right) as f32, y: self.centre.y - (distance * north) as f32 }
    }

    /// The azimuth and altitude of a place; `None` beyond the rim.
    pub fn direction(&self, at: Point) -> Option<(Angle, Angle)> {
        let (right, north) = (f64::from(at.x - self.centre.x), f64::from(self.centre.y - at.y));
        let distance = right.hypot(north) / f64::from(self.radius);
        let zenith_distance = Angle::from_radians(2.0 * (distance.min(1.0) / SQRT_2).asin());
        (distance <= 1.0).then(|| {
            (self.on_paper(Angle::from_radians(right.atan2(north))).wrapped(), QUARTER - zenith_distance)
        })
    }

    /// A place beyond the rim, so many points out.
    pub fn beyond(&self, azimuth: Angle, points: f32) -> Point {
        let (right, north) = self.on_paper(azimuth).sin_cos();
        let distance = self.radius + points;
        Point { x: self.centre.x + distance * right as f32, y: self.centre.y - distance * north as f32 }
    }

    /// The angle from up to an azimuth, clockwise on paper; and the azimuth of such an angle.
    fn on_paper(&self, azimuth: Angle) -> Angle {
        if self.overhead { Angle::ZERO - azimuth } else { azimuth }
    }

    /// Places that directions on axes east, north, up have, as far as they stand above the horizon: one line for each
    /// stretch above it.
    pub(super) fn lines(&self, directions: impl IntoIterator<Item = Vec3>) -> Vec<Vec<Point>> {
        let mut lines: Vec<Vec<Point>> = Vec::new();
        let mut above = false;
        for towards in directions {
            let (azimuth, altitude) = direction_of(towards);
            if altitude >= Angle::ZERO {
                if !above {
                    lines.push(Vec::new());
                }
                if let Some(line) = lines.last_mut() {
                    line.push(self.place(azimuth, altitude));
                }
            }
            above = altitude >= Angle::ZERO;
        }
        lines.retain(|line| line.len() > 1);
        lines
    }
}

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
    (0..=120)
        .map(|step| {
            let (up, along) = Angle::from_degrees(f64::from(step) * 3.0).sin_cos();
            middle * cosine + (first * along + second * up) * sine
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{DomeMap, around, direction_of, towards};
    use crate::chart::Point;
    use crate::units::Angle;

    const MAP: DomeMap = DomeMap { centre: Point { x: 300.0, y: 200.0 }, radius: 100.0, overhead: false };

    const fn degrees(value: f64) -> Angle {
        Angle::from_degrees(value)
    }

    #[test]
    fn directions_lie_where_they_were_worked_out_by_hand() {
        // 100 sqrt(2) sin(z / 2): z 90 gives 100; z 60 gives 70.711; z 30 gives 36.603; the zenith 0.
        for (azimuth, altitude, x, y) in [
            (0.0, 0.0, 300.0, 100.0),
            (90.0, 0.0, 400.0, 200.0),
            (180.0, 30.0, 300.0, 270.711),
            (270.0, 60.0, 263.397, 200.0),
            (45.0, 30.0, 350.0, 150.0),
            (123.0, 90.0, 300.0, 200.0),
        ] {
            let at = MAP.place(degrees(azimuth), degrees(altitude));
            assert!((at.x - x).abs() < 0.002 && (at.y - y).abs() < 0.002, "{azimuth} {altitude}: {at:?}");
        }
    }

    #[test]
    fn a_place_gives_its_direction_back_and_beyond_the_rim_is_none() {
        for azimuth in [0.0, 37.0, 90.0, 211.0, 359.0] {
            for altitude in [0.5, 12.0, 45.0, 80.0, 89.0] {
                let at = MAP.place(degrees(azimuth), degrees(altitude));
                let (back, height) = MAP.direction(at).expect("it is above the horizon");
                assert!((back - degrees(azimuth)).wrapped_signed().degrees().abs() < 0.01, "{azimuth}");
                assert!((height.degrees() - altitude).abs() < 0.01, "{altitude}");
            }
        }
        assert_eq!(MAP.direction(Point { x: 300.0, y: 99.0 }), None);
        assert_eq!(MAP.direction(MAP.beyond(degrees(200.0), 1.0)), None);
        assert_eq!(MAP.direction(MAP.centre).map(|(_, altitude)| altitude.degrees().round()), Some(90.0));
    }

    #[test]
    fn held_overhead_east_lies_left_and_a_place_gives_its_direction_back() {
        let map = DomeMap { overhead: true, ..MAP };
        let east = map.place(degrees(90.0), degrees(0.0));
        assert!((east.x - 200.0).abs() < 0.002 && (east.y - 200.0).abs() < 0.002, "{east:?}");
        let south = map.place(degrees(180.0), degrees(30.0));
        assert!((south.x - 300.0).abs() < 0.002 && (south.y - 270.711).abs() < 0.002, "{south:?}");
        let (azimuth, altitude) = map.direction(map.place(degrees(211.0), degrees(12.0))).expect("above");
        assert!((azimuth.degrees() - 211.0).abs() < 0.01 && (altitude.degrees() - 12.0).abs() < 0.01);
    }

    #[test]
    fn equal_parts_of_the_sky_take_equal_parts_of_the_disc() {
        // Half of the sky stands above 30 degrees: sin 30 = 1/2. The disc inside it has half of the area.
        let at = MAP.place(Angle::ZERO, degrees(30.0));
        assert!(((200.0 - at.y).powi(2) / 100.0_f32.powi(2) - 0.5).abs() < 1e-5);
    }

    #[test]
    fn a_circle_keeps_its_distance_and_is_cut_at_the_horizon() {
        let middle = towards(degrees(250.0), degrees(10.0));
        let circle = around(middle, degrees(30.0));
        assert!(circle.iter().all(|at| (at.angle_to(middle).degrees() - 30.0).abs() < 1e-9));
        let shown: usize = MAP.lines(circle.clone()).iter().map(Vec::len).sum();
        assert!(shown > 60 && shown < circle.len());
        let zenith = around(towards(Angle::ZERO, degrees(90.0)), degrees(3.0));
        assert!(zenith.iter().all(|at| (direction_of(*at).1.degrees() - 87.0).abs() < 1e-9));
    }
}
