//! Arranging an evening given as numbers: every answer judged anew, known optima, and all orders of tiny problems.

use std::fs;
use std::path::Path;

use evenfall_core::arrange::{Answer, Problem, Solver, judge, read_problem};
use evenfall_tests::evening_schedule::{Schedule, Stop, Verdict};
use serde_json::{Value, from_str, json};

fn data(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/arrange").join(name);
    fs::read_to_string(path).expect(name)
}

fn judged_anew(text: &str, answer: &Answer) -> Verdict {
    let schedule: Schedule = from_str(text).expect("the problem");
    let order: Vec<Stop> = answer.stops.iter().map(|stop| (stop.target, stop.option, stop.start)).collect();
    schedule.judge(&order)
}

/// The answer of a solver given some effort for order and bound; no rule broken that no wish excuses, the score right
/// and within the bound, the core's own judge of the same mind.
fn arranged(text: &str, effort: u64, bound_effort: u64) -> (Answer, Verdict) {
    let problem = read_problem(text).unwrap_or_else(|faults| panic!("{faults:?}\n{text}"));
    let mut solver = Solver::new(&problem).expect("a checked problem");
    for _ in 0..4 {
        solver.advance(effort / 4);
        solver.advance_bound(bound_effort / 4);
    }
    let answer = solver.answer();
    let verdict = judged_anew(text, &answer);
    assert_eq!(verdict.hard, Vec::<String>::new(), "{answer:?}\n{text}");
    assert_eq!((verdict.score, verdict.loss), (answer.score, answer.loss), "{answer:?}\n{text}");
    assert!(answer.worth() <= answer.bound, "{answer:?}");
    assert_same_mind(&problem, &answer, &verdict, text);
    (answer, verdict)
}

fn assert_same_mind(problem: &Problem, answer: &Answer, verdict: &Verdict, text: &str) {
    let judgement = judge(problem, &answer.stops);
    assert_eq!((judgement.score, judgement.loss), (verdict.score, verdict.loss));
    assert!(judgement.broken.iter().all(|rule| rule.is_wish()), "{:?}\n{text}", judgement.broken);
    assert_eq!(judgement.broken.is_empty(), verdict.wishes == 0, "{:?}\n{text}", judgement.broken);
}

/// Best scores and bounds of an independent exact method: see `tests/data/arrange/README.md`. The same effort gives the
/// same order on every machine, so the gaps are exact; the limits leave room for a change of method, not for a worse one.
#[test]
fn known_optima_are_nearly_reached_and_never_denied() {
    let known: Value = from_str(&data("known.json")).expect("the known scores");
    let mut gaps = Vec::new();
    for name in ["n020_s01", "n020_s02", "n020_s03", "n020_s04", "n020_s05", "n020_s06", "n060_s01"] {
        let (answer, verdict) = arranged(&data(&format!("{name}.json")), 100_000, 200_000);
        let best = known[name]["score"].as_i64().expect("a known score");
        let proven = known[name]["bound"].as_i64().expect("a proven bound");
        assert_eq!(verdict.wishes, 0, "{name}");
        assert!(answer.score <= proven, "{name}: {} is more than the proven {proven}", answer.score);
        assert!(answer.bound >= best, "{name}: the bound {} denies {best}", answer.bound);
        let over = (answer.bound - best) as f64 / best as f64;
        assert!(over < 0.03, "{name}: the bound stands {:.2} % above the best", 100.0 * over);
        gaps.push((best - answer.score) as f64 / best as f64);
    }
    let mean = gaps.iter().sum::<f64>() / gaps.len() as f64;
    let worst = gaps.iter().copied().fold(0.0, f64::max);
    assert!(
        mean < 0.002 && worst < 0.008,
        "mean {:.2} %, worst {:.2} %: {gaps:?}",
        100.0 * mean,
        100.0 * worst
    );
}

#[test]
fn the_same_effort_gives_the_same_answer_however_it_is_cut() {
    let problem = read_problem(&data("n020_s02.json")).expect("sound");
    let mut whole = Solver::new(&problem).expect("sound");
    whole.advance(20_000);
    let mut again = Solver::new(&problem).expect("sound");
    again.advance(20_000);
    assert_eq!(whole.answer(), again.answer());
    let mut scores = vec![0];
    let mut pieces = Solver::new(&problem).expect("sound");
    while pieces.work() < whole.work() {
        pieces.advance(1);
        scores.push(pieces.answer().score);
    }
    assert_eq!(pieces.answer(), whole.answer());
    assert!(scores.is_sorted(), "the best so far never gets worse");
}

/// Numbers without a pattern, from a fixed start (a linear congruential generator; constants of Knuth's MMIX).
struct Chance(u64);

impl Chance {
    fn below(&mut self, count: i64) -> i64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((u128::from(self.0 >> 16) * count.max(1) as u128) >> 48) as i64
    }

    fn between(&mut self, least: i64, most: i64) -> i64 {
        least + self.below(most - least + 1)
    }

    fn list(&mut self, count: i64, mut each: impl FnMut(&mut Self) -> Value) -> Value {
        (0..count).map(|_| each(self)).collect()
    }
}

/// An evening of any kind: empty, blocked, pinned against itself, with limits that can't be met; half of them with
/// losses for what is shown in a row.
fn random_evening(chance: &mut Chance, most_targets: i64, steps: i64, starts: i64, longest: i64) -> Value {
    let ports = chance.between(1, 3);
    let kinds = chance.between(1, 3);
    let targets = chance.between(0, most_targets);
    let pos_every = chance.between(1, 10);
    let positions = steps / pos_every + 1;
    let wishes = chance.below(4);
    let some_pins = if targets == 0 { 0 } else { wishes.min(targets) };
    let classes = (chance.between(-2, 3)).max(0);
    let option = |chance: &mut Chance| {
        let starts = chance.between(0, starts);
        json!({"class": chance.below(classes), "port": chance.below(ports), "dur": chance.between(2, longest), "lead_s": chance.below(60),
            "t0": chance.below(steps + 3), "v": chance.list(starts, |c| json!(c.between(-40, 1000).max(0)))})
    };
    let mut evening = json!({
        "format": "evening-schedule/1", "step_s": chance.between(10, 60), "steps": steps, "pos_every": pos_every,
        "ports": chance.list(ports, |c| json!({"name": "port", "focus_s": c.below(40)})),
        "port_change_s": chance.list(ports, |c| c.list(ports, |c| json!(c.below(60)))),
        "slew": {"rate1": chance.between(50, 500), "rate2": chance.between(50, 500),
            "wrap1": 36_000 * chance.below(2), "settle_s": chance.below(15)},
        "start": {"step": chance.below(4), "port": chance.between(-1, ports - 1), "axis1": chance.below(36_000),
            "axis2": chance.below(9000)},
        "kinds": chance.list(kinds, |c| {
            let ranks = c.between(1, 4);
            json!({"name": "kind", "factors": c.list(ranks, |c| json!(c.below(1001)))})
        }),
        "targets": chance.list(targets, |c| {
            let options = c.between(0, 2);
            json!({"name": "target", "kind": c.below(kinds),
                "axis1": c.list(positions, |c| json!(c.below(36_000))),
                "axis2": c.list(positions, |c| json!(c.below(9000))), "options": c.list(options, option)})
        }),
        "blocks": chance.list(2, |c| {
            let from = c.between(-5, steps);
            json!({"name": "talk", "from": from, "to": from + c.below(6)})
        }),
        "pins": chance.list(some_pins, |c| {
            let mut pin = json!({"target": c.below(targets)});
            if c.below(2) == 0 {
                pin["at"] = json!(c.below(steps + 1));
                pin["tol"] = json!(c.below(steps / 2 + 1));
            }
            if c.below(3) == 0 {
                pin["port"] = json!(c.between(-1, ports - 1));
            }
            pin
        }),
        "excluded": chance.list(targets / 5, |c| json!(c.below(targets))),
        "rank_by": if chance.below(2) == 0 { "value" } else { "time" },
        "max_port_changes": chance.below(4),
        "min_stops": chance.list(ports, |c| json!(if c.below(3) == 0 { c.below(4) } else { 0 })),
        "in_a_row": chance.list(classes, |c| c.list(classes, |c| json!(c.between(-200, 400).max(0)))),
    });
    if chance.below(3) == 0 {
        evening["start"]["class"] = json!(chance.below(classes));
    }
    evening
}

#[test]
fn no_random_evening_gets_an_order_that_breaks_a_rule() {
    let mut chance = Chance(1);
    let (mut shown, mut given_up, mut lost) = (0, 0, 0);
    for _ in 0..600 {
        let steps = chance.between(0, 160);
        let evening = random_evening(&mut chance, 25, steps, 60, 20);
        let (answer, verdict) = arranged(&evening.to_string(), 600, 2_000);
        shown += answer.stops.len();
        given_up += i64::from(verdict.wishes > 0);
        lost += i64::from(verdict.loss > 0);
    }
    assert!(shown > 1500 && given_up > 100, "{shown} stops, {given_up} evenings with wishes given up");
    assert!(lost > 60, "{lost} evenings with a loss in a row");
}

#[test]
fn tiny_evenings_get_the_best_of_all_orders_within_the_bound() {
    let mut chance = Chance(2);
    let (mut all_kept, mut best_found, mut fewest) = (0, 0, 0);
    for _ in 0..800 {
        let steps = chance.between(6, 20);
        let text = random_evening(&mut chance, 6, steps, 5, 8).to_string();
        let best = from_str::<Schedule>(&text).expect("the problem").best_of_all();
        let (answer, verdict) = arranged(&text, 2_000, 20_000);
        assert!(verdict.wishes >= best.wishes, "fewer wishes broken than possible:\n{text}");
        if best.wishes == 0 {
            all_kept += 1;
            assert_eq!(verdict.wishes, 0, "wishes that can be kept are kept:\n{text}");
            assert!(answer.bound >= best.worth(), "{answer:?} denies {best:?}\n{text}");
            best_found += i64::from(answer.worth() == best.worth());
        }
        if verdict.wishes == best.wishes {
            fewest += 1;
            assert!(answer.worth() <= best.worth(), "{answer:?} is better than the best {best:?}\n{text}");
        }
    }
    assert!(all_kept > 150, "{all_kept}");
    assert!(fewest >= 790, "as few wishes broken as can be in only {fewest} of 800");
    assert!(best_found * 100 >= all_kept * 98, "best found in {best_found} of {all_kept}");
}

/// With a first order only, the bound has to close what can't be better and to remember what was shown; nothing that the
/// best of all orders needs may go with that.
#[test]
fn the_bound_only_falls_and_never_denies_the_best() {
    let mut chance = Chance(4);
    let (mut kept, mut near, mut proven) = (0, 0, 0);
    for _ in 0..300 {
        let steps = chance.between(12, 22);
        let text = random_evening(&mut chance, 6, steps, 9, 5).to_string();
        let best = from_str::<Schedule>(&text).expect("the problem").best_of_all();
        let mut solver = Solver::new(&read_problem(&text).expect("sound")).expect("a checked problem");
        solver.advance(0);
        let wishes = judged_anew(&text, &solver.answer()).wishes;
        let mut bound = i64::MAX;
        for _ in 0..60 {
            solver.advance_bound(300);
            let answer = solver.answer();
            assert!(answer.bound <= bound, "{answer:?} after a bound of {bound}\n{text}");
            bound = answer.bound;
            if wishes == 0 && best.wishes == 0 {
                assert!(bound >= best.worth(), "{answer:?} denies {best:?}\n{text}");
                assert!(
                    !answer.is_best() || answer.worth() == best.worth(),
                    "{answer:?}, but {best:?}\n{text}"
                );
            }
        }
        if wishes == 0 && best.wishes == 0 {
            kept += 1;
            near += i64::from(bound * 100 <= best.worth() * 102);
            proven += i64::from(solver.answer().is_best());
        }
    }
    assert!(kept > 60 && near * 10 >= kept * 7, "within 2 % in {near} of {kept}, {proven} proven");
    assert!(proven * 2 >= kept, "the first order proven the best in {proven} of {kept}");
}

/// Every number of a problem replaced by one beyond reason, one at a time: a fault with its key, or an order.
#[test]
fn numbers_beyond_reason_are_told_or_borne() {
    let mut chance = Chance(3);
    let mut told = 0;
    for round in 0..400 {
        let mut evening = random_evening(&mut chance, 8, 60, 30, 12);
        let places = numbers(&evening, String::new());
        let count = i64::try_from(places.len()).expect("a short list");
        let place = &places[chance.below(count) as usize];
        let strange = [-1, 0, 1, 70_000, 1_000_000_000, i64::MIN, i64::MAX][round % 7];
        *evening.pointer_mut(place).expect("listed") = json!(strange);
        let text = evening.to_string();
        match read_problem(&text) {
            Ok(_) => {
                arranged(&text, 100, 100);
            }
            Err(faults) => {
                told += 1;
                let words: Vec<String> = faults.iter().map(ToString::to_string).collect();
                assert!(words.iter().all(|w| w.contains("Give") || w.contains("There are no")), "{words:?}");
            }
        }
    }
    assert!(told > 200, "{told}");
}

fn numbers(value: &Value, path: String) -> Vec<String> {
    match value {
        Value::Number(_) => vec![path],
        Value::Array(list) => {
            list.iter().enumerate().flat_map(|(n, v)| numbers(v, format!("{path}/{n}"))).collect()
        }
        Value::Object(map) => map.iter().flat_map(|(k, v)| numbers(v, format!("{path}/{k}"))).collect(),
        _ => Vec::new(),
    }
}

#[test]
fn ragged_arrays_and_foreign_indices_are_told_with_their_key() {
    let mut chance = Chance(4);
    let sound = loop {
        let evening = random_evening(&mut chance, 8, 60, 30, 12);
        if evening["targets"].as_array().is_some_and(|targets| targets.len() > 4) {
            break evening;
        }
    };
    for (place, wrong, key) in [
        ("/targets/2/axis1", json!([1]), "targets[2].axis1"),
        ("/port_change_s/0", json!([]), "port_change_s[0]"),
        ("/min_stops", json!([]), "min_stops"),
        ("/kinds/0/factors", json!([]), "kinds[0].factors"),
        ("/targets/1/kind", json!(99), "targets[1].kind"),
        ("/excluded", json!([0, 4000]), "excluded[1]"),
        ("/pins", json!([{"target": 77}]), "pins[0].target"),
        ("/blocks/0", json!({"name": "talk", "from": 9, "to": 3}), "blocks[0].to"),
        ("/format", json!("evening-schedule/2"), "format"),
    ] {
        let mut evening = sound.clone();
        *evening.pointer_mut(place).expect(place) = wrong;
        let faults = read_problem(&evening.to_string()).expect_err(key);
        assert!(faults.iter().any(|fault| fault.key == key), "{key}: {faults:?}");
    }
}

/// All held at one minute: one can be shown, the others are named, and nothing hangs.
#[test]
fn wishes_that_contradict_each_other_are_named() {
    let mut evening: Value = from_str(&data("n020_s02.json")).expect("the problem");
    let pins: Vec<Value> = (0..12).map(|target| json!({"target": target, "at": 200})).collect();
    evening["pins"] = Value::Array(pins);
    let text = evening.to_string();
    let (answer, verdict) = arranged(&text, 20_000, 5_000);
    let problem = read_problem(&text).expect("sound");
    let named = judge(&problem, &answer.stops).broken;
    assert!(named.len() >= 11 && verdict.wishes >= 11, "{named:?}");
    assert!(answer.stops.len() > 10, "the others are shown at other times: {answer:?}");
}

#[test]
fn ten_thousand_targets_get_an_order() {
    let mut chance = Chance(5);
    let mut evening: Value = from_str(&data("n020_s02.json")).expect("the problem");
    let twenty = evening["targets"].as_array().expect("targets").clone();
    let many: Vec<Value> = (0..10_000)
        .map(|n| {
            let mut target = twenty[n % twenty.len()].clone();
            for option in target["options"].as_array_mut().expect("options") {
                option["lead_s"] = json!(chance.below(200));
            }
            target
        })
        .collect();
    evening["targets"] = Value::Array(many);
    let (answer, verdict) = arranged(&evening.to_string(), 2_000, 2_000);
    assert!(verdict.wishes == 0 && answer.stops.len() > 10 && answer.bound > answer.score);
}
