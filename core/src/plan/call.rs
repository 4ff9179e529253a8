//! The go or no-go decision, the hours at which it falls and the crew comes, and what visitors hear of next.

use chrono::NaiveTime;

/// The most that may lie between the call, or the crew, and doors, in minutes: a day.
pub const MOST_MINUTES_BEFORE_DOORS: u32 = 1440;
/// The longest name of whoever decides, in characters.
pub const LONGEST_DECIDER: usize = 60;
/// The longest line about a next date, in characters.
pub const LONGEST_DATE: usize = 90;
/// The most lines of next dates.
pub const MOST_DATES: usize = 12;

/// What has been decided about an evening.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Decision {
    /// Nothing yet.
    #[default]
    Open,
    /// The evening takes place under the sky.
    Go,
    /// It does not.
    NoGo,
}

/// The call: who decides when, what was decided, and when the crew must be there.
#[derive(Clone, Debug, PartialEq)]
pub struct Call {
    /// Minutes before doors open at which go or no-go is decided.
    pub decide_before_minutes: f64,
    /// Minutes before doors open at which the crew must be there.
    pub crew_before_minutes: f64,
    /// What was decided.
    pub decision: Decision,
    /// When, on the local clock.
    pub decided_at: Option<NaiveTime>,
    /// By whom; empty where nobody is named.
    pub decided_by: String,
}

impl Call {
    /// The same hours, with nothing decided yet.
    #[must_use]
    pub fn undecided(&self) -> Self {
        Self { decision: Decision::Open, decided_at: None, decided_by: String::new(), ..self.clone() }
    }
}

impl Default for Call {
    /// Decided two hours before doors (cancellation policies of public observatories: two hours at least); the crew one
    /// hour before (common practice, no source).
    fn default() -> Self {
        Self {
            decide_before_minutes: 120.0,
            crew_before_minutes: 60.0,
            decision: Decision::Open,
            decided_at: None,
            decided_by: String::new(),
        }
    }
}
