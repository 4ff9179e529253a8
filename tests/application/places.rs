//! Site and rig changed in the window: by the fields, by the ring, from a text; one step, undone as one, saved to their files.

use std::fs;
use std::path::{Path, PathBuf};

use egui::accesskit::Role;
use egui::{Event, Key, Modifiers, Pos2};
use egui_kittest::Node;
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{Command, Dialog, Part, PathUse, PlaceEdit, PlaceForm, PortKind, StepName, apply};
use evenfall_core::rig::read_rig;
use evenfall_core::site::{Site, read_site};
use evenfall_tests::harness::{TestWindow, changed_demo};

const SIZE: [f32; 2] = [1280.0, 800.0];

fn form(window: &TestWindow) -> &PlaceForm {
    let view = &window.harness.state().view;
    assert_eq!(view.dialog, Some(Dialog::Place));
    view.place.as_deref().expect("the form is there")
}

fn give(window: &mut TestWindow, command: Command) {
    apply(window.harness.state_mut(), command);
    window.settle();
}

fn put(window: &mut TestWindow, name: &str, typed: &str) {
    give(window, Command::EditPlace(PlaceEdit::Put(name.to_owned(), typed.to_owned())));
}

fn click(window: &mut TestWindow, name: &str) {
    window.harness.get_by_role_and_label(Role::Button, name).click();
    window.settle();
}

/// The name of what has the keyboard.
fn focused(window: &TestWindow) -> String {
    let all = window.harness.root().children_recursive();
    let label = all.into_iter().find(Node::is_focused).and_then(|node| node.accesskit_node().label());
    label.unwrap_or_default()
}

fn site(window: &TestWindow) -> &Site {
    &window.harness.state().open().expect("an evening is open").document.stock.site
}

/// The demo in a folder of its own, open; and its site's file.
fn in_a_folder(folder: &Path) -> (TestWindow, PathBuf) {
    let evening = changed_demo(folder, &[]);
    (TestWindow::open(SIZE, 1.0, Some(evening)), folder.join("heron-fell.site.ron"))
}

#[test]
fn a_site_is_changed_by_keys_alone_from_the_finder_to_the_saved_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let (mut window, file) = in_a_folder(folder.path());
    let before = fs::read_to_string(&file).expect("the site's file");
    let order = window.evening().order.clone();
    let sun = |window: &TestWindow| {
        format!("{:?}", window.harness.state().open().expect("open").derived.prepared.night.sun)
    };
    let sunset = sun(&window);
    window.press(Modifiers::COMMAND, Key::K);
    window.type_text("site and horizon");
    window.press(Modifiers::NONE, Key::Enter);
    // The keyboard is in the name; the next field is the latitude.
    window.press(Modifiers::NONE, Key::Tab);
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text("95");
    window
        .harness
        .get_by_label_contains("Latitude: 95 is out of range. Give a number from -90 to 90 degrees");
    let set = window.harness.get_by_role_and_label(Role::Button, "Set it");
    assert!(set.accesskit_node().is_disabled());
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text("54 30 N");
    // To the ring, and there a corner by the arrows.
    let mut steps = 0;
    let corner = loop {
        let name = focused(&window);
        if name.starts_with("horizon corner") {
            break name;
        }
        steps += 1;
        assert!(steps < 120, "Tab does not lead to the ring");
        window.press(Modifiers::NONE, Key::Tab);
    };
    assert_eq!(corner, "horizon corner 1 of 16, azimuth 0, altitude 9");
    window.press(Modifiers::NONE, Key::PageDown);
    window.press(Modifiers::NONE, Key::ArrowRight);
    window.press(Modifiers::NONE, Key::ArrowUp);
    window.press(Modifiers::SHIFT, Key::ArrowUp);
    window.harness.get_by_label("horizon corner 2 of 16, azimuth 21, altitude 9.1");
    window.press(Modifiers::NONE, Key::Insert);
    window.harness.get_by_label("horizon corner 3 of 17, azimuth 33, altitude 10.1");
    window.press(Modifiers::NONE, Key::Delete);
    window.harness.get_by_label("horizon corner 2 of 16, azimuth 21, altitude 9.1");
    // On to the button, past the fields of the corner.
    loop {
        window.press(Modifiers::NONE, Key::Tab);
        if focused(&window) == "Set it" {
            break;
        }
        steps += 1;
        assert!(steps < 240, "Tab does not lead to the button");
    }
    window.press(Modifiers::NONE, Key::Space);
    assert_eq!(window.harness.state().view.dialog, None);
    assert!((site(&window).place.latitude.degrees() - 54.5).abs() < 1e-12);
    assert_eq!(window.evening().order, order, "what stands on the Board stays");
    let open = window.harness.state().open().expect("open");
    assert_eq!(open.history.undo_name(), Some(&StepName::SiteSet("Heron Fell Country Park".to_owned())));
    assert!(open.document.is_dirty());
    assert_ne!(sun(&window), sunset, "the sky is that of the new place");
    assert_eq!(fs::read_to_string(&file).expect("the site's file"), before, "not before it is saved");
    // One step back, and forth again.
    window.press(Modifiers::COMMAND, Key::Z);
    assert!((site(&window).place.latitude.degrees() - 55.1).abs() < 1e-12);
    assert!(!window.harness.state().open().expect("open").document.is_dirty());
    window.press(Modifiers::COMMAND, Key::Y);
    assert!((site(&window).place.latitude.degrees() - 54.5).abs() < 1e-12);
    window.press(Modifiers::COMMAND, Key::S);
    assert!(!window.harness.state().open().expect("open").document.is_dirty());
    let after = fs::read_to_string(&file).expect("the site's file");
    let expected = before.replacen("latitude_deg: 55.1,", "latitude_deg: 54.5,", 1);
    assert_eq!(after, expected.replacen("(20.0, 8.0)", "(21.0, 9.1)", 1), "all else stays, comments too");
    let kept = fs::read_dir(folder.path().join("earlier-saves")).expect("earlier saves").count();
    assert!(kept >= 1, "what it held before is kept");
    // Undone after saving, it is written back.
    window.press(Modifiers::COMMAND, Key::Z);
    window.press(Modifiers::COMMAND, Key::S);
    assert_eq!(fs::read_to_string(&file).expect("the site's file"), before);
}

/// A held key, or a slow machine: several presses in one frame, and presses right after the keyboard has gone on.
#[test]
fn no_press_on_the_ring_is_lost_or_goes_to_another_corner() {
    let folder = tempfile::tempdir().expect("a folder");
    let (mut window, _) = in_a_folder(folder.path());
    window.press(Modifiers::NONE, Key::L);
    window.harness.get_by_label("horizon corner 1 of 16, azimuth 0, altitude 9").focus();
    window.settle();
    let mut frame = |keys: &[Key]| {
        for key in keys {
            for pressed in [true, false] {
                let (physical_key, repeat, modifiers) = (None, false, Modifiers::NONE);
                let event = Event::Key { key: *key, physical_key, pressed, repeat, modifiers };
                window.harness.input_mut().events.push(event);
            }
        }
        window.harness.step();
    };
    frame(&[Key::PageDown, Key::ArrowUp, Key::ArrowUp]);
    for _ in 0..4 {
        frame(&[Key::ArrowUp]);
    }
    frame(&[Key::ArrowUp, Key::PageDown]);
    frame(&[Key::ArrowUp, Key::ArrowRight]);
    window.settle();
    window.harness.get_by_label("horizon corner 1 of 16, azimuth 0, altitude 9");
    window.harness.get_by_label("horizon corner 2 of 16, azimuth 20, altitude 15");
    window.harness.get_by_label("horizon corner 3 of 16, azimuth 46, altitude 12");
    window.harness.get_by_label("horizon corner 4 of 16, azimuth 62, altitude 18");
    assert!(focused(&window).starts_with("horizon corner 3 "), "{}", focused(&window));
}

#[test]
fn a_corner_is_dragged_and_the_zone_is_searched_for() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::L);
    let place = |window: &TestWindow, name: &str| -> Pos2 {
        window.harness.get_by_label_contains(name).rect().center()
    };
    let (from, east) = (place(&window, "horizon corner 4 of 16"), place(&window, "horizon corner 6 of 16"));
    // Half way to the corner after next lies between their azimuths, and higher than both.
    window.drag(from, from + (east - from) / 2.0);
    let corners = form(&window).corners();
    let moved = corners.iter().find(|corner| corner.position == 3).expect("it is there");
    assert!((70.0..90.0).contains(&moved.azimuth_deg) && moved.altitude_deg > 10.0, "{moved:?}");
    assert_eq!(form(&window).corner, 3);
    put(&mut window, "time_zone", "new yo");
    window.harness.get_by_label_contains("Time zone: There is no time zone");
    click(&mut window, "America/New_York");
    assert_eq!(form(&window).shown("time_zone"), "America/New_York");
    assert!(form(&window).can_be_set());
    let doors = window.evening().programme.doors_open;
    give(&mut window, Command::SetPlace);
    let open = window.harness.state().open().expect("open");
    let local = open.derived.prepared.night.local.local(open.derived.prepared.doors.start());
    assert_eq!(local.time(), doors, "doors follow the new clock");
    let first = window.evening().order.stops().first().expect("a stop").start();
    assert!(first >= open.derived.prepared.doors.start(), "and so does what stands between them");
}

#[test]
fn a_horizon_is_read_from_text_and_says_what_it_could_not_use() {
    let mut window = TestWindow::demo();
    let text = window.folder.path().join("walk.txt");
    fs::write(&text, "# azimuth altitude\n331;9\n60\t18,5\nroof\n-338 6\n180, 8\n").expect("written");
    window.press(Modifiers::NONE, Key::L);
    click(&mut window, "Read from text…");
    assert!(matches!(window.harness.state().view.dialog, Some(Dialog::Path { .. })));
    give(&mut window, Command::UsePath(PathUse::HorizonText, text));
    let read: Vec<(f64, f64)> =
        form(&window).corners().iter().map(|corner| (corner.azimuth_deg, corner.altitude_deg)).collect();
    assert_eq!(read, [(22.0, 6.0), (60.0, 18.5), (180.0, 8.0), (331.0, 9.0)]);
    window.harness.get_by_label("4 corners were read from walk.txt.");
    window.harness.get_by_label_contains("Not used: line 4, `roof`");
    click(&mut window, "Former horizon");
    assert_eq!(form(&window).corners().len(), 16);
    // Escape on a path changes nothing.
    click(&mut window, "Read from text…");
    window.press(Modifiers::NONE, Key::Escape);
    assert_eq!(form(&window).corners().len(), 16);
}

#[test]
fn a_changed_page_is_not_lost_by_a_slip() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::L);
    put(&mut window, "name", "Otter Hill");
    give(&mut window, Command::Dismiss);
    window.harness.get_by_label_contains("would be lost by that");
    give(&mut window, Command::Close);
    assert_eq!(form(&window).shown("name"), "Otter Hill");
    click(&mut window, "Cancel");
    assert_eq!(window.harness.state().view.dialog, None);
    assert_eq!(site(&window).name, "Heron Fell Country Park");
    window.press(Modifiers::NONE, Key::L);
    give(&mut window, Command::Dismiss);
    assert_eq!(window.harness.state().view.dialog, None, "what is not changed is closed at once");
}

#[test]
fn another_site_is_chosen_and_this_one_saved_as_a_new_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let (mut window, file) = in_a_folder(folder.path());
    let text = fs::read_to_string(&file).expect("the site's file");
    window.press(Modifiers::NONE, Key::L);
    put(&mut window, "name", "Otter Hill");
    give(&mut window, Command::AskPath(PathUse::NewPart(Part::Site)));
    let new = folder.path().join("otter-hill.site.ron");
    give(&mut window, Command::UsePath(PathUse::NewPart(Part::Site), new.clone()));
    assert_eq!(
        read_site("new", &fs::read_to_string(&new).expect("written")).expect("sound").name,
        "Otter Hill"
    );
    assert_eq!(fs::read_to_string(&file).expect("the site's file"), text, "the old one stays as it was");
    assert_eq!(window.evening().site_file, "otter-hill.site.ron");
    assert_eq!(site(&window).name, "Otter Hill");
    // Back and forth between the two files, by Undo and by choosing.
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(site(&window).name, "Heron Fell Country Park");
    assert_eq!(Path::new(&window.evening().site_file).file_name(), file.file_name());
    window.press(Modifiers::NONE, Key::L);
    give(
        &mut window,
        Command::UsePath(PathUse::OpenPart(Part::Site), folder.path().join("heron-fell.rig.ron")),
    );
    window.harness.get_by_label_contains("was not taken");
    give(&mut window, Command::UsePath(PathUse::OpenPart(Part::Site), new));
    give(&mut window, Command::SetPlace);
    assert_eq!(window.evening().site_file, "otter-hill.site.ron");
    window.press(Modifiers::COMMAND, Key::S);
    let saved = TestWindow::open(SIZE, 1.0, Some(folder.path().join("heron-fell.evening.ron")));
    assert_eq!(site(&saved).name, "Otter Hill");
}

#[test]
fn a_site_that_others_have_changed_is_not_written_over() {
    let folder = tempfile::tempdir().expect("a folder");
    let (mut window, file) = in_a_folder(folder.path());
    window.press(Modifiers::NONE, Key::L);
    put(&mut window, "elevation_m", "300");
    give(&mut window, Command::SetPlace);
    let theirs = fs::read_to_string(&file).expect("the site's file").replacen("260.0", "261.0", 1);
    fs::write(&file, &theirs).expect("another window writes it");
    window.press(Modifiers::COMMAND, Key::S);
    window.harness.get_by_label_contains("changed outside this window");
    assert_eq!(fs::read_to_string(&file).expect("the site's file"), theirs);
    assert!(window.harness.state().open().expect("open").document.is_dirty());
}

#[test]
fn the_demo_with_another_site_is_saved_with_it() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::L);
    put(&mut window, "elevation_m", "300");
    give(&mut window, Command::SetPlace);
    let path = window.folder.path().join("mine.evening.ron");
    give(&mut window, Command::UsePath(PathUse::Save, path.clone()));
    assert!(!window.harness.state().open().expect("open").document.is_dirty());
    let again = TestWindow::open(SIZE, 1.0, Some(path));
    assert!((site(&again).place.height_m - 300.0).abs() < 1e-9);
    // And once more, now that it has files of its own.
    window.press(Modifiers::NONE, Key::L);
    put(&mut window, "elevation_m", "310");
    give(&mut window, Command::SetPlace);
    window.press(Modifiers::COMMAND, Key::S);
    window.harness.get_by_label_contains("mine.evening.ron, with its site");
    let text =
        fs::read_to_string(window.folder.path().join("heron-fell.site.ron")).expect("beside the evening");
    assert!(text.contains("elevation_m: 310.0,"));
}

#[test]
fn a_rig_is_changed_and_its_fields_follow_as_it_is_typed() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::F);
    window.harness.get_by_label("The Moon: 31′ across");
    window.harness.get_by_label("Wide camera: 29′ × 20′, 0.29″ a pixel");
    let length = window.harness.get_by_role_and_label(Role::TextInput, "Focal length");
    assert!(
        length
            .accesskit_node()
            .data()
            .description()
            .is_some_and(|told| told.contains("From 50 to 500000 millimetres."))
    );
    put(&mut window, "telescope.focal_length_mm", "2100");
    window.harness.get_by_label("Wide camera: 59′ × 39′, 0.59″ a pixel");
    // Half typed, the fields stay as they were, and it is told that they are not those of what is typed.
    put(&mut window, "telescope.focal_length_mm", "2");
    window.harness.get_by_label("Wide camera: 59′ × 39′, 0.59″ a pixel, from before what is wrong");
    window.harness.get_by_label_contains("these dashed fields are from before it");
    window.harness.get_by_label("The Moon: 31′ across");
    window.harness.get_by_label_contains("Focal length: 2 is out of range");
    put(&mut window, "telescope.focal_length_mm", "2100");
    give(&mut window, Command::EditPlace(PlaceEdit::AddPort(PortKind::Planetary)));
    give(&mut window, Command::EditPlace(PlaceEdit::Remove("ports[0]".to_owned())));
    assert_eq!(form(&window).entries("ports"), 4);
    give(&mut window, Command::SetPlace);
    let open = window.harness.state().open().expect("open");
    let ports: Vec<&str> = open.document.stock.rig.ports.iter().map(|port| port.id.0.as_str()).collect();
    assert_eq!(ports, ["planetary", "eyepiece", "spectrograph", "planetary-2"]);
    assert_eq!(open.history.undo_name(), Some(&StepName::RigSet("Heron Fell 0.6 m reflector".to_owned())));
    window.harness.get_by_label("Undo: set the rig Heron Fell 0.6 m reflector");
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.harness.state().open().expect("open").document.stock.rig.ports.len(), 4);
    assert!(!window.harness.state().open().expect("open").document.is_dirty());
}

#[test]
fn every_field_has_a_name_of_its_own_and_says_what_it_takes() {
    for part in [Part::Site, Part::Rig] {
        let mut window = TestWindow::demo();
        give(&mut window, Command::AskPlace(part));
        let mut names = Vec::new();
        for node in window.harness.get_all_by_role(Role::TextInput) {
            let node = node.accesskit_node();
            names.push((
                node.label().unwrap_or_default(),
                node.data().description().unwrap_or_default().to_owned(),
            ));
        }
        assert!(names.len() > 15, "{part:?}: {names:?}");
        for (position, (name, told)) in names.iter().enumerate() {
            assert!(!name.is_empty() && !told.trim().is_empty(), "{name}: {told}");
            assert!(names[position + 1..].iter().all(|(other, _)| other != name), "{name} twice");
        }
    }
}

#[test]
fn enter_leads_from_field_to_field_and_f6_to_the_ring_and_back() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::L);
    assert_eq!(focused(&window), "Name");
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(focused(&window), "Latitude");
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text("54.2");
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(focused(&window), "Longitude");
    assert_eq!(form(&window).shown("latitude_deg"), "54.2");
    window.press(Modifiers::NONE, Key::F6);
    assert!(focused(&window).starts_with("horizon corner 1 of 16"), "{}", focused(&window));
    window.press(Modifiers::NONE, Key::F6);
    assert_eq!(focused(&window), "Name");
    // From the last field to what can be done; an Enter there would be the first to set it.
    window.harness.get_by_label("Place 5: Note").focus();
    window.settle();
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(focused(&window), "Set it");
    assert_eq!(window.harness.state().view.dialog, Some(Dialog::Place));
}

#[test]
fn a_mount_of_the_other_kind_a_guider_and_a_pair_of_ports_are_written_beside_the_comments() {
    let folder = tempfile::tempdir().expect("a folder");
    let (mut window, site_file) = in_a_folder(folder.path());
    let file = site_file.with_file_name("heron-fell.rig.ron");
    let before = fs::read_to_string(&file).expect("the rig's file");
    window.press(Modifiers::NONE, Key::F);
    let field = |window: &TestWindow, name: &str| {
        window.harness.query_by_role_and_label(Role::TextInput, name).is_some()
    };
    assert!(field(&window, "Azimuth rate"));
    put(&mut window, "mount.way", "equatorial");
    assert!(field(&window, "Hour angle rate") && !field(&window, "Azimuth rate"));
    put(&mut window, "mount.hour_angle_axis.rate_deg_per_s", "99");
    window.harness.get_by_label_contains("Hour angle rate: 99 is out of range");
    put(&mut window, "mount.hour_angle_axis.rate_deg_per_s", "2.5");
    put(&mut window, "dome.radius_m", "3.5");
    put(&mut window, "guider.way", "by sensor");
    assert!(field(&window, "Guider: Focal length"));
    give(&mut window, Command::EditPlace(PlaceEdit::Add("selector.pairs", 0)));
    assert!(field(&window, "Pair 1: Port change"));
    give(&mut window, Command::SetPlace);
    window.press(Modifiers::COMMAND, Key::S);
    window.harness.get_by_label_contains("with its rig");
    let after = fs::read_to_string(&file).expect("the rig's file");
    let comments = |text: &str| {
        text.lines().filter(|line| line.trim_start().starts_with("//")).map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(comments(&after), comments(&before));
    let rig = read_rig("rig", &after).expect("it is sound");
    assert!(rig.mount.is_equatorial());
    assert_eq!((rig.dome.expect("a dome").radius_m, rig.selector.pairs.len()), (3.5, 1));
    window.press(Modifiers::COMMAND, Key::Z);
    window.press(Modifiers::COMMAND, Key::S);
    assert_eq!(fs::read_to_string(&file).expect("the rig's file"), before);
}

#[test]
fn an_invented_site_is_a_beginning_whole_or_by_its_horizon_alone() {
    let mut window = TestWindow::demo();
    window.press(Modifiers::NONE, Key::L);
    window.harness.get_by_role_and_label(Role::ComboBox, "Begin with…").click();
    window.settle();
    window.harness.get_by_label("Trees to the south").click();
    window.settle();
    assert_eq!(form(&window).shown("name"), "Trees to the south");
    assert!(form(&window).can_be_set());
    click(&mut window, "What stood here");
    assert!(!form(&window).is_changed());
    window.harness.get_by_role_and_label(Role::ComboBox, "Horizon of…").click();
    window.settle();
    window.harness.get_by_label("Roof-off shed").click();
    window.settle();
    assert_eq!(form(&window).shown("name"), "Heron Fell Country Park");
    assert_eq!(form(&window).corners().len(), 10);
    assert!(form(&window).can_be_set());
    click(&mut window, "Former horizon");
    assert!(!form(&window).is_changed());
}
