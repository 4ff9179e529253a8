//! A problem from its JSON text, with everything that is wrong about it.

use std::collections::BTreeMap;

use serde::de::IgnoredAny;
use serde_json::{Error, from_str};

use super::fault::ProblemFault;
use super::problem::{PROBLEM_FORMAT, Problem, ProblemTarget, ShowingOption};
use crate::reading::slip_of;

/// Keys that may be left out, where a slip of the pen would pass unnoticed.
const MAY_BE_ABSENT: [&str; 6] = ["name", "blocks", "pins", "excluded", "rank_by", "in_a_row"];

/// Reads a problem and checks it as data.
///
/// # Errors
/// All faults: of the text (one, with line and column) or of the values (each with its key).
pub fn read_problem(text: &str) -> Result<Problem, Vec<ProblemFault>> {
    if text.trim().is_empty() {
        return Err(vec![ProblemFault {
            place: None,
            key: String::new(),
            found: "there is nothing in it".to_owned(),
            expected: format!("Give one JSON object in the format {PROBLEM_FORMAT}"),
        }]);
    }
    let unreadable = |error: &Error| vec![text_fault(error)];
    #[expect(clippy::zero_sized_map_values, reason = "only the keys are asked for")]
    let keys: BTreeMap<String, IgnoredAny> = from_str(text).map_err(|error| unreadable(&error))?;
    let absent: Vec<&str> = MAY_BE_ABSENT.into_iter().filter(|key| !keys.contains_key(*key)).collect();
    let slips = keys.keys().filter_map(|key| {
        slip_of(key, &absent).filter(|_| key != "note").map(|meant| ProblemFault {
            place: None,
            key: key.clone(),
            found: "there is no such key".to_owned(),
            expected: format!("Did you mean `{meant}`?"),
        })
    });
    let mut faults: Vec<ProblemFault> = slips.collect();
    match from_str::<Problem<i64, i64>>(text) {
        Ok(problem) => {
            faults.extend(problem.check());
            if faults.is_empty() { Ok(narrow(problem)) } else { Err(faults) }
        }
        Err(error) => {
            faults.extend(unreadable(&error));
            Err(faults)
        }
    }
}

/// A problem in which nothing is out of its range, as it is kept.
fn narrow(problem: Problem<i64, i64>) -> Problem {
    let option = |option: ShowingOption<i64>| ShowingOption {
        port: option.port,
        duration: option.duration,
        lead_s: option.lead_s,
        first_start: option.first_start,
        values: option.values.into_iter().map(|value| value as u16).collect(),
        class: option.class,
    };
    let target = |target: ProblemTarget<i64, i64>| ProblemTarget {
        name: target.name,
        kind: target.kind,
        axis1: target.axis1.into_iter().map(|angle| angle as i32).collect(),
        axis2: target.axis2.into_iter().map(|angle| angle as i32).collect(),
        options: target.options.into_iter().map(option).collect(),
    };
    Problem {
        format: problem.format,
        name: problem.name,
        step_s: problem.step_s,
        steps: problem.steps,
        pos_every: problem.pos_every,
        ports: problem.ports,
        port_change_s: problem.port_change_s,
        slew: problem.slew,
        start: problem.start,
        kinds: problem.kinds,
        blocks: problem.blocks,
        targets: problem.targets.into_iter().map(target).collect(),
        pins: problem.pins,
        excluded: problem.excluded,
        rank_by: problem.rank_by,
        max_port_changes: problem.max_port_changes,
        min_stops: problem.min_stops,
        in_a_row: problem.in_a_row,
    }
}

fn text_fault(error: &Error) -> ProblemFault {
    let told = error.to_string();
    ProblemFault {
        place: Some((error.line(), error.column())),
        key: String::new(),
        // The place stands in front, as in every other message.
        found: told.split(" at line ").next().unwrap_or_default().to_owned(),
        expected: "Give one JSON object in the format evening-schedule/1".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::read_problem;
    use crate::arrange::sample;

    fn told(from: &str, to: &str) -> String {
        let text = serde_json::to_string(&sample::problem()).unwrap();
        assert!(text.contains(from), "{from} is not in {text}");
        let faults = read_problem(&text.replacen(from, to, 1)).unwrap_err();
        faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    }

    #[test]
    fn an_empty_text_is_told_as_empty() {
        for text in ["", " \n"] {
            let told = read_problem(text).expect_err("nothing to read");
            assert_eq!(told.len(), 1);
            assert!(
                told[0].to_string().starts_with("there is nothing in it. Give one JSON object"),
                "{}",
                told[0]
            );
        }
    }

    #[test]
    fn what_was_written_is_read_again() {
        let problem = sample::problem();
        assert_eq!(read_problem(&serde_json::to_string(&problem).unwrap()).unwrap(), problem);
    }

    #[test]
    fn faults_are_told_with_place_or_key() {
        assert!(told(r#""steps":"#, r#""stepps":"#).contains("missing field `steps`"));
        assert!(told(r#""excluded""#, r#""exclude""#).contains("Did you mean `excluded`?"));
        let wrong = told(r#""kind":0"#, r#""kind":"moon""#);
        assert!(wrong.starts_with("1:") && wrong.contains("\"moon\""), "{wrong}");
        assert!(told(r#""dur":"#, r#""dur":-"#).contains("targets[0].options[0].dur`: found -"));
        assert!(told(r#""rate1":300"#, r#""rate1":0"#).contains("`slew.rate1`: found 0"));
        assert!(told(r#""kind":0"#, r#""kind":9"#).contains("targets[0].kind"));
    }

    #[test]
    fn numbers_beyond_all_reason_are_told_as_they_stand() {
        let far = told(r#""axis1":[9000]"#, r#""axis1":[-99000000000]"#);
        assert!(far.starts_with("`targets[0].axis1[0]`: found -99000000000. Give"), "{far}");
        for worth in ["-1", "65536", "99000000000"] {
            let much = told(r#""v":["#, &format!(r#""v":[{worth},"#));
            let want = format!("`targets[0].options[0].v[0]`: found {worth}. Give a whole number from 0 to");
            assert!(much.starts_with(&want), "{much}");
        }
    }

    #[test]
    fn positions_too_few_for_every_target_are_told_once() {
        let short = told(r#""pos_every":60"#, r#""pos_every":6"#);
        let want =
            "`pos_every`: one position every 6 steps makes 10 a target, and none holds more than 1. Give";
        assert!(short.contains(want) && short.lines().count() == 1, "{short}");
    }

    #[test]
    fn a_loss_in_a_row_names_its_classes() {
        let lossy = |losses: &str| told(r#""steps":60"#, &format!(r#""steps":60,"in_a_row":{losses}"#));
        assert!(lossy("[[0,1],[1]]").contains("`in_a_row[1]`: holds 1 values. Give 2, one for each class"));
        assert!(lossy("[[0,-1],[1,0]]").contains("`in_a_row[0][1]`: found -1"));
        let class = told(r#""t0":10"#, r#""class":2,"t0":10"#);
        assert!(class.contains("`targets[1].options[0].class`: found 2"), "{class}");
        let class = told(r#""axis2":4500"#, r#""axis2":4500,"class":1"#);
        assert!(class.contains("`start.class`: found 1"), "{class}");
    }
}
