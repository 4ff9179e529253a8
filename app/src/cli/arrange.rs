//! The command `arrange`: a problem as numbers in, its best running order found, with a bound, out.

use evenfall_core::arrange::{Answer, Problem, ProblemFault, Solver, judge, read_problem};
use serde_json::json;

use super::Outcome;
use super::outcome::{give, tell};
use super::rows::read_input;

pub const EXAMPLE: &str = "\
Example:
  evenfall arrange < evening.json > answer.json
  evenfall arrange --effort 5000000 < evening.json   # ten times as long, a better order and a lower bound

The answer holds the stops in order of time, their score, and a bound: no order that keeps the same wishes scores more.
A problem may say what is lost by what is shown in a row (`in_a_row`, with a `class` for each option): the loss stands
beside the score as `in_a_row_loss`, and the bound is for the score less the loss.
Wishes (pins, least stops) that can't be met together are given up, named in `broken` and on standard error (exit 1).";

/// Half a second for the search.
pub const USUAL_EFFORT: u64 = 500_000;

/// Search and bound take turns so often: an order that is proven the best needs no more effort.
const TURNS: u64 = 8;

/// Arranges the problem on standard input.
pub fn run(effort: u64) -> Outcome {
    let text = match read_input("a problem in the format evening-schedule/1") {
        Ok(text) => text,
        Err(outcome) => return outcome,
    };
    match arrange_text(&text, effort) {
        Ok((answer, broken)) => {
            for wish in &broken {
                tell(&format!("given up: {wish}"));
            }
            let done = if broken.is_empty() { Outcome::Done } else { Outcome::InputErrors };
            done.max(give(&answer))
        }
        Err(faults) => {
            for fault in &faults {
                tell(fault);
            }
            Outcome::InputErrors
        }
    }
}

/// The answer as text and the wishes given up, or what is wrong with the problem.
fn arrange_text(text: &str, effort: u64) -> Result<(String, Vec<String>), Vec<String>> {
    let problem = read_problem(text).map_err(|faults| worded(&faults))?;
    let solver = Solver::new(&problem).map_err(|faults| worded(&faults))?;
    Ok(told(&problem, &arranged(solver, effort)))
}

/// With the place in front, as in every other message.
fn worded(faults: &[ProblemFault]) -> Vec<String> {
    let word = |fault: &ProblemFault| {
        let gap = if fault.place.is_some() { "" } else { " " };
        format!("standard input:{gap}{fault}")
    };
    faults.iter().map(word).collect()
}

fn arranged(mut solver: Solver, effort: u64) -> Answer {
    for turn in 0..TURNS {
        let share = effort / TURNS + u64::from(turn < effort % TURNS);
        solver.advance(share);
        solver.advance_bound(share);
        if solver.answer().is_best() {
            break;
        }
    }
    solver.answer()
}

fn told(problem: &Problem, answer: &Answer) -> (String, Vec<String>) {
    let broken: Vec<String> =
        judge(problem, &answer.stops).broken.iter().map(|rule| rule.told(problem).to_string()).collect();
    let stops: Vec<String> = answer.stops.iter().map(|stop| format!("  {}", json!(stop))).collect();
    let stops = if stops.is_empty() { "[]".to_owned() } else { format!("[\n{}\n]", stops.join(",\n")) };
    let (name, given_up) = (json!(problem.name), json!(broken));
    let loss = if answer.loss == 0 { String::new() } else { format!("\"in_a_row_loss\": {}, ", answer.loss) };
    let text = format!(
        "{{\"name\": {name}, \"score\": {}, {loss}\"bound\": {}, \"broken\": {given_up},\n\"stops\": {stops}}}\n",
        answer.score, answer.bound
    );
    (text, broken)
}
