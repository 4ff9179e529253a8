//! House and doors: set by keys alone, judged as it is typed, one step that Undo names and takes back.

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{Command, Dialog, HouseForm, StepName, apply};
use evenfall_core::document::{read_evening, write_evening};
use evenfall_tests::harness::TestWindow;

fn form(window: &TestWindow) -> HouseForm {
    match &window.harness.state().view.dialog {
        Some(Dialog::House(form)) => form.clone(),
        other => panic!("no form but {other:?}"),
    }
}

fn answer(window: &mut TestWindow, change: impl FnOnce(&mut HouseForm)) {
    window.press(Modifiers::NONE, Key::W);
    let mut form = form(window);
    change(&mut form);
    apply(window.harness.state_mut(), Command::HouseForm(form));
    window.settle();
}

fn set(window: &mut TestWindow) {
    window.harness.get_by_role_and_label(Role::Button, "Set it").click();
    window.settle();
}

#[test]
fn doors_and_visitors_are_one_step_and_the_order_stays() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let close = "22:45:00".parse().expect("a clock time");
    answer(&mut window, |form| {
        form.doors_close = close;
        form.visitors = 90;
    });
    set(&mut window);
    assert_eq!(window.harness.state().view.dialog, None);
    let after = window.evening().clone();
    assert_eq!((after.house.visitors, after.programme.doors_close), (90, close));
    assert_eq!(after.order, before.order);
    let open = window.harness.state().open().expect("open");
    assert_eq!(open.derived.prepared.doors.minutes(), 255.0);
    assert_eq!(open.history.undo_name(), Some(&StepName::HouseAndDoorsSet));
    // What is written is read again.
    let zone = open.derived.prepared.night.local.zone();
    assert_eq!(
        read_evening("written", &write_evening(&after, zone)).expect("it is sound").house,
        after.house
    );
    window.harness.get_by_label("Undo: change house and doors");
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.evening(), before);
}

#[test]
fn the_title_is_typed_and_taken_by_keys_alone() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::W);
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text("A night for the scouts");
    window.press(Modifiers::NONE, Key::Enter);
    window.settle();
    assert_eq!(window.evening().title, "A night for the scouts");
    window.harness.get_by_label("Undo: call the evening A night for the scouts");
    // Escape changes nothing.
    answer(&mut window, |form| form.visitors = 7);
    window.press(Modifiers::NONE, Key::Escape);
    assert_ne!(window.evening().house.visitors, 7);
}

#[test]
fn what_cannot_be_is_told_and_not_taken() {
    let mut window = TestWindow::demo();
    answer(&mut window, |form| (form.visitors, form.children) = (20, 21));
    window.harness.get_by_label_contains("more children than visitors");
    let button = window.harness.get_by_role_and_label(Role::Button, "Set it");
    assert!(button.accesskit_node().is_disabled());
    for field in ["Doors open", "Doors close", "Visitors expected", "One look at the eyepiece"] {
        let fields = window.harness.query_all_by_label(field);
        assert!(
            fields.into_iter().any(|node| node.accesskit_node().data().description().is_some()),
            "{field} has no range"
        );
    }
}
