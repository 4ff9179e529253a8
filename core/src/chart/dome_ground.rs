//! What the site, the mount and the Sun take of the sky: horizon profile, lowest and highest, keyhole, closed parts.

use super::dome_map::{around, towards};
use super::{DomeMap, Ink, Item, Point, Stroke};
use crate::plan::{Materials, Moment, Prepared, near_sun, sun_exclusion};
use crate::rig::Drive;
use crate::units::Angle;

/// Between the slanting lines over a closed part of the sky, and along them between two looks at what lies there.
const HATCH_SPACING: f32 = 9.0;
const HATCH_STEP: f32 = 2.0;

/// The ground from the rim up to the horizon profile, and the profile itself, a piece every so many degrees.
pub(super) fn horizon(map: &DomeMap, materials: &Materials<'_>, step_deg: u16) -> Vec<Item> {
    let profile = |azimuth_deg: u16| {
        let azimuth = Angle::from_degrees(f64::from(azimuth_deg));
        (azimuth, materials.site.horizon.altitude(azimuth).max(Angle::ZERO))
    };
    let steps = || (0..=360).step_by(usize::from(step_deg.max(1)));
    let mut items = Vec::new();
    for (from, to) in steps().zip(steps().skip(1)) {
        let ((from, low), (to, high)) = (profile(from), profile(to));
        items.push(Item::Path {
            points: vec![
                map.place(from, Angle::ZERO),
                map.place(from, low),
                map.place(to, high),
                map.place(to, Angle::ZERO),
            ],
            closed: true,
            fill: Some(Ink::Earth),
            stroke: None,
        });
    }
    let line = steps().map(profile).map(|(azimuth, altitude)| map.place(azimuth, altitude)).collect();
    items.push(Item::line(line, Stroke::solid(Ink::Text, 1.6)));
    items.push(ring(map, Angle::ZERO, Stroke::solid(Ink::Text, 1.0)));
    items
}

/// The lowest altitude of the mount, where any sky lies below it.
pub(super) fn lowest(map: &DomeMap, materials: &Materials<'_>) -> Option<Item> {
    let lowest = materials.rig.mount.lowest_altitude;
    (lowest > Angle::ZERO).then(|| ring(map, lowest, Stroke::dashed(Ink::Move, 1.0, 2.0, 4.0)))
}

/// Where the horizon profile and the mount's limit are named: on the side of the pole, where the fewest targets stand.
pub(super) fn limits_named(map: &DomeMap, materials: &Materials<'_>) -> [(Point, &'static str); 2] {
    let south = materials.site.place.latitude < Angle::ZERO;
    let pole = Angle::from_degrees(if south { 180.0 } else { 0.0 });
    let aside = Angle::from_degrees(28.0);
    let profile = materials.site.horizon.altitude(pole - aside).max(Angle::ZERO);
    [
        (map.place(pole - aside, profile), "horizon profile"),
        (map.place(pole + aside, materials.rig.mount.lowest_altitude), "mount's limit"),
    ]
}

/// A line of one altitude all around.
pub(super) fn ring(map: &DomeMap, altitude: Angle, stroke: Stroke) -> Item {
    let points = (0..360).step_by(2).map(|step| map.place(Angle::from_degrees(f64::from(step)), altitude));
    Item::Path { points: points.collect(), closed: true, fill: None, stroke: Some(stroke) }
}

/// Where the mount can't follow: round the zenith, or round the pole for an equatorial one. Its edge, and its radius.
pub(super) fn keyhole(map: &DomeMap, materials: &Materials<'_>) -> Option<(Vec<Item>, Point, Angle)> {
    let quarter = Angle::from_degrees(90.0);
    let mount = &materials.rig.mount;
    let (middle, radius) = match &mount.drive {
        Drive::AltAzimuth(drive) => {
            ((Angle::ZERO, quarter), drive.keyhole_radius.max(quarter - mount.highest_altitude))
        }
        Drive::Equatorial(drive) => {
            let latitude = materials.site.place.latitude;
            let azimuth = if latitude < Angle::ZERO { Angle::from_degrees(180.0) } else { Angle::ZERO };
            ((azimuth, latitude.abs()), drive.pole_keyhole_radius)
        }
    };
    if radius <= Angle::ZERO {
        return None;
    }
    let edge = map.lines(around(towards(middle.0, middle.1), radius));
    let stroke = Stroke::solid(Ink::Text, 1.4);
    let items = edge.into_iter().map(|line| Item::line(line, stroke)).collect();
    Some((items, map.place(middle.0, middle.1), radius))
}

/// The Sun's exclusion while it holds: hatched, with its edge, and a place in it.
pub(super) fn sun_limit(
    map: &DomeMap,
    materials: &Materials<'_>,
    moment: &Moment,
) -> Option<(Vec<Item>, Point)> {
    let sun = &moment.sun;
    if !near_sun(materials.site, sun.altitude, Angle::ZERO) {
        return None;
    }
    let inside = |azimuth, altitude| {
        near_sun(materials.site, sun.altitude, towards(azimuth, altitude).angle_to(sun.east_north_up))
    };
    let mut items = hatched(map, false, inside, Stroke::solid(Ink::Stopper, 0.8));
    let edge = map.lines(around(sun.east_north_up, sun_exclusion(materials.site)));
    items.extend(edge.into_iter().map(|line| Item::line(line, Stroke::solid(Ink::Stopper, 1.6))));
    let above = sun.altitude.max(Angle::ZERO) + sun_exclusion(materials.site) / 2.0;
    Some((items, map.place(sun.azimuth, above.min(Angle::from_degrees(90.0)))))
}

/// The parts of the sky that are closed at a moment, hatched, with their edges, and a place in the middle of each.
pub(super) fn closed_sky(
    map: &DomeMap,
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
        let inside = |azimuth, _| part.closes(azimuth, at);
        items.extend(hatched(map, true, inside, Stroke::solid(Ink::Move, 0.8)));
        for end in [part.from, part.to].into_iter().filter(|_| !all_around) {
            let line = vec![map.centre, map.place(end, Angle::ZERO)];
            items.push(Item::line(line, Stroke::solid(Ink::Move, 1.2)));
        }
        middles.push((position, map.place(middle, Angle::from_degrees(35.0))));
    }
    (items, middles)
}

/// Slanting lines, rising to the right or falling, over the part of the sky in which `inside` says yes to azimuth and
/// altitude.
fn hatched(map: &DomeMap, rising: bool, inside: impl Fn(Angle, Angle) -> bool, stroke: Stroke) -> Vec<Item> {
    let slope = if rising { -1.0 } else { 1.0 };
    let lines = (2.0 * map.radius / HATCH_SPACING) as i32;
    let steps = (map.radius / HATCH_STEP) as i32;
    let mut items = Vec::new();
    for line in -lines..=lines {
        let mut run: Option<(Point, Point)> = None;
        for step in -steps..=steps + 1 {
            let along = step as f32 * HATCH_STEP;
            let across = line as f32 * HATCH_SPACING;
            let at = Point { x: map.centre.x + along, y: map.centre.y + slope * along + across };
            let is_inside = map.direction(at).is_some_and(|(azimuth, altitude)| inside(azimuth, altitude));
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

#[cfg(test)]
mod tests {
    use super::{DomeMap, hatched};
    use crate::chart::{Ink, Item, Point, Stroke};
    use crate::units::Angle;

    #[test]
    fn a_hatch_keeps_to_its_part_of_the_sky() {
        let map = DomeMap { centre: Point { x: 100.0, y: 100.0 }, radius: 90.0, overhead: false };
        let east = |azimuth: Angle, _| (45.0..135.0).contains(&azimuth.degrees());
        let items = hatched(&map, true, east, Stroke::solid(Ink::Move, 1.0));
        assert!(items.len() > 5);
        for item in items {
            let Item::Path { points, .. } = item else { panic!("lines only") };
            for at in points {
                let (azimuth, _) = map.direction(at).expect("within the rim");
                assert!((44.9..135.1).contains(&azimuth.degrees()), "{at:?}");
            }
        }
    }
}
