//! How bright the sky is over the strip, in a few shades with even edges.

use super::unrolled_map::GRID_DEG;
use super::{Ink, Item, Point, UnrolledMap};
use crate::plan::Moment;
use crate::site::Site;
use crate::sky::background;
use crate::units::{Angle, SurfaceBrightness};

/// The brightness drawn as the darkest and as the brightest, in magnitudes per square arcsecond: a fine dark sky, and a
/// sky on which stars just come out. By day all of it is one shade.
const DARKEST: f64 = 22.0;
const BRIGHTEST: f64 = 15.0;
/// Steps between them: one for each magnitude.
const STEPS: u8 = 7;

/// Looks at the sky from the horizon to the zenith, and around it.
const UP: usize = 30;
const AROUND: u16 = (360.0 / GRID_DEG) as u16;

/// The shade of a step, from 0 (dark) to 255 (bright).
fn shade(step: u8) -> u8 {
    (f32::from(step) / f32::from(STEPS) * 255.0).round() as u8
}

/// The faintest light that still has a shade: half a step darker than the step itself.
fn faintest(step: u8) -> f64 {
    DARKEST - (f64::from(step) - 0.5) * (DARKEST - BRIGHTEST) / f64::from(STEPS)
}

/// The light of the sky towards an apparent altitude and an azimuth.
pub(super) fn light(site: &Site, moment: &Moment, azimuth: Angle, altitude: Angle) -> SurfaceBrightness {
    background(site, altitude, azimuth, &moment.sun, &moment.moon, moment.moon_phase_angle).total
}

/// The light of the whole sky, looked at on an even grid.
pub(super) struct Light {
    /// From the horizon up, in columns around from north through east.
    magnitudes: Vec<[f64; UP + 1]>,
}

impl Light {
    pub fn new(site: &Site, moment: &Moment) -> Self {
        let look = |column: usize, row: usize| {
            // On the level itself the air has no end.
            let altitude = Self::altitude(row).max(Angle::from_degrees(0.5));
            light(site, moment, Angle::from_degrees(column as f64 * GRID_DEG), altitude).0
        };
        let column = |column: usize| std::array::from_fn(|row| look(column, row));
        Self { magnitudes: (0..usize::from(AROUND)).map(column).collect() }
    }

    fn altitude(row: usize) -> Angle {
        Angle::from_degrees(90.0 * row as f64 / UP as f64)
    }

    fn at(&self, column: i32, row: usize) -> f64 {
        self.magnitudes[column.rem_euclid(i32::from(AROUND)) as usize][row]
    }

    /// The direction of the brightest look, and its light.
    pub fn brightest(&self) -> (Angle, Angle, SurfaceBrightness) {
        let mut brightest = (Angle::ZERO, Angle::ZERO, SurfaceBrightness(f64::INFINITY));
        for (column, looks) in self.magnitudes.iter().enumerate() {
            for (row, magnitude) in looks.iter().enumerate() {
                if *magnitude < brightest.2.0 {
                    let azimuth = Angle::from_degrees(column as f64 * GRID_DEG);
                    brightest = (azimuth, Self::altitude(row), SurfaceBrightness(*magnitude));
                }
            }
        }
        brightest
    }

    /// The strip in its shades; paler where it is seen again.
    pub fn shades(&self, map: &UnrolledMap) -> Vec<Item> {
        let column = |angle: Angle| (angle.degrees() / GRID_DEG).round() as i32;
        let (first, last) = (column(map.first), column(map.last));
        let (mut items, mut edges) = (Vec::new(), Vec::new());
        for row in 0..UP {
            let mut run: Option<(i32, Ink)> = None;
            for column in first..last {
                let is_again = map.is_again(Angle::from_degrees((f64::from(column) + 0.5) * GRID_DEG));
                let ink = |step: u8| Ink::SkyLight(if is_again { paler(shade(step)) } else { shade(step) });
                let corners = Corners { light: self, column, row };
                let (least, most) = corners.steps();
                if run.is_none_or(|(_, of)| of != ink(least)) {
                    items.extend(run.map(|(from, of)| patch(map, (from, column), row, of)));
                    run = Some((column, ink(least)));
                }
                for step in least + 1..=most {
                    edges.extend(corners.brighter_than(map, faintest(step)).map(|points| Item::Path {
                        points,
                        closed: true,
                        fill: Some(ink(step)),
                        stroke: None,
                    }));
                }
            }
            items.extend(run.map(|(from, of)| patch(map, (from, last), row, of)));
        }
        items.append(&mut edges);
        items
    }
}

/// A shade half way to the lightest.
const fn paler(shade: u8) -> u8 {
    255 - (255 - shade) / 2
}

fn patch(map: &UnrolledMap, (from, to): (i32, i32), row: usize, ink: Ink) -> Item {
    let corner = |column: i32, row: usize| {
        map.place(Angle::from_degrees(f64::from(column) * GRID_DEG), Light::altitude(row))
    };
    Item::Path {
        points: vec![corner(from, row), corner(from, row + 1), corner(to, row + 1), corner(to, row)],
        closed: true,
        fill: Some(ink),
        stroke: None,
    }
}

/// One cell of the grid.
struct Corners<'l> {
    light: &'l Light,
    column: i32,
    row: usize,
}

impl Corners<'_> {
    fn magnitudes(&self) -> [((i32, usize), f64); 4] {
        let (column, row) = (self.column, self.row);
        let corners = [(column, row), (column + 1, row), (column + 1, row + 1), (column, row + 1)];
        corners.map(|(column, row)| ((column, row), self.light.at(column, row)))
    }

    /// The step that all of it has, and the one that its brightest corner has.
    fn steps(&self) -> (u8, u8) {
        let magnitudes = self.magnitudes().map(|(_, magnitude)| magnitude);
        let reached =
            |magnitude: f64| (1..=STEPS).take_while(|step| magnitude <= faintest(*step)).count() as u8;
        let darkest = magnitudes.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let brightest = magnitudes.iter().copied().fold(f64::INFINITY, f64::min);
        (reached(darkest), reached(brightest))
    }

    /// The parts of its two halves that are at least so bright, the light between corners taken as even.
    fn brighter_than(&self, map: &UnrolledMap, faintest: f64) -> impl Iterator<Item = Vec<Point>> {
        let [first, second, third, fourth] = self.magnitudes().map(|((column, row), magnitude)| {
            (map.place(Angle::from_degrees(f64::from(column) * GRID_DEG), Light::altitude(row)), magnitude)
        });
        [[first, second, third], [first, third, fourth]].into_iter().filter_map(move |corners| {
            let mut points = Vec::new();
            for (position, (at, magnitude)) in corners.into_iter().enumerate() {
                let (next, next_magnitude) = corners[(position + 1) % 3];
                if magnitude <= faintest {
                    points.push(at);
                }
                if (magnitude <= faintest) != (next_magnitude <= faintest) {
                    let share = ((faintest - magnitude) / (next_magnitude - magnitude)) as f32;
                    points
                        .push(Point { x: at.x + share * (next.x - at.x), y: at.y + share * (next.y - at.y) });
                }
            }
            (points.len() > 2).then_some(points)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::{AROUND, Light, STEPS, UP, faintest, shade};
    use crate::chart::{Ink, Item, Rectangle, UnrolledMap};
    use crate::units::Angle;

    fn reached(magnitude: f64) -> u8 {
        (1..=STEPS).take_while(|step| magnitude <= faintest(*step)).count() as u8
    }

    #[test]
    fn a_shade_is_a_magnitude_and_brighter_is_lighter() {
        // A dark sky, one under a full Moon (18.2, Krisciunas & Schaefer 1991), twilight with the Sun 6 degrees down
        // (13.30, Patat et al. 2006, table 4).
        let [dark, moonlit, twilight] = [22.0, 18.24, 13.3].map(|magnitude| shade(reached(magnitude)));
        assert!(dark == 0 && twilight == 255 && (120..180).contains(&moonlit), "{moonlit}");
        assert_eq!(reached(20.4), reached(19.6));
        assert_ne!(reached(20.4), reached(19.4));
    }

    #[test]
    fn the_edge_of_a_shade_lies_where_the_light_crosses_it() {
        // Light that grows evenly from 22 at the zenith to 16 at the horizon: magnitude = 16 + 6 (altitude / 90).
        let looks: [f64; UP + 1] = std::array::from_fn(|row| 16.0 + 6.0 * row as f64 / UP as f64);
        let light = Light { magnitudes: vec![looks; usize::from(AROUND)] };
        let strip = Rectangle { left: 0.0, top: 0.0, right: 720.0, bottom: 900.0 };
        let half = Angle::from_degrees(180.0);
        let map = UnrolledMap::around(strip, (half, half), None);
        let third = Ink::SkyLight(shade(3));
        let mut tops = f32::INFINITY;
        for item in light.shades(&map) {
            let Item::Path { points, fill: Some(fill), .. } = item else { continue };
            if fill == third {
                tops = points.iter().fold(tops, |top, at| top.min(at.y));
            }
        }
        // 22 - 2.5 = 19.5 is reached at altitude 52.5, 525 of 900 points up.
        assert!((tops - 375.0).abs() < 0.01, "{tops}");
    }
}
