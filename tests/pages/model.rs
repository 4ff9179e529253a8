//! What a page must say, in order, from its model alone.

use evenfall_core::sheet::page_words::{
    CAUTIONS, CHOICES, CLOSE_AT, COLUMNS, DECISION, DECISION_LINES, FINDINGS, NOTHING, TIMELINE,
};
use evenfall_core::sheet::{Block, Leaf, Notice, Row, RunSheet};

/// Words of a leaf in reading order, without those of its drawings.
pub fn leaf_words(leaf: &Leaf) -> Vec<String> {
    let mut said = vec![leaf.title.clone(), leaf.subtitle.clone()];
    for block in &leaf.blocks {
        match block {
            Block::Heading(text) | Block::Subheading(text) | Block::Text(text) | Block::Large(text) => {
                said.push(text.clone());
            }
            Block::Facts(facts) | Block::Notes(facts) => said.extend(facts.iter().flat_map(notice)),
            Block::List(all) | Block::Choices(all) | Block::FillIn(all) => said.extend(all.clone()),
            Block::Table(table) => {
                said.extend(table.heads.clone());
                said.extend(table.rows.iter().flatten().cloned());
            }
            Block::Drawing(_) => {}
        }
    }
    said.push(leaf.footer.clone());
    words(&said)
}

/// Words of a run sheet in reading order, without those of its drawing.
pub fn run_sheet_words(sheet: &RunSheet) -> Vec<String> {
    let mut said = vec![sheet.title.clone(), format!("{} · {}", sheet.subtitle, sheet.zone)];
    said.push(sheet.warning.clone());
    said.extend(sheet.head.iter().flat_map(notice));
    if !sheet.findings.is_empty() {
        said.push(FINDINGS.to_owned());
        said.extend(sheet.findings.iter().map(|finding| finding.replacen(": ", " ", 1)));
    }
    said.extend(COLUMNS.map(str::to_owned));
    for row in &sheet.rows {
        said.extend(cells(row));
        said.extend(row.passes.iter().chain(&row.cautions).cloned());
    }
    said.push(TIMELINE.to_owned());
    said.extend([DECISION, CLOSE_AT].map(str::to_owned));
    said.extend(sheet.limits.iter().flat_map(notice));
    said.extend(CHOICES.into_iter().chain(DECISION_LINES).map(str::to_owned));
    said.push(CAUTIONS.to_owned());
    said.extend(sheet.cautions.iter().flat_map(notice));
    said.push(sheet.footer.clone());
    words(&said)
}

fn notice(notice: &Notice) -> [String; 2] {
    [notice.label.clone(), notice.value.clone()]
}

/// The cells of a row that say something; what does not apply is a dash.
fn cells(row: &Row) -> Vec<String> {
    let joined = |parts: &[&String]| {
        let told: Vec<&str> =
            parts.iter().map(|part| part.as_str()).filter(|part| !part.is_empty()).collect();
        told.join(", ")
    };
    let cells = [
        format!("{} {}", row.number, row.held),
        format!("{}–{} {}", row.start, row.end, row.zone),
        format!("{} {}", row.title, row.kind),
        format!("{} {} {}", row.port, row.port_detail, row.focus),
        format!("{} {} {}", row.altitude, row.azimuth, row.dome),
        format!(
            "{} {} {}",
            joined(&[&row.move_start, &row.move_time]),
            joined(&[&row.move_turn, &row.lead_time]),
            row.line_forms
        ),
        row.people_time.clone(),
        row.cue.clone(),
        row.understudy.clone(),
    ];
    cells.into_iter().map(|cell| if cell.trim().is_empty() { NOTHING.to_owned() } else { cell }).collect()
}

fn words(said: &[String]) -> Vec<String> {
    said.iter().flat_map(|text| text.split_whitespace()).map(str::to_owned).collect()
}
