//! The handbill, in print of 12 points and in large print: the same blocks.

use super::at_home::AtHome;
use super::cloud_card::INDOORS;
use super::visitor_facts::{Facts, Seats, Shown};
use super::{Page, heading, shorten, texts, visitor_words as words};
use crate::sheet::phrases::listed;
use crate::sheet::set_notes::dates_to_come;
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
    let mut blocks = Vec::new();
    if facts.called_off {
        blocks.extend([
            Block::Text(words::CALLED_OFF.to_owned()),
            heading(words::TIMES),
            Block::Facts(facts.times.clone()),
            heading(words::INDOORS_TONIGHT),
            Block::List(texts(&INDOORS)),
        ]);
    } else {
        blocks.extend(under_the_sky(facts));
    }
    let site = page.names.materials.site;
    let seats = (!facts.called_off).then(|| seats(facts.seats).to_owned());
    let known: Vec<String> = seats.into_iter().chain(site.visitors.lines.iter().cloned()).collect();
    if !known.is_empty() || !site.visitors.contact.is_empty() {
        blocks.push(heading(words::GOOD_TO_KNOW));
    }
    blocks.extend((!known.is_empty()).then_some(Block::List(known)));
    if !site.visitors.contact.is_empty() {
        blocks.push(Block::Facts(vec![Notice::new("Contact", site.visitors.contact.clone())]));
    }
    blocks.extend(at_home(&facts.at_home));
    // Else they are explained below what is shown.
    blocks.extend(facts.called_off.then(|| Block::Text(words::FISTS.to_owned())));
    blocks.push(heading(words::NEXT_DATES));
    let dates = dates_to_come(page.names);
    blocks.push(if dates.is_empty() {
        Block::Text(words::NO_DATES_YET.to_owned())
    } else {
        Block::List(dates.into_iter().cloned().collect())
    });
    blocks
}

/// What is shown, the Moon and planets, the whole sky, and how to look: all that needs a sky.
fn under_the_sky(facts: &Facts) -> Vec<Block> {
    let mut blocks =
        vec![heading(words::TIMES), Block::Facts(facts.times.clone()), heading(words::WHAT_WE_SHOW)];
    if facts.shown.is_empty() {
        blocks.push(Block::Text(words::NOTHING_SHOWN_YET.to_owned()));
    } else {
        blocks.push(Block::Table(table(&facts.shown, what)));
        blocks.push(Block::Text(words::FISTS.to_owned()));
    }
    blocks.extend([heading(words::PLEASE), Block::List(texts(&words::RULES)), heading(words::SKY_TONIGHT)]);
    blocks.push(Block::Drawing(LeafDrawing::VisitorSky));
    if !facts.up_tonight.is_empty() {
        blocks.push(Block::Facts(facts.up_tonight.clone()));
    }
    if !facts.not_up.is_empty() {
        blocks.push(Block::Text(not_up_sentence(&facts.not_up)));
    }
    if facts.by_eyepiece {
        blocks.extend([heading(words::HOW_TO_LOOK), Block::List(texts(&words::EYEPIECE))]);
    }
    blocks
}

const fn seats(seats: Seats) -> &'static str {
    match seats {
        Seats::AtEyepiece => words::SEATED,
        Seats::AtScreen => words::SEATED_AT_SCREEN,
        Seats::Ask => words::SEATED_ASK,
    }
}

fn at_home(home: &AtHome) -> Vec<Block> {
    let mut blocks = vec![heading(words::AT_HOME)];
    if home.sights.is_empty() {
        blocks.push(Block::Text(words::NOTHING_AT_HOME.to_owned()));
    } else {
        let unless = if home.takes_binoculars { " unless it says binoculars" } else { "" };
        blocks.push(Block::Text(format!("With the naked eye{unless}, around {}:", home.around)));
        blocks.push(Block::Facts(home.sights.clone()));
    }
    blocks.extend(later(home));
    blocks
}

/// When what comes up later than most people are up can be seen.
pub(super) const fn later_words(home: &AtHome) -> &'static str {
    if home.later_is_tomorrow { words::EARLY_TOMORROW } else { words::LATER }
}

fn later(home: &AtHome) -> Vec<Block> {
    if home.later.is_empty() {
        return Vec::new();
    }
    vec![Block::Text(later_words(home).to_owned()), Block::Facts(home.later.clone())]
}

fn not_up_sentence(not_up: &[String]) -> String {
    let all = if not_up.len() < 3 { not_up.join(" and ") } else { listed(not_up, ',') };
    format!("{}: {all}.", words::NOT_UP)
}

/// Heads of the table of what is shown, on all three handbills.
const HEADS: [&str; 4] = ["Time", "What", "Where in the sky", "What it is, what to look for"];

/// What is shown, one row each, in the words of a handbill.
pub(super) fn table(shown: &[Shown], what: impl Fn(&Shown) -> String) -> LeafTable {
    let row = |own: &Shown| vec![own.start.clone(), own.name.clone(), own.place.clone(), what(own)];
    LeafTable {
        summary: "What we show, one row each in order of time: when, what, where it stands, what it is and what to look for."
            .to_owned(),
        heads: texts(&HEADS),
        rows: shown.iter().map(row).collect(),
        shares: vec![1.0, 2.4, 2.4, 5.4],
        may_stand_below: Some(2),
        filled_in: &[],
    }
}

fn what(shown: &Shown) -> String {
    let line = shorten::as_sentence(&shown.line);
    if shown.look_for.is_empty() {
        return line;
    }
    let look = shorten::as_sentence(&format!("Look for {}", shown.look_for));
    let patience = if shown.faint_to_the_eye { words::FAINT } else { "" };
    format!("{line} {look} {patience}").trim().to_owned()
}
