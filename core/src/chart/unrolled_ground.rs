//! What the site, the mount and the Sun take of the unrolled sky: ground, limits, keyhole, closed parts, cable ends.

use super::directions::{around, towards};
use super::unrolled_map::GRID_DEG;
use super::unrolled_telescope::cable_ends;
use super::{Ink, Item, Point, Rectangle, Stroke, UnrolledMap, hatch};
use crate::plan::{Materials, Moment, Prepared, near_sun, sun_exclusion};
use crate::rig::Drive;
use crate::units::Angle;

const QUARTER: Angle = Angle::from_degrees(90.0);
/// Between the slanting lines over a part of the sky, and along them between two looks at what lies there.
const HATCH_SPACING: f32 = 10.0;
const HATCH_STEP: f32 = 2.0;
/// Between the lines of a narrow band.
const BAND_SPACING: f32 = 5.0;
/// Heights that are marked.
const HEIGHTS_DEG: [f64; 2] = [30.0, 60.0];

/// The ground from its foot up to the horizon profile, a piece for every degree, with the profile's edge.
pub(super) fn ground(map: &UnrolledMap, materials: &Materials<'_>, foot: f32) -> Vec<Item> {
    let horizon = &materials.site.horizon;
    let count = (map.last - map.first).degrees().round() as u32;
    let edge = (0..=count).map(|step| {
        let turned = map.first + Angle::from_degrees(f64::from(step));
        (turned, map.place(turned, horizon.altitude(turned.wrapped()).max(Angle::ZERO)))
    });
    let edge: Vec<(Angle, Point)> = edge.collect();
    let pieces = edge.windows(2).map(|two| {
        let (from, to) = (two[0].1, two[1].1);
        let points = vec![Point { x: from.x, y: foot }, from, to, Point { x: to.x, y: foot }];
        Item::Path { points, closed: true, fill: Some(Ink::Earth), stroke: None }
    });
    let mut items: Vec<Item> = pieces.collect();
    // What is seen again has a finer edge.
    let (again, own): (Vec<_>, Vec<_>) = edge.windows(2).partition(|two| map.is_again(two[0].0));
    for (parts, width) in [(again, 0.7), (own, 1.8)] {
        let lines = parts
            .into_iter()
            .map(|two| Item::line(vec![two[0].1, two[1].1], Stroke::solid(Ink::Text, width)));
        items.extend(lines);
    }
    items
}

/// Heights as fine lines.
pub(super) fn heights(map: &UnrolledMap) -> [(Item, Angle); 2] {
    HEIGHTS_DEG.map(Angle::from_degrees).map(|up| (level(map, up, Stroke::solid(Ink::Grid, 1.0)), up))
}

/// The lowest altitude of the mount, where any sky lies below it.
pub(super) fn lowest(map: &UnrolledMap, materials: &Materials<'_>) -> Option<Item> {
    let lowest = materials.rig.mount.lowest_altitude;
    (lowest > Angle::ZERO).then(|| level(map, lowest, Stroke::dashed(Ink::Move, 1.2, 2.0, 4.0)))
}

/// A line of one altitude.
fn level(map: &UnrolledMap, altitude: Angle, stroke: Stroke) -> Item {
    Item::line(vec![map.place(map.first, altitude), map.place(map.last, altitude)], stroke)
}

/// Where the mount can't follow.
pub(super) struct Keyhole {
    pub lines: Vec<Item>,
    /// A place of it in the whole turn of the evening, and its radius.
    pub at: Point,
    pub radius: Angle,
    /// The band that it takes, if it is one.
    pub band: Option<Rectangle>,
}

/// Where the mount can't follow: a band along the top round the zenith, or a circle round the pole for an equatorial one.
pub(super) fn keyhole(map: &UnrolledMap, materials: &Materials<'_>) -> Option<Keyhole> {
    let mount = &materials.rig.mount;
    match &mount.drive {
        Drive::AltAzimuth(drive) => {
            let radius = drive.keyhole_radius.max(QUARTER - mount.highest_altitude);
            let band = Rectangle { bottom: map.height(QUARTER - radius), ..map.strip };
            let mut items = hatch(&band, BAND_SPACING, Stroke::solid(Ink::Move, 0.8));
            items.push(level(map, QUARTER - radius, Stroke::solid(Ink::Text, 1.2)));
            let at = map.place(map.home + Angle::from_degrees(52.0), QUARTER - radius);
            (radius > Angle::ZERO).then_some(Keyhole { lines: items, at, radius, band: Some(band) })
        }
        Drive::Equatorial(drive) => {
            let latitude = materials.site.place.latitude;
            let azimuth = if latitude < Angle::ZERO { Angle::from_degrees(180.0) } else { Angle::ZERO };
            let radius = drive.pole_keyhole_radius;
            let edge = map.everywhere(&around(towards(azimuth, latitude.abs()), radius));
            let items =
                edge.into_iter().map(|line| Item::line(line, Stroke::solid(Ink::Text, 1.4))).collect();
            let at = map.place(map.in_home(azimuth), latitude.abs());
            (radius > Angle::ZERO).then_some(Keyhole { lines: items, at, radius, band: None })
        }
    }
}

/// The Sun's exclusion while it holds: hatched, with its edge, and a place in it.
pub(super) fn sun_limit(
    map: &UnrolledMap,
    materials: &Materials<'_>,
    moment: &Moment,
) -> Option<(Vec<Item>, Point)> {
    let sun = &moment.sun;
    if !near_sun(materials.site, sun.altitude, Angle::ZERO) {
        return None;
    }
    let inside = |turned, altitude| {
        near_sun(materials.site, sun.altitude, towards(turned, altitude).angle_to(sun.east_north_up))
    };
    let mut items = hatched(map, false, inside, Stroke::solid(Ink::Stopper, 0.8));
    let edge = map.everywhere(&around(sun.east_north_up, sun_exclusion(materials.site)));
    items.extend(edge.into_iter().map(|line| Item::line(line, Stroke::solid(Ink::Stopper, 1.6))));
    let above = sun.altitude.max(Angle::ZERO) + sun_exclusion(materials.site) / 2.0;
    Some((items, map.place(map.in_home(sun.azimuth), above.min(QUARTER))))
}

/// The parts of the sky that are closed at a moment, hatched, with their edges, and a place in the middle of each.
pub(super) fn closed_sky(
    map: &UnrolledMap,
    prepared: &Prepared,
    moment: &Moment,
) -> (Vec<Item>, Vec<(usize, Point)>) {
    let (mut items, mut middles) = (Vec::new(), Vec::new());
    let at = moment.instant;
    for (position, part) in prepared.closed_sky.iter().enumerate() {
        let width = (part.to - part.from).wrapped();
        let all_around = width == Angle::ZERO;
        let middle = part.from + if all_around { Angle::from_degrees(180.0) } else { width / 2.0 };
        if !part.closes(middle, at) {
            continue;
        }
        let inside = |turned: Angle, _| part.closes(turned.wrapped(), at);
        items.extend(hatched(map, true, inside, Stroke::solid(Ink::Move, 0.8)));
        for end in [part.from, part.to].into_iter().filter(|_| !all_around) {
            for turned in map.all(end) {
                let line = vec![map.place(turned, Angle::ZERO), map.place(turned, QUARTER)];
                items.push(Item::line(line, Stroke::solid(Ink::Move, 1.2)));
            }
        }
        middles.push((position, map.place(map.in_home(middle), Angle::from_degrees(70.0))));
    }
    (items, middles)
}

/// The part of the strip that the cables allow: from where to where along it.
pub(super) fn open(map: &UnrolledMap, materials: &Materials<'_>) -> (f32, f32) {
    let (low, high) = cable_ends(materials).unwrap_or((map.first, map.last));
    (map.along(low.max(map.first)), map.along(high.min(map.last)))
}

/// The ends of the cables as walls from the top down to `foot`, with what lies beyond them hatched; and what that covers.
pub(super) fn walls(map: &UnrolledMap, materials: &Materials<'_>, foot: f32) -> (Vec<Item>, Vec<Rectangle>) {
    let (mut items, mut covered) = (Vec::new(), Vec::new());
    let (open_left, open_right) = open(map, materials);
    let beyond = [(map.strip.left, open_left, open_left), (open_right, map.strip.right, open_right)];
    for (left, right, wall) in beyond.into_iter().filter(|(left, right, _)| right - left > 0.5) {
        let part = Rectangle { left, right, top: map.strip.top, bottom: foot };
        items.push(Item::rectangle(&part, Some(Ink::Ground), None));
        items.extend(hatch(&part, BAND_SPACING, Stroke::solid(Ink::Move, 0.8)));
        items.push(Item::segment((wall, map.strip.top), (wall, foot), Stroke::solid(Ink::Text, 3.0)));
        covered.push(Rectangle { left: left.min(wall - 2.0), right: right.max(wall + 2.0), ..part });
    }
    (items, covered)
}

/// Where the horizon profile and the mount's limit are named: towards the pole, where the fewest targets stand.
pub(super) fn limits_named(map: &UnrolledMap, materials: &Materials<'_>) -> [(Point, &'static str); 2] {
    let south = materials.site.place.latitude < Angle::ZERO;
    let pole = map.in_home(Angle::from_degrees(if south { 180.0 } else { 0.0 }));
    let aside = Angle::from_degrees(24.0);
    let within = |turned: Angle| turned.max(map.first + aside / 2.0).min(map.last - aside / 2.0);
    let (one, other) = (within(pole - aside), within(pole + aside));
    let profile = materials.site.horizon.altitude(one.wrapped()).max(Angle::ZERO);
    [
        (map.place(one, profile), "horizon profile"),
        (map.place(other, materials.rig.mount.lowest_altitude), "mount's limit"),
    ]
}

/// Slanting lines, rising to the right or falling, over the part of the strip in which `inside` says yes to azimuth (as
/// the mount turns) and altitude.
fn hatched(
    map: &UnrolledMap,
    rising: bool,
    inside: impl Fn(Angle, Angle) -> bool,
    stroke: Stroke,
) -> Vec<Item> {
    let strip = map.strip;
    let steps = (strip.height() / HATCH_STEP) as i32;
    let count = ((strip.width() + strip.height()) / HATCH_SPACING) as i32;
    let mut items = Vec::new();
    for line in 0..=count {
        let start = strip.left + line as f32 * HATCH_SPACING - if rising { strip.height() } else { 0.0 };
        let mut run: Option<(Point, Point)> = None;
        for step in 0..=steps + 1 {
            let up = step as f32 * HATCH_STEP;
            let x = if rising { start + up } else { start - up };
            let at = Point { x, y: strip.bottom - up };
            let is_inside = map.direction(at).is_some_and(|(turned, altitude)| inside(turned, altitude));
            run = match (run, is_inside) {
                (None, true) => Some((at, at)),
                (Some((from, _)), true) => Some((from, at)),
                (Some((from, to)), false) => {
                    items.push(Item::line(vec![from, to], stroke));
                    None
                }
                (None, false) => None,
            };
        }
    }
    items
}

/// The eight winds on the ground: azimuth as the mount turns, and whether it is one of the four that have a word in any
/// case.
pub(super) fn winds(map: &UnrolledMap) -> impl Iterator<Item = (Angle, bool)> + use<> {
    let first = (map.first.degrees() / 45.0).ceil() as i32;
    let last = (map.last.degrees() / 45.0).floor() as i32;
    (first..=last).map(|wind| (Angle::from_degrees(f64::from(wind) * 45.0), wind % 2 == 0))
}

/// Where the whole turn of the evening begins and ends on the strip.
pub(super) fn seams(map: &UnrolledMap) -> impl Iterator<Item = Angle> + use<> {
    let map = *map;
    let near = Angle::from_degrees(GRID_DEG / 2.0);
    [map.home, map.home + Angle::from_degrees(360.0)]
        .into_iter()
        .filter(move |at| *at > map.first + near && *at < map.last - near)
}

#[cfg(test)]
mod tests {
    use super::{hatched, winds};
    use crate::chart::{Ink, Item, Rectangle, Stroke, UnrolledMap};
    use crate::units::Angle;

    fn map() -> UnrolledMap {
        let strip = Rectangle { left: 10.0, top: 10.0, right: 370.0, bottom: 190.0 };
        let half = Angle::from_degrees(180.0);
        UnrolledMap::around(strip, (half, half), None)
    }

    #[test]
    fn a_hatch_keeps_to_its_part_of_the_sky() {
        let map = map();
        let east = |azimuth: Angle, _| (45.0..135.0).contains(&azimuth.degrees());
        for rising in [true, false] {
            let items = hatched(&map, rising, east, Stroke::solid(Ink::Move, 1.0));
            assert!(items.len() > 5);
            for item in items {
                let Item::Path { points, .. } = item else { panic!("lines only") };
                for at in points {
                    let (azimuth, _) = map.direction(at).expect("on the strip");
                    assert!((44.9..135.1).contains(&azimuth.degrees()), "{at:?}");
                }
            }
        }
    }

    #[test]
    fn the_winds_stand_every_eighth_of_a_turn() {
        let winds: Vec<_> = winds(&map()).map(|(at, named)| (at.degrees().round(), named)).collect();
        assert_eq!(winds.len(), 9);
        assert!(winds[0] == (0.0, true) && winds[1] == (45.0, false) && winds[8] == (360.0, true));
    }
}
