//! Paints the words of stops and entries on the lanes, where `names` found room for them.

use std::f32::consts::FRAC_PI_2;
use std::sync::Arc;

use egui::epaint::TextShape;
use egui::{Align2, Galley, Painter, Rect, Stroke, pos2, vec2};

use super::layout::BoardLayout;
use super::model::{Block, BoardModel};
use super::names::{Placed, Stand, TIE, clock_words};
use super::paint_lanes::{HELD_SIDE, MARK, finding_place};
use crate::ui::parts::{lines, one_line, severity_mark, small};
use crate::ui::theme::{BODY, HAIR, NEAR, SMALL, TIGHT, TINY, Tokens, semibold};

/// An entry at least this wide has its words along, not up.
const ENTRY_ALONG: f32 = 100.0;
/// Height of capitals and descenders together, as a share of the size of type.
const INK_HEIGHT: f32 = 1.05;
/// Height of a line of type, as a share of its size.
const LINE_HEIGHT: f32 = 1.26;

/// The words of a stop where they have a place, tied to the stop where they stand beside it; else the stop's number.
pub(super) fn stop_words(
    painter: &Painter,
    tokens: &Tokens,
    layout: &BoardLayout,
    block: &Block,
    placed: Option<&Placed>,
) {
    let Some(Placed { stand, name, clock, word, rect }) = placed else {
        number_only(painter, tokens, layout, block);
        return;
    };
    if *stand == Stand::Up {
        up(painter, tokens, name, *rect);
        return;
    }
    if matches!(stand, Stand::Left | Stand::Right) {
        let own = layout.block(block);
        let x = if *stand == Stand::Left {
            rect.right() + NEAR..=own.left()
        } else {
            own.right()..=rect.left() - NEAR
        };
        painter.rect_filled(rect.expand2(vec2(NEAR, 0.0)), 0.0, tokens.ground);
        painter.hline(x, rect.top() + TIE, Stroke::new(HAIR, tokens.ink));
    }
    let mut y = rect.top();
    for galley in [Some(name), clock.as_ref()].into_iter().flatten() {
        // Lines that end at their stop hang from their right end.
        let x = if *stand == Stand::Left { rect.right() } else { rect.left() };
        painter.galley(pos2(x, y), Arc::clone(galley), tokens.ink);
        y += galley.size().y;
    }
    if let Some((bite, word)) = word {
        let x = if *stand == Stand::Left { rect.right() - MARK - word.size().x } else { rect.left() };
        severity_mark(painter, tokens, pos2(x + MARK / 2.0 - NEAR, y + word.size().y / 2.0), bite.severity);
        painter.galley(pos2(x + MARK, y), Arc::clone(word), tokens.ink);
    }
}

/// Words that run up a stop.
fn up(painter: &Painter, tokens: &Tokens, galley: &Arc<Galley>, rect: Rect) {
    let at = pos2(rect.center().x - galley.size().y / 2.0, rect.bottom());
    painter.add(TextShape::new(at, Arc::clone(galley), tokens.ink).with_angle(-FRAC_PI_2));
}

/// The stop's number over its head, as small as is read: it may reach over the edges.
fn number_only(painter: &Painter, tokens: &Tokens, layout: &BoardLayout, block: &Block) {
    let rect = layout.block(block);
    let number = painter.layout_no_wrap(block.number.to_string(), semibold(TINY), tokens.ink);
    let at = pos2(rect.center().x - number.size().x / 2.0, rect.top() + NEAR);
    painter.rect_filled(Rect::from_min_size(at, number.size()), 0.0, tokens.raised);
    painter.galley(at, number, tokens.ink);
}

/// An entry's name runs up the block where the block is narrow.
pub(super) fn entry_words(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    block: &Block,
) {
    let rect = layout.block(block);
    let clock = clock_words(model, block);
    let inner = rect.shrink(TIGHT);
    if rect.width() >= ENTRY_ALONG {
        let galley = lines(painter, &block.title, semibold(BODY), tokens.ink, inner.width(), 3);
        let below = inner.top() + galley.size().y;
        painter.galley(inner.min, galley, tokens.ink);
        small(painter, pos2(inner.left(), below + NEAR), Align2::LEFT_TOP, clock, tokens.ink);
        return;
    }
    let held = if block.held { inner.top() + HELD_SIDE } else { inner.top() };
    let head = finding_place(layout, block, rect).map_or(held, |finding| finding.bottom());
    let height = inner.bottom() - head;
    let galley = upright_words(painter, tokens, (&clock, &block.title), rect.width(), height);
    let at = pos2(rect.center().x - galley.size().y / 2.0, rect.bottom() - TIGHT);
    painter.add(TextShape::new(at, galley, tokens.ink).with_angle(-FRAC_PI_2));
}

/// Start and title in one line, smaller in one line, or in two lines: what loses nothing; else what stands before
/// a colon, else one line cut short.
fn upright_words(
    painter: &Painter,
    tokens: &Tokens,
    (clock, title): (&str, &str),
    width: f32,
    height: f32,
) -> Arc<Galley> {
    let whole = format!("{clock}  {title}");
    let largest = (width / INK_HEIGHT).clamp(TINY, SMALL);
    let halved = width / (2.0 * LINE_HEIGHT);
    for size in [largest, (largest - 1.0).max(TINY)] {
        let galley = painter.layout_no_wrap(whole.clone(), semibold(size), tokens.ink);
        if galley.size().x <= height {
            return galley;
        }
    }
    if halved >= TINY {
        let galley = lines(painter, &whole, semibold(halved.min(SMALL)), tokens.ink, height, 2);
        if !galley.elided {
            return galley;
        }
    }
    // What stands before a colon names an entry too.
    let head = title.split(':').next().unwrap_or(title);
    for (size, words) in [(TINY, &whole), (largest, &format!("{clock}  {head}"))] {
        let galley = painter.layout_no_wrap(words.clone(), semibold(size), tokens.ink);
        if galley.size().x <= height {
            return galley;
        }
    }
    one_line(painter, &whole, semibold(largest), tokens.ink, height)
}
