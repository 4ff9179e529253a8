//! The unrolled sky in the Board's place: opened and left by keys, stops in order, following the minute.

use egui::accesskit::Role;
use egui::{Key, Modifiers, Pos2, Shape, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{Command, Drag, Dragged, Selected, apply};
use evenfall_core::plan::Stop;
use evenfall_core::sheet::numbers;
use evenfall_tests::harness::TestWindow;

const SKY: &str = "The sky unrolled";

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
    assert!(summary(&window).contains("unrolled as the telescope turns"));
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
fn the_sky_follows_a_stop_that_keys_move_at_once() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::Y);
    let third = shows(&window)[2].clone();
    apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(third.id))));
    window.settle();
    let name = stops(&window)[2].0.clone();
    let about = |window: &TestWindow| {
        let node = window.harness.get_by_label(&name).accesskit_node();
        node.data().description().unwrap_or_default().to_owned()
    };
    let night = window.harness.state().open().expect("open").derived.prepared.night.local.clone();
    let place = window.harness.get_by_label(&name).rect();
    for minutes in [1, 2, 3] {
        apply(window.harness.state_mut(), Command::Nudge(minutes));
        // One frame, without waiting for anything.
        window.harness.step();
        let start = window.evening().order.get(third.id).expect("it is still there").start();
        let clock = numbers::clock(night.local(start));
        assert!(about(&window).contains(&clock), "{} without {clock}", about(&window));
    }
    // Six minutes later its target stands elsewhere, and so does what is drawn of it.
    assert_ne!(window.harness.get_by_label(&name).rect(), place);
}

#[test]
fn where_the_mount_turns_every_move_is_told_and_a_stop_is_chosen_by_the_pointer() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::Y);
    let painted: Vec<(String, Pos2)> = window
        .harness
        .output()
        .shapes
        .iter()
        .filter_map(|clipped| match &clipped.shape {
            Shape::Text(text) => Some((text.galley.text().to_owned(), text.pos)),
            _ => None,
        })
        .collect();
    assert!(painted.iter().any(|(words, _)| words.starts_with("How the mount turns")));
    assert!(painted.iter().filter(|(words, _)| words.contains(", after ")).count() > 3);
    // The lower of the two tags of a stop that is not selected.
    let last = shows(&window).last().cloned().expect("a stop");
    assert_ne!(window.harness.state().view.selected, Some(Selected::Stop(last.id)));
    let number =
        window.evening().order.stops().iter().position(|stop| stop.id == last.id).expect("there") + 1;
    let tags =
        painted.iter().filter(|(words, _)| words.starts_with(&format!("{number} ")) && words.contains(" · "));
    let lower = tags.map(|(_, at)| *at).max_by(|one, other| one.y.total_cmp(&other.y)).expect("a tag");
    let at = lower + vec2(8.0, 8.0);
    window.harness.hover_at(at);
    window.harness.drag_at(at);
    window.harness.drop_at(at);
    window.settle();
    assert_eq!(window.harness.state().view.selected, Some(Selected::Stop(last.id)));
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
