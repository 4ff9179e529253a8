//! The parts of the run sheet beside its table: head, findings, drawing, cautions, decision box, footer.

use std::num::NonZeroU16;

use krilla::geom::Rect;
use krilla::tagging::{BBox, ListNumbering, Tag, TagKind};

use super::page::{BODY, FOOT, HEADING, LINE, MARGIN, Mark, Pages, Role};
use super::tags::Element;
use crate::chart::{Scene, Weight};
use crate::sheet::page_words::{
    CAUTIONS, CHOICES, CLOSE_AT, DECISION, DECISION_LINES, FILL_IN, FINDINGS, NO_STOPS, RUN_SHEET, TICK_BOX,
    TIMELINE, page_of,
};
use crate::sheet::{Notice, RunSheet};

const TITLE: f32 = 18.0;
/// From the title's baseline to the end of its heading.
const TITLE_DROP: f32 = 0.3 * TITLE;
const FOOT_TEXT: f32 = 9.0;
const COLUMN_GAP: f32 = 18.0;
/// Space before a heading, between items of a list, and below a heading.
const SECTION_GAP: f32 = 9.0;
const ITEM_GAP: f32 = 2.5;
const HEADING_GAP: f32 = 2.0;

fn heading_tag(level: u16, text: &str) -> TagKind {
    Tag::Hn(NonZeroU16::new(level).unwrap_or(NonZeroU16::MIN), Some(text.to_owned())).into()
}

/// A heading of the second level, never left alone at the foot of a page.
fn section_heading(pages: &mut Pages<'_>, text: &str, room_below: f32) {
    pages.need(SECTION_GAP + HEADING + room_below);
    if pages.y > MARGIN {
        pages.y += SECTION_GAP;
    }
    pages.heading(heading_tag(2, text), HEADING, text);
    pages.y += HEADING_GAP;
}

/// The title, or what stands for it: a document without one is no accessible document.
pub(super) fn title(sheet: &RunSheet) -> &str {
    if sheet.title.trim().is_empty() { RUN_SHEET } else { &sheet.title }
}

/// Title, subtitle, and the notices in three columns.
pub(super) fn head(pages: &mut Pages<'_>, sheet: &RunSheet) {
    let title = title(sheet);
    pages.heading(heading_tag(1, title), TITLE, title);
    let paragraph = pages.tags.section(Tag::P);
    let subtitle = format!("{} · {}", sheet.subtitle, sheet.zone);
    let typeface = pages.typeface;
    let title_width = typeface.width(&typeface.writable(title), TITLE, Weight::Semibold);
    let width = typeface.width(&typeface.writable(&subtitle), BODY, Weight::Regular);
    if title_width + COLUMN_GAP + width <= pages.paper.text_width() {
        // Beside the title, on its baseline.
        let x = MARGIN + pages.paper.text_width() - width;
        pages.write(paragraph, (x, pages.y - TITLE_DROP), BODY, Weight::Regular, &subtitle);
        return notices(pages, sheet);
    }
    for line in pages.typeface.lines(&subtitle, BODY, Weight::Regular, pages.paper.text_width()) {
        pages.write(paragraph, (MARGIN, pages.y + BODY), BODY, Weight::Regular, &line);
        pages.y += LINE;
    }
    notices(pages, sheet);
}

/// What sky, park and doors decide about the evening.
fn notices(pages: &mut Pages<'_>, sheet: &RunSheet) {
    pages.y += 4.0;
    let items: Vec<Listed> = sheet.head.iter().map(Listed::from_notice).collect();
    columns(pages, &items, &[0.0; 3]);
    pages.y += 4.0;
}

/// Stoppers and Cautions of the whole evening, if any.
pub(super) fn findings(pages: &mut Pages<'_>, sheet: &RunSheet) {
    if sheet.findings.is_empty() {
        return;
    }
    section_heading(pages, FINDINGS, 2.0 * LINE);
    let items: Vec<Listed> = sheet.findings.iter().map(|finding| Listed::from_text(finding)).collect();
    columns(pages, &items, &[0.0]);
    pages.y += ITEM_GAP;
}

/// What stands for the table of an evening without stops.
pub(super) fn no_stops(pages: &mut Pages<'_>) {
    let paragraph = pages.tags.section(Tag::P);
    pages.y += SECTION_GAP;
    pages.write(paragraph, (MARGIN, pages.y + BODY), BODY, Weight::Regular, NO_STOPS);
    pages.y += LINE;
}

/// The drawing across the page, as large as its width and an empty page allow.
pub(super) fn drawing<'s>(pages: &mut Pages<'s>, scene: &'s Scene) {
    let frame_room = pages.full_room() - HEADING * 1.3 - HEADING_GAP;
    let scale = (pages.paper.text_width() / scene.width.max(1.0)).min(frame_room / scene.height.max(1.0));
    let (width, height) = (scene.width * scale, scene.height * scale);
    section_heading(pages, TIMELINE, height + HEADING * 0.3 + HEADING_GAP);
    let at = (MARGIN, pages.y);
    let alt = pages.typeface.writable(&scene.alt);
    let bounds = Rect::from_xywh(at.0, at.1, width.max(1.0), height.max(1.0));
    let bounds = bounds.map(|rectangle| BBox::new(pages.leaves.len() - 1, rectangle));
    let figure = pages.tags.section(Tag::Figure(Some(alt)).with_bbox(bounds));
    let slot = pages.tags.slot(figure);
    pages.put(Mark::Drawing { at, scale, scene, slot });
    pages.y += height;
}

/// Cautions in three columns, the last of which begins below the decision box.
pub(super) fn cautions(pages: &mut Pages<'_>, sheet: &RunSheet) {
    let width = (pages.paper.text_width() - 2.0 * COLUMN_GAP) / 3.0;
    let items: Vec<Listed> = sheet.cautions.iter().map(Listed::from_notice).collect();
    let heights: Vec<f32> = items.iter().map(|item| item.height(pages, width)).collect();
    let box_height = decision_height(pages, sheet, width) + SECTION_GAP;
    let heading = HEADING * 1.3 + HEADING_GAP;
    let starts = [0.0, 0.0, (box_height - heading).max(0.0)];
    let shortest = shortest_columns(&heights, &starts, pages.full_room() - heading);
    pages.need(SECTION_GAP + heading + shortest);
    if pages.y > MARGIN {
        pages.y += SECTION_GAP;
    }
    let top = pages.y;
    decision(pages, sheet, MARGIN + 2.0 * (width + COLUMN_GAP), width);
    pages.y = top;
    pages.heading(heading_tag(2, CAUTIONS), HEADING, CAUTIONS);
    pages.y += HEADING_GAP;
    columns(pages, &items, &starts);
}

/// An item of a list: a label in semibold, then its words.
struct Listed {
    label: String,
    words: String,
}

impl Listed {
    fn from_notice(notice: &Notice) -> Self {
        Self { label: notice.label.clone(), words: notice.value.clone() }
    }

    /// What stands before the first colon is the label.
    fn from_text(text: &str) -> Self {
        match text.split_once(": ") {
            Some((label, words)) => Self { label: label.to_owned(), words: words.to_owned() },
            None => Self { label: String::new(), words: text.to_owned() },
        }
    }

    /// Lines of the words: the first beside the label, the others below it.
    fn lines(&self, pages: &Pages<'_>, width: f32) -> (f32, Vec<String>) {
        let label = if self.label.is_empty() {
            0.0
        } else {
            pages.typeface.width(&self.label, BODY, Weight::Semibold) + 0.5 * BODY
        };
        let typeface = pages.typeface;
        if label > 0.6 * width {
            // The words begin on their own line.
            let mut lines = vec![String::new()];
            lines.extend(typeface.lines(&self.words, BODY, Weight::Regular, width));
            return (label, lines);
        }
        let mut first = String::new();
        let text = typeface.writable(&self.words);
        let mut rest = text.split_whitespace().peekable();
        while let Some(word) = rest.peek() {
            let longer = if first.is_empty() { (*word).to_owned() } else { format!("{first} {word}") };
            if typeface.width(&longer, BODY, Weight::Regular) > width - label {
                break;
            }
            first = longer;
            rest.next();
        }
        let rest: Vec<&str> = rest.collect();
        let mut lines = vec![first];
        if !rest.is_empty() {
            if let Some(first) = lines.first_mut() {
                first.push(' ');
            }
            lines.extend(typeface.lines(&rest.join(" "), BODY, Weight::Regular, width));
        }
        (label, lines)
    }

    fn height(&self, pages: &Pages<'_>, width: f32) -> f32 {
        self.lines(pages, width).1.len() as f32 * LINE + ITEM_GAP
    }
}

/// A list in columns of even length, each starting that much lower; on to the next page, from its top, where it is
/// longer.
fn columns(pages: &mut Pages<'_>, items: &[Listed], starts: &[f32]) {
    if items.is_empty() {
        return;
    }
    let gaps = (starts.len() - 1) as f32 * COLUMN_GAP;
    let width = (pages.paper.text_width() - gaps) / starts.len() as f32;
    let list = pages.tags.section(Tag::L(ListNumbering::None));
    let laid: Vec<(f32, Vec<String>)> = items.iter().map(|item| item.lines(pages, width)).collect();
    let heights: Vec<f32> = laid.iter().map(|laid| laid.1.len() as f32 * LINE + ITEM_GAP).collect();
    let mut starts = starts.to_vec();
    let mut next = 0;
    while next < items.len() {
        let limit = shortest_columns(&heights[next..], &starts, pages.room());
        let (top, before) = (pages.y, next);
        let mut lowest = top;
        for (column, start) in starts.iter().enumerate() {
            let x = MARGIN + column as f32 * (width + COLUMN_GAP);
            let mut y = top + start;
            while next < items.len() && y + heights[next] <= top + limit + 0.01 {
                list_item(pages, list, &items[next], &laid[next], (x, y));
                y += heights[next];
                next += 1;
            }
            lowest = lowest.max(y);
        }
        pages.y = lowest;
        if next < items.len() {
            if next == before && top <= MARGIN {
                // An item taller than a page is drawn all the same, and its end cut off by the paper.
                list_item(pages, list, &items[next], &laid[next], (MARGIN, top));
                next += 1;
            }
            pages.turn();
            starts.fill(0.0);
        }
    }
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

fn list_item(pages: &mut Pages<'_>, list: Element, item: &Listed, laid: &(f32, Vec<String>), at: (f32, f32)) {
    let entry = pages.tags.within(list, Tag::LI);
    if !item.label.is_empty() {
        let label = pages.tags.within(entry, Tag::Lbl);
        pages.write(label, (at.0, at.1 + BODY), BODY, Weight::Semibold, &format!("{} ", item.label));
    }
    let words = pages.tags.within(entry, Tag::LBody);
    for (index, line) in laid.1.iter().enumerate() {
        let x = if index == 0 { at.0 + laid.0 } else { at.0 };
        pages.write(words, (x, at.1 + BODY + index as f32 * LINE), BODY, Weight::Regular, line);
    }
}

/// Height of the lines to fill in.
const FILL_LINE: f32 = 20.0;
const PADDING: f32 = 7.0;

fn decision_height(pages: &Pages<'_>, sheet: &RunSheet, width: f32) -> f32 {
    let inner = width - 2.0 * PADDING;
    let limits: f32 = sheet.limits.iter().map(|limit| Listed::from_notice(limit).height(pages, inner)).sum();
    2.0 * PADDING + HEADING * 1.3 + LINE + limits + FILL_LINE * (1 + DECISION_LINES.len()) as f32
}

/// The weather limits, go or no-go, and who decided when.
fn decision(pages: &mut Pages<'_>, sheet: &RunSheet, left: f32, width: f32) {
    let height = decision_height(pages, sheet, width);
    let top = pages.y;
    pages.put(Mark::Frame { at: (left, top), size: (width, height), role: Role::Decoration });
    let x = left + PADDING;
    let inner = width - 2.0 * PADDING;
    let mut y = top + PADDING;
    let title = pages.tags.section(heading_tag(2, DECISION));
    pages.headings.push((DECISION.to_owned(), pages.leaves.len() - 1, top));
    pages.write(title, (x, y + HEADING - 1.0), HEADING, Weight::Semibold, DECISION);
    y += HEADING * 1.3;
    let lead = pages.tags.section(Tag::P);
    pages.write(lead, (x, y + BODY), BODY, Weight::Regular, CLOSE_AT);
    y += LINE;
    let list = pages.tags.section(Tag::L(ListNumbering::None));
    for limit in &sheet.limits {
        let item = Listed::from_notice(limit);
        let laid = item.lines(pages, inner);
        list_item(pages, list, &item, &laid, (x, y));
        y += laid.1.len() as f32 * LINE + ITEM_GAP;
    }
    y += FILL_LINE;
    let choices = pages.tags.section(Tag::P);
    let mut choice_x = x;
    for choice in CHOICES {
        let slot = pages.tags.slot(choices);
        let role = Role::Told(slot, TICK_BOX);
        pages.put(Mark::Frame { at: (choice_x, y - 11.0), size: (12.0, 12.0), role });
        pages.write(choices, (choice_x + 17.0, y), HEADING - 1.0, Weight::Semibold, choice);
        choice_x += inner / 2.0;
    }
    for label in DECISION_LINES {
        y += FILL_LINE;
        let line = pages.tags.section(Tag::P);
        pages.write(line, (x, y), BODY, Weight::Regular, label);
        let slot = pages.tags.slot(line);
        let start = x + pages.typeface.width(label, BODY, Weight::Regular) + 6.0;
        let role = Role::Told(slot, FILL_IN);
        pages.put(Mark::Rule { from: (start, y + 2.0), to: (x + inner, y + 2.0), width: 0.7, role });
    }
    pages.y = top + height;
}

/// The footer of every page; on the last one its advice is part of the text, so that it is read aloud once.
pub(super) fn footers(pages: &mut Pages<'_>, sheet: &RunSheet) {
    let count = pages.leaves.len();
    let (left, right) = (MARGIN, MARGIN + pages.paper.text_width());
    let first = pages.bottom() + FOOT - 1.2 * FOOT_TEXT - 2.0;
    let second = pages.bottom() + FOOT - 1.0;
    let typeface = pages.typeface;
    let advice = typeface.writable(&sheet.footer);
    let advice_size =
        FOOT_TEXT * ((right - left) / typeface.width(&advice, FOOT_TEXT, Weight::Semibold)).min(1.0);
    let advice_role = Role::Content({
        let paragraph = pages.tags.section(Tag::P);
        pages.tags.slot(paragraph)
    });
    let (stamp, zone) = (typeface.writable(&sheet.stamp), typeface.writable(&sheet.zone));
    let width = |text: &str| typeface.width(text, FOOT_TEXT, Weight::Regular);
    for (index, page) in pages.leaves.iter_mut().enumerate() {
        let mut write = |x: f32, y: f32, (size, weight): (f32, Weight), text: &str, role: Role| {
            page.push(Mark::Text { x, y, size, weight, text: text.to_owned(), role });
        };
        let role = if index + 1 == count { advice_role } else { Role::Footer };
        write(left, first, (advice_size, Weight::Semibold), &advice, role);
        let plain = (FOOT_TEXT, Weight::Regular);
        let number = page_of(index + 1, count);
        write(left, second, plain, &stamp, Role::Footer);
        write(f32::midpoint(left, right) - width(&zone) / 2.0, second, plain, &zone, Role::Footer);
        write(right - width(&number), second, plain, &number, Role::Footer);
    }
}
