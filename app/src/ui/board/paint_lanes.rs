//! Paints the lanes: ports, stops, entries, and the move before each stop.

use egui::{Align2, Painter, Rect, Shape, Stroke, StrokeKind, Ui, pos2, vec2};
use evenfall_core::sheet::numbers;
use evenfall_core::time::Interval;

use super::interact::stop_widget_id;
use super::layout::BoardLayout;
use super::model::{Block, BoardModel};
use super::paint_words::{Taken, entry_words, stop_words};
use crate::ui::card::paint_overruled;
use crate::ui::parts::{lines, one_line, severity_mark};
use crate::ui::text;
use crate::ui::theme::{BODY, CORNER, SMALL, Tokens, regular, semibold};

/// Width of the stripe that tells a stop's port.
pub(super) const PORT_STRIPE: f32 = 4.0;
/// Side of the filled corner of what is held.
pub(super) const HELD_SIDE: f32 = 11.0;
const PADDING: f32 = 5.0;
/// Room for the mark of a finding.
const MARK: f32 = 14.0;
/// A block at least this wide has the mark of a finding in its lower right corner, else below the middle.
const ROOM_BELOW: f32 = 44.0;
/// Width at which the words beside a dragged stop wrap.
const DRAG_WORDS_WIDTH: f32 = 300.0;
/// Room for a port's letter.
const LETTER: f32 = 15.0;

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
    let mut taken = Taken::new(model, layout);
    for block in below.iter().chain(&top) {
        let focused = ui.memory(|memory| memory.has_focus(stop_widget_id(block.stop)));
        paint_block(painter, tokens, model, layout, (block, focused), &mut taken);
    }
    if let Some(lifted) = top.iter().find(|block| block.lifted_from.is_some()) {
        drag_words(painter, tokens, model, layout, lifted);
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
        let x = left + PORT_STRIPE + 6.0 + LETTER;
        let width = rect.left() - x - 4.0;
        let letter = pos2(x - LETTER, rect.center().y);
        painter.text(letter, Align2::LEFT_CENTER, &lane.letter, semibold(BODY), tokens.ink);
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
    (block, focused): (&Block, bool),
    taken: &mut Taken,
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
        _ if block.lifted_from.is_some() => {}
        Some(_) => stop_words(painter, tokens, model, layout, block, taken),
        None => entry_words(painter, tokens, model, block, rect),
    }
    if block.held {
        painter.add(held_corner(tokens, rect));
    }
    if block.overruled.is_some() {
        let side = HELD_SIDE.min(rect.width() - HELD_SIDE).max(0.0);
        paint_overruled(painter, tokens, rect.right_top() + vec2(-1.5, 1.5), side);
    }
    if let (Some(severity), Some(place)) = (block.gravest, finding_place(block, rect)) {
        severity_mark(painter, tokens, place.center(), severity);
    }
}

/// Where the mark of a finding stands on a block.
pub(super) fn finding_place(block: &Block, rect: Rect) -> Option<Rect> {
    block.gravest?;
    let held = if block.held { HELD_SIDE } else { 0.0 };
    // The words of an entry run up from its foot, so its mark stands at its head.
    let y = match block.lane {
        Some(_) => rect.bottom() - MARK / 2.0 - 3.0,
        None => rect.top() + MARK / 2.0 + 3.0 + held,
    };
    let x = if rect.width() >= ROOM_BELOW && block.lane.is_some() {
        rect.right() - MARK / 2.0 - 2.0
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
    let mut words = format!("{}, {}", block.title, numbers::clock_span(night, block.interval));
    if let Some(trouble) = model.trial_words() {
        words.push('\n');
        words.push_str(&trouble);
    }
    let galley = painter.layout(words, semibold(BODY), tokens.ink, DRAG_WORDS_WIDTH);
    let half = galley.size().x / 2.0 + PADDING;
    let x = rect.center().x.clamp(layout.whole.left() + half, layout.whole.right() - half);
    let above = rect.top() - 2.0 * PADDING - galley.size().y > layout.moon.top();
    let place = if above {
        Align2::CENTER_BOTTOM.anchor_size(pos2(x, rect.top() - 2.0 * PADDING), galley.size())
    } else {
        Align2::CENTER_TOP.anchor_size(pos2(x, rect.bottom() + 2.0 * PADDING), galley.size())
    };
    painter.rect_filled(place.expand(PADDING), CORNER, tokens.raised);
    painter.rect_stroke(place.expand(PADDING), CORNER, Stroke::new(1.0, tokens.edge), StrokeKind::Inside);
    painter.galley(place.min, galley, tokens.ink);
}
