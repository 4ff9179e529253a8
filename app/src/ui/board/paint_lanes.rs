//! Paints the lanes: ports, stops, entries, and the move before each stop.

use egui::{Align2, Painter, Rect, Shape, Stroke, StrokeKind, Ui, pos2, vec2};
use evenfall_core::sheet::numbers;

use super::hatch::{self, Pen};
use super::interact::stop_widget_id;
use super::layout::BoardLayout;
use super::model::{Block, BoardModel};
use super::names::{self, Placed, Taken};
use super::paint_skies::{
    paint_ground_words, paint_grounds, paint_shown, paint_trail_words, paint_trails, shown,
};
use super::paint_words::{entry_words, stop_words};
use super::telescope::{MovePart, Travel};
use super::trails::{Trail, off_the_shelf};
use crate::ui::card::paint_overruled;
use crate::ui::parts::{lines, one_line, severity_mark};
use crate::ui::shaping_words::dragged_words;
use crate::ui::text;
use crate::ui::theme::{
    BODY, BOLD, CORNER, FINE, HAIR, HEAVY, NEAR, SMALL, TIGHT, Tokens, regular, semibold,
};

/// Width of the stripe that tells a lane's port.
const PORT_STRIPE: f32 = 4.0;
/// Side of the filled corner of what is held.
pub(super) const HELD_SIDE: f32 = 11.0;
/// Room for the mark of a finding.
pub(super) const MARK: f32 = 14.0;
/// Width at which the words beside a dragged stop wrap.
const DRAG_WORDS_WIDTH: f32 = 300.0;
/// Room for a port's letter.
const LETTER: f32 = 15.0;
/// Between the ends of a port's stripe and its lane.
const STRIPE_INSET: f32 = 6.0;
/// Height of the foot of a block that tells when its part of the sky is closed.
pub(super) const CLOSED_FOOT: f32 = 12.0;
/// Least width of a part of a move: it can be seen, and is never drawn wider than the whole.
const LEAST_PART: f32 = 1.0;

/// Paints lanes and blocks; the selected block last, over the others.
pub fn paint(
    ui: &Ui,
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    trails: &[Trail],
) {
    lanes(painter, tokens, model, layout);
    if model.blocks.is_empty() {
        let lane = layout.lanes.get((layout.lanes.len().max(1) - 1) / 2);
        let at = lane.copied().unwrap_or(layout.all_lanes()).center();
        painter.text(at, Align2::CENTER_CENTER, text::BOARD_EMPTY, regular(BODY), tokens.ink);
    }
    paint_trails(painter, tokens, model, layout, trails);
    let mut taken = Taken::new(model, layout);
    let places = names::place(painter, tokens, model, layout, &mut taken);
    let (top, below): (Vec<_>, Vec<_>) = model
        .blocks
        .iter()
        .zip(&places)
        .partition(|(block, _)| block.selected || block.lifted_from.is_some());
    let mut pen = Pen::new(painter);
    for (block, _) in below.iter().chain(&top) {
        if let Some(travel) = block.travel.as_ref().filter(|_| block.lifted_from.is_none()) {
            paint_travel(&mut pen, tokens, layout, block, travel);
        }
    }
    pen.put_down();
    for group in [&below, &top] {
        for (block, _) in group {
            let focused = ui.memory(|memory| memory.has_focus(stop_widget_id(block.stop)));
            paint_box(painter, tokens, layout, block, focused);
        }
        let all = group.iter().filter_map(|(block, placed)| shown(layout, block, placed.as_ref()));
        paint_shown(painter, tokens, model, layout, all);
        for (block, placed) in group {
            paint_marks(painter, tokens, model, layout, (block, placed.as_ref()));
        }
    }
    if let Some((lifted, _)) = top.iter().find(|(block, _)| block.lifted_from.is_some()) {
        drag_words(painter, tokens, model, layout, lifted);
    }
    if let Some(ghost) = off_the_shelf(model) {
        taken.take(layout.stretch(Some(ghost.lane), ghost.interval));
    }
    paint_trail_words(painter, tokens, model, layout, (trails, &mut taken));
    paint_ground_words(painter, tokens, model, layout, &mut taken);
}

fn lanes(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    paint_grounds(painter, tokens, model, layout);
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
fn paint_travel(pen: &mut Pen<'_>, tokens: &Tokens, layout: &BoardLayout, block: &Block, travel: &Travel) {
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
        pen.part(tokens, *part, Rect::from_x_y_ranges(left..=right, rows));
    }
}

/// The box of a stop: a window on the sky of its lane.
fn paint_box(painter: &Painter, tokens: &Tokens, layout: &BoardLayout, block: &Block, focused: bool) {
    if let Some((lane, interval)) = block.lifted_from {
        let from = layout.stretch(lane, interval);
        painter.rect_stroke(from, 0.0, Stroke::new(HAIR, tokens.edge), StrokeKind::Inside);
    }
    let fill = match block.lane {
        _ if block.selected => tokens.accent_soft,
        Some(_) => tokens.raised,
        // Nothing of the sky is shown.
        None => tokens.panel,
    };
    let stroke = match (focused, block.selected) {
        (true, _) => Stroke::new(HEAVY, tokens.accent),
        (false, true) => Stroke::new(BOLD, tokens.accent),
        (false, false) => Stroke::new(HAIR, tokens.edge),
    };
    painter.rect(layout.block(block), 0.0, fill, stroke, StrokeKind::Inside);
}

/// Hatching along the foot of a box, while its part of the sky is closed.
fn closed_foot(painter: &Painter, tokens: &Tokens, layout: &BoardLayout, block: &Block, rect: Rect) {
    for run in &block.closed {
        let x = layout.axis.x(run.start())..=layout.axis.x(run.end());
        let foot = Rect::from_x_y_ranges(x, rect.bottom() - CLOSED_FOOT..=rect.bottom()).intersect(rect);
        hatch::falling(painter, foot, hatch::WIDE_APART / 2.0, Stroke::new(FINE, tokens.travel));
        painter.hline(foot.x_range(), foot.top(), Stroke::new(HAIR, tokens.travel));
    }
}

/// What stands on a box: words, what is held, what was overruled, what is wrong and where the sky is closed.
fn paint_marks(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    (block, placed): (&Block, Option<&Placed>),
) {
    let rect = layout.block(block);
    closed_foot(painter, tokens, layout, block, rect);
    match block.lane {
        _ if block.lifted_from.is_some() => {}
        Some(_) => stop_words(painter, tokens, layout, block, placed),
        None => entry_words(painter, tokens, model, layout, block),
    }
    if block.held {
        painter.add(held_corner(tokens, rect));
    }
    if block.overruled.is_some() {
        let side = HELD_SIDE.min(rect.width() - HELD_SIDE).max(0.0);
        paint_overruled(painter, tokens, rect.right_top() + vec2(-NEAR, NEAR), side);
    }
    let told = placed.is_some_and(|placed| placed.word.is_some());
    if let (Some(bite), Some(place)) = (block.bite.filter(|_| !told), finding_place(layout, block, rect)) {
        severity_mark(painter, tokens, place.center(), bite.severity);
    }
}

/// Where the mark of a finding stands on a block: on the path at the minute at which it bites, else at the foot.
pub(super) fn finding_place(layout: &BoardLayout, block: &Block, rect: Rect) -> Option<Rect> {
    block.bite?;
    let held = if block.held { HELD_SIDE } else { 0.0 };
    let inner = rect.shrink(MARK / 2.0 + NEAR);
    let at = match (block.lane, block.bitten_at) {
        _ if inner.is_negative() => pos2(rect.center().x, inner.bottom()),
        (Some(lane), Some((minute, altitude))) => {
            inner.clamp(pos2(layout.axis.x(minute), layout.altitude_y(lane, altitude)))
        }
        (Some(_), None) => inner.right_bottom(),
        // The words of an entry run up from its foot, so its mark stands at its head.
        (None, _) => pos2(rect.center().x, inner.top() + held),
    };
    Some(Rect::from_center_size(at, vec2(MARK, MARK)))
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
