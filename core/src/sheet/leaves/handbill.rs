//! The handbill, in print of 12 points and in large print: the same blocks.

use super::visitor_facts::{Facts, Shown};
use super::{Page, heading, shorten, texts, visitor_words as words};
use crate::sheet::phrases::listed;
use crate::sheet::{Block, Leaf, LeafDrawing, LeafKind, LeafTable, Notice};

/// Points of the usual print; plain print for the public is 12 points and more (common practice of clear print, no source).
const USUAL_PT: f32 = 12.0;
/// Points of large print: 18 and more, by the advice on large print of societies for blind people (from memory).
const LARGE_PT: f32 = 18.0;

pub(super) fn handbill(page: &Page<'_>, facts: &Facts) -> Leaf {
    leaf(page, facts, LeafKind::Handbill, USUAL_PT)
}

pub(super) fn large(page: &Page<'_>, facts: &Facts) -> Leaf {
    leaf(page, facts, LeafKind::HandbillLarge, LARGE_PT)
}

fn leaf(page: &Page<'_>, facts: &Facts, kind: LeafKind, text_pt: f32) -> Leaf {
    page.public_leaf(kind, text_pt, blocks(page, facts))
}

fn blocks(page: &Page<'_>, facts: &Facts) -> Vec<Block> {
    let site = page.names.materials.site;
    let mut blocks = Vec::new();
    if facts.called_off {
        blocks.push(Block::Text(words::CALLED_OFF.to_owned()));
    }
    blocks.extend([heading(words::TIMES), Block::Facts(facts.times.clone()), heading(words::WHAT_WE_SHOW)]);
    if facts.shown.is_empty() {
        blocks.push(Block::Text(words::NOTHING_SHOWN_YET.to_owned()));
    } else {
        blocks.push(Block::Table(table(&facts.shown)));
        blocks.push(Block::Text(words::FISTS.to_owned()));
    }
    blocks.push(heading(words::SKY_TONIGHT));
    if !facts.up_tonight.is_empty() {
        blocks.push(Block::Facts(facts.up_tonight.clone()));
    }
    if !facts.not_up.is_empty() {
        blocks.push(Block::Text(not_up_sentence(&facts.not_up)));
    }
    blocks.push(Block::Drawing(LeafDrawing::VisitorSky));
    blocks.extend([heading(words::PLEASE), Block::List(texts(&words::RULES))]);
    if facts.seated_can_look.is_some() {
        blocks.extend([heading(words::HOW_TO_LOOK), Block::List(texts(&words::EYEPIECE))]);
    }
    blocks.extend([heading(words::GOOD_TO_KNOW), Block::List(good_to_know(facts, &site.visitors.lines))]);
    if !site.visitors.contact.is_empty() {
        blocks.push(Block::Facts(vec![Notice::new("Contact", site.visitors.contact.clone())]));
    }
    blocks.push(heading(words::AT_HOME));
    if facts.at_home.sights.is_empty() {
        blocks.push(Block::Text(words::NOTHING_AT_HOME.to_owned()));
    } else {
        blocks.push(Block::Text(format!("After the evening, around {}:", facts.at_home.around)));
        blocks.push(Block::Facts(facts.at_home.sights.clone()));
    }
    blocks.push(heading(words::NEXT_DATES));
    let dates = &page.names.evening.next_dates;
    blocks.push(if dates.is_empty() {
        Block::Text(words::NO_DATES_YET.to_owned())
    } else {
        Block::List(dates.clone())
    });
    blocks
}

/// Seats first, then what the park says itself.
pub(super) fn good_to_know(facts: &Facts, lines: &[String]) -> Vec<String> {
    let seated = if facts.seated_can_look == Some(true) { words::SEATED } else { words::SEATED_AT_SCREEN };
    [seated.to_owned()].into_iter().chain(lines.iter().cloned()).collect()
}

fn not_up_sentence(not_up: &[String]) -> String {
    let all = if not_up.len() < 3 { not_up.join(" and ") } else { listed(not_up, ',') };
    format!("{}: {all}.", words::NOT_UP)
}

fn table(shown: &[Shown]) -> LeafTable {
    let row = |own: &Shown| vec![own.start.clone(), own.name.clone(), what(own), own.place.clone()];
    LeafTable {
        summary: "What we show, one row each in order of time: when, what it is, what to look for, where it stands."
            .to_owned(),
        heads: texts(&["Time", "What", "What it is, what to look for", "Where in the sky"]),
        rows: shown.iter().map(row).collect(),
        shares: vec![1.0, 2.2, 5.4, 2.2],
    }
}

fn what(shown: &Shown) -> String {
    let line = shorten::as_sentence(&shown.line);
    if shown.look_for.is_empty() {
        return line;
    }
    let look = shorten::as_sentence(&format!("Look for {}", shown.look_for));
    let patience = if shown.faint_to_the_eye { " It is faint: take your time." } else { "" };
    format!("{line} {look}{patience}").trim().to_owned()
}
