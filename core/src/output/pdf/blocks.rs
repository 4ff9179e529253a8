//! Each kind of block drawn from where the pages stand, broken over sides where it must be.

use krilla::tagging::{ListNumbering, Tag};

use super::PdfError;
use super::column_widths::{placed, runs_on, weight};
use super::leaf::Drawings;
use super::listed::{Listed, columns};
use super::page::{Mark, Pages, Role};
use super::parts::{choices, figure, fill_in, heading_tag};
use super::table::{BY_HAND, Cell, Frame, Table, cell_gap};
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
/// White behind a label, in sizes of the text.
const LABEL_GAP: f32 = 1.0;
/// In how many columns facts may stand, and how many it takes for more than one.
const MOST_COLUMNS: usize = 4;
const LEAST_FOR_COLUMNS: usize = 4;
/// Height of a line to be filled in, in lines of text.
const FILL_IN_LINES: f32 = 1.6;
/// The widest label of lines to be filled in that stand two and two, as a share of their width.
const SHORT_LABEL: f32 = 0.55;

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
        Block::Notes(notes) => running_on(pages, notes),
        Block::List(points) => list(pages, points),
        Block::Table(content) => table(pages, content),
        Block::Drawing(drawing) => return figure_of(pages, *drawing, drawings),
        Block::Choices(words) => boxes(pages, words),
        Block::FillIn(labels) => lines_to_fill_in(pages, labels),
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

/// From so many labels on, words that run on behind them stand in two columns, which waste less of their last lines.
const MANY_NOTES: usize = 12;

/// Labels with their words running on behind them; a label that leaves them no room is a word like them.
fn running_on(pages: &mut Pages<'_>, notes: &[Notice]) {
    let item = |note: &Notice| {
        if text_width(pages, &note.label, Weight::Semibold) < 0.9 * pages.width {
            Listed::from_notice(note)
        } else {
            Listed::unlabelled(format!("{} {}", note.label, note.value))
        }
    };
    let items: Vec<Listed> = notes.iter().map(item).collect();
    columns(pages, &items, if items.len() < MANY_NOTES { &[0.0] } else { &[0.0; 2] });
}

/// Labels in a column, their values beside them; short ones in as many columns as take the least height.
fn facts(pages: &mut Pages<'_>, facts: &[Notice]) {
    let list = pages.tags.section(Tag::L(ListNumbering::None));
    let (left, width, top) = (pages.left, pages.width, pages.y);
    let between = 1.5 * pages.setting.body;
    let best = (2..=MOST_COLUMNS)
        .filter(|_| facts.len() >= LEAST_FOR_COLUMNS)
        .filter_map(|count| fact_columns(pages, facts, count, between))
        .chain([vec![(facts, width)]])
        .map(|columns| (height_of(pages, &columns), columns))
        .filter(|(height, columns)| columns.len() < 2 || *height <= pages.setting.full_room())
        .min_by(|(one, _), (other, _)| one.total_cmp(other));
    let Some((height, columns)) = best else {
        return;
    };
    if columns.len() > 1 {
        pages.need(height);
    }
    let (top, count) = (if columns.len() > 1 { pages.y } else { top }, columns.len());
    for (facts, width) in columns {
        pages.width = width;
        if count > 1 {
            pages.y = top;
        }
        let indent = indent(pages, facts, width);
        facts_below(pages, list, facts, indent);
        pages.left += width + between;
    }
    if count > 1 {
        pages.y = top + height;
    }
    (pages.left, pages.width) = (left, width);
}

/// Facts in that many columns, each with its width: as wide as its words and a share of what is left over; two of even width,
/// whose words may break, where that is not enough.
fn fact_columns<'f>(
    pages: &Pages<'_>,
    facts: &'f [Notice],
    count: usize,
    between: f32,
) -> Option<Vec<(&'f [Notice], f32)>> {
    let columns: Vec<&[Notice]> = facts.chunks(facts.len().div_ceil(count)).collect();
    let room = pages.width - between * (columns.len() - 1) as f32;
    let wide = |facts: &&[Notice]| {
        let values = facts.iter().map(|fact| text_width(pages, &fact.value, Weight::Regular));
        widest_label(pages, facts) + values.fold(0.0, f32::max) + 0.1
    };
    let widths: Vec<f32> = columns.iter().map(wide).collect();
    let spare = (room - widths.iter().sum::<f32>()) / columns.len() as f32;
    let even = room / columns.len() as f32;
    (spare >= 0.0 || count == 2).then(|| {
        let width = |width: f32| if spare >= 0.0 { width + spare } else { even };
        columns.into_iter().zip(widths).map(|(facts, own)| (facts, width(own))).collect()
    })
}

fn text_width(pages: &Pages<'_>, text: &str, weight: Weight) -> f32 {
    pages.typeface.width(&pages.typeface.writable(text), pages.setting.body, weight)
}

/// The widest label with the white behind it.
fn widest_label(pages: &Pages<'_>, facts: &[Notice]) -> f32 {
    let labels = facts.iter().map(|fact| text_width(pages, &fact.label, Weight::Semibold));
    labels.fold(0.0, f32::max) + LABEL_GAP * pages.setting.body
}

/// How far from the left edge the values begin.
fn indent(pages: &Pages<'_>, facts: &[Notice], width: f32) -> f32 {
    let fits = facts
        .iter()
        .all(|fact| widest_label(pages, facts) + text_width(pages, &fact.value, Weight::Regular) <= width);
    if fits { widest_label(pages, facts) } else { widest_label(pages, facts).min(LABELS * width) }
}

/// The height of the highest of some columns of facts.
fn height_of(pages: &Pages<'_>, columns: &[(&[Notice], f32)]) -> f32 {
    let column = |(facts, width): &(&[Notice], f32)| {
        let mut measured = pages.endless();
        measured.width = *width;
        let (top, list) = (measured.y, measured.tags.section(Tag::L(ListNumbering::None)));
        let indent = indent(&measured, facts, *width);
        facts_below(&mut measured, list, facts, indent);
        measured.y - top
    };
    columns.iter().map(column).fold(0.0, f32::max)
}

/// Facts below one another, their values so far from the left edge.
fn facts_below(pages: &mut Pages<'_>, list: Element, facts: &[Notice], indent: f32) {
    let (setting, typeface) = (pages.setting, pages.typeface);
    let gap = LABEL_GAP * setting.body;
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
        pages.y += setting.between;
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
        pages.y += setting.between;
    }
}

fn table(pages: &mut Pages<'_>, content: &LeafTable) {
    if content.heads.is_empty() {
        return;
    }
    let columns = content.heads.len();
    let (slots, edges) = placed(pages, content);
    let frame = Frame {
        summary: content.summary.clone(),
        edges: edges.clone(),
        heads: content.heads.clone(),
        names: 0,
        slots: slots.clone(),
    };
    let table = Table::begin(pages, frame);
    let gap = cell_gap(pages.setting.body);
    for row in &content.rows {
        let cells: Vec<Cell> = (0..columns)
            .map(|column| {
                let text = row.get(column).map_or("", String::as_str);
                let slot = slots.of(column);
                let right = if runs_on(content, row, column) { pages.right() } else { edges[slot + 1] };
                let width = right - edges[slot] - gap;
                match content.filled_in.iter().find(|(filled_in, _)| *filled_in == column) {
                    Some((_, told)) if text.trim().is_empty() => Cell::Room(width, told),
                    _ => Cell::of(pages, text, weight(&slots, column), width),
                }
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

/// Lines to fill in with their labels: two and two where both labels are short; beside the label, or below one that takes most of
/// the width.
fn lines_to_fill_in(pages: &mut Pages<'_>, labels: &[String]) {
    let (setting, typeface) = (pages.setting, pages.typeface);
    let height = (FILL_IN_LINES * setting.line).max(BY_HAND);
    let half = (pages.width - 2.0 * setting.body) / 2.0;
    let wide = |label: &String| typeface.width(&typeface.writable(label), setting.body, Weight::Regular);
    let is_short = |label: &String| wide(label) <= SHORT_LABEL * half;
    let all_short = labels.iter().all(is_short);
    let mut rest = labels;
    while let [label, others @ ..] = rest {
        let second = others.first().filter(|second| is_short(label) && is_short(second));
        if second.is_some() || (all_short && labels.len() > 1) {
            pages.need(height);
            for (column, label) in [Some(label), second].into_iter().flatten().enumerate() {
                let left = pages.left + column as f32 * (half + 2.0 * setting.body);
                let paragraph = pages.tags.section(Tag::P);
                let baseline = pages.y + height - 0.3 * setting.body;
                fill_in(pages, paragraph, label, (left, baseline), left + half);
            }
            pages.y += height;
            rest = &others[usize::from(second.is_some())..];
            continue;
        }
        rest = others;
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
