//! The ground round the sky for visitors, and its heights as rings.

use super::dome_map::DomeMap;
use super::{Ink, Item, Stroke};
use crate::plan::Materials;
use crate::units::Angle;

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

/// A line of one altitude all around.
pub(super) fn ring(map: &DomeMap, altitude: Angle, stroke: Stroke) -> Item {
    let points = (0..360).step_by(2).map(|step| map.place(Angle::from_degrees(f64::from(step)), altitude));
    Item::Path { points: points.collect(), closed: true, fill: None, stroke: Some(stroke) }
}
