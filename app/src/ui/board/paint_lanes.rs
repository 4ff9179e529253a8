//! Paints the lanes: ports, stops, entries, and the move before each stop.

use std::f32::consts::FRAC_PI_2;

use egui::epaint::TextShape;
use egui::{Align2, Painter, Rect, Stroke, StrokeKind, Ui, pos2, vec2};
use evenfall_core::sheet::numbers;
use evenfall_core::time::Interval;

use super::interact::stop_widget_id;
use super::layout::BoardLayout;
use super::model::{Block, BoardModel};
use crate::ui::parts::{lines, one_line, severity_mark, small};
use crate::ui::text;
use crate::ui::theme::{BODY, CORNER, SMALL, Tokens, regular, semibold};

const PORT_STRIPE: f32 = 4.0;
const PADDING: f32 = 5.0;
/// A block narrower than this has its name beside it.
const NAME_INSIDE: f32 = 46.0;

/// Paints lanes and blocks; the selected block last, over the others.
pub fn paint(ui: &Ui, painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    lanes(painter, tokens, model, layout);
    if model.blocks.is_empty() {
        let at = layout.all_lanes().center();
        painter.text(at, Align2::CENTER_CENTER, text::BOARD_EMPTY, regular(BODY), tokens.ink);
    }
    let (top, below): (Vec<&Block>, Vec<&Block>) =
        model.blocks.iter().partition(|block| block.selected || block.lifted_from.is_some());
    for block in below.iter().chain(&top) {
        travel(painter, tokens, layout, block);
    }
    for block in below.iter().chain(&top) {
        let focused = ui.memory(|memory| memory.has_focus(stop_widget_id(block.stop)));
        paint_block(painter, tokens, model, layout, block, focused);
    }
}

fn lanes(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    let all = layout.all_lanes();
    painter.hline(layout.whole.left()..=all.right(), all.top(), Stroke::new(1.0, tokens.hair));
    for (position, (lane, rect)) in model.lanes.iter().zip(&layout.lanes).enumerate() {
        let left = layout.whole.left();
        painter.hline(left..=rect.right(), rect.bottom(), Stroke::new(1.0, tokens.hair));
        let stripe =
            Rect::from_min_max(pos2(left, rect.top() + 6.0), pos2(left + PORT_STRIPE, rect.bottom() - 6.0));
        painter.rect_filled(stripe, 0.0, tokens.port(position));
        let x = left + PORT_STRIPE + 6.0;
        let width = rect.left() - x - 4.0;
        let name = format!("{}  {}", lane.letter, lane.name);
        let galley = one_line(painter, &name, semibold(SMALL), tokens.ink, width);
        painter.galley(pos2(x, rect.center().y - galley.size().y), galley, tokens.ink);
        let galley = one_line(painter, &lane.detail, regular(SMALL), tokens.quiet, width);
        painter.galley(pos2(x, rect.center().y), galley, tokens.quiet);
    }
}

/// The move: a bar from leaving to arriving, then an open one while the target is framed.
fn travel(painter: &Painter, tokens: &Tokens, layout: &BoardLayout, block: &Block) {
    let Some((leave, lead_s)) = block.travel else { return };
    let start = block.interval.start();
    let arrive = start.plus_seconds(-lead_s).max(leave);
    let y = layout.block(block).center().y;
    let bar = |from, to, half: f32| {
        Interval::new(from, to).map(|interval| {
            let row = layout.stretch(block.lane, interval);
            Rect::from_x_y_ranges(
                layout.axis.x(from)..=layout.axis.x(to),
                row.center().y - half..=row.center().y + half,
            )
        })
    };
    if let Some(moving) = bar(leave, arrive, 3.0) {
        painter.rect_filled(moving, 0.0, tokens.travel);
        painter.vline(moving.left(), y - 8.0..=y + 8.0, Stroke::new(1.5, tokens.travel));
    }
    if let Some(framing) = bar(arrive, start, 3.0) {
        painter.rect_stroke(framing, 0.0, Stroke::new(1.0, tokens.travel), StrokeKind::Inside);
    }
}

fn paint_block(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    block: &Block,
    focused: bool,
) {
    let rect = layout.block(block);
    if let Some((lane, interval)) = block.lifted_from {
        let from = layout.stretch(lane, interval);
        painter.rect_stroke(from, CORNER, Stroke::new(1.0, tokens.edge), StrokeKind::Inside);
    }
    let fill = if block.selected { tokens.accent_soft } else { tokens.raised };
    painter.rect_filled(rect, CORNER, fill);
    let stroke = match (focused, block.selected) {
        (true, _) => Stroke::new(3.0, tokens.accent),
        (false, true) => Stroke::new(2.0, tokens.accent),
        (false, false) => Stroke::new(1.0, tokens.edge),
    };
    if let Some(lane) = block.lane {
        let stripe = Rect::from_min_size(rect.min, vec2(PORT_STRIPE.min(rect.width()), rect.height()));
        painter.rect_filled(stripe, CORNER, tokens.port(lane));
    }
    painter.rect_stroke(rect, CORNER, stroke, StrokeKind::Inside);
    match block.lane {
        Some(_) => stop_words(painter, tokens, model, layout, block, rect),
        None => entry_words(painter, tokens, model, block, rect),
    }
    if let Some(severity) = block.gravest {
        severity_mark(painter, tokens, rect.right_top() + vec2(-9.0, 9.0), severity);
    }
    if block.lifted_from.is_some() {
        let night = &model.open.derived.prepared.night.local;
        let words = numbers::clock_span(night, block.interval);
        let at = pos2(rect.center().x, rect.top() - 3.0);
        let galley = painter.layout_no_wrap(words, semibold(BODY), tokens.ink);
        let place = Align2::CENTER_BOTTOM.anchor_size(at, galley.size());
        painter.rect_filled(place.expand(3.0), CORNER, tokens.raised);
        painter.galley(place.min, galley, tokens.ink);
    }
}

/// Start time, and whether it is held.
fn clock_words(model: &BoardModel<'_>, block: &Block) -> String {
    let night = &model.open.derived.prepared.night.local;
    let start = numbers::clock(night.local(block.interval.start()));
    if block.held { format!("{start} {}", text::HELD_MARK) } else { start }
}

fn stop_words(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    block: &Block,
    rect: Rect,
) {
    let clock = clock_words(model, block);
    let mark = if block.gravest.is_some() { 16.0 } else { 0.0 };
    let inside = rect.width() - PORT_STRIPE - 2.0 * PADDING;
    let whole = painter.layout_no_wrap(block.title.clone(), semibold(SMALL + 1.0), tokens.ink);
    let left = rect.left() + PORT_STRIPE + PADDING;
    if whole.size().x <= inside - mark {
        painter.galley(pos2(left, rect.top() + 4.0), whole, tokens.ink);
        small(painter, pos2(left, rect.bottom() - 3.0), Align2::LEFT_BOTTOM, clock, tokens.ink);
        return;
    }
    let free = free_right(layout, model, block, rect) - rect.right() - 2.0 * PADDING;
    if whole.size().x <= free {
        painter.galley(pos2(rect.right() + PADDING, rect.top() + 4.0), whole, tokens.ink);
        let at = pos2(rect.right() + PADDING, rect.bottom() - 3.0);
        small(painter, at, Align2::LEFT_BOTTOM, clock, tokens.quiet);
        return;
    }
    if inside < NAME_INSIDE {
        let number = block.number.to_string();
        painter.text(rect.center(), Align2::CENTER_CENTER, number, semibold(BODY), tokens.ink);
        return;
    }
    let galley = lines(painter, &block.title, semibold(SMALL), tokens.ink, inside - mark, 2);
    painter.galley(pos2(left, rect.top() + 3.0), galley, tokens.ink);
}

/// How far to the right of a block its lane is free.
fn free_right(layout: &BoardLayout, model: &BoardModel<'_>, block: &Block, rect: Rect) -> f32 {
    let later = model.blocks.iter().filter(|other| other.stop != block.stop);
    let shared = later.filter(|other| other.lane.is_none() || other.lane == block.lane);
    let begins = shared.map(|other| {
        other.travel.map_or_else(|| layout.block(other).left(), |(leave, _)| layout.axis.x(leave))
    });
    begins.filter(|left| *left >= rect.right() - 1.0).fold(layout.all_lanes().right(), f32::min)
}

/// An entry's name runs up the block where the block is narrow.
fn entry_words(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, block: &Block, rect: Rect) {
    let clock = clock_words(model, block);
    let inner = rect.shrink(PADDING);
    if inner.width() >= 90.0 {
        let galley = lines(painter, &block.title, semibold(BODY), tokens.ink, inner.width(), 3);
        let below = inner.top() + galley.size().y;
        painter.galley(inner.min, galley, tokens.ink);
        small(painter, pos2(inner.left(), below + 2.0), Align2::LEFT_TOP, clock, tokens.ink);
        return;
    }
    let words = format!("{clock}  {}", block.title);
    let galley = one_line(painter, &words, semibold(SMALL + 1.0), tokens.ink, inner.height());
    let at = pos2(rect.center().x - galley.size().y / 2.0, rect.bottom() - PADDING);
    painter.add(TextShape::new(at, galley, tokens.ink).with_angle(-FRAC_PI_2));
}
