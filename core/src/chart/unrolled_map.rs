//! The sky unrolled as the mount turns: from a direction to a place on the strip and back.

use super::{Point, Rectangle};
use crate::maths::Vec3;
use crate::units::Angle;

use super::directions::direction_of;

const QUARTER: Angle = Angle::from_degrees(90.0);
const TURN: Angle = Angle::from_degrees(360.0);
/// The strip begins and ends on a multiple of so many degrees, and so does what of it is seen twice.
pub(super) const GRID_DEG: f64 = 3.0;
/// A degree of azimuth has at least so many points, unless the evening itself or a whole turn needs more degrees.
const LEAST_SCALE: f32 = 1.6;
/// How far beyond the end of the cables the strip goes, and beyond the ways of the evening.
const BEYOND: Angle = Angle::from_degrees(9.0);

/// The sky as a strip: along it the azimuth as the mount counts it, without wrapping from north through east, so that a
/// whole turn and more lie side by side; up it the altitude, from the level horizon to the zenith. Both are even, so the
/// way of an alt-azimuth mount is as long along the strip as its turn. (Snyder, Map Projections: A Working Manual, USGS
/// Professional Paper 1395, 1987, chapter 12: the equidistant cylindrical projection, here of the horizon's sphere and
/// with unequal scales.)
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnrolledMap {
    /// The strip: its lower edge is the level horizon, its upper edge the zenith.
    pub strip: Rectangle,
    /// The azimuth at its left edge, as the mount turns.
    pub first: Angle,
    /// The azimuth at its right edge, as the mount turns; a whole turn beyond the left one, or more.
    pub last: Angle,
    /// Where the whole turn begins that the evening is in; what lies outside it is seen again.
    pub home: Angle,
}

impl UnrolledMap {
    /// A strip around the ways of an evening (their least and greatest azimuth, as the mount turns), within what the cables
    /// allow, where they limit the mount: all of that where there is room, else a part of it, a whole turn at least.
    pub(super) fn around(strip: Rectangle, ways: (Angle, Angle), cables: Option<(Angle, Angle)>) -> Self {
        let ends = cables.map(|(low, high)| (low - BEYOND, high + BEYOND));
        let widest = ends.map_or(TURN, |(low, high)| (high - low).max(TURN));
        let room = Angle::from_degrees(f64::from(strip.width() / LEAST_SCALE));
        let span = room.max(TURN).min(widest).max(ways.1 - ways.0 + BEYOND * 2.0);
        let span = Angle::from_degrees((span.degrees() / GRID_DEG).ceil() * GRID_DEG);
        let middle = (ways.0 + ways.1) / 2.0;
        let first = match ends {
            Some((low, high)) if high - low > span => (middle - span / 2.0).max(low).min(high - span),
            Some((low, high)) => (low + high - span) / 2.0,
            None => middle - span / 2.0,
        };
        let on_grid = |angle: Angle| Angle::from_degrees((angle.degrees() / GRID_DEG).round() * GRID_DEG);
        let first = on_grid(first);
        let last = first + span;
        let home = on_grid(middle - TURN / 2.0).max(first).min(last - TURN);
        Self { strip, first, last, home }
    }

    /// Where an azimuth, as the mount turns, lies along the strip.
    pub fn along(&self, turned: Angle) -> f32 {
        let share = (turned - self.first).radians() / (self.last - self.first).radians();
        self.strip.left + (share * f64::from(self.strip.width())) as f32
    }

    /// How high an altitude lies on the strip; below the horizon it lies under it.
    pub fn height(&self, altitude: Angle) -> f32 {
        self.strip.bottom - (altitude.degrees() / 90.0 * f64::from(self.strip.height())) as f32
    }

    /// The place of a direction whose azimuth is counted as the mount turns.
    pub fn place(&self, turned: Angle, altitude: Angle) -> Point {
        Point { x: self.along(turned), y: self.height(altitude) }
    }

    /// The azimuth, as the mount turns, and the altitude of a place; `None` outside the strip.
    pub fn direction(&self, at: Point) -> Option<(Angle, Angle)> {
        let strip = &self.strip;
        let inside = (strip.left..=strip.right).contains(&at.x) && (strip.top..=strip.bottom).contains(&at.y);
        let along = f64::from((at.x - strip.left) / strip.width());
        let up = f64::from((strip.bottom - at.y) / strip.height());
        inside.then(|| (self.first + (self.last - self.first) * along, QUARTER * up))
    }

    /// Where an azimuth lies in the whole turn that the evening is in.
    pub fn in_home(&self, azimuth: Angle) -> Angle {
        self.home + (azimuth - self.home).wrapped()
    }

    /// Every place along the strip at which an azimuth lies, from left to right.
    pub fn all(&self, azimuth: Angle) -> impl Iterator<Item = Angle> + use<> {
        let (first, last) = (self.first, self.last);
        let start = first + (azimuth - first).wrapped();
        (0..4).map(move |turn| start + TURN * f64::from(turn)).take_while(move |at| *at <= last)
    }

    /// Whether a place along the strip shows again what lies in the whole turn that the evening is in.
    pub fn is_again(&self, turned: Angle) -> bool {
        turned < self.home || turned >= self.home + TURN
    }

    /// Where a mark that has an azimuth only belongs, near an azimuth as the mount turns, on the strip in any case.
    pub(super) fn near(&self, azimuth: Angle, turned: Angle) -> Angle {
        let near = turned + (azimuth - turned).wrapped_signed();
        if (self.first..=self.last).contains(&near) { near } else { self.in_home(azimuth) }
    }

    /// The part of a line on the strip that directions make, their azimuths as the mount turns: each stretch of it.
    pub(super) fn kept(&self, line: impl IntoIterator<Item = (Angle, Angle)>) -> Vec<Vec<Point>> {
        let mut lines: Vec<Vec<Point>> = vec![Vec::new()];
        for (turned, altitude) in line {
            if (self.first..=self.last).contains(&turned) && altitude >= Angle::ZERO {
                if let Some(line) = lines.last_mut() {
                    line.push(self.place(turned, altitude));
                }
            } else if lines.last().is_some_and(|line| !line.is_empty()) {
                lines.push(Vec::new());
            }
        }
        lines.retain(|line| line.len() > 1);
        lines
    }

    /// A line that directions on axes east, north, up make, at every place of the strip where it lies.
    pub(super) fn everywhere(&self, directions: &[Vec3]) -> Vec<Vec<Point>> {
        let line = unrolled(directions, self.first);
        (-2..=2)
            .flat_map(|turn| {
                let by = TURN * f64::from(turn);
                self.kept(line.iter().map(|(turned, altitude)| (*turned + by, *altitude)))
            })
            .collect()
    }
}

/// Directions with their azimuths counted on from one to the next by the short way, the first as near to `from` as it goes.
pub(super) fn unrolled(directions: &[Vec3], from: Angle) -> Vec<(Angle, Angle)> {
    let mut turned = from;
    let next = |towards: &Vec3| {
        let (azimuth, altitude) = direction_of(*towards);
        turned = turned + (azimuth - turned).wrapped_signed();
        (turned, altitude)
    };
    directions.iter().map(next).collect()
}

#[cfg(test)]
mod tests {
    use super::{UnrolledMap, unrolled};
    use crate::chart::directions::{around, towards};
    use crate::chart::{Point, Rectangle};
    use crate::units::Angle;

    const STRIP: Rectangle = Rectangle { left: 10.0, top: 20.0, right: 730.0, bottom: 320.0 };

    const fn degrees(value: f64) -> Angle {
        Angle::from_degrees(value)
    }

    fn map(ways: (f64, f64), cables: Option<(f64, f64)>) -> UnrolledMap {
        let both = |(low, high)| (degrees(low), degrees(high));
        UnrolledMap::around(STRIP, both(ways), cables.map(both))
    }

    fn ends(map: &UnrolledMap) -> (f64, f64, f64) {
        (map.first.degrees().round(), map.last.degrees().round(), map.home.degrees().round())
    }

    #[test]
    fn directions_lie_where_they_were_worked_out_by_hand() {
        // Without cables a whole turn around the middle: 720 points for 360 degrees, 300 points for 90.
        let map = map((120.0, 240.0), None);
        assert_eq!(ends(&map), (0.0, 360.0, 0.0));
        for (turned, altitude, x, y) in
            [(0.0, 0.0, 10.0, 320.0), (180.0, 45.0, 370.0, 170.0), (270.0, 90.0, 550.0, 20.0)]
        {
            let at = map.place(degrees(turned), degrees(altitude));
            assert!((at.x - x).abs() < 0.001 && (at.y - y).abs() < 0.001, "{turned} {altitude}: {at:?}");
        }
    }

    #[test]
    fn a_place_gives_its_direction_back_and_outside_is_none() {
        for map in [map((120.0, 240.0), None), map((-200.0, -60.0), Some((-270.0, 270.0)))] {
            for share in [0.001, 0.2, 0.5, 0.77, 0.999] {
                for altitude in [0.1, 12.0, 45.0, 89.9] {
                    let turned = map.first + (map.last - map.first) * share;
                    let (back, height) = map.direction(map.place(turned, degrees(altitude))).expect("inside");
                    assert!((back - turned).degrees().abs() < 1e-3, "{share}");
                    assert!((height.degrees() - altitude).abs() < 1e-3, "{altitude}");
                }
            }
            assert_eq!(map.direction(Point { x: 9.0, y: 100.0 }), None);
            assert_eq!(map.direction(Point { x: 100.0, y: 321.0 }), None);
        }
    }

    #[test]
    fn the_strip_keeps_to_the_cables_and_holds_a_whole_turn_and_the_ways() {
        // 720 points at 1.6 a degree: 450 degrees of the 558 that the cables and a little beyond them take.
        let cut = map((-200.0, -60.0), Some((-270.0, 270.0)));
        assert_eq!(ends(&cut), (-279.0, 171.0, -279.0));
        let other = map((60.0, 200.0), Some((-270.0, 270.0)));
        assert_eq!(ends(&other), (-171.0, 279.0, -81.0));
        // Cables that allow less than a turn leave the rest of the sky on the strip all the same.
        let narrow = map((100.0, 200.0), Some((10.0, 330.0)));
        assert_eq!(ends(&narrow), (-9.0, 351.0, -9.0));
        // Ways that are wider than the room make room.
        let wide = map((-260.0, 230.0), Some((-270.0, 270.0)));
        assert!(wide.first.degrees() <= -260.0 && wide.last.degrees() >= 230.0);
    }

    #[test]
    fn what_is_seen_twice_is_found_twice() {
        let map = map((-200.0, -60.0), Some((-270.0, 270.0)));
        let all = |azimuth: f64| map.all(degrees(azimuth)).map(|at| at.degrees().round()).collect::<Vec<_>>();
        assert_eq!(all(90.0), [-270.0, 90.0]);
        assert_eq!(all(180.0), [-180.0]);
        assert_eq!(
            (map.in_home(degrees(90.0)).degrees().round(), map.in_home(degrees(350.0)).degrees().round()),
            (-270.0, -10.0)
        );
        assert!(map.is_again(degrees(90.0)) && !map.is_again(degrees(-200.0)));
        // Twenty degrees further left than -270 is beyond the strip: the mark goes where the sky is.
        assert!((map.near(degrees(70.0), degrees(-270.0)).degrees() - 70.0).abs() < 1e-9);
        assert!((map.near(degrees(100.0), degrees(-270.0)).degrees() + 260.0).abs() < 1e-9);
    }

    #[test]
    fn a_line_across_north_goes_on_as_the_mount_turns() {
        let line: Vec<_> =
            [350.0, 355.0, 0.0, 5.0].iter().map(|at| towards(degrees(*at), degrees(30.0))).collect();
        let turned: Vec<f64> =
            unrolled(&line, degrees(-20.0)).iter().map(|(turned, _)| turned.degrees().round()).collect();
        assert_eq!(turned, [-10.0, -5.0, 0.0, 5.0]);
    }

    #[test]
    fn a_circle_is_cut_at_the_horizon_and_drawn_where_it_is_seen_again() {
        let map = map((-200.0, -60.0), Some((-270.0, 270.0)));
        // Azimuth 95 lies at -265 and at 95; a circle of 5 degrees half above the horizon is there both times.
        let lines = map.everywhere(&around(towards(degrees(95.0), Angle::ZERO), degrees(5.0)));
        assert_eq!(lines.len(), 2);
        assert!(lines.iter().flatten().all(|at| at.y <= STRIP.bottom));
    }
}
