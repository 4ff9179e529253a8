//! What only the Board says.

use evenfall_core::sheet::numbers;
use evenfall_core::units::SurfaceBrightness;

/// The hours in UTC: the button, what it does, and the name of the row.
pub const UTC: &str = "UTC";
pub const UTC_HINT: &str = "A second row of hours, in UTC (Z)";
pub const CLOCK_UTC: &str = "Clock UTC";
/// The lane of the telescope.
pub const TELESCOPE: &str = "Telescope";
/// Minutes kept free.
pub const SLACK: &str = "Slack";
pub const SLACK_HINT: &str = "Minutes within doors that neither stops nor moves take";
/// A stretch in which a part of the sky is closed.
pub const CLOSED_SKY: &str = "Closed sky";
/// The same beside a path or on a stop.
pub const CLOSED_HERE: &str = "closed sky";
/// Why drafting anew is offered where something can't stand.
pub const MEND_HINT: &str =
    "Lay the running order out anew around everything that is held, without what can't stand";

/// The slack and its share of the evening.
pub fn slack(free_minutes: f64, share_percent: f64) -> String {
    format!("{SLACK} {}, {}", numbers::minutes(free_minutes), numbers::percent_down(share_percent))
}

/// The slack where there is little room.
pub fn slack_short(free_minutes: f64) -> String {
    format!("slack {}", numbers::minutes(free_minutes))
}

/// Stoppers that a new draft would be without.
pub fn draft_to_mend(stoppers: usize) -> String {
    format!("{}: draft anew to mend", numbers::count(stoppers, "Stopper", "Stoppers"))
}

/// The same where there is little room.
pub fn draft_to_mend_short(stoppers: usize) -> String {
    format!("{}: draft anew", numbers::count(stoppers, "Stopper", "Stoppers"))
}

/// Stoppers that no draft mends.
pub fn held_stoppers(stoppers: usize) -> String {
    format!("{} on what is held", numbers::count(stoppers, "Stopper", "Stoppers"))
}

/// A closed part of the sky and the stops that run into it.
pub fn closed_sky(part: &str, stops: &[String]) -> String {
    match stops {
        [] => format!("{CLOSED_SKY}: {part}; no stop runs into it"),
        _ => format!("{CLOSED_SKY}: {part}; in it {}", stops.join(", ")),
    }
}

/// The first airmass that is told along a path, with the altitude it has there; numbers alone follow.
pub fn airmass(airmass: &str, altitude: &str) -> String {
    format!("{altitude} up, {}", airmass_alone(airmass))
}

/// The same where there is little room.
pub fn airmass_alone(airmass: &str) -> String {
    format!("airmass {airmass}")
}

/// How high a stop's target stands when it begins and ends.
pub fn altitudes(from: &str, to: &str) -> String {
    format!("altitude {from} to {to}")
}

/// The move to a stop: its parts, and when the telescope is ready.
pub fn move_to(title: &str, total: &str, parts: &str, ready: &str) -> String {
    format!("Move to {title}: {total} ({parts}), ready {ready}")
}

/// The same without the stop that it leads to.
pub fn move_of(total: &str, parts: &str, ready: &str) -> String {
    format!("Move {total} ({parts}), ready {ready}")
}

/// A move without its parts.
pub fn move_until(total: &str, ready: &str) -> String {
    format!("Move {total}, ready {ready}")
}

/// How much of the Moon is lit, and when; the longest first.
pub fn lit(share: &str, clock: &str) -> [String; 3] {
    [format!("{share} lit at {clock}"), format!("{share} at {clock}"), format!("{share} lit")]
}

/// The brightness of the sky at the zenith, in few words.
pub fn zenith(zenith: SurfaceBrightness) -> String {
    format!("zenith\u{a0}{}", numbers::decimal(zenith.0, 1))
}

/// What begins a move in words, before its parts are listed.
pub fn move_begins(title: &str, total: &str) -> String {
    format!("To {title}, {total}:")
}

/// When the telescope is ready.
pub fn ready(clock: &str) -> String {
    format!("ready {clock}")
}

/// What the telescope does through the evening, and how much is kept free.
pub fn telescope(moves: usize, moving: &str, slack: &str) -> String {
    format!("{TELESCOPE}: {}, {moving} in all; {slack}", numbers::count(moves, "move", "moves"))
}
