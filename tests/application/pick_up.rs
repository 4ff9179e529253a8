//! An evening that has begun, picked up again: late, with other visitors, without a port, under a bank of cloud.

use std::sync::Arc;

use chrono::DateTime;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use evenfall_app::shell::Machine;
use evenfall_app::state::{Command, Dialog, Outside, PickUpForm, Selected, SkyPart, StepName, apply};
use evenfall_core::plan::edit::tick;
use evenfall_core::plan::{Held, Severity, Stop};
use evenfall_core::rig::PortId;
use evenfall_core::time::Instant;
use evenfall_tests::harness::{Stopped, TEST_EFFORT, TestWindow, late_demo};
use tempfile::TempDir;

/// An instant of the demonstration's evening, on its clock (GMT is UTC).
fn clock(time: &str) -> Instant {
    let text = format!("2027-03-13T{time}:00Z");
    Instant::from_utc(DateTime::parse_from_rfc3339(&text).expect("a time").to_utc())
}

fn shows(window: &TestWindow) -> Vec<Stop> {
    window.evening().order.stops().iter().filter(|stop| stop.show().is_some()).cloned().collect()
}

fn form(window: &TestWindow) -> PickUpForm {
    match &window.harness.state().view.dialog {
        Some(Dialog::PickUp(form)) => form.clone(),
        other => panic!("no form but {other:?}"),
    }
}

/// The form filled in from a minute on, changed, and gone ahead with.
fn pick_up(window: &mut TestWindow, at: &str, change: impl FnOnce(&mut PickUpForm)) {
    window.press(Modifiers::NONE, Key::P);
    let mut form = form(window);
    form.at = at.parse().expect("a clock time");
    change(&mut form);
    apply(window.harness.state_mut(), Command::PickUpForm(form));
    window.settle();
    window.harness.get_by_label("Lay out the rest").click();
    window.settle();
    assert_eq!(window.harness.state().view.notice, None);
}

fn no_later_stopper(window: &TestWindow, from: Instant) {
    let open = window.harness.state().open().expect("open");
    let order = &open.document.evening.order;
    let stopped: Vec<_> = open
        .derived
        .findings
        .iter()
        .filter(|finding| finding.severity == Severity::Stopper)
        .filter(|finding| {
            finding.stop.and_then(|stop| order.get(stop)).is_some_and(|stop| stop.start() >= from)
        })
        .collect();
    assert!(stopped.is_empty(), "{stopped:?}");
}

#[test]
fn what_was_shown_stays_and_undo_brings_the_rest_back() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    pick_up(&mut window, "20:40", |_| {});
    let at = clock("20:40");
    let done = before.order.stops().iter().filter(|stop| stop.start() < at);
    for stop in done {
        assert_eq!(window.evening().order.get(stop.id), Some(stop));
        let target = stop.show().map(|show| &show.target);
        assert!(
            target.is_none_or(|target| window.evening().shown.contains(target)),
            "{stop:?} is not ticked"
        );
    }
    let open = window.harness.state().open().expect("open");
    assert_eq!(open.history.undo_name(), Some(&StepName::PickedUp(at)));
    no_later_stopper(&window, at);
    window.harness.get_by_label("Picked up from 20:40");
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.evening(), before);
    assert!(window.harness.query_by_label("Picked up from 20:40").is_none());
}

#[test]
fn row_47_twelve_minutes_late_keeps_what_is_held_and_tells_what_is_lost() {
    let mut window = TestWindow::demo();
    let shows_before = shows(&window);
    let held = shows_before.iter().rfind(|stop| stop.start() > clock("20:35")).expect("a later stop").clone();
    apply(window.harness.state_mut(), Command::SetHeld(held.id, Held { time: true, port: true }));
    window.settle();
    // The third stop should have begun twelve minutes ago, and has not.
    let late = shows_before[2].clone();
    let now = late.start().plus_minutes(12.0);
    let at = now.to_utc().format("%H:%M:%S").to_string();
    pick_up(&mut window, &at, |form| form.not_shown = vec![late.id]);
    let kept = window.evening().order.get(held.id).expect("what is held stays");
    assert_eq!(kept.interval, held.interval);
    no_later_stopper(&window, now);
    let open = window.harness.state().open().expect("open");
    let again = window.evening().order.get(late.id);
    assert!(again.is_none_or(|stop| stop.start() >= now), "{again:?}");
    let account = open.account.clone().expect("an account");
    assert_eq!(account.kept, [held.id]);
    let shown: Vec<_> = shows(&window).iter().filter_map(|stop| Some(stop.show()?.target.clone())).collect();
    let lost: Vec<_> = shows_before
        .iter()
        .filter_map(|stop| Some(stop.show()?.target.clone()))
        .filter(|target| !shown.contains(target))
        .collect();
    assert_eq!(account.lost, lost);
    let words = lost.first().map_or("Nothing is lost", |_| "No longer shown: ");
    window.harness.get_by_label_contains(words);
    window.harness.get_by_label_contains(&format!("Held, and kept: {} at ", open.title(&held)));
}

#[test]
fn row_68_forty_waiting_change_the_stops_that_remain() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let at = clock("21:10");
    let later = |window: &TestWindow| -> Vec<Stop> {
        shows(window).into_iter().filter(|stop| stop.start() >= at).collect()
    };
    pick_up(&mut window, "21:10", |_| {});
    let with_all = later(&window);
    window.press(Modifiers::COMMAND, Key::Z);
    pick_up(&mut window, "21:10", |form| form.visitors = 40);
    assert_eq!(window.evening().house.visitors, 40);
    assert!(window.evening().house.children < before.house.children);
    assert_ne!(later(&window), with_all, "forty visitors change nothing");
    no_later_stopper(&window, at);
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.evening(), before);
}

#[test]
fn a_late_start_loses_nothing_that_was_begun() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::P);
    let mut filled = form(&window);
    filled.at = "19:00:00".parse().expect("a time");
    apply(window.harness.state_mut(), Command::PickUpForm(filled));
    window.settle();
    window.harness.get_by_label("None of these: we start late").click();
    window.settle();
    window.harness.get_by_label("Lay out the rest").click();
    window.settle();
    let at = clock("19:00");
    let order = &window.evening().order;
    assert!(order.stops().iter().all(|stop| stop.start() >= at), "{order:?}");
    let welcome = order.stops().first().expect("a first stop");
    assert_eq!((welcome.start(), welcome.show()), (at, None), "the welcome comes first, at once");
    no_later_stopper(&window, at);
}

#[test]
fn a_port_out_of_service_and_a_closed_part_of_the_sky_are_kept_clear_of() {
    let mut window = TestWindow::demo();
    let at = clock("20:40");
    let part = SkyPart { from_deg: 135.0, to_deg: 225.0 };
    pick_up(&mut window, "20:40", |form| {
        form.ports_out_of_service = vec![PortId("eyepiece".to_owned())];
        form.closed = Some(part);
    });
    let open = window.harness.state().open().expect("open");
    let prepared = &open.derived.prepared;
    for stop in shows(&window).iter().filter(|stop| stop.start() >= at) {
        assert_ne!(stop.show().expect("a show").port, PortId("eyepiece".to_owned()));
        let target = open.target(stop).expect("a target").0;
        let azimuth = prepared.sample(target, stop.start()).expect("a place").azimuth.degrees();
        assert!(!(135.0..=225.0).contains(&azimuth), "{} stands at {azimuth}°", open.title(stop));
    }
    no_later_stopper(&window, at);
}

#[test]
fn a_second_pick_up_takes_a_tick_back_and_closes_the_same_sky_once() {
    let mut window = TestWindow::demo();
    let part = SkyPart { from_deg: 0.0, to_deg: 30.0 };
    pick_up(&mut window, "20:40", |form| form.closed = Some(part));
    let shown = window.evening().shown.clone();
    let last = window.evening().order.stops().iter().rfind(|stop| {
        stop.start() < clock("20:40") && stop.show().is_some_and(|show| shown.contains(&show.target))
    });
    let last = last.expect("something was shown").clone();
    pick_up(&mut window, "20:45", |form| {
        form.closed = Some(part);
        form.not_shown = vec![last.id];
    });
    let target = &last.show().expect("a show").target;
    assert!(!window.evening().shown.contains(target), "{target:?} keeps its tick");
    assert_eq!(window.evening().shown.len(), shown.len() - 1);
    assert_eq!(window.evening().wishes.closed_sky.len(), 1);
    let other = SkyPart { from_deg: 30.0, to_deg: 60.0 };
    pick_up(&mut window, "20:46", |form| form.closed = Some(other));
    assert_eq!(window.evening().wishes.closed_sky.len(), 2);
}

#[test]
fn what_an_opened_evening_has_ticked_off_is_ticked_on_the_form() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("ours.evening.ron");
    let later = {
        let mut window = TestWindow::demo();
        let later = shows(&window).into_iter().rfind(|stop| stop.start() > clock("21:00")).expect("a later");
        let target = &later.show().expect("a show").target;
        let ticked = tick(window.evening(), target, true);
        let open = window.harness.state().open().expect("open");
        Machine.save(&path, &ticked, &open.document.stock, None, None).expect("saved");
        window.settle();
        later
    };
    let outside = Arc::new(Stopped { now: clock("20:47") });
    let size = ([1280.0, 800.0], 1.0);
    let mut window = TestWindow::in_a_world(outside, TEST_EFFORT, size, Some(path));
    window.harness.get_by_label("Pick up from here…").click();
    window.settle();
    let open = window.harness.state().open().expect("open");
    let asked_about = form(&window);
    let asked_about = asked_about.asked_about(&open.document.evening, &open.derived.prepared);
    assert!(asked_about.iter().any(|stop| stop.show() == later.show()), "{asked_about:?}");
    assert_eq!(form(&window).not_shown, []);
    window.harness.get_by_label("Lay out the rest").click();
    window.settle();
    let target = &later.show().expect("a show").target;
    assert!(window.evening().shown.contains(target));
    assert!(window.evening().shown.len() > 1, "what should have begun is ticked too");
}

#[test]
fn the_form_is_filled_in_and_left_by_keys_alone() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let stop = shows(&window)[2].clone();
    apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(stop.id))));
    window.settle();
    window.press(Modifiers::NONE, Key::P);
    window.harness.get_by_label("From which minute");
    assert_eq!(window.harness.query_all_by_label("Visitors still here").count(), 2, "words and field");
    window.press(Modifiers::NONE, Key::Escape);
    assert_eq!(window.harness.state().view.dialog, None);
    assert_eq!(*window.evening(), before);
    window.press(Modifiers::NONE, Key::P);
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(window.harness.state().view.dialog, None);
    let open = window.harness.state().open().expect("open");
    assert_eq!(open.history.undo_name(), Some(&StepName::PickedUp(stop.start())));
}

#[test]
fn while_doors_are_open_a_button_picks_up_from_now() {
    let outside = Arc::new(Stopped { now: clock("20:47") });
    let size = ([1280.0, 800.0], 1.0);
    let mut window = TestWindow::in_a_world(outside, TEST_EFFORT, size, None);
    window.harness.get_by_label("Pick up from here…").click();
    window.settle();
    assert_eq!(form(&window).at.to_string(), "20:47:00");
    let before = TestWindow::demo();
    assert!(before.harness.query_by_label("Pick up from here…").is_none(), "doors are not open");
}

#[test]
fn picked_up_in_an_hour_that_comes_twice_either_of_the_two_is_meant() {
    // Europe/London, IANA time-zone database: back on 2027-10-31 at 01:00 UTC, from 02:00 BST to 01:00 GMT.
    let folder = TempDir::new().expect("a folder");
    let evening = late_demo(folder.path(), "2027-10-30");
    let mut window = TestWindow::open([1280.0, 800.0], 1.0, Some(evening));
    let utc = |minute: &str| {
        let text = format!("2027-10-31T{minute}:00Z");
        Instant::from_utc(DateTime::parse_from_rfc3339(&text).expect("a time").to_utc())
    };
    let meant = |window: &TestWindow| {
        let prepared = &window.harness.state().open().expect("open").derived.prepared;
        form(window).instant(prepared)
    };
    for (read, other, then) in [("00:30", "01:30 GMT", utc("01:30")), ("01:30", "01:30 BST", utc("00:30"))] {
        apply(window.harness.state_mut(), Command::ReadAt(Some(utc(read))));
        window.press(Modifiers::NONE, Key::P);
        assert_eq!(meant(&window), Some(utc(read)), "the minute that is read, whichever of the two");
        window.harness.get_by_label(other).click();
        window.settle();
        assert_eq!(meant(&window), Some(then));
        window.press(Modifiers::NONE, Key::Escape);
    }
}

#[test]
fn outside_doors_nothing_is_picked_up() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::P);
    let filled = PickUpForm { at: "23:10:00".parse().expect("a time"), ..form(&window) };
    apply(window.harness.state_mut(), Command::PickUpForm(filled.clone()));
    window.settle();
    window.harness.get_by_label_contains("Doors are open 18:30 to 22:30");
    let before = window.evening().clone();
    apply(window.harness.state_mut(), Command::PickUp(filled));
    window.settle();
    assert_eq!(*window.evening(), before);
}
