//! Paints the lane of the telescope: moving, on a target, standing; and what is kept free.

use egui::{Align2, Painter, Rect, Stroke, StrokeKind, pos2, vec2};
use evenfall_core::sheet::numbers;
use evenfall_core::time::Interval;

use super::hatch::{self, Pen};
use super::layout::BoardLayout;
use super::model::BoardModel;
use super::words;
use crate::ui::parts::small;
use crate::ui::theme::{BOLD, FINE, HAIR, NEAR, SMALL, STRONG, TIGHT, Tokens, regular, semibold};

/// Height of what a telescope does, and of what is kept free, as shares of the lane.
const DOING: f32 = 0.6;
const FREE: f32 = 0.8;
/// A move narrower than this is full.
const SLIVER: f32 = 5.0;
/// Dashes around what is kept free.
const DASH: f32 = 3.0;

/// Paints the lane.
pub fn paint(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    let lane = layout.telescope;
    let left = pos2(layout.whole.left(), lane.center().y);
    small(painter, left, Align2::LEFT_BOTTOM, words::TELESCOPE, tokens.ink);
    if !layout.is_narrow() {
        small(painter, left, Align2::LEFT_TOP, words::slack_short(model.slack.minutes), tokens.quiet);
    }
    let row = |interval: Interval, share: f32| {
        let x = layout.axis.x(interval.start())..=layout.axis.x(interval.end());
        let half = lane.height() * share / 2.0;
        Rect::from_x_y_ranges(x, lane.center().y - half..=lane.center().y + half).intersect(lane)
    };
    let mut pen = Pen::new(painter);
    pen.level(lane, lane.center().y, Stroke::new(HAIR, tokens.edge));
    for free in &model.slack.free {
        let rect = row(*free, FREE);
        pen.fill(rect, tokens.ground);
        pen.dashed_frame(rect, DASH, Stroke::new(HAIR, tokens.edge));
    }
    let shown = || model.blocks.iter().filter(|block| block.travel.is_some());
    for (block, port) in shown().filter_map(|block| Some((block, block.lane?))) {
        let rect = row(block.interval, DOING);
        pen.fill(rect, tokens.earth);
        pen.frame(rect, Stroke::new(HAIR, tokens.edge));
        pen.fill(
            rect.with_min_y(rect.bottom() - BOLD / 2.0).with_max_y(rect.bottom() + BOLD / 2.0),
            tokens.port(port),
        );
    }
    for travel in model.blocks.iter().filter_map(|block| block.travel.as_ref()) {
        let rect = row(travel.interval, 1.0).shrink2(vec2(0.0, NEAR));
        if rect.width() < SLIVER {
            pen.fill(rect.expand2(vec2((STRONG - rect.width()).max(0.0) / 2.0, 0.0)), tokens.travel);
        } else {
            pen.fill(rect, tokens.ground);
            pen.rising(rect, DASH, Stroke::new(HAIR, tokens.travel));
            pen.frame(rect, Stroke::new(STRONG, tokens.travel));
        }
    }
    pen.put_down();
    for free in &model.slack.free {
        minutes_free(painter, tokens, row(*free, FREE), free.minutes());
    }
    for (block, lane) in shown().filter_map(|block| Some((block, model.lanes.get(block.lane?)?))) {
        let rect = row(block.interval, DOING);
        let letter = painter.layout_no_wrap(lane.letter.clone(), semibold(SMALL), tokens.ink);
        if letter.size().x + NEAR <= rect.width() {
            painter.galley(rect.center() - letter.size() / 2.0, letter, tokens.ink);
        }
    }
    painter.hline(layout.whole.left()..=lane.right(), lane.bottom(), Stroke::new(HAIR, tokens.hair));
}

/// The minutes that are kept free, where they fit.
fn minutes_free(painter: &Painter, tokens: &Tokens, rect: Rect, minutes: f64) {
    // A figure is this wide at least.
    if minutes < 1.0 || rect.width() < SMALL / 2.0 {
        return;
    }
    for words in [numbers::minutes(minutes), numbers::decimal(minutes, 0)] {
        let galley = painter.layout_no_wrap(words, regular(SMALL), tokens.ink);
        if galley.size().x + TIGHT <= rect.width() {
            painter.galley(rect.center() - galley.size() / 2.0, galley, tokens.ink);
            return;
        }
    }
}

/// The closed parts of the sky, each in a row with its words.
pub fn paint_closed(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    for (band, row) in model.closed.iter().zip(&layout.closed) {
        let left = pos2(layout.whole.left(), row.center().y);
        small(painter, left, Align2::LEFT_CENTER, words::CLOSED_SKY, tokens.ink);
        let x = layout.axis.x(band.interval.start())..=layout.axis.x(band.interval.end());
        let rect = Rect::from_x_y_ranges(x, row.y_range());
        hatch::falling(painter, rect, hatch::WIDE_APART, Stroke::new(FINE, tokens.travel));
        painter.rect_stroke(rect, 0.0, Stroke::new(HAIR, tokens.travel), StrokeKind::Inside);
        let galley = painter.layout_no_wrap(band.words.clone(), regular(SMALL), tokens.ink);
        let size = galley.size();
        let widest = layout.whole.right() - size.x;
        let at = [rect.center().x - size.x / 2.0, rect.right() + TIGHT, rect.left() - TIGHT - size.x];
        let fits = |left: &f32| {
            let inside = *left >= rect.left() + TIGHT && left + size.x <= rect.right() - TIGHT;
            let beside = *left >= rect.right() || left + size.x <= rect.left();
            (inside || beside) && *left >= row.left() && *left <= widest
        };
        let at = at.into_iter().find(fits).unwrap_or_else(|| rect.left().min(widest).max(row.left()));
        let place = Rect::from_min_size(pos2(at, row.center().y - size.y / 2.0), size);
        painter.rect_filled(place.expand2(vec2(NEAR, -NEAR)), 0.0, tokens.ground);
        painter.galley(place.min, galley, tokens.ink);
    }
}
