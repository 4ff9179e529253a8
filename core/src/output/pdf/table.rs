//! Tables: a head on every side, rows kept together where a side can hold them.

use std::num::NonZeroU32;
use std::ops::Range;

use krilla::tagging::{TableHeaderScope, Tag, TagKind};

use super::page::{Mark, Pages, Role, Setting};
use super::tags::Element;
use crate::chart::Weight;

/// A line of a cell.
#[derive(Clone, Debug)]
pub(super) struct CellLine {
    pub text: String,
    pub weight: Weight,
    pub size: f32,
}

/// What stands in a cell.
#[derive(Clone, Debug)]
pub(super) enum Cell {
    /// Words, in lines that fit it.
    Words(Vec<CellLine>),
    /// A box to be filled in by hand, so wide and high, and the words that tell of it.
    Box((f32, f32), &'static str),
    /// The same, so wide and as high as its row, but at least as a line of narrow ruled paper.
    Room(f32, &'static str),
}

/// The least height of what is written in by hand, in points: 7 mm, as narrow ruled paper has it.
pub(super) const BY_HAND: f32 = 19.9;

impl Cell {
    /// A text in lines that fit a width.
    pub fn of(pages: &Pages<'_>, text: &str, weight: Weight, width: f32) -> Self {
        if text.trim().is_empty() {
            return Self::Words(Vec::new());
        }
        let size = pages.setting.body;
        let lines = pages.typeface.lines(text, size, weight, width);
        Self::Words(lines.into_iter().map(|text| CellLine { text, weight, size }).collect())
    }

    fn last_line(&self) -> Option<&str> {
        match self {
            Self::Words(lines) => lines.last().map(|line| line.text.as_str()),
            Self::Box(..) | Self::Room(..) => None,
        }
    }

    /// How many lines of that height it takes.
    fn line_count(&self, line: f32) -> usize {
        match self {
            Self::Words(lines) => lines.len(),
            Self::Box((_, height), _) => (height / line).ceil() as usize,
            Self::Room(..) => lines_by_hand(line),
        }
    }
}

/// White above and below it, so that its edges stand apart from the lines between the rows.
const INSET: f32 = 2.0;

/// How many lines of that height make room for a hand.
pub(super) fn lines_by_hand(line: f32) -> usize {
    ((BY_HAND + 2.0 * INSET) / line).ceil() as usize
}

/// What is the same on every side of a table.
pub(super) struct Frame {
    /// What it shows, for those who can't see it.
    pub summary: String,
    /// Left edges of the slots, and the right edge of the last.
    pub edges: Vec<f32>,
    /// Heads of the columns.
    pub heads: Vec<String>,
    /// The column that names the row.
    pub names: usize,
    /// Where each column stands.
    pub slots: Slots,
}

/// The slot of each column, from the left: most columns have one of their own; those that share one stand in it below one
/// another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Slots {
    of: Vec<usize>,
    /// A column whose words stand on the last line of the column before it.
    running_on: Option<usize>,
}

impl Slots {
    /// Every column beside the others.
    pub fn beside(columns: usize) -> Self {
        Self { of: (0..columns).collect(), running_on: None }
    }

    /// Columns that stand below the one before them.
    pub fn below(columns: usize, is_below: impl Fn(usize) -> bool) -> Self {
        let mut slot = 0;
        let of = |column: usize| {
            slot += usize::from(column > 0 && !is_below(column));
            slot
        };
        Self { of: (0..columns).map(of).collect(), running_on: None }
    }

    /// The same, with the words of a column on the last line of the column before it, whose slot it shares.
    #[must_use]
    pub fn running_on(self, column: usize) -> Self {
        Self { running_on: Some(column), ..self }
    }

    /// The slot of a column.
    pub fn of(&self, column: usize) -> usize {
        self.of.get(column).copied().unwrap_or(0)
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.of.last().map_or(0, |last| last + 1)
    }

    /// Whether a column shares its slot.
    pub fn shares(&self, column: usize) -> bool {
        let own = self.of(column);
        self.of.iter().filter(|slot| **slot == own).count() > 1
    }

    /// Whether other columns stand below this one.
    pub fn heads_others(&self, column: usize) -> bool {
        let own = self.of(column);
        self.of.iter().position(|slot| *slot == own) == Some(column) && self.shares(column)
    }

    /// For cells of so many lines, on which line each begins, and how many lines the row has.
    fn stacked(&self, counts: impl Iterator<Item = usize>) -> (Vec<usize>, usize) {
        let mut ends = vec![0; self.count()];
        let mut begins = Vec::new();
        for (column, count) in counts.enumerate() {
            let end = &mut ends[self.of(column)];
            let shared = usize::from(self.running_on == Some(column) && *end > 0 && count > 0);
            begins.push(*end - shared);
            *end += count - shared;
        }
        (begins, ends.into_iter().max().unwrap_or(0).max(1))
    }
}

impl Frame {
    /// Left and right edge of a column.
    fn edge(&self, column: usize) -> (f32, f32) {
        let slot = self.slots.of(column);
        (self.edges[slot], self.edges[slot + 1])
    }

    /// How far right of its edge the words of a column begin, by the last line of the column before it.
    fn indent(&self, pages: &Pages<'_>, column: usize, before: Option<&str>) -> f32 {
        let before = before.filter(|_| self.slots.running_on == Some(column));
        before.map_or(0.0, |text| running_on_after(pages, text))
    }
}

/// How far after some words those stand that run on behind them.
pub(super) fn running_on_after(pages: &Pages<'_>, before: &str) -> f32 {
    let body = pages.setting.body;
    pages.typeface.width(&pages.typeface.writable(before.trim_end()), body, Weight::Semibold)
        + RUNNING_ON_GAP * body
}

/// White before words that run on behind others, in sizes of the text.
const RUNNING_ON_GAP: f32 = 0.8;

/// A table being laid out: one to the structure, however many sides it takes; its head stands again on each of them, so
/// that whoever hears it read learns the columns again.
pub(super) struct Table {
    frame: Frame,
    body: Element,
    head_height: f32,
}

/// White to the right of a cell's text, for a size of text.
pub(super) const fn cell_gap(body: f32) -> f32 {
    0.6 * body
}

/// White above and below a row: as close as the lines stand.
fn row_gap(setting: &Setting) -> f32 {
    1.1 * (setting.line - setting.body)
}

impl Table {
    /// Begins where the pages stand, with its head.
    pub fn begin(pages: &mut Pages<'_>, frame: Frame) -> Self {
        let summary = pages.typeface.writable(&frame.summary);
        let table = pages.tags.section(Tag::Table.with_summary(Some(summary)));
        let head = pages.tags.within(table, Tag::THead);
        let row = pages.tags.within(head, Tag::TR);
        let head_height = draw_head(pages, &frame, row);
        let body = pages.tags.within(table, Tag::TBody);
        Self { frame, body, head_height }
    }

    /// A row, kept together with the notes below it where a side can hold both. The notes are a row of their own, from
    /// the left edge of a column to the right edge of the table.
    pub fn row(&self, pages: &mut Pages<'_>, cells: &[Cell], notes: &[String], notes_from: usize) {
        let (line, gap) = (pages.setting.line, row_gap(&pages.setting));
        let (begins, count) = self.frame.slots.stacked(cells.iter().map(|cell| cell.line_count(line)));
        let note_lines = self.note_lines(pages, notes, notes_from);
        let whole = (count + note_lines.len()) as f32 * line + 2.0 * gap;
        if pages.room() < whole.min(pages.setting.full_room() - self.head_height) {
            self.turn(pages);
        }
        let row = pages.tags.within(self.body, Tag::TR);
        let tag = |column| -> TagKind {
            if column == self.frame.names { Tag::TH(TableHeaderScope::Row).into() } else { Tag::TD.into() }
        };
        let elements: Vec<Element> =
            (0..cells.len()).map(|column| pages.tags.within(row, tag(column))).collect();
        let mut first = 0;
        loop {
            let fits = ((pages.room() - 2.0 * gap) / line) as usize;
            let last = count.min(first + fits.max(1));
            self.part(pages, &elements, (cells, &begins), first..last);
            first = last;
            if first >= count {
                break;
            }
            self.turn(pages);
        }
        self.notes(pages, &note_lines, notes_from);
        pages.rule(0.5);
    }

    fn turn(&self, pages: &mut Pages<'_>) {
        pages.turn();
        let row = pages.tags.within(self.body, Tag::TR);
        draw_head(pages, &self.frame, row);
    }

    /// Some lines of the cells of a row: all of them, but for a row longer than a side.
    fn part(
        &self,
        pages: &mut Pages<'_>,
        elements: &[Element],
        (cells, begins): (&[Cell], &[usize]),
        part: Range<usize>,
    ) {
        let (line, body) = (pages.setting.line, pages.setting.body);
        let top = pages.y + row_gap(&pages.setting);
        for (column, (cell, element)) in cells.iter().zip(elements).enumerate() {
            let before = column.checked_sub(1).and_then(|before| cells[before].last_line());
            let x = self.frame.edge(column).0 + self.frame.indent(pages, column, before);
            match cell {
                Cell::Words(lines) => {
                    let lines = lines.iter().zip(begins[column]..);
                    for (CellLine { text, weight, size }, index) in lines {
                        if part.contains(&index) {
                            let y = top + (index - part.start) as f32 * line + body;
                            pages.write(*element, (x, y), *size, *weight, text);
                        }
                    }
                }
                Cell::Box(size, told) if part.start == 0 => {
                    let slot = pages.tags.slot(*element);
                    pages.put(Mark::Frame { at: (x, top), size: *size, role: Role::Told(slot, told) });
                }
                Cell::Room(width, told) if part.contains(&begins[column]) => {
                    let begin = begins[column] - part.start;
                    // A column below another has its own lines only.
                    let stacked = self.frame.slots.shares(column);
                    let lines = if stacked { lines_by_hand(line) } else { part.len() };
                    let height = lines.min(part.len() - begin) as f32 * line - 2.0 * INSET;
                    let (at, size) = ((x, top + begin as f32 * line + INSET), (*width, height));
                    let slot = pages.tags.slot(*element);
                    pages.put(Mark::Frame { at, size, role: Role::Told(slot, told) });
                }
                Cell::Box(..) | Cell::Room(..) => {}
            }
        }
        pages.y = top + part.len() as f32 * line + row_gap(&pages.setting);
    }

    fn note_lines(&self, pages: &Pages<'_>, notes: &[String], from: usize) -> Vec<String> {
        let width = self.frame.edges[self.frame.edges.len() - 1] - self.frame.edges[from];
        let lines = |note: &String| pages.typeface.lines(note, pages.setting.body, Weight::Semibold, width);
        notes.iter().flat_map(lines).collect()
    }

    fn notes(&self, pages: &mut Pages<'_>, lines: &[String], from: usize) {
        if lines.is_empty() {
            return;
        }
        let (line, body) = (pages.setting.line, pages.setting.body);
        let cell = self.wide_cell(pages);
        pages.y -= row_gap(&pages.setting);
        for text in lines {
            if pages.room() < line {
                self.turn(pages);
            }
            pages.write(cell, (self.frame.edges[from], pages.y + body), body, Weight::Semibold, text);
            pages.y += line;
        }
        pages.y += row_gap(&pages.setting);
    }

    /// A row of one cell as wide as the table.
    fn wide_cell(&self, pages: &mut Pages<'_>) -> Element {
        let row = pages.tags.within(self.body, Tag::TR);
        pages.tags.within(row, Tag::TD.with_col_span(NonZeroU32::new(self.frame.heads.len() as u32)))
    }
}

/// Draws the head of a table as cells of a row. Gives its height.
fn draw_head(pages: &mut Pages<'_>, frame: &Frame, row: Element) -> f32 {
    let (line, body, top) = (pages.setting.line, pages.setting.body, pages.y);
    let typeface = pages.typeface;
    let in_lines = |(column, text): (usize, &String)| {
        let (left, right) = frame.edge(column);
        typeface.lines(text, body, Weight::Semibold, right - left - cell_gap(body))
    };
    let cells: Vec<Vec<String>> = frame.heads.iter().enumerate().map(in_lines).collect();
    let (begins, count) = frame.slots.stacked(cells.iter().map(Vec::len));
    let height = count as f32 * line;
    let is_stacked = frame.slots.count() < cells.len();
    for (column, lines) in cells.iter().enumerate() {
        let cell = pages.tags.within(row, Tag::TH(TableHeaderScope::Column));
        // Heads beside one another stand on the line of the table.
        let begin = if is_stacked { begins[column] } else { count - lines.len() };
        let before = column.checked_sub(1).and_then(|before| cells[before].last()).map(String::as_str);
        let x = frame.edge(column).0 + frame.indent(pages, column, before);
        for (text, index) in lines.iter().zip(begin..) {
            let y = top + index as f32 * line + body;
            pages.write(cell, (x, y), body, Weight::Semibold, text);
        }
    }
    pages.y += height + row_gap(&pages.setting);
    pages.rule(1.2);
    pages.y - top
}
