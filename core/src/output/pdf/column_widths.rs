//! Where the columns of a table stand and how wide they are: near the shares it asks for, but so that it takes few lines.

use super::page::Pages;
use super::table::{Slots, cell_gap, lines_by_hand, running_on_after};
use crate::chart::Weight;
use crate::sheet::LeafTable;

/// The least width of a box that is filled in by hand, as a share of the width that is asked for.
const BOX_SHARE: f32 = 0.8;

/// How much of the width goes from one column to another at a time, and how often at most.
const STEP: f32 = 0.02;
const MOST_STEPS: usize = 24;

/// The size of text from which on a table is set with all but its first column below one another.
const LARGE_PRINT: f32 = 15.0;

/// Where the columns stand, with the left edges of their slots and the right edge of the last: of what the table allows that
/// which takes fewest lines. No slot is narrower than its longest word as long as there is room for all.
pub(super) fn placed(pages: &Pages<'_>, content: &LeafTable) -> (Slots, Vec<f32>) {
    let columns = content.heads.len();
    let narrow = |slots: Slots| {
        let (edges, lines) = edges(pages, content, &slots);
        (slots, edges, lines)
    };
    if pages.setting.body >= LARGE_PRINT && columns > 3 {
        let slots = Slots::below(columns, |column| column > 1);
        let edges = first_least(pages, content, &slots);
        let slots =
            if fits_behind(pages, content, edges[2] - edges[1]) { slots.running_on(2) } else { slots };
        return (slots, edges);
    }
    let (slots, edges, lines) = narrow(Slots::beside(columns));
    if let Some(below) = content.may_stand_below {
        let (stacked, its_edges, its_lines) = narrow(Slots::below(columns, |column| column == below));
        if its_lines <= lines {
            return (stacked, its_edges);
        }
    }
    (slots, edges)
}

/// Edges for two slots, the first as narrow as its words allow: below one another, the others need the room.
fn first_least(pages: &Pages<'_>, content: &LeafTable, slots: &Slots) -> Vec<f32> {
    let least = Words::of(pages, content, slots).least();
    let first = least.first().copied().unwrap_or(0.0).min(pages.width / 2.0) + cell_gap(pages.setting.body);
    vec![pages.left, pages.left + first, pages.right()]
}

/// Whether in every row the words of the third column have room behind those of the second, in a slot of that width.
fn fits_behind(pages: &Pages<'_>, content: &LeafTable, width: f32) -> bool {
    let room = width - cell_gap(pages.setting.body);
    let text_width = |text: &str, weight| {
        let text = pages.typeface.writable(text);
        pages.typeface.width(&text, pages.setting.body, weight)
    };
    let in_row = |(cells, weight): (&Vec<String>, Weight)| match cells.get(1..3) {
        _ if content.is_filled_in(2) => false,
        Some([name, behind]) => {
            behind.trim().is_empty() || running_on_after(pages, name) + text_width(behind, weight) <= room
        }
        _ => true,
    };
    let rows = content.rows.iter().map(|row| (row, Weight::Regular));
    rows.chain([(&content.heads, Weight::Semibold)]).all(in_row)
}

/// Whether a cell runs on to the right edge of the table, because all cells after it are empty and none is to be filled in.
pub(super) fn runs_on(content: &LeafTable, cells: &[String], column: usize) -> bool {
    let is_empty = |(at, cell): (usize, &String)| cell.trim().is_empty() && !content.is_filled_in(at);
    column > 0 && column + 1 < cells.len() && cells.iter().enumerate().skip(column + 1).all(is_empty)
}

/// The weight of a column's text: what names the row or heads the cells below it stands out.
pub(super) fn weight(slots: &Slots, column: usize) -> Weight {
    if column == 0 || slots.heads_others(column) { Weight::Semibold } else { Weight::Regular }
}

/// Edges for slots, and the lines that the table then takes.
fn edges(pages: &Pages<'_>, content: &LeafTable, slots: &Slots) -> (Vec<f32>, usize) {
    let words = Words::of(pages, content, slots);
    let mut least = words.least();
    // A box has no words that would keep it wide.
    let asked_for = wished(pages, content, slots, &vec![0.0; least.len()]);
    for (column, _) in content.filled_in {
        let slot = slots.of(*column);
        least[slot] = least[slot].max(BOX_SHARE * asked_for[slot]);
    }
    let mut widths = wished(pages, content, slots, &least);
    let mut lines = words.lines(&widths);
    if least.iter().sum::<f32>() <= pages.width {
        for _ in 0..MOST_STEPS {
            let Some(better) = words.best_step(&widths, &least, STEP * pages.width, lines) else {
                break;
            };
            (widths, lines) = better;
        }
    }
    let mut edges = vec![pages.left];
    let mut x = pages.left;
    for width in widths {
        x += width;
        edges.push(x);
    }
    (edges, lines)
}

/// Widths after the shares, as far as the least widths leave room for them.
fn wished(pages: &Pages<'_>, content: &LeafTable, slots: &Slots, least: &[f32]) -> Vec<f32> {
    let mut shares = vec![0.0_f32; least.len()];
    for column in 0..content.heads.len() {
        let share = content.shares.get(column).copied().unwrap_or(1.0).max(0.01);
        let own = &mut shares[slots.of(column)];
        *own = own.max(share);
    }
    let all: f32 = shares.iter().sum();
    let widths: Vec<(f32, f32)> =
        shares.into_iter().map(|share| share / all * pages.width).zip(least.iter().copied()).collect();
    let short: f32 = widths.iter().map(|(wished, least)| (least - wished).max(0.0)).sum();
    let spare: f32 = widths.iter().map(|(wished, least)| (wished - least).max(0.0)).sum();
    let width = |(wished, least): (f32, f32)| {
        if short > spare {
            wished
        } else {
            wished.max(least) - (wished - least).max(0.0) * short / spare.max(1e-3)
        }
    };
    widths.into_iter().map(width).collect()
}

/// The widths of the words of each cell, row by row, the heads first; none of a cell that runs on over empty ones.
struct Words<'t> {
    slots: &'t Slots,
    rows: Vec<Vec<Vec<f32>>>,
    /// A row below the heads is at least so many lines high, those of its boxes.
    least_lines: usize,
    space: f32,
    gap: f32,
}

impl<'t> Words<'t> {
    fn of(pages: &Pages<'_>, content: &LeafTable, slots: &'t Slots) -> Self {
        let (typeface, body) = (pages.typeface, pages.setting.body);
        let cell = |text: &str, weight| -> Vec<f32> {
            let text = typeface.unbroken(text);
            text.split(' ')
                .filter(|word| !word.is_empty())
                .map(|word| typeface.width(word, body, weight))
                .collect()
        };
        let columns = content.heads.len();
        let heads = content.heads.iter().map(|head| cell(head, Weight::Semibold)).collect();
        let of_row = |cells: &Vec<String>| {
            let cells = (0..columns).map(|column| match cells.get(column) {
                Some(text) if !runs_on(content, cells, column) => cell(text, weight(slots, column)),
                _ => Vec::new(),
            });
            cells.collect()
        };
        Self {
            slots,
            rows: std::iter::once(heads).chain(content.rows.iter().map(of_row)).collect(),
            least_lines: if content.filled_in.is_empty() { 1 } else { lines_by_hand(pages.setting.line) },
            space: typeface.width(" ", body, Weight::Semibold),
            gap: cell_gap(body) + 0.1,
        }
    }

    /// The least width of each slot: its longest word.
    fn least(&self) -> Vec<f32> {
        let mut least = vec![0.0_f32; self.slots.count()];
        for row in &self.rows {
            for (column, words) in row.iter().enumerate() {
                let own = &mut least[self.slots.of(column)];
                *own = words.iter().map(|word| word + self.gap).fold(*own, f32::max);
            }
        }
        least
    }

    /// Lines of all rows together.
    fn lines(&self, widths: &[f32]) -> usize {
        let in_row = |(index, row): (usize, &Vec<Vec<f32>>)| {
            let mut lines = vec![0; widths.len()];
            for (column, words) in row.iter().enumerate() {
                let slot = self.slots.of(column);
                lines[slot] += self.lines_of(words, widths[slot] - self.gap);
            }
            lines.into_iter().max().unwrap_or(0).max(if index == 0 { 1 } else { self.least_lines })
        };
        self.rows.iter().enumerate().map(in_row).sum()
    }

    fn lines_of(&self, words: &[f32], width: f32) -> usize {
        let (mut lines, mut used) = (0, f32::INFINITY);
        for word in words {
            if used + self.space + word <= width {
                used += self.space + word;
            } else {
                (lines, used) = (lines + 1, *word);
            }
        }
        lines
    }

    /// The widths after the step that saves most lines, and the lines then; the first of those that save as many.
    fn best_step(&self, widths: &[f32], least: &[f32], step: f32, lines: usize) -> Option<(Vec<f32>, usize)> {
        let mut best: Option<(Vec<f32>, usize)> = None;
        for from in 0..widths.len() {
            for steps in 1..=3_u8 {
                let moved = f32::from(steps) * step;
                if widths[from] - moved < least[from] {
                    break;
                }
                for to in (0..widths.len()).filter(|to| *to != from) {
                    let mut changed = widths.to_vec();
                    changed[from] -= moved;
                    changed[to] += moved;
                    let own = self.lines(&changed);
                    if own < best.as_ref().map_or(lines, |best| best.1) {
                        best = Some((changed, own));
                    }
                }
            }
        }
        best
    }
}
