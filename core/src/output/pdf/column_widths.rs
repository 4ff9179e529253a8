//! How wide the columns of a table are: near the shares it asks for, but so that it takes few lines.

use super::page::Pages;
use super::table::cell_gap;
use crate::chart::Weight;
use crate::sheet::LeafTable;

/// How much of the width goes from one column to another at a time, and how often at most.
const STEP: f32 = 0.02;
const MOST_STEPS: usize = 24;

/// Left edges of the columns, and the right edge of the last. No column is narrower than its longest word as long as there
/// is room for all. Columns from `stacked_from` on stand below the one before them and share its width.
pub(super) fn edges(pages: &Pages<'_>, content: &LeafTable, stacked_from: usize) -> Vec<f32> {
    let words = Words::of(pages, content);
    let least = words.least(stacked_from);
    let mut widths = wished(pages, content, &least);
    if least.iter().sum::<f32>() <= pages.width {
        let mut lines = words.lines(&widths);
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
    edges
}

/// Widths after the shares, as far as the least widths leave room for them.
fn wished(pages: &Pages<'_>, content: &LeafTable, least: &[f32]) -> Vec<f32> {
    let mut shares = vec![0.0; least.len()];
    for column in 0..content.heads.len() {
        let share = content.shares.get(column).copied().unwrap_or(1.0).max(0.01);
        shares[column.min(least.len() - 1)] += share;
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

/// The widths of the words of each cell, row by row, the heads first.
struct Words {
    rows: Vec<Vec<Vec<f32>>>,
    space: f32,
    gap: f32,
}

impl Words {
    fn of(pages: &Pages<'_>, content: &LeafTable) -> Self {
        let (typeface, body) = (pages.typeface, pages.setting.body);
        let cell = |text: &String| {
            let text = typeface.writable(text);
            text.split_whitespace().map(|word| typeface.width(word, body, Weight::Semibold)).collect()
        };
        let columns = content.heads.len();
        let row = |cells: &Vec<String>| cells.iter().take(columns).map(cell).collect();
        Self {
            rows: std::iter::once(&content.heads).chain(&content.rows).map(row).collect(),
            space: typeface.width(" ", body, Weight::Semibold),
            gap: cell_gap(body) + 0.1,
        }
    }

    /// The least width of each column: its longest word.
    fn least(&self, stacked_from: usize) -> Vec<f32> {
        let mut least = vec![0.0_f32; stacked_from];
        for row in &self.rows {
            for (column, words) in row.iter().enumerate() {
                let own = &mut least[column.min(stacked_from - 1)];
                *own = words.iter().map(|word| word + self.gap).fold(*own, f32::max);
            }
        }
        least
    }

    /// Lines of all rows together.
    fn lines(&self, widths: &[f32]) -> usize {
        let in_row = |row: &Vec<Vec<f32>>| {
            let last = widths.len() - 1;
            let lines = |(column, words): (usize, &Vec<f32>)| {
                self.lines_of(words, widths[column.min(last)] - self.gap)
            };
            let beside = row.iter().enumerate().take(last).map(lines).max().unwrap_or(0);
            let below: usize = row.iter().enumerate().skip(last).map(lines).sum();
            beside.max(below).max(1)
        };
        self.rows.iter().map(in_row).sum()
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
