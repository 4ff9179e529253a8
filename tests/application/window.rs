//! The demonstration in the window: date, drag, undo, print, save.

use std::fs;
use std::path::Path;

use egui::accesskit::Role;
use egui::{Key, Modifiers, pos2, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{Command, Dialog, Notice, PagesEdit, PathUse, apply};
use evenfall_core::output::Output;
use evenfall_core::output::pdf::Paper;
use evenfall_core::plan::Stop;
use evenfall_tests::harness::{TestWindow, changed_demo, late_demo};
use lopdf::Document;
use tempfile::TempDir;

/// The first stop that shows a target and is not held.
fn first_show(window: &TestWindow) -> Stop {
    let stops = window.evening().order.stops();
    stops.iter().find(|stop| stop.show().is_some()).cloned().expect("the demo shows something")
}

/// The label of a stop's block begins like this.
fn label(window: &TestWindow, stop: &Stop) -> String {
    let order = &window.evening().order;
    let number = order.stops().iter().position(|other| other.id == stop.id).expect("the stop is there") + 1;
    let open = window.harness.state().open().expect("an evening is open");
    format!("Stop {number}: {} ", open.title(stop))
}

#[test]
fn the_demo_opens_with_a_running_order_and_no_stopper() {
    let window = TestWindow::demo();
    let open = window.harness.state().open().expect("the demo is open");
    assert!(open.document.evening.order.stops().len() > 5);
    assert!(!open.document.is_dirty(), "a fresh demo has nothing to lose");
    for stop in open.document.evening.order.stops() {
        window.harness.get_by_label_contains(&label(&window, stop));
    }
    for part in ["Shelf", "Board", "Card"] {
        window.harness.get_by_label(part);
    }
}

#[test]
fn a_stop_dragged_and_undone_is_where_it_was() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let stop = first_show(&window);
    let rect = window.harness.get_by_label_contains(&label(&window, &stop)).rect();
    window.drag(rect.center(), rect.center() + vec2(30.0, 0.0));
    let moved = window.evening().order.get(stop.id).cloned().expect("the stop is still there");
    let minutes = moved.start().minutes_since(stop.start());
    assert!(minutes > 5.0, "moved by {minutes} minutes");
    assert!((minutes - minutes.round()).abs() < 1e-9, "not on a whole minute: {minutes}");
    assert_eq!(moved.interval.minutes(), stop.interval.minutes());
    assert!(window.harness.state().open().expect("open").document.is_dirty());
    window.harness.get_by_label_contains("Undo: move");
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.evening(), before);
    assert!(!window.harness.state().open().expect("open").document.is_dirty());
    window.press(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::Z);
    assert_eq!(window.evening().order.get(stop.id), Some(&moved));
}

#[test]
fn a_stop_dragged_down_changes_its_port() {
    let mut window = TestWindow::demo();
    let stop = first_show(&window);
    let ports: Vec<_> = {
        let open = window.harness.state().open().expect("open");
        open.document.stock.rig.ports.iter().map(|port| port.id.clone()).collect()
    };
    let own = stop.show().expect("a show").port.clone();
    let lane = ports.iter().position(|port| *port == own).expect("its port is on the rig");
    let rect = window.harness.get_by_label_contains(&label(&window, &stop)).rect();
    let down = if lane + 1 < ports.len() { 1.0 } else { -1.0 };
    let lane_height = rect.height() + 6.0;
    window.drag(rect.center(), rect.center() + vec2(0.0, down * lane_height));
    let now = window.evening().order.get(stop.id).and_then(|stop| stop.show().cloned());
    let expected = &ports[(lane as f32 + down) as usize];
    assert_eq!(&now.expect("still a show").port, expected);
}

#[test]
fn escape_puts_a_dragged_stop_back() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let stop = first_show(&window);
    let rect = window.harness.get_by_label_contains(&label(&window, &stop)).rect();
    let to = rect.center() + vec2(60.0, 0.0);
    window.lift(rect.center(), to);
    assert!(window.harness.state().view.drag.is_some());
    window.press(Modifiers::NONE, Key::Escape);
    window.harness.drop_at(to);
    window.settle();
    assert_eq!(*window.evening(), before);
}

#[test]
fn a_target_dragged_from_the_shelf_starts_where_it_is_dropped() {
    let mut window = TestWindow::demo();
    let (name, id) = {
        let open = window.harness.state().open().expect("open");
        let shown = |index: usize| {
            let target = &open.document.stock.catalogue.targets[index];
            open.document
                .evening
                .order
                .stops()
                .iter()
                .any(|stop| stop.show().is_some_and(|show| show.target == target.id))
        };
        let entry = open.derived.shelf.iter().find(|entry| !shown(entry.target_index));
        let target = &open.document.stock.catalogue.targets[entry.expect("more than is shown").target_index];
        (target.name.clone(), target.id.clone())
    };
    let row = window.harness.get_by_label_contains(&format!("{name}, ")).rect();
    let stop = first_show(&window);
    let lane = window.harness.get_by_label_contains(&label(&window, &stop)).rect();
    window.drag(row.center(), pos2(lane.left() + 100.0, lane.center().y));
    let brought =
        window.evening().order.stops().iter().find(|stop| stop.show().is_some_and(|show| show.target == id));
    let show = brought.and_then(Stop::show).expect("it was brought on");
    assert_eq!(show.port, stop.show().expect("a show").port);
}

#[test]
fn a_typed_date_is_laid_out_and_undone() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    window.press(Modifiers::NONE, Key::D);
    window.type_text("2027-04-10");
    window.press(Modifiers::NONE, Key::Enter);
    let date = window.evening().date.to_string();
    assert_eq!(date, "2027-04-10");
    let open = window.harness.state().open().expect("open");
    assert_eq!(open.derived.prepared.night.local.date().to_string(), "2027-04-10");
    assert!(!open.document.evening.order.stops().is_empty());
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.evening(), before);
}

#[test]
fn a_date_without_ephemeris_is_refused_in_words() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::D);
    window.type_text("2350-01-01");
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(window.evening().date.to_string(), "2027-03-13");
    let notice = &window.harness.state().view.notice;
    assert!(matches!(notice, Some(Notice::Trouble(words)) if words.contains("2100")), "{notice:?}");
}

#[test]
fn a_run_sheet_is_written_and_its_text_read_back() {
    let mut window = TestWindow::demo();
    let folder = window.folder.path().join("pages");
    window.press(Modifiers::COMMAND, Key::P);
    let typed = PagesEdit::Folder(folder.display().to_string());
    apply(window.harness.state_mut(), Command::Pages(typed));
    window.press(Modifiers::COMMAND, Key::Enter);
    let path = folder.join(Output::RunSheet.file_name(Paper::A4));
    let mut document = Document::load(&path).expect("a PDF");
    let pages: Vec<u32> = document.get_pages().into_keys().collect();
    document.decompress();
    let text = document.extract_text(&pages).expect("its text").replace('\n', " ");
    let letters = |words: &str| words.chars().filter(|letter| letter.is_alphanumeric()).collect::<String>();
    let text = letters(&text);
    let open = window.harness.state().open().expect("open");
    assert!(text.contains(&letters(&open.document.evening.title)), "no title in {text}");
    for stop in open.document.evening.order.stops() {
        let title = letters(&open.title(stop));
        assert!(text.contains(&title), "no {title} in {text}");
    }
}

/// Replaces what stands in the path field, and goes ahead.
fn retype(window: &mut TestWindow, path: &str) {
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text(path);
    window.press(Modifiers::NONE, Key::Enter);
}

#[test]
fn an_evening_saved_opens_again_as_it_was() {
    let mut window = TestWindow::demo();
    let stop = first_show(&window);
    window.harness.get_by_label_contains(&label(&window, &stop)).focus();
    window.settle();
    window.press(Modifiers::SHIFT, Key::ArrowRight);
    assert!(window.harness.state().open().expect("open").document.is_dirty());
    let path = window.folder.path().join("ours.evening.ron");
    window.press(Modifiers::COMMAND, Key::S);
    retype(&mut window, &path.display().to_string());
    assert!(!window.harness.state().open().expect("open").document.is_dirty());
    let again = TestWindow::open([1280.0, 800.0], 1.0, Some(path));
    assert_eq!(again.evening(), window.evening());
}

#[test]
fn a_file_is_never_replaced_without_asking() {
    let mut window = TestWindow::demo();
    let save_as = Modifiers::COMMAND.plus(Modifiers::SHIFT);
    for (modifiers, key, name) in
        [(save_as, Key::S, "other.evening.ron"), (save_as, Key::E, "other.problem.json")]
    {
        let path = window.folder.path().join(name);
        fs::write(&path, "someone else's").expect("a file");
        let now = || fs::read_to_string(&path).unwrap_or_default();
        for answer in [Key::Enter, Key::Escape] {
            window.press(modifiers, key);
            // The ending is Evenfall's own: the question is about the file that would be written.
            let typed = path.display().to_string();
            retype(&mut window, typed.trim_end_matches(".evening.ron").trim_end_matches(".problem.json"));
            window.harness.get_by_label_contains(&format!("{name} is there already"));
            window.press(Modifiers::NONE, answer);
            assert!(window.harness.query_by_label("Replace").is_none(), "the question stays");
            let asked = &window.harness.state().view.dialog;
            assert!(matches!(asked, Some(Dialog::Path { text, .. }) if *text == path.display().to_string()));
            window.press(Modifiers::NONE, Key::Escape);
            assert_eq!(now(), "someone else's");
        }
        window.press(modifiers, key);
        retype(&mut window, &path.display().to_string());
        window.press(Modifiers::SHIFT, Key::Tab);
        window.press(Modifiers::NONE, Key::Enter);
        assert_ne!(fs::read(&path).expect("a file"), b"someone else's", "{name} was not replaced");
    }
    window.press(Modifiers::COMMAND, Key::S);
    assert!(window.harness.query_by_label("Replace").is_none(), "saving in place asks nothing");
}

#[test]
fn a_save_that_fails_is_told_in_full_and_stays_undone() {
    let mut window = TestWindow::demo();
    let path = window.folder.path().join("nowhere").join("ours.evening.ron");
    window.press(Modifiers::COMMAND, Key::S);
    retype(&mut window, &path.display().to_string());
    window.harness.get_by_role_and_label(Role::Heading, "The evening was not saved");
    let told = format!("can't write {}: there is no folder", path.display());
    window.harness.get_by_label_contains(&told);
    window.press(Modifiers::NONE, Key::Escape);
    assert!(window.harness.query_by_label("The evening was not saved").is_none());
    let text = path.display().to_string();
    let again = Some(Dialog::Path { purpose: PathUse::Save, text });
    assert_eq!(window.harness.state().view.dialog, again, "the path is asked for again");
    window.press(Modifiers::NONE, Key::Escape);
    assert_eq!(window.harness.state().open().expect("open").document.path, None);
}

#[test]
fn a_message_goes_with_the_next_deed() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::D);
    window.type_text("30/02/2027");
    window.press(Modifiers::NONE, Key::Enter);
    let told = |window: &TestWindow| window.harness.state().view.notice.clone();
    assert!(matches!(told(&window), Some(Notice::Trouble(words)) if words.contains("30/02/2027")));
    window.press(Modifiers::NONE, Key::D);
    window.type_text("2027-03-13");
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(told(&window), None);
}

#[test]
fn the_board_names_the_clock_on_both_sides_of_a_change() {
    // Europe/London, IANA time-zone database: forward on 2027-03-28 and back on 2027-10-31, at 01:00 UTC.
    for (date, axis, change) in [
        ("2027-03-27", "Clock GMT, from 02:00 BST", "Clocks go forward to 02:00 BST"),
        ("2027-10-30", "Clock BST, from 01:00 GMT", "Clocks go back to 01:00 GMT"),
    ] {
        let folder = TempDir::new().expect("a folder");
        let evening = late_demo(folder.path(), date);
        let window = TestWindow::open([1280.0, 800.0], 1.0, Some(evening));
        window.harness.get_by_label(axis);
        let close = format!("Doors close 03:30 {}", &axis[axis.len() - 3..]);
        let sky = window.harness.get_by_label_contains(change).accesskit_node().label().unwrap_or_default();
        assert!(sky.contains("Doors open 22:00,") && sky.contains(&close), "{sky}");
    }
}

#[test]
fn the_board_keeps_its_parts_in_a_small_window() {
    let mut window = TestWindow::open([853.0, 533.0], 1.5, None);
    let board = window.harness.get_by_label("Board").rect();
    let axis = window.harness.get_by_label("Clock GMT").rect();
    let stop = window.harness.get_by_label_contains("Stop 2: ").rect();
    assert!(stop.height() >= 60.0 && axis.width() >= 300.0, "{stop:?} along {axis:?}");
    window.harness.get_by_label("Show the Shelf").click();
    window.settle();
    assert!(window.harness.get_by_label("Search the Shelf").rect().left() > board.right());
    assert!(window.harness.query_by_label("Hold time").is_none());
    window.harness.get_by_label("Show the Card").click();
    window.settle();
    window.harness.get_by_label("Hold time");
}

#[test]
fn an_empty_shelf_says_why() {
    let folder = TempDir::new().expect("a folder");
    let evening = changed_demo(folder.path(), &[]);
    let none = "(\n  format: \"evenfall-catalogue/1\",\n  name: \"None\",\n  targets: [],\n)\n";
    fs::write(folder.path().join("heron-fell.catalogue.ron"), none).expect("a catalogue");
    let mut window = TestWindow::open([1280.0, 800.0], 1.0, Some(evening));
    window.harness.get_by_label("The catalogue has no targets.");
    let mut demo = TestWindow::demo();
    demo.press(Modifiers::NONE, Key::Slash);
    demo.type_text("/");
    demo.type_text("no such words");
    demo.harness.get_by_label("Nothing on the Shelf has these words.");
    window.settle();
}

#[test]
fn the_card_begins_at_its_top_for_another_selection() {
    let mut window = TestWindow::demo();
    let top = window.harness.get_by_label("Hold time").rect().top();
    window.harness.get_by_label("What to say").scroll_to_me();
    window.settle();
    assert!(window.harness.get_by_label("Hold time").rect().top() < top - 50.0, "the Card did not scroll");
    let other = window.evening().order.stops().iter().rfind(|stop| stop.show().is_some()).cloned();
    let other = label(&window, &other.expect("more than one stop"));
    window.harness.get_by_label_contains(&other).focus();
    window.settle();
    assert!((window.harness.get_by_label("Hold time").rect().top() - top).abs() < 60.0);
}

#[test]
fn unsaved_changes_are_asked_about_before_the_window_closes() {
    let mut window = TestWindow::demo();
    let stop = first_show(&window);
    window.harness.get_by_label_contains(&label(&window, &stop)).focus();
    window.settle();
    window.press(Modifiers::NONE, Key::ArrowRight);
    window.press(Modifiers::COMMAND, Key::Q);
    assert!(!window.harness.state().view.may_close);
    window.harness.get_by_label("Stay").click();
    window.settle();
    assert!(!window.harness.state().view.may_close);
    window.press(Modifiers::COMMAND, Key::Q);
    window.harness.get_by_label("Go on without saving").click();
    window.settle();
    assert!(window.harness.state().view.may_close);
}

#[test]
fn a_damaged_file_is_reported_with_its_place_and_the_evening_stays() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    let path = window.folder.path().join("broken.evening.ron");
    fs::write(&path, "(\n  format: \"evenfall-evening/1\",\n  titel: \"?\",\n)\n").expect("a file");
    window.press(Modifiers::COMMAND, Key::O);
    retype(&mut window, &path.display().to_string());
    window.harness.get_by_role_and_label(Role::Heading, "The evening could not be opened");
    window.harness.get_by_label_contains("broken.evening.ron:3");
    window.press(Modifiers::NONE, Key::Escape);
    assert_eq!(*window.evening(), before);
}

#[test]
fn faults_of_an_evening_and_of_its_files_are_listed_together() {
    let mut window = TestWindow::demo();
    let path = changed_demo(window.folder.path(), &[("visitors: 60", "visitors: 6000")]);
    for (part, from, to) in [
        ("site", "latitude_deg: 55.1", "latitude_deg: 155.1"),
        ("rig", "aperture_mm: 600", "aperture_mm: 0"),
        ("catalogue", "appeal: 1.0", "appeal: 7.0"),
    ] {
        let path = window.folder.path().join(format!("heron-fell.{part}.ron"));
        let text = fs::read_to_string(&path).expect("the copy");
        assert!(text.contains(from), "{part} does not hold {from}");
        fs::write(path, text.replacen(from, to, 1)).expect("the change");
    }
    window.press(Modifiers::COMMAND, Key::O);
    retype(&mut window, &path.display().to_string());
    window.harness.get_by_role_and_label(Role::Heading, "The evening could not be opened");
    for fault in [
        "house.visitors: 6000 is out of range. Give a whole number from 0 to 2000 people",
        "latitude_deg: 155.1 is out of range. Give a number from -90 to 90 degrees",
        "telescope.aperture_mm: 0 is out of range. Give a number from 20 to 50000 millimetres",
        "targets[0].appeal: 7 is out of range. Give a number from 0 to 1",
    ] {
        window.harness.get_by_label_contains(fault);
    }
}

#[test]
fn one_bad_target_is_listed_and_the_evening_opens_without_it() {
    let mut window = TestWindow::demo();
    for name in ["catalogue", "site", "rig", "evening"].map(|part| format!("heron-fell.{part}.ron")) {
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../catalog-demo").join(&name);
        let text = fs::read_to_string(demo).expect("the demo").replacen("appeal: 1.0", "appeal: 7.0", 1);
        fs::write(window.folder.path().join(name), text).expect("a copy");
    }
    window.press(Modifiers::COMMAND, Key::O);
    let path = window.folder.path().join("heron-fell.evening.ron").display().to_string();
    retype(&mut window, &path);
    window.harness.get_by_role_and_label(Role::Heading, "Some entries were left out");
    window.harness.get_by_label_contains("targets[0].appeal");
    window.press(Modifiers::NONE, Key::Escape);
    let open = window.harness.state().open().expect("an evening is open");
    assert!(open.document.stock.catalogue.targets.iter().all(|target| target.id.0 != "moon"));
    assert!(open.document.stock.catalogue.targets.len() > 100);
}
