//! What a desktop program owes its user: what is remembered, files given by hand, commands found, a first evening made.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::thread;
use std::time::{Duration, Instant};

use egui::accesskit::Role;
use egui::{DroppedFile, Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::cli::{self, Outcome};
use evenfall_app::shell::AtHome;
use evenfall_app::state::{
    BoardSpan, CardSection, Command, Dialog, Notice, OwnField, OwnForm, Palette, Part, PathUse, Report,
    Settings, Source, TextStep, Then, apply,
};
use evenfall_core::plan::Severity;
use evenfall_tests::harness::{TEST_EFFORT, TestWindow, changed_demo};
use tempfile::TempDir;

const SIZE: ([f32; 2], f32) = ([1280.0, 800.0], 1.0);

/// A window that keeps its settings in a folder, and documents in the same.
fn at_home(home: &Path, evening: Option<PathBuf>) -> TestWindow {
    let outside = AtHome::in_folders(Some(home.to_owned()), Some(home.to_owned()));
    TestWindow::in_a_world(Arc::new(outside), TEST_EFFORT, SIZE, evening)
}

fn give(window: &mut TestWindow, command: Command) {
    apply(window.harness.state_mut(), command);
    window.settle();
}

/// Waits until the worker has written settings of which this holds.
fn kept(home: &Path, holds: impl Fn(&Settings) -> bool) -> Settings {
    let started = Instant::now();
    loop {
        let text = fs::read_to_string(home.join("settings.ron")).unwrap_or_default();
        match Settings::read(&text) {
            Ok(read) if holds(&read.settings) => return read.settings,
            _ => assert!(started.elapsed() < Duration::from_secs(20), "not written: {text}"),
        }
        thread::sleep(Duration::from_millis(5));
    }
}

#[test]
fn a_first_start_shows_first_steps_and_a_second_what_was_there() {
    let (home, files) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let evening = changed_demo(files.path(), &[("Spring star night", "Owl night")]);
    let mut first = at_home(home.path(), None);
    assert_eq!(first.harness.state().view.dialog, Some(Dialog::Welcome));
    first.press(Modifiers::NONE, Key::Enter);
    assert_eq!(first.harness.state().view.dialog, None, "the demo is behind");
    for command in [
        Command::TogglePalette,
        Command::ToggleSpan,
        Command::Fold(CardSection::Why),
        Command::TextSize(TextStep::Larger),
        Command::OpenThis(evening.clone()),
    ] {
        give(&mut first, command);
    }
    kept(home.path(), |settings| settings.last_evening.is_some() && settings.text_percent == 110);
    drop(first);
    let second = at_home(home.path(), None);
    let view = &second.harness.state().view;
    assert_eq!((view.palette, view.span), (Palette::RedLamp, BoardSpan::Night));
    assert!(view.card.folded.contains(&CardSection::Why));
    assert_eq!((&view.dialog, &view.notice), (&None, &None));
    assert_eq!(second.harness.ctx.zoom_factor(), 1.1);
    assert_eq!(second.evening().title, "Owl night at Heron Fell");
    drop(second);
    fs::remove_file(&evening).unwrap();
    let third = at_home(home.path(), None);
    assert_eq!(third.harness.state().view.notice, Some(Notice::Gone(evening)));
    assert_eq!(third.evening().title, "Spring star night at Heron Fell");
}

#[test]
fn an_evening_that_is_named_comes_before_the_last_one() {
    let (home, files) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let named = changed_demo(files.path(), &[("Spring star night", "Owl night")]);
    let window = at_home(home.path(), Some(named.clone()));
    assert_eq!(window.harness.state().view.dialog, None, "somebody who names a file knows the way");
    assert_eq!(window.evening().title, "Owl night at Heron Fell");
    kept(home.path(), |settings| settings.last_evening.as_ref() == Some(&named));
}

#[test]
fn damaged_settings_are_kept_aside_and_told_in_one_line() {
    let home = TempDir::new().unwrap();
    fs::write(home.path().join("settings.ron"), "(palette: Re").unwrap();
    let mut window = at_home(home.path(), None);
    let aside = home.path().join("settings.damaged.ron");
    assert_eq!(fs::read_to_string(&aside).unwrap(), "(palette: Re");
    let notice = window.harness.state().view.notice.clone();
    assert_eq!(notice, Some(Notice::SettingsDamaged(Some(aside))));
    window.harness.get_by_label_contains("the usual ones hold");
    give(&mut window, Command::TogglePalette);
    kept(home.path(), |settings| settings.palette == Palette::RedLamp);
}

#[test]
fn without_a_home_nothing_is_kept_and_nothing_said() {
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("no folder");
    fs::write(&file, "a file").unwrap();
    let broken = AtHome::in_folders(Some(file), None);
    for outside in [AtHome::default(), broken] {
        let mut window = TestWindow::in_a_world(Arc::new(outside), TEST_EFFORT, SIZE, None);
        give(&mut window, Command::TogglePalette);
        window.harness.state_mut().keep_settings_now();
        let view = &window.harness.state().view;
        assert_eq!((&view.dialog, &view.notice), (&None, &None));
    }
}

#[test]
fn recent_evenings_are_listed_and_those_gone_say_so() {
    let (home, files, other) = (TempDir::new().unwrap(), TempDir::new().unwrap(), TempDir::new().unwrap());
    let kept_one = changed_demo(files.path(), &[("Spring star night", "Owl night")]);
    let lost = changed_demo(other.path(), &[]);
    let mut window = at_home(home.path(), Some(lost.clone()));
    give(&mut window, Command::OpenThis(kept_one.clone()));
    give(&mut window, Command::OpenDemo);
    fs::remove_file(&lost).unwrap();
    window.press(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::O);
    let started = Instant::now();
    while !window.harness.state().is_gone(&lost) {
        assert!(started.elapsed() < Duration::from_secs(20), "nobody looked");
        window.harness.step();
        thread::sleep(Duration::from_millis(5));
    }
    window.settle();
    window.harness.get_by_label_contains(&format!("gone, in {}", other.path().display()));
    assert_eq!(window.harness.state().settings().recent, [kept_one, lost]);
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(window.evening().title, "Owl night at Heron Fell");
}

#[derive(Debug)]
struct Dropped(PathBuf);

impl DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        fs::read(&self.0).map_err(|error| error.to_string())
    }
}

fn drop_files(window: &mut TestWindow, paths: &[&Path]) {
    for path in paths {
        window.harness.input_mut().dropped_files.push(Arc::new(Dropped((*path).to_owned())));
    }
    window.harness.step();
    window.harness.input_mut().dropped_files.clear();
    window.settle();
}

#[test]
fn one_evening_dropped_is_opened_and_several_are_not() {
    let files = TempDir::new().unwrap();
    let evening = changed_demo(files.path(), &[("Spring star night", "Owl night")]);
    let mut window = TestWindow::demo();
    let second = files.path().join("second.evening.ron");
    drop_files(&mut window, &[&evening, &second]);
    assert_eq!(window.harness.state().view.notice, Some(Notice::DropOne));
    assert_eq!(window.evening().title, "Spring star night at Heron Fell");
    window.press(Modifiers::NONE, Key::H);
    drop_files(&mut window, &[&evening]);
    let asked = Some(Dialog::Unsaved(Then::Open(Source::File(evening.clone()))));
    assert_eq!(window.harness.state().view.dialog, asked, "nothing is lost unasked");
    window.press(Modifiers::NONE, Key::Escape);
    window.press(Modifiers::COMMAND, Key::Z);
    // With the files it names: the one evening among them is meant.
    drop_files(&mut window, &[&files.path().join("heron-fell.site.ron"), &evening]);
    assert_eq!(window.evening().title, "Owl night at Heron Fell");
}

#[test]
fn the_window_is_called_after_its_evening_and_file() {
    let called = |window: &TestWindow| window.harness.root().accesskit_node().label().unwrap_or_default();
    let mut window = TestWindow::demo();
    assert_eq!(called(&window), "Spring star night at Heron Fell (demonstration) – Evenfall");
    window.press(Modifiers::NONE, Key::H);
    assert_eq!(called(&window), "Spring star night at Heron Fell (not saved) – Evenfall");
    let path = window.folder.path().join("ours.evening.ron");
    give(&mut window, Command::UsePath(PathUse::Save, path));
    assert_eq!(called(&window), "Spring star night at Heron Fell (ours.evening.ron, saved) – Evenfall");
}

#[test]
fn a_command_is_found_by_typing_and_says_why_it_can_not_be_done() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::COMMAND, Key::K);
    window.harness.get_by_label("Undo, not now: there is no step to take back");
    window.harness.get_by_label("Save, Ctrl + S");
    window.type_text("lamp");
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(window.harness.state().view.palette, Palette::RedLamp);
    assert_eq!(window.harness.state().view.dialog, None);
    window.press(Modifiers::COMMAND, Key::K);
    // The last one used stands first; Down and Enter give it.
    window.press(Modifiers::NONE, Key::ArrowDown);
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(window.harness.state().view.palette, Palette::Day);
    window.press(Modifiers::NONE, Key::H);
    window.press(Modifiers::COMMAND, Key::K);
    window.harness.get_by_label_contains(", Ctrl + Z");
}

#[test]
fn text_is_made_larger_smaller_and_usual_by_keys() {
    let mut window = TestWindow::demo();
    let zoom = |window: &TestWindow| window.harness.ctx.zoom_factor();
    for _ in 0..12 {
        window.press(Modifiers::COMMAND, Key::Plus);
    }
    assert_eq!(zoom(&window), 2.0);
    window.press(Modifiers::COMMAND, Key::Num0);
    assert_eq!(zoom(&window), 1.0);
    for _ in 0..4 {
        window.press(Modifiers::COMMAND, Key::Minus);
    }
    assert_eq!(zoom(&window), 0.8);
    window.press(Modifiers::NONE, Key::F1);
    window.press(Modifiers::COMMAND, Key::Equals);
    assert_eq!(zoom(&window), 0.9, "whatever stands over the window");
}

#[test]
fn what_is_being_computed_can_be_given_up() {
    let mut window = TestWindow::demo();
    let before = window.evening().clone();
    apply(window.harness.state_mut(), Command::ShiftDate(40));
    assert!(window.harness.state().is_computing());
    give(&mut window, Command::StopWaiting);
    assert_eq!(*window.evening(), before);
}

/// From nothing to an evening of one's own, without a mouse.
#[test]
fn a_newcomer_makes_an_evening_by_keys_alone() {
    let home = TempDir::new().unwrap();
    let mut window = at_home(home.path(), None);
    let tab = |window: &mut TestWindow, times: usize| {
        for _ in 0..times {
            window.press(Modifiers::NONE, Key::Tab);
        }
    };
    tab(&mut window, 1);
    window.press(Modifiers::NONE, Key::Enter);
    assert!(matches!(window.harness.state().view.dialog, Some(Dialog::Own(_))));
    window.type_text("Otter Hill");
    tab(&mut window, 1);
    window.type_text("39° 42′ N");
    tab(&mut window, 1);
    window.type_text("105");
    tab(&mut window, 2);
    window.type_text("america denver");
    window.harness.get_by_label_contains("Did you mean America/Denver?");
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text("America/Denver");
    window.harness.get_by_label_contains("is the site west of Greenwich?");
    window.harness.key_press_modifiers(Modifiers::SHIFT, Key::Tab);
    window.press(Modifiers::SHIFT, Key::Tab);
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text("105 W");
    assert!(window.harness.query_by_label_contains("is the site west of Greenwich?").is_none());
    // On to the button, whose name says what comes.
    let go = |window: &TestWindow| window.harness.get_by_label("Write the files and open it").is_focused();
    for _ in 0..60 {
        if go(&window) {
            break;
        }
        tab(&mut window, 1);
    }
    assert!(go(&window), "Tab does not lead to the button");
    window.press(Modifiers::NONE, Key::Enter);
    window.settle();
    let open = window.harness.state().open().expect("an evening is open");
    let evening = format!("otter-hill-{}.evening.ron", open.document.evening.date);
    let path = home.path().join("otter-hill").join(&evening);
    assert_eq!(open.document.path.as_ref(), Some(&path));
    assert_eq!(open.document.stock.site.name, "Otter Hill");
    assert_eq!(open.derived.count(Severity::Stopper), 0);
    assert!(open.document.evening.order.stops().len() > 3, "it is laid out");
    assert_eq!(window.harness.state().view.dialog, None);
    let folder = path.parent().expect("its folder");
    let mut files: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    files.sort();
    assert_eq!(files, ["heron-fell.catalogue.ron", &evening, "otter-hill.rig.ron", "otter-hill.site.ron"]);
    let check: Vec<_> = ["evenfall".into(), "check".into()]
        .into_iter()
        .chain(files.iter().map(|name| folder.join(name).into_os_string()))
        .collect();
    let code = cli::run(check, |_| Outcome::MachineFailed);
    assert_eq!(format!("{code:?}"), format!("{:?}", ExitCode::SUCCESS));
}

/// A window in which an evening of one's own stands described, nothing missing.
fn described(home: &Path) -> TestWindow {
    let mut window = at_home(home, None);
    give(&mut window, Command::AskOwn);
    for (field, text) in [
        (OwnField::SiteName, "Otter Hill"),
        (OwnField::Latitude, "39.7"),
        (OwnField::Longitude, "-105"),
        (OwnField::Zone, "America/Denver"),
        (OwnField::Date, "2027-03-13"),
    ] {
        give(&mut window, Command::OwnText(field, text.to_owned()));
    }
    window
}

fn page(window: &TestWindow) -> Option<&OwnForm> {
    match &window.harness.state().view.dialog {
        Some(Dialog::Own(form)) => Some(form),
        _ => None,
    }
}

/// The name of what has the keyboard.
fn focused(window: &TestWindow) -> String {
    let all = window.harness.root().children_recursive();
    let found = all.into_iter().find(|node| node.accesskit_node().is_focused());
    found.and_then(|node| node.accesskit_node().label()).unwrap_or_default()
}

#[test]
fn escape_closes_an_unchanged_page_at_once_and_leads_from_a_changed_field_to_cancel() {
    let mut window = TestWindow::demo();
    let stop = window.harness.state().selected_stop().map(|stop| stop.id).expect("a stop is selected");
    let stop = evenfall_app::ui::stop_widget_id(stop);
    for (page, field) in [
        (Command::AskHouse, "Title of the evening"),
        (Command::AskTarget, "Name"),
        (Command::AskNewTarget, "Name"),
        (Command::AskOwn, "Name of the site"),
        (Command::AskInsert, "Title"),
        (Command::AskPlace(Part::Site), "Name"),
        (Command::AskPlace(Part::Rig), "Name"),
    ] {
        window.harness.ctx.memory_mut(|memory| memory.request_focus(stop));
        window.settle();
        give(&mut window, page.clone());
        let is_field = window.harness.ctx.text_edit_focused();
        window.press(Modifiers::NONE, Key::Escape);
        assert_eq!(window.harness.state().view.dialog, None, "{page:?}: nothing was changed");
        assert_eq!(window.harness.ctx.memory(egui::Memory::focused), Some(stop), "{page:?}: where it was");
        give(&mut window, page.clone());
        if !is_field {
            window.harness.get_by_role_and_label(Role::TextInput, field).focus();
            window.settle();
        }
        window.type_text("x");
        window.press(Modifiers::NONE, Key::Escape);
        assert!(window.harness.state().view.dialog.is_some(), "{page:?}: something was changed");
        assert_eq!(focused(&window), "Cancel", "{page:?}: the first press is seen to do something");
        window.press(Modifiers::NONE, Key::Enter);
        assert_eq!(window.harness.state().view.dialog, None, "{page:?}");
        assert_eq!(window.harness.ctx.memory(egui::Memory::focused), Some(stop), "{page:?}: where it was");
    }
}

#[test]
fn escape_from_a_field_of_the_window_leads_to_what_is_selected() {
    let mut window = TestWindow::demo();
    let stop = window.harness.state().selected_stop().map(|stop| stop.id).expect("a stop is selected");
    let stop = evenfall_app::ui::stop_widget_id(stop);
    for to_field in [Command::TypeSearch, Command::TypeDate] {
        give(&mut window, to_field.clone());
        assert!(window.harness.ctx.text_edit_focused(), "{to_field:?}");
        window.press(Modifiers::NONE, Key::Escape);
        assert_eq!(window.harness.ctx.memory(egui::Memory::focused), Some(stop), "{to_field:?}");
        // And Escape on it leaves the keyboard where it is.
        window.press(Modifiers::NONE, Key::Escape);
        assert_eq!(window.harness.ctx.memory(egui::Memory::focused), Some(stop), "{to_field:?}");
    }
}

#[test]
fn escape_in_an_open_list_of_a_page_closes_the_list_alone() {
    let mut window = TestWindow::demo();
    give(&mut window, Command::AskNewTarget);
    window.harness.get_by_role_and_label(Role::ComboBox, "Kind").click();
    window.settle();
    window.harness.get_by_label("Double star");
    window.press(Modifiers::NONE, Key::Escape);
    assert!(window.harness.query_by_label("Double star").is_none(), "the list is closed");
    assert!(matches!(window.harness.state().view.dialog, Some(Dialog::Target(_))), "the page stays");
}

#[test]
fn a_slip_does_not_throw_away_what_was_typed() {
    let home = TempDir::new().unwrap();
    let mut window = described(home.path());
    window.harness.get_by_role_and_label(Role::TextInput, "Height, metres").focus();
    window.settle();
    window.type_text("5");
    window.press(Modifiers::NONE, Key::Escape);
    assert!(page(&window).is_some(), "Escape in a field leaves the field");
    assert_eq!(focused(&window), "Cancel", "and is seen to");
    window.harness.hover_at(egui::pos2(4.0, 400.0));
    window.harness.drag_at(egui::pos2(4.0, 400.0));
    window.harness.drop_at(egui::pos2(4.0, 400.0));
    window.settle();
    assert!(page(&window).is_some(), "so does a click beside the page");
    let files = TempDir::new().unwrap();
    let evening = changed_demo(files.path(), &[]);
    drop_files(&mut window, &[&evening]);
    let told = page(&window).and_then(|form| form.trouble.clone()).unwrap_or_default();
    assert!(told.contains("heron-fell.evening.ron was not opened"), "{told}");
    window.harness.get_by_label_contains("was not opened");
    window.press(Modifiers::NONE, Key::Escape);
    assert_eq!(window.harness.state().view.dialog, None, "Escape outside the fields leaves the page");
    give(&mut window, Command::AskOwn);
    drop_files(&mut window, &[&evening]);
    let open = window.harness.state().open().expect("it was opened, as nothing was typed");
    assert_eq!(open.document.path.as_ref(), Some(&evening));
}

#[test]
fn what_became_of_the_files_is_told_and_a_close_waits_for_them() {
    let home = TempDir::new().unwrap();
    let written = home.path().join("otter-hill/otter-hill-2027-03-13.evening.ron");
    let mut window = described(home.path());
    apply(window.harness.state_mut(), Command::MakeOwn);
    apply(window.harness.state_mut(), Command::Dismiss);
    assert!(page(&window).is_some_and(|form| form.making), "there is no way back while they are written");
    apply(window.harness.state_mut(), Command::Close);
    assert!(!window.harness.state().view.may_close);
    window.settle();
    assert!(written.is_file());
    assert!(window.harness.state().view.may_close, "closed once they are there");

    let mut window = described(home.path());
    give(&mut window, Command::OwnText(OwnField::Title, "Another".to_owned()));
    apply(window.harness.state_mut(), Command::MakeOwn);
    apply(window.harness.state_mut(), Command::Close);
    window.settle();
    assert!(!window.harness.state().view.may_close, "files that were not written keep the window open");
    let told = page(&window).and_then(|form| form.trouble.clone()).unwrap_or_default();
    assert!(told.contains("is there already"), "{told}");

    // Something else may stand in the page's place by then.
    for (title, is_written) in [("Public star night", true), ("Another", false)] {
        let mut window = described(home.path());
        give(&mut window, Command::OwnText(OwnField::Title, title.to_owned()));
        apply(window.harness.state_mut(), Command::MakeOwn);
        apply(window.harness.state_mut(), Command::ShowKeys);
        window.settle();
        let view = &window.harness.state().view;
        if is_written {
            assert_eq!(view.notice, Some(Notice::Exported(written.clone())));
        } else {
            let about = Report::NotMade;
            assert!(matches!(&view.dialog, Some(Dialog::Report { about: told, .. }) if *told == about));
        }
    }
}

#[test]
fn a_second_evening_stands_beside_the_first() {
    let home = TempDir::new().unwrap();
    for date in ["2027-03-13", "2027-04-10"] {
        let mut window = described(home.path());
        give(&mut window, Command::OwnText(OwnField::Date, date.to_owned()));
        give(&mut window, Command::MakeOwn);
        assert_eq!(window.evening().date.to_string(), date);
    }
    assert_eq!(fs::read_dir(home.path().join("otter-hill")).unwrap().count(), 5);
}

#[test]
fn a_described_evening_is_not_lost_by_closing_the_window_unasked() {
    let home = TempDir::new().unwrap();
    let mut window = described(home.path());
    let typed = page(&window).cloned();
    give(&mut window, Command::Close);
    assert!(!window.harness.state().view.may_close);
    window.harness.get_by_role_and_label(Role::Heading, "Your own evening is not written yet");
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(page(&window).cloned(), typed, "the keyboard begins on the answer that loses nothing");
    give(&mut window, Command::Close);
    window.press(Modifiers::NONE, Key::Escape);
    assert_eq!(page(&window).cloned(), typed);
    give(&mut window, Command::Close);
    window.harness.get_by_label("Throw it away").click();
    window.settle();
    assert!(window.harness.state().view.may_close);

    // The evening behind the page may have changes of its own.
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::H);
    give(&mut window, Command::AskOwn);
    give(&mut window, Command::OwnText(OwnField::SiteName, "Otter Hill".to_owned()));
    give(&mut window, Command::Close);
    window.harness.get_by_label("Throw it away").click();
    window.settle();
    assert_eq!(window.harness.state().view.dialog, Some(Dialog::Unsaved(Then::Close)));
    assert!(!window.harness.state().view.may_close);
}

#[test]
fn a_page_on_which_nothing_was_typed_is_no_reason_to_ask() {
    let mut window = TestWindow::demo();
    give(&mut window, Command::AskOwn);
    give(&mut window, Command::Close);
    assert!(window.harness.state().view.may_close);
}

#[test]
fn enter_in_a_field_of_ones_own_evening_stays_there() {
    let mut window = TestWindow::demo();
    give(&mut window, Command::AskOwn);
    window.type_text("Otter");
    window.press(Modifiers::NONE, Key::Enter);
    window.type_text(" Hill");
    assert_eq!(page(&window).map(|form| form.text(OwnField::SiteName)), Some("Otter Hill"));
}

#[test]
fn a_path_that_did_not_do_is_asked_for_again() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::H);
    let bad = window.folder.path().join("nowhere").join("ours.evening.ron");
    for (purpose, path) in
        [(PathUse::Save, bad.clone()), (PathUse::ExportProblem, bad.with_file_name("ours.json"))]
    {
        give(&mut window, Command::UsePath(purpose, path.clone()));
        assert!(matches!(window.harness.state().view.dialog, Some(Dialog::Report { .. })));
        window.press(Modifiers::NONE, Key::Enter);
        let text = path.display().to_string();
        assert_eq!(window.harness.state().view.dialog, Some(Dialog::Path { purpose, text }));
        window.press(Modifiers::NONE, Key::Escape);
        assert_eq!(window.harness.state().view.dialog, None);
    }
    // And it is forgotten once it is given up.
    give(&mut window, Command::SaveAs);
    let Some(Dialog::Path { text, .. }) = &window.harness.state().view.dialog else {
        panic!("no path is asked for")
    };
    assert!(!text.contains("nowhere"), "{text}");
}

#[test]
fn one_bad_word_in_the_settings_is_told_by_name_and_costs_nothing_else() {
    let home = TempDir::new().unwrap();
    fs::write(home.path().join("settings.ron"), "(palette: RedLamp, text_percent: \"huge\", span: Night)")
        .unwrap();
    let window = at_home(home.path(), None);
    let view = &window.harness.state().view;
    assert_eq!((view.palette, view.span), (Palette::RedLamp, BoardSpan::Night));
    assert_eq!(view.notice, Some(Notice::SettingsLeftOut(vec!["text_percent"])));
    window.harness.get_by_label_contains("Of the settings, text_percent could not be read");
    kept(home.path(), |settings| settings.text_percent == 100 && settings.palette == Palette::RedLamp);
    drop(window);
    let again = at_home(home.path(), None);
    assert_eq!(again.harness.state().view.notice, None, "it is told once");
    assert!(!home.path().join("settings.damaged.ron").exists());
}

#[test]
fn the_site_is_a_button_in_the_top_bar_whose_words_are_never_cut() {
    for (width, is_there) in [(1366.0, true), (1280.0, true), (1024.0, false)] {
        let mut window = TestWindow::open([width, 768.0], 1.0, None);
        let found = window.harness.query_by_role_and_label(Role::Button, "Site: Heron Fell Country Park");
        assert_eq!(found.is_some(), is_there, "{width}");
        let Some(button) = found else { continue };
        let rect = button.rect();
        let told: Vec<bool> = window
            .harness
            .output()
            .shapes
            .iter()
            .filter_map(|clipped| match &clipped.shape {
                egui::Shape::Text(text) if rect.contains(text.visual_bounding_rect().center()) => {
                    Some(text.galley.elided)
                }
                _ => None,
            })
            .collect();
        assert_eq!(told, [false], "{width}: whole words");
        let has_frame = window.harness.output().shapes.iter().any(|clipped| match &clipped.shape {
            egui::Shape::Rect(frame) => {
                frame.rect.contains_rect(rect.shrink(2.0))
                    && frame.stroke.width > 0.0
                    && rect.expand(4.0).contains_rect(frame.rect)
            }
            _ => false,
        });
        assert!(has_frame, "{width}: it looks like a button");
        window.harness.get_by_role_and_label(Role::Button, "Site: Heron Fell Country Park").click();
        window.settle();
        assert_eq!(window.harness.state().view.dialog, Some(Dialog::Place));
    }
}

#[test]
fn no_button_of_the_top_bar_covers_another_in_a_small_window_with_large_text() {
    for size in [[1024.0, 700.0], [840.0, 500.0]] {
        let mut window = TestWindow::open(size, 1.0, None);
        for _ in 0..8 {
            apply(window.harness.state_mut(), Command::TextSize(TextStep::Larger));
            window.settle();
            let names = ["Evening", "Date of the evening", "Undo", "Redo", "Draft anew", "Keys"];
            let place = |name| Some((name, window.harness.query_by_label(name)?.rect()));
            let mut places: Vec<_> = names.into_iter().filter_map(place).collect();
            assert!(places.len() >= 5, "{places:?}");
            places.sort_by(|one, other| one.1.left().total_cmp(&other.1.left()));
            for two in places.windows(2) {
                assert!(two[0].1.right() <= two[1].1.left(), "{size:?}: {two:?}");
            }
        }
    }
}
