//! The host's card: at this minute say these few words.

use super::shorten::{within_words, word_count};
use super::{Page, heading, texts};
use crate::plan::{Stop, What, humane_wait_minutes};
use crate::rig::Port;
use crate::sheet::head::LONGEST_WAIT;
use crate::sheet::{Block, Leaf, LeafKind, LeafTable, numbers};
use crate::time::Instant;

/// Points of its text: read in the dark while talking.
const HOST_PT: f32 = 14.0;
/// The most words of a cue.
pub(super) const MOST_WORDS: usize = 7;
/// The last of a line are told so many minutes before a stop ends, and all so many before doors close. Common practice, no
/// source.
const LAST_IN_LINE_MINUTES: f64 = 3.0;
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
    let night = &page.names.prepared.night.local;
    let row = |cue: Cue| vec![numbers::clock(night.local(cue.at)), cue.say, cue.about];
    let table = LeafTable {
        summary: "At each time on the clock, the words to say and the stop they belong to.".to_owned(),
        heads: texts(&["At", "Say", "About"]),
        rows: cues(page).into_iter().map(row).collect(),
        shares: vec![0.9, 4.0, 3.0],
    };
    let longest =
        page.sheet.head.iter().filter(|notice| notice.label == LONGEST_WAIT).cloned().collect::<Vec<_>>();
    let mut blocks = vec![Block::Table(table), heading("The line")];
    if !longest.is_empty() {
        blocks.push(Block::Facts(longest));
    }
    blocks.push(Block::List(vec![
        format!(
            "Longer than {}: offer a second thing to see, such as the screen or the sky with the naked eye.",
            numbers::minutes(humane_wait_minutes(&page.names.evening.house))
        ),
        "Longer than 30 min: hand out numbers, or mark who is the last to look.".to_owned(),
        "Families with small children first; seated visitors when they are ready.".to_owned(),
    ]));
    blocks.extend([
        heading("At any time"),
        Block::List(texts(&[
            "Late arrivals get the safety talk before anything else.",
            "Say 'white light' before any lamp goes on.",
        ])),
    ]);
    blocks
}

fn cues(page: &Page<'_>) -> Vec<Cue> {
    let (names, doors) = (page.names, page.names.prepared.doors);
    let rig = names.materials.rig;
    let mut cues = Vec::new();
    if names.evening.order.stops().first().is_none_or(|first| first.start() > doors.start()) {
        let say = "Welcome. Red light only, please.".to_owned();
        cues.push(Cue { at: doors.start(), say, about: "Doors open".to_owned() });
    }
    for stop in names.evening.order.stops() {
        let about = names.stop_phrase(stop.id);
        cues.push(Cue { at: stop.start(), say: say(page, stop), about: about.clone() });
        let at_eyepiece = stop.show().and_then(|show| rig.port(&show.port)).is_some_and(Port::is_eyepiece);
        if at_eyepiece && stop.interval.minutes() > 2.0 * LAST_IN_LINE_MINUTES {
            let at = stop.end().plus_minutes(-LAST_IN_LINE_MINUTES);
            cues.push(Cue { at, say: "Last ones in this line, please.".to_owned(), about });
        }
    }
    let last_look = doors.end().plus_minutes(-LAST_LOOK_MINUTES);
    if last_look > doors.start() {
        let say = "Last looks. We close in fifteen minutes.".to_owned();
        cues.push(Cue { at: last_look, say, about: "Doors close".to_owned() });
    }
    cues.sort_by_key(|cue| cue.at);
    cues
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
