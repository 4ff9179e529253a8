//! What only the shaping of the evening by hand says: what a drop would do, the switch for the rest, what can be inserted.

use std::fmt::Write;

use evenfall_core::plan::{EntryKind, Finding, Severity, Stop, merit};
use evenfall_core::sheet::wording::{severity_word, view_word};
use evenfall_core::sheet::{Names, finding_sentence, numbers};
use evenfall_core::units::Fraction;

use crate::state::{Drag, OpenEvening, Trial};

/// The switch for what comes later.
pub const RIPPLE: &str = "Move the rest along";
/// What it does.
pub const RIPPLE_HINT: &str = "When a stop is moved, made longer or shorter, inserted or removed, later stops that are not \
                               held make room or move up. What is held keeps its minute. Key: M";
/// Inserts an entry.
pub const INSERT: &str = "Insert…";
/// The same in full.
pub const INSERT_NAME: &str = "Insert an interval or talk…";
/// Splits a stop.
pub const SPLIT: &str = "Split";
/// The same in full.
pub const SPLIT_NAME: &str = "Split in two";

/// What can be inserted, in few words.
pub const fn kind_words(kind: EntryKind) -> &'static str {
    match kind {
        EntryKind::Welcome => "Welcome",
        EntryKind::Talk => "Talk or naked-eye time",
        EntryKind::Interval => "Interval",
        EntryKind::ScreenTalk => "Talk at the screen",
        EntryKind::Closing => "Closing",
    }
}

/// What letting go here would do: `The Moon: 21:10 to 21:32 GMT, 22 min, Eyepiece, shows well. Moves 3 other stops.`, then
/// what would be wrong.
pub fn drop_words(open: &OpenEvening, drag: &Drag, trial: Option<&Trial>) -> String {
    if drag.cancelled {
        return "Let go: nothing changes.".to_owned();
    }
    let Some((trial, stop)) = trial.and_then(|trial| Some((trial, trial.evening.order.get(trial.stop?)?)))
    else {
        return "Let go over a lane of the Board to bring it on there. Escape cancels.".to_owned();
    };
    let night = &open.derived.prepared.night.local;
    let span = numbers::clock_span(night, stop.interval);
    let length = numbers::minutes(stop.interval.minutes());
    let mut words = format!("{}: {span}, {length}", open.title(stop));
    if let Some((port, view)) = view_of(open, stop) {
        let _ = write!(words, ", {port}, {}", view_word(view));
    }
    words.push('.');
    match trial.moved.len() {
        0 => {}
        1 => words.push_str(" Moves 1 other stop."),
        others => {
            let _ = write!(words, " Moves {others} other stops.");
        }
    }
    if let Some(trouble) = trouble(open, trial, stop) {
        let _ = write!(words, " {trouble}");
    }
    words
}

/// Through which port a stop is shown and how well at its worst minute.
fn view_of<'o>(open: &'o OpenEvening, stop: &Stop) -> Option<(&'o str, Fraction)> {
    let (index, _) = open.target(stop)?;
    let port = open.document.stock.rig.port(&stop.show()?.port)?;
    let merits = merit(&open.derived.prepared, &open.document.stock.materials(), index, stop.interval);
    let own = merits.into_iter().find(|merit| merit.choice.port == port.id);
    Some((port.name.as_str(), own.map_or(Fraction::ZERO, |merit| merit.view)))
}

/// The gravest finding of the stop put down, else a Stopper that comes new to another one.
fn trouble(open: &OpenEvening, trial: &Trial, stop: &Stop) -> Option<String> {
    let own = trial.findings.iter().find(|finding| finding.stop == Some(stop.id));
    let is_new = |finding: &&Finding| {
        finding.severity == Severity::Stopper && !open.derived.findings.contains(finding)
    };
    let finding = own.or_else(|| trial.findings.iter().find(is_new))?;
    let materials = open.document.stock.materials();
    let names = Names::new(&trial.evening, &open.derived.prepared, &materials);
    let other = finding.stop.filter(|other| *other != stop.id);
    let other = other.and_then(|other| trial.evening.order.get(other)).map(|other| open.title(other));
    let whose = other.map_or_else(String::new, |title| format!(" ({title})"));
    Some(format!("{}{whose}: {}", severity_word(finding.severity), finding_sentence(finding, &names).0))
}
