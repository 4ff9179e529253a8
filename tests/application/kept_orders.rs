//! Running orders kept beside the one on the Board: kept, switched to before and during the evening, forgotten.

use std::sync::Arc;

use chrono::DateTime;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use evenfall_app::state::{Command, Dialog, Selected, StepName, apply};
use evenfall_core::plan::Stop;
use evenfall_core::time::Instant;
use evenfall_tests::harness::{Stopped, TEST_EFFORT, TestWindow};

fn shows(window: &TestWindow) -> Vec<Stop> {
    window.evening().order.stops().iter().filter(|stop| stop.show().is_some()).cloned().collect()
}

/// Keeps the order on the Board by keys and the name typed.
fn keep(window: &mut TestWindow, name: &str) {
    window.press(Modifiers::NONE, Key::V);
    window.type_text(name);
    window.press(Modifiers::NONE, Key::Enter);
    window.press(Modifiers::NONE, Key::Escape);
    assert_eq!(window.harness.state().view.dialog, None);
}

fn remove(window: &mut TestWindow, stop: &Stop) {
    apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(stop.id))));
    apply(window.harness.state_mut(), Command::Remove);
    window.settle();
}

fn undo_name(window: &TestWindow) -> Option<StepName> {
    window.harness.state().open().expect("open").history.undo_name().cloned()
}

#[test]
fn an_order_is_kept_switched_to_forgotten_and_each_is_undone_by_name() {
    let mut window = TestWindow::demo();
    let whole = window.evening().clone();
    keep(&mut window, "Cloudy");
    assert_eq!(undo_name(&window), Some(StepName::OrderKept("Cloudy".to_owned())));
    let first = shows(&window)[0].clone();
    remove(&mut window, &first);
    window.press(Modifiers::NONE, Key::V);
    assert_eq!(window.harness.state().view.dialog, Some(Dialog::KeptOrders(String::new())));
    window.harness.get_by_label("Switch to Cloudy").click();
    window.settle();
    assert_eq!((&window.evening().order, window.evening().version.as_str()), (&whole.order, "Cloudy"));
    window.harness.get_by_label("Undo: switch to the order Cloudy").click();
    window.settle();
    assert!(window.evening().order.get(first.id).is_none());
    window.press(Modifiers::NONE, Key::V);
    window.harness.get_by_label("Forget Cloudy").click();
    window.settle();
    window.harness.get_by_label("None is kept yet.");
    window.press(Modifiers::NONE, Key::Escape);
    assert_eq!(undo_name(&window), Some(StepName::OrderDropped("Cloudy".to_owned())));
    for _ in 0..3 {
        window.press(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(*window.evening(), whole);
}

#[test]
fn while_doors_are_open_what_has_been_shown_stays() {
    // 20:47 on the demonstration's evening, whose clock (GMT) is UTC.
    let now = DateTime::parse_from_rfc3339("2027-03-13T20:47:00Z").expect("a time").to_utc();
    let now = Instant::from_utc(now);
    let outside = Arc::new(Stopped { now });
    let mut window = TestWindow::in_a_world(outside, TEST_EFFORT, ([1280.0, 800.0], 1.0), None);
    let kept = shows(&window);
    let begun = kept.iter().find(|stop| stop.start() < now).expect("one has begun").clone();
    let to_come = kept.iter().rfind(|stop| stop.start() > now).expect("one is to come").clone();
    remove(&mut window, &begun);
    apply(window.harness.state_mut(), Command::KeepOrder("Without".to_owned()));
    apply(
        window.harness.state_mut(),
        Command::BringOn {
            target: begun.show().expect("a show").target.clone(),
            start: Some(begun.start()),
            port: None,
        },
    );
    window.settle();
    let begun = shows(&window)
        .into_iter()
        .find(|stop| stop.show().map(|show| &show.target) == begun.show().map(|show| &show.target));
    let begun = begun.filter(|stop| stop.start() < now).expect("it has begun again");
    remove(&mut window, &to_come);
    apply(window.harness.state_mut(), Command::SwitchOrder("Without".to_owned()));
    window.settle();
    assert_eq!(window.evening().order.get(begun.id), Some(&begun), "what has begun stays");
    assert!(shows(&window).iter().any(|stop| stop.show() == to_come.show()), "the rest is the other order's");
}
