//! The handbill in easy words: the same facts, short sentences, no tables.

use super::cloud_card::INDOORS;
use super::handbill::later;
use super::shorten::{as_sentence, short_sentences, word_count};
use super::visitor_facts::{Facts, Seats, Shown};
use super::{Page, heading, texts, visitor_words as words};
use crate::sheet::phrases::upper_first;
use crate::sheet::{Block, Leaf, LeafDrawing, LeafKind, Notice, lower_first};

/// Points of its text: 14 and more is asked of easy-to-read print (common practice, no source).
const EASY_PT: f32 = 14.0;
/// The most words of a sentence. Common practice, no source: easy-to-read rules ask for 8 to 15.
pub(super) const MOST_WORDS: usize = 12;

pub(super) fn easy(page: &Page<'_>, facts: &Facts) -> Leaf {
    page.public_leaf(LeafKind::HandbillEasy, EASY_PT, blocks(page, facts))
}

fn blocks(page: &Page<'_>, facts: &Facts) -> Vec<Block> {
    let mut blocks = Vec::new();
    if facts.called_off {
        blocks.extend([
            Block::List(texts(&words::EASY_CALLED_OFF)),
            heading(words::TIMES),
            Block::Facts(facts.times.clone()),
            heading(words::INDOORS_TONIGHT),
            Block::List(INDOORS.iter().flat_map(|line| short_sentences(line, MOST_WORDS)).collect()),
        ]);
    } else {
        blocks.extend(under_the_sky(facts));
    }
    let site = page.names.materials.site;
    let seats: &[&str] = match facts.seats {
        _ if facts.called_off => &[],
        Seats::AtEyepiece => &words::EASY_SEATED,
        Seats::AtScreen => &words::EASY_SEATED_AT_SCREEN,
        Seats::Ask => &words::EASY_SEATED_ASK,
    };
    let own = site.visitors.lines.iter().flat_map(|line| short_sentences(line, MOST_WORDS));
    let known: Vec<String> = texts(seats).into_iter().chain(own).collect();
    if !known.is_empty() || !site.visitors.contact.is_empty() {
        blocks.push(heading(words::GOOD_TO_KNOW));
    }
    blocks.extend((!known.is_empty()).then_some(Block::List(known)));
    if !site.visitors.contact.is_empty() {
        blocks.push(Block::Facts(vec![Notice::new("Contact", site.visitors.contact.clone())]));
    }
    blocks.push(heading(words::AT_HOME));
    if facts.at_home.sights.is_empty() {
        blocks.push(Block::List(short_sentences(words::NOTHING_AT_HOME, MOST_WORDS)));
    } else {
        blocks.push(Block::Text(format!("Look at the sky around {}.", facts.at_home.around)));
        blocks.push(Block::Facts(facts.at_home.sights.clone()));
    }
    blocks.extend(later(&facts.at_home));
    blocks.extend(facts.called_off.then(|| Block::List(texts(&words::EASY_FISTS))));
    blocks.push(heading(words::NEXT_DATES));
    let dates = &page.names.evening.next_dates;
    blocks.push(Block::List(if dates.is_empty() {
        short_sentences(words::NO_DATES_YET, MOST_WORDS)
    } else {
        dates.clone()
    }));
    blocks
}

/// All that needs a sky.
fn under_the_sky(facts: &Facts) -> Vec<Block> {
    let mut blocks =
        vec![heading(words::TIMES), Block::Facts(facts.times.clone()), heading(words::WHAT_WE_SHOW)];
    if facts.shown.is_empty() {
        blocks.push(Block::List(short_sentences(words::NOTHING_SHOWN_YET, MOST_WORDS)));
    } else {
        blocks.push(Block::List(texts(&words::EASY_FISTS)));
        for shown in &facts.shown {
            blocks.push(Block::Subheading(format!("{} {}", shown.start, shown.name)));
            let sentences = sentences(shown);
            if !sentences.is_empty() {
                blocks.push(Block::Text(sentences.join(" ")));
            }
        }
    }
    blocks.push(heading(words::SKY_TONIGHT));
    if !facts.up_tonight.is_empty() {
        blocks.push(Block::Facts(facts.up_tonight.clone()));
    }
    if !facts.not_up.is_empty() {
        blocks.push(Block::Text(format!("{}:", words::NOT_UP)));
        blocks.push(Block::List(facts.not_up.iter().map(|name| upper_first(name)).collect()));
    }
    blocks.push(Block::Drawing(LeafDrawing::VisitorSky));
    blocks.extend([heading(words::PLEASE), Block::List(texts(&words::EASY_RULES))]);
    if facts.by_eyepiece {
        blocks.extend([heading(words::HOW_TO_LOOK), Block::List(texts(&words::EASY_EYEPIECE))]);
    }
    blocks
}

fn sentences(shown: &Shown) -> Vec<String> {
    let mut sentences = Vec::new();
    if shown.on_the_moon {
        sentences.push(words::EASY_MOON_PLACE.to_owned());
    } else if let Some(kind) = shown.kind {
        sentences.extend(short_sentences(words::easy_kind(kind), MOST_WORDS));
    }
    sentences.extend(short_sentences(&shown.line, MOST_WORDS));
    if !shown.look_for.is_empty() {
        let look = format!("Look for {}", lower_first(&shown.look_for));
        if word_count(&look) <= MOST_WORDS {
            sentences.push(as_sentence(&look));
        } else {
            sentences.push("Look for this:".to_owned());
            sentences.extend(short_sentences(&shown.look_for, MOST_WORDS));
        }
        if shown.faint_to_the_eye {
            sentences.push(words::FAINT.to_owned());
        }
    }
    if !shown.place.is_empty() {
        sentences.push(format!("It is {}.", shown.place));
    }
    sentences
}
