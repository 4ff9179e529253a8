//! House and doors: set by keys alone, judged as it is typed, one step that Undo names and takes back.

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Node;
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{Command, CrowdWay, Dialog, HouseForm, StepName, apply};
use evenfall_core::catalogue::Kind;
use evenfall_core::document::{read_evening, write_evening};
use evenfall_core::plan::VisitorPart;
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
    window.press(Modifiers::NONE, Key::Escape);
    assert_eq!(window.harness.state().view.dialog, None);
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

#[test]
fn coming_going_and_looks_by_kind_are_asked_and_read_back() {
    // All that is asked is in view at once.
    let mut window = TestWindow::open([1280.0, 1500.0], 1.0, None);
    let before = window.evening().clone();
    window.press(Modifiers::NONE, Key::W);
    for way in ["Coming", "Going"] {
        window.harness.get_by_label(&format!("{way}: As usual")).click();
        window.settle();
    }
    let arrivals = form(&window).arrivals.expect("the usual ones to begin with");
    assert!(arrivals.len() > 2, "{arrivals:?}");
    window.harness.get_by_label("Drop: Coming, part 2").click();
    window.settle();
    window.harness.get_by_label("Coming: Another part").click();
    window.settle();
    let share = window.harness.get_by_role_and_label(Role::SpinButton, "Coming, part 1: share");
    let described = share.accesskit_node().data().description().map(str::to_owned);
    assert!(described.is_some_and(|words| words.contains("From 0.1 to 100 percent")), "unit and range");
    let mut filled = form(&window);
    filled.set_kind(Kind::Galaxy, Some(75));
    apply(window.harness.state_mut(), Command::HouseForm(filled.clone()));
    window.settle();
    window.harness.get_by_role_and_label(Role::SpinButton, "One look: Galaxy");
    set(&mut window);
    let after = window.evening().clone();
    assert_eq!(after.house.arrivals, filled.arrivals.expect("parts"));
    assert_eq!(after.house.leaving, filled.leaving);
    assert_eq!(after.house.seconds_by_kind, [(Kind::Galaxy, 75.0)]);
    let zone = window.harness.state().open().expect("open").zone();
    let again = read_evening("written", &write_evening(&after, zone)).expect("it is sound");
    assert_eq!(again.house, after.house);
    window.harness.get_by_label("Undo: change the house");
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.evening(), before);
}

#[test]
fn a_crowd_that_cannot_be_is_told_as_it_is_typed() {
    let mut window = TestWindow::demo();
    let part = |from_minutes, until_minutes, percent| VisitorPart { from_minutes, until_minutes, percent };
    answer(&mut window, |form| form.leaving = Some(vec![part(90.0, 60.0, 20.0)]));
    window.harness.get_by_label_contains("Going, part 1: its last visitor would be there before its first");
    for (leaving, told) in [
        (vec![part(90.0, 120.0, 60.0), part(120.0, 150.0, 70.0)], "130% of the visitors go in all"),
        (vec![part(0.0, 10.0, 90.0)], "90% have gone by 10 min after doors open, when"),
    ] {
        let mut form = form(&window);
        form.leaving = Some(leaving);
        apply(window.harness.state_mut(), Command::HouseForm(form));
        window.settle();
        window.harness.get_by_label_contains(told);
        let button = window.harness.get_by_role_and_label(Role::Button, "Set it");
        assert!(button.accesskit_node().is_disabled());
    }
    // Without a part, all stay; that can be.
    let mut form = form(&window);
    form.drop_part(CrowdWay::Going, 0);
    apply(window.harness.state_mut(), Command::HouseForm(form));
    window.settle();
    window.harness.get_by_label("All stay until doors close.");
    assert!(!window.harness.get_by_role_and_label(Role::Button, "Set it").accesskit_node().is_disabled());
}

#[test]
fn escape_leaves_the_field_first_and_a_click_beside_throws_nothing_away() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::W);
    window.type_text("x");
    window.press(Modifiers::NONE, Key::Escape);
    assert!(form(&window).title.contains('x'), "what was typed stays");
    window.harness.hover_at(egui::pos2(4.0, 400.0));
    window.harness.drag_at(egui::pos2(4.0, 400.0));
    window.harness.drop_at(egui::pos2(4.0, 400.0));
    window.settle();
    form(&window);
    window.press(Modifiers::NONE, Key::Escape);
    assert_eq!(window.harness.state().view.dialog, None);
}

#[test]
fn enter_takes_a_number_and_leads_on_to_the_next() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::W);
    window.harness.get_by_role_and_label(Role::SpinButton, "Visitors expected").focus();
    window.settle();
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text("85");
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(form(&window).visitors, 85);
    let all = window.harness.root().children_recursive();
    let focused = all.into_iter().find(Node::is_focused).and_then(|node| node.accesskit_node().label());
    assert_eq!(focused.as_deref(), Some("Children among them"));
}
