//! The host's card: at this minute say these few words.

use super::queue_card::line_closes;
use super::shorten::{within_words, word_count};
use super::{Page, clock, heading, texts};
use crate::plan::{Stop, What, queue, told_passes};
use crate::sheet::head::{LONGEST_WAIT, clock_change_notice};
use crate::sheet::satellite_words::{about, pass_mark};
use crate::sheet::{Block, Leaf, LeafKind, LeafTable, numbers};
use crate::time::Instant;

/// Points of its text: read in the dark while talking.
const HOST_PT: f32 = 14.0;
/// The most words of a cue.
pub(super) const MOST_WORDS: usize = 7;
/// All are told so many minutes before doors close. Common practice, no source.
const LAST_LOOK_MINUTES: f64 = 15.0;

/// Words to say at an instant, and about what.
struct Cue {
    at: Instant,
    say: String,
    about: String,
}

pub(super) fn host_card(page: &Page<'_>) -> Leaf {
    page.leaf(LeafKind::HostCard, "Host card: what to say when", HOST_PT, blocks(page))
}

fn blocks(page: &Page<'_>) -> Vec<Block> {
    let row = |cue: Cue| vec![clock(page.names, cue.at), cue.say, cue.about];
    let cues = cues(page);
    let table = LeafTable {
        summary: "At each time on the clock, the words to say and the stop they belong to.".to_owned(),
        heads: texts(&["At", "Say", "About"]),
        rows: cues.into_iter().map(row).collect(),
        shares: vec![0.9, 4.0, 3.0],
        may_stand_below: None,
        filled_in: &[],
    };
    let mut blocks = Vec::new();
    if page.called_off() {
        blocks.push(Block::Large("No-go: see the Cloud card".to_owned()));
    }
    blocks.extend(clock_change_notice(page.names).map(|notice| Block::Facts(vec![notice])));
    blocks.push(Block::Table(table));
    if !page.called_off() {
        blocks.extend(line(page));
    }
    blocks.extend([
        heading("At any time"),
        Block::List(texts(&[
            "Late arrivals get the safety talk before anything else.",
            "Say 'white light' before any lamp goes on.",
        ])),
    ]);
    blocks
}

/// The line in a line; whoever keeps it has a card of their own.
fn line(page: &Page<'_>) -> [Block; 2] {
    let longest = page.sheet.head.iter().find(|notice| notice.label == LONGEST_WAIT);
    let told = longest.map_or_else(
        || "Nobody waits long.".to_owned(),
        |longest| format!("{}: {}.", LONGEST_WAIT, longest.value),
    );
    [heading("The line"), Block::Text(format!("{told} The Queue card has the rest."))]
}

/// All cues in order of time; where the evening was called off, those that need no sky.
fn cues(page: &Page<'_>) -> Vec<Cue> {
    let (names, doors) = (page.names, page.names.prepared.doors);
    let called_off = page.called_off();
    let minutes = queue(names.evening, names.prepared, names.materials);
    let mut cues = Vec::new();
    let stops: Vec<&Stop> =
        names.evening.order.stops().iter().filter(|stop| !called_off || stop.show().is_none()).collect();
    if stops.first().is_none_or(|first| first.start() > doors.start()) {
        let say =
            if called_off { "Welcome. Tonight we stay indoors." } else { "Welcome. Red light only, please." };
        cues.push(Cue { at: doors.start(), say: say.to_owned(), about: "Doors open".to_owned() });
    }
    for stop in stops {
        let about = names.stop_phrase(stop.id);
        cues.push(Cue { at: stop.start(), say: say(page, stop), about: about.clone() });
        if let Some(at) = line_closes(page, stop, &minutes).filter(|at| *at > stop.start()) {
            cues.push(Cue { at, say: "Last ones in this line, please.".to_owned(), about });
        }
    }
    let last_look = doors.end().plus_minutes(-LAST_LOOK_MINUTES);
    let shows = || names.evening.order.stops().iter().filter(|stop| stop.show().is_some());
    let shown = shows().map(Stop::end).max();
    let entries = names.evening.order.stops().iter().filter(|stop| stop.show().is_none());
    // What closes the evening has words of its own.
    let mut closing = entries.filter(|entry| shown.is_some_and(|shown| entry.start() >= shown));
    let is_closing = closing.any(|entry| entry.start() <= last_look);
    if last_look > doors.start() && !called_off && !is_closing {
        let looks = if shown.is_some_and(|shown| shown > last_look) { "Last looks. " } else { "" };
        let say = format!("{looks}We close in {} minutes.", numbers::decimal(LAST_LOOK_MINUTES, 0));
        cues.push(Cue { at: last_look, say, about: "Doors close".to_owned() });
    }
    if !called_off {
        cues.extend(passes(page));
    }
    cues.sort_by_key(|cue| cue.at);
    cues
}

/// Satellites that pass while doors are open: all can look up, wherever they wait.
fn passes(page: &Page<'_>) -> impl Iterator<Item = Cue> {
    let prepared = page.names.prepared;
    let (told, _) = told_passes(&prepared.satellites);
    let told = told.into_iter().filter(|(_, pass)| prepared.doors.contains(pass.seen.0.at));
    told.map(|(event, pass)| {
        let (first, last) = &pass.seen;
        let until = clock(page.names, last.at);
        Cue {
            at: first.at,
            say: format!("Look up: a satellite from the {}.", numbers::compass_word(first.azimuth)),
            about: format!("{}, {}until {until}", pass_mark(event), about(pass)),
        }
    })
}

/// The cue of a stop, at most seven words; its name where it has none.
fn say(page: &Page<'_>, stop: &Stop) -> String {
    let cue = match &stop.what {
        What::Show(show) => page.names.target(&show.target).map(|(_, target)| target.words.cue.as_str()),
        What::Entry { cue, .. } => Some(cue.as_str()),
    };
    match cue.unwrap_or_default().trim() {
        "" => {
            let named = format!("Now: {}", page.names.stop_title(stop));
            if word_count(&named) <= MOST_WORDS { named } else { within_words(&named, MOST_WORDS) }
        }
        cue => within_words(cue, MOST_WORDS),
    }
}
