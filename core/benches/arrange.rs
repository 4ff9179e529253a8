//! How good a running order is after how long, and how far at most from the best.
//!
//! `cargo bench -p evenfall-core --bench arrange`, one thread, processor time where the system tells it (Linux). The
//! baseline is `greedy`: the first order alone, each choice put in where it gains most. Another folder of problems with
//! a `known.json` beside them is measured with `-- FOLDER`.
#![expect(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    reason = "a bench measures, reads and prints"
)]

use std::collections::BTreeMap;
use std::env::args;
use std::fs::{read_dir, read_to_string};
use std::path::{Path, PathBuf};
use std::time::Instant;

use evenfall_core::arrange::{Problem, Solver, judge, read_problem};
use serde::Deserialize;

const MARKS_MS: [f64; 4] = [5.0, 20.0, 100.0, 500.0];
/// About how many units of work a millisecond holds.
const UNITS_A_MS: f64 = 1000.0;
const SEEDS: u64 = 3;
const BOUND_MS: f64 = 1000.0;

/// Best score known and proven bound of a problem.
#[derive(Deserialize)]
struct Known {
    score: i64,
    bound: i64,
}

/// Milliseconds of this thread's processor time, or of the clock.
struct Stopwatch {
    started: Instant,
    processor_ms: Option<f64>,
}

impl Stopwatch {
    fn start() -> Self {
        Self { started: Instant::now(), processor_ms: processor_ms() }
    }

    fn ms(&self) -> f64 {
        match (processor_ms(), self.processor_ms) {
            (Some(now), Some(then)) => now - then,
            _ => self.started.elapsed().as_secs_f64() * 1000.0,
        }
    }
}

fn processor_ms() -> Option<f64> {
    let text = read_to_string("/proc/thread-self/schedstat").ok()?;
    text.split(' ').next()?.parse::<f64>().ok().map(|nanoseconds| nanoseconds / 1e6)
}

fn main() {
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/data/arrange");
    let folder = args().skip(1).find(|argument| !argument.starts_with('-')).map_or(own, PathBuf::from);
    let text = read_to_string(folder.join("known.json")).expect("known.json stands beside the problems");
    let known: BTreeMap<String, Known> = serde_json::from_str(&text).expect("scores and bounds by name");
    let entries = read_dir(&folder).expect("the folder can be listed");
    let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    paths.sort();
    println!(
        "problem     best  proven | greedy    ms | gap % at 5     20    100    500 ms | bound   over best % |  of greedy"
    );
    let (mut gaps, mut overs): (Vec<Row>, Vec<f64>) = (Vec::new(), Vec::new());
    for path in paths {
        let name = path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
        let Some(known) = known.get(&name) else { continue };
        let problem = read_problem(&read_to_string(&path).expect("listed")).expect("sound");
        let rows: Vec<Row> = (1..=SEEDS).map(|seed| searched(&problem, seed, known.score)).collect();
        let mean = Row::mean(&rows);
        let bound = bounded(&problem);
        let over = share(bound - known.score, known.score);
        println!(
            "{name:9} {:6} {:>7} | {:6.0} {:5.2} |    {:6.2} {:6.2} {:6.2} {:6.2}    | {bound:6} {over:10.2}    | {:9.3}",
            known.score,
            if known.score == known.bound { "yes" } else { "no" },
            mean.greedy,
            mean.greedy_ms,
            mean.gaps[0],
            mean.gaps[1],
            mean.gaps[2],
            mean.gaps[3],
            known.score as f64 * (1.0 - mean.gaps[3] / 100.0) / mean.greedy,
        );
        gaps.extend(rows);
        overs.push(over);
    }
    let worst = |mark: usize| gaps.iter().map(|row| row.gaps[mark]).fold(0.0, f64::max);
    let mean = Row::mean(&gaps);
    println!(
        "mean gap {:.3} {:.3} {:.3} {:.3} %, worst {:.2} {:.2} {:.2} {:.2} %; greedy in {:.2} ms; bound over best {:.3} %",
        mean.gaps[0],
        mean.gaps[1],
        mean.gaps[2],
        mean.gaps[3],
        worst(0),
        worst(1),
        worst(2),
        worst(3),
        mean.greedy_ms,
        overs.iter().sum::<f64>() / overs.len() as f64
    );
}

/// What one run gives: the greedy score and its time, gaps in percent at the marks.
struct Row {
    greedy: f64,
    greedy_ms: f64,
    gaps: [f64; MARKS_MS.len()],
}

impl Row {
    fn mean(rows: &[Self]) -> Self {
        let mean = |of: &dyn Fn(&Self) -> f64| rows.iter().map(of).sum::<f64>() / rows.len() as f64;
        Self {
            greedy: mean(&|row| row.greedy),
            greedy_ms: mean(&|row| row.greedy_ms),
            gaps: std::array::from_fn(|mark| mean(&|row| row.gaps[mark])),
        }
    }
}

fn share(part: i64, whole: i64) -> f64 {
    100.0 * part as f64 / whole as f64
}

/// Searches from nothing to the last mark; every answer is judged.
fn searched(problem: &Problem, seed: u64, best: i64) -> Row {
    let watch = Stopwatch::start();
    let mut solver = Solver::with_seed(problem, seed).expect("sound");
    solver.advance(0);
    // Too short for the system's account of processor time.
    let greedy_ms = watch.started.elapsed().as_secs_f64() * 1000.0;
    let greedy = solver.answer().score as f64;
    let gaps = MARKS_MS.map(|mark| {
        // To ask for the time costs a tenth of fifty units of work: the less often, the more is left to come.
        loop {
            let left = mark - watch.ms();
            if left <= 0.0 {
                break;
            }
            solver.advance(((left * UNITS_A_MS / 2.0) as u64).max(50));
        }
        let answer = solver.answer();
        let judgement = judge(problem, &answer.stops);
        assert!(judgement.broken.is_empty() && judgement.score == answer.score, "{judgement:?}");
        share(best - answer.score, best)
    });
    Row { greedy, greedy_ms, gaps }
}

/// The bound after a second, beside a search of a fifth of that.
fn bounded(problem: &Problem) -> i64 {
    let mut solver = Solver::new(problem).expect("sound");
    solver.advance(200_000);
    let watch = Stopwatch::start();
    while watch.ms() < BOUND_MS && solver.advance_bound(1000) {}
    solver.answer().bound
}
