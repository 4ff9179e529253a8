//! Nothing is lost: what a killed window had not saved, earlier saves, two windows on one file.

use std::fs::{self, File};
use std::path::Path;
use std::sync::Arc;
use std::thread;
use std::time::{Duration, Instant};

use chrono::NaiveTime;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use evenfall_app::shell::AtHome;
use evenfall_app::state::{Command, Dialog, Notice, Outside, Selected, apply};
use evenfall_core::document::write_evening;
use evenfall_tests::harness::{TEST_EFFORT, TestWindow, changed_demo};
use tempfile::TempDir;

const SIZE: ([f32; 2], f32) = ([1280.0, 800.0], 1.0);

fn window(home: &Path, evening: Option<&Path>) -> TestWindow {
    let outside = AtHome::in_folders(Some(home.to_owned()), None);
    TestWindow::in_a_world(Arc::new(outside), TEST_EFFORT, SIZE, evening.map(Path::to_owned))
}

fn give(window: &mut TestWindow, command: Command) {
    apply(window.harness.state_mut(), command);
    window.settle();
}

/// Runs frames until something is so.
fn until(window: &mut TestWindow, is_so: impl Fn(&TestWindow) -> bool) {
    let started = Instant::now();
    while !is_so(window) {
        assert!(started.elapsed() < Duration::from_mins(1), "it does not come to that");
        window.harness.step();
        thread::sleep(Duration::from_millis(2));
    }
}

/// Whether the notes of some window hold these words.
fn is_noted(home: &Path, words: &str) -> bool {
    let entries = fs::read_dir(home.join("unsaved")).into_iter().flatten().flatten();
    let texts = entries.map(|entry| fs::read_to_string(entry.path()).unwrap_or_default());
    texts.into_iter().any(|text| text.contains(words))
}

fn bedtime(hour: u32, minute: u32) -> Command {
    Command::SetBedtime(NaiveTime::from_hms_opt(hour, minute, 0).expect("a time of day"))
}

/// Drops a window without closing it, and waits until its worker has let go of its lock.
fn kill(home: &Path, window: TestWindow) {
    drop(window);
    let started = Instant::now();
    let is_free = |path: &Path| File::open(path).is_ok_and(|lock| lock.try_lock().is_ok());
    let locks = || {
        let entries =
            fs::read_dir(home.join("unsaved")).into_iter().flatten().flatten().map(|entry| entry.path());
        entries.filter(|path| path.extension().is_some_and(|ending| ending == "lock")).collect::<Vec<_>>()
    };
    while !locks().iter().all(|lock| is_free(lock)) {
        assert!(started.elapsed() < Duration::from_mins(1), "the worker goes on");
        thread::sleep(Duration::from_millis(5));
    }
}

/// A window that changed the bedtime and was killed: its lock is gone, its notes are there.
fn killed_window(home: &Path, evening: Option<&Path>) -> String {
    let mut killed = window(home, evening);
    give(&mut killed, Command::Dismiss);
    give(&mut killed, bedtime(20, 17));
    until(&mut killed, |_| is_noted(home, "bedtime: \"20:17\""));
    let text = write_evening(killed.evening(), chrono_tz::Europe::London);
    kill(home, killed);
    text
}

#[test]
fn what_a_killed_window_had_not_saved_is_offered_and_taken_up() {
    let (home, files) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let evening = changed_demo(files.path(), &[("Spring star night", "Owl night")]);
    let on_disk = fs::read_to_string(&evening).unwrap();
    let before = killed_window(home.path(), Some(&evening));
    assert_eq!(fs::read_to_string(&evening).unwrap(), on_disk, "the file is as it was");

    let mut next = window(home.path(), None);
    until(&mut next, |next| next.harness.state().view.dialog == Some(Dialog::LeftUnsaved(None)));
    assert!(next.harness.query_all_by_label("Evenfall ended before this was saved").next().is_some());
    next.harness.get_by_label("Throw it away: Owl night at Heron Fell");
    next.harness.get_by_label("Go on with it: Owl night at Heron Fell").click();
    next.harness.step();
    next.settle();
    assert_eq!(next.harness.state().view.dialog, None);
    assert_eq!(write_evening(next.evening(), chrono_tz::Europe::London), before);
    assert!(next.harness.state().open().unwrap().document.is_dirty(), "the file still holds something else");
    assert!(next.harness.state().left_unsaved().is_empty());
    // Killed once more before anything was changed, it is offered once more, once.
    until(&mut next, |_| fs::read_dir(home.path().join("unsaved")).unwrap().count() == 3);
    kill(home.path(), next);
    let mut third = window(home.path(), None);
    until(&mut third, |third| third.harness.state().left_unsaved().len() == 1);
    let left = third.harness.state().left_unsaved()[0].clone();
    give(&mut third, Command::TakeUp(left));
    give(&mut third, Command::Save);
    assert!(
        matches!(third.harness.state().view.notice, Some(Notice::Saved(_))),
        "{:?}",
        third.harness.state().view.notice
    );
    assert_eq!(fs::read_to_string(&evening).unwrap(), before);
    until(&mut third, |_| !is_noted(home.path(), "20:17"));
}

#[test]
fn the_demo_that_was_changed_and_never_saved_comes_back_too() {
    let home = TempDir::new().unwrap();
    let before = killed_window(home.path(), None);
    let mut next = window(home.path(), None);
    until(&mut next, |next| next.harness.state().view.dialog == Some(Dialog::LeftUnsaved(None)));
    next.harness.get_by_label_contains("never saved");
    next.press(Modifiers::NONE, Key::Enter);
    assert_eq!(write_evening(next.evening(), chrono_tz::Europe::London), before);
    assert_eq!(next.harness.state().open().unwrap().document.path, None);
}

#[test]
fn later_keeps_it_and_only_throwing_away_lets_go_of_it() {
    let home = TempDir::new().unwrap();
    killed_window(home.path(), None);
    let mut next = window(home.path(), None);
    until(&mut next, |next| next.harness.state().view.dialog == Some(Dialog::LeftUnsaved(None)));
    next.harness.get_by_label("Later").click();
    next.harness.step();
    next.settle();
    assert_eq!(next.harness.state().view.dialog, None);
    assert!(Command::ShowLeft.allowed(next.harness.state()));
    kill(home.path(), next);
    let mut third = window(home.path(), None);
    until(&mut third, |third| third.harness.state().view.dialog == Some(Dialog::LeftUnsaved(None)));
    let left = third.harness.state().left_unsaved()[0].clone();
    // Asked once more, and kept; then thrown away for good.
    third.harness.get_by_label("Throw it away: Spring star night at Heron Fell").click();
    third.harness.run();
    // The keyboard stands on what keeps it.
    third.press(Modifiers::NONE, Key::Enter);
    assert_eq!(third.harness.state().view.dialog, Some(Dialog::LeftUnsaved(None)));
    give(&mut third, Command::AskForget(left));
    third.harness.run();
    third.harness.get_by_label("Throw it away for good: Spring star night at Heron Fell").click();
    third.harness.run();
    assert_eq!(third.harness.state().view.dialog, None);
    assert!(!Command::ShowLeft.allowed(third.harness.state()));
    until(&mut third, |_| !is_noted(home.path(), "20:17"));
}

#[test]
fn a_window_closed_in_peace_leaves_nothing_even_with_changes_given_up() {
    let home = TempDir::new().unwrap();
    let mut first = window(home.path(), None);
    give(&mut first, Command::Dismiss);
    give(&mut first, bedtime(20, 17));
    until(&mut first, |_| is_noted(home.path(), "20:17"));
    give(&mut first, Command::Undo);
    until(&mut first, |_| !is_noted(home.path(), "20:17"));
    give(&mut first, Command::Redo);
    first.harness.state().close_keeping();
    drop(first);
    assert_eq!(fs::read_dir(home.path().join("unsaved")).unwrap().count(), 0);
}

#[test]
fn an_earlier_save_is_opened_beside_what_the_file_holds_now() {
    let (home, files) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let evening = changed_demo(files.path(), &[]);
    let mut window = window(home.path(), Some(&evening));
    for minute in [5, 6, 7] {
        give(&mut window, bedtime(20, minute));
        give(&mut window, Command::Save);
    }
    let now = fs::read_to_string(&evening).unwrap();
    give(&mut window, Command::ShowEarlier);
    until(&mut window, |window| {
        matches!(&window.harness.state().view.dialog, Some(Dialog::Earlier(Some(_))))
    });
    let Some(Dialog::Earlier(Some(saves))) = window.harness.state().view.dialog.clone() else {
        unreachable!()
    };
    assert_eq!(saves.len(), 3, "two saves, and the file as it was given");
    window.harness.step();
    let title = window.evening().title.clone();
    let told = window.harness.query_all_by_label_contains(&format!("{title}, 0 stops, ")).count();
    assert_eq!(told, 1, "the file as it was given");
    // The keyboard stands on the last of them.
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(window.evening().rules.bedtime, NaiveTime::from_hms_opt(20, 6, 0).unwrap());
    let document = &window.harness.state().open().unwrap().document;
    assert!(document.is_dirty() && document.path.as_ref() == Some(&evening));
    assert_eq!(fs::read_to_string(&evening).unwrap(), now, "opening alone writes nothing");
    give(&mut window, Command::Select(None::<Selected>));
    give(&mut window, Command::Save);
    assert!(fs::read_to_string(&evening).unwrap().contains("bedtime: \"20:06\""));
    let outside = AtHome::default();
    assert_eq!(
        fs::read_to_string(&outside.earlier_saves(&evening)[0].path).unwrap(),
        now,
        "and that is kept in turn"
    );
}

#[test]
fn two_windows_on_one_file_are_told_and_the_second_save_is_stopped() {
    let (home, files) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let evening = changed_demo(files.path(), &[]);
    let mut one = window(home.path(), Some(&evening));
    give(&mut one, bedtime(20, 5));
    let mut other = window(home.path(), Some(&evening));
    until(&mut other, |other| matches!(other.harness.state().view.notice, Some(Notice::OpenElsewhere(_))));
    other.harness.step();
    other.harness.get_by_label_contains("is open in another window of Evenfall too");
    give(&mut other, bedtime(20, 9));
    give(&mut other, Command::Save);
    give(&mut one, Command::Save);
    let Some(Dialog::Report { lines, .. }) = &one.harness.state().view.dialog else {
        panic!("it was not stopped")
    };
    assert!(lines[0].contains("has been changed outside this window"), "{lines:?}");
    assert!(fs::read_to_string(&evening).unwrap().contains("bedtime: \"20:09\""));
}
