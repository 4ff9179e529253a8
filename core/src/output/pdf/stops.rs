//! The table of stops of a run sheet: what stands in which column.

use super::page::Pages;
use super::table::{Cell, CellLine, Frame, Slots, Table, cell_gap};
use crate::chart::Weight;
use crate::sheet::page_words::{COLUMNS, COUNT_BOX, NOTHING, TABLE_SUMMARY, TICK_BOX};
use crate::sheet::{Row, RunSheet};

/// Width of each column in points, of which a share of what is left over comes on top.
const WIDTHS: [(f32, f32); 11] = [
    (30.0, 0.0),
    (28.0, 0.0),
    (68.0, 0.0),
    (97.0, 0.45),
    (98.0, 0.0),
    (84.0, 0.0),
    (106.0, 0.0),
    (41.0, 0.0),
    (82.0, 0.35),
    (70.0, 0.2),
    (34.0, 0.0),
];

/// Size of the times and names, which are looked for first.
const STRONG: f32 = 11.0;

/// The column that names the stop, and that from which what stands below it is written.
const NAMES: usize = 1;
const NOTES_FROM: usize = 2;

/// Left edges of the columns, and the right edge of the last.
fn edges(left: f32, width: f32) -> Vec<f32> {
    let left_over = width - WIDTHS.iter().map(|width| width.0).sum::<f32>();
    let mut edges = vec![left];
    let mut x = left;
    for (width, share) in WIDTHS {
        x += width + share * left_over;
        edges.push(x);
    }
    edges
}

/// Lays out the table from where the pages stand: one row a stop, below it the satellites that pass, its Stoppers and its
/// Cautions.
pub(super) fn stops(pages: &mut Pages<'_>, sheet: &RunSheet) {
    let edges = edges(pages.setting.margin, pages.setting.text_width());
    let frame = Frame {
        summary: TABLE_SUMMARY.to_owned(),
        edges: edges.clone(),
        heads: COLUMNS.map(str::to_owned).to_vec(),
        names: NAMES,
        slots: Slots::beside(COLUMNS.len()),
    };
    let table = Table::begin(pages, frame);
    for row in &sheet.rows {
        let cells: Vec<Cell> = (0..COLUMNS.len())
            .map(|column| {
                let width = edges[column + 1] - edges[column];
                match column {
                    0 => Cell::Box((13.0, 13.0), TICK_BOX),
                    10 => Cell::Box((width, 20.0), COUNT_BOX),
                    _ => words(pages, row, column, width - cell_gap(pages.setting.body)),
                }
            })
            .collect();
        let notes: Vec<String> = row.passes.iter().chain(&row.cautions).cloned().collect();
        table.row(pages, &cells, &notes, NOTES_FROM);
    }
}

/// What is not empty, with commas between.
fn joined(parts: &[&str]) -> String {
    let told: Vec<&str> = parts.iter().copied().filter(|part| !part.is_empty()).collect();
    told.join(", ")
}

/// What a cell says, in lines that fit it.
fn words(pages: &Pages<'_>, row: &Row, column: usize, width: f32) -> Cell {
    let body = pages.setting.body;
    let times = format!("{}–{}", row.start, row.end);
    let begin = joined(&[&row.move_start, &row.move_time]);
    let turn = joined(&[&row.move_turn, &row.lead_time]);
    let strong = (Weight::Semibold, STRONG);
    let plain = (Weight::Regular, body);
    let bold = (Weight::Semibold, body);
    let parts: Vec<(&str, (Weight, f32))> = match column {
        NAMES => vec![(&row.number, strong), (&row.held, plain)],
        2 => vec![(&times, strong), (&row.zone, plain)],
        3 => vec![(&row.title, strong), (&row.kind, plain)],
        4 => vec![(&row.port, bold), (&row.port_detail, plain), (&row.focus, plain)],
        5 => vec![(&row.altitude, plain), (&row.azimuth, plain), (&row.dome, plain)],
        6 => vec![(&begin, bold), (&turn, plain), (&row.line_forms, plain)],
        7 => vec![(&row.people_time, plain)],
        8 => vec![(&row.cue, plain)],
        _ => vec![(&row.understudy, plain)],
    };
    let mut lines: Vec<CellLine> = Vec::new();
    for (text, (weight, size)) in parts.into_iter().filter(|part| !part.0.is_empty()) {
        // A space between parts keeps them apart for a reader of the text.
        if let Some(last) = lines.last_mut() {
            last.text.push(' ');
        }
        let broken = pages.typeface.lines(text, size, weight, width);
        lines.extend(broken.into_iter().map(|text| CellLine { text, weight, size }));
    }
    if lines.is_empty() {
        lines.push(CellLine { text: NOTHING.to_owned(), weight: Weight::Regular, size: body });
    }
    Cell::Words(lines)
}

#[cfg(test)]
mod tests {
    use super::{WIDTHS, edges};
    use crate::output::pdf::Paper;
    use crate::output::pdf::page::Setting;

    #[test]
    fn columns_fill_either_paper() {
        assert!((WIDTHS.iter().map(|width| width.1).sum::<f32>() - 1.0).abs() < 1e-6);
        for paper in [Paper::A4, Paper::Letter] {
            let setting = Setting::run_sheet(paper);
            let edges = edges(setting.margin, setting.text_width());
            assert!((edges[11] - edges[0] - setting.text_width()).abs() < 1e-3);
            assert!(edges.windows(2).all(|pair| pair[1] - pair[0] >= 27.0));
        }
    }
}
