//! Passes of satellites in words: for the run sheet with degrees, for visitors with fists.

use super::{Names, Notice, numbers};
use crate::elements::SATELLITE_STALE_DAYS;
use crate::events::Pass;
use crate::plan::{SatelliteEvent, SatelliteNews, told_passes};
use crate::time::Instant;
use crate::units::Angle;

/// Nearer to the zenith than this a direction says nothing.
const OVERHEAD: Angle = Angle::from_degrees(80.0);

/// The label of a satellite in the head of the run sheet.
pub(crate) fn satellite_label(name: &str) -> String {
    format!("Satellite {name}")
}

/// The passes of the evening for the run sheet, one notice each, and what is not told.
pub(super) fn satellite_notices(names: &Names<'_>) -> Vec<Notice> {
    let (told, more) = told_passes(&names.prepared.satellites);
    let mut notices: Vec<Notice> = told
        .iter()
        .map(|(event, pass)| Notice::new(satellite_label(&event.name), pass_words(names, pass)))
        .collect();
    if more > 0 {
        let more = numbers::count(more, "more pass", "more passes");
        notices.push(Notice::new("Satellites", format!("{more}, not as high")));
    }
    notices.extend(outdated(names));
    notices
}

/// Satellites of the catalogue whose elements are too old for the evening, in one line; `None` where there are none.
pub fn outdated_satellites(names: &Names<'_>) -> Option<String> {
    outdated(names).map(|Notice { label, value }| format!("{label}: {value}"))
}

fn outdated(names: &Names<'_>) -> Option<Notice> {
    let mut outdated: Vec<(f64, &str)> = Vec::new();
    for event in &names.prepared.satellites {
        if let SatelliteNews::TooOld { age_days } = event.news {
            outdated.push((age_days, &event.name));
        }
    }
    match outdated[..] {
        [] => None,
        [(age_days, name)] => {
            let days = age_days.round();
            let words = format!(
                "its elements are {days} days from their epoch, too old for times: bring in new ones"
            );
            Some(Notice::new(satellite_label(name), words))
        }
        _ => {
            let count = outdated.len();
            let words = format!("the elements of {count} are too old for times: bring in new ones");
            Some(Notice::new("Satellites", words))
        }
    }
}

/// The passes of the evening for visitors.
pub(super) fn satellites_for_visitors(names: &Names<'_>) -> Vec<Notice> {
    let local = &names.prepared.night.local;
    let clock = |at| numbers::clock(local.local(at));
    let (told, _) = told_passes(&names.prepared.satellites);
    told.iter()
        .map(|(event, pass)| {
            let (first, last) = &pass.seen;
            let top = pass.seen_highest;
            let way = if top.altitude >= OVERHEAD {
                "highest almost overhead".to_owned()
            } else {
                let fists = numbers::count(numbers::fists(top.altitude) as usize, "fist", "fists");
                format!("highest in the {}, {fists} up", numbers::compass_word(top.azimuth))
            };
            let from = numbers::compass_word(first.azimuth);
            let value = format!(
                "a moving light from {}{} to {}, from the {from}, {way}",
                about(pass),
                clock(first.at),
                clock(last.at)
            );
            Notice::new(event.name.clone(), value)
        })
        .collect()
}

/// The passes that are told one by one, each with when it is first seen, for pages that tell them in their place among the stops:
/// `20:13 Mill Pond passes, from the west to the south-east, highest 46° in the south at 20:15`.
pub(super) fn passes_in_place(names: &Names<'_>) -> Vec<(Instant, String)> {
    let local = &names.prepared.night.local;
    let clock = |at| numbers::clock(local.local(at));
    let (told, _) = told_passes(&names.prepared.satellites);
    told.into_iter()
        .map(|(event, pass)| {
            let (first, last) = &pass.seen;
            let (from, to) = (numbers::compass_word(first.azimuth), numbers::compass_word(last.azimuth));
            let words = format!(
                "{}{} {}, from the {from} to the {to}, {} at {}",
                about(pass),
                clock(first.at),
                pass_mark(event),
                highest(pass),
                clock(pass.seen_highest.at)
            );
            (first.at, words)
        })
        .collect()
}

/// `about ` where its elements are so old that its times may be minutes off.
pub(super) fn about(pass: &Pass) -> &'static str {
    if pass.age_days > SATELLITE_STALE_DAYS { "about " } else { "" }
}

/// `highest 46° in the south`.
fn highest(pass: &Pass) -> String {
    let top = pass.seen_highest;
    let height = numbers::degrees(top.altitude);
    if top.altitude >= OVERHEAD {
        format!("highest {height}, almost overhead")
    } else {
        format!("highest {height} in the {}", numbers::compass_word(top.azimuth))
    }
}

/// A pass beside a moment of the evening: `Mill Pond passes`.
pub fn pass_mark(event: &SatelliteEvent) -> String {
    format!("{} passes", event.name)
}

/// `20:13 to 20:17 GMT from the west, highest 46° in the south at 20:15, into the Earth's shadow at 20:17`.
fn pass_words(names: &Names<'_>, pass: &Pass) -> String {
    let local = &names.prepared.night.local;
    let clock = |at| numbers::clock(local.local(at));
    let (first, last) = &pass.seen;
    let from = numbers::compass_word(first.azimuth);
    let begins = if pass.leaves_shadow {
        format!("out of the Earth's shadow in the {from}")
    } else {
        format!("from the {from}")
    };
    let highest = highest(pass);
    let towards = numbers::compass_word(last.azimuth);
    let ends = if pass.enters_shadow {
        format!("into the Earth's shadow in the {towards} at {}", clock(last.at))
    } else {
        format!("down in the {towards}")
    };
    let age = if pass.age_days > SATELLITE_STALE_DAYS {
        format!(
            "; its elements are {} days from their epoch: it may come minutes early or late",
            pass.age_days.round()
        )
    } else {
        String::new()
    };
    let (start, end) = (clock(first.at), numbers::clock_with_zone(local, last.at));
    format!("{start} to {end} {begins}, {highest} at {}, {ends}{age}", clock(pass.seen_highest.at))
}
