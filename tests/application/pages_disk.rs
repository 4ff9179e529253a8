//! The pages written to a machine that fails, is slow, or is left: nothing is lost, and everything is told.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use evenfall_app::shell::Machine;
use evenfall_app::state::{
    Command, Dialog, Opened, Outside, PagesEdit, PagesStep, Report, Stock, Written, apply,
};
use evenfall_core::output::Output;
use evenfall_core::output::pdf::Paper;
use evenfall_core::plan::Evening;
use evenfall_tests::harness::{TEST_EFFORT, TestWindow};

use super::pages::{SIZE, click, give, held, step};

/// A machine whose disk fills up after some files, or that waits at a gate before each.
struct Awkward {
    room_for: AtomicUsize,
    written: AtomicUsize,
    gate: AtomicBool,
    at_gate: AtomicBool,
}

impl Awkward {
    fn new(room_for: usize) -> Arc<Self> {
        let (room_for, written) = (AtomicUsize::new(room_for), AtomicUsize::new(0));
        Arc::new(Self { room_for, written, gate: AtomicBool::new(false), at_gate: AtomicBool::new(false) })
    }
}

impl Outside for Awkward {
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
        Machine.save(path, evening, stock, came_from, expected)
    }

    fn write(&self, path: &Path, bytes: &[u8]) -> Result<(), String> {
        self.at_gate.store(true, Ordering::Relaxed);
        while self.gate.load(Ordering::Relaxed) {
            thread::sleep(Duration::from_millis(1));
        }
        if self.written.fetch_add(1, Ordering::Relaxed) >= self.room_for.load(Ordering::Relaxed) {
            return Err(format!("can't write {}: the disk is full. Free some room", path.display()));
        }
        Machine.write(path, bytes)
    }

    fn make_folder(&self, path: &Path) -> Result<(), String> {
        Machine.make_folder(path)
    }

    fn old_text(&self, path: &Path) -> Option<String> {
        Machine.old_text(path)
    }

    fn font(&self) -> &'static [u8] {
        Machine.font()
    }
}

fn awkward(outside: &Arc<Awkward>) -> (TestWindow, PathBuf) {
    let mut window = TestWindow::in_a_world(outside.clone(), TEST_EFFORT, SIZE, None);
    let folder = window.folder.path().join("set");
    window.press(Modifiers::COMMAND, Key::P);
    give(&mut window, Command::Pages(PagesEdit::Folder(folder.display().to_string())));
    (window, folder)
}

#[test]
fn a_full_disk_is_told_with_what_was_written_and_leaves_old_files_as_they_were() {
    let outside = Awkward::new(usize::MAX);
    let (mut window, folder) = awkward(&outside);
    window.press(Modifiers::COMMAND, Key::Enter);
    let before = held(&folder);
    give(&mut window, Command::Pages(PagesEdit::Back));
    give(&mut window, Command::Dismiss);
    give(&mut window, Command::ToggleHold);
    outside.written.store(0, Ordering::Relaxed);
    outside.room_for.store(2, Ordering::Relaxed);
    window.press(Modifiers::COMMAND, Key::P);
    window.press(Modifiers::COMMAND, Key::Enter);
    give(&mut window, Command::Pages(PagesEdit::Replace));
    let of = Output::ALL.len();
    window.harness.get_by_label_contains(&format!("2 of {of} files written to "));
    window.harness.get_by_label("Not written; what was there is as it was");
    let told = window.harness.query_all_by_label_contains("the disk is full").count();
    assert_eq!(told, of - 2, "each file with its reason");
    match step(&window) {
        PagesStep::Done(outcome) => {
            assert_eq!(outcome.written, Output::ALL[..2]);
            let failed: Vec<_> = outcome.failed.iter().map(|(output, _)| *output).collect();
            assert_eq!(failed, Output::ALL[2..]);
        }
        other => panic!("not done, but {other:?}"),
    }
    let after = held(&folder);
    assert_eq!(after.len(), before.len(), "nothing half written lies about");
    for output in &Output::ALL[2..] {
        let name = output.file_name(Paper::A4);
        assert!(after[&name] == before[&name], "{name} was touched");
    }
}

#[test]
fn a_folder_that_can_not_be_made_is_told_once() {
    let mut window = TestWindow::demo();
    let file = window.folder.path().join("a file");
    fs::write(&file, "not a folder").unwrap();
    window.press(Modifiers::COMMAND, Key::P);
    let folder = file.join("set").display().to_string();
    give(&mut window, Command::Pages(PagesEdit::Folder(folder)));
    window.press(Modifiers::COMMAND, Key::Enter);
    window.harness.get_by_label("No file was written");
    assert_eq!(window.harness.query_all_by_label_contains("a file stands where a folder should").count(), 1);
    assert_eq!(fs::read_to_string(&file).unwrap(), "not a folder");
    click(&mut window, "Back to the pages");
    assert!(matches!(step(&window), PagesStep::Choosing));
}

/// Frames until this holds.
fn wait_for(window: &mut TestWindow, holds: impl Fn(&TestWindow) -> bool) {
    let started = Instant::now();
    while !holds(window) {
        window.harness.step();
        assert!(started.elapsed() < Duration::from_mins(1), "it does not come");
        thread::sleep(Duration::from_millis(2));
    }
    window.harness.step();
}

#[test]
fn the_writing_tells_how_far_it_is_and_stops_after_the_file_under_way() {
    let outside = Awkward::new(usize::MAX);
    let (mut window, folder) = awkward(&outside);
    outside.gate.store(true, Ordering::Relaxed);
    apply(window.harness.state_mut(), Command::Pages(PagesEdit::Write));
    wait_for(&mut window, |_| outside.at_gate.load(Ordering::Relaxed));
    window.harness.get_by_label(&format!("1 of {}: Run sheet", Output::ALL.len()));
    assert!(!Command::Pages(PagesEdit::Write).allowed(window.harness.state()), "one set at a time");
    window.harness.key_press(Key::Escape);
    window.harness.step();
    window.harness.step();
    window.harness.get_by_label("Stopping after this file");
    outside.gate.store(false, Ordering::Relaxed);
    window.settle();
    let name = Output::RunSheet.file_name(Paper::A4);
    assert_eq!(held(&folder).into_keys().collect::<Vec<_>>(), [name]);
    window.harness.get_by_label("Stopped before these");
    window.press(Modifiers::NONE, Key::Escape);
    assert_eq!(window.harness.state().view.dialog, None);
}

#[test]
fn a_window_that_closes_waits_for_the_set_and_another_dialog_loses_no_news() {
    let outside = Awkward::new(usize::MAX);
    let (mut window, folder) = awkward(&outside);
    outside.gate.store(true, Ordering::Relaxed);
    apply(window.harness.state_mut(), Command::Pages(PagesEdit::Write));
    apply(window.harness.state_mut(), Command::Close);
    assert!(!window.harness.state().view.may_close);
    outside.gate.store(false, Ordering::Relaxed);
    window.settle();
    assert!(window.harness.state().view.may_close);
    assert_eq!(held(&folder).len(), Output::ALL.len());

    let outside = Awkward::new(1);
    let (mut window, _) = awkward(&outside);
    apply(window.harness.state_mut(), Command::Pages(PagesEdit::Write));
    apply(window.harness.state_mut(), Command::ShowKeys);
    apply(window.harness.state_mut(), Command::Close);
    window.settle();
    assert!(!window.harness.state().view.may_close, "a set that failed keeps the window open");
    let about = Report::NotExported;
    assert!(
        matches!(&window.harness.state().view.dialog, Some(Dialog::Report { about: told, .. }) if *told == about)
    );
}
