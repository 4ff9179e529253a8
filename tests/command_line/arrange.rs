//! `arrange` as scripts meet it: a problem in, the best running order and its bound out.

use evenfall_core::arrange::{AnswerStop, judge, read_problem};
use serde_json::{Value, from_str, from_value};

use super::{data, messages, results, run, run_on, status};

const PROBLEM: &str = "arrange/n020_s02.json";

fn changed(from: &str, to: &str) -> String {
    let text = data(PROBLEM);
    assert!(text.contains(from), "{from}");
    text.replacen(from, to, 1)
}

#[test]
fn the_answer_is_valid_bounded_and_the_same_each_time() {
    let text = data(PROBLEM);
    let output = run_on(&["arrange", "--effort", "100000"], &text);
    assert_eq!(status(&output), 0, "{}", messages(&output));
    assert_eq!(messages(&output), "");
    let answer: Value = from_str(&results(&output)).expect("valid JSON");
    let stops: Vec<AnswerStop> = from_value(answer["stops"].clone()).expect("stops");
    let judgement = judge(&read_problem(&text).expect("sound"), &stops);
    assert_eq!(judgement.broken, []);
    assert_eq!(answer["score"], judgement.score);
    // The best known is 4223 (tests/data/arrange/known.json).
    assert!(answer["score"].as_i64() >= Some(4180) && answer["bound"].as_i64() >= Some(4223), "{answer}");
    assert_eq!(answer["name"], "n020_s02");
    let again = run_on(&["arrange", "--effort", "100000"], &text);
    assert_eq!(results(&again), results(&output));
}

#[test]
fn wishes_given_up_are_named_and_the_order_is_there_all_the_same() {
    let text = changed(r#""min_stops":[2,0,4,1]"#, r#""min_stops":[2,0,4,99]"#);
    let output = run_on(&["arrange", "--effort", "2000"], &text);
    assert_eq!(status(&output), 1);
    assert!(messages(&output).contains("given up: min_stops[3]"), "{}", messages(&output));
    let answer: Value = from_str(&results(&output)).expect("valid JSON");
    assert!(answer["broken"][0].as_str().is_some_and(|word| word.contains("at least 99 wanted")), "{answer}");
    assert!(answer["stops"].as_array().is_some_and(|stops| stops.len() > 5));
}

#[test]
fn faults_are_told_with_place_or_key_and_nothing_is_answered() {
    for (text, wanted) in [
        ("[]".to_owned(), "standard input:1:0: "),
        (String::new(), "standard input: there is nothing in it. Give one JSON object"),
        (changed(r#""step_s":30"#, r#""step_s":0"#), "standard input: `step_s`: found 0. Give"),
        (changed(r#""steps":600"#, r#""steps":"many""#), "standard input:1:"),
        (changed(r#""excluded""#, r#""exclude""#), "Did you mean `excluded`?"),
        (changed(r#""dur":"#, r#""dur":-"#), ".dur`: found -"),
    ] {
        let output = run_on(&["arrange"], &text);
        assert_eq!(status(&output), 1, "{}", messages(&output));
        assert!(messages(&output).contains(wanted), "{wanted}:\n{}", messages(&output));
        assert_eq!(results(&output), "");
    }
    assert_eq!(status(&run(&["arrange", "--effort", "much"])), 2);
    assert_eq!(status(&run(&["arrange", "problem.json"])), 2);
}
