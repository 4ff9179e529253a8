//! The table of stops: one row a stop, its cautions below it, a head on every page.

use std::num::NonZeroU32;

use krilla::tagging::{TableHeaderScope, Tag};

use super::page::{BODY, LINE, MARGIN, Mark, Pages, Role};
use super::tags::Element;
use crate::chart::Weight;
use crate::sheet::page_words::{COLUMNS, COUNT_BOX, NOTHING, TABLE_SUMMARY, TICK_BOX};
use crate::sheet::{Row, RunSheet};

/// Width of each column in points, of which a share of what is left over comes on top.
const WIDTHS: [(f32, f32); 11] = [
    (33.0, 0.0),
    (28.0, 0.0),
    (68.0, 0.0),
    (100.0, 0.4),
    (76.0, 0.15),
    (84.0, 0.0),
    (106.0, 0.0),
    (42.0, 0.0),
    (84.0, 0.3),
    (79.0, 0.15),
    (38.0, 0.0),
];

/// White to the right of a cell's text, and above and below a row.
const CELL_GAP: f32 = 6.0;
const ROW_GAP: f32 = 2.5;
/// Size of the times and names, which are looked for first.
const STRONG: f32 = 11.0;

/// A line of a cell.
struct CellLine {
    text: String,
    weight: Weight,
    size: f32,
}

/// Left edges of the columns, and the right edge of the last.
fn edges(text_width: f32) -> Vec<f32> {
    let left_over = text_width - WIDTHS.iter().map(|width| width.0).sum::<f32>();
    let mut edges = vec![MARGIN];
    let mut x = MARGIN;
    for (width, share) in WIDTHS {
        x += width + share * left_over;
        edges.push(x);
    }
    edges
}

/// Lays out the table from where the pages stand: on each page a table of its own with a head, so that whoever hears
/// it read learns the columns again.
pub(super) fn table(pages: &mut Pages<'_>, sheet: &RunSheet) {
    let edges = edges(pages.paper.text_width());
    let mut body = table_head(pages, &edges);
    for row in &sheet.rows {
        body = table_row(pages, &edges, body, row);
    }
}

/// Begins a table with its head; gives the body for its rows.
fn table_head(pages: &mut Pages<'_>, edges: &[f32]) -> Element {
    let table = pages.tags.section(Tag::Table.with_summary(Some(TABLE_SUMMARY.to_owned())));
    let head = pages.tags.within(table, Tag::THead);
    let head_row = pages.tags.within(head, Tag::TR);
    let cells: Vec<Vec<String>> = COLUMNS
        .iter()
        .zip(edges.windows(2))
        .map(|(text, edge)| pages.typeface.lines(text, BODY, Weight::Semibold, edge[1] - edge[0] - CELL_GAP))
        .collect();
    let height = cells.iter().map(Vec::len).max().unwrap_or(1) as f32 * LINE;
    for (lines, edge) in cells.iter().zip(edges) {
        let cell = pages.tags.within(head_row, Tag::TH(TableHeaderScope::Column));
        let first = pages.y + height - lines.len() as f32 * LINE;
        for (index, line) in lines.iter().enumerate() {
            let y = first + index as f32 * LINE + BODY;
            pages.write(cell, (*edge, y), BODY, Weight::Semibold, line);
        }
    }
    pages.y += height + ROW_GAP;
    rule(pages, 1.2);
    pages.tags.within(table, Tag::TBody)
}

fn rule(pages: &mut Pages<'_>, width: f32) {
    let (from, to) = ((MARGIN, pages.y), (MARGIN + pages.paper.text_width(), pages.y));
    pages.put(Mark::Rule { from, to, width, role: Role::Decoration });
}

/// A row, kept together with its cautions where a page can hold both; gives the body for the next row.
fn table_row(pages: &mut Pages<'_>, edges: &[f32], mut body: Element, row: &Row) -> Element {
    let cells: Vec<Vec<CellLine>> = (0..COLUMNS.len())
        .map(|column| cell_lines(pages, row, column, edges[column + 1] - edges[column] - CELL_GAP))
        .collect();
    let lines = cells.iter().map(Vec::len).max().unwrap_or(1).max(1);
    let height = lines as f32 * LINE + 2.0 * ROW_GAP;
    let caution_width = edges[COLUMNS.len()] - edges[2];
    let cautions: Vec<Vec<String>> = row
        .cautions
        .iter()
        .map(|caution| pages.typeface.lines(caution, BODY, Weight::Semibold, caution_width))
        .collect();
    let caution_lines = cautions.iter().map(Vec::len).sum::<usize>();
    let whole = height + caution_lines as f32 * LINE;
    if pages.room() < whole.min(pages.full_room() - 3.0 * LINE) {
        body = turn_with_head(pages, edges);
    }

    let table_row = pages.tags.within(body, Tag::TR);
    let top = pages.y + ROW_GAP;
    for (column, lines) in cells.iter().enumerate() {
        let cell = if column == 1 {
            pages.tags.within(table_row, Tag::TH(TableHeaderScope::Row))
        } else {
            pages.tags.within(table_row, Tag::TD)
        };
        let x = edges[column];
        match column {
            0 => boxed(pages, cell, (x + 1.0, top), (13.0, 13.0), TICK_BOX),
            10 => boxed(pages, cell, (x, top), (edges[11] - x, 20.0), COUNT_BOX),
            _ => {
                for (index, line) in lines.iter().enumerate() {
                    let y = top + index as f32 * LINE + BODY;
                    pages.write(cell, (x, y), line.size, line.weight, &line.text);
                }
            }
        }
    }
    pages.y += height;
    if !cautions.is_empty() {
        body = caution_row(pages, edges, body, &cautions);
    }
    rule(pages, 0.5);
    body
}

fn turn_with_head(pages: &mut Pages<'_>, edges: &[f32]) -> Element {
    pages.turn();
    table_head(pages, edges)
}

/// Stoppers and Cautions below the row they belong to, as a row of their own.
fn caution_row(pages: &mut Pages<'_>, edges: &[f32], mut body: Element, cautions: &[Vec<String>]) -> Element {
    let mut cell = caution_cell(pages, body);
    pages.y -= ROW_GAP;
    for line in cautions.iter().flatten() {
        if pages.room() < LINE {
            body = turn_with_head(pages, edges);
            cell = caution_cell(pages, body);
        }
        pages.write(cell, (edges[2], pages.y + BODY), BODY, Weight::Semibold, line);
        pages.y += LINE;
    }
    pages.y += ROW_GAP;
    body
}

fn caution_cell(pages: &mut Pages<'_>, body: Element) -> Element {
    let row = pages.tags.within(body, Tag::TR);
    pages.tags.within(row, Tag::TD.with_col_span(NonZeroU32::new(COLUMNS.len() as u32)))
}

/// A box to be filled in by hand.
fn boxed(pages: &mut Pages<'_>, cell: Element, at: (f32, f32), size: (f32, f32), told: &'static str) {
    let slot = pages.tags.slot(cell);
    pages.put(Mark::Frame { at, size, role: Role::Told(slot, told) });
}

/// What is not empty, with commas between.
fn joined(parts: &[&str]) -> String {
    let told: Vec<&str> = parts.iter().copied().filter(|part| !part.is_empty()).collect();
    told.join(", ")
}

/// What a cell says, in lines that fit it; a cell for the hand has none.
fn cell_lines(pages: &Pages<'_>, row: &Row, column: usize, width: f32) -> Vec<CellLine> {
    let times = format!("{}–{}", row.start, row.end);
    let begin = joined(&[&row.move_start, &row.move_time]);
    let turn = joined(&[&row.move_turn, &row.lead_time]);
    let strong = (Weight::Semibold, STRONG);
    let plain = (Weight::Regular, BODY);
    let parts: Vec<(&str, (Weight, f32))> = match column {
        1 => vec![(&row.number, strong), (&row.held, plain)],
        2 => vec![(&times, strong), (&row.zone, plain)],
        3 => vec![(&row.title, strong), (&row.kind, plain)],
        4 => vec![(&row.port, (Weight::Semibold, BODY)), (&row.port_detail, plain)],
        5 => vec![(&row.altitude, plain), (&row.azimuth, plain)],
        6 => vec![(&begin, (Weight::Semibold, BODY)), (&turn, plain)],
        7 => vec![(&row.people_time, plain)],
        8 => vec![(&row.cue, plain)],
        9 => vec![(&row.understudy, plain)],
        _ => Vec::new(),
    };
    let for_hand = parts.is_empty();
    let mut lines: Vec<CellLine> = Vec::new();
    for (text, (weight, size)) in parts.into_iter().filter(|part| !part.0.is_empty()) {
        let broken = pages.typeface.lines(text, size, weight, width);
        lines.extend(broken.into_iter().map(|text| CellLine { text, weight, size }));
    }
    if lines.is_empty() && !for_hand {
        lines.push(CellLine { text: NOTHING.to_owned(), weight: Weight::Regular, size: BODY });
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::{WIDTHS, edges};
    use crate::output::pdf::Paper;

    #[test]
    fn columns_fill_either_paper() {
        assert!((WIDTHS.iter().map(|width| width.1).sum::<f32>() - 1.0).abs() < 1e-6);
        for paper in [Paper::A4, Paper::Letter] {
            let edges = edges(paper.text_width());
            assert!((edges[11] - edges[0] - paper.text_width()).abs() < 1e-3);
            assert!(edges.windows(2).all(|pair| pair[1] - pair[0] >= 27.0));
        }
    }
}
