//! Paints the words of stops and entries on the lanes: inside a block, else beside it, never over another.

use std::f32::consts::FRAC_PI_2;
use std::sync::Arc;

use egui::epaint::TextShape;
use egui::{Align2, Galley, Painter, Pos2, Rect, pos2};

use super::layout::BoardLayout;
use super::model::{Block, BoardModel};
use super::paint_lanes::{HELD_SIDE, PORT_STRIPE, finding_place};
use crate::ui::parts::{lines, one_line, small};
use crate::ui::text;
use crate::ui::theme::{BODY, SMALL, Tokens, regular, semibold};

/// Between a block and the words beside it.
const PADDING: f32 = 5.0;
/// Between a block's edge and the words in it.
const INSIDE: f32 = 3.0;
/// Most lines of a name.
const MOST_LINES: usize = 3;
/// Half the height kept free for the move before a stop.
const TRAVEL_HALF: f32 = 8.0;
/// An entry at least this wide has its words along, not up.
const ENTRY_ALONG: f32 = 100.0;
/// Height of capitals and descenders together, as a share of the size of type.
const INK_HEIGHT: f32 = 1.05;
/// Smallest type.
const SMALLEST: f32 = 9.0;

/// What is taken on the lanes: blocks, moves, and the words set so far.
pub(super) struct Taken(Vec<Rect>);

impl Taken {
    pub(super) fn new(model: &BoardModel<'_>, layout: &BoardLayout) -> Self {
        let mut taken = Vec::new();
        for block in &model.blocks {
            let rect = layout.block(block);
            taken.push(rect);
            let middle = rect.center().y;
            taken.push(Rect::from_x_y_ranges(
                before(layout, block)..=rect.left(),
                middle - TRAVEL_HALF..=middle + TRAVEL_HALF,
            ));
        }
        Self(taken)
    }

    /// Whether a place that ends at a block's right end reaches over something before the block and its move.
    fn strikes_before(&self, layout: &BoardLayout, block: &Block, place: Rect) -> bool {
        let ahead = place.with_max_x(before(layout, block));
        ahead.is_positive() && self.0.iter().any(|other| other.intersects(ahead.shrink(0.5)))
    }

    fn is_free(&self, layout: &BoardLayout, place: Rect) -> bool {
        layout.all_lanes().contains_rect(place) && !self.0.iter().any(|other| other.intersects(place))
    }
}

/// Where a block begins together with the move to it.
fn before(layout: &BoardLayout, block: &Block) -> f32 {
    block.travel.map_or_else(|| layout.block(block).left(), |(leave, _)| layout.axis.x(leave))
}

/// Start time, and whether it is held.
fn clock_words(model: &BoardModel<'_>, block: &Block) -> String {
    let start = model.clock(block.interval.start());
    if block.held { format!("{start} {}", text::HELD_MARK) } else { start }
}

/// The name inside the block if it fits, else beside it where the lane is free, else the stop's number.
pub(super) fn stop_words(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    block: &Block,
    taken: &mut Taken,
) {
    let rect = layout.block(block);
    let clock = painter.layout_no_wrap(clock_words(model, block), regular(SMALL), tokens.ink);
    let names: Vec<Arc<Galley>> =
        (1..=MOST_LINES).filter_map(|rows| name_in_lines(painter, tokens, &block.title, rows)).collect();
    let inner = inside(block, rect);
    // The last line may touch the frame with its descenders.
    let inner = inner.with_max_y(rect.bottom());
    let finding = finding_place(block, rect);
    let clear = |place: Rect| !finding.is_some_and(|finding| finding.intersects(place));
    for name in &names {
        let place = Rect::from_min_size(inner.min, name.size());
        if inner.contains_rect(place) && clear(place) {
            painter.galley(place.min, Arc::clone(name), tokens.ink);
            let below = Rect::from_min_size(place.left_bottom(), clock.size());
            if inner.contains_rect(below) && clear(below) {
                painter.galley(below.min, clock, tokens.ink);
            }
            return;
        }
    }
    let right = rect.right() + PADDING;
    let left = before(layout, block) - PADDING;
    let top = rect.top() + INSIDE;
    for name in &names {
        for at in [pos2(right, top), pos2(left - name.size().x, top)] {
            let place = Rect::from_min_size(at, name.size());
            if place.bottom() > rect.bottom() || !taken.is_free(layout, place) {
                continue;
            }
            painter.galley(place.min, Arc::clone(name), tokens.ink);
            let below = Rect::from_min_size(place.left_bottom(), clock.size());
            if below.bottom() <= rect.bottom() + INSIDE && taken.is_free(layout, below) {
                painter.galley(below.min, clock, tokens.ink);
                taken.0.push(below);
            }
            taken.0.push(place);
            return;
        }
    }
    number_only(painter, tokens, layout, block, taken);
}

/// The room for words in a block, beside its port's stripe and the mark of what is held.
fn inside(block: &Block, rect: Rect) -> Rect {
    let held = if block.held { HELD_SIDE - PORT_STRIPE } else { 0.0 };
    let inner = rect.shrink(INSIDE);
    inner.with_min_x((inner.left() + PORT_STRIPE + held).min(inner.right()))
}

/// The stop's number, which the altitude path bears too: inside, else beside where there is room.
fn number_only(painter: &Painter, tokens: &Tokens, layout: &BoardLayout, block: &Block, taken: &mut Taken) {
    let rect = layout.block(block);
    let free = rect.with_min_x((rect.left() + PORT_STRIPE).min(rect.right()));
    let number = painter.layout_no_wrap(block.number.to_string(), semibold(BODY), tokens.ink);
    let size = number.size();
    let free_of_finding = match finding_place(block, rect) {
        Some(finding) if finding.left() < free.center().x => free.with_max_y(finding.top()),
        _ => free,
    };
    let within = Rect::from_center_size(free_of_finding.center(), size);
    if size.x + 2.0 <= free.width() {
        painter.galley(within.min, number, tokens.ink);
        return;
    }
    let middle = rect.center().y - size.y / 2.0;
    let low = rect.bottom() - size.y;
    let places: [Pos2; 6] = [
        pos2(rect.right() + 2.0, middle),
        pos2(before(layout, block) - 2.0 - size.x, middle),
        pos2(rect.right() + 2.0, low),
        pos2(rect.left() - 2.0 - size.x, low),
        pos2(rect.right() + 2.0, rect.top()),
        pos2(rect.left() - 2.0 - size.x, rect.top()),
    ];
    let places = places.map(|at| Rect::from_min_size(at, size));
    if let Some(place) = places.into_iter().find(|place| taken.is_free(layout, place.shrink(1.0))) {
        painter.galley(place.min, number, tokens.ink);
        taken.0.push(place);
        return;
    }
    // A small tag over its own stripe and move: its right end is the block's, where the next may follow at once.
    let at = pos2(rect.right() - 1.0, free_of_finding.center().y);
    let tag = |size: f32| {
        let number = painter.layout_no_wrap(block.number.to_string(), semibold(size), tokens.ink);
        (Align2::RIGHT_CENTER.anchor_size(at, number.size()), number)
    };
    // Smaller where it would reach over the stop before.
    let (mut place, mut number) = tag(SMALL);
    if taken.strikes_before(layout, block, place) {
        (place, number) = tag(SMALLEST);
    }
    painter.rect_filled(place, 0.0, if block.selected { tokens.accent_soft } else { tokens.raised });
    painter.galley(place.min, number, tokens.ink);
}

/// A name in so many lines, parted at the spaces that make it narrowest; `None` where it has too few words.
fn name_in_lines(painter: &Painter, tokens: &Tokens, name: &str, rows: usize) -> Option<Arc<Galley>> {
    let set = |text: String| painter.layout_no_wrap(text, semibold(SMALL), tokens.ink);
    let mut ways = vec![name.to_owned()];
    for _ in 1..rows {
        ways = ways.iter().flat_map(|way| part_once_more(way)).collect();
    }
    ways.into_iter().map(set).min_by(|one, other| one.size().x.total_cmp(&other.size().x))
}

/// All ways to part the last line once more.
fn part_once_more(way: &str) -> Vec<String> {
    let last = way.rfind('\n').map_or(0, |at| at + 1);
    let spaces = way[last..].match_indices(' ').map(|(at, _)| last + at);
    spaces.map(|at| format!("{}\n{}", &way[..at], &way[at + 1..])).collect()
}

/// An entry's name runs up the block where the block is narrow.
pub(super) fn entry_words(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    block: &Block,
    rect: Rect,
) {
    let clock = clock_words(model, block);
    let inner = rect.shrink(PADDING);
    if rect.width() >= ENTRY_ALONG {
        let galley = lines(painter, &block.title, semibold(BODY), tokens.ink, inner.width(), 3);
        let below = inner.top() + galley.size().y;
        painter.galley(inner.min, galley, tokens.ink);
        small(painter, pos2(inner.left(), below + 2.0), Align2::LEFT_TOP, clock, tokens.ink);
        return;
    }
    let words = format!("{clock}  {}", block.title);
    let font = semibold((rect.width() / INK_HEIGHT).clamp(SMALLEST, SMALL));
    let held = if block.held { inner.top() + HELD_SIDE } else { inner.top() };
    let head = finding_place(block, rect).map_or(held, |finding| finding.bottom());
    let height = inner.bottom() - head;
    let galley = one_line(painter, &words, font, tokens.ink, height);
    let at = pos2(rect.center().x - galley.size().y / 2.0, rect.bottom() - PADDING);
    painter.add(TextShape::new(at, galley, tokens.ink).with_angle(-FRAC_PI_2));
}

#[cfg(test)]
mod tests {
    use super::part_once_more;

    #[test]
    fn names_are_parted_at_spaces_only() {
        assert_eq!(
            part_once_more("Marigold and Speedwell"),
            ["Marigold\nand Speedwell", "Marigold and\nSpeedwell"]
        );
        assert_eq!(part_once_more("Marigold\nand Speedwell"), ["Marigold\nand\nSpeedwell"]);
        assert!(part_once_more("Jupiter").is_empty());
    }
}
