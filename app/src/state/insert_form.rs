//! What is asked before something without the telescope is inserted: an interval, a talk, a talk at the screen.

use chrono::NaiveTime;
use evenfall_core::plan::{EntryKind, Evening, Held, Prepared, Stop, StopId, What, in_each_others_way};
use evenfall_core::rig::Rig;
use evenfall_core::time::{Instant, Interval};

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

    /// The stops that would be in its way, in their order.
    pub fn in_its_way<'e>(&self, evening: &'e Evening, prepared: &Prepared, rig: &Rig) -> Vec<&'e Stop> {
        let entry = self.instant(prepared).and_then(|start| self.entry(start));
        let stops = evening.order.stops().iter();
        stops.filter(|stop| entry.as_ref().is_some_and(|own| in_each_others_way(own, stop, rig))).collect()
    }

    /// The same at the next minute at which nothing is in its way while doors are open; `None` where there is none.
    pub fn next_free(&self, evening: &Evening, prepared: &Prepared, rig: &Rig) -> Option<Self> {
        let start = self.instant(prepared)?;
        let ends = evening.order.stops().iter().map(Stop::end).filter(|end| *end > start);
        let free = ends.filter(|end| {
            let own = self.entry(*end).filter(|own| prepared.doors.covers(own.interval));
            let stops = evening.order.stops();
            own.is_some_and(|own| !stops.iter().any(|stop| in_each_others_way(&own, stop, rig)))
        });
        let night = &prepared.night.local;
        let at = free.min()?;
        let clock = night.local(at).time();
        let again = night.again_at(clock).is_some_and(|again| at >= again);
        Some(Self { at: clock, again, ..self.clone() })
    }

    /// The entry as a stop that starts then.
    fn entry(&self, start: Instant) -> Option<Stop> {
        let what = What::Entry { kind: self.kind, title: String::new(), cue: String::new() };
        let interval = Interval::new(start, start.plus_minutes(f64::from(self.minutes)))?;
        Some(Stop { id: StopId(0), what, interval, held: Held::default() })
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
