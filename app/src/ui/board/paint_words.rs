//! Paints the words of stops and entries on the lanes, where `names` found room for them.

use std::f32::consts::FRAC_PI_2;
use std::sync::Arc;

use egui::epaint::TextShape;
use egui::{Align2, Galley, Painter, Pos2, Rect, pos2, vec2};

use super::layout::BoardLayout;
use super::model::{Block, BoardModel};
use super::names::{Placed, Taken, before, clock_words};
use super::paint_lanes::{HELD_SIDE, MARK, PORT_STRIPE, finding_place};
use crate::ui::parts::{lines, one_line, severity_mark, small};
use crate::ui::theme::{BODY, NEAR, SMALL, TIGHT, TINY, Tokens, semibold};

/// An entry at least this wide has its words along, not up.
const ENTRY_ALONG: f32 = 100.0;
/// Height of capitals and descenders together, as a share of the size of type.
const INK_HEIGHT: f32 = 1.05;
/// Height of a line of type, as a share of its size.
const LINE_HEIGHT: f32 = 1.26;

/// The words of a stop where they have a place, else the stop's number.
pub(super) fn stop_words(
    painter: &Painter,
    tokens: &Tokens,
    layout: &BoardLayout,
    block: &Block,
    placed: Option<&Placed>,
    taken: &mut Taken,
) {
    let Some(Placed { form, at }) = placed else {
        number_only(painter, tokens, layout, block, taken);
        return;
    };
    let mut at = *at;
    for galley in [Some(&form.name), form.clock.as_ref()].into_iter().flatten() {
        painter.galley(at, Arc::clone(galley), tokens.ink);
        at.y += galley.size().y;
    }
    if let Some((bite, word)) = &form.word {
        severity_mark(painter, tokens, at + vec2(MARK / 2.0 - NEAR, word.size().y / 2.0), bite.severity);
        painter.galley(at + vec2(MARK, 0.0), Arc::clone(word), tokens.ink);
    }
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
    if size.x + NEAR <= free.width() {
        painter.galley(within.min, number, tokens.ink);
        return;
    }
    let middle = rect.center().y - size.y / 2.0;
    let low = rect.bottom() - size.y;
    let places: [Pos2; 6] = [
        pos2(rect.right() + NEAR, middle),
        pos2(before(layout, block) - NEAR - size.x, middle),
        pos2(rect.right() + NEAR, low),
        pos2(before(layout, block) - NEAR - size.x, low),
        pos2(rect.right() + NEAR, rect.top()),
        pos2(before(layout, block) - NEAR - size.x, rect.top()),
    ];
    let places = places.map(|at| Rect::from_min_size(at, size));
    if let Some(place) = places.into_iter().find(|place| taken.is_free(layout, place.shrink(1.0))) {
        painter.galley(place.min, number, tokens.ink);
        taken.take(place);
        return;
    }
    // A small tag over its own stripe and move: its right end is the block's, where the next may follow at once; smaller or
    // at another height where it would reach over what stands before.
    let tag = |size: f32, y: f32| {
        let number = painter.layout_no_wrap(block.number.to_string(), semibold(size), tokens.ink);
        let half = number.size().y / 2.0;
        let at = pos2(
            rect.right() - 1.0,
            y.clamp(rect.top() + half, (rect.bottom() - half).max(rect.top() + half)),
        );
        (Align2::RIGHT_CENTER.anchor_size(at, number.size()), number)
    };
    let heights = [free_of_finding.center().y, rect.top(), rect.bottom()];
    let tags = [SMALL, TINY].into_iter().flat_map(|size| heights.map(|y| tag(size, y)));
    let mut tags = tags.into_iter();
    // Where even that would cover another's, the name beside its path has to do.
    let Some((place, number)) = tags.find(|(place, _)| !taken.strikes_before(layout, block, *place)) else {
        return;
    };
    painter.rect_filled(place, 0.0, if block.selected { tokens.accent_soft } else { tokens.raised });
    painter.galley(place.min, number, tokens.ink);
    taken.take(place);
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
    let inner = rect.shrink(TIGHT);
    if rect.width() >= ENTRY_ALONG {
        let galley = lines(painter, &block.title, semibold(BODY), tokens.ink, inner.width(), 3);
        let below = inner.top() + galley.size().y;
        painter.galley(inner.min, galley, tokens.ink);
        small(painter, pos2(inner.left(), below + NEAR), Align2::LEFT_TOP, clock, tokens.ink);
        return;
    }
    let held = if block.held { inner.top() + HELD_SIDE } else { inner.top() };
    let head = finding_place(block, rect).map_or(held, |finding| finding.bottom());
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
