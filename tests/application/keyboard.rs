//! A running order made without a mouse.

use chrono_tz::Europe::London;
use egui::accesskit::Action;
use egui::{Event, Key, Modifiers, MouseWheelSource, MouseWheelUnit, TouchPhase, pos2, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{Command, Selected, apply};
use evenfall_core::document::write_evening;
use evenfall_core::plan::{Held, StopId};
use evenfall_tests::harness::TestWindow;

fn selected(window: &TestWindow) -> StopId {
    match window.harness.state().view.selected {
        Some(Selected::Stop(stop)) => stop,
        ref other => panic!("no stop is selected: {other:?}"),
    }
}

#[test]
fn keys_push_hold_and_remove_a_stop() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let id = selected(&window);
    let start = before.order.get(id).expect("the stop").start();
    let now = |window: &TestWindow| window.evening().order.get(id).cloned();
    window.press(Modifiers::NONE, Key::ArrowRight);
    window.press(Modifiers::SHIFT, Key::ArrowRight);
    window.press(Modifiers::NONE, Key::ArrowLeft);
    assert_eq!(now(&window).expect("the stop").start().minutes_since(start), 5.0);
    window.press(Modifiers::NONE, Key::H);
    assert_eq!(now(&window).expect("the stop").held, Held { time: true, port: true });
    window.press(Modifiers::NONE, Key::Delete);
    assert_eq!(now(&window), None);
    for _ in 0..3 {
        window.press(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(*window.evening(), before);
    for _ in 0..3 {
        window.press(Modifiers::COMMAND, Key::Y);
    }
    assert_eq!(now(&window), None);
}

#[test]
fn up_and_down_change_the_port() {
    let mut window = TestWindow::demo();
    let id = selected(&window);
    let port = |window: &TestWindow| {
        window.evening().order.get(id).and_then(|stop| stop.show().map(|show| show.port.clone()))
    };
    let first = port(&window);
    window.press(Modifiers::NONE, Key::ArrowDown);
    if port(&window) == first {
        window.press(Modifiers::NONE, Key::ArrowUp);
    }
    assert_ne!(port(&window), first);
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(port(&window), first);
}

#[test]
fn a_target_is_found_and_brought_on_by_keys_alone() {
    let mut window = TestWindow::demo();
    let before = window.evening().order.stops().len();
    let name = {
        let open = window.harness.state().open().expect("open");
        let shown: Vec<_> = open
            .document
            .evening
            .order
            .stops()
            .iter()
            .filter_map(|stop| stop.show().map(|show| show.target.clone()))
            .collect();
        let targets = &open.document.stock.catalogue.targets;
        let free = open.derived.shelf.iter().map(|entry| &targets[entry.target_index]);
        free.clone().find(|target| !shown.contains(&target.id)).expect("more than is shown").name.clone()
    };
    window.type_text("/");
    window.type_text(&name);
    window.press(Modifiers::NONE, Key::ArrowDown);
    window.press(Modifiers::NONE, Key::Enter);
    let order = &window.evening().order;
    assert_eq!(order.stops().len(), before + 1, "{name} was not brought on");
    let open = window.harness.state().open().expect("open");
    let stop = order.get(selected(&window)).expect("the new stop is selected");
    assert_eq!(open.title(stop), name);
}

#[test]
fn arrows_walk_the_shelf_and_the_card_follows() {
    let mut window = TestWindow::demo();
    let names: Vec<_> = {
        let open = window.harness.state().open().expect("open");
        let targets = &open.document.stock.catalogue.targets;
        open.derived.shelf.iter().take(20).map(|entry| targets[entry.target_index].clone()).collect()
    };
    window.harness.get_by_label_contains(&format!("{}, ", names[0].name)).focus();
    window.settle();
    for target in &names {
        assert_eq!(window.harness.state().view.selected, Some(Selected::Target(target.id.clone())));
        window.press(Modifiers::NONE, Key::ArrowDown);
    }
    for _ in 0..5 {
        window.press(Modifiers::NONE, Key::ArrowUp);
    }
    let fifth_from_below = &names[names.len() - 5];
    assert_eq!(window.harness.state().view.selected, Some(Selected::Target(fifth_from_below.id.clone())));
}

#[test]
fn letters_typed_into_a_field_command_nothing() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    window.type_text("/");
    for (key, letter) in [(Key::H, "h"), (Key::R, "r"), (Key::D, "d")] {
        window.harness.key_press(key);
        window.type_text(letter);
    }
    window.press(Modifiers::NONE, Key::Backspace);
    assert_eq!(window.harness.state().view.search, "hr");
    assert_eq!(*window.evening(), before);
}

#[test]
fn whatever_the_keyboard_can_reach_has_a_name() {
    let window = TestWindow::demo();
    let mut reached = 0;
    for node in window.harness.root().children_recursive() {
        let node = node.accesskit_node();
        if node.data().supports_action(Action::Focus) {
            reached += 1;
            let named = node.label().is_some_and(|label| !label.is_empty());
            assert!(named, "{:?} at {:?} has no name", node.role(), node.raw_bounds());
        }
    }
    // The targets of the Shelf that are seen, every stop, the buttons and fields.
    assert!(reached > 50, "only {reached} can be reached");
}

#[test]
fn the_list_of_keys_opens_and_closes() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::F1);
    window.harness.get_by_label("One minute earlier");
    window.press(Modifiers::NONE, Key::Escape);
    assert!(window.harness.query_by_label("One minute earlier").is_none());
}

#[test]
fn fifty_steps_taken_back_leave_the_same_file() {
    let mut window = TestWindow::demo();
    let written = |window: &TestWindow| write_evening(window.evening(), London);
    let before = written(&window);
    for step in 0..50 {
        let key = [Key::H, Key::ArrowRight][step % 2];
        window.harness.key_press(key);
        window.harness.step();
    }
    assert_ne!(written(&window), before);
    for _ in 0..50 {
        window.press(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(written(&window), before);
    assert!(window.harness.state().open().expect("open").history.undo_name().is_none());
}

#[test]
fn dates_pressed_faster_than_they_are_computed_add_up() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    for _ in 0..3 {
        window.harness.key_press(Key::PageDown);
    }
    window.settle();
    assert_eq!(window.evening().date.to_string(), "2027-03-16");
    while window.evening().date != before.date {
        window.press(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(*window.evening(), before);
}

#[test]
fn the_list_of_keys_opens_at_its_top_each_time() {
    let mut window = TestWindow::open([1024.0, 400.0], 1.0, None);
    let top = |window: &TestWindow| window.harness.get_by_label("The selected stop").rect().top();
    apply(window.harness.state_mut(), Command::ShowKeys);
    window.settle();
    let at_first = top(&window);
    window.harness.hover_at(pos2(512.0, 200.0));
    window.settle();
    window.harness.event(Event::MouseWheel {
        unit: MouseWheelUnit::Point,
        delta: vec2(0.0, -150.0),
        phase: TouchPhase::Move,
        source: MouseWheelSource::Wheel,
        modifiers: Modifiers::NONE,
    });
    window.harness.run_steps(40);
    assert!(top(&window) < at_first - 50.0, "scrolled");
    window.press(Modifiers::NONE, Key::Escape);
    apply(window.harness.state_mut(), Command::ShowKeys);
    window.settle();
    assert_eq!(top(&window), at_first);
}
