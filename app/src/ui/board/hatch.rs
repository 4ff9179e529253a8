//! Patterns that tell the parts of a move and what is closed, by line and not by colour.

use egui::{Mesh, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2, vec2};

use super::telescope::Part;
use crate::ui::theme::{FINE, HAIR, Tokens};

/// Between two lines of a pattern: close for the parts of a move, wide for what lies over other things.
const CLOSE: f32 = 3.0;
pub const WIDE_APART: f32 = 7.0;

/// Lines rising to the right through a rectangle.
pub fn rising(painter: &Painter, rect: Rect, apart: f32, stroke: Stroke) {
    slanted(painter, rect, apart, 1.0, stroke);
}

/// Lines falling to the right through a rectangle.
pub fn falling(painter: &Painter, rect: Rect, apart: f32, stroke: Stroke) {
    slanted(painter, rect, apart, -1.0, stroke);
}

/// Lines at half a right angle, cut off at the sides.
fn slanted(painter: &Painter, rect: Rect, apart: f32, rise: f32, stroke: Stroke) {
    if !rect.is_positive() {
        return;
    }
    let count = ((rect.width() + rect.height()) / apart).ceil() as usize;
    let (width, height) = (rect.width(), rect.height());
    let lines = (1..count).map(|line| {
        // Along the lower edge, and where the line meets a side before that.
        let foot = line as f32 * apart;
        let low: Vec2 = if foot <= width { vec2(foot, height) } else { vec2(width, height + width - foot) };
        let high: Vec2 = if foot <= height { vec2(0.0, height - foot) } else { vec2(foot - height, 0.0) };
        let at = |corner: Vec2| -> Pos2 {
            if rise > 0.0 { pos2(rect.right() - corner.x, rect.top() + corner.y) } else { rect.min + corner }
        };
        Shape::line_segment([at(low), at(high)], stroke)
    });
    painter.extend(lines);
}

/// A dashed frame: its dashes in one mesh, as there are hundreds on a full Board. They stand on whole pixels like any
/// upright or level line.
pub fn dashed_frame(painter: &Painter, rect: Rect, dash: f32, stroke: Stroke) {
    let corners =
        [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom(), rect.left_top()];
    let mut mesh = Mesh::default();
    let middle = |at: f32| painter.round_to_pixel_center(at);
    for dash in Shape::dashed_line(&corners, stroke, dash, dash) {
        let Shape::LineSegment { points: [from, to], .. } = dash else { continue };
        let (from, to) = if (from.x - to.x).abs() < (from.y - to.y).abs() {
            (pos2(middle(from.x), from.y), pos2(middle(to.x), to.y))
        } else {
            (pos2(from.x, middle(from.y)), pos2(to.x, middle(to.y)))
        };
        let half = stroke.width / 2.0;
        let across = if from.x == to.x { vec2(half, 0.0) } else { vec2(0.0, half) };
        mesh.add_colored_rect(Rect::from_two_pos(from - across, to + across), stroke.color);
    }
    painter.add(Shape::mesh(mesh));
}

/// Narrower than this, a pattern could not be told from a full or an open figure.
const ROOM: f32 = 4.0;

/// A part of a move by its pattern: slews rise, domes are full, port changes cross, rotators lie, settling stands, focusing
/// falls, framing is open.
pub fn part(painter: &Painter, tokens: &Tokens, part: Part, rect: Rect) {
    let line = Stroke::new(FINE, tokens.travel);
    match part {
        _ if rect.width() < ROOM => {
            let open = matches!(part, Part::Framing);
            let fill = if open { tokens.ground } else { tokens.travel };
            painter.rect_filled(rect, 0.0, fill);
            if open {
                painter.hline(rect.x_range(), rect.top(), line);
                painter.hline(rect.x_range(), rect.bottom(), line);
            }
            return;
        }
        Part::Slew => rising(painter, rect, CLOSE, line),
        Part::Dome => {
            painter.rect_filled(rect, 0.0, tokens.travel);
        }
        Part::Selector => {
            rising(painter, rect, CLOSE, line);
            falling(painter, rect, CLOSE, line);
        }
        Part::Rotator => along(painter, rect, line),
        Part::Settle => upright(painter, rect, line),
        Part::Focus => falling(painter, rect, CLOSE, line),
        Part::Framing => {}
    }
    painter.rect_stroke(rect, 0.0, Stroke::new(HAIR, tokens.travel), StrokeKind::Inside);
}

fn along(painter: &Painter, rect: Rect, stroke: Stroke) {
    let lines = (rect.height() / CLOSE).floor() as usize;
    for line in 1..=lines {
        painter.hline(rect.x_range(), rect.top() + line as f32 * CLOSE, stroke);
    }
}

fn upright(painter: &Painter, rect: Rect, stroke: Stroke) {
    let lines = (rect.width() / CLOSE).floor() as usize;
    for line in 1..=lines {
        painter.vline(rect.left() + line as f32 * CLOSE, rect.y_range(), stroke);
    }
}
