//! The head of the run sheet: what sky, park and doors decide about the evening.

use chrono::Duration;

use super::numbers;
use super::rule_words::closed_sky_words;
use super::satellite_words::satellite_notices;
use super::wording::{Twilight, phase_word};
use super::{Names, Notice};
use crate::events::{Crossings, Direction, Night};
use crate::plan::{Decision, House, StopTiming, free_minutes, longest_wait, queue};
use crate::time::{Instant, LocalNight};

/// The label of the longest wait, which the cards of host and line repeat.
pub(super) const LONGEST_WAIT: &str = "Longest wait";
/// The label of when doors are open.
pub(super) const DOORS: &str = "Doors";
/// The label of how many are expected.
pub(super) const VISITORS: &str = "Visitors";

/// Sunset, dusk, dark, Moon, doors, slack, longest wait, park closing, contact, closed sky, satellites, clock change.
pub(super) fn head(names: &Names<'_>, timings: &[StopTiming]) -> Vec<Notice> {
    let night = &names.prepared.night;
    let mut notices = vec![
        Notice::new(DOORS, numbers::clock_span(&night.local, names.prepared.doors)),
        Notice::new(VISITORS, visitors(&names.evening.house)),
    ];
    notices.extend(called(names));
    notices.push(Notice::new("Sunset", sunset(night)));
    for (twilight, crossings) in [
        (Twilight::Civil, &night.civil),
        (Twilight::Nautical, &night.nautical),
        (Twilight::Astronomical, &night.astronomical),
    ] {
        notices.push(Notice::new(
            twilight.dusk(),
            format!("{} ({})", dusk(night, crossings), twilight.meaning()),
        ));
    }
    if night.dark.is_none() {
        notices.push(Notice::new("Dark", never_dark(night)));
    }
    let (middle, lit) = names.prepared.moon_illuminated_at_mid();
    notices.push(Notice::new(
        "Moon",
        format!(
            "{}, {} lit at {}, {}",
            phase_word(night.moon_phase),
            numbers::percent(lit),
            numbers::clock(night.local.local(middle)),
            moon(night)
        ),
    ));
    notices.push(Notice::new("Slack", slack(names, timings)));
    if let Some(wait) = longest_wait(&queue(names.evening, names.prepared, names.materials)) {
        let stop = wait.stop.map(|stop| names.stop_phrase(stop)).unwrap_or_default();
        let clock = names.clock(wait.instant);
        let sitting_minutes = wait.wait_minutes - wait.standing_minutes;
        let sitting = (sitting_minutes >= 0.5)
            .then(|| format!(" ({} of it at the screen)", numbers::minutes(sitting_minutes)));
        notices.push(Notice::new(
            LONGEST_WAIT,
            format!(
                "{}{} at {clock}, {stop}",
                numbers::minutes(wait.wait_minutes),
                sitting.unwrap_or_default()
            ),
        ));
    }
    if let Some(time) = names.materials.site.park_closes {
        let value = night.local.at(time).map_or_else(
            |_| time.format("%H:%M").to_string(),
            |instant| numbers::clock_with_zone(&night.local, instant),
        );
        notices.push(Notice::new("Park closes", value));
    }
    let contact = &names.materials.site.visitors.contact;
    if !contact.is_empty() {
        notices.push(Notice::new("Contact", contact.clone()));
    }
    let closed_sky = names.evening.wishes.closed_sky.iter();
    notices.extend(closed_sky.map(|closed| Notice::new("Closed sky", closed_sky_words(closed))));
    notices.extend(satellite_notices(names));
    notices.extend(clock_change_notice(names));
    notices
}

/// Go or no-go, once it is decided.
fn called(names: &Names<'_>) -> Option<Notice> {
    let call = &names.evening.call;
    let decision = match call.decision {
        Decision::Open => return None,
        Decision::Go => "Go",
        Decision::NoGo => "No-go: nothing below is shown",
    };
    let at = call.decided_at.map(|time| format!("at {}", time.format("%H:%M")));
    let by = (!call.decided_by.is_empty()).then(|| format!("by {}", call.decided_by));
    let told: Vec<String> = [decision.to_owned()].into_iter().chain(at).chain(by).collect();
    Some(Notice::new("Call", told.join(", ")))
}

/// That the clocks change this night, and when; `None` on all others.
pub(super) fn clock_change_notice(names: &Names<'_>) -> Option<Notice> {
    let local = &names.prepared.night.local;
    local.clock_change().map(|change| Notice::new("Clocks change", clock_change(local, change)))
}

fn visitors(house: &House) -> String {
    let expected = [format!("{} expected", house.visitors)];
    let children = (house.children > 0).then(|| format!("{} of them children", house.children));
    let seated = (house.seated > 0).then(|| format!("{} seated", house.seated));
    expected.into_iter().chain(children).chain(seated).collect::<Vec<_>>().join(", ")
}

fn sunset(night: &Night) -> String {
    match (&night.sun, night.sun.going(Direction::Down).first()) {
        (Crossings::AlwaysBelow, _) => "the Sun does not rise".to_owned(),
        (Crossings::At(_), Some(set)) => numbers::clock_with_zone(&night.local, *set),
        (Crossings::AlwaysAbove, _) | (Crossings::At(_), None) => "the Sun does not set".to_owned(),
    }
}

fn dusk(night: &Night, crossings: &Crossings) -> String {
    match (crossings, crossings.going(Direction::Down).first()) {
        (Crossings::AlwaysBelow, _) => "darker than this from noon on".to_owned(),
        (Crossings::At(_), Some(dusk)) => numbers::clock_with_zone(&night.local, *dusk),
        (Crossings::AlwaysAbove | Crossings::At(_), _) => "not reached".to_owned(),
    }
}

fn never_dark(night: &Night) -> String {
    let (at, lowest) = night.sun_lowest;
    format!(
        "not reached: the Sun is lowest {}° {} the horizon, at {}",
        numbers::decimal(lowest.degrees().abs(), 1),
        if lowest.degrees() > 0.0 { "above" } else { "below" },
        numbers::clock_with_zone(&night.local, at)
    )
}

fn moon(night: &Night) -> String {
    match &night.moon {
        Crossings::AlwaysAbove => "up all night".to_owned(),
        Crossings::AlwaysBelow => "not up tonight".to_owned(),
        Crossings::At(crossings) => {
            let sunset = night.sun.going(Direction::Down).first().copied();
            let sunrise = night.sun.going(Direction::Up).last().copied();
            let told: Vec<String> = crossings
                .iter()
                .filter(|(at, _)| {
                    sunset.is_none_or(|set| *at >= set) && sunrise.is_none_or(|rise| *at <= rise)
                })
                .map(|(at, direction)| {
                    let word = match direction {
                        Direction::Up => "rises",
                        Direction::Down => "sets",
                    };
                    format!("{word} {}{}", numbers::clock_with_zone(&night.local, *at), day(night, *at))
                })
                .collect();
            if told.is_empty() { moon_through_the_night(crossings, sunset) } else { told.join(", ") }
        }
    }
}

/// The day of an instant, where it is not that of the evening: ` on Sunday`.
fn day(night: &Night, at: Instant) -> String {
    let own = night.local.local(at).date_naive();
    if own == night.local.date() { String::new() } else { own.format(" on %A").to_string() }
}

/// Without a rise or set between sunset and sunrise: by what happened last before sunset, or happens first after it.
fn moon_through_the_night(crossings: &[(Instant, Direction)], sunset: Option<Instant>) -> String {
    let before = crossings.iter().rev().find(|(at, _)| sunset.is_some_and(|set| *at < set));
    let up = match (before, crossings.first()) {
        (Some((_, direction)), _) => *direction == Direction::Up,
        (None, Some((_, direction))) => *direction == Direction::Down,
        (None, None) => false,
    };
    if up { "up all night".to_owned() } else { "not up tonight".to_owned() }
}

/// The time left over, as the check counts it.
fn slack(names: &Names<'_>, timings: &[StopTiming]) -> String {
    let doors = names.prepared.doors;
    let free = free_minutes(&names.evening.order, timings, doors);
    format!(
        "{} free, {} of the evening ({} wished)",
        numbers::minutes(free),
        numbers::percent_down(100.0 * free / doors.minutes().max(1.0)),
        numbers::percent_of(names.evening.programme.slack_percent)
    )
}

/// `at 01:00 GMT the clock goes to 02:00 BST`.
fn clock_change(local: &LocalNight, change: Instant) -> String {
    let before = change.plus_seconds(-1.0);
    let old_clock = local.local(before).naive_local() + Duration::seconds(1);
    format!(
        "at {} {} the clock goes to {}",
        old_clock.format("%H:%M"),
        local.zone_label(before),
        numbers::clock_with_zone(local, change)
    )
}
