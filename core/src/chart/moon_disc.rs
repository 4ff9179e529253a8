//! The Moon's disc with its phase, as it lies on a drawing of the sky.

use super::sky_marks::disc;
use super::{Ink, Item, Point};
use crate::units::Fraction;

/// The disc at a place, so much of it lit, the lit side towards `sunward` (any length, y down).
pub(super) fn moon_disc(centre: Point, radius: f32, lit: Fraction, sunward: (f32, f32)) -> Vec<Item> {
    let length = sunward.0.hypot(sunward.1).max(1e-6);
    let (x, y) = (sunward.0 / length, sunward.1 / length);
    let mut items = vec![
        disc(centre, radius + 1.5, Some(Ink::Text), None),
        disc(centre, radius, Some(Ink::MoonDark), None),
    ];
    // Half a circle, and half an ellipse with the terminator's semi-axis 1 - 2 k towards the lit limb.
    let terminator = 1.0 - 2.0 * lit.value() as f32;
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
    items
}
