//! The night report: the decision as it was taken, every stop with room for what came of it, and what the next night should know.
//!
//! What it asks for is what a public observatory counts and mends after a night: looks, what was seen, what failed, incidents.
//! Common practice, no source. It counts people and names no visitor.

use super::crew::{decision, decision_to_fill_in};
use super::{LEAST_STAFF_PT, Page, STAFF_PT, blank, heading, texts};
use crate::plan::Stop;
use crate::sheet::head::{DOORS, VISITORS};
use crate::sheet::page_words::{COUNT_BOX, DECISION, NOTHING};
use crate::sheet::{Block, Leaf, LeafKind, LeafTable, Notice};

/// Rows for what was shown and not planned: an understudy, a hole in the cloud, a wish.
const NOT_PLANNED: usize = 2;

pub(super) fn night_report(page: &Page<'_>) -> Leaf {
    let mut leaf = page.leaf(LeafKind::NightReport, "Night report", STAFF_PT, blocks(page));
    leaf.least_pt = LEAST_STAFF_PT;
    leaf
}

fn blocks(page: &Page<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::Facts(page.of_head(&[DOORS, VISITORS])), heading(DECISION)];
    match decision(page) {
        Some((words, when_and_who)) => blocks.push(Block::Facts(
            std::iter::once(Notice::new("Decision", words)).chain(when_and_who).collect(),
        )),
        None => blocks.extend(decision_to_fill_in()),
    }
    blocks.extend([
        Block::FillIn(texts(&["Changed to, at, by", "Why it was changed"])),
        heading("Visitors: counts, no names"),
        Block::FillIn(texts(&["Came in all", "Most at one time"])),
    ]);
    blocks.extend(if off_before_doors(page) { indoors() } else { shown(page) });
    blocks.extend([
        heading("What happened"),
        Block::FillIn(texts(&[
            "First fault: what, since when, at which stop",
            "Second fault: what, since when, at which stop",
            "Who was told of the faults",
        ])),
        Block::Choices(texts(&["No incident", "Incident: the park's own form is filled in"])),
        Block::FillIn(texts(&[
            "Incident: at what time, where",
            "Sky and weather at closing (cloud, wind, humidity, dew)",
        ])),
        heading("For the next night"),
        Block::FillIn(texts(&[
            "What visitors liked best",
            "What they asked for",
            "What to do otherwise",
            "To restock (handbills, batteries, drinks)",
            "Crew: how many, hours in all; thanks to",
        ])),
        heading("Before leaving"),
        Block::Choices(texts(&["Mirror covered", "Mount parked", "Dome shut", "Power off", "Grounds empty"])),
        Block::FillIn(texts(&["Last visitor left at", "Night lead: name, signature, time"])),
    ]);
    blocks
}

/// Whether the evening was called off before anything could be shown.
fn off_before_doors(page: &Page<'_>) -> bool {
    let (prepared, decided_at) = (page.names.prepared, page.names.evening.call.decided_at);
    let at = decided_at.and_then(|time| prepared.night.local.at(time).ok());
    page.called_off() && at.is_none_or(|at| at < prepared.doors.start())
}

/// What stands in place of the stops of such an evening.
fn indoors() -> Vec<Block> {
    vec![
        heading("Indoors"),
        Block::Text("The sky was called off before doors opened.".to_owned()),
        Block::FillIn(texts(&["What was done instead", "For how many"])),
    ]
}

/// Every stop with room for its looks.
fn shown(page: &Page<'_>) -> Vec<Block> {
    let stops = page.names.evening.order.stops().iter().map(|stop| row(page, stop));
    let not_planned = (1..=NOT_PLANNED).map(|number| {
        [format!("Not planned {number}:"), NOTHING.to_owned()].into_iter().chain(blank(4)).collect()
    });
    vec![
        heading("Stops"),
        Block::Table(LeafTable {
            summary: "One row for each stop, and for what was not planned: its planned time, and boxes for when it began and ended, \
                      how many looked, and what they saw or what failed."
                .to_owned(),
            heads: texts(&["Stop", "Planned", "Began", "Ended", "Looked", "Seen well, poorly, not: why"]),
            rows: stops.chain(not_planned).collect(),
            shares: vec![2.4, 1.6, 1.0, 1.0, 1.0, 4.0],
            may_stand_below: None,
            filled_in: &[
                (2, "box for when it began"),
                (3, "box for when it ended"),
                (4, COUNT_BOX),
                (5, "box for what was seen or failed"),
            ],
        }),
        Block::FillIn(texts(&[
            "Looks in all",
            "Of these from a seat",
            "Left without a look",
            "Longest wait (min)",
            "Closed for weather from, to",
        ])),
    ]
}

/// A stop; of one without the telescope only the times are asked for.
fn row(page: &Page<'_>, stop: &Stop) -> Vec<String> {
    let port = stop.show().map(|show| format!(", {}", page.names.port_name(&show.port)));
    let looks = if port.is_some() { "" } else { NOTHING };
    let name = format!("{}{}", page.numbered(stop), port.unwrap_or_default());
    // On one line, however long the names are.
    let times = [name, page.span(stop).replace(' ', "\u{a0}")].into_iter().chain(blank(2));
    times.chain([looks, looks].map(str::to_owned)).collect()
}
