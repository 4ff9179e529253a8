//! The crew of a public night: its roles, what each does and until when, and where what they decide is written down.

use super::{Page, texts};
use crate::plan::Decision;
use crate::sheet::page_words::CHOICES;
use crate::sheet::{Block, Notice, numbers};

/// Above so many visitors a role that may be doubled is. Common practice, no source.
const SECOND_ABOVE: u32 = 50;

/// A role.
pub(super) struct Role {
    /// Its name.
    pub name: &'static str,
    /// What whoever has it does.
    pub does: &'static str,
    /// Whether it begins with the decision, not with the crew.
    pub decides: bool,
    /// Whether it lasts until the last visitor is through the gate.
    pub until_the_gate: bool,
    /// Whether two share it on a full night.
    may_double: bool,
}

impl Role {
    /// How many have it that evening.
    pub fn people(&self, page: &Page<'_>) -> usize {
        if self.may_double && page.names.evening.house.visitors > SECOND_ABOVE { 2 } else { 1 }
    }
}

/// The roles of a public night. Common practice, no source.
pub(super) const CREW: [Role; 8] = [
    Role { decides: true, until_the_gate: true, ..role("Night lead", "go or no-go, safety, clock") },
    Role { until_the_gate: true, ..role("Telescope operator", "no questions while it moves") },
    role("Eyepiece host", "focus, step, counts"),
    Role { may_double: true, ..role("Line host", "waits, families first") },
    role("Screen presenter", "captions, story"),
    Role { until_the_gate: true, may_double: true, ..role("Parking and gate", "lights, late and early") },
    Role { may_double: true, ..role("Roving helper", "naked eye; laser if named") },
    role("First aid and radio", "one named person"),
];

const fn role(name: &'static str, does: &'static str) -> Role {
    Role { name, does, decides: false, until_the_gate: false, may_double: false }
}

/// Where the decision is written by hand while it is open.
pub(super) fn decision_to_fill_in() -> [Block; 2] {
    [Block::Choices(texts(&CHOICES)), Block::FillIn(texts(&["Decided at", "By (night lead)"]))]
}

/// What was decided, when and by whom, as far as each is known; `None` while it is open.
pub(super) fn decision(page: &Page<'_>) -> Option<(&'static str, Vec<Notice>)> {
    let call = &page.names.evening.call;
    let words = match call.decision {
        Decision::Open => return None,
        Decision::Go => CHOICES[0],
        Decision::NoGo => CHOICES[1],
    };
    let mut facts = Vec::new();
    if let Some(time) = call.decided_at {
        let night = &page.names.prepared.night.local;
        let at = night.at(time).map_or_else(|_| numbers::given_clock(time), |at| page.names.clock(at));
        facts.push(Notice::new("Decided", format!("at {at}")));
    }
    if !call.decided_by.is_empty() {
        facts.push(Notice::new("By", call.decided_by.clone()));
    }
    Some((words, facts))
}
