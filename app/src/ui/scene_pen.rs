//! Paints a drawing of the core: shapes and text at a scale, in the colours that whoever paints gives to its inks.

use std::f32::consts::FRAC_PI_2;
use std::mem::take;

use egui::epaint::TextShape;
use egui::{Color32, Mesh, Painter, Pos2, Shape, Stroke, lerp, vec2};
use evenfall_core::chart::{Anchor, Ink, Item, Point, Scene, Stroke as SceneStroke, Weight};

use super::theme::{regular, semibold};

/// Where and how a drawing is painted.
pub struct Pen<'p> {
    /// Its upper left corner.
    pub origin: Pos2,
    /// Points of the window for a point of the drawing.
    pub scale: f32,
    /// The colour of an ink.
    pub colour: &'p dyn Fn(Ink) -> Color32,
}

impl Pen<'_> {
    /// Paints all of it.
    pub fn paint(&self, painter: &Painter, scene: &Scene) {
        // Areas without an edge go together, without feathered seams between them.
        let mut areas = Mesh::default();
        for item in &scene.items {
            match item {
                Item::Path { points, fill: Some(fill), stroke: None, .. } => {
                    let points: Vec<Pos2> = points.iter().map(|point| self.place(*point)).collect();
                    fan(&mut areas, &points, (self.colour)(*fill));
                }
                Item::Path { points, closed, fill, stroke } => {
                    flush(painter, &mut areas);
                    let points: Vec<Pos2> = points.iter().map(|point| self.place(*point)).collect();
                    if let Some(fill) = fill {
                        let shape = Shape::convex_polygon(points.clone(), (self.colour)(*fill), Stroke::NONE);
                        painter.add(shape);
                    }
                    if let Some(stroke) = stroke {
                        painter.extend(self.line(points, *closed, *stroke));
                    }
                }
                Item::Text { .. } => {
                    flush(painter, &mut areas);
                    self.text(painter, item);
                }
            }
        }
        flush(painter, &mut areas);
    }

    fn place(&self, at: Point) -> Pos2 {
        self.origin + self.scale * vec2(at.x, at.y)
    }

    fn text(&self, painter: &Painter, item: &Item) {
        let Item::Text { at, anchor, size, weight, ink, runs_up, text } = item else { return };
        let size = size * self.scale;
        let font = match weight {
            Weight::Regular => regular(size),
            Weight::Semibold => semibold(size),
        };
        let ink = (self.colour)(*ink);
        let galley = painter.layout_no_wrap(text.clone(), font, ink);
        let first = galley.rows.first();
        let baseline = first.and_then(|row| Some(row.pos.y + row.glyphs.first()?.pos.y)).unwrap_or(size);
        let left = match anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => galley.size().x / 2.0,
            Anchor::End => galley.size().x,
        };
        if *runs_up {
            let corner = self.place(*at) + vec2(-baseline, left);
            painter.add(TextShape::new(corner, galley, ink).with_angle(-FRAC_PI_2));
        } else {
            painter.galley(self.place(*at) - vec2(left, baseline), galley, ink);
        }
    }

    fn line(&self, mut points: Vec<Pos2>, closed: bool, stroke: SceneStroke) -> Vec<Shape> {
        let pen = Stroke::new(stroke.width * self.scale, (self.colour)(stroke.ink));
        match stroke.dash {
            Some((dash, gap)) => {
                points.extend(points.first().copied().filter(|_| closed));
                Shape::dashed_line(&points, pen, dash * self.scale, gap * self.scale)
            }
            None if closed => vec![Shape::closed_line(points, pen)],
            None => vec![Shape::line(points, pen)],
        }
    }
}

fn flush(painter: &Painter, areas: &mut Mesh) {
    if !areas.is_empty() {
        painter.add(Shape::mesh(take(areas)));
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

/// A colour between two.
pub fn mixed(from: Color32, to: Color32, share: f32) -> Color32 {
    let channel = |from: u8, to: u8| lerp(f32::from(from)..=f32::from(to), share).round() as u8;
    Color32::from_rgb(channel(from.r(), to.r()), channel(from.g(), to.g()), channel(from.b(), to.b()))
}
