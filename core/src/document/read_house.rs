//! The visitors of an evening: how many, how long each looks, when they come and leave.

use std::ops::RangeInclusive;

use crate::catalogue::Kind;
use crate::plan::{House, LeavingFault, VisitorPart, leaving_fault};
use crate::reading::Fields;

/// What a look may take, in seconds.
const SECONDS_A_LOOK: RangeInclusive<f64> = 1.0..=600.0;

pub(super) fn read_house(house: &Fields<'_>) -> House {
    let faults_before = house.fault_count();
    let visitors = house.count("visitors", 0..=2000);
    // A count that could not be read says nothing about the others.
    let known = house.fault_count() == faults_before;
    let children = house.count("children", 0..=2000);
    let seated = house.count("seated", 0..=2000);
    if known {
        for (key, count) in [("children", children), ("seated", seated)] {
            if count > visitors {
                let message = format!("{count} is more than all visitors, {visitors}");
                house.fault(key, message, "Count them among the visitors");
            }
        }
    }
    let read = House {
        visitors,
        children,
        seated,
        seconds_a_look: house.number("seconds_a_look", SECONDS_A_LOOK),
        seconds_by_kind: if house.has("seconds_by_kind") { seconds_by_kind(house) } else { Vec::new() },
        skip_percent: house.number("skip_percent", 0.0..=100.0),
        screen_minutes: house.number("screen_minutes", 0.5..=120.0),
        arrivals: if house.has("arrivals") { visitor_parts(house, "arrivals") } else { Vec::new() },
        leaving: house.has("leaving").then(|| visitor_parts(house, "leaving")),
    };
    if house.fault_count() == faults_before {
        told_leaving(house, &read);
    }
    read
}

/// Seconds for one look, each kind once.
fn seconds_by_kind(house: &Fields<'_>) -> Vec<(Kind, f64)> {
    let mut kinds: Vec<Kind> = Vec::new();
    let entries = house.entries("seconds_by_kind", |entry| {
        let kind = entry.word("kind");
        let seconds = entry.number("seconds", SECONDS_A_LOOK);
        let kind = kind?;
        if kinds.contains(&kind) {
            let message = format!("{kind:?} has its seconds already");
            entry.fault("kind", message, "Give each kind once");
        }
        kinds.push(kind);
        Some((kind, seconds))
    });
    entries.into_iter().map(|(_, entry)| entry).collect()
}

fn visitor_parts(house: &Fields<'_>, key: &'static str) -> Vec<VisitorPart> {
    let parts = house.entries(key, |part| {
        let from_minutes = part.number("from_min", 0.0..=900.0);
        let until_minutes = part.number("until_min", 0.0..=900.0);
        if until_minutes < from_minutes {
            let message =
                format!("the last of them, at {until_minutes} min, before the first, at {from_minutes} min");
            part.fault("until_min", message, "Give a minute not before from_min");
        }
        Some(VisitorPart { from_minutes, until_minutes, percent: part.number("percent", 0.1..=100.0) })
    });
    parts.into_iter().map(|(_, part)| part).collect()
}

/// Tells where more leave than have come.
fn told_leaving(house: &Fields<'_>, read: &House) {
    let percent = |percent: f64| format!("{percent:.0} percent");
    match leaving_fault(read) {
        None => {}
        Some(LeavingFault::MoreThanAll { percent: all }) => {
            let message = format!("{} of the visitors leave in all", percent(all));
            house.fault(
                "leaving",
                message,
                "Give shares that sum to 100 percent at most; the rest stays to the end",
            );
        }
        Some(LeavingFault::BeforeComing { part, minute, left_percent, come_percent }) => {
            let (left, come) = (percent(left_percent), percent(come_percent));
            let message =
                format!("{left} have left by {minute:.0} min after doors open, when {come} have come");
            house.item_fault("leaving", part, message, "Let them leave later, or come earlier");
        }
    }
}
