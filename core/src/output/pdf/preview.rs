//! The laid out sides as drawings: what the window shows before anything is written.

use super::page::{Mark, Pages};
use crate::chart::{Anchor, Ink, Item, Point, Rectangle, Scene, Stroke, Weight};

/// One drawing a side, as large as the paper, of the very marks that the file would draw.
pub(super) fn scenes(pages: &Pages<'_>) -> Vec<Scene> {
    pages.sides.iter().map(|marks| scene(pages, marks)).collect()
}

fn scene(pages: &Pages<'_>, marks: &[Mark<'_>]) -> Scene {
    let (width, height) = pages.setting.size;
    let mut items = Vec::new();
    let mut words: Vec<&str> = Vec::new();
    for mark in marks {
        match mark {
            Mark::Text { x, y, size, weight, text, .. } => {
                let item = Item::text((*x, *y), Anchor::Start, *size, Ink::Text, text.clone());
                items.push(if *weight == Weight::Semibold { item.semibold() } else { item });
            }
            Mark::Rule { from, to, width, .. } => {
                items.push(Item::segment(*from, *to, Stroke::solid(Ink::Text, *width)));
            }
            Mark::Frame { at, size, .. } => {
                let (left, top) = *at;
                let frame = Rectangle { left, top, right: left + size.0, bottom: top + size.1 };
                items.push(Item::rectangle(&frame, None, Some(Stroke::solid(Ink::Text, FRAME_WIDTH))));
            }
            Mark::Drawing { at, scale, scene, .. } => {
                items.extend(scene.items.iter().map(|item| placed(pages, item, *at, *scale)));
            }
        }
        match mark {
            Mark::Text { text, .. } => words.push(text.trim_end()),
            Mark::Drawing { scene, .. } => words.push(&scene.alt),
            Mark::Rule { .. } | Mark::Frame { .. } => {}
        }
    }
    Scene { width, height, alt: words.join(" "), items }
}

/// Width of the edge of a box.
pub(super) const FRAME_WIDTH: f32 = 0.9;

/// An item of a drawing as it lies on the side.
fn placed(pages: &Pages<'_>, item: &Item, at: (f32, f32), scale: f32) -> Item {
    let place = |point: &Point| Point { x: at.0 + scale * point.x, y: at.1 + scale * point.y };
    match item {
        Item::Path { points, closed, fill, stroke } => Item::Path {
            points: points.iter().map(place).collect(),
            closed: *closed,
            fill: *fill,
            stroke: stroke.map(|stroke| Stroke {
                width: scale * stroke.width,
                dash: stroke.dash.map(|(dash, gap)| (scale * dash, scale * gap)),
                ..stroke
            }),
        },
        Item::Text { at, anchor, size, weight, ink, runs_up, text } => Item::Text {
            at: place(at),
            anchor: *anchor,
            size: scale * size,
            weight: *weight,
            ink: *ink,
            runs_up: *runs_up,
            text: pages.typeface.writable(text),
        },
    }
}
