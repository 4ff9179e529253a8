//! The handbill in easy words: the same facts on one side, in short sentences.

use super::at_home::AtHome;
use super::cloud_card::INDOORS;
use super::handbill::{later_words, table};
use super::shorten::{as_sentence, short_sentences, word_count};
use super::visitor_facts::{Facts, Seats, Shown};
use super::{Page, heading, texts, visitor_words as words};
use crate::sheet::phrases::listed;
use crate::sheet::set_notes::dates_to_come;
use crate::sheet::{Block, Leaf, LeafKind, Notice, lower_first};

/// Points of its text: 14 and more is asked of easy-to-read print (common practice, no source).
const EASY_PT: f32 = 14.0;
/// The least to which it shrinks to stand on one side, which is asked of it as well: that of plain print.
const LEAST_PT: f32 = 12.0;
/// The most words of a sentence. Common practice, no source: easy-to-read rules ask for 8 to 15.
pub(super) const MOST_WORDS: usize = 12;

pub(super) fn easy(page: &Page<'_>, facts: &Facts) -> Leaf {
    let leaf = page.public_leaf(LeafKind::HandbillEasy, EASY_PT, blocks(page, facts));
    Leaf { least_pt: LEAST_PT, ..leaf }
}

/// Where things stand is told in words at every stop; the drawing of the sky is on the other handbills.
fn blocks(page: &Page<'_>, facts: &Facts) -> Vec<Block> {
    if facts.called_off {
        return vec![
            Block::List(texts(&words::EASY_CALLED_OFF)),
            heading(words::TIMES),
            Block::Facts(facts.times.clone()),
            heading(words::INDOORS_TONIGHT),
            Block::List(INDOORS.iter().flat_map(|line| short_sentences(line, MOST_WORDS)).collect()),
            heading(words::GOOD_TO_KNOW),
            Block::Notes(notes(page, facts)),
        ];
    }
    let shown = if facts.shown.is_empty() {
        Block::List(short_sentences(words::NOTHING_SHOWN_YET, MOST_WORDS))
    } else {
        Block::Table(table(&facts.shown, |shown| sentences(shown).join(" ")))
    };
    vec![Block::Facts(facts.times.clone()), shown, Block::Notes(notes(page, facts))]
}

/// Everything but times and stops, each under a label of its own: what else is up, the rules, the park's own lines, the sky
/// from home.
fn notes(page: &Page<'_>, facts: &Facts) -> Vec<Notice> {
    let mut notes = vec![Notice::new(words::EASY_FISTS_LABEL, words::EASY_FISTS)];
    if !facts.called_off {
        let sky = sky(facts);
        notes.extend((!sky.is_empty()).then(|| Notice::new(words::SKY_TONIGHT, sky)));
        notes.push(Notice::new(words::PLEASE, words::EASY_RULES));
        if facts.by_eyepiece {
            notes.push(Notice::new(words::EASY_LOOK_LABEL, words::EASY_EYEPIECE));
        }
    }
    let seats = match facts.seats {
        _ if facts.called_off => None,
        Seats::AtEyepiece => Some(words::EASY_SEATED.to_owned()),
        Seats::AtScreen => Some(words::EASY_SEATED_AT_SCREEN.to_owned()),
        Seats::Ask => Some(words::EASY_SEATED_ASK.to_owned()),
    };
    let site = &page.names.materials.site.visitors;
    let own = site.lines.iter().flat_map(|line| short_sentences(line, MOST_WORDS));
    let contact = (!site.contact.is_empty()).then(|| format!("Contact: {}", as_sentence(&site.contact)));
    let here: Vec<String> = seats.into_iter().chain(own).chain(contact).collect();
    notes.extend((!here.is_empty()).then(|| Notice::new(words::EASY_HERE_LABEL, here.join(" "))));
    notes.push(at_home(&facts.at_home));
    let dates = dates_to_come(page.names);
    let dates = if dates.is_empty() {
        short_sentences(words::NO_DATES_YET, MOST_WORDS)
    } else {
        dates.iter().map(|date| as_sentence(date)).collect()
    };
    notes.push(Notice::new(words::NEXT_DATES, dates.join(" ")));
    notes
}

fn sky(facts: &Facts) -> String {
    let mut sentences: Vec<String> =
        facts.up_tonight.iter().map(|up| as_sentence(&format!("{}: {}", up.label, up.value))).collect();
    if !facts.not_up.is_empty() {
        sentences.push(as_sentence(&format!("{}: {}", words::EASY_NOT_UP, listed(&facts.not_up, ','))));
    }
    sentences.join(" ")
}

fn at_home(home: &AtHome) -> Notice {
    let told = |sights: &[Notice]| {
        let sight = |sight: &Notice| as_sentence(&format!("{}: {}", sight.label, sight.value));
        sights.iter().map(sight).collect::<Vec<_>>().join(" ")
    };
    let mut sentences = if home.sights.is_empty() {
        short_sentences(words::NOTHING_AT_HOME, MOST_WORDS)
    } else {
        vec![told(&home.sights)]
    };
    if !home.later.is_empty() {
        sentences.extend([later_words(home).to_owned(), told(&home.later)]);
    }
    Notice::new(format!("{}, around {}", words::EASY_HOME_LABEL, home.around), sentences.join(" "))
}

/// What a thing is and what to look for.
fn sentences(shown: &Shown) -> Vec<String> {
    let mut sentences = Vec::new();
    // A place on the Moon says so in its own line.
    let kind = shown.kind.filter(|_| !shown.on_the_moon).map_or("", words::easy_kind);
    sentences.extend((!kind.is_empty()).then(|| kind.to_owned()));
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
    sentences
}
