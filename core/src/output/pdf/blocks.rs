//! Each kind of block drawn from where the pages stand, broken over sides where it must be.

use krilla::tagging::{ListNumbering, Tag};

use super::PdfError;
use super::column_widths::edges;
use super::leaf::Drawings;
use super::page::{Mark, Pages, Role};
use super::parts::{choices, figure, fill_in, heading_tag};
use super::table::{Cell, Frame, Table, cell_gap};
use super::tags::Element;
use crate::chart::Weight;
use crate::sheet::page_words::CHOICE_BOX;
use crate::sheet::{Block, LeafDrawing, LeafTable, Notice};

/// The widest line of running text, in sizes of the text: about 100 letters.
const WIDEST: f32 = 48.0;
/// How much smaller words to be read from afar may be to bring them on one line.
const LEAST_LARGE: f32 = 0.7;
/// The widest column of labels, as a share of the width.
const LABELS: f32 = 0.38;
/// Height of a line to be filled in, and the least of it in points: 8 mm, as ruled paper has it.
const FILL_IN_LINES: f32 = 1.6;
const LEAST_FILL_IN: f32 = 22.7;
/// The widest label of lines to be filled in that stand two and two, as a share of their width.
const SHORT_LABEL: f32 = 0.55;
/// The size of text from which on a table is set with all but its first column below one another.
const LARGE_PRINT: f32 = 15.0;

/// The level of a heading among its blocks: none is left out on the way down.
pub(super) fn level(blocks: &[Block], index: usize) -> u16 {
    let below_a_heading = blocks[..index].iter().any(|block| matches!(block, Block::Heading(_)));
    match &blocks[index] {
        Block::Subheading(_) if below_a_heading => 3,
        _ => 2,
    }
}

/// Draws a block.
pub(super) fn draw<'s>(
    pages: &mut Pages<'s>,
    block: &Block,
    level: u16,
    drawings: &Drawings<'s>,
) -> Result<(), PdfError> {
    match block {
        Block::Heading(text) | Block::Subheading(text) => {
            pages.heading(heading_tag(level, text), level, text);
        }
        Block::Text(words) => text(pages, words),
        Block::Large(words) => large(pages, words),
        Block::Facts(all) => facts(pages, all),
        Block::List(points) => list(pages, points),
        Block::Table(content) => table(pages, content),
        Block::Drawing(drawing) => return figure_of(pages, *drawing, drawings),
        Block::Choices(words) => boxes(pages, words),
        Block::FillIn(labels) => lines_to_fill_in(pages, labels),
        Block::NewSide => pages.turn(),
    }
    Ok(())
}

/// A paragraph: short ones stay together, others leave no line alone on a side.
fn text(pages: &mut Pages<'_>, words: &str) {
    let setting = pages.setting;
    let width = pages.width.min(WIDEST * setting.body);
    let lines = pages.typeface.lines(words, setting.body, Weight::Regular, width);
    let fits = (pages.room() / setting.line) as usize;
    let kept = if lines.len() <= 4 { lines.len() } else { 2 };
    let paragraph = pages.tags.section(Tag::P);
    let plain = (setting.body, Weight::Regular, setting.line);
    pages.need(kept as f32 * setting.line);
    let break_at = if fits + 1 == lines.len() && lines.len() > 4 { fits - 1 } else { lines.len() };
    let (before, after) = lines.split_at(break_at);
    pages.write_lines(paragraph, pages.left, plain, before);
    if !after.is_empty() {
        pages.turn();
        pages.write_lines(paragraph, pages.left, plain, after);
    }
}

/// A few words as large as the width allows.
fn large(pages: &mut Pages<'_>, words: &str) {
    let (setting, typeface) = (pages.setting, pages.typeface);
    let words = typeface.writable(words);
    let width = |text: &str| typeface.width(text, 1.0, Weight::Semibold).max(1e-3);
    let on_one_line = pages.width / width(&words);
    let longest = words.split_whitespace().map(width).fold(1e-3, f32::max);
    let size = if on_one_line >= LEAST_LARGE * setting.large {
        on_one_line.min(setting.large)
    } else {
        (setting.large).min(pages.width / longest).max(setting.body)
    };
    // A hair below the width, so that rounding breaks no word.
    let size = 0.999 * size;
    let lines = typeface.lines(&words, size, Weight::Semibold, pages.width);
    let paragraph = pages.tags.section(Tag::P);
    pages.need((lines.len() as f32 * 1.15 * size).min(setting.full_room()));
    pages.write_lines(paragraph, pages.left, (size, Weight::Semibold, 1.15 * size), &lines);
}

/// Labels in a column, their values beside them; short ones in two columns.
fn facts(pages: &mut Pages<'_>, facts: &[Notice]) {
    let (setting, typeface) = (pages.setting, pages.typeface);
    let gap = 1.2 * setting.body;
    let wide = |text: &str, weight| typeface.width(&typeface.writable(text), setting.body, weight);
    let widest_label = facts.iter().map(|fact| wide(&fact.label, Weight::Semibold)).fold(0.0, f32::max) + gap;
    let widest_value = facts.iter().map(|fact| wide(&fact.value, Weight::Regular)).fold(0.0, f32::max);
    let half = (pages.width - 2.0 * setting.body) / 2.0;
    let rows = facts.len().div_ceil(2);
    let height = rows as f32 * 1.15 * setting.line;
    let list = pages.tags.section(Tag::L(ListNumbering::None));
    if facts.len() >= 4 && widest_label + widest_value <= half && height <= setting.full_room() {
        pages.need(height);
        let (left, width, top) = (pages.left, pages.width, pages.y);
        for (column, facts) in facts.chunks(rows).enumerate() {
            (pages.left, pages.width) = (left + column as f32 * (half + 2.0 * setting.body), half);
            pages.y = top;
            facts_below(pages, list, facts, (widest_label, gap));
        }
        (pages.left, pages.width, pages.y) = (left, width, top + height);
        return;
    }
    let indent = widest_label.min(LABELS * pages.width);
    facts_below(pages, list, facts, (indent, gap));
}

/// Facts below one another, their values so far from the left edge.
fn facts_below(pages: &mut Pages<'_>, list: Element, facts: &[Notice], (indent, gap): (f32, f32)) {
    let (setting, typeface) = (pages.setting, pages.typeface);
    let value_width = (pages.width - indent).min(WIDEST * setting.body) + 0.01;
    for fact in facts {
        let labels = typeface.lines(&fact.label, setting.body, Weight::Semibold, indent - gap + 0.01);
        let values = typeface.lines(&fact.value, setting.body, Weight::Regular, value_width);
        let item = pages.tags.within(list, Tag::LI);
        let label = pages.tags.within(item, Tag::Lbl);
        let value = pages.tags.within(item, Tag::LBody);
        let count = labels.len().max(values.len());
        pages.need((count as f32 * setting.line).min(setting.full_room()));
        for index in 0..count {
            pages.need(setting.line);
            let y = pages.y + setting.body;
            if let Some(text) = labels.get(index) {
                // A space after the last word, so that it stays apart from the value for a reader of the text.
                let text = if index + 1 == labels.len() { format!("{text} ") } else { text.clone() };
                pages.write(label, (pages.left, y), setting.body, Weight::Semibold, &text);
            }
            if let Some(text) = values.get(index) {
                pages.write(value, (pages.left + indent, y), setting.body, Weight::Regular, text);
            }
            pages.y += setting.line;
        }
        pages.y += 0.15 * setting.line;
    }
}

/// Points, each behind a mark that says nothing.
fn list(pages: &mut Pages<'_>, points: &[String]) {
    let setting = pages.setting;
    let indent = 1.1 * setting.body;
    let width = (pages.width - indent).min(WIDEST * setting.body);
    let list = pages.tags.section(Tag::L(ListNumbering::None));
    for point in points {
        let lines = pages.typeface.lines(point, setting.body, Weight::Regular, width);
        let item = pages.tags.within(list, Tag::LI);
        let words = pages.tags.within(item, Tag::LBody);
        pages.need((lines.len() as f32 * setting.line).min(setting.full_room()));
        let side = 0.28 * setting.body;
        let from = (pages.left + 0.15 * setting.body, pages.y + 0.7 * setting.body);
        let to = (from.0 + side, from.1);
        pages.put(Mark::Rule { from, to, width: side, role: Role::Decoration });
        let plain = (setting.body, Weight::Regular, setting.line);
        pages.write_lines(words, pages.left + indent, plain, &lines);
        pages.y += 0.15 * setting.line;
    }
}

fn table(pages: &mut Pages<'_>, content: &LeafTable) {
    if content.heads.is_empty() {
        return;
    }
    let columns = content.heads.len();
    let stacked_from = if pages.setting.body >= LARGE_PRINT && columns > 3 { 2 } else { columns };
    let edges = edges(pages, content, stacked_from);
    let frame = Frame {
        summary: content.summary.clone(),
        edges: edges.clone(),
        heads: content.heads.clone(),
        names: 0,
        stacked_from,
    };
    let table = Table::begin(pages, frame);
    let gap = cell_gap(pages.setting.body);
    for row in &content.rows {
        let cells: Vec<Cell> = (0..columns)
            .map(|column| {
                // What heads the cells below it stands out like the name of the row.
                let is_strong = column == 0 || stacked_from < columns && column == 1;
                let weight = if is_strong { Weight::Semibold } else { Weight::Regular };
                let text = row.get(column).map_or("", String::as_str);
                let edge = column.min(stacked_from - 1);
                Cell::of(pages, text, weight, edges[edge + 1] - edges[edge] - gap)
            })
            .collect();
        table.row(pages, &cells, &[], 0);
    }
}

/// A drawing in the middle of the width, at its own size where it fits.
fn figure_of<'s>(
    pages: &mut Pages<'s>,
    drawing: LeafDrawing,
    drawings: &Drawings<'s>,
) -> Result<(), PdfError> {
    let given = drawings.iter().find(|(given, _)| *given == drawing);
    let (_, scene) = given.ok_or_else(|| PdfError(format!("its drawing {drawing:?} was not given")))?;
    let setting = pages.setting;
    let scale =
        (pages.width / scene.width.max(1.0)).min(setting.full_room() / scene.height.max(1.0)).min(1.0);
    pages.need(scale * scene.height);
    let left = pages.left + (pages.width - scale * scene.width) / 2.0;
    figure(pages, scene, &scene.alt, (left, scale));
    Ok(())
}

/// Boxes to tick: on one line where they fit on it evenly, else one below the other.
fn boxes(pages: &mut Pages<'_>, words: &[String]) {
    let (setting, typeface) = (pages.setting, pages.typeface);
    let size = setting.body;
    let apart = pages.width / words.len().max(1) as f32;
    let width = |text: &String| typeface.width(&typeface.writable(text), size, Weight::Semibold);
    let widest = words.iter().map(width).fold(0.0, f32::max);
    let indent = 1.42 * size;
    if widest + indent + size <= apart {
        pages.need(1.3 * setting.line);
        let at = (pages.left, pages.y + 1.15 * size);
        let all = words.iter().map(String::as_str);
        choices(pages, all, at, apart.min(widest + indent + 3.0 * size), (size, CHOICE_BOX));
        pages.y += 1.3 * setting.line;
        return;
    }
    for choice in words {
        let lines = typeface.lines(choice, size, Weight::Semibold, pages.width - indent);
        pages.need((lines.len() as f32 * setting.line).min(setting.full_room()));
        let Some((first, rest)) = lines.split_first() else {
            continue;
        };
        let at = (pages.left, pages.y + size);
        let paragraph = choices(pages, [first.as_str()], at, 0.0, (size, CHOICE_BOX));
        pages.y += setting.line;
        let bold = (size, Weight::Semibold, setting.line);
        pages.write_lines(paragraph, pages.left + indent, bold, rest);
        pages.y += 0.3 * setting.line;
    }
}

/// Lines to fill in with their labels: two and two where the labels are short; beside the label, or below one that takes
/// most of the width.
fn lines_to_fill_in(pages: &mut Pages<'_>, labels: &[String]) {
    let (setting, typeface) = (pages.setting, pages.typeface);
    let height = (FILL_IN_LINES * setting.line).max(LEAST_FILL_IN);
    let half = (pages.width - 2.0 * setting.body) / 2.0;
    let wide = |label: &String| typeface.width(&typeface.writable(label), setting.body, Weight::Regular);
    if labels.len() > 1 && labels.iter().all(|label| wide(label) <= SHORT_LABEL * half) {
        for two in labels.chunks(2) {
            pages.need(height);
            for (column, label) in two.iter().enumerate() {
                let left = pages.left + column as f32 * (half + 2.0 * setting.body);
                let paragraph = pages.tags.section(Tag::P);
                let baseline = pages.y + height - 0.3 * setting.body;
                fill_in(pages, paragraph, label, (left, baseline), left + half);
            }
            pages.y += height;
        }
        return;
    }
    for label in labels {
        let lines = typeface.lines(label, setting.body, Weight::Regular, 0.7 * pages.width);
        pages.need((lines.len() as f32 * setting.line + height).min(setting.full_room()));
        let paragraph = pages.tags.section(Tag::P);
        let (last, before) = lines.split_last().map_or(("", &[][..]), |(last, before)| (last, before));
        let plain = (setting.body, Weight::Regular, setting.line);
        pages.write_lines(paragraph, pages.left, plain, before);
        let baseline = pages.y + height - 0.3 * setting.body;
        fill_in(pages, paragraph, last, (pages.left, baseline), pages.right());
        pages.y += height;
    }
}
