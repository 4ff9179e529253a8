//! Hundreds of random actions by keyboard, pointer and menus: all of them undone leave the same file, redone the other.

use egui::{Key, Modifiers, Pos2, Rect, Role, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{Command, SkyPart, StepName, apply};
use evenfall_core::document::write_evening;
use evenfall_core::plan::{ClosedSky, Held, OrderRule, Severity, Stop};
use evenfall_tests::draws::Draws;
use evenfall_tests::harness::TestWindow;

const ACTIONS: usize = 500;
const CONTROL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);

/// The evening as its file has it.
fn written(window: &TestWindow) -> String {
    let open = window.harness.state().open().expect("an evening is open");
    write_evening(&open.document.evening, open.zone())
}

/// The place of a stop on the Board, by its position in the order.
fn block(window: &TestWindow, position: usize) -> Option<Rect> {
    let open = window.harness.state().open().expect("an evening is open");
    let stop = open.document.evening.order.stops().get(position)?;
    let name = format!("Stop {}: {} ", position + 1, open.title(stop));
    Some(window.harness.query_by_label_contains(&name)?.rect())
}

fn a_block(window: &TestWindow, draws: &mut Draws) -> Option<Rect> {
    let stops = window.evening().order.stops().len();
    if stops == 0 { None } else { block(window, draws.below(stops)) }
}

/// A few keys that shape the selected stop.
fn keys(window: &mut TestWindow, draws: &mut Draws) {
    let (modifiers, key) = draws.of(&[
        (Modifiers::NONE, Key::ArrowLeft),
        (Modifiers::NONE, Key::ArrowRight),
        (Modifiers::SHIFT, Key::ArrowLeft),
        (Modifiers::SHIFT, Key::ArrowRight),
        (Modifiers::COMMAND, Key::ArrowLeft),
        (Modifiers::COMMAND, Key::ArrowRight),
        (CONTROL_SHIFT, Key::ArrowLeft),
        (CONTROL_SHIFT, Key::ArrowRight),
        (Modifiers::NONE, Key::ArrowUp),
        (Modifiers::NONE, Key::ArrowDown),
        (Modifiers::NONE, Key::H),
        (Modifiers::NONE, Key::U),
        (Modifiers::NONE, Key::S),
        (Modifiers::NONE, Key::M),
        (Modifiers::NONE, Key::Tab),
    ]);
    window.press(Modifiers::NONE, Key::B);
    window.press(modifiers, key);
}

/// Drags a stop by its middle or an edge, or a target off the Shelf; Escape now and then.
fn pointer(window: &mut TestWindow, draws: &mut Draws) {
    let Some(rect) = a_block(window, draws) else { return };
    let from = match draws.below(4) {
        0 => Pos2::new(rect.right() - 4.0, rect.center().y),
        1 => Pos2::new(rect.left() + 4.0, rect.center().y),
        2 => rect.center(),
        _ => match a_row(window, draws) {
            Some(row) => row.center(),
            None => return,
        },
    };
    let to = rect.center() + vec2(draws.between(-150.0, 150.0) as f32, draws.between(-120.0, 120.0) as f32);
    window.lift(from, to);
    if draws.below(5) == 0 {
        window.press(Modifiers::NONE, Key::Escape);
    }
    window.harness.drop_at(to);
    window.settle();
}

/// One of the first rows of the Shelf.
fn a_row(window: &TestWindow, draws: &mut Draws) -> Option<Rect> {
    let open = window.harness.state().open().expect("an evening is open");
    let entry = open.derived.shelf.get(draws.below(6))?;
    let name = &open.document.stock.catalogue.targets.get(entry.target_index)?.name;
    let row = window.harness.query_all_by_role(Role::ListBoxOption);
    let row = row.into_iter().find(|row| {
        let label = row.accesskit_node().label();
        label.is_some_and(|label| label.starts_with(&format!("{name}, ")))
    });
    row.map(|row| row.rect())
}

/// Escape leaves the field that is typed in, then the page.
fn leave(window: &mut TestWindow) {
    window.press(Modifiers::NONE, Key::Escape);
    if window.harness.state().view.dialog.is_some() {
        window.press(Modifiers::NONE, Key::Escape);
    }
}

/// What stands in the menu, in dialogs and on buttons.
fn menus(window: &mut TestWindow, draws: &mut Draws) {
    match draws.below(7) {
        0 => {
            window.harness.get_by_label("Evening").click();
            window.settle();
            let entry = draws.of(&["Split in two", "Move the rest along", "Insert an interval or talk…"]);
            window.harness.get_by_role_and_label(Role::MenuItem, entry).click();
            window.settle();
            leave(window);
        }
        1 => {
            window.press(Modifiers::NONE, Key::I);
            window.type_text("Cocoa");
            window.press(Modifiers::NONE, Key::Enter);
            leave(window);
        }
        2 => {
            let name = draws.of(&["Clear", "Patchy", "Cloud"]);
            window.press(Modifiers::NONE, Key::V);
            window.type_text(name);
            window.press(Modifiers::NONE, Key::Enter);
            leave(window);
        }
        3 => {
            window.press(Modifiers::NONE, Key::V);
            let wanted = draws.of(&["Switch to Clear", "Switch to Cloud", "Forget Patchy", "Forget Cloud"]);
            if let Some(button) = window.harness.query_by_label(wanted) {
                button.click();
            }
            window.settle();
            leave(window);
        }
        4 => {
            let Some(row) = a_row(window, draws) else { return };
            window.drag(row.center(), row.center());
            window.press(Modifiers::NONE, Key::Enter);
        }
        5 if window.evening().order.stops().len() > 8 => {
            window.press(Modifiers::NONE, Key::B);
            window.press(Modifiers::NONE, Key::Delete);
        }
        _ => {
            let Some(rect) = a_block(window, draws) else { return };
            window.drag(rect.center(), rect.center());
        }
    }
}

/// What an evening depends on beside its order, and what lays it out anew.
fn frame(window: &mut TestWindow, draws: &mut Draws) {
    let closed = || {
        let (from, to) = SkyPart::default().ends();
        ClosedSky::new(from, to, None, None)
    };
    match draws.below(7) {
        0 => window.press(Modifiers::NONE, draws.of(&[Key::PageUp, Key::PageDown])),
        1 => apply(window.harness.state_mut(), Command::Weigh(OrderRule::InTurn, draws.below(100) as u8)),
        2 => apply(window.harness.state_mut(), Command::SetSlack(draws.below(30) as f64)),
        3 if window.evening().wishes.closed_sky.is_empty() => {
            apply(window.harness.state_mut(), Command::CloseSky(closed()));
        }
        3 => apply(window.harness.state_mut(), Command::OpenSky(0)),
        4 => {
            window.press(Modifiers::NONE, Key::P);
            window.harness.get_by_label("Lay out the rest").click();
        }
        _ => {
            window.press(Modifiers::COMMAND, Key::D);
            drafted_without_new_stoppers(window);
        }
    }
    window.settle();
}

/// After a draft only what the user holds, or what has been shown and stays whatever the check says, can't stand.
fn drafted_without_new_stoppers(window: &TestWindow) {
    let open = window.harness.state().open().expect("an evening is open");
    if open.history.undo_name() != Some(&StepName::Drafted) {
        return;
    }
    let order = &open.document.evening.order;
    let done = |stop: &Stop| {
        let ticked = stop.show().is_some_and(|show| window.evening().shown.contains(&show.target));
        ticked || open.picked_up.as_ref().is_some_and(|picked_up| picked_up.done.contains(&stop.id))
    };
    for finding in open.derived.findings.iter().filter(|finding| finding.severity == Severity::Stopper) {
        let Some(stop) = finding.stop.and_then(|id| order.get(id)) else { continue };
        assert!(stop.held != Held::default() || done(stop), "{finding:?} of {}", open.title(stop));
    }
}

fn a_session_undone_and_redone(seed: u64) {
    let mut draws = Draws(seed);
    let mut window = TestWindow::demo();
    let first = written(&window);
    for _ in 0..ACTIONS {
        match draws.below(20) {
            0..8 => keys(&mut window, &mut draws),
            8..12 => pointer(&mut window, &mut draws),
            12..16 => menus(&mut window, &mut draws),
            16 => frame(&mut window, &mut draws),
            17 => window.press(Modifiers::COMMAND, Key::Y),
            _ => window.press(Modifiers::COMMAND, Key::Z),
        }
        assert!(window.harness.state().view.dialog.is_none(), "a dialog stays open");
    }
    let last = written(&window);
    assert_ne!(last, first, "nothing was done");
    let can_undo =
        |window: &TestWindow| window.harness.state().open().expect("open").history.undo_name().is_some();
    let mut steps = 0;
    while can_undo(&window) {
        window.press(Modifiers::COMMAND, Key::Z);
        steps += 1;
        assert!(steps <= ACTIONS, "undo does not end");
    }
    assert_eq!(written(&window), first, "after undoing {steps} steps");
    assert!(steps > ACTIONS / 20, "only {steps} steps");
    // No further: what was undone at the very end of the session could be brought back as well.
    for _ in 0..steps {
        window.press(Modifiers::COMMAND, Key::Y);
    }
    assert_eq!(written(&window), last, "after redoing {steps} steps");
}

#[test]
fn a_session_of_random_actions_undone_is_the_same_file_first() {
    a_session_undone_and_redone(1);
}

#[test]
fn a_session_of_random_actions_undone_is_the_same_file_second() {
    a_session_undone_and_redone(2);
}

#[test]
fn a_session_of_random_actions_undone_is_the_same_file_third() {
    a_session_undone_and_redone(3);
}
