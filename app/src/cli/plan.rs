//! `evenfall plan`: an evening laid out and written as pages, tables and a picture.

use std::panic::resume_unwind;
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use evenfall_core::output::pdf::{Paper, PdfError};
use evenfall_core::output::{Made, Output, OutputSet};
use evenfall_core::plan::{
    Drafted, Drafting, Evening, Finding, Materials, Prepared, Severity, check, prepare,
};
use evenfall_core::sheet::page_words::not_to_be_run;
use evenfall_core::sheet::{
    LeafKind, Names, at_most_phrase, best_there_is_phrase, finding_place, finding_sentence, numbers, wording,
};

use super::outcome::tell;
use super::{Outcome, PlanArguments};
use crate::shell::assets::FONT;
use crate::shell::evenings::{Loaded, demo, listed, load};
use crate::shell::files::{make_folder, old_text, write_whole};
use crate::state::{Effort, problem_text};

/// Work of the search before the first look at how good a draft is, of the proof that follows, and between two looks at it:
/// each takes some milliseconds.
const FIRST_SEARCH: u64 = 24_000;
const FIRST_PROOF: u64 = 200_000;
const SLICE: u64 = 50_000;

/// Shown below the help.
pub const EXAMPLE: &str = "Examples:
  evenfall plan --out pages
  evenfall plan spring.evening.ron --out pages --run-sheet --csv
  evenfall plan spring.evening.ron --out pages --problem
  evenfall arrange < pages/spring.problem.json

An evening with Stoppers is written too: its run sheet, Call card and hand-over card say that it is not to be run as it
stands. A Stopper counts as an error (exit status 1), a Caution does not.";

/// Runs the command.
pub fn run(arguments: &PlanArguments) -> Outcome {
    let loaded = match arguments.evening.as_deref().map_or_else(demo, load) {
        Ok(loaded) => loaded,
        Err(error) => {
            tell(&error.to_string());
            return (&error).into();
        }
    };
    let Loaded { opened, faults } = loaded;
    let mut outcome = Outcome::Done;
    if !faults.is_empty() {
        tell(&listed(&faults));
        outcome = Outcome::InputErrors;
    }
    let (mut evening, materials) = (opened.evening, opened.stock.materials());
    let prepared = match prepare(&evening, &materials) {
        Ok(prepared) => prepared,
        Err(error) => {
            let file = arguments.evening.as_deref().unwrap_or(Path::new("demo")).display();
            tell(&format!("{file}: can't lay out the evening of {}: {error}", evening.date));
            return Outcome::InputErrors;
        }
    };
    if evening.order.stops().is_empty() {
        let drafted = drafted_well(&evening, &prepared, &materials);
        tell(&quality(&drafted, evening.programme.slack_percent));
        evening.order = drafted.order;
    }
    let findings = check(&evening, &prepared, &materials);
    for line in finding_lines(&findings, &Names::new(&evening, &prepared, &materials)) {
        tell(&line);
    }
    let stoppers = findings.iter().filter(|finding| finding.severity == Severity::Stopper).count();
    if stoppers > 0 {
        // The pages are written all the same, for whoever mends it on paper; they say so.
        tell(&not_to_be_run(stoppers));
        outcome = outcome.max(Outcome::InputErrors);
    }
    outcome.max(write_outputs(arguments, &evening, &prepared, &materials))
}

/// The draft that the window comes to, by the same effort; the search ends early where nothing better can be found.
fn drafted_well(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> Drafted {
    let mut drafting = Drafting::new(evening, prepared, materials, None);
    drafting.advance(FIRST_SEARCH);
    let mut proof = 0;
    while proof < FIRST_PROOF && drafting.drafted().gap() > 0.0 && drafting.advance_bound(SLICE) {
        proof += SLICE;
    }
    if drafting.drafted().gap() > 0.0 {
        drafting.advance(Effort::default().draft - FIRST_SEARCH);
    }
    drafting.drafted()
}

/// How good a draft is.
fn quality(drafted: &Drafted, slack_percent: f64) -> String {
    match drafted.most {
        i64::MAX => "How much better an order could be is not known".to_owned(),
        most if most <= drafted.worth => best_there_is_phrase(slack_percent).to_owned(),
        _ => at_most_phrase(100.0 * drafted.gap(), slack_percent),
    }
}

/// Every Stopper and Caution as one line.
pub fn finding_lines(findings: &[Finding], names: &Names<'_>) -> Vec<String> {
    let line = |finding: &Finding| {
        let (what, remedy) = finding_sentence(finding, names);
        let place = finding_place(finding, names).map_or_else(String::new, |place| format!("{place}: "));
        format!("{}: {place}{what} {remedy}", wording::severity_word(finding.severity)).trim_end().to_owned()
    };
    findings.iter().map(line).collect()
}

/// Makes the outputs first and writes them after, so that a fault leaves nothing half done.
fn write_outputs(
    arguments: &PlanArguments,
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
) -> Outcome {
    let set = OutputSet::new(evening, prepared, materials, FONT);
    for note in set.notes() {
        tell(&note);
    }
    let mut outputs: Vec<(String, Vec<u8>)> = Vec::new();
    for (name, made) in made(arguments, &set) {
        match made {
            Ok(made) => {
                tell_of_calendar(&arguments.out.join(&name), &made);
                outputs.push((name, made.bytes));
            }
            Err(error) => {
                tell(&error.to_string());
                return Outcome::MachineFailed;
            }
        }
    }
    if arguments.problem {
        let drafting = Drafting::new(evening, prepared, materials, None);
        match problem_text(drafting.problem()) {
            Ok(text) => outputs.push((problem_name(arguments.evening.as_deref()), text.into_bytes())),
            Err(error) => {
                tell(&error);
                return Outcome::MachineFailed;
            }
        }
    }
    let written = make_folder(&arguments.out).and_then(|()| {
        outputs.iter().try_for_each(|(name, bytes)| {
            let path = arguments.out.join(name);
            write_whole(&path, bytes)?;
            tell(&format!("wrote {}", path.display()));
            Ok(())
        })
    });
    match written {
        Ok(()) => Outcome::Done,
        Err(error) => {
            tell(&error.to_string());
            Outcome::MachineFailed
        }
    }
}

/// A file's name with what it is to hold.
type File = (String, Result<Made, PdfError>);

/// All that is wanted, in its order, made on as many threads as the machine runs at once: none depends on another.
fn made(arguments: &PlanArguments, set: &OutputSet<'_>) -> Vec<File> {
    let mut jobs: Vec<(Output, Paper)> = Vec::new();
    for output in wanted(arguments) {
        let papers = if output.is_page() { arguments.paper.papers() } else { &Paper::ALL[..1] };
        jobs.extend(papers.iter().map(|paper| (output, *paper)));
    }
    let make = |(output, paper): (Output, Paper)| {
        let name = output.file_name(paper);
        let is_calendar = matches!(output, Output::Calendar(_));
        let previous = is_calendar.then(|| old_text(&arguments.out.join(&name))).flatten();
        (name, set.make(output, paper, previous.as_deref()))
    };
    let next = AtomicUsize::new(0);
    let take = || {
        let mut own: Vec<(usize, File)> = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(job) = jobs.get(index) else { return own };
            own.push((index, make(*job)));
        }
    };
    let others = thread::available_parallelism().map_or(0, |all| all.get() - 1).min(jobs.len());
    let mut made = thread::scope(|scope| {
        let others: Vec<_> = (0..others).map(|_| scope.spawn(take)).collect();
        let mut made = take();
        for other in others {
            made.extend(other.join().unwrap_or_else(|panic| resume_unwind(panic)));
        }
        made
    });
    made.sort_by_key(|(index, _)| *index);
    made.into_iter().map(|(_, file)| file).collect()
}

/// What became of the calendar that a new one replaces, where not all of it stays.
fn tell_of_calendar(path: &Path, made: &Made) {
    let path = path.display();
    if made.previous_unreadable {
        tell(&format!("{path}: the calendar there can't be read, so all events count as new"));
    }
    if made.left_out > 0 {
        let events = numbers::count(made.left_out, "event", "events");
        tell(&format!("{path}: {events} of the calendar there belong to other evenings and are left out"));
    }
}

/// The outputs that are named; all if none is, and the evening as numbers is not either.
fn wanted(arguments: &PlanArguments) -> Vec<Output> {
    let PlanArguments {
        json,
        run_sheet,
        handbill,
        door_card,
        cards,
        calendar,
        site_plan,
        csv,
        picture,
        problem,
        ..
    } = *arguments;
    let pages = run_sheet || handbill || door_card || cards;
    let all = !(pages || calendar || site_plan || json || csv || picture || problem);
    let named = |output: &Output| match output {
        Output::RunSheet => run_sheet,
        Output::Leaf(LeafKind::Handbill | LeafKind::HandbillLarge | LeafKind::HandbillEasy) => handbill,
        Output::Leaf(LeafKind::DoorCard) => door_card,
        Output::Leaf(_) => cards,
        Output::Calendar(_) => calendar,
        Output::SitePlan => site_plan,
        Output::OrderJson => json,
        Output::OrderCsv => csv,
        Output::Picture | Output::Bitmap => picture,
    };
    Output::ALL.into_iter().filter(|output| all || named(output)).collect()
}

/// The problem's file, named after its evening's: `spring.problem.json` for `spring.evening.ron`.
fn problem_name(evening: Option<&Path>) -> String {
    let name = evening.and_then(Path::file_name).map_or("demo".into(), |name| name.to_string_lossy());
    let name = name.strip_suffix(".ron").unwrap_or(&name);
    format!("{}.problem.json", name.strip_suffix(".evening").unwrap_or(name))
}
