//! The call and the next dates of an evening, read and written.

use super::write::{clock, format_line, list, quoted};
use crate::plan::{Call, Decision, LONGEST_DATE, LONGEST_DECIDER, MOST_DATES, MOST_MINUTES_BEFORE_DOORS};
use crate::reading::Fields;

pub(super) fn read_call(fields: &Fields<'_>) -> Call {
    let usual = Call::default();
    let minutes =
        |key, usual| fields.optional_number(key, 0.0..=f64::from(MOST_MINUTES_BEFORE_DOORS)).unwrap_or(usual);
    let decision = match fields.has("decision").then(|| fields.word::<DecisionWord>("decision")).flatten() {
        None => Decision::Open,
        Some(DecisionWord::Go) => Decision::Go,
        Some(DecisionWord::NoGo) => Decision::NoGo,
    };
    Call {
        decide_before_minutes: minutes("decide_before_min", usual.decide_before_minutes),
        crew_before_minutes: minutes("crew_before_min", usual.crew_before_minutes),
        decision,
        decided_at: fields.optional_clock_time("decided_at"),
        decided_by: fields.optional_text("decided_by", LONGEST_DECIDER).unwrap_or_default(),
    }
}

/// The word of a decision in the file; an open one has none.
#[derive(Clone, Copy, serde::Deserialize)]
enum DecisionWord {
    Go,
    NoGo,
}

pub(super) fn read_next_dates(fields: &Fields<'_>) -> Vec<String> {
    if !fields.has("next_dates") {
        return Vec::new();
    }
    let dates = fields.texts("next_dates", LONGEST_DATE);
    if dates.len() > MOST_DATES {
        let message = format!("{} dates are more than the handbill has room for", dates.len());
        fields.fault("next_dates", message, format!("Give the next {MOST_DATES} at most"));
    }
    dates
}

pub(super) fn call_lines(call: &Call) -> String {
    let decision = match call.decision {
        Decision::Open => "",
        Decision::Go => "    decision: Go,\n",
        Decision::NoGo => "    decision: NoGo,\n",
    };
    let at = call.decided_at.map_or_else(String::new, |time| format!("    decided_at: {},\n", clock(time)));
    let by = match call.decided_by.as_str() {
        "" => String::new(),
        name => format!("    decided_by: {},\n", quoted(name)),
    };
    format!(
        "\x20 // The call: how many minutes before doors go or no-go is decided and the crew must be there. Once decided:\n\
         \x20 //   decision: Go, decided_at: \"16:30\", decided_by: \"the night lead\"\n\
         \x20 call: (\n\
         \x20   decide_before_min: {:?}, crew_before_min: {:?},\n\
         {decision}{at}{by}\x20 ),\n",
        call.decide_before_minutes, call.crew_before_minutes,
    )
}

pub(super) fn next_dates_lines(dates: &[String]) -> String {
    let list = list(dates.iter().map(String::as_str));
    format!(
        "  // The next public evenings, as they stand on the handbill; at most 90 characters each.\n{}",
        format_line("next_dates", &list)
    )
}
