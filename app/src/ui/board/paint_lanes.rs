//! Paints the lanes: ports, stops, entries, and the move before each stop.

use std::f32::consts::FRAC_PI_2;
use std::sync::Arc;

use egui::epaint::TextShape;
use egui::{Align2, Galley, Painter, Rangef, Rect, Stroke, StrokeKind, Ui, pos2, vec2};
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
/// Room for the mark of a finding.
const MARK: f32 = 14.0;
/// A block at least this wide has the mark of a finding in its lower right corner, beside the clock.
const ROOM_BELOW: f32 = 44.0;
/// Height of a line of the typeface, as a share of its size.
const LINE: f32 = 1.25;
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
        Some(lane) => stop_words(painter, tokens, model, layout, (block, lane), taken),
        None => entry_words(painter, tokens, model, block, rect),
    }
    if let Some(severity) = block.gravest {
        let at = if rect.width() >= ROOM_BELOW {
            rect.right_bottom() - vec2(MARK / 2.0 + 2.0, MARK / 2.0 + 3.0)
        } else {
            pos2(rect.center().x + PORT_STRIPE / 2.0, rect.top() + MARK / 2.0 + 3.0)
        };
        severity_mark(painter, tokens, at, severity);
    }
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

/// Start time, and whether it is held.
fn clock_words(model: &BoardModel<'_>, block: &Block) -> String {
    let night = &model.open.derived.prepared.night.local;
    let start = numbers::clock(night.local(block.interval.start()));
    if block.held { format!("{start} {}", text::HELD_MARK) } else { start }
}

/// Stretches of x that are taken in each lane: blocks with their moves, and names beside blocks.
struct Taken(Vec<Vec<Rangef>>);

impl Taken {
    fn new(model: &BoardModel<'_>, layout: &BoardLayout) -> Self {
        let mut taken = Self(vec![Vec::new(); model.lanes.len()]);
        for block in &model.blocks {
            let rect = layout.block(block);
            let left = block.travel.map_or(rect.left(), |(leave, _)| layout.axis.x(leave));
            let range = Rangef::new(left, rect.right());
            match block.lane {
                Some(lane) => taken.0[lane].push(range),
                None => taken.0.iter_mut().for_each(|lane| lane.push(range)),
            }
        }
        taken
    }

    /// What is free to the left and to the right of a block.
    fn around(&self, layout: &BoardLayout, lane: usize, rect: Rect) -> (Rangef, Rangef) {
        let own = self.0[lane].iter().find(|range| range.max == rect.right());
        let begin = own.map_or(rect.left(), |range| range.min);
        let left = self.0[lane].iter().filter(|range| range.max <= begin + 0.5).map(|range| range.max);
        let right =
            self.0[lane].iter().filter(|range| range.min >= rect.right() - 0.5).map(|range| range.min);
        let whole = layout.all_lanes();
        (
            Rangef::new(left.fold(whole.left(), f32::max), begin),
            Rangef::new(rect.right(), right.fold(whole.right(), f32::min)),
        )
    }
}

/// The name inside the block if it fits, else beside it where the lane is free, else the stop's number.
fn stop_words(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    (block, lane): (&Block, usize),
    taken: &mut Taken,
) {
    let rect = layout.block(block);
    let clock = clock_words(model, block);
    let inside = rect.width() - PORT_STRIPE - 2.0 * PADDING;
    let in_lines = |width: f32, rows| name_in_lines(painter, tokens, &block.title, width, rows);
    let inner_left = rect.left() + PORT_STRIPE + PADDING;
    let (free_left, free_right) = taken.around(layout, lane, rect);
    let room = |free: Rangef| free.span() - 2.0 * PADDING;
    for rows in [1, 2] {
        if let Some(galley) = in_lines(inside, rows) {
            put(painter, tokens, rect, inner_left, galley, clock);
            return;
        }
    }
    for rows in [1, 2] {
        if let Some(galley) = in_lines(room(free_right), rows) {
            let left = rect.right() + PADDING;
            taken.0[lane].push(Rangef::new(rect.right(), left + galley.size().x + PADDING));
            put(painter, tokens, rect, left, galley, clock);
            return;
        }
        if let Some(galley) = in_lines(room(free_left), rows) {
            let left = free_left.max - PADDING - galley.size().x;
            taken.0[lane].push(Rangef::new(left - PADDING, free_left.max));
            put(painter, tokens, rect, left, galley, clock);
            return;
        }
    }
    number_only(painter, tokens, rect, block, (free_left, free_right), &mut taken.0[lane]);
}

/// The stop's number, which the altitude path bears too: inside, else beside where there is room.
fn number_only(
    painter: &Painter,
    tokens: &Tokens,
    rect: Rect,
    block: &Block,
    (free_left, free_right): (Rangef, Rangef),
    taken: &mut Vec<Rangef>,
) {
    let number = painter.layout_no_wrap(block.number.to_string(), semibold(BODY), tokens.ink);
    let need = number.size().x + 4.0;
    let narrow = rect.width() < ROOM_BELOW;
    let down = if block.gravest.is_some() && narrow { MARK / 2.0 } else { 0.0 };
    let x = if rect.width() - PORT_STRIPE >= need {
        rect.center().x + PORT_STRIPE / 2.0
    } else if free_right.span() >= need {
        taken.push(Rangef::new(free_right.min, free_right.min + need));
        free_right.min + need / 2.0
    } else if free_left.span() >= need {
        taken.push(Rangef::new(free_left.max - need, free_left.max));
        free_left.max - need / 2.0
    } else {
        rect.center().x
    };
    let at = pos2(x, rect.center().y + down) - number.size() / 2.0;
    painter.galley(at, number, tokens.ink);
}

/// A name in one line, or in two parted at the space that makes them most alike; `None` where it is too wide.
fn name_in_lines(
    painter: &Painter,
    tokens: &Tokens,
    name: &str,
    width: f32,
    rows: usize,
) -> Option<Arc<Galley>> {
    let set = |text: String| painter.layout_no_wrap(text, semibold(SMALL), tokens.ink);
    let galley = if rows == 1 {
        set(name.to_owned())
    } else {
        let parted = name.match_indices(' ').map(|(at, _)| format!("{}\n{}", &name[..at], &name[at + 1..]));
        parted.map(set).min_by(|one, other| one.size().x.total_cmp(&other.size().x))?
    };
    (galley.size().x <= width).then_some(galley)
}

/// A name at a block's height, with its start below if there is room.
fn put(painter: &Painter, tokens: &Tokens, rect: Rect, left: f32, galley: Arc<Galley>, clock: String) {
    let bottom = rect.top() + 3.0 + galley.size().y;
    painter.galley(pos2(left, rect.top() + 3.0), galley, tokens.ink);
    if bottom + SMALL * LINE <= rect.bottom() + 1.0 {
        small(painter, pos2(left, bottom), Align2::LEFT_TOP, clock, tokens.ink);
    }
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
    let galley = one_line(painter, &words, semibold(SMALL), tokens.ink, inner.height());
    let at = pos2(rect.center().x - galley.size().y / 2.0, rect.bottom() - PADDING);
    painter.add(TextShape::new(at, galley, tokens.ink).with_angle(-FRAC_PI_2));
}
