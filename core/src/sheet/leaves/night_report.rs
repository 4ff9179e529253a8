//! The night report: the decision as it was taken, every stop with room for what came of it, and what the next night should know.
//!
//! What it asks for is what a public observatory counts and mends after a night: looks, what was seen, what failed, incidents.
//! Common practice, no source. It counts people and names no visitor.

use super::call_card::{decision, decision_to_fill_in};
use super::{LEAST_STAFF_PT, Page, STAFF_PT, clock, heading, texts};
use crate::plan::Stop;
use crate::sheet::head::VISITORS;
use crate::sheet::page_words::{COUNT_BOX, NO_STOPS};
use crate::sheet::{Block, Leaf, LeafKind, LeafTable, Notice, numbers};

pub(super) fn night_report(page: &Page<'_>) -> Leaf {
    let mut leaf = page.leaf(LeafKind::NightReport, "Night report", STAFF_PT, blocks(page));
    leaf.least_pt = LEAST_STAFF_PT;
    leaf
}

fn blocks(page: &Page<'_>) -> Vec<Block> {
    let mut facts = vec![Notice::new(
        "Doors",
        numbers::clock_span(&page.names.prepared.night.local, page.names.prepared.doors),
    )];
    facts.extend(page.sheet.head.iter().find(|notice| notice.label == VISITORS).cloned());
    let mut blocks = vec![Block::Facts(facts), heading("Decision")];
    match decision(page) {
        Some((words, when_and_who)) => blocks.push(Block::Facts(
            std::iter::once(Notice::new("Decision", words)).chain(when_and_who).collect(),
        )),
        None => blocks.extend(decision_to_fill_in()),
    }
    blocks.push(Block::FillIn(texts(&[
        "Changed to, at, by",
        "Why",
        "Closed for weather from, to",
        "Cloud and wind",
    ])));
    blocks.push(heading("Visitors: counts, no names"));
    blocks.push(Block::FillIn(texts(&[
        "Came in all",
        "Most at one time",
        "Looked seated",
        "Sent home unseen",
    ])));
    blocks.extend(if page.called_off() { indoors() } else { shown(page) });
    blocks.extend([
        heading("For the next night"),
        Block::FillIn(texts(&[
            "What failed, since when, at which stop",
            "Who was told of it",
            "Incident: its time, and that the park's own form is filled in",
            "What visitors liked best",
            "What they asked for",
            "What to do otherwise",
            "To restock (handbills, batteries, drinks)",
            "Thanks to (of the crew)",
        ])),
        heading("Closed"),
        Block::Choices(texts(&["Mirror covered", "Mount parked", "Dome shut", "Power off", "Grounds empty"])),
        Block::FillIn(texts(&["Last visitor left at", "Night lead, time"])),
    ]);
    blocks
}

/// What stands in place of the stops of an evening that was called off.
fn indoors() -> Vec<Block> {
    vec![
        heading("Indoors"),
        Block::Text("No-go: nothing was shown under the sky.".to_owned()),
        Block::FillIn(texts(&["What was done instead", "For how many"])),
    ]
}

/// Every stop with room for its looks, and what they come to.
fn shown(page: &Page<'_>) -> Vec<Block> {
    let stops = page.names.evening.order.stops();
    if stops.is_empty() {
        return vec![heading("Stops"), Block::Text(NO_STOPS.to_owned())];
    }
    vec![
        heading("Stops"),
        Block::Table(LeafTable {
            summary: "One row for each stop: its planned time, and boxes for when it began and ended, how many looked, and what they saw \
                      or what failed."
                .to_owned(),
            heads: texts(&["Stop", "Planned", "Began", "Ended", "Looked", "Seen well, poorly, not: why"]),
            rows: stops.iter().map(|stop| row(page, stop)).collect(),
            shares: vec![2.4, 1.6, 1.0, 1.0, 1.0, 4.0],
            may_stand_below: None,
            filled_in: &[
                (2, "box for when it began"),
                (3, "box for when it ended"),
                (4, COUNT_BOX),
                (5, "box for what was seen or failed"),
            ],
        }),
        Block::FillIn(texts(&["Looks in all", "Hours of looking", "Looks an hour", "Longest wait (min)"])),
    ]
}

fn row(page: &Page<'_>, stop: &Stop) -> Vec<String> {
    let names = page.names;
    let number = names.stop_number(stop.id).map(|number| format!("{number} ")).unwrap_or_default();
    let port = stop.show().map(|show| format!(", {}", names.port_name(&show.port))).unwrap_or_default();
    let blank = std::iter::repeat_n(String::new(), 4);
    [
        format!("{number}{}{port}", names.stop_title(stop)),
        format!("{} to {}", clock(names, stop.start()), clock(names, stop.end())),
    ]
    .into_iter()
    .chain(blank)
    .collect()
}
