//! The order rules and the closed sky in the window, by their accessible names and by keys.

use chrono::NaiveTime;
use egui::accesskit::{Action, Role};
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{ClearPart, Closing, Command, SkyPart, apply};
use evenfall_core::plan::{ClosedSky, OrderRule, OrderRules, Rule, Severity, best_in_sector};
use evenfall_core::sheet::{closed_sky_words, rule_words};
use evenfall_core::units::Angle;
use evenfall_tests::harness::{TestWindow, changed_demo, late_demo};
use tempfile::TempDir;

/// All that the panel holds in view at once.
const TALL: [f32; 2] = [1280.0, 1100.0];

fn clock(hour: u32, minute: u32) -> Option<NaiveTime> {
    NaiveTime::from_hms_opt(hour, minute, 0)
}

fn opened(size: [f32; 2], scale: f32) -> TestWindow {
    let mut window = TestWindow::open(size, scale, None);
    window.press(Modifiers::NONE, Key::O);
    window
}

fn click(window: &mut TestWindow, name: &str) {
    window.harness.get_by_label(name).click();
    window.settle();
}

/// Types over what a field holds.
fn retype(window: &mut TestWindow, name: &str, typed: &str) {
    window.harness.get_by_label(name).focus();
    window.settle();
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text(typed);
    window.press(Modifiers::NONE, Key::Enter);
}

fn south_east(since: Option<NaiveTime>, until: Option<NaiveTime>) -> ClosedSky {
    ClosedSky::new(Angle::from_degrees(90.0), Angle::from_degrees(180.0), since, until)
}

#[test]
fn a_key_a_button_and_escape_open_and_close_the_panel() {
    let mut window = TestWindow::demo();
    let heading = "Closed sky";
    assert!(window.harness.query_by_label(heading).is_none());
    window.press(Modifiers::NONE, Key::O);
    window.harness.get_by_label(heading);
    let first = window.harness.get_by_label(rule_words(OrderRule::BrightFirst));
    assert!(first.accesskit_node().is_focused(), "the keyboard is on the first rule");
    window.press(Modifiers::NONE, Key::Escape);
    window.press(Modifiers::NONE, Key::Escape);
    assert!(window.harness.query_by_label(heading).is_none());
    window.harness.get_by_role_and_label(Role::CheckBox, "Order rules").click();
    window.settle();
    window.harness.get_by_label(heading);
    click(&mut window, "Close");
    assert!(window.harness.query_by_label(heading).is_none());
    window.press(Modifiers::NONE, Key::F1);
    window.harness.get_by_label("Order rules and closed sky");
}

#[test]
fn a_rule_is_switched_weighed_and_undone_by_name() {
    let mut window = opened(TALL, 1.0);
    let before = window.evening().clone();
    assert_eq!(before.rules, OrderRules::default());
    let (rule, name) = (OrderRule::InTurn, rule_words(OrderRule::InTurn));
    let weight = format!("Weight of: {name}");
    retype(&mut window, &weight, "55");
    assert_eq!(window.evening().rules.get(rule), 55);
    assert_eq!(window.evening().order, before.order, "nothing moves before it is drafted");
    window.harness.get_by_label(&format!("Undo: set weight of \"{name}\" to 55%"));
    click(&mut window, name);
    assert_eq!(window.evening().rules.get(rule), 0);
    // Changes of one rule that follow one another are one step.
    window.harness.get_by_label(&format!("Undo: switch off \"{name}\""));
    click(&mut window, name);
    assert_eq!(window.evening().rules.get(rule), 55, "the weight it had");
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.evening(), before);
    window.press(Modifiers::COMMAND, Key::Y);
    assert_eq!(window.evening().rules.get(rule), 55);
    // What is out of range stays within, what is no number changes nothing.
    retype(&mut window, &weight, "400");
    assert_eq!(window.evening().rules.get(rule), 100);
    retype(&mut window, &weight, "much");
    assert_eq!(window.evening().rules.get(rule), 100);
    window.harness.get_by_label(&weight).focus();
    window.settle();
    window.press(Modifiers::NONE, Key::ArrowDown);
    assert_eq!(window.evening().rules.get(rule), 99);
}

#[test]
fn slack_and_bedtime_are_typed() {
    let mut window = opened(TALL, 1.0);
    let before = window.evening().clone();
    let fields_named = |window: &TestWindow, name: &str| {
        let fields = window.harness.get_all_by_role(Role::SpinButton);
        let nodes = fields.filter(|node| node.accesskit_node().label().is_some_and(|label| label == name));
        nodes.count()
    };
    assert_eq!([fields_named(&window, "Slack"), fields_named(&window, "Bedtime")], [1, 1]);
    for (name, typed) in [("Slack", "15"), ("Bedtime", "20:15")] {
        window.harness.get_by_role_and_label(Role::SpinButton, name).focus();
        window.settle();
        window.press(Modifiers::COMMAND, Key::A);
        window.type_text(typed);
        window.press(Modifiers::NONE, Key::Enter);
    }
    assert_eq!(window.evening().programme.slack_percent, 15.0);
    assert_eq!(Some(window.evening().rules.bedtime), clock(20, 15));
    window.harness.get_by_label("Undo: set bedtime to 20:15");
    window.press(Modifiers::COMMAND, Key::Z);
    window.harness.get_by_label("Undo: set slack to 15%");
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.evening(), before);
}

#[test]
fn a_part_of_the_sky_is_closed_told_drafted_around_and_opened() {
    let mut window = opened(TALL, 1.0);
    let before = window.evening().clone();
    let stoppers = |window: &TestWindow| {
        let findings = &window.harness.state().open().expect("open").derived.findings;
        let closed = findings.iter().filter(|found| matches!(found.rule, Rule::InClosedSky { .. }));
        closed.filter(|found| found.severity == Severity::Stopper).count()
    };
    click(&mut window, "Part to close");
    click(&mut window, "South");
    assert_eq!(window.harness.state().view.rules.closing.part, SkyPart { from_deg: 135.0, to_deg: 225.0 });
    retype(&mut window, "Part to close, from azimuth", "90");
    retype(&mut window, "Part to close, clockwise to azimuth", "180");
    click(&mut window, "Since");
    retype(&mut window, "Closed since", "19:30");
    click(&mut window, "Until");
    retype(&mut window, "Closed until", "19:10");
    window.harness.get_by_label("It must open again after it closes.");
    click(&mut window, "Shut off this part");
    assert_eq!(*window.evening(), before, "a part can't open before it closes");
    retype(&mut window, "Closed until", "21:00");
    click(&mut window, "Shut off this part");
    let closed = south_east(clock(19, 30), clock(21, 0));
    assert_eq!(window.evening().wishes.closed_sky, [closed]);
    assert_eq!(window.evening().order, before.order, "no stop moves by itself");
    let in_the_way = stoppers(&window);
    assert!(in_the_way > 0, "the demo shows something in the south-east then");
    window.harness.get_by_label("Undo: close the sky, 90° E to 180° S");
    click(&mut window, "Draft anew by these rules");
    assert_eq!(stoppers(&window), 0);
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(stoppers(&window), in_the_way);
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!((window.evening(), stoppers(&window)), (&before, 0));
    window.press(Modifiers::COMMAND, Key::Y);
    assert_eq!(stoppers(&window), in_the_way);
    click(&mut window, &format!("Open again: {}", closed_sky_words(&closed)));
    assert_eq!((window.evening(), stoppers(&window)), (&before, 0));
    window.harness.get_by_label("Undo: open the sky, 90° E to 180° S");
}

#[test]
fn what_was_decided_is_saved_and_opens_again() {
    let mut window = opened(TALL, 1.0);
    for command in [
        Command::Weigh(OrderRule::Crescendo, 70),
        Command::SetSlack(14.0),
        Command::CloseSky(south_east(None, clock(20, 0))),
    ] {
        apply(window.harness.state_mut(), command);
        window.settle();
    }
    let path = window.folder.path().join("rules.evening.ron");
    window.press(Modifiers::COMMAND, Key::S);
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text(&path.display().to_string());
    window.press(Modifiers::NONE, Key::Enter);
    let again = TestWindow::open(TALL, 1.0, Some(path));
    assert_eq!(again.evening(), window.evening());
    assert_eq!(again.evening().rules.crescendo, 70);
}

#[test]
fn the_shelf_keeps_to_a_clear_part_at_the_minute_that_is_read() {
    let mut window = TestWindow::open(TALL, 1.0, None);
    click(&mut window, "Filter");
    click(&mut window, "Only in a part of the sky");
    click(&mut window, "Clear part");
    click(&mut window, "East");
    assert_eq!(window.harness.state().view.clear_part.part, SkyPart { from_deg: 45.0, to_deg: 135.0 });
    let listed = |window: &TestWindow| -> Vec<String> {
        let options = window.harness.get_all_by_role(Role::ListBoxOption);
        options.filter_map(|node| node.accesskit_node().label()).collect()
    };
    let wanted = |window: &TestWindow, minutes: f64| -> Vec<String> {
        let open = window.harness.state().open().expect("open");
        let prepared = &open.derived.prepared;
        let at = prepared.doors.start().plus_minutes(minutes);
        let materials = open.document.stock.materials();
        let (from, to) = (Angle::from_degrees(45.0), Angle::from_degrees(135.0));
        let best = best_in_sector(prepared, &materials, at, from, to);
        best.iter().map(|own| format!("{}, ", materials.catalogue.targets[own.target_index].name)).collect()
    };
    let same = |listed: &[String], wanted: &[String]| {
        // Only the rows that are seen are there.
        listed.len() >= wanted.len().min(10)
            && listed.iter().zip(wanted).all(|(own, name)| own.starts_with(name))
    };
    let doors_open = window.harness.state().open().expect("open").derived.prepared.doors.start();
    let stop = window.harness.state().selected_stop().cloned().expect("a stop is selected");
    let middle = stop.start().minutes_since(doors_open) + (stop.interval.minutes() / 2.0).floor();
    let before = wanted(&window, middle);
    assert!(same(&listed(&window), &before), "{:?} is not {before:?}", listed(&window));
    // The Card reads another minute, and the Shelf follows.
    let at = doors_open.plus_minutes(180.0);
    apply(window.harness.state_mut(), Command::ReadAt(Some(at)));
    window.settle();
    let late = wanted(&window, 180.0);
    assert!(!late.is_empty() && late != before);
    assert!(same(&listed(&window), &late), "{:?} is not {late:?}", listed(&window));
    window.harness.get_by_label_contains(&format!("{} targets at 21:30", late.len()));
    // Walking along it leaves the minute; what is brought on comes then.
    let free =
        listed(&window).into_iter().find(|label| !label.contains("on the Board")).expect("one is free");
    window.harness.get_by_label(&free).focus();
    window.settle();
    assert!(same(&listed(&window), &late));
    let stops = window.evening().order.stops().len();
    window.press(Modifiers::NONE, Key::Enter);
    let brought = window.harness.state().selected_stop().cloned().expect("the new stop is selected");
    assert_eq!((window.evening().order.stops().len(), brought.start()), (stops + 1, at));
}

#[test]
fn every_control_has_a_name_and_lies_in_the_window() {
    for (size, scale) in [([1280.0, 800.0], 1.0), ([1024.0, 700.0], 1.0), ([853.0, 533.0], 1.5)] {
        let mut window = opened(size, scale);
        let closing = Closing { since: clock(21, 30), until: clock(22, 10), ..Closing::default() };
        for command in [
            Command::CloseSky(south_east(clock(21, 30), clock(22, 10))),
            Command::Closing(closing),
            Command::KeepTo(ClearPart { on: true, ..ClearPart::default() }),
        ] {
            apply(window.harness.state_mut(), command);
            window.settle();
        }
        let mut reached = 0;
        for node in window.harness.root().children_recursive() {
            let kit = node.accesskit_node();
            if !kit.data().supports_action(Action::Focus) || kit.role() == Role::Window {
                continue;
            }
            let label = kit.label().unwrap_or_default();
            assert!(!label.is_empty(), "{:?} at {:?} has no name", kit.role(), kit.raw_bounds());
            let rect = node.rect();
            let inside = rect.left() >= 0.0 && rect.right() <= size[0];
            assert!(inside, "{label} lies at {rect:?} in a window of {size:?}");
            reached += 1;
        }
        assert!(reached > 30, "only {reached} can be reached");
    }
}

#[test]
fn an_evening_with_a_closed_sky_opens_with_it() {
    let folder = TempDir::new().expect("a folder");
    let changes = [
        ("closed_sky: []", "closed_sky: [(from_deg: 90, to_deg: 180, until: \"21:00\")]"),
        ("in_turn_percent: 20", "in_turn_percent: 0"),
    ];
    let path = changed_demo(folder.path(), &changes);
    let mut window = TestWindow::open(TALL, 1.0, Some(path));
    window.press(Modifiers::NONE, Key::O);
    window.harness.get_by_label("90° E to 180° S, until 21:00");
    // A rule that never counted gets the usual weight.
    click(&mut window, rule_words(OrderRule::InTurn));
    assert_eq!(window.evening().rules.in_turn, OrderRules::default().in_turn);
}

#[test]
fn the_sky_closes_and_opens_at_either_of_two_hours_that_the_clocks_show() {
    // Europe/London, IANA time-zone database: back on 2027-10-31 at 01:00 UTC, from 02:00 BST to 01:00 GMT.
    let folder = TempDir::new().expect("a folder");
    let evening = late_demo(folder.path(), "2027-10-30");
    let mut window = TestWindow::open(TALL, 1.0, Some(evening));
    window.press(Modifiers::NONE, Key::O);
    let closing = Closing { since: clock(1, 30), until: clock(1, 10), ..Closing::default() };
    apply(window.harness.state_mut(), Command::Closing(closing));
    window.settle();
    window.harness.get_by_label("It must open again after it closes.");
    click(&mut window, "Until 01:10 GMT");
    assert!(window.harness.query_by_label("It must open again after it closes.").is_none());
    click(&mut window, "Shut off this part");
    let closed = ClosedSky { until_again: true, ..south_east(clock(1, 30), clock(1, 10)) };
    assert_eq!(window.evening().wishes.closed_sky, [closed]);
    let part = window.harness.state().open().expect("open").derived.prepared.closed_sky[0];
    assert_eq!(part.interval.minutes(), 40.0);
    window.harness.get_by_label("90° E to 180° S, since 01:30, until 01:10, the second time");
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.evening().wishes.closed_sky, []);
    // On a night that shows the hour once there is nothing to choose.
    let mut window = TestWindow::open(TALL, 1.0, None);
    window.press(Modifiers::NONE, Key::O);
    let closing = Closing { until_again: true, ..closing };
    apply(window.harness.state_mut(), Command::Closing(closing));
    window.settle();
    assert!(window.harness.query_by_label_contains("comes twice").is_none());
    window.harness.get_by_label("It must open again after it closes.");
}
