//! Patterns that tell the parts of a move and what is closed, by line and not by colour.

use egui::{Color32, Mesh, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2};

use super::telescope::Part;
use crate::ui::theme::{FINE, HAIR, Tokens};

/// Between two lines of a pattern: close for the parts of a move, wide for what lies over other things.
const CLOSE: f32 = 3.0;
pub const WIDE_APART: f32 = 7.0;

/// Lines falling to the right through a rectangle.
pub fn falling(painter: &Painter, rect: Rect, apart: f32, stroke: Stroke) {
    painter.extend(slanted(rect, apart, -1.0, stroke));
}

/// Lines at half a right angle, cut off at the sides.
fn slanted(rect: Rect, apart: f32, rise: f32, stroke: Stroke) -> impl Iterator<Item = Shape> {
    let (width, height) = (rect.width().max(0.0), rect.height().max(0.0));
    let count = if rect.is_positive() { ((width + height) / apart).ceil() as usize } else { 0 };
    (1..count).map(move |line| {
        // Along the lower edge, and where the line meets a side before that.
        let foot = line as f32 * apart;
        let low: Vec2 = if foot <= width { vec2(foot, height) } else { vec2(width, height + width - foot) };
        let high: Vec2 = if foot <= height { vec2(0.0, height - foot) } else { vec2(foot - height, 0.0) };
        let at = |corner: Vec2| -> Pos2 {
            if rise > 0.0 { pos2(rect.right() - corner.x, rect.top() + corner.y) } else { rect.min + corner }
        };
        Shape::line_segment([at(low), at(high)], stroke)
    })
}

/// Narrower than this, a pattern could not be told from a full or an open figure.
const ROOM: f32 = 4.0;

/// Draws what there is hundreds of on a full Board: all that is full, level or upright in one mesh.
pub struct Pen<'p> {
    painter: &'p Painter,
    mesh: Mesh,
    /// Lines aslant, over the mesh.
    aslant: Vec<Shape>,
}

impl<'p> Pen<'p> {
    pub fn new(painter: &'p Painter) -> Self {
        Self { painter, mesh: Mesh::default(), aslant: Vec::new() }
    }

    /// Puts all that was drawn on the Board.
    pub fn put_down(self) {
        self.painter.add(Shape::mesh(self.mesh));
        self.painter.extend(self.aslant);
    }

    /// A part of a move by its pattern: slews rise, domes are full, port changes cross, rotators lie, settling stands,
    /// focusing falls, framing is open.
    pub fn part(&mut self, tokens: &Tokens, part: Part, rect: Rect) {
        let line = Stroke::new(FINE, tokens.travel);
        if rect.width() < ROOM {
            let open = matches!(part, Part::Framing);
            self.fill(rect, if open { tokens.ground } else { tokens.travel });
            if open {
                self.level(rect, rect.top(), line);
                self.level(rect, rect.bottom(), line);
            }
            return;
        }
        match part {
            Part::Slew => self.aslant.extend(slanted(rect, CLOSE, 1.0, line)),
            Part::Dome => self.fill(rect, tokens.travel),
            Part::Selector => {
                self.aslant.extend(slanted(rect, CLOSE, 1.0, line));
                self.aslant.extend(slanted(rect, CLOSE, -1.0, line));
            }
            Part::Rotator => {
                let lines = (rect.height() / CLOSE).floor() as usize;
                (1..=lines).for_each(|number| self.level(rect, rect.top() + number as f32 * CLOSE, line));
            }
            Part::Settle => {
                let lines = (rect.width() / CLOSE).floor() as usize;
                (1..=lines).for_each(|number| self.upright(rect, rect.left() + number as f32 * CLOSE, line));
            }
            Part::Focus => self.aslant.extend(slanted(rect, CLOSE, -1.0, line)),
            Part::Framing => {}
        }
        self.frame(rect, Stroke::new(HAIR, tokens.travel));
    }

    /// A full figure. Edges stand on whole pixels, like those of any other.
    pub fn fill(&mut self, rect: Rect, colour: Color32) {
        let per_point = self.painter.pixels_per_point();
        let whole = |at: f32| (at * per_point).round() / per_point;
        let at = |corner: Pos2| pos2(whole(corner.x), whole(corner.y));
        self.mesh.add_colored_rect(Rect::from_min_max(at(rect.min), at(rect.max)), colour);
    }

    /// A frame within a rectangle.
    pub fn frame(&mut self, rect: Rect, stroke: Stroke) {
        let inner = rect.shrink(stroke.width / 2.0);
        self.level(rect, inner.top(), stroke);
        self.level(rect, inner.bottom(), stroke);
        self.upright(rect, inner.left(), stroke);
        self.upright(rect, inner.right(), stroke);
    }

    /// A dashed frame on the edges of a rectangle.
    pub fn dashed_frame(&mut self, rect: Rect, dash: f32, stroke: Stroke) {
        let dashes = |from: f32, to: f32| {
            let count = ((to - from) / (2.0 * dash)).ceil() as usize;
            (0..count)
                .map(move |number| from + 2.0 * dash * number as f32)
                .map(move |at| at..=(at + dash).min(to))
        };
        for x in dashes(rect.left(), rect.right()) {
            let part = Rect::from_x_y_ranges(x, rect.y_range());
            self.level(part, rect.top(), stroke);
            self.level(part, rect.bottom(), stroke);
        }
        for y in dashes(rect.top(), rect.bottom()) {
            let part = Rect::from_x_y_ranges(rect.x_range(), y);
            self.upright(part, rect.left(), stroke);
            self.upright(part, rect.right(), stroke);
        }
    }

    /// Lines rising to the right through a rectangle.
    pub fn rising(&mut self, rect: Rect, apart: f32, stroke: Stroke) {
        self.aslant.extend(slanted(rect, apart, 1.0, stroke));
    }

    /// A level line through a rectangle.
    pub fn level(&mut self, rect: Rect, y: f32, stroke: Stroke) {
        let (y, half) = (self.painter.round_to_pixel_center(y), stroke.width / 2.0);
        self.mesh.add_colored_rect(Rect::from_x_y_ranges(rect.x_range(), y - half..=y + half), stroke.color);
    }

    /// An upright line through a rectangle.
    fn upright(&mut self, rect: Rect, x: f32, stroke: Stroke) {
        let (x, half) = (self.painter.round_to_pixel_center(x), stroke.width / 2.0);
        self.mesh.add_colored_rect(Rect::from_x_y_ranges(x - half..=x + half, rect.y_range()), stroke.color);
    }
}

/// A part of a move alone.
pub fn part(painter: &Painter, tokens: &Tokens, part: Part, rect: Rect) {
    let mut pen = Pen::new(painter);
    pen.part(tokens, part, rect);
    pen.put_down();
}
