//! Paints a scene of the core in the window's colours.

use egui::{Color32, Mesh, Painter, Pos2, Shape, Stroke, lerp, vec2};
use evenfall_core::chart::{Anchor, Ink, Item, Point, Scene, Stroke as SceneStroke, Weight};

use crate::ui::theme::{Tokens, regular, semibold};

/// Paints all of it, its upper left corner at `origin`.
pub fn paint(painter: &Painter, tokens: &Tokens, scene: &Scene, origin: Pos2) {
    let place = |at: &Point| origin + vec2(at.x, at.y);
    // Areas without an edge go together, without feathered seams between them.
    let mut areas = Mesh::default();
    for item in &scene.items {
        match item {
            Item::Path { points, fill: Some(fill), stroke: None, .. } => {
                let points: Vec<Pos2> = points.iter().map(place).collect();
                fan(&mut areas, &points, colour(tokens, *fill));
            }
            Item::Path { points, closed, fill, stroke } => {
                flush(painter, &mut areas);
                let points: Vec<Pos2> = points.iter().map(place).collect();
                if let Some(fill) = fill {
                    let shape = Shape::convex_polygon(points.clone(), colour(tokens, *fill), Stroke::NONE);
                    painter.add(shape);
                }
                if let Some(stroke) = stroke {
                    painter.extend(line(tokens, points, *closed, *stroke));
                }
            }
            Item::Text { at, anchor, size, weight, ink, text } => {
                flush(painter, &mut areas);
                let font = match weight {
                    Weight::Regular => regular(*size),
                    Weight::Semibold => semibold(*size),
                };
                let ink = colour(tokens, *ink);
                let galley = painter.layout_no_wrap(text.clone(), font, ink);
                let rows = galley.rows.first();
                let baseline =
                    rows.and_then(|row| Some(row.pos.y + row.glyphs.first()?.pos.y)).unwrap_or(*size);
                let left = match anchor {
                    Anchor::Start => 0.0,
                    Anchor::Middle => galley.size().x / 2.0,
                    Anchor::End => galley.size().x,
                };
                painter.galley(place(at) - vec2(left, baseline), galley, ink);
            }
        }
    }
    flush(painter, &mut areas);
}

fn flush(painter: &Painter, areas: &mut Mesh) {
    if !areas.is_empty() {
        painter.add(Shape::mesh(std::mem::take(areas)));
    }
}

/// A convex area as triangles from its first corner.
fn fan(mesh: &mut Mesh, corners: &[Pos2], ink: Color32) {
    let first = mesh.vertices.len() as u32;
    for corner in corners {
        mesh.colored_vertex(*corner, ink);
    }
    for corner in 2..corners.len() as u32 {
        mesh.add_triangle(first, first + corner - 1, first + corner);
    }
}

fn line(tokens: &Tokens, mut points: Vec<Pos2>, closed: bool, stroke: SceneStroke) -> Vec<Shape> {
    let pen = Stroke::new(stroke.width, colour(tokens, stroke.ink));
    match stroke.dash {
        Some((dash, gap)) => {
            points.extend(points.first().copied().filter(|_| closed));
            Shape::dashed_line(&points, pen, dash, gap)
        }
        None if closed => vec![Shape::closed_line(points, pen)],
        None => vec![Shape::line(points, pen)],
    }
}

/// The colour of an ink in the sky overhead, which is drawn in shades of paper.
fn colour(tokens: &Tokens, ink: Ink) -> Color32 {
    match ink {
        Ink::Ground => tokens.raised,
        Ink::Text | Ink::Held => tokens.ink,
        Ink::Quiet => tokens.quiet,
        Ink::Grid => tokens.hair,
        Ink::SkyLight(level) => mixed(tokens.dome.1, tokens.dome.0, f32::from(level) / 255.0),
        Ink::Moon => tokens.moon,
        Ink::MoonLit => tokens.moon_disc.0,
        Ink::MoonDark => tokens.moon_disc.1,
        Ink::Earth => tokens.earth,
        Ink::Port(index) => tokens.port(usize::from(index)),
        Ink::Move => tokens.travel,
        Ink::Stopper => tokens.stopper,
        Ink::Caution => tokens.caution,
        Ink::Accent => tokens.accent,
    }
}

fn mixed(from: Color32, to: Color32, share: f32) -> Color32 {
    let channel = |from: u8, to: u8| lerp(f32::from(from)..=f32::from(to), share).round() as u8;
    Color32::from_rgb(channel(from.r(), to.r()), channel(from.g(), to.g()), channel(from.b(), to.b()))
}
