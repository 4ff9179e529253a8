//! What is asked before something without the telescope is inserted: an interval, a talk, a talk at the screen.

use chrono::NaiveTime;
use evenfall_core::plan::{EntryKind, Prepared};
use evenfall_core::time::Instant;

/// Shortest and longest entry that can be inserted, in minutes.
pub const INSERT_MINUTES: (u32, u32) = (1, 120);

/// The longest title of an entry, in characters.
const LONGEST_TITLE: usize = 60;

/// The answers so far.
#[derive(Clone, Debug, PartialEq)]
pub struct InsertForm {
    /// What sort of entry.
    pub kind: EntryKind,
    /// What it is called; empty for what its kind is called as usual.
    pub typed: String,
    /// When it starts, on the local clock.
    pub at: NaiveTime,
    /// Whether the second of two is meant, where the clock shows that time twice.
    pub again: bool,
    /// How long it takes, in minutes.
    pub minutes: u32,
}

impl InsertForm {
    /// What can be inserted.
    pub const KINDS: [EntryKind; 3] = [EntryKind::Interval, EntryKind::Talk, EntryKind::ScreenTalk];

    /// An interval of a quarter of an hour.
    pub(super) fn new(prepared: &Prepared, at: Instant) -> Self {
        let night = &prepared.night.local;
        let clock = night.local(at).time();
        let again = night.again_at(clock).is_some_and(|again| at >= again);
        Self { kind: EntryKind::Interval, typed: String::new(), at: clock, again, minutes: 15 }
    }

    /// When it starts; `None` where the clock skips that time or the night does not hold it.
    pub fn instant(&self, prepared: &Prepared) -> Option<Instant> {
        let night = &prepared.night.local;
        let again = night.again_at(self.at).filter(|_| self.again);
        again.or_else(|| night.at(self.at).ok()).filter(|at| prepared.span.contains(*at))
    }

    /// What it is called.
    pub fn title(&self) -> String {
        let typed = self.typed.trim();
        if typed.is_empty() {
            usual_title(self.kind).to_owned()
        } else {
            typed.chars().filter(|letter| !letter.is_control()).take(LONGEST_TITLE).collect()
        }
    }
}

/// What an entry of a kind is called unless something is typed.
pub const fn usual_title(kind: EntryKind) -> &'static str {
    match kind {
        EntryKind::Welcome => "Welcome",
        EntryKind::Talk => "Naked-eye time",
        EntryKind::Interval => "Hot drinks",
        EntryKind::ScreenTalk => "Talk at the screen",
        EntryKind::Closing => "Closing",
    }
}
