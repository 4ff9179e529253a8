//! Parts that several pages share: headings' tags, figures, boxes to tick, lines to fill in.

use std::num::NonZeroU16;

use krilla::geom::Rect;
use krilla::tagging::{BBox, Tag, TagKind};

use super::page::{Mark, Pages, Role};
use super::tags::Element;
use crate::chart::{Scene, Weight};
use crate::sheet::page_words::FILL_IN;

/// The tag of a heading of a level, from 1.
pub(super) fn heading_tag(level: u16, text: &str) -> TagKind {
    Tag::Hn(NonZeroU16::new(level).unwrap_or(NonZeroU16::MIN), Some(text.to_owned())).into()
}

/// A drawing from its left edge at a scale, told by other words where it can't be seen.
pub(super) fn figure<'s>(pages: &mut Pages<'s>, scene: &'s Scene, alt: &str, (left, scale): (f32, f32)) {
    let at = (left, pages.y);
    let (width, height) = (scene.width * scale, scene.height * scale);
    let bounds = Rect::from_xywh(at.0, at.1, width.max(1.0), height.max(1.0));
    let bounds = bounds.map(|rectangle| BBox::new(pages.sides.len() - 1, rectangle));
    let alt = pages.typeface.writable(alt);
    let figure = pages.tags.section(Tag::Figure(Some(alt)).with_bbox(bounds));
    let slot = pages.tags.slot(figure);
    pages.put(Mark::Drawing { at, scale, scene, slot });
    pages.y += height;
}

/// Boxes to tick beside their words on one line from a place on its baseline, each so far from the one before; the boxes
/// are told by other words. Gives the paragraph that they are.
pub(super) fn choices<'w>(
    pages: &mut Pages<'_>,
    words: impl IntoIterator<Item = &'w str>,
    (mut x, y): (f32, f32),
    apart: f32,
    (size, told): (f32, &'static str),
) -> Element {
    let paragraph = pages.tags.section(Tag::P);
    for choice in words {
        let slot = pages.tags.slot(paragraph);
        let at = (x, y - 0.92 * size);
        pages.put(Mark::Frame { at, size: (size, size), role: Role::Told(slot, told) });
        // The space keeps it apart from what follows for a reader of the text.
        let text = format!("{} ", choice.trim_end());
        pages.write(paragraph, (x + 1.42 * size, y), size, Weight::Semibold, &text);
        x += apart;
    }
    paragraph
}

/// A label that is part of a paragraph, with a line beside it up to the right edge, to be filled in by hand.
pub(super) fn fill_in(
    pages: &mut Pages<'_>,
    paragraph: Element,
    label: &str,
    (x, y): (f32, f32),
    right: f32,
) {
    let size = pages.setting.body;
    pages.write(paragraph, (x, y), size, Weight::Regular, label);
    let slot = pages.tags.slot(paragraph);
    let wide = pages.typeface.width(&pages.typeface.writable(label), size, Weight::Regular);
    let (from, to) = ((x + wide + 0.6 * size, y + 2.0), (right, y + 2.0));
    pages.put(Mark::Rule { from, to, width: 0.7, role: Role::Told(slot, FILL_IN) });
}
