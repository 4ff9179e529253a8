//! What only the shaping of the evening by hand says: what a drop would do, the switch for the rest, what can be inserted.

use std::fmt::Write;

use evenfall_core::plan::{EntryKind, Finding, Rule, Severity, Stop, worst_view};
use evenfall_core::sheet::wording::{severity_word, view_word};
use evenfall_core::sheet::{Names, finding_sentence, finding_word, numbers};
use evenfall_core::units::Fraction;

use crate::state::{Drag, Dragged, OpenEvening, Trial};

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
    let length = length_words(open, drag, stop);
    let mut words = format!("{}: {span}, {length}", open.title(stop));
    if let Some((port, view)) = view_of(open, stop) {
        let _ = write!(words, ", {port}, {}", view_word(view));
    }
    words.push('.');
    words.push_str(&moved_words(trial));
    for what in wrong(open, trial, stop) {
        let _ = write!(words, " {what}");
    }
    words
}

/// The same where there is little room, as all of it stands beside what is dragged: `21:10 to 21:32 GMT. Moves 3 other stops.
/// Stopper: overlaps.`
pub fn short_drop_words(open: &OpenEvening, drag: &Drag, trial: Option<&Trial>) -> String {
    let Some((trial, stop)) = trial.and_then(|trial| Some((trial, trial.evening.order.get(trial.stop?)?)))
    else {
        return drop_words(open, drag, trial);
    };
    let mut words = format!("{}.", numbers::clock_span(&open.derived.prepared.night.local, stop.interval));
    words.push_str(&moved_words(trial));
    if let Some(finding) = trouble(open, trial, stop) {
        let _ = write!(words, " {}: {}.", severity_word(finding.severity), finding_word(&finding.rule));
    }
    words
}

/// How many others would move, behind another sentence.
fn moved_words(trial: &Trial) -> String {
    match trial.moved.len() {
        0 => String::new(),
        1 => " Moves 1 other stop.".to_owned(),
        others => format!(" Moves {others} other stops."),
    }
}

/// The words beside a stop under the pointer: when it would be, how long if that changes with its port, what would be wrong.
pub fn dragged_words(open: &OpenEvening, drag: &Drag, trial: &Trial) -> Option<String> {
    let stop = trial.evening.order.get(trial.stop?)?;
    let night = &open.derived.prepared.night.local;
    let mut words = format!("{}, {}", open.title(stop), numbers::clock_span(night, stop.interval));
    if length_before(open, drag, stop).is_some() {
        let _ = write!(words, ", {}", length_words(open, drag, stop));
    }
    for what in wrong(open, trial, stop) {
        let _ = write!(words, "\n{what}");
    }
    Some(words)
}

/// What would be wrong; and whatever else is, that nobody is there to look outside doors.
fn wrong(open: &OpenEvening, trial: &Trial, stop: &Stop) -> Vec<String> {
    let finding = trouble(open, trial, stop);
    let mut wrong: Vec<String> =
        finding.map(|finding| trouble_words(open, trial, stop, finding)).into_iter().collect();
    let prepared = &open.derived.prepared;
    let is_told = finding.is_some_and(|finding| finding.rule == Rule::OutsideDoors);
    if !is_told && !prepared.doors.covers(stop.interval) {
        let doors = numbers::clock_span(&prepared.night.local, prepared.doors);
        wrong.push(format!("Outside doors, which are open {doors}."));
    }
    wrong
}

/// How long a stop would be, beside how long it is where that is not the pointer's doing.
fn length_words(open: &OpenEvening, drag: &Drag, stop: &Stop) -> String {
    let length = numbers::minutes(stop.interval.minutes());
    match length_before(open, drag, stop) {
        Some(before) => format!("{length} instead of {before}"),
        None => length,
    }
}

/// How long a stop is whose length another port changes while its place is under the pointer.
fn length_before(open: &OpenEvening, drag: &Drag, stop: &Stop) -> Option<String> {
    let is_moved = matches!(drag.what, Dragged::Stop(_));
    let before = open.document.evening.order.get(stop.id).filter(|_| is_moved)?;
    let (before, after) = (before.interval.minutes(), stop.interval.minutes());
    (before.round() != after.round()).then(|| numbers::minutes(before))
}

/// Through which port a stop is shown and how well at its worst minute.
fn view_of<'o>(open: &'o OpenEvening, stop: &Stop) -> Option<(&'o str, Fraction)> {
    let (index, _) = open.target(stop)?;
    let port = open.document.stock.rig.port(&stop.show()?.port)?;
    let view =
        worst_view(&open.derived.prepared, &open.document.stock.materials(), index, port, stop.interval);
    Some((port.name.as_str(), view))
}

/// The gravest finding of the stop put down, else a Stopper that comes new to another one.
fn trouble<'t>(open: &OpenEvening, trial: &'t Trial, stop: &Stop) -> Option<&'t Finding> {
    let own = trial.judged.findings.iter().find(|finding| finding.stop == Some(stop.id));
    let is_new = |finding: &&Finding| {
        finding.severity == Severity::Stopper && !open.derived.findings.contains(finding)
    };
    own.or_else(|| trial.judged.findings.iter().find(is_new))
}

fn trouble_words(open: &OpenEvening, trial: &Trial, stop: &Stop, finding: &Finding) -> String {
    let materials = open.document.stock.materials();
    let names = Names::new(&trial.evening, &open.derived.prepared, &materials);
    let other = finding.stop.filter(|other| *other != stop.id);
    let other = other.and_then(|other| trial.evening.order.get(other)).map(|other| open.title(other));
    let whose = other.map_or_else(String::new, |title| format!(" ({title})"));
    format!("{}{whose}: {}", severity_word(finding.severity), finding_sentence(finding, &names).0)
}
