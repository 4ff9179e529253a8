//! From an evening without a running order to a printed one, by keys alone.

use std::fs;

use egui::{Key, Modifiers};
use evenfall_app::state::{Selected, StepName};
use evenfall_core::document::write_evening;
use evenfall_core::output::Output;
use evenfall_core::output::pdf::Paper;
use evenfall_core::plan::{EntryKind, OrderRules, Stop, What};
use evenfall_tests::harness::{TestWindow, changed_demo};
use tempfile::TempDir;

fn undo_name(window: &TestWindow) -> Option<StepName> {
    window.harness.state().open().expect("open").history.undo_name().cloned()
}

fn selected(window: &TestWindow) -> Stop {
    window.harness.state().selected_stop().cloned().expect("a stop is selected")
}

/// A target that the order does not show, though it can be.
fn free_target(window: &TestWindow) -> String {
    let open = window.harness.state().open().expect("open");
    let targets = &open.document.stock.catalogue.targets;
    let is_shown = |index: usize| {
        let mut shows = open.document.evening.order.stops().iter().filter_map(Stop::show);
        shows.any(|show| show.target == targets[index].id)
    };
    let free = open.derived.shelf.iter().find(|entry| !is_shown(entry.target_index));
    targets[free.expect("more than is shown").target_index].name.clone()
}

#[test]
fn an_empty_evening_is_planned_saved_and_printed_without_a_mouse() {
    let folder = TempDir::new().expect("a folder");
    let path = changed_demo(folder.path(), &[]);
    assert!(fs::read_to_string(&path).expect("the evening").contains("order: []"), "it begins empty");
    let mut window = TestWindow::open([1280.0, 800.0], 1.0, Some(path.clone()));

    // Another date, drafted anew.
    window.press(Modifiers::NONE, Key::D);
    window.type_text("2027-03-20");
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(window.evening().date.to_string(), "2027-03-20");
    window.press(Modifiers::COMMAND, Key::D);
    assert!(!window.evening().order.stops().is_empty());

    // The stop after the selected one, five minutes later, held.
    window.press(Modifiers::NONE, Key::B);
    let before = selected(&window);
    window.press(Modifiers::NONE, Key::Tab);
    let stop = selected(&window);
    assert_ne!(stop.id, before.id);
    window.press(Modifiers::SHIFT, Key::ArrowRight);
    window.press(Modifiers::NONE, Key::H);
    let held = selected(&window);
    assert_eq!((held.id, held.start().minutes_since(stop.start())), (stop.id, 5.0));
    assert!(held.held.time);

    // An interval after it, with the rest moved along.
    window.press(Modifiers::NONE, Key::M);
    window.press(Modifiers::NONE, Key::I);
    window.type_text("Hot chocolate");
    window.press(Modifiers::NONE, Key::Enter);
    let entry = selected(&window);
    assert_eq!(entry.start(), held.end());
    assert!(matches!(entry.what, What::Entry { kind: EntryKind::Interval, .. }));

    // A target from the Shelf.
    let name = free_target(&window);
    window.type_text("/");
    window.type_text(&name);
    window.press(Modifiers::NONE, Key::ArrowDown);
    window.press(Modifiers::NONE, Key::Enter);
    let brought = selected(&window);
    assert_eq!(window.harness.state().open().expect("open").title(&brought), name);

    // A rule of the trade weighs less.
    window.press(Modifiers::NONE, Key::O);
    window.press(Modifiers::NONE, Key::Tab);
    for _ in 0..3 {
        if window.evening().rules == OrderRules::default() {
            window.press(Modifiers::NONE, Key::ArrowDown);
            window.press(Modifiers::NONE, Key::Tab);
        }
    }
    assert_ne!(window.evening().rules, OrderRules::default(), "{:?}", undo_name(&window));
    window.press(Modifiers::NONE, Key::O);

    // Saved and printed.
    window.press(Modifiers::COMMAND, Key::S);
    let open = window.harness.state().open().expect("open");
    assert!(!open.document.is_dirty(), "{:?}", window.harness.state().view.notice);
    let saved = fs::read_to_string(&path).expect("the evening");
    assert_eq!(saved, write_evening(&open.document.evening, open.zone()));
    window.press(Modifiers::COMMAND, Key::P);
    window.press(Modifiers::COMMAND, Key::Enter);
    for output in Output::ALL {
        let file = folder.path().join("2027-03-20-pages").join(output.file_name(Paper::A4));
        let bytes = fs::read(&file).unwrap_or_else(|error| panic!("{}: {error}", file.display()));
        assert_eq!(bytes.starts_with(b"%PDF-"), output.is_page(), "{}", file.display());
    }
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(window.harness.state().view.dialog, None);
    assert!(matches!(window.harness.state().view.selected, Some(Selected::Stop(_))));
}
