//! Paints the lanes: ports, stops, entries, and the move before each stop.

use egui::{Align2, Painter, Rect, Shape, Stroke, StrokeKind, Ui, pos2, vec2};
use evenfall_core::sheet::numbers;

use super::hatch;
use super::interact::stop_widget_id;
use super::layout::BoardLayout;
use super::model::{Block, BoardModel};
use super::names::{self, Placed, Taken};
use super::paint_words::{entry_words, stop_words};
use super::telescope::{MovePart, Travel};
use crate::ui::card::paint_overruled;
use crate::ui::parts::{lines, one_line, severity_mark};
use crate::ui::shaping_words::dragged_words;
use crate::ui::text;
use crate::ui::theme::{
    BODY, BOLD, CORNER, FINE, HAIR, HEAVY, NEAR, SMALL, TIGHT, Tokens, regular, semibold,
};

/// Width of the stripe that tells a stop's port.
pub(super) const PORT_STRIPE: f32 = 4.0;
/// Side of the filled corner of what is held.
pub(super) const HELD_SIDE: f32 = 11.0;
/// Room for the mark of a finding.
pub(super) const MARK: f32 = 14.0;
/// A block at least this wide has the mark of a finding in its lower right corner, else below the middle.
const ROOM_BELOW: f32 = 44.0;
/// Width at which the words beside a dragged stop wrap.
const DRAG_WORDS_WIDTH: f32 = 300.0;
/// Room for a port's letter.
const LETTER: f32 = 15.0;
/// Between the ends of a port's stripe and its lane.
const STRIPE_INSET: f32 = 6.0;
/// Height of the foot of a block that tells when its part of the sky is closed.
const CLOSED_FOOT: f32 = 9.0;
/// Least width of a part of a move: it can be seen, and is never drawn wider than the whole.
const LEAST_PART: f32 = 1.0;

/// Paints lanes and blocks; the selected block last, over the others.
pub fn paint(ui: &Ui, painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    lanes(painter, tokens, model, layout);
    if model.blocks.is_empty() {
        let at = layout.all_lanes().center();
        painter.text(at, Align2::CENTER_CENTER, text::BOARD_EMPTY, regular(BODY), tokens.ink);
    }
    let mut taken = Taken::new(model, layout);
    let places = names::place(painter, tokens, model, layout, &mut taken);
    let (top, below): (Vec<_>, Vec<_>) = model
        .blocks
        .iter()
        .zip(&places)
        .partition(|(block, _)| block.selected || block.lifted_from.is_some());
    for (block, _) in below.iter().chain(&top) {
        if let Some(travel) = block.travel.as_ref().filter(|_| block.lifted_from.is_none()) {
            paint_travel(painter, tokens, layout, block, travel);
        }
    }
    for (block, placed) in below.iter().chain(&top) {
        let focused = ui.memory(|memory| memory.has_focus(stop_widget_id(block.stop)));
        paint_block(painter, tokens, model, layout, (block, focused), (placed.as_ref(), &mut taken));
    }
    if let Some((lifted, _)) = top.iter().find(|(block, _)| block.lifted_from.is_some()) {
        drag_words(painter, tokens, model, layout, lifted);
    }
}

fn lanes(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    let all = layout.all_lanes();
    painter.hline(layout.whole.left()..=all.right(), all.top(), Stroke::new(HAIR, tokens.hair));
    for (position, (lane, rect)) in model.lanes.iter().zip(&layout.lanes).enumerate() {
        let left = layout.whole.left();
        painter.hline(left..=rect.right(), rect.bottom(), Stroke::new(HAIR, tokens.hair));
        let stripe = Rect::from_min_max(
            pos2(left, rect.top() + STRIPE_INSET),
            pos2(left + PORT_STRIPE, rect.bottom() - STRIPE_INSET),
        );
        painter.rect_filled(stripe, 0.0, tokens.port(position));
        let x = left + PORT_STRIPE + STRIPE_INSET + LETTER;
        let width = rect.left() - x - TIGHT;
        let letter = pos2(x - LETTER, rect.center().y);
        painter.text(letter, Align2::LEFT_CENTER, &lane.letter, semibold(BODY), tokens.ink);
        if layout.is_narrow() {
            continue;
        }
        let name = lines(painter, &lane.name, semibold(SMALL), tokens.ink, width, 2);
        let detail = one_line(painter, &lane.detail, regular(SMALL), tokens.quiet, width);
        let height = name.size().y + detail.size().y;
        let fits = height <= rect.height();
        let top = rect.center().y - if fits { height } else { name.size().y } / 2.0;
        if fits {
            painter.galley(pos2(x, top + name.size().y), detail, tokens.quiet);
        }
        painter.galley(pos2(x, top), name, tokens.ink);
    }
}

/// The move to scale, each part with its pattern: what turns together in rows below one another, then what follows over the
/// whole height.
fn paint_travel(painter: &Painter, tokens: &Tokens, layout: &BoardLayout, block: &Block, travel: &Travel) {
    let lane = layout.stretch(block.lane, travel.interval);
    let together = travel.parts.iter().filter(|own| own.part.runs_together()).count().max(1);
    let row = lane.height() / together as f32;
    let mut position = 0;
    for MovePart { part, interval } in &travel.parts {
        let (left, right) = (layout.axis.x(interval.start()), layout.axis.x(interval.end()));
        let right = right.max(left + LEAST_PART);
        let rows = if part.runs_together() {
            let top = lane.top() + position as f32 * row;
            position += 1;
            top + NEAR / 2.0..=top + row - NEAR / 2.0
        } else {
            lane.top() + NEAR..=lane.bottom() - NEAR
        };
        hatch::part(painter, tokens, *part, Rect::from_x_y_ranges(left..=right, rows));
    }
}

fn paint_block(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    (block, focused): (&Block, bool),
    (placed, taken): (Option<&Placed>, &mut Taken),
) {
    let rect = layout.block(block);
    if let Some((lane, interval)) = block.lifted_from {
        let from = layout.stretch(lane, interval);
        painter.rect_stroke(from, CORNER, Stroke::new(HAIR, tokens.edge), StrokeKind::Inside);
    }
    let fill = if block.selected { tokens.accent_soft } else { tokens.raised };
    painter.rect_filled(rect, CORNER, fill);
    let stroke = match (focused, block.selected) {
        (true, _) => Stroke::new(HEAVY, tokens.accent),
        (false, true) => Stroke::new(BOLD, tokens.accent),
        (false, false) => Stroke::new(HAIR, tokens.edge),
    };
    if let Some(lane) = block.lane {
        let stripe = Rect::from_min_size(rect.min, vec2(PORT_STRIPE.min(rect.width()), rect.height()));
        painter.rect_filled(stripe, CORNER, tokens.port(lane));
    }
    closed_foot(painter, tokens, layout, block, rect);
    painter.rect_stroke(rect, CORNER, stroke, StrokeKind::Inside);
    match block.lane {
        _ if block.lifted_from.is_some() => {}
        Some(_) => stop_words(painter, tokens, layout, block, placed, taken),
        None => entry_words(painter, tokens, model, block, rect),
    }
    if block.held {
        painter.add(held_corner(tokens, rect));
    }
    if block.overruled.is_some() {
        let side = HELD_SIDE.min(rect.width() - HELD_SIDE).max(0.0);
        paint_overruled(painter, tokens, rect.right_top() + vec2(-NEAR, NEAR), side);
    }
    let told = placed.is_some_and(|placed| placed.form.word.is_some());
    if let (Some(bite), Some(place)) = (block.bite.filter(|_| !told), finding_place(block, rect)) {
        severity_mark(painter, tokens, place.center(), bite.severity);
    }
}

/// Hatching along the foot of a block, while its part of the sky is closed.
fn closed_foot(painter: &Painter, tokens: &Tokens, layout: &BoardLayout, block: &Block, rect: Rect) {
    for run in &block.closed {
        let x = layout.axis.x(run.start())..=layout.axis.x(run.end());
        let foot = Rect::from_x_y_ranges(x, rect.bottom() - CLOSED_FOOT..=rect.bottom()).intersect(rect);
        hatch::falling(painter, foot, hatch::WIDE_APART / 2.0, Stroke::new(FINE, tokens.travel));
        painter.hline(foot.x_range(), foot.top(), Stroke::new(HAIR, tokens.travel));
    }
}

/// Where the mark of a finding stands on a block.
pub(super) fn finding_place(block: &Block, rect: Rect) -> Option<Rect> {
    block.bite?;
    let held = if block.held { HELD_SIDE } else { 0.0 };
    // The words of an entry run up from its foot, so its mark stands at its head.
    let y = match block.lane {
        Some(_) => rect.bottom() - MARK / 2.0 - NEAR,
        None => rect.top() + MARK / 2.0 + NEAR + held,
    };
    let x = if rect.width() >= ROOM_BELOW && block.lane.is_some() {
        rect.right() - MARK / 2.0 - NEAR
    } else {
        rect.center().x + if block.lane.is_some() { PORT_STRIPE / 2.0 } else { 0.0 }
    };
    Some(Rect::from_center_size(pos2(x, y), vec2(MARK, MARK)))
}

/// A filled corner: what is held is told by shape, not by colour, as on paper.
fn held_corner(tokens: &Tokens, rect: Rect) -> Shape {
    let side = HELD_SIDE.min(rect.width());
    let corners = vec![rect.min, rect.min + vec2(side, 0.0), rect.min + vec2(0.0, side)];
    Shape::convex_polygon(corners, tokens.ink, Stroke::NONE)
}

/// What a dragged stop is, when it would be, and what would be wrong; above it, or below where there is no room.
fn drag_words(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    block: &Block,
) {
    let rect = layout.block(block);
    let night = &model.open.derived.prepared.night.local;
    let tried = model.drag.zip(model.trial).and_then(|(drag, trial)| dragged_words(model.open, drag, trial));
    let words =
        tried.unwrap_or_else(|| format!("{}, {}", block.title, numbers::clock_span(night, block.interval)));
    let galley = painter.layout(words, semibold(BODY), tokens.ink, DRAG_WORDS_WIDTH);
    let half = galley.size().x / 2.0 + TIGHT;
    let x = rect.center().x.min(layout.whole.right() - half).max(layout.whole.left() + half);
    let above = rect.top() - 2.0 * TIGHT - galley.size().y > layout.moon.top();
    let place = if above {
        Align2::CENTER_BOTTOM.anchor_size(pos2(x, rect.top() - 2.0 * TIGHT), galley.size())
    } else {
        Align2::CENTER_TOP.anchor_size(pos2(x, rect.bottom() + 2.0 * TIGHT), galley.size())
    };
    painter.rect_filled(place.expand(TIGHT), CORNER, tokens.raised);
    painter.rect_stroke(place.expand(TIGHT), CORNER, Stroke::new(HAIR, tokens.edge), StrokeKind::Inside);
    painter.galley(place.min, galley, tokens.ink);
}
