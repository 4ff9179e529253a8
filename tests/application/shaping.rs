//! The evening shaped by hand: edges, inserted entries, stops split, the rest moved along, what a drop would do.

use std::slice::from_ref;

use chrono::DateTime;
use egui::accesskit::Toggled;
use egui::{Key, Modifiers, Pos2, Rect, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{Command, Dialog, Dragged, Edge, InsertForm, Selected, apply};
use evenfall_core::plan::{EntryKind, Held, Rule, Stop, What, in_each_others_way};
use evenfall_core::time::Instant;
use evenfall_tests::harness::{TestWindow, late_demo};

/// Wide enough for stops with both edges to be taken hold of.
const WIDE: [f32; 2] = [2200.0, 900.0];
const CONTROL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);

fn wide() -> TestWindow {
    TestWindow::open(WIDE, 1.0, None)
}

fn shows(window: &TestWindow) -> Vec<Stop> {
    window.evening().order.stops().iter().filter(|stop| stop.show().is_some()).cloned().collect()
}

fn block(window: &TestWindow, stop: &Stop) -> Rect {
    let open = window.harness.state().open().expect("open");
    let position = open.document.evening.order.stops().iter().position(|own| own.id == stop.id);
    let number = position.expect("it is on the Board") + 1;
    window.harness.get_by_label_contains(&format!("Stop {number}: {} ", open.title(stop))).rect()
}

fn widest(window: &TestWindow) -> Stop {
    let stops = shows(window).into_iter();
    let by_width = |one: &Stop, other: &Stop| one.interval.minutes().total_cmp(&other.interval.minutes());
    stops.max_by(by_width).expect("the demo shows something")
}

fn now(window: &TestWindow, stop: &Stop) -> Stop {
    window.evening().order.get(stop.id).cloned().expect("the stop is still there")
}

fn select(window: &mut TestWindow, stop: &Stop) {
    apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(stop.id))));
    window.settle();
}

fn title(window: &TestWindow, stop: &Stop) -> String {
    window.harness.state().open().expect("open").title(stop)
}

/// What the status bar says.
fn status(window: &TestWindow) -> String {
    let node = window.harness.get_by_role(egui::Role::Status);
    node.accesskit_node().label().or(node.accesskit_node().value()).unwrap_or_default()
}

#[test]
fn either_edge_of_a_wide_stop_is_dragged_and_the_minutes_told() {
    let mut window = wide();
    let before = window.evening().clone();
    let stop = widest(&window);
    let rect = block(&window, &stop);
    assert!(rect.width() >= 72.0, "{rect:?}");
    let end = Pos2::new(rect.right() - 10.0, rect.center().y);
    window.lift(end, end + vec2(40.0, 0.0));
    let drag = window.harness.state().view.drag.clone().expect("it is dragged");
    assert_eq!(drag.what, Dragged::Edge(stop.id, Edge::End));
    let trial = window.harness.state().view.trial.clone().expect("what would come of it");
    let longer = trial.evening.order.get(stop.id).expect("the stop").interval.minutes();
    assert!(longer > stop.interval.minutes());
    let told = status(&window);
    assert!(told.contains(&format!("{longer:.0} min")), "{longer} min is not told in {told}");
    window.harness.drop_at(end + vec2(40.0, 0.0));
    window.settle();
    let after = now(&window, &stop);
    assert_eq!((after.start(), after.interval.minutes()), (stop.start(), longer));
    let name = format!("Undo: make {} {longer:.0} min long", title(&window, &stop));
    window.harness.get_by_label(&name);

    let rect = block(&window, &stop);
    let start = Pos2::new(rect.left() + 10.0, rect.center().y);
    window.drag(start, start + vec2(30.0, 0.0));
    let shorter = now(&window, &stop);
    assert_eq!(shorter.end(), after.end());
    assert!(shorter.start() > stop.start());
    window.harness.get_by_label_contains(&format!("Undo: start {} at ", title(&window, &stop)));
    for _ in 0..2 {
        window.press(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(*window.evening(), before);
}

#[test]
fn the_keys_reach_both_edges_of_a_narrow_stop() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let stop = shows(&window)[0].clone();
    select(&mut window, &stop);
    window.press(Modifiers::COMMAND, Key::ArrowRight);
    window.press(Modifiers::COMMAND, Key::ArrowRight);
    assert_eq!(now(&window, &stop).end().minutes_since(stop.end()), 2.0);
    window.press(CONTROL_SHIFT, Key::ArrowRight);
    assert_eq!(now(&window, &stop).start().minutes_since(stop.start()), 1.0);
    // The end is one step, the start another.
    for _ in 0..2 {
        window.press(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(*window.evening(), before);
    for _ in 0..200 {
        window.harness.key_press_modifiers(Modifiers::COMMAND, Key::ArrowLeft);
    }
    window.settle();
    assert_eq!(now(&window, &stop).interval.minutes(), 1.0, "no stop is shorter than a minute");
}

#[test]
fn an_interval_is_inserted_by_key_and_by_menu() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let stop = shows(&window)[1].clone();
    select(&mut window, &stop);
    window.press(Modifiers::NONE, Key::I);
    window.type_text("Cocoa");
    window.press(Modifiers::NONE, Key::Enter);
    let entry = window.harness.state().selected_stop().cloned().expect("it is selected");
    assert!(matches!(&entry.what, What::Entry { kind: EntryKind::Interval, title, .. } if title == "Cocoa"));
    assert_eq!((entry.start(), entry.interval.minutes()), (stop.end(), 15.0));
    assert!(entry.held.time, "it stays at its minute");
    window.harness.get_by_label_contains("Undo: insert Cocoa at ");
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.evening(), before);

    window.harness.get_by_label("Evening").click();
    window.settle();
    window.harness.get_by_role_and_label(egui::Role::MenuItem, "Insert an interval or talk…").click();
    window.settle();
    assert!(matches!(window.harness.state().view.dialog, Some(Dialog::Insert(_))));
    window.harness.get_by_label("Talk at the screen").click();
    window.settle();
    window.harness.get_by_role_and_label(egui::Role::Button, "Insert").click();
    window.settle();
    let entry = window.harness.state().selected_stop().cloned().expect("it is selected");
    assert!(entry.is_screen_talk());
    assert_eq!(title(&window, &entry), "Talk at the screen");
}

#[test]
fn a_stop_is_split_in_two_by_key_and_by_button() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let stop = widest(&window);
    select(&mut window, &stop);
    window.press(Modifiers::NONE, Key::S);
    let halves: Vec<Stop> = shows(&window).into_iter().filter(|own| own.show() == stop.show()).collect();
    assert_eq!(halves.len(), 2);
    assert_eq!((halves[0].start(), halves[1].end()), (stop.start(), stop.end()));
    assert_eq!(halves[0].end(), halves[1].start());
    window.harness.get_by_label_contains(&format!("Undo: split {} at ", title(&window, &stop)));
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.evening(), before);
    window.harness.get_by_label("Split in two").click();
    window.settle();
    assert_eq!(
        shows(&window).len(),
        before.order.stops().iter().filter(|own| own.show().is_some()).count() + 1
    );
}

/// No two stops of the order share time that they can't share.
fn nothing_overlaps(window: &TestWindow) {
    let open = window.harness.state().open().expect("open");
    let rig = &open.document.stock.rig;
    let stops = open.document.evening.order.stops();
    for (position, stop) in stops.iter().enumerate() {
        for other in &stops[position + 1..] {
            assert!(!in_each_others_way(stop, other, rig), "{} and {}", open.title(stop), open.title(other));
        }
    }
}

#[test]
fn row_41_the_rest_moves_along_and_what_is_held_keeps_its_minute() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let (first, held) = (shows(&window)[0].clone(), shows(&window)[2].clone());
    select(&mut window, &held);
    window.press(Modifiers::NONE, Key::H);
    window.press(Modifiers::NONE, Key::M);
    let switch = window.harness.get_by_role_and_label(egui::Role::CheckBox, "Move the rest along");
    assert_eq!(switch.accesskit_node().toggled(), Some(Toggled::True));
    select(&mut window, &first);
    window.press(Modifiers::NONE, Key::I);
    window.type_text("Cocoa");
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(now(&window, &held).interval, held.interval, "it is held");
    let moved = shows(&window)
        .iter()
        .filter(|stop| {
            now(&window, stop).interval != before.order.get(stop.id).expect("it was there").interval
        })
        .count();
    assert!(moved > 0, "the rest makes room");
    let others = if moved == 1 { "1 other stop".to_owned() } else { format!("{moved} other stops") };
    window.harness.get_by_label_contains(&format!("and move {others} along"));
    // One step brings all of it back, and without the switch nothing else moves.
    window.press(Modifiers::COMMAND, Key::Z);
    window.press(Modifiers::NONE, Key::M);
    select(&mut window, &first);
    window.press(Modifiers::NONE, Key::I);
    window.press(Modifiers::NONE, Key::Enter);
    for stop in shows(&window) {
        assert_eq!(Some(stop.interval), before.order.get(stop.id).map(|stop| stop.interval));
    }
}

#[test]
fn with_the_rest_moved_along_a_removed_stop_leaves_no_gap_behind() {
    let mut window = TestWindow::demo();
    let stops = shows(&window);
    window.press(Modifiers::NONE, Key::M);
    // The first one after which another follows at once.
    let pair = stops.windows(2).find(|two| two[1].start().minutes_since(two[0].end()) < 6.0);
    let [gone, next] = pair.expect("stops that follow one another") else { panic!("a pair") };
    select(&mut window, gone);
    window.press(Modifiers::NONE, Key::Delete);
    let earlier = next.start().minutes_since(now(&window, next).start());
    assert!(earlier > 0.0 && earlier <= gone.interval.minutes(), "{earlier} min earlier");
    nothing_overlaps(&window);
    window.harness.get_by_label_contains(&format!("Undo: remove {} from ", title(&window, gone)));
    let order = window.evening().order.clone();
    window.press(Modifiers::COMMAND, Key::Z);
    window.press(Modifiers::COMMAND, Key::Y);
    assert_eq!(window.evening().order, order);
}

#[test]
fn a_drag_tells_what_the_drop_would_do_and_escape_leaves_all_as_it_was() {
    let mut window = wide();
    let before = window.evening().clone();
    window.press(Modifiers::NONE, Key::M);
    let stop = shows(&window)[0].clone();
    let rect = block(&window, &stop);
    let to = rect.center() + vec2(60.0, 0.0);
    window.lift(rect.center(), to);
    let trial = window.harness.state().view.trial.clone().expect("what would come of it");
    assert!(!trial.moved.is_empty(), "later stops make room");
    let told = status(&window);
    let moves = if trial.moved.len() == 1 {
        "Moves 1 other stop.".to_owned()
    } else {
        format!("Moves {} other stops.", trial.moved.len())
    };
    assert!(told.starts_with(&title(&window, &stop)) && told.contains(&moves), "{told}");
    assert_eq!(*window.evening(), before, "nothing is done yet");
    window.press(Modifiers::NONE, Key::Escape);
    assert_eq!(window.harness.state().view.trial, None);
    window.harness.drop_at(to);
    window.settle();
    assert_eq!(*window.evening(), before);

    window.lift(rect.center(), to);
    let promised = window.harness.state().view.trial.clone().expect("what would come of it");
    window.harness.drop_at(to);
    window.settle();
    assert_eq!(*window.evening(), promised.evening, "a drop does what was told");
    assert_eq!(window.harness.state().open().expect("open").derived.findings, promised.judged.findings);
}

#[test]
fn a_target_of_the_shelf_is_seen_where_it_would_stand_before_it_is_let_go() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let (name, id) = {
        let open = window.harness.state().open().expect("open");
        let targets = &open.document.stock.catalogue.targets;
        let is_shown =
            |id| shows(&window).iter().any(|stop| stop.show().is_some_and(|show| show.target == id));
        let free = open.derived.shelf.iter().map(|entry| &targets[entry.target_index]);
        let target = free.clone().find(|target| !is_shown(target.id.clone())).expect("more than is shown");
        (target.name.clone(), target.id.clone())
    };
    let row = window.harness.get_by_label_contains(&format!("{name}, ")).rect();
    let lane = block(&window, &shows(&window)[0]);
    let to = lane.center() + vec2(100.0, 0.0);
    window.lift(row.center(), row.center() + vec2(0.0, 30.0));
    assert!(status(&window).starts_with("Let go over a lane"), "{}", status(&window));
    for escaped in [true, false] {
        if escaped {
            window.harness.hover_at(to);
        } else {
            window.lift(row.center(), to);
        }
        window.harness.run_steps(3);
        let trial = window.harness.state().view.trial.clone().expect("what would come of it");
        let put = trial.stop.and_then(|stop| trial.evening.order.get(stop)).expect("the new stop");
        assert_eq!(put.show().map(|show| &show.target), Some(&id));
        assert!(status(&window).starts_with(&format!("{name}: ")), "{}", status(&window));
        if escaped {
            window.press(Modifiers::NONE, Key::Escape);
        }
        window.harness.drop_at(to);
        window.settle();
        if escaped {
            assert_eq!(*window.evening(), before);
        } else {
            assert_eq!(*window.evening(), trial.evening);
        }
        assert_eq!(window.harness.state().view.drag, None);
    }
    // A target let go beside the lanes goes back.
    let shown = window.evening().clone();
    let row = window.harness.get_by_label_contains(&format!("{name}, ")).rect();
    window.drag(row.center(), row.center() + vec2(0.0, 200.0));
    assert_eq!(*window.evening(), shown);
}

#[test]
fn three_orders_are_compared_side_by_side() {
    let mut window = TestWindow::demo();
    for name in ["Clear", "Cloud"] {
        window.press(Modifiers::NONE, Key::V);
        window.harness.get_by_label(&format!("Call it {name}")).click();
        window.settle();
        window.harness.get_by_label("Keep").click();
        window.settle();
        window.press(Modifiers::NONE, Key::Escape);
    }
    let gone = shows(&window)[0].clone();
    select(&mut window, &gone);
    window.press(Modifiers::NONE, Key::Delete);
    window.press(Modifiers::NONE, Key::V);
    let orders = window.harness.state().orders().to_vec();
    assert_eq!(orders.len(), 3);
    assert!(orders[0].stands && orders[0].difference.is_nothing());
    let target = &gone.show().expect("it shows").target;
    for kept in &orders[1..] {
        assert_eq!(kept.difference.came, from_ref(target), "what only the kept order shows");
        assert!(kept.worth_percent.expect("worth something") > 100.0);
    }
    window.harness.get_by_label("Clear");
    let told = format!("in: {}", title(&window, &gone));
    assert_eq!(window.harness.get_all_by_label(&told).count(), 2);
    window.harness.get_by_label("Switch to Clear").click();
    window.settle();
    assert!(window.evening().order.get(gone.id).is_some());
}

#[test]
fn a_held_stop_says_in_its_name_what_is_held() {
    let mut window = TestWindow::demo();
    let stop = shows(&window)[0].clone();
    select(&mut window, &stop);
    let name = title(&window, &stop);
    for (held, words) in [
        (Held { time: true, port: true }, format!("Undo: hold {name}")),
        (Held { time: true, port: false }, format!("Undo: hold the time of {name}")),
        (Held { time: false, port: true }, format!("Undo: hold the port of {name}")),
        (Held::default(), format!("Undo: let go of {name}")),
    ] {
        apply(window.harness.state_mut(), Command::SetHeld(stop.id, held));
        window.settle();
        window.harness.get_by_label(&words);
    }
}

#[test]
fn pushes_that_are_one_step_count_every_stop_that_any_of_them_moved() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let first = shows(&window)[0].clone();
    select(&mut window, &first);
    window.press(Modifiers::NONE, Key::M);
    let moved = |window: &TestWindow| {
        let stops = window.evening().order.stops().iter();
        let is_moved = |stop: &&Stop| {
            stop.id != first.id && before.order.get(stop.id).is_some_and(|own| own.interval != stop.interval)
        };
        stops.filter(is_moved).count()
    };
    // On until the rest has no more to give, then back: the last push moves none of what the others moved.
    for _ in 0..25 {
        window.press(Modifiers::NONE, Key::ArrowRight);
    }
    let along = moved(&window);
    assert!(along > 1, "only {along} moved along");
    for _ in 0..3 {
        window.press(Modifiers::NONE, Key::ArrowLeft);
    }
    let name = format!("and move {} other stops along", moved(&window));
    window.harness.get_by_label_contains(&name);
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.evening(), before);
}

#[test]
fn an_hour_that_comes_twice_is_offered_twice_with_its_zones() {
    // Europe/London, IANA time-zone database: back on 2027-10-31 at 01:00 UTC, from 02:00 BST to 01:00 GMT.
    let folder = tempfile::TempDir::new().expect("a folder");
    let evening = late_demo(folder.path(), "2027-10-30");
    let mut window = TestWindow::open([1280.0, 800.0], 1.0, Some(evening));
    let utc = |minute: &str| {
        let text = format!("2027-10-31T{minute}:00Z");
        Instant::from_utc(DateTime::parse_from_rfc3339(&text).expect("a time").to_utc())
    };
    for (read, other, start) in [("00:30", "01:30 GMT", utc("01:30")), ("01:30", "01:30 BST", utc("00:30"))] {
        apply(window.harness.state_mut(), Command::ReadAt(Some(utc(read))));
        window.press(Modifiers::NONE, Key::I);
        let Some(Dialog::Insert(form)) = window.harness.state().view.dialog.clone() else {
            panic!("no form")
        };
        let prepared = &window.harness.state().open().expect("open").derived.prepared;
        assert_eq!(form.instant(prepared), Some(utc(read)), "the minute that is read, whichever of the two");
        window.harness.get_by_label(other).click();
        window.settle();
        window.harness.get_by_role_and_label(egui::Role::Button, "Insert").click();
        window.settle();
        assert_eq!(window.harness.state().selected_stop().map(Stop::start), Some(start));
        window.press(Modifiers::COMMAND, Key::Z);
    }
    // An hour that comes once is not asked about.
    apply(window.harness.state_mut(), Command::ReadAt(Some(utc("02:30"))));
    window.press(Modifiers::NONE, Key::I);
    assert!(window.harness.query_by_label_contains("comes twice").is_none());
}

#[test]
fn a_drag_out_of_the_doors_is_told_while_it_lasts() {
    let mut window = wide();
    window.press(Modifiers::NONE, Key::N);
    let stop = shows(&window)[0].clone();
    let from = block(&window, &stop).center();
    let axis = window.harness.get_by_label("Clock GMT").rect();
    window.lift(from, Pos2::new(axis.left() + 30.0, from.y));
    let told = status(&window);
    assert!(told.contains("utside doors, which are open 18:30 to 22:30 GMT."), "{told}");
    window.press(Modifiers::NONE, Key::Escape);
    window.harness.drop_at(from);
    window.settle();
}

#[test]
fn a_drag_to_a_port_that_takes_another_length_tells_both_lengths() {
    let mut window = wide();
    let mut lanes: Vec<f32> = shows(&window).iter().map(|stop| block(&window, stop).center().y).collect();
    lanes.sort_by(f32::total_cmp);
    lanes.dedup();
    let mut told_of = 0;
    for stop in shows(&window) {
        let from = block(&window, &stop).center();
        for lane in lanes.iter().filter(|lane| **lane != from.y) {
            window.lift(from, Pos2::new(from.x, *lane));
            let trial = window.harness.state().view.trial.clone().expect("what would come of it");
            let length = trial.evening.order.get(stop.id).expect("the stop").interval.minutes();
            let told = status(&window);
            let differs = length.round() != stop.interval.minutes().round();
            let both = format!("{length:.0} min instead of {:.0} min", stop.interval.minutes());
            assert_eq!(told.contains(" instead of "), differs, "{told}");
            assert!(!differs || told.contains(&both), "{both} is not in {told}");
            told_of += usize::from(differs);
            window.press(Modifiers::NONE, Key::Escape);
            window.harness.drop_at(from);
            window.settle();
        }
    }
    assert!(told_of > 0, "no port takes another length");
}

#[test]
fn orders_side_by_side_follow_what_happens_behind_their_dialog() {
    let mut window = TestWindow::demo();
    apply(window.harness.state_mut(), Command::KeepOrder("Clear".to_owned()));
    window.press(Modifiers::NONE, Key::V);
    let stops = |window: &TestWindow| window.harness.state().orders()[0].order.stops().len();
    let before = stops(&window);
    // As a better draft would, a deed changes the order on the Board while the dialog is open.
    let gone = shows(&window)[0].clone();
    select(&mut window, &gone);
    apply(window.harness.state_mut(), Command::Remove);
    window.settle();
    assert!(matches!(window.harness.state().view.dialog, Some(Dialog::KeptOrders(_))));
    assert_eq!(stops(&window), before - 1);
    assert!(!window.harness.state().orders()[1].difference.is_nothing());
    window.press(Modifiers::NONE, Key::Escape);
    assert!(window.harness.state().orders().is_empty(), "nothing is compared for nobody");
}

#[test]
fn an_entry_over_a_stop_is_told_before_it_is_inserted_with_the_next_free_minute() {
    let mut window = TestWindow::demo();
    let stop = shows(&window)[1].clone();
    select(&mut window, &stop);
    apply(window.harness.state_mut(), Command::ReadAt(Some(stop.start().plus_minutes(1.0))));
    window.press(Modifiers::NONE, Key::I);
    let title = window.harness.state().open().expect("open").title(&stop);
    window.harness.get_by_label_contains("that time is taken, so one of the two must move");
    assert!(window.harness.query_all_by_label_contains(&title).count() > 0);
    // A quarter of an hour has no room between two stops; five minutes have.
    let Some(Dialog::Insert(form)) = window.harness.state().view.dialog.clone() else { panic!("no form") };
    apply(window.harness.state_mut(), Command::InsertForm(InsertForm { minutes: 5, ..form }));
    window.settle();
    window.harness.get_by_label_contains("Next free minute").click();
    window.settle();
    assert!(window.harness.query_by_label_contains("that time is taken").is_none());
    let Some(Dialog::Insert(form)) = window.harness.state().view.dialog.clone() else { panic!("no form") };
    let open = window.harness.state().open().expect("open");
    let prepared = &open.derived.prepared;
    let at = form.instant(prepared).expect("tonight");
    assert!(
        at > stop.start() && form.in_its_way(window.evening(), prepared, &open.document.stock.rig).is_empty()
    );
}

#[test]
fn a_stop_pushed_into_what_is_held_bears_the_stopper() {
    let mut window = TestWindow::demo();
    let moved = shows(&window)[1].clone();
    select(&mut window, &moved);
    apply(window.harness.state_mut(), Command::ReadAt(Some(moved.start().plus_minutes(2.0))));
    window.press(Modifiers::NONE, Key::I);
    window.press(Modifiers::NONE, Key::Enter);
    let stop = window.harness.state().selected_stop().expect("what was inserted").id;
    let findings = &window.harness.state().open().expect("open").derived.findings;
    let bears = |id| {
        findings.iter().any(|found| found.stop == Some(id) && matches!(found.rule, Rule::Overlap { .. }))
    };
    assert!(bears(moved.id), "the one that can give way");
    assert!(!bears(stop), "not what is held");
}
