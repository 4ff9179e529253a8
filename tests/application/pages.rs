//! The pages over the window: chosen, looked at and written by their names and by keys; and the call they follow.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::accesskit::Role;
use egui::{Key, MissingGlyphPolicy, Modifiers};
use egui_kittest::Node;
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::shell::AtHome;
use evenfall_app::state::{Command, Dialog, Notice, PagesEdit, PagesStep, Palette, Settings, Then, apply};
use evenfall_core::output::pdf::Paper;
use evenfall_core::output::{CalendarFor, Output};
use evenfall_core::plan::Decision;
use evenfall_tests::harness::{TEST_EFFORT, TestWindow, changed_demo};
use tempfile::TempDir;

pub(super) const SIZE: ([f32; 2], f32) = ([1280.0, 800.0], 1.0);

pub(super) fn give(window: &mut TestWindow, command: Command) {
    apply(window.harness.state_mut(), command);
    window.settle();
}

pub(super) fn click(window: &mut TestWindow, name: &str) {
    window.harness.get_by_label(name).click();
    window.settle();
}

/// The pages of the demonstration, with a folder of the test typed.
pub(super) fn pages(into: &str) -> (TestWindow, PathBuf) {
    let mut window = TestWindow::demo();
    let folder = window.folder.path().join(into);
    window.press(Modifiers::COMMAND, Key::P);
    give(&mut window, Command::Pages(PagesEdit::Folder(folder.display().to_string())));
    (window, folder)
}

/// What a folder holds, by name.
pub(super) fn held(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    entries
        .map(|entry| {
            let bytes = fs::read(entry.path()).unwrap_or_default();
            (entry.file_name().to_string_lossy().into_owned(), bytes)
        })
        .collect()
}

pub(super) fn names(paper: Paper) -> Vec<String> {
    let mut names: Vec<_> = Output::ALL.into_iter().map(|output| output.file_name(paper)).collect();
    names.sort();
    names
}

/// What the keyboard is on.
pub(super) fn on(window: &TestWindow) -> Option<String> {
    let nodes = window.harness.root().children_recursive();
    nodes.into_iter().find(Node::is_focused).and_then(|node| node.accesskit_node().label())
}

pub(super) fn step(window: &TestWindow) -> &PagesStep {
    &window.harness.state().view.pages.step
}

#[test]
fn a_key_or_the_button_opens_the_pages_and_escape_closes_them() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::COMMAND, Key::P);
    assert_eq!(window.harness.state().view.dialog, Some(Dialog::Pages));
    for output in Output::ALL {
        let sides = window.harness.state().sides(output);
        let known = sides.is_some_and(|sides| sides.as_ref().is_ok_and(|sides| !sides.is_empty()));
        assert_eq!(known, output.is_page(), "{output:?}");
    }
    window.press(Modifiers::NONE, Key::Escape);
    assert_eq!(window.harness.state().view.dialog, None);
    assert!(window.harness.state().sides(Output::RunSheet).is_none(), "what is not looked at is not kept");
    click(&mut window, "Pages: look at them, write them…");
    assert_eq!(window.harness.state().view.dialog, Some(Dialog::Pages));
}

#[test]
fn what_is_ticked_is_written_and_nothing_else() {
    let (mut window, folder) = pages("some");
    click(&mut window, "Write nothing");
    let button = window.harness.get_by_label("Write 0 files");
    assert!(button.accesskit_node().is_disabled());
    window.press(Modifiers::COMMAND, Key::Enter);
    assert!(!folder.exists());
    click(&mut window, "Write Run sheet");
    click(&mut window, "Write Calendar for visitors");
    click(&mut window, "US Letter");
    click(&mut window, "Write 2 files");
    let files = held(&folder);
    assert_eq!(files.keys().collect::<Vec<_>>(), ["evening-visitors.ics", "run-sheet-letter.pdf"]);
    assert!(files["run-sheet-letter.pdf"].starts_with(b"%PDF-"));
    assert!(files["evening-visitors.ics"].starts_with(b"BEGIN:VCALENDAR"));
    assert_eq!(
        window.harness.query_all_by_label_contains("2 files written to ").count(),
        2,
        "also in the status bar"
    );
    // Of what is printed, the closing message tells how much for whom.
    window.harness.get_by_label("3 ×");
    window.harness.get_by_label("for those who run the evening");
    click(&mut window, "Close");
    let written = Notice::PagesWritten(2, folder);
    assert_eq!(window.harness.state().view.notice, Some(written));
}

#[test]
fn copies_are_stepped_and_typed_and_the_usual_ones_come_back() {
    let (mut window, _) = pages("copies");
    let house = window.evening().house.clone();
    let copies =
        |window: &TestWindow| window.harness.state().settings().pages.copies(Output::RunSheet, &house);
    assert_eq!(copies(&window), 3);
    click(&mut window, "One copy more of Run sheet");
    click(&mut window, "One copy more of Run sheet");
    click(&mut window, "One copy less of Run sheet");
    assert_eq!(copies(&window), 4);
    window.harness.get_by_role_and_label(Role::SpinButton, "Copies of Run sheet").focus();
    window.settle();
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text("900");
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(copies(&window), 500);
    click(&mut window, "Usual copies");
    assert_eq!(copies(&window), 3);
}

#[test]
fn sides_are_turned_by_keys_and_told_by_name_and_words() {
    let (mut window, _) = pages("sides");
    let title = window.evening().title.clone();
    let sides = window.harness.state().sides(Output::RunSheet).cloned();
    let count = sides.expect("laid out").expect("without a fault").len();
    assert!(count >= 2, "the demo's run sheet has {count} side");
    let side = |window: &TestWindow| {
        let nodes = window.harness.root().children_recursive().map(|node| node.accesskit_node());
        let mut images = nodes.filter(|node| node.role() == Role::Image);
        images.find_map(|node| {
            let label = node.label().filter(|label| label.starts_with("Run sheet, side"))?;
            Some((label, node.value().unwrap_or_default()))
        })
    };
    let first = side(&window).expect("a side");
    assert_eq!(first.0, format!("Run sheet, side 1 of {count}"));
    assert!(first.1.contains(&title), "{}", first.1);
    window.press(Modifiers::NONE, Key::PageDown);
    let second = side(&window).expect("a side");
    assert_eq!(second.0, format!("Run sheet, side 2 of {count}"));
    assert_ne!(first.1, second.1);
    for _ in 0..5 {
        window.press(Modifiers::NONE, Key::PageDown);
    }
    assert_eq!(window.harness.state().view.pages.side, count - 1, "after the last comes none");
    window.press(Modifiers::NONE, Key::PageUp);
    assert_eq!(window.harness.state().view.pages.side, count - 2);
    assert_eq!(window.evening().date.to_string(), "2027-03-13", "the date behind stays");
}

#[test]
fn sides_follow_the_paper_and_are_as_large_as_it() {
    let (mut window, _) = pages("paper");
    for paper in Paper::ALL {
        give(&mut window, Command::Pages(PagesEdit::Paper(paper)));
        for output in Output::ALL.into_iter().filter(|output| output.is_page()) {
            let sides = window.harness.state().sides(output).cloned().expect("laid out");
            for side in sides.expect("without a fault").iter() {
                let size = (side.width, side.height);
                assert!(size == paper.size() || size == paper.upright(), "{output:?}: {size:?}");
            }
        }
    }
}

#[test]
fn the_same_evening_is_written_as_the_same_bytes() {
    let (mut window, first) = pages("first");
    window.press(Modifiers::COMMAND, Key::Enter);
    let second = window.folder.path().join("deep/second");
    give(&mut window, Command::Pages(PagesEdit::Back));
    give(&mut window, Command::Pages(PagesEdit::Folder(second.display().to_string())));
    window.press(Modifiers::COMMAND, Key::Enter);
    let (first, second) = (held(&first), held(&second));
    assert_eq!(first.keys().cloned().collect::<Vec<_>>(), names(Paper::A4));
    for (name, bytes) in &first {
        assert!(second[name] == *bytes, "{name} differs");
    }
}

/// RFC 5545, 3.8.7.4: the organiser raises SEQUENCE with every change that matters.
#[test]
fn files_are_replaced_only_when_that_is_agreed_and_a_calendar_counts_on() {
    let (mut window, folder) = pages("again");
    window.press(Modifiers::COMMAND, Key::Enter);
    let before = held(&folder);
    // Called off: the calendars change.
    give(&mut window, Command::Dismiss);
    window.press(Modifiers::NONE, Key::G);
    click(&mut window, "No-go");
    click(&mut window, "Note it");
    window.press(Modifiers::COMMAND, Key::P);
    let shown = window.harness.state().view.pages.folder.clone();
    assert_eq!(PathBuf::from(shown), folder, "the last folder is remembered");
    window.press(Modifiers::COMMAND, Key::Enter);
    let count = before.len();
    assert!(matches!(step(&window), PagesStep::Asking(there) if there.len() == count));
    window.harness.get_by_label(&format!("{count} files are there already. Replace them?"));
    assert_eq!(on(&window).as_deref(), Some("Keep them"), "nothing is lost by a slip");
    window.press(Modifiers::NONE, Key::Escape);
    assert!(matches!(step(&window), PagesStep::Choosing));
    assert_eq!(on(&window), Some(format!("Write {count} files")));
    assert_eq!(held(&folder), before);
    window.press(Modifiers::COMMAND, Key::Enter);
    click(&mut window, &format!("Replace {count} files"));
    let after = held(&folder);
    let calendar = Output::Calendar(CalendarFor::Visitors).file_name(Paper::A4);
    let text = |files: &BTreeMap<String, Vec<u8>>| {
        String::from_utf8(files[&calendar].clone()).expect("RFC 5545, 3.1.4: UTF-8")
    };
    assert!(text(&before).contains("SEQUENCE:0") && text(&before).contains("STATUS:TENTATIVE"));
    assert!(text(&after).contains("SEQUENCE:1") && text(&after).contains("STATUS:CANCELLED"));
}

#[test]
fn sides_that_come_too_late_are_dropped() {
    let mut window = TestWindow::demo();
    window.settle_all();
    apply(window.harness.state_mut(), Command::ShowPages);
    window.harness.step();
    assert!(window.harness.state().is_busy(), "the pages are there before their sides");
    assert!(window.harness.state().sides(Output::RunSheet).is_none());
    apply(window.harness.state_mut(), Command::Pages(PagesEdit::Paper(Paper::Letter)));
    window.settle();
    let sides = window.harness.state().sides(Output::RunSheet).cloned().expect("laid out");
    let first = sides.expect("without a fault")[0].clone();
    assert_eq!((first.width, first.height), Paper::Letter.size());
}

#[test]
fn the_pages_at_rest_ask_for_no_frame() {
    let (mut window, _) = pages("rest");
    window.harness.run_steps(4);
    let wait = window.harness.output().viewport_output.values().map(|view| view.repaint_delay).min();
    assert!(wait.is_some_and(|wait| wait.as_secs() > 60), "repaints after {wait:?}");
}

#[test]
fn under_the_red_lamp_a_side_has_no_green_and_no_blue() {
    let (mut window, _) = pages("lamp");
    window.harness.state_mut().view.palette = Palette::RedLamp;
    window.settle();
    let shown = Output::ALL.into_iter().filter(|output| output.is_page());
    for output in shown {
        give(&mut window, Command::Pages(PagesEdit::Show(output)));
        let picture = window.picture();
        assert!(picture.pixels().all(|pixel| pixel.0[1] == 0 && pixel.0[2] == 0), "{output:?}");
        let bounds = window.harness.get_by_label_contains(", side 1 of ").rect();
        let within = |x: u32, y: u32| bounds.contains(egui::pos2(x as f32, y as f32));
        let lit = picture.enumerate_pixels().filter(|(x, y, pixel)| within(*x, *y) && pixel.0[0] > 150);
        assert!(lit.count() > 200, "{output:?}: nothing was drawn");
    }
}

#[test]
fn the_choice_is_remembered_from_one_start_to_the_next() {
    let home = TempDir::new().unwrap();
    let outside = AtHome::in_folders(Some(home.path().to_owned()), Some(home.path().to_owned()));
    let mut window = TestWindow::in_a_world(Arc::new(outside.clone()), TEST_EFFORT, SIZE, None);
    give(&mut window, Command::Dismiss);
    window.press(Modifiers::COMMAND, Key::P);
    let proposed = home.path().join("2027-03-13-pages");
    assert_eq!(PathBuf::from(&window.harness.state().view.pages.folder), proposed);
    for edit in [
        PagesEdit::Paper(Paper::Letter),
        PagesEdit::Include(Output::OrderCsv, false),
        PagesEdit::Copies(Output::RunSheet, 7),
        PagesEdit::Write,
    ] {
        give(&mut window, Command::Pages(edit));
    }
    window.harness.state_mut().keep_settings_now();
    let kept =
        Settings::read(&fs::read_to_string(home.path().join("settings.ron")).unwrap()).unwrap().settings;
    drop(window);
    let window = TestWindow::in_a_world(Arc::new(outside), TEST_EFFORT, SIZE, None);
    let pages = &window.harness.state().settings().pages;
    assert_eq!(*pages, kept.pages);
    assert_eq!(pages.paper(), Paper::Letter);
    assert!(!pages.includes(Output::OrderCsv));
    assert_eq!(pages.copies(Output::RunSheet, &window.evening().house), 7);
    assert_eq!(pages.folder, Some(proposed));
}

#[test]
fn a_set_is_chosen_and_written_by_keys_alone() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::COMMAND, Key::P);
    // From name to name, each looked at on the way.
    window.press(Modifiers::NONE, Key::ArrowDown);
    assert_eq!(window.harness.state().view.pages.shown, Output::ALL[1]);
    window.press(Modifiers::NONE, Key::End);
    assert_eq!(Some(&window.harness.state().view.pages.shown), Output::ALL.last());
    // The box before it, and away with it.
    window.press(Modifiers::SHIFT, Key::Tab);
    window.press(Modifiers::NONE, Key::Space);
    assert_eq!(window.harness.state().settings().pages.included().len(), Output::ALL.len() - 1);
    // On to the folder; without a dialog of the desktop its button leads to its field.
    for _ in 0..80 {
        if on(&window).as_deref() == Some("Choose the folder…") {
            break;
        }
        window.press(Modifiers::NONE, Key::Tab);
    }
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(on(&window).as_deref(), Some("Folder"));
    window.press(Modifiers::COMMAND, Key::A);
    let folder = window.folder.path().join("by keys");
    window.type_text(&folder.display().to_string());
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(held(&folder).len(), Output::ALL.len() - 1);
    assert_eq!(on(&window).as_deref(), Some("Close"));
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(window.harness.state().view.dialog, None);
}

#[test]
fn what_to_know_of_a_set_is_told_before_it_is_written() {
    let folder = TempDir::new().expect("a folder");
    let changes =
        [("Spring star night", "\u{5317} star night"), ("Saturday 10 April 2027", "Saturday 6 March 2027")];
    let evening = changed_demo(folder.path(), &changes);
    let mut window = TestWindow::demo();
    // As in the real window: a letter that the face lacks is a box.
    window.harness.ctx.set_missing_glyph_policy(MissingGlyphPolicy::Tofu);
    give(&mut window, Command::OpenThis(evening));
    window.press(Modifiers::COMMAND, Key::P);
    window.harness.get_by_label_contains("the typeface of the pages lacks some of its letters");
    window.harness.get_by_label_contains("not printed among the next dates: Saturday 6 March 2027");
    // On other paper the words stay.
    give(&mut window, Command::Pages(PagesEdit::Paper(Paper::Letter)));
    window.harness.get_by_label_contains("the typeface of the pages lacks some of its letters");
    let mut window = TestWindow::demo();
    window.press(Modifiers::COMMAND, Key::P);
    assert!(window.harness.query_by_label_contains("typeface of the pages").is_none());
}

#[test]
fn the_call_is_one_step_with_a_name_and_the_status_bar_tells_it() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    assert!(window.harness.query_by_label_contains("Go at ").is_none());
    window.press(Modifiers::NONE, Key::G);
    // On to "Go" and the name by keys.
    window.press(Modifiers::NONE, Key::Tab);
    window.press(Modifiers::NONE, Key::Space);
    window.press(Modifiers::NONE, Key::Tab);
    window.press(Modifiers::NONE, Key::Tab);
    window.press(Modifiers::NONE, Key::Tab);
    window.type_text("Sam");
    click(&mut window, "Note it");
    let call = window.evening().call.clone();
    assert_eq!((call.decision, call.decided_by.as_str()), (Decision::Go, "Sam"));
    let at = call.decided_at.expect("a time").format("%H:%M").to_string();
    window.harness.get_by_label(&format!("Go at {at}, Sam"));
    window.harness.get_by_label("Undo: call it go");
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.evening(), before);
    assert!(window.harness.query_by_label_contains("Go at ").is_none());
    // What was noted is asked about before it is lost.
    window.press(Modifiers::COMMAND, Key::Y);
    give(&mut window, Command::Close);
    assert_eq!(window.harness.state().view.dialog, Some(Dialog::Unsaved(Then::Close)));
}
