//! What is asked about the call: go or no-go, when and by whom it was decided, the hours of call and crew, the next dates.

use chrono::{NaiveTime, Timelike};
use evenfall_core::plan::{
    Call, Decision, Evening, LONGEST_DATE, LONGEST_DECIDER, MOST_DATES, MOST_MINUTES_BEFORE_DOORS, Prepared,
};
use evenfall_core::time::Instant;

use super::StepName;

/// The answers so far.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CallForm {
    /// What is decided.
    pub decision: Decision,
    /// When, on the local clock.
    pub at: NaiveTime,
    /// By whom.
    pub by: String,
    /// Minutes before doors open at which it is decided.
    pub decide_before: u32,
    /// Minutes before doors open at which the crew is there.
    pub crew_before: u32,
    /// The next public evenings, each in a line.
    pub dates: String,
}

impl CallForm {
    /// What stands in an evening; the time of a call that is still open is now on the day of the evening, else the hour at
    /// which it is due.
    pub(super) fn new(evening: &Evening, prepared: &Prepared, now: Instant) -> Self {
        let call = &evening.call;
        let due = prepared.doors.start().plus_minutes(-call.decide_before_minutes);
        let is_today = now.seconds_since(due).abs() < 86_400.0;
        let clock = prepared.night.local.local(if is_today { now } else { due }).time();
        let now = NaiveTime::from_hms_opt(clock.hour(), clock.minute(), 0).unwrap_or_default();
        Self {
            decision: call.decision,
            at: call.decided_at.unwrap_or(now),
            by: call.decided_by.clone(),
            decide_before: whole(call.decide_before_minutes),
            crew_before: whole(call.crew_before_minutes),
            dates: evening.next_dates.join("\n"),
        }
    }

    /// The evening with these answers.
    pub(super) fn answered(&self, evening: &Evening) -> Evening {
        let before = &evening.call;
        let minutes =
            |typed: u32, before: f64| if whole(before) == typed { before } else { f64::from(typed) };
        let is_decided = self.decision != Decision::Open;
        let call = Call {
            decide_before_minutes: minutes(self.decide_before, before.decide_before_minutes),
            crew_before_minutes: minutes(self.crew_before, before.crew_before_minutes),
            decision: self.decision,
            decided_at: is_decided.then_some(self.at),
            decided_by: if is_decided { line(&self.by, LONGEST_DECIDER) } else { String::new() },
        };
        let dates = self.dates.lines().map(|typed| line(typed, LONGEST_DATE));
        let next_dates = dates.filter(|date| !date.is_empty()).take(MOST_DATES).collect();
        Evening { call, next_dates, ..evening.clone() }
    }

    /// What the step from one evening to the other is called.
    pub(super) fn step_name(before: &Evening, after: &Evening) -> StepName {
        let own = |call: &Call| (call.decision, call.decided_at, call.decided_by.clone());
        if own(&before.call) != own(&after.call) {
            StepName::Called(after.call.decision)
        } else if before.call != after.call {
            StepName::CallHoursSet
        } else {
            StepName::NextDatesSet
        }
    }

    /// Whether more is typed about the next dates than is kept.
    pub fn has_too_much(&self) -> bool {
        let lines = self.dates.lines().map(str::trim).filter(|date| !date.is_empty());
        lines.clone().count() > MOST_DATES || lines.clone().any(|date| date.chars().count() > LONGEST_DATE)
    }
}

fn whole(minutes: f64) -> u32 {
    minutes.round().clamp(0.0, f64::from(MOST_MINUTES_BEFORE_DOORS)) as u32
}

fn line(typed: &str, longest: usize) -> String {
    typed.trim().chars().filter(|letter| !letter.is_control()).take(longest).collect()
}

#[cfg(test)]
mod tests {
    use evenfall_core::plan::{Decision, Evening, prepare};

    use super::CallForm;
    use crate::shell::Machine;
    use crate::state::{Outside, StepName};

    fn demo() -> (Evening, CallForm) {
        let opened = Machine.demo().unwrap();
        let prepared = prepare(&opened.evening, &opened.stock.materials()).unwrap();
        let form = CallForm::new(&opened.evening, &prepared, prepared.doors.start());
        (opened.evening, form)
    }

    #[test]
    fn unchanged_answers_leave_the_evening_as_it_is() {
        let (mut evening, form) = demo();
        assert_eq!(form.answered(&evening), evening);
        evening.call.decide_before_minutes = f64::from(form.decide_before) + 0.25;
        assert_eq!(form.answered(&evening), evening, "a quarter of a minute is nobody's edit");
    }

    #[test]
    fn a_decision_has_its_time_and_name_and_an_open_call_has_neither() {
        let (evening, form) = demo();
        let go = CallForm { decision: Decision::Go, by: "  the night\u{7} lead ".into(), ..form };
        let called = go.answered(&evening);
        assert_eq!(called.call.decided_by, "the night lead");
        assert_eq!(called.call.decided_at, Some(go.at));
        assert_eq!(CallForm::step_name(&evening, &called), StepName::Called(Decision::Go));
        let open = CallForm { decision: Decision::Open, ..go }.answered(&called);
        assert_eq!(open, evening);
    }

    #[test]
    fn next_dates_are_lines_and_not_too_many() {
        let (evening, form) = demo();
        let dates = "Friday 9 April, 20:30\n\n  Saturday 8 May \n".to_owned();
        let form = CallForm { dates, ..form };
        let after = form.answered(&evening);
        assert_eq!(after.next_dates, ["Friday 9 April, 20:30", "Saturday 8 May"]);
        assert_eq!(CallForm::step_name(&evening, &after), StepName::NextDatesSet);
        assert!(!form.has_too_much());
        let form = CallForm { dates: "Friday\n".repeat(13), ..form };
        assert!(form.has_too_much());
        assert_eq!(form.answered(&evening).next_dates.len(), 12);
        let hours = CallForm { crew_before: 45, dates: String::new(), ..form }.answered(&evening);
        assert_eq!(CallForm::step_name(&evening, &hours), StepName::CallHoursSet);
    }
}
