//! The state without a window: nothing is lost or misplaced while files are read and written.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use evenfall_app::shell::Machine;
use evenfall_app::state::{
    AppState, Command, Dialog, Drag, Dragged, Notice, Opened, Outside, PathUse, Report, Source, Spot, Stock,
    Then, Written, apply,
};
use evenfall_core::plan::Evening;
use evenfall_tests::harness::TEST_EFFORT;
use tempfile::TempDir;

/// Longest wait for the worker.
const PATIENCE: Duration = Duration::from_mins(1);

/// The machine, but a file is written only while nobody holds the gate, and faults can be had.
#[derive(Default)]
struct Gated {
    gate: Mutex<()>,
    broken: AtomicBool,
}

impl Gated {
    fn pass(&self) {
        drop(self.gate.lock().unwrap_or_else(PoisonError::into_inner));
        assert!(!self.broken.load(Ordering::Relaxed), "the fault that was asked for");
    }
}

impl Outside for Gated {
    fn demo(&self) -> Result<Opened, String> {
        Machine.demo()
    }

    fn open(&self, path: &Path) -> Result<Opened, String> {
        Machine.open(path)
    }

    fn now(&self) -> evenfall_core::time::Instant {
        Machine.now()
    }

    fn is_there(&self, path: &Path) -> bool {
        Machine.is_there(path)
    }

    fn save(
        &self,
        path: &Path,
        evening: &Evening,
        stock: &Stock,
        came_from: Option<&Path>,
        expected: Option<&str>,
    ) -> Result<Written, String> {
        self.pass();
        Machine.save(path, evening, stock, came_from, expected)
    }

    fn write(&self, path: &Path, bytes: &[u8]) -> Result<(), String> {
        self.pass();
        Machine.write(path, bytes)
    }

    fn font(&self) -> &'static [u8] {
        Machine.font()
    }
}

/// An evening saved in a folder of the test, and its state.
struct Bench {
    outside: Arc<Gated>,
    state: AppState,
    folder: TempDir,
    path: PathBuf,
}

impl Bench {
    fn new() -> Self {
        let folder = TempDir::new().expect("a folder");
        let outside = Arc::new(Gated::default());
        let state = AppState::with_effort(outside.clone(), None, TEST_EFFORT);
        let path = folder.path().join("ours.evening.ron");
        let mut bench = Self { outside, state, folder, path };
        bench.settle();
        bench.act(Command::UsePath(PathUse::Save, bench.path.clone()));
        assert!(!bench.is_dirty(), "{:?}", bench.state.view.notice);
        bench
    }

    /// Applies a command; what it asks for goes on.
    fn start(&mut self, command: Command) {
        apply(&mut self.state, command);
    }

    /// Applies a command and waits for all that follows.
    fn act(&mut self, command: Command) {
        self.start(command);
        self.settle();
    }

    fn settle(&mut self) {
        self.wait_until(|state| !state.is_busy());
    }

    fn wait_until(&mut self, there: impl Fn(&AppState) -> bool) {
        let started = Instant::now();
        loop {
            self.state.take_answers();
            if there(&self.state) {
                return;
            }
            assert!(started.elapsed() < PATIENCE, "the worker did not answer");
            thread::sleep(Duration::from_millis(1));
        }
    }

    fn evening(&self) -> &Evening {
        &self.state.open().expect("an evening is open").document.evening
    }

    fn is_dirty(&self) -> bool {
        self.state.open().expect("an evening is open").document.is_dirty()
    }

    /// Closes what the window reports, and gives its lines.
    fn report(&mut self, about: Report) -> String {
        match self.state.view.dialog.take() {
            Some(Dialog::Report { about: told, lines }) if told == about => lines.join("\n"),
            other => panic!("no such report, but {other:?}"),
        }
    }

    /// Another evening beside the first, under another title.
    fn other(&self) -> PathBuf {
        let path = self.folder.path().join("other.evening.ron");
        let text = fs::read_to_string(&self.path).expect("the evening");
        fs::write(&path, text.replacen("title: \"", "title: \"Other ", 1)).expect("a copy");
        path
    }
}

/// What a file holds.
fn held(path: &Path) -> Evening {
    Machine.open(path).expect("an evening").evening
}

#[test]
fn a_save_never_answers_for_another_evening() {
    let mut bench = Bench::new();
    let (path, other) = (bench.path.clone(), bench.other());
    let ours = bench.evening().clone();
    bench.start(Command::UsePath(PathUse::Open, other.clone()));
    bench.wait_until(|state| {
        state.date().is_some() && state.pending().is_none_or(|pending| pending.date.is_some())
    });
    bench.act(Command::Save);
    let document = &bench.state.open().expect("open").document;
    assert!(document.evening.title.starts_with("Other "));
    assert_eq!(document.path, Some(other.clone()));
    bench.act(Command::Save);
    assert_eq!(held(&path), ours);
    assert_eq!(held(&other), *bench.evening());
}

#[test]
fn edits_made_during_a_save_are_saved_before_the_window_closes() {
    let mut bench = Bench::new();
    let outside = Arc::clone(&bench.outside);
    let shut = outside.gate.lock().expect("a gate");
    bench.start(Command::Nudge(1));
    bench.start(Command::Save);
    bench.start(Command::Nudge(5));
    bench.start(Command::Close);
    assert_eq!(bench.state.view.dialog, Some(Dialog::Unsaved(Then::Close)));
    bench.start(Command::SaveThen(Then::Close));
    drop(shut);
    bench.settle();
    assert!(bench.state.view.may_close && !bench.is_dirty());
    assert_eq!(held(&bench.path), *bench.evening());
}

#[test]
fn a_window_waits_for_a_file_being_written_and_stays_when_that_fails() {
    let mut bench = Bench::new();
    let outside = Arc::clone(&bench.outside);
    let numbers = bench.folder.path().join("ours.json");
    let nowhere = bench.folder.path().join("nowhere").join("ours.json");
    for (path, closes) in [(nowhere, false), (numbers, true)] {
        let shut = outside.gate.lock().expect("a gate");
        bench.start(Command::UsePath(PathUse::ExportProblem, path.clone()));
        bench.start(Command::Close);
        assert!(!bench.state.view.may_close);
        drop(shut);
        bench.settle();
        assert_eq!((path.is_file(), bench.state.view.may_close), (closes, closes), "{}", path.display());
    }
}

#[test]
fn a_save_that_fails_keeps_the_window_and_the_edits() {
    let mut bench = Bench::new();
    bench.start(Command::Nudge(1));
    fs::remove_file(&bench.path).expect("the evening");
    fs::create_dir(&bench.path).expect("a folder of its name");
    bench.act(Command::SaveThen(Then::Close));
    assert!(!bench.state.view.may_close && bench.is_dirty());
    bench.report(Report::NotSaved);
    fs::remove_dir(&bench.path).expect("the folder");
    bench.act(Command::Save);
    assert!(!bench.state.view.may_close && !bench.is_dirty());
}

#[test]
fn edits_made_while_a_file_is_chosen_are_asked_about() {
    let mut bench = Bench::new();
    let (path, other) = (bench.path.clone(), bench.other());
    bench.start(Command::Open);
    assert_eq!(bench.state.view.wants_path.take(), Some(PathUse::Open));
    bench.start(Command::Nudge(7));
    bench.act(Command::UsePath(PathUse::Open, other.clone()));
    assert_eq!(bench.state.view.dialog, Some(Dialog::Unsaved(Then::Open(Source::File(other.clone())))));
    let edited = bench.evening().clone();
    bench.act(Command::SaveThen(Then::Open(Source::File(other.clone()))));
    assert_eq!(bench.state.open().expect("open").document.path, Some(other));
    assert_eq!(held(&path), edited);
}

#[test]
fn changes_given_up_are_not_asked_about_twice() {
    let mut bench = Bench::new();
    let other = bench.other();
    bench.start(Command::Nudge(7));
    bench.start(Command::Open);
    assert_eq!(bench.state.view.dialog, Some(Dialog::Unsaved(Then::ChooseFile)));
    bench.start(Command::DiscardThen(Then::ChooseFile));
    bench.act(Command::UsePath(PathUse::Open, other.clone()));
    assert_eq!(bench.state.view.dialog, None);
    assert_eq!(bench.state.open().expect("open").document.path, Some(other));
}

#[test]
fn escape_during_an_undo_loses_no_step() {
    let mut bench = Bench::new();
    let first = bench.evening().clone();
    // More dates than skies are kept, so that the way back has to be computed.
    for _ in 0..5 {
        bench.act(Command::ShiftDate(1));
    }
    for _ in 0..4 {
        bench.act(Command::Undo);
    }
    let second = bench.evening().clone();
    bench.state.view.notice = None;
    bench.start(Command::Undo);
    assert!(bench.state.is_computing());
    bench.act(Command::Dismiss);
    assert_eq!(*bench.evening(), second);
    bench.act(Command::Undo);
    assert_eq!(*bench.evening(), first);
    bench.act(Command::Redo);
    assert_eq!(*bench.evening(), second);
}

#[test]
fn a_stop_removed_while_it_is_dragged_comes_back_where_it_was() {
    let mut bench = Bench::new();
    let before = bench.evening().clone();
    let stop = bench.state.selected_stop().expect("a stop").clone();
    let spot = Spot { at: stop.start().plus_minutes(30.0), port: stop.show().map(|show| show.port.clone()) };
    let drag = Drag { what: Dragged::Stop(stop.id), grip_minutes: 0.0, spot: Some(spot), cancelled: false };
    bench.start(Command::Dragging(Some(drag.clone())));
    assert!(bench.state.view.drag.is_some());
    // The pointer moves in the frame in which the key is pressed.
    bench.start(Command::Remove);
    bench.start(Command::Dragging(Some(drag)));
    assert_eq!(bench.state.view.drag, None);
    bench.act(Command::Undo);
    assert_eq!(bench.state.view.drag, None);
    assert_eq!(*bench.evening(), before);
}

#[test]
fn after_a_fault_in_the_worker_the_evening_can_still_be_saved() {
    let mut bench = Bench::new();
    bench.start(Command::Nudge(1));
    let export = Command::UsePath(PathUse::ExportProblem, bench.folder.path().join("a.json"));
    let save = Command::SaveThen(Then::Close);
    for (command, about) in [(save, Report::NotSaved), (export, Report::NotExported)] {
        bench.outside.broken.store(true, Ordering::Relaxed);
        bench.act(command);
        let words = bench.report(about);
        assert!(words.contains("fault in Evenfall"), "{words}");
        assert!(bench.is_dirty() && !bench.state.view.may_close);
    }
    bench.outside.broken.store(false, Ordering::Relaxed);
    bench.act(Command::Save);
    assert!(!bench.is_dirty());
    assert_eq!(held(&bench.path), *bench.evening());
}

#[test]
fn no_file_of_the_evening_is_replaced_by_another_kind_of_file() {
    let mut bench = Bench::new();
    let site = bench.folder.path().join("heron-fell.site.ron");
    let (evening_before, site_before) = (held(&bench.path), fs::read(&site).expect("the site"));
    bench.act(Command::Replace(PathUse::Save, site.clone()));
    let words = bench.report(Report::NotSaved);
    assert!(words.contains("holds its site"), "{words}");
    bench.act(Command::Replace(PathUse::ExportProblem, bench.path.clone()));
    assert_eq!(fs::read(&site).expect("the site"), site_before);
    assert_eq!(held(&bench.path), evening_before);
    let numbers = bench.folder.path().join("ours.evening.ron.problem.json");
    assert_eq!(bench.state.view.notice, Some(Notice::Exported(numbers)));
}

#[test]
fn a_file_changed_by_others_is_not_saved_over_unless_that_is_agreed() {
    let mut bench = Bench::new();
    let path = bench.path.clone();
    bench.act(Command::UsePath(PathUse::Open, path.clone()));
    let theirs = fs::read_to_string(&path).expect("the evening").replacen("title: \"", "title: \"Their ", 1);
    fs::write(&path, &theirs).expect("their change");
    bench.start(Command::Nudge(1));
    bench.act(Command::SaveThen(Then::Close));
    let words = bench.report(Report::NotSaved);
    assert!(words.contains("Save as"), "{words}");
    assert!(bench.is_dirty() && !bench.state.view.may_close);
    assert_eq!(fs::read_to_string(&path).expect("the evening"), theirs);
    bench.act(Command::Replace(PathUse::Save, path.clone()));
    assert_eq!(held(&path), *bench.evening());
    // From now on the file holds what was written.
    bench.start(Command::Nudge(1));
    bench.act(Command::Save);
    assert!(!bench.is_dirty());
    fs::remove_file(&path).expect("the evening");
    bench.act(Command::Save);
    assert_eq!(held(&path), *bench.evening());
}

#[test]
fn a_date_pressed_while_another_evening_opens_changes_neither() {
    let mut bench = Bench::new();
    let other = bench.other();
    let date = bench.evening().date;
    bench.start(Command::UsePath(PathUse::Open, other.clone()));
    bench.act(Command::ShiftDate(1));
    assert_eq!(bench.state.open().expect("open").document.path, Some(other));
    assert_eq!(bench.evening().date, date);
}
