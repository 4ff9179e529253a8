//! Drafts that get better while the window is used, how good the order is, what was given up, and why it is so.

use std::fs;
use std::path::PathBuf;
use std::sync::Arc;
use std::thread;
use std::time::{Duration, Instant};

use egui::{Key, Modifiers, Shape};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::shell::Machine;
use evenfall_app::state::{
    AppState, Command, Effort, Notice, PathUse, Quality, Selected, Stage, StepName, apply,
};
use evenfall_app::ui::text;
use evenfall_core::arrange::read_problem;
use evenfall_core::catalogue::TargetId;
use evenfall_core::plan::{Evening, Held, Rule, Stop, StopId, Wish};
use evenfall_tests::harness::{TEST_EFFORT, TestWindow, changed_demo};
use tempfile::TempDir;

/// Longest wait for the worker.
const PATIENCE: Duration = Duration::from_mins(1);

/// A search and a proof that are still under way when the test has done what it has to do.
const ENDLESS: Effort = Effort { draft: u64::MAX, appraisal: u64::MAX, bound: u64::MAX };

fn wait_until(state: &mut AppState, there: impl Fn(&AppState) -> bool) {
    let started = Instant::now();
    loop {
        state.take_answers();
        if there(state) {
            return;
        }
        assert!(started.elapsed() < PATIENCE, "the worker did not answer");
        thread::sleep(Duration::from_millis(1));
    }
}

fn opened(effort: Effort, path: Option<PathBuf>) -> AppState {
    let mut state = AppState::with_effort(Arc::new(Machine), path, effort);
    wait_until(&mut state, |state| state.open().is_some());
    state
}

fn evening(state: &AppState) -> &Evening {
    &state.open().expect("an evening is open").document.evening
}

fn shows(state: &AppState) -> Vec<Stop> {
    evening(state).order.stops().iter().filter(|stop| stop.show().is_some()).cloned().collect()
}

fn remove(state: &mut AppState, stop: StopId) {
    apply(state, Command::Select(Some(Selected::Stop(stop))));
    apply(state, Command::Remove);
}

#[test]
fn the_first_order_is_there_while_better_ones_are_looked_for() {
    let state = opened(ENDLESS, None);
    assert!(state.is_improving() && !state.is_computing());
    assert!(shows(&state).len() > 3);
    let document = &state.open().expect("open").document;
    assert!(!document.is_dirty(), "a fresh demo has nothing to lose");
}

#[test]
fn it_is_told_whole_that_better_orders_are_looked_for() {
    let (long, short) = (text::IMPROVING, text::IMPROVING_SHORT);
    for (width, told) in [(1024.0, long), (1180.0, long), (1220.0, long), (1260.0, short), (1280.0, short)] {
        let size = [width, 800.0];
        let mut window = TestWindow::begun(Arc::new(Machine), ENDLESS, (size, 1.0), None);
        let started = Instant::now();
        while !window.harness.state().is_improving() {
            window.harness.step();
            assert!(started.elapsed() < PATIENCE, "the worker did not answer");
            thread::sleep(Duration::from_millis(1));
        }
        // Longer than what is told at all takes.
        window.harness.run_steps(8);
        let shapes = &window.harness.output().shapes;
        let is_whole = shapes.iter().any(|clipped| {
            matches!(&clipped.shape, Shape::Text(seen) if seen.galley.text() == told && !seen.galley.elided)
        });
        assert!(is_whole, "{size:?}: \"{told}\" is not there, or is cut");
        window.harness.get_by_label(text::IMPROVING);
    }
}

#[test]
fn a_draft_and_all_its_better_orders_are_one_step() {
    let mut state = opened(TEST_EFFORT, None);
    wait_until(&mut state, |state| !state.is_busy());
    for stop in shows(&state).iter().take(3) {
        remove(&mut state, stop.id);
    }
    let before = evening(&state).clone();
    apply(&mut state, Command::DraftAnew);
    wait_until(&mut state, |state| !state.is_computing());
    let worth = |state: &AppState| state.open().and_then(|open| open.appraisal().map(|found| found.own));
    let mut seen = worth(&state).expect("a draft is appraised");
    while state.is_improving() {
        state.take_answers();
        if let Some(now) = worth(&state) {
            assert!(now >= seen, "{now} after {seen}");
            seen = now;
        }
    }
    let open = state.open().expect("open");
    assert_eq!(open.history.undo_name(), Some(&StepName::Drafted));
    assert_ne!(open.document.evening, before);
    apply(&mut state, Command::Undo);
    assert_eq!(*evening(&state), before);
}

#[test]
fn an_edit_ends_the_better_orders_and_late_ones_are_dropped() {
    let mut state = opened(ENDLESS, None);
    let stop = shows(&state)[0].clone();
    apply(&mut state, Command::Select(Some(Selected::Stop(stop.id))));
    apply(&mut state, Command::Nudge(1));
    let edited = evening(&state).clone();
    wait_until(&mut state, |state| !state.is_improving());
    for _ in 0..100 {
        state.take_answers();
        thread::sleep(Duration::from_millis(2));
    }
    assert_eq!(*evening(&state), edited);
    apply(&mut state, Command::Undo);
    assert_eq!(shows(&state)[0], stop);
}

#[test]
fn escape_keeps_the_order_and_lets_the_worker_rest() {
    let mut state = opened(ENDLESS, None);
    wait_until(&mut state, AppState::is_improving);
    apply(&mut state, Command::Dismiss);
    assert!(!state.is_improving());
    let kept = evening(&state).clone();
    wait_until(&mut state, |state| !state.is_appraising());
    assert_eq!(*evening(&state), kept);
    let stage = state.open().and_then(|open| open.appraisal()).map(|found| found.stage);
    assert_eq!(stage, Some(Stage::Done));
}

#[test]
fn files_are_written_and_dates_changed_while_a_draft_goes_on() {
    let mut state = opened(ENDLESS, None);
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("ours.evening.ron");
    apply(&mut state, Command::UsePath(PathUse::Save, path.clone()));
    wait_until(&mut state, |state| !state.is_writing());
    assert!(path.is_file() && state.is_improving());
    apply(&mut state, Command::ShiftDate(1));
    wait_until(&mut state, |state| !state.is_computing());
    assert_eq!(evening(&state).date.to_string(), "2027-03-14");
    apply(&mut state, Command::ShiftDate(1));
    apply(&mut state, Command::ShiftDate(1));
    wait_until(&mut state, |state| !state.is_computing());
    assert_eq!(evening(&state).date.to_string(), "2027-03-16");
}

#[test]
fn a_draft_never_puts_a_worse_order_in_place_of_the_best_one() {
    let mut state = opened(TEST_EFFORT, None);
    wait_until(&mut state, |state| !state.is_busy());
    let best = evening(&state).clone();
    apply(&mut state, Command::DraftAnew);
    wait_until(&mut state, |state| !state.is_busy());
    assert_eq!(*evening(&state), best);
    assert_eq!(state.view.notice, Some(Notice::NothingBetter));
    assert!(state.open().expect("open").history.undo_name().is_none());
}

/// What stands beside the name of the Board.
fn told(window: &TestWindow) -> String {
    let node = window.harness.get_by_label_contains("How good this order is: ");
    let node = node.accesskit_node();
    node.value().or_else(|| node.label()).unwrap_or_default()
}

#[test]
fn how_good_the_order_is_follows_every_edit() {
    let mut window = TestWindow::demo();
    window.settle_all();
    let at_first = told(&window);
    assert!(at_first.contains("at most ") || at_first.contains("The best with time to spare"), "{at_first}");
    let stops = shows(window.harness.state());
    apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(stops[0].id))));
    apply(window.harness.state_mut(), Command::Remove);
    window.settle_all();
    assert!(told(&window).contains("A new draft would be "), "{}", told(&window));
    let found = |window: &TestWindow| {
        let open = window.harness.state().open().expect("open");
        open.appraisal().expect("it is appraised").clone()
    };
    let edited = found(&window);
    let Some(Quality::DraftBetter(percent)) = edited.quality() else { panic!("{edited:?}") };
    let worked_out = 100.0 * (edited.best - edited.own) as f64 / edited.own as f64;
    assert!((percent - worked_out).abs() < 1e-9 && edited.most >= edited.best);
    window.harness.get_by_label_contains("How good this order is: ").click();
    window.settle_all();
    assert!(found(&window).own >= edited.best, "the draft is what was promised");
    assert!(!told(&window).contains("A new draft"), "{}", told(&window));
}

/// Whether the words of the button with this name are there, and whole.
fn is_told_whole(window: &TestWindow, name: &str) -> bool {
    let place = window.harness.get_by_label_contains(name).rect();
    let mut told = window.harness.output().shapes.iter().filter_map(|clipped| match &clipped.shape {
        Shape::Text(seen) if place.contains(seen.pos) => Some(!seen.galley.elided),
        _ => None,
    });
    told.next() == Some(true) && told.next().is_none()
}

#[test]
fn what_a_new_draft_would_be_is_told_whole_in_every_width() {
    for width in [1024.0, 1220.0, 1260.0, 1280.0, 1366.0] {
        let mut window = TestWindow::open([width, 800.0], 1.0, None);
        let stops = shows(window.harness.state());
        apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(stops[0].id))));
        apply(window.harness.state_mut(), Command::Remove);
        window.settle_all();
        assert!(is_told_whole(&window, "A new draft would be "), "{width}");
        let place = Command::Place { stop: stops[2].id, start: stops[1].start(), port: None };
        apply(window.harness.state_mut(), place);
        window.settle_all();
        assert!(is_told_whole(&window, "draft anew to mend"), "{width}");
    }
}

#[test]
fn of_an_order_with_stoppers_only_what_mends_it_is_said() {
    let mut window = TestWindow::demo();
    let stops = shows(window.harness.state());
    let place = Command::Place { stop: stops[1].id, start: stops[0].start(), port: None };
    apply(window.harness.state_mut(), place);
    window.settle_all();
    let words = told(&window);
    assert!(
        words.contains("Stopper") && words.contains("draft anew to mend") && !words.contains("better"),
        "{words}"
    );
    window.press(Modifiers::COMMAND, Key::Z);
    window.settle_all();
    assert!(!told(&window).contains("Stopper"));
}

#[test]
fn a_high_bound_is_never_told_and_nothing_but_a_better_draft_where_a_wish_is_broken() {
    let quality = "How good this order is: ";
    let no_proof = Effort { bound: 1, ..TEST_EFFORT };
    let mut window = TestWindow::in_a_world(Arc::new(Machine), no_proof, ([1280.0, 800.0], 1.0), None);
    window.settle_all();
    let found = |window: &TestWindow| window.harness.state().open().expect("open").quality();
    let high = matches!(found(&window), Some(Quality::AtMost(percent)) if percent > 10.0);
    assert_eq!(window.harness.query_by_label_contains(quality).is_none(), high);
    let order = window.evening().order.clone();
    let folder = TempDir::new().expect("a folder");
    let path = changed_demo(folder.path(), &[("must_show: []", "must_show: [], most_port_changes: 0")]);
    let mut window = TestWindow::open([1280.0, 800.0], 1.0, Some(path));
    window.settle_all();
    let port = shows(window.harness.state())[0].show().expect("a show").port.clone();
    let other = order.stops().iter().filter_map(Stop::show).find(|show| show.port != port).expect("a show");
    let (target, port) = (other.target.clone(), Some(other.port.clone()));
    apply(window.harness.state_mut(), Command::BringOn { target, start: None, port });
    window.settle_all();
    let open = window.harness.state().open().expect("open");
    assert!(open.derived.findings.iter().any(|own| matches!(own.rule, Rule::TooManyPortChanges { .. })));
    let told = open.quality();
    assert!(matches!(told, None | Some(Quality::DraftBetter(_) | Quality::DraftShows(_))), "{told:?}");
    window.press(Modifiers::COMMAND, Key::D);
    window.settle_all();
    let findings = &window.harness.state().open().expect("open").derived.findings;
    assert!(!findings.iter().any(|own| matches!(own.rule, Rule::TooManyPortChanges { .. })), "{findings:?}");
}

#[test]
fn nothing_moves_once_all_is_found_out() {
    let mut window = TestWindow::demo();
    window.settle_all();
    window.harness.run_steps(4);
    let wait = window.harness.output().viewport_output.values().map(|view| view.repaint_delay).min();
    assert!(wait.is_some_and(|wait| wait.as_secs() > 60), "repaints after {wait:?}");
}

#[test]
fn wishes_given_up_are_told_by_name_and_undo_brings_them_back() {
    let mut window = TestWindow::demo();
    let stops = shows(window.harness.state());
    // Two stops held at the same minute: one of them can be kept.
    let held = Held { time: true, port: true };
    for command in [
        Command::Place { stop: stops[1].id, start: stops[0].start(), port: None },
        Command::SetHeld(stops[0].id, held),
        Command::SetHeld(stops[1].id, held),
    ] {
        apply(window.harness.state_mut(), command);
        window.settle();
    }
    let before = window.evening().clone();
    window.press(Modifiers::COMMAND, Key::D);
    let open = window.harness.state().open().expect("open");
    let given_up = open.account.as_ref().expect("something was given up").given_up.clone();
    assert_eq!(given_up.len(), 1, "{given_up:?}");
    let Wish::Stop(lost) = &given_up[0].wish else { panic!("{given_up:?}") };
    let (lost, title) = (lost.id, open.title(lost));
    let kept = if lost == stops[0].id { &stops[1] } else { &stops[0] };
    let kept = open.title(kept);
    window.harness.get_by_label("Wishes given up");
    window.harness.get_by_label_contains(&format!("{title}, held at "));
    window.harness.get_by_label_contains(&format!("o room was found for it beside {kept}, held at "));
    window.harness.get_by_label("Undo brings all back as it was.");
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.evening(), before);
    assert!(window.harness.query_by_label("Wishes given up").is_none());
    window.press(Modifiers::COMMAND, Key::Y);
    window.harness.get_by_label("Wishes given up");
    window.harness.get_by_label("Close").click();
    window.settle();
    assert!(window.harness.query_by_label("Wishes given up").is_none());
}

#[test]
fn the_card_of_a_target_that_must_be_shown_says_why_it_is_not() {
    let folder = TempDir::new().expect("a folder");
    let down = {
        let window = TestWindow::demo();
        let open = window.harness.state().open().expect("open");
        let entry =
            open.derived.shelf.iter().find(|entry| entry.limit.is_some()).expect("one can't be shown");
        open.document.stock.catalogue.targets[entry.target_index].clone()
    };
    let wish = format!("must_show: [\"{}\"]", down.id.0);
    let path = changed_demo(folder.path(), &[("must_show: []", &wish)]);
    let mut window = TestWindow::open([1280.0, 800.0], 1.0, Some(path));
    window.settle_all();
    let select = Command::Select(Some(Selected::Target(down.id.clone())));
    apply(window.harness.state_mut(), select);
    window.settle();
    let told = format!("Given up: {}, which must be shown. At no time this evening ", down.name);
    window.harness.get_by_label_contains(&told);
}

#[test]
fn a_stop_says_why_it_stands_and_swaps_with_its_understudy_by_a_key() {
    let mut window = TestWindow::open([1280.0, 1600.0], 1.0, None);
    window.settle_all();
    window.harness.get_by_label("Why it stands here");
    for words in ["Adds ", " could stand in through "] {
        assert!(window.harness.query_all_by_label_contains(words).next().is_some(), "no {words}");
    }
    let stop = shows(window.harness.state())[0].clone();
    let understudy = stop.show().and_then(|show| show.understudy.clone()).expect("it has an understudy");
    window.press(Modifiers::NONE, Key::H);
    window.settle_all();
    window.harness.get_by_label_contains("Holding stop ");
    window.press(Modifiers::NONE, Key::H);
    window.press(Modifiers::NONE, Key::U);
    let now = window.evening().order.get(stop.id).and_then(|stop| stop.show().cloned()).expect("a show");
    assert_eq!(now.target, understudy);
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.evening().order.get(stop.id).and_then(Stop::show), stop.show());
}

#[test]
fn a_target_that_is_not_shown_has_one_reason_and_its_best_hour() {
    let mut window = TestWindow::open([1280.0, 1600.0], 1.0, None);
    window.settle_all();
    let shown: Vec<TargetId> =
        shows(window.harness.state()).iter().filter_map(|stop| Some(stop.show()?.target.clone())).collect();
    let free = {
        let open = window.harness.state().open().expect("open");
        let targets = &open.document.stock.catalogue.targets;
        let mut best = open.derived.shelf.iter().map(|entry| targets[entry.target_index].clone());
        best.find(|target| !shown.contains(&target.id)).expect("more than is shown")
    };
    apply(window.harness.state_mut(), Command::Select(Some(Selected::Target(free.id.clone()))));
    window.settle();
    window.harness.get_by_label("Why it is not shown");
    let name = format!("{}, ", free.name);
    window.harness.get_by_label_contains(&name).focus();
    window.settle();
    let row = window.harness.get_by_label_contains(&name);
    let told = row.accesskit_node().data().description().unwrap_or_default().to_owned();
    assert!(told.contains("Best "), "{told}");
    assert!(window.harness.query_all_by_label_contains("Best ").next().is_some(), "no best hour");
}

#[test]
fn what_would_change_the_evening_stands_where_nothing_is_selected() {
    let mut window = TestWindow::open([1280.0, 1600.0], 1.0, None);
    window.settle_all();
    window.press(Modifiers::NONE, Key::E);
    window.harness.get_by_label("What would change the evening");
    for words in ["Without the eyepiece", "With doors open ", " visitors more"] {
        let told = window.harness.query_all_by_label_contains(words).next();
        assert!(told.is_some(), "no {words}");
    }
}

#[test]
fn the_problem_is_saved_as_the_solver_reads_it() {
    let mut state = opened(TEST_EFFORT, None);
    wait_until(&mut state, |state| !state.is_busy());
    let folder = TempDir::new().expect("a folder");
    apply(&mut state, Command::ExportProblem);
    assert_eq!(state.view.wants_path, Some(PathUse::ExportProblem));
    let suggested = state.suggested_path(PathUse::ExportProblem);
    assert_eq!(suggested, PathBuf::from("2027-03-13.problem.json"));
    let path = folder.path().join(suggested);
    apply(&mut state, Command::UsePath(PathUse::ExportProblem, path.clone()));
    wait_until(&mut state, |state| !state.is_writing());
    assert_eq!(state.view.notice, Some(Notice::Exported(path.clone())));
    let text = fs::read_to_string(path).expect("the file");
    let problem = read_problem(&text).expect("a sound problem");
    assert!(problem.targets.len() > 20, "{} targets", problem.targets.len());
}
