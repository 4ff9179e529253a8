//! The Call card: go or no-go by the site's limits, when, by whom; and who is called for which hours.

use super::cloud_card::INDOORS;
use super::crew::{CREW, Role, decision, decision_to_fill_in};
use super::{Page, STAFF_PT, clock, heading, texts};
use crate::sheet::{Block, Leaf, LeafKind, Notice, numbers};
use crate::time::Instant;

pub(super) fn call_card(page: &Page<'_>) -> Leaf {
    page.leaf(LeafKind::CallCard, "Call card: go or no-go", STAFF_PT, blocks(page))
}

/// A number of minutes before doors, on the clock with its zone, and with its day where that is not the evening's.
fn before_doors(page: &Page<'_>, minutes: f64) -> String {
    let at = before(page, minutes);
    format!("{}{}", other_day(page, at), page.names.clock(at))
}

/// The day of an instant that is not on the evening's date, such as `Friday 12 March, `.
fn other_day(page: &Page<'_>, at: Instant) -> String {
    let date = page.names.prepared.night.local.local(at).date_naive();
    if date == page.names.evening.date { String::new() } else { date.format("%A %-d %B, ").to_string() }
}

fn before(page: &Page<'_>, minutes: f64) -> Instant {
    page.names.prepared.doors.start().plus_minutes(-minutes)
}

/// When go or no-go is decided, on the clock with its zone.
pub(super) fn decided_hour(page: &Page<'_>) -> String {
    before_doors(page, page.names.evening.call.decide_before_minutes)
}

fn blocks(page: &Page<'_>) -> Vec<Block> {
    let (evening, doors) = (page.names.evening, page.names.prepared.doors);
    let call = &evening.call;
    let mut blocks = vec![Block::Facts(vec![
        Notice::new("To decide at", decided_hour(page)),
        Notice::new("Crew there at", before_doors(page, call.crew_before_minutes)),
        Notice::new("Doors", numbers::clock_span(&page.names.prepared.night.local, doors)),
        Notice::new("Visitors", numbers::count(evening.house.visitors as usize, "expected", "expected")),
    ])];
    blocks.extend([
        heading("No-go at any of these"),
        Block::Facts(page.sheet.limits.clone()),
        Block::Text("At a limit the dome stays closed. In doubt the night lead says no.".to_owned()),
        heading("Decision"),
    ]);
    match decided(page) {
        Some(decided) => blocks.extend(decided),
        None => blocks.extend(decision_to_fill_in()),
    }
    blocks.push(Block::FillIn(texts(&[
        "Wind now, sustained (km/h)",
        "Humidity now (%)",
        "Cloud now (% of the sky)",
        "Rain or thunder near",
        "Reason",
        "Told to (crew, door, visitor line), at what time",
        "Changed to, at, by",
    ])));
    blocks.extend([
        heading("Who is called"),
        Block::Text(
            "At least three trained people before doors open. The night lead is never also the operator. The eyepiece host is \
             relieved every 45 to 60 minutes."
                .to_owned(),
        ),
    ]);
    if page.called_off() {
        blocks.push(Block::Text(
            "No-go: operator and eyepiece host help indoors, the line host stands at the door. Dome and telescope stay \
             closed and parked."
                .to_owned(),
        ));
    }
    blocks.push(Block::FillIn(calls(page)));
    blocks
}

/// What was decided, large, and what happens then; `None` while it is open.
fn decided(page: &Page<'_>) -> Option<Vec<Block>> {
    let (words, facts) = decision(page)?;
    let mut blocks = vec![Block::Large(words.to_owned())];
    if !facts.is_empty() {
        blocks.push(Block::Facts(facts));
    }
    if page.called_off() {
        blocks.push(Block::Text("Instead, indoors:".to_owned()));
        blocks.push(Block::List(texts(&INDOORS)));
    }
    Some(blocks)
}

/// The roles, each with its hours, as lines for a name; three trained before doors open by a published policy of a public
/// observatory.
fn calls(page: &Page<'_>) -> Vec<String> {
    let (prepared, call) = (page.names.prepared, &page.names.evening.call);
    let called = |minutes| {
        let at = before(page, minutes);
        format!("{}{}", other_day(page, at), clock(page.names, at))
    };
    let crew = called(call.crew_before_minutes);
    let decide = called(call.decide_before_minutes.max(call.crew_before_minutes));
    let end = clock(page.names, prepared.doors.end());
    // Doors may close after the park: nobody goes before the last visitor.
    let park = page.names.materials.site.park_closes.and_then(|time| prepared.night.local.at(time).ok());
    let gate = clock(page.names, park.map_or(prepared.doors.end(), |park| park.max(prepared.doors.end())));
    let line = |role: &Role| {
        let from = if role.decides { &decide } else { &crew };
        let until = if role.until_the_gate { &gate } else { &end };
        let people = if role.people(page) > 1 { ", two people" } else { "" };
        format!("{}{people}, {from} to {until} ({})", role.name, role.does)
    };
    CREW.iter().map(line).collect()
}
