//! Where a drop would put things: the stops that would move along, and a target taken off the Shelf.

use egui::{Align2, Painter, Rect, Shape, Stroke, StrokeKind, vec2};
use evenfall_core::plan::Stop;

use super::layout::BoardLayout;
use super::model::BoardModel;
use super::paint_skies::{Shown, paint_shown};
use super::trails::{Ghost, off_the_shelf};
use crate::ui::parts::{one_line, small};
use crate::ui::shaping_words::drop_words;
use crate::ui::text;
use crate::ui::theme::{BODY, CORNER, SMALL, Tokens, regular, semibold};

/// Dashes of the outline of what would move.
const DASH: (f32, f32) = (5.0, 3.0);
const PADDING: f32 = 5.0;
/// Narrowest ghost that has its new start written in it.
const ROOM_FOR_CLOCK: f32 = 34.0;
/// Width at which the words beside a target wrap.
const WORDS_WIDTH: f32 = 300.0;

/// Paints them over the lanes.
pub fn paint(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    let Some((drag, trial)) = model.drag.zip(model.trial) else { return };
    for stop in trial.moved.iter().filter_map(|id| trial.evening.order.get(*id)) {
        moved_along(painter, tokens, model, layout, stop);
    }
    if drag.stop().is_none()
        && let Some(stop) = trial.stop.and_then(|id| trial.evening.order.get(id))
    {
        let words = drop_words(model.open, drag, Some(trial));
        from_shelf(painter, tokens, model, layout, (stop, words));
    }
}

fn place(model: &BoardModel<'_>, layout: &BoardLayout, stop: &Stop) -> Rect {
    let lane = stop.show().and_then(|show| model.lane_of(&show.port));
    layout.stretch(lane, stop.interval)
}

/// A dashed outline with the new start, and an arrow from where the stop starts now.
fn moved_along(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    stop: &Stop,
) {
    let rect = place(model, layout, stop).shrink(1.0);
    let outline =
        [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom(), rect.left_top()];
    let stroke = Stroke::new(1.5, tokens.accent);
    painter.add(Shape::Vec(Shape::dashed_line(&outline, stroke, DASH.0, DASH.1)));
    if let Some(before) = model.open.document.evening.order.get(stop.id) {
        let from = layout.axis.x(before.start());
        let way = rect.left() - from;
        if way.abs() >= 6.0 {
            let y = rect.bottom() - 6.0;
            painter.arrow(egui::pos2(from, y), vec2(way, 0.0), stroke);
        }
    }
    if rect.width() >= ROOM_FOR_CLOCK {
        let clock = text::clock(&model.open.derived.prepared.night.local, stop.start());
        let at = rect.left_top() + vec2(3.0, 1.0);
        let galley = one_line(painter, &clock, semibold(SMALL), tokens.ink, rect.width());
        painter.rect_filled(Rect::from_min_size(at, galley.size()).expand(1.0), 0.0, tokens.raised);
        painter.galley(at, galley, tokens.ink);
    }
}

/// A target over the lanes, as the stop it would be, with what that would do.
fn from_shelf(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    (stop, words): (&Stop, String),
) {
    let rect = place(model, layout, stop);
    painter.rect_filled(rect, 0.0, tokens.accent_soft);
    let ghost = off_the_shelf(model).map(|ghost| {
        let Ghost { target_index, lane, interval } = ghost;
        Shown { target_index, lane, interval, rect, words: None, chosen: true }
    });
    paint_shown(painter, tokens, model, layout, ghost.into_iter());
    painter.rect_stroke(rect, 0.0, Stroke::new(2.0, tokens.accent), StrokeKind::Inside);
    if rect.width() >= ROOM_FOR_CLOCK {
        let clock = text::clock(&model.open.derived.prepared.night.local, stop.start());
        small(painter, rect.left_top() + vec2(PADDING, 2.0), Align2::LEFT_TOP, clock, tokens.ink);
    }
    let galley = painter.layout(words, regular(BODY), tokens.ink, WORDS_WIDTH);
    let half = galley.size().x / 2.0 + PADDING;
    let x = rect.center().x.min(layout.whole.right() - half).max(layout.whole.left() + half);
    let above = rect.top() - 2.0 * PADDING - galley.size().y > layout.moon.top();
    let place = if above {
        Align2::CENTER_BOTTOM.anchor_size(egui::pos2(x, rect.top() - 2.0 * PADDING), galley.size())
    } else {
        Align2::CENTER_TOP.anchor_size(egui::pos2(x, rect.bottom() + 2.0 * PADDING), galley.size())
    };
    painter.rect_filled(place.expand(PADDING), CORNER, tokens.raised);
    painter.rect_stroke(place.expand(PADDING), CORNER, Stroke::new(1.0, tokens.edge), StrokeKind::Inside);
    painter.galley(place.min, galley, tokens.ink);
}
