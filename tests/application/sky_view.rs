//! The sky overhead in the Board's place: opened and left by keys, stops in order, following the minute.

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{Command, Drag, Dragged, Selected, apply};
use evenfall_core::plan::Stop;
use evenfall_tests::harness::TestWindow;

const SKY: &str = "The sky overhead";

fn shown(window: &TestWindow) -> bool {
    window.harness.query_by_role_and_label(Role::Image, SKY).is_some()
}

/// Name and value of every stop on the sky, as they are read out.
fn stops(window: &TestWindow) -> Vec<(String, String)> {
    let stops = window.harness.root().children_recursive().filter_map(|node| {
        let node = node.accesskit_node();
        let name = node.label().filter(|name| name.contains(" in the sky: "))?;
        Some((name, node.value().unwrap_or_default()))
    });
    stops.collect()
}

fn summary(window: &TestWindow) -> String {
    let node = window.harness.get_by_role_and_label(Role::Image, SKY).accesskit_node();
    node.data().description().unwrap_or_default().to_owned()
}

fn reading(window: &TestWindow) -> String {
    let node = window.harness.get_by_role_and_label(Role::Image, SKY).accesskit_node();
    node.value().unwrap_or_default()
}

fn shows(window: &TestWindow) -> Vec<Stop> {
    window.evening().order.stops().iter().filter(|stop| stop.show().is_some()).cloned().collect()
}

#[test]
fn a_key_brings_the_sky_and_takes_it_away() {
    let mut window = TestWindow::demo();
    assert!(!shown(&window));
    window.press(Modifiers::NONE, Key::Y);
    assert!(shown(&window) && window.harness.query_by_label_contains("Sky light: ").is_none());
    window.press(Modifiers::NONE, Key::Y);
    assert!(!shown(&window) && window.harness.query_by_label_contains("Sky light: ").is_some());
    window.harness.get_by_label("Sky").click();
    window.settle();
    assert!(shown(&window));
    window.press(Modifiers::NONE, Key::Escape);
    assert!(!shown(&window));
}

#[test]
fn the_stops_are_told_in_order_with_place_and_next_move() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::Y);
    let (told, order) = (stops(&window), shows(&window));
    assert_eq!(told.len(), order.len());
    for ((name, value), stop) in told.iter().zip(&order) {
        let position = window.evening().order.stops().iter().position(|other| other.id == stop.id);
        let number = position.expect("it stands in the order") + 1;
        assert!(name.starts_with(&format!("Stop {number} in the sky: ")), "{name}");
        assert!(value.starts_with(&format!("{number}, ")) && value.contains("° up"), "{value}");
        assert!(value.contains("next move ") || value.ends_with("the last"), "{value}");
    }
    // Where the first stands is what the core has sampled, by the same rounding.
    let open = window.harness.state().open().expect("the demo is open");
    let (index, _) = open.target(&order[0]).expect("it is in the catalogue");
    let sample = open.derived.prepared.sample(index, order[0].start()).expect("it was sampled");
    let up = format!("{:.0}° up in the", sample.altitude.degrees());
    assert!(told[0].1.contains(&up), "{} without {up}", told[0].1);
    assert!(summary(&window).contains("north up, east right"));
}

#[test]
fn the_sky_follows_the_minute_that_is_read_and_the_selected_stop() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::Y);
    let second = shows(&window)[1].clone();
    apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(second.id))));
    window.settle();
    let at_start = summary(&window);
    assert!(at_start.contains("The telescope is on stop"), "{at_start}");
    window.harness.get_by_label("10 min later").click();
    window.settle();
    assert_eq!(window.harness.state().view.card.minute, Some(second.start().plus_minutes(10.0)));
    assert_ne!(summary(&window), at_start);
    window.harness.get_by_label("10 min earlier").click();
    window.settle();
    assert_eq!(summary(&window), at_start);
}

#[test]
fn a_direction_is_read_by_keys() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::Y);
    window.harness.get_by_role_and_label(Role::Image, SKY).focus();
    window.settle();
    assert!(reading(&window).starts_with("45° up in the south (azimuth 180°)"), "{}", reading(&window));
    window.press(Modifiers::NONE, Key::ArrowLeft);
    window.press(Modifiers::NONE, Key::ArrowUp);
    assert!(reading(&window).starts_with("50° up in the south (azimuth 175°)"), "{}", reading(&window));
    window.press(Modifiers::NONE, Key::Home);
    let zenith = reading(&window);
    assert!(zenith.starts_with("90° up, near the zenith") && zenith.ends_with("in the keyhole"), "{zenith}");
}

#[test]
fn a_stop_is_shaped_on_the_sky_by_the_keys_of_the_board() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::Y);
    let third = shows(&window)[2].clone();
    let name = stops(&window)[2].0.clone();
    window.harness.get_by_label(&name).focus();
    window.settle();
    assert_eq!(window.harness.state().view.selected, Some(Selected::Stop(third.id)));
    window.press(Modifiers::NONE, Key::ArrowRight);
    let moved = window.evening().order.get(third.id).expect("it is still there").start();
    assert!((moved.minutes_since(third.start()) - 1.0).abs() < 1e-6);
}

#[test]
fn what_is_taken_hold_of_brings_the_board_back() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::Y);
    let target = shows(&window)[0].show().expect("it shows a target").target.clone();
    let drag = Drag { what: Dragged::Target(target), grip_minutes: 0.0, spot: None, cancelled: false };
    apply(window.harness.state_mut(), Command::Dragging(Some(drag)));
    assert!(!window.harness.state().view.sky);
}

#[test]
fn a_sky_at_rest_asks_for_no_other_frame() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::Y);
    window.harness.run_steps(4);
    let wait = window.harness.output().viewport_output.values().map(|view| view.repaint_delay).min();
    assert!(wait.is_some_and(|wait| wait.as_secs() > 60), "repaints after {wait:?}");
}
