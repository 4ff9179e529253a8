//! A target's view through the evening, as small as a word: the doors' span, the best start, and its stop on the Board.

use egui::epaint::Mesh;
use egui::{Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};
use evenfall_core::chart::thin;
use evenfall_core::plan::{Stop, view_curve};
use evenfall_core::sheet::wording::view_word;
use evenfall_core::time::Instant;
use evenfall_core::units::Fraction;

use super::row::Shown;
use super::words;
use crate::ui::text;
use crate::ui::theme::Tokens;

/// Below the curve: room for the stop.
const STOP: f32 = 4.0;
/// Half of the mark of the best start.
const MARK: f32 = 3.0;

/// Draws it.
pub(super) fn paint(painter: &Painter, tokens: &Tokens, shown: &Shown<'_>, stop: Option<&Stop>, rect: Rect) {
    let prepared = &shown.open.derived.prepared;
    let doors = prepared.doors;
    let floor = rect.bottom() - STOP;
    let x = |at: Instant| {
        let share = at.minutes_since(doors.start()) / doors.minutes();
        rect.left() + rect.width() * share.clamp(0.0, 1.0) as f32
    };
    let height = floor - rect.top();
    let curve = view_curve(prepared, shown.row.target_index, shown.list.port);
    let ridge: Vec<Pos2> =
        curve.map(|(at, view)| pos2(x(at), floor - height * view.value() as f32)).collect();
    let ridge = thin(&ridge, |corner| (corner.x, corner.y));
    let mut mesh = Mesh::default();
    for top in &ridge {
        let next = mesh.vertices.len() as u32;
        mesh.colored_vertex(*top, tokens.accent_soft);
        mesh.colored_vertex(pos2(top.x, floor), tokens.accent_soft);
        if next > 0 {
            mesh.add_triangle(next - 2, next - 1, next);
            mesh.add_triangle(next - 1, next, next + 1);
        }
    }
    painter.add(Shape::mesh(mesh));
    painter.hline(rect.x_range(), floor, Stroke::new(1.0, tokens.edge));
    for end in [rect.left(), rect.right()] {
        painter.vline(end, floor - 2.0..=floor + 2.0, Stroke::new(1.0, tokens.edge));
    }
    painter.add(Shape::line(ridge, Stroke::new(1.5, tokens.accent)));
    if let Some(best) = shown.row.best_start {
        let at = x(best);
        let tip = pos2(at, rect.top() + 1.5 * MARK);
        let corners = vec![tip, tip - vec2(MARK, 1.5 * MARK), tip + vec2(MARK, -1.5 * MARK)];
        painter.add(Shape::convex_polygon(corners, tokens.ink, Stroke::NONE));
        painter.vline(at, tip.y..=floor, Stroke::new(1.0, tokens.ink));
    }
    if let Some(stop) = stop {
        let bar = Rect::from_min_max(
            pos2(x(stop.start()), floor + 1.0),
            pos2(x(stop.end()).max(x(stop.start()) + 3.0), rect.bottom()),
        );
        painter.rect_filled(bar, 0.0, tokens.ink);
    }
}

/// The same in words.
pub(super) fn words_of(shown: &Shown<'_>) -> String {
    let prepared = &shown.open.derived.prepared;
    let clock = |at: Instant| text::clock(&prepared.night.local, at);
    let well = view_word(Fraction::ONE);
    let mut stretches: Vec<(Instant, Instant)> = Vec::new();
    let mut going = false;
    for (at, view) in view_curve(prepared, shown.row.target_index, shown.list.port) {
        let shows = view_word(view) == well;
        match stretches.last_mut() {
            Some(last) if shows && going => last.1 = at,
            _ if shows => stretches.push((at, at)),
            _ => {}
        }
        going = shows;
    }
    let stretches: Vec<(String, String)> =
        stretches.into_iter().map(|(since, until)| (clock(since), clock(until))).collect();
    words::curve(&clock(prepared.doors.start()), &clock(prepared.doors.end()), &stretches)
}
