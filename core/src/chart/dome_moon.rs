//! The Moon's disc with its phase, as it lies on a drawing of the sky.

use super::dome_map::{direction_of, towards};
use super::dome_stops::disc;
use super::{DomeMap, Ink, Item, Point};
use crate::place::Air;
use crate::plan::Moment;
use crate::units::Angle;

/// The disc with its lit part towards the Sun, and its middle; `None` below the horizon.
pub(super) fn moon_disc(map: &DomeMap, moment: &Moment, air: Air, radius: f32) -> Option<(Vec<Item>, Point)> {
    let altitude = moment.moon.apparent_altitude(air);
    if altitude < Angle::ZERO {
        return None;
    }
    let centre = map.place(moment.moon.azimuth, altitude);
    let mut items = vec![
        disc(centre, radius + 1.5, Some(Ink::Text), None),
        disc(centre, radius, Some(Ink::MoonDark), None),
    ];
    // A small step along the great circle from the Moon to the Sun shows where the lit side faces.
    let (moon, sun) = (towards(moment.moon.azimuth, altitude), moment.sun.east_north_up);
    let across = (sun - moon * sun.dot(moon)).unit();
    let (azimuth, altitude) = direction_of((moon + across * 0.01).unit());
    let beside = map.place(azimuth, altitude);
    let (x, y) = (beside.x - centre.x, beside.y - centre.y);
    let length = x.hypot(y).max(1e-6);
    let (x, y) = (x / length, y / length);
    // Half a circle, and half an ellipse with the terminator's semi-axis 1 - 2 k towards the lit limb.
    let terminator = 1.0 - 2.0 * moment.moon_illuminated().value() as f32;
    let on_disc = |along: f32, out: f32| Point {
        x: centre.x + radius * (out * x - along * y),
        y: centre.y + radius * (out * y + along * x),
    };
    let half = |along: f32| (1.0 - along * along).max(0.0).sqrt();
    let rows: Vec<f32> = (0..=16_u8).map(|step| f32::from(step) / 8.0 - 1.0).collect();
    for two in rows.windows(2) {
        let (low, high) = (two[0], two[1]);
        let points = vec![
            on_disc(low, terminator * half(low)),
            on_disc(low, half(low)),
            on_disc(high, half(high)),
            on_disc(high, terminator * half(high)),
        ];
        items.push(Item::Path { points, closed: true, fill: Some(Ink::MoonLit), stroke: None });
    }
    Some((items, centre))
}
