//! A caption for the screen and a spoken description for each stop.

use super::shorten::{as_sentence, two_lines, within_words, word_count};
use super::{Page, STAFF_PT, clock};
use crate::catalogue::{Kind, Target};
use crate::plan::{Stop, What};
use crate::rig::Instrument;
use crate::sheet::wording::kind_word;
use crate::sheet::{Block, Leaf, LeafKind, Notice};

/// The most characters of a line of a caption. Common practice, no source: subtitles for broadcast keep to 37 to 42.
pub(super) const MOST_CHARACTERS: usize = 42;
/// The most words of a description: read aloud it takes some 25 seconds.
pub(super) const MOST_WORDS: usize = 60;

pub(super) fn captions(page: &Page<'_>) -> Leaf {
    page.leaf(LeafKind::Captions, "Captions and descriptions", STAFF_PT, blocks(page))
}

fn blocks(page: &Page<'_>) -> Vec<Block> {
    let names = page.names;
    let mut blocks = Vec::new();
    if page.called_off() {
        blocks.push(Block::Text("No-go: none of these is shown tonight. See the Cloud card.".to_owned()));
    }
    blocks.push(Block::Text(
        "For the screen, for an interpreter, and to be said to visitors who do not see the target."
            .to_owned(),
    ));
    if names.evening.order.stops().is_empty() {
        blocks.push(Block::Text("No stops are laid out yet.".to_owned()));
    }
    for (position, stop) in names.evening.order.stops().iter().enumerate() {
        let clock = clock(names, stop.start());
        blocks.push(Block::Subheading(format!("{}. {clock} {}", position + 1, names.stop_title(stop))));
        let (caption, spoken) = words(page, stop);
        let labels = ["Caption, line 1", "Caption, line 2"];
        let lines = labels.into_iter().zip(caption).map(|(label, line)| Notice::new(label, line));
        let picture = picture(page, stop).map(|words| Notice::new("Picture", words));
        blocks.push(Block::Facts(lines.chain(picture).chain([Notice::new("Spoken", spoken)]).collect()));
    }
    blocks
}

/// Where the picture on the screen comes from; `None` where no camera shows one.
fn picture(page: &Page<'_>, stop: &Stop) -> Option<String> {
    let port = page.names.materials.rig.port(&stop.show()?.port)?;
    if !matches!(port.instrument, Instrument::Camera(_)) {
        return None;
    }
    let number = page.names.stop_number(stop.id)?.to_string();
    let row = page.sheet.rows.iter().find(|row| row.number == number)?;
    let gathered = match row.exposure.as_str() {
        "" => String::new(),
        exposure => format!(", gathered for {exposure}"),
    };
    let part = if row.part_seen.is_empty() { "" } else { " A part of it, not the whole." };
    Some(format!("Light from the telescope tonight{gathered}, colours as recorded.{part}"))
}

/// The lines of a stop's caption, and its description.
fn words(page: &Page<'_>, stop: &Stop) -> (Vec<String>, String) {
    let title = page.names.stop_title(stop);
    let target = match &stop.what {
        What::Show(show) => page.names.target(&show.target).map(|(_, target)| target),
        What::Entry { cue, .. } => {
            let cue = if title.contains(cue.as_str()) { "" } else { cue };
            return (two_lines(&title, MOST_CHARACTERS), spoken(&[as_sentence(&title), as_sentence(cue)]));
        }
    };
    let Some(target) = target else {
        return (two_lines(&title, MOST_CHARACTERS), spoken(&[as_sentence(&title)]));
    };
    (caption(target), description(target))
}

/// Name and line, as far as its clauses have room; else name and kind.
fn caption(target: &Target) -> Vec<String> {
    let named = as_sentence(&target.name);
    let with_line = two_lines(format!("{named} {}", target.words.line).trim(), MOST_CHARACTERS);
    if with_line.last().is_some_and(|line| line.ends_with('…')) {
        let kind = kind_word(target.kind);
        return two_lines(&format!("{named} {kind}."), MOST_CHARACTERS);
    }
    with_line
}

/// What it is, what one sees, how far or how large: the most needed first, whole sentences only.
fn description(target: &Target) -> String {
    let name = match target.kind {
        Kind::Moon | Kind::Planet => as_sentence(&target.name),
        kind => format!("{}, {}.", target.name, kind_word(kind).to_lowercase()),
    };
    let words = &target.words;
    let sees = if words.look_for.is_empty() {
        String::new()
    } else {
        as_sentence(&format!("What you see: {}", words.look_for))
    };
    spoken(&[name, as_sentence(&words.line), sees, as_sentence(&words.comparison)])
}

/// Sentences as long as they fit; the first is cut at a word if it alone is too long.
fn spoken(sentences: &[String]) -> String {
    let mut said = String::new();
    for sentence in sentences.iter().filter(|sentence| !sentence.is_empty()) {
        if said.is_empty() {
            said = within_words(sentence, MOST_WORDS);
        } else if word_count(&said) + word_count(sentence) <= MOST_WORDS {
            said.push(' ');
            said.push_str(sentence);
        }
    }
    said
}
