//! Tonight's wishes: by keys alone, in one step that Undo names and takes back; a draft keeps to them.

use std::slice::from_ref;

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{Command, Dialog, Selected, apply};
use evenfall_core::catalogue::TargetId;
use evenfall_core::document::{read_evening, write_evening};
use evenfall_core::plan::Rule;
use evenfall_core::rig::PortId;
use evenfall_tests::harness::TestWindow;

fn click(window: &mut TestWindow, name: &str) {
    window.harness.get_by_label(name).click();
    window.settle();
}

/// A target that is not laid out, of those that can be shown, and its name.
fn not_shown(window: &TestWindow) -> (TargetId, String) {
    let open = window.harness.state().open().expect("open");
    let order = &open.document.evening.order;
    let targets =
        open.derived.shelf.iter().map(|entry| &open.document.stock.catalogue.targets[entry.target_index]);
    let is_shown =
        |id: &TargetId| order.stops().iter().any(|stop| stop.show().is_some_and(|show| show.target == *id));
    let target = targets.into_iter().find(|target| !is_shown(&target.id)).expect("not all are shown");
    (target.id.clone(), target.name.clone())
}

fn undo_name(window: &TestWindow, words: &str) {
    window.harness.get_by_label(&format!("Undo: {words}"));
}

#[test]
fn what_is_wished_on_the_page_is_one_step_and_reads_back() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let (id, name) = not_shown(&window);
    window.press(Modifiers::NONE, Key::T);
    // The keyboard starts where a target is looked for.
    window.type_text(&name);
    click(&mut window, &format!("Must show: {name}"));
    let ports: Vec<(PortId, String)> = window
        .harness
        .state()
        .open()
        .expect("open")
        .document
        .stock
        .rig
        .ports
        .iter()
        .map(|port| (port.id.clone(), port.name.clone()))
        .collect();
    click(&mut window, &format!("Out of service: {}", ports[0].1));
    click(&mut window, "Limit the changes of port");
    assert_eq!(window.evening().wishes, before.wishes, "nothing is done before it is set");
    click(&mut window, "Set them");
    assert_eq!(window.harness.state().view.dialog, None);
    let after = window.evening().clone();
    assert_eq!(after.wishes.must_show, from_ref(&id));
    assert_eq!(after.wishes.ports_out_of_service, [ports[0].0.clone()]);
    assert!(after.wishes.most_port_changes.is_some());
    assert_eq!(after.order, before.order, "the order stays");
    let findings = &window.harness.state().open().expect("open").derived.findings;
    assert!(findings.iter().any(|finding| finding.rule == Rule::MustShowMissing(id.clone())), "it is told");
    let zone = window.harness.state().open().expect("open").zone();
    let again = read_evening("written", &write_evening(&after, zone)).expect("it is sound");
    assert_eq!(again.wishes, after.wishes);
    undo_name(&window, "change the wishes");
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.evening(), before);
}

#[test]
fn keys_wish_something_of_the_target_on_the_card_and_a_draft_keeps_to_it() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let (id, name) = not_shown(&window);
    apply(window.harness.state_mut(), Command::Select(Some(Selected::Target(id.clone()))));
    window.settle();
    let switch = |window: &TestWindow, name: &str| {
        let node = window.harness.get_by_role_and_label(Role::CheckBox, name);
        node.accesskit_node().toggled() == Some(egui::accesskit::Toggled::True)
    };
    window.press(Modifiers::NONE, Key::A);
    assert!(switch(&window, "Must show") && !switch(&window, "Leave out"));
    undo_name(&window, &format!("wish that {name} is shown"));
    let waits = |window: &TestWindow| window.harness.query_by_label_contains("You wish it").is_some();
    window.settle_all();
    assert!(waits(&window), "the order does not follow it yet");
    window.press(Modifiers::COMMAND, Key::D);
    window.settle_all();
    let shows = |window: &TestWindow| {
        let stops = window.evening().order.stops().iter();
        stops.filter_map(|stop| stop.show()).any(|show| show.target == id)
    };
    assert!(shows(&window) && !waits(&window), "it is drafted");
    window.press(Modifiers::NONE, Key::X);
    assert_eq!(window.evening().wishes.must_show, []);
    assert_eq!(window.evening().wishes.leave_out, from_ref(&id));
    undo_name(&window, &format!("leave out {name}"));
    window.press(Modifiers::NONE, Key::X);
    undo_name(&window, &format!("take {name} off the wishes"));
    assert_eq!(window.evening().wishes, before.wishes);
}

#[test]
fn stops_on_a_port_out_of_service_are_told_and_escape_leaves_field_then_page() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let port = window.harness.state().open().expect("open").document.stock.rig.ports[0].clone();
    window.press(Modifiers::NONE, Key::T);
    let name = format!("{}: stops at least", port.name);
    window.harness.get_by_role_and_label(Role::SpinButton, &name).focus();
    window.settle();
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text("2");
    window.press(Modifiers::NONE, Key::Enter);
    click(&mut window, &format!("Out of service: {}", port.name));
    window.harness.get_by_label_contains("is out of service, so no draft can give it stops");
    window.harness.get_by_role_and_label(Role::TextInput, "Another target").focus();
    window.settle();
    window.type_text("moon");
    window.press(Modifiers::NONE, Key::Escape);
    assert!(matches!(window.harness.state().view.dialog, Some(Dialog::Wishes(_))), "the field is left");
    window.press(Modifiers::NONE, Key::Escape);
    assert_eq!(window.harness.state().view.dialog, None);
    assert_eq!(*window.evening(), before);
}
