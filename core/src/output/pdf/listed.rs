//! Lists of labelled items in columns of even length.

use krilla::tagging::{ListNumbering, Tag};

use super::page::Pages;
use super::tags::Element;
use crate::chart::Weight;
use crate::sheet::Notice;

/// White between columns, and below an item.
pub(super) const COLUMN_GAP: f32 = 18.0;
pub(super) const ITEM_GAP: f32 = 2.5;

/// An item of a list: a label in semibold, then its words.
pub(super) struct Listed {
    label: String,
    words: String,
}

/// As much of an item as stands in one column: most items are one piece.
struct Piece {
    item: usize,
    /// Width of the label before the first line, if it has one.
    label: Option<f32>,
    lines: Vec<String>,
}

impl Listed {
    pub fn from_notice(notice: &Notice) -> Self {
        Self { label: notice.label.clone(), words: notice.value.clone() }
    }

    /// Words alone.
    pub const fn unlabelled(words: String) -> Self {
        Self { label: String::new(), words }
    }

    /// What stands before the first colon is the label.
    pub fn from_text(text: &str) -> Self {
        match text.split_once(": ") {
            Some((label, words)) => Self { label: label.to_owned(), words: words.to_owned() },
            None => Self { label: String::new(), words: text.to_owned() },
        }
    }

    /// Width of the label, and lines of the words: the first beside the label, the others below it.
    fn lines(&self, pages: &Pages<'_>, width: f32) -> (f32, Vec<String>) {
        let (typeface, body) = (pages.typeface, pages.setting.body);
        let label = if self.label.is_empty() {
            0.0
        } else {
            typeface.width(&typeface.writable(&self.label), body, Weight::Semibold) + 0.5 * body
        };
        if label > 0.6 * width {
            // The words begin on their own line.
            let mut lines = vec![String::new()];
            lines.extend(typeface.lines(&self.words, body, Weight::Regular, width));
            return (label, lines);
        }
        (label, typeface.lines_after(&self.words, body, Weight::Regular, (label, width)))
    }

    /// Height in a column of that width.
    pub fn height(&self, pages: &Pages<'_>, width: f32) -> f32 {
        self.lines(pages, width).1.len() as f32 * pages.setting.line + ITEM_GAP
    }

    /// Writes the item in a column at a place; gives where the next one goes.
    pub fn write(&self, pages: &mut Pages<'_>, list: Element, (x, y): (f32, f32), width: f32) -> f32 {
        let (label, lines) = self.lines(pages, width);
        let piece = Piece { item: 0, label: Some(label), lines };
        let mut entry = None;
        piece.write(pages, list, self, &mut entry, (x, y));
        y + piece.height(pages)
    }
}

impl Piece {
    fn height(&self, pages: &Pages<'_>) -> f32 {
        self.lines.len() as f32 * pages.setting.line + ITEM_GAP
    }

    /// Writes it as part of its item's entry, which is begun with the first piece.
    fn write(
        &self,
        pages: &mut Pages<'_>,
        list: Element,
        item: &Listed,
        words: &mut Option<Element>,
        at: (f32, f32),
    ) {
        let (body, line) = (pages.setting.body, pages.setting.line);
        if self.label.is_some() || words.is_none() {
            let entry = pages.tags.within(list, Tag::LI);
            if !item.label.is_empty() {
                let label = pages.tags.within(entry, Tag::Lbl);
                let text = format!("{} ", item.label);
                pages.write(label, (at.0, at.1 + body), body, Weight::Semibold, &text);
            }
            *words = Some(pages.tags.within(entry, Tag::LBody));
        }
        let Some(words) = *words else {
            return;
        };
        for (index, text) in self.lines.iter().enumerate() {
            let x = if index == 0 { at.0 + self.label.unwrap_or(0.0) } else { at.0 };
            pages.write(words, (x, at.1 + body + index as f32 * line), body, Weight::Regular, text);
        }
    }
}

/// The list in columns of even length across the side, each starting that much lower; on to the next side, from its top,
/// where it is longer.
pub(super) fn columns(pages: &mut Pages<'_>, items: &[Listed], starts: &[f32]) {
    if items.is_empty() {
        return;
    }
    let gaps = (starts.len() - 1) as f32 * COLUMN_GAP;
    let width = (pages.setting.text_width() - gaps) / starts.len() as f32;
    let list = pages.tags.section(Tag::L(ListNumbering::None));
    let pieces = pieces(pages, items, width);
    let heights: Vec<f32> = pieces.iter().map(|piece| piece.height(pages)).collect();
    let mut starts = starts.to_vec();
    let (mut next, mut words) = (0, None);
    while next < pieces.len() {
        let limit = shortest_columns(&heights[next..], &starts, pages.room());
        let top = pages.y;
        let mut lowest = top;
        for (column, start) in starts.iter().enumerate() {
            let x = pages.setting.margin + column as f32 * (width + COLUMN_GAP);
            let mut y = top + start;
            while next < pieces.len() && y + heights[next] <= top + limit + 0.01 {
                let piece = &pieces[next];
                piece.write(pages, list, &items[piece.item], &mut words, (x, y));
                y += heights[next];
                next += 1;
            }
            lowest = lowest.max(y);
        }
        pages.y = lowest;
        if next < pieces.len() {
            pages.turn();
            starts.fill(0.0);
        }
    }
}

/// The items in pieces, none of which is longer than an empty side.
fn pieces(pages: &Pages<'_>, items: &[Listed], width: f32) -> Vec<Piece> {
    let most = ((pages.setting.full_room() - ITEM_GAP) / pages.setting.line).max(1.0) as usize;
    let of_item = |(item, listed): (usize, &Listed)| {
        let (label, lines) = listed.lines(pages, width);
        let piece = |(index, lines): (usize, &[String])| {
            let label = (index == 0).then_some(label);
            Piece { item, label, lines: lines.to_vec() }
        };
        lines.chunks(most).enumerate().map(piece).collect::<Vec<_>>()
    };
    items.iter().enumerate().flat_map(of_item).collect()
}

/// The height of the list in columns of that width, as even as they get; at most `room`.
pub(super) fn columns_height(pages: &Pages<'_>, items: &[Listed], starts: &[f32], room: f32) -> f32 {
    let gaps = (starts.len() - 1) as f32 * COLUMN_GAP;
    let width = (pages.setting.text_width() - gaps) / starts.len() as f32;
    let heights: Vec<f32> = items.iter().map(|item| item.height(pages, width)).collect();
    shortest_columns(&heights, starts, room)
}

/// The least height at which items in their order fill the columns; at most `room`.
fn shortest_columns(heights: &[f32], starts: &[f32], room: f32) -> f32 {
    let fits = |limit: f32| {
        let mut items = heights.iter().peekable();
        for start in starts {
            let mut used = *start;
            while let Some(height) = items.next_if(|height| used + **height <= limit + 0.01) {
                used += height;
            }
        }
        items.peek().is_none()
    };
    let whole = heights.iter().sum::<f32>() + starts.iter().sum::<f32>();
    let mut limit = whole / starts.len().max(1) as f32;
    limit = limit.max(starts.iter().copied().fold(0.0, f32::max));
    while limit < room && !fits(limit) {
        limit += 1.0;
    }
    limit.min(room)
}
