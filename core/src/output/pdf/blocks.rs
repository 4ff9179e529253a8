//! Each kind of block drawn from where the pages stand, broken over sides where it must be.

use krilla::tagging::{ListNumbering, Tag};

use super::PdfError;
use super::leaf::Drawings;
use super::page::{Mark, Pages, Role};
use super::parts::{choices, figure, fill_in, heading_tag};
use super::table::{Cell, Frame, Table, cell_gap};
use crate::chart::Weight;
use crate::sheet::page_words::CHOICE_BOX;
use crate::sheet::{Block, LeafDrawing, LeafTable, Notice};

/// The widest line of running text, in sizes of the text: about 90 letters.
const WIDEST: f32 = 43.0;
/// Words to be read from afar, in sizes of the text: what they are set in, and the least to bring them on one line.
const LARGE: f32 = 3.0;
const LEAST_LARGE: f32 = 2.2;
/// The widest column of labels, as a share of the width.
const LABELS: f32 = 0.38;
/// Height of a line to be filled in, and the least of it in points: 9 mm, for a gloved hand.
const FILL_IN_LINES: f32 = 1.6;
const LEAST_FILL_IN: f32 = 26.0;

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
    let width = setting.text_width().min(WIDEST * setting.body);
    let lines = pages.typeface.lines(words, setting.body, Weight::Regular, width);
    let fits = (pages.room() / setting.line) as usize;
    let kept = if lines.len() <= 4 { lines.len() } else { 2 };
    let paragraph = pages.tags.section(Tag::P);
    let plain = (setting.body, Weight::Regular, setting.line);
    pages.need(kept as f32 * setting.line);
    let break_at = if fits + 1 == lines.len() && lines.len() > 4 { fits - 1 } else { lines.len() };
    let (before, after) = lines.split_at(break_at);
    pages.write_lines(paragraph, setting.margin, plain, before);
    if !after.is_empty() {
        pages.turn();
        pages.write_lines(paragraph, setting.margin, plain, after);
    }
}

/// A few words as large as the width allows.
fn large(pages: &mut Pages<'_>, words: &str) {
    let (setting, typeface) = (pages.setting, pages.typeface);
    let words = typeface.writable(words);
    let width = |text: &str| typeface.width(text, 1.0, Weight::Semibold).max(1e-3);
    let on_one_line = setting.text_width() / width(&words);
    let longest = words.split_whitespace().map(width).fold(1e-3, f32::max);
    let size = if on_one_line >= LEAST_LARGE * setting.body {
        on_one_line.min(LARGE * setting.body)
    } else {
        (LARGE * setting.body).min(setting.text_width() / longest).max(setting.body)
    };
    // A hair below the width, so that rounding breaks no word.
    let size = 0.999 * size;
    let lines = typeface.lines(&words, size, Weight::Semibold, setting.text_width());
    let paragraph = pages.tags.section(Tag::P);
    pages.need((lines.len() as f32 * 1.15 * size).min(setting.full_room()));
    pages.write_lines(paragraph, setting.margin, (size, Weight::Semibold, 1.15 * size), &lines);
}

/// Labels in a column, their values beside them.
fn facts(pages: &mut Pages<'_>, facts: &[Notice]) {
    let (setting, typeface) = (pages.setting, pages.typeface);
    let gap = 1.2 * setting.body;
    let wide =
        |fact: &Notice| typeface.width(&typeface.writable(&fact.label), setting.body, Weight::Semibold) + gap;
    let widest = facts.iter().map(wide).fold(0.0, f32::max);
    let indent = widest.min(LABELS * setting.text_width());
    let value_width = (setting.text_width() - indent).min(WIDEST * setting.body);
    let list = pages.tags.section(Tag::L(ListNumbering::None));
    for fact in facts {
        let labels = typeface.lines(&fact.label, setting.body, Weight::Semibold, indent - gap);
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
                pages.write(label, (setting.margin, y), setting.body, Weight::Semibold, &text);
            }
            if let Some(text) = values.get(index) {
                pages.write(value, (setting.margin + indent, y), setting.body, Weight::Regular, text);
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
    let width = (setting.text_width() - indent).min(WIDEST * setting.body);
    let list = pages.tags.section(Tag::L(ListNumbering::None));
    for point in points {
        let lines = pages.typeface.lines(point, setting.body, Weight::Regular, width);
        let item = pages.tags.within(list, Tag::LI);
        let words = pages.tags.within(item, Tag::LBody);
        pages.need((lines.len() as f32 * setting.line).min(setting.full_room()));
        let side = 0.28 * setting.body;
        let from = (setting.margin + 0.15 * setting.body, pages.y + 0.7 * setting.body);
        let to = (from.0 + side, from.1);
        pages.put(Mark::Rule { from, to, width: side, role: Role::Decoration });
        let plain = (setting.body, Weight::Regular, setting.line);
        pages.write_lines(words, setting.margin + indent, plain, &lines);
        pages.y += 0.15 * setting.line;
    }
}

fn table(pages: &mut Pages<'_>, content: &LeafTable) {
    if content.heads.is_empty() {
        return;
    }
    let edges = edges(pages, content);
    let frame = Frame {
        summary: content.summary.clone(),
        edges: edges.clone(),
        heads: content.heads.clone(),
        names: 0,
    };
    let mut table = Table::begin(pages, frame);
    let gap = cell_gap(pages.setting.body);
    for row in &content.rows {
        let cells: Vec<Cell> = edges
            .windows(2)
            .enumerate()
            .map(|(column, edge)| {
                let weight = if column == 0 { Weight::Semibold } else { Weight::Regular };
                let text = row.get(column).map_or("", String::as_str);
                Cell::of(pages, text, weight, edge[1] - edge[0] - gap)
            })
            .collect();
        table.row(pages, &cells, &[], 0);
    }
}

/// Left edges of the columns, and the right edge of the last: after the shares, but no column narrower than its longest
/// word as long as there is room for all.
fn edges(pages: &Pages<'_>, content: &LeafTable) -> Vec<f32> {
    let (setting, typeface) = (pages.setting, pages.typeface);
    let longest_word = |text: &str, weight| {
        let text = typeface.writable(text);
        text.split_whitespace().map(|word| typeface.width(word, setting.body, weight)).fold(0.0, f32::max)
    };
    let least = |column: usize| {
        let weight = if column == 0 { Weight::Semibold } else { Weight::Regular };
        let cells = content.rows.iter().filter_map(|row| row.get(column));
        let words = cells.map(|text| longest_word(text, weight));
        words.fold(longest_word(&content.heads[column], Weight::Semibold), f32::max)
            + cell_gap(setting.body)
            + 0.1
    };
    let columns = content.heads.len();
    let share = |column: usize| content.shares.get(column).copied().unwrap_or(1.0).max(0.01);
    let all: f32 = (0..columns).map(share).sum();
    let wished: Vec<f32> = (0..columns).map(|column| share(column) / all * setting.text_width()).collect();
    let least: Vec<f32> = (0..columns).map(least).collect();
    let short: f32 = wished.iter().zip(&least).map(|(wished, least)| (least - wished).max(0.0)).sum();
    let spare: f32 = wished.iter().zip(&least).map(|(wished, least)| (wished - least).max(0.0)).sum();
    let mut edges = vec![setting.margin];
    let mut x = setting.margin;
    for (wished, least) in wished.iter().zip(&least) {
        x += if short > spare {
            *wished
        } else if wished < least {
            *least
        } else {
            wished - (wished - least) * short / spare.max(1e-3)
        };
        edges.push(x);
    }
    edges
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
    let scale = (setting.text_width() / scene.width.max(1.0))
        .min(setting.full_room() / scene.height.max(1.0))
        .min(1.0);
    pages.need(scale * scene.height);
    let left = setting.margin + (setting.text_width() - scale * scene.width) / 2.0;
    figure(pages, scene, &scene.alt, (left, scale));
    Ok(())
}

/// Boxes to tick: on one line where they fit on it evenly, else one below the other.
fn boxes(pages: &mut Pages<'_>, words: &[String]) {
    let (setting, typeface) = (pages.setting, pages.typeface);
    let size = setting.body;
    let apart = setting.text_width() / words.len().max(1) as f32;
    let width = |text: &String| typeface.width(&typeface.writable(text), size, Weight::Semibold);
    let widest = words.iter().map(width).fold(0.0, f32::max);
    let indent = 1.42 * size;
    if widest + indent + size <= apart {
        pages.need(1.3 * setting.line);
        let at = (setting.margin, pages.y + 1.15 * size);
        let all = words.iter().map(String::as_str);
        choices(pages, all, at, apart.min(widest + indent + 3.0 * size), (size, CHOICE_BOX));
        pages.y += 1.3 * setting.line;
        return;
    }
    for choice in words {
        let lines = typeface.lines(choice, size, Weight::Semibold, setting.text_width() - indent);
        pages.need((lines.len() as f32 * setting.line).min(setting.full_room()));
        let Some((first, rest)) = lines.split_first() else {
            continue;
        };
        let at = (setting.margin, pages.y + size);
        let paragraph = choices(pages, [first.as_str()], at, 0.0, (size, CHOICE_BOX));
        pages.y += setting.line;
        let bold = (size, Weight::Semibold, setting.line);
        pages.write_lines(paragraph, setting.margin + indent, bold, rest);
        pages.y += 0.3 * setting.line;
    }
}

/// Lines to fill in with their labels: beside the label, or below one that takes most of the width.
fn lines_to_fill_in(pages: &mut Pages<'_>, labels: &[String]) {
    let (setting, typeface) = (pages.setting, pages.typeface);
    let height = (FILL_IN_LINES * setting.line).max(LEAST_FILL_IN);
    for label in labels {
        let lines = typeface.lines(label, setting.body, Weight::Regular, 0.7 * setting.text_width());
        pages.need((lines.len() as f32 * setting.line + height).min(setting.full_room()));
        let paragraph = pages.tags.section(Tag::P);
        let (last, before) = lines.split_last().map_or(("", &[][..]), |(last, before)| (last, before));
        let plain = (setting.body, Weight::Regular, setting.line);
        pages.write_lines(paragraph, setting.margin, plain, before);
        let baseline = pages.y + height - 0.3 * setting.body;
        fill_in(pages, paragraph, last, (setting.margin, baseline), setting.right());
        pages.y += height;
    }
}
