//! Targets of one's own: a list brought in and laid out, a target changed, rated, added, taken out; the file keeps all else.

use std::fs;
use std::path::{Path, PathBuf};

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Node;
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{Command, Dialog, KeptMapping, ListEdit, PathUse, Selected, TargetField, apply};
use evenfall_core::catalogue::{Catalogue, Kind, Target, TargetId, read_catalogue, usual_words};
use evenfall_core::lists::Meaning;
use evenfall_core::place::Source;
use evenfall_tests::harness::{TestWindow, changed_demo};

const CONTROL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);
const CATALOGUE: &str = "heron-fell.catalogue.ron";

/// A list of invented targets: 20 rows, one of which has no declination that can be; the third stands twice.
fn list() -> String {
    let head = "Object,Type,RA,Dec,Size,Mag,Height of interest\n".to_owned();
    let rows = (0..20).map(|number| {
        let dec = if number == 7 { "+95 00 00".to_owned() } else { format!("+{} 30 00", 20 + 2 * number) };
        let (hours, minutes, kind) =
            (4 + number / 2, (number * 7) % 60, if number % 2 == 0 { "GX" } else { "OC" });
        let (name, size, magnitude) = (if number == 12 { 2 } else { number }, 5 + number, 4 + number % 4);
        format!("Fell {name},{kind},{hours:02} {minutes:02} 00,{dec},{size},{magnitude}.5,9\n")
    });
    [head].into_iter().chain(rows).collect()
}

/// The demonstration in a folder, open, and a list in the same folder.
fn with_list() -> (TestWindow, tempfile::TempDir, PathBuf) {
    let folder = tempfile::TempDir::new().expect("a folder");
    let evening = changed_demo(folder.path(), &[]);
    let path = folder.path().join("fell.csv");
    fs::write(&path, list()).expect("the list is written");
    (TestWindow::open([1280.0, 800.0], 1.0, Some(evening)), folder, path)
}

fn give(window: &mut TestWindow, command: Command) {
    apply(window.harness.state_mut(), command);
    window.settle();
}

fn click(window: &mut TestWindow, name: &str) {
    window.harness.get_by_label(name).click();
    window.settle();
}

fn catalogue(window: &TestWindow) -> &Catalogue {
    &window.harness.state().open().expect("open").document.stock.catalogue
}

fn on_disk(folder: &Path) -> (String, Catalogue) {
    let text = fs::read_to_string(folder.join(CATALOGUE)).expect("the catalogue's file");
    let (catalogue, faults) = read_catalogue(CATALOGUE, &text);
    assert_eq!(faults, []);
    (text, catalogue)
}

fn undo_name(window: &TestWindow, words: &str) {
    window.harness.get_by_label(&format!("Undo: {words}"));
}

fn is_dirty(window: &TestWindow) -> bool {
    window.harness.state().open().expect("open").document.is_dirty()
}

/// Puts a target on the Card and opens its page.
fn change(window: &mut TestWindow, id: &str) -> Target {
    let id = TargetId(id.to_owned());
    give(window, Command::Select(Some(Selected::Target(id.clone()))));
    window.press(Modifiers::NONE, Key::C);
    catalogue(window).get(&id).expect("it is there").clone()
}

/// Types into a field of the page, in place of what stands there.
fn put(window: &mut TestWindow, field: &str, text: &str) {
    window.harness.get_by_role_and_label(Role::TextInput, field).focus();
    window.settle();
    window.press(Modifiers::COMMAND, Key::A);
    if text.is_empty() {
        window.press(Modifiers::NONE, Key::Delete);
    } else {
        window.type_text(text);
    }
}

#[test]
fn a_list_comes_in_by_keys_as_one_step_and_the_evening_is_laid_out_with_it() {
    let (mut window, folder, path) = with_list();
    let (before_text, before) = on_disk(folder.path());
    window.press(Modifiers::COMMAND, Key::L);
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text(&path.display().to_string());
    window.press(Modifiers::NONE, Key::Enter);
    // One row with a declination that can't be, one that stands twice: each told with line, column, value and reason.
    window.harness.get_by_label("20 rows: 18 used, 2 not used, 18 new");
    window.harness.get_by_label_contains(
        "Line 9, column Dec, \"+95 00 00\": row not used: the declination is out of range",
    );
    window.harness.get_by_label_contains("Line 14");
    window.harness.get_by_role_and_label(Role::ComboBox, "Dec is");
    assert_eq!(catalogue(&window).targets, before.targets, "nothing is done yet");
    // The keyboard stands on what brings them in.
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(window.harness.state().view.dialog, None);
    assert_eq!(catalogue(&window).targets.len(), before.targets.len() + 18);
    undo_name(&window, "bring in 18 targets of fell.csv");
    assert!(is_dirty(&window));
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(catalogue(&window).targets, before.targets);
    assert!(!is_dirty(&window), "taken back, nothing is to be saved");
    window.press(CONTROL_SHIFT, Key::Z);
    window.press(Modifiers::COMMAND, Key::D);
    window.settle_all();
    assert!(window.evening().order.stops().len() > 3);
    window.press(Modifiers::COMMAND, Key::S);
    assert!(!is_dirty(&window));
    let (text, saved) = on_disk(folder.path());
    assert_eq!(saved.targets, catalogue(&window).targets);
    let head = before_text.split("  ],").next().expect("the targets");
    assert!(text.starts_with(head.trim_end().trim_end_matches(',')), "what stood there stays byte for byte");
    assert!(folder.path().join("earlier-saves").is_dir(), "what the catalogue held before is kept");
    // The same list another time: the mapping beside it holds, and the catalogue has all of it.
    assert!(folder.path().join("fell.mapping.ron").is_file());
    give(&mut window, Command::UsePath(PathUse::List, path));
    let Some(Dialog::List(form)) = &window.harness.state().view.dialog else { panic!("no page") };
    let seen = form.seen.as_ref().expect("it was read");
    assert_eq!((seen.new.len(), seen.met_count, &seen.kept), (0, 18, &KeptMapping::Used));
    assert!(!form.can_be_brought());
}

#[test]
fn what_a_column_is_can_be_corrected_and_is_kept_beside_the_list() {
    let (mut window, folder, path) = with_list();
    give(&mut window, Command::UsePath(PathUse::List, path));
    let appeal = |window: &TestWindow| {
        let Some(Dialog::List(form)) = &window.harness.state().view.dialog else { panic!("no page") };
        let seen = form.seen.as_ref().expect("it was read");
        let column = seen.account.columns.iter().find(|column| column.column == "Height of interest");
        (column.expect("it is told").is, seen.remark_count)
    };
    assert_eq!(appeal(&window), (Meaning::Ignored, 2));
    let name = "Height of interest is";
    window.harness.get_by_role_and_label(Role::ComboBox, name).click();
    window.settle();
    let entry = "how much it pleases, from 0 to 1";
    window.harness.get_by_label(entry).scroll_to_me();
    window.settle();
    click(&mut window, entry);
    let (is, remarks) = appeal(&window);
    assert_eq!(is, Meaning::Appeal);
    assert!(remarks > 2, "9 is no share, and each row says so");
    let size = Meaning::SurfaceBrightness;
    give(&mut window, Command::EditList(ListEdit::Meaning("Height of interest".to_owned(), size)));
    click(&mut window, "Bring in 18 targets");
    let text = fs::read_to_string(folder.path().join("fell.mapping.ron")).expect("kept");
    assert!(text.contains("(column: \"Height of interest\", is: SurfaceBrightness"), "{text}");
}

#[test]
fn an_equinox_kept_beside_the_list_can_be_taken_back_and_a_good_mapping_stays_as_it_was() {
    let (mut window, folder, path) = with_list();
    let kept = folder.path().join("fell.mapping.ron");
    let text = "// as the old card index has it\n(format: \"evenfall-mapping/1\", equinox: \"B1950\", columns: [])\n";
    fs::write(&kept, text).expect("written");
    give(&mut window, Command::UsePath(PathUse::List, path.clone()));
    let declination = |window: &TestWindow| {
        let Some(Dialog::List(form)) = &window.harness.state().view.dialog else { panic!("no page") };
        let Source::Star(place) = form.seen.as_ref().expect("read").first[0].source else { panic!("a star") };
        (form.equinox(), place.declination.degrees())
    };
    let (equinox, old) = declination(&window);
    assert_eq!(equinox.as_deref(), Some("B1950"));
    click(&mut window, "Bring in 18 targets");
    assert_eq!(fs::read_to_string(&kept).expect("there"), text, "nothing was corrected");
    window.press(Modifiers::COMMAND, Key::Z);
    give(&mut window, Command::UsePath(PathUse::List, path));
    give(&mut window, Command::EditList(ListEdit::Equinox(None)));
    let (equinox, new) = declination(&window);
    assert_eq!(equinox, None);
    assert!((new - 20.5).abs() < 1e-6 && (old - new).abs() > 0.01, "{old} {new}");
}

#[test]
fn elements_are_no_list_and_are_told_their_way() {
    let (mut window, folder, _) = with_list();
    let path = folder.path().join("pond.txt");
    let elements = include_str!("../fuzz/corpus/elements/pond.tle");
    fs::write(&path, elements).expect("written");
    give(&mut window, Command::Dropped(vec![path]));
    window.harness.get_by_label_contains("holds elements of satellites or comets");
}

#[test]
fn a_list_dropped_on_the_window_is_read_and_can_be_let_go_of() {
    let (mut window, folder, path) = with_list();
    let long = folder.path().join("long.csv");
    let row = |number: u32| format!("Far {number},{}.5,{}.25\n", number % 360, number % 80);
    let rows: String = (0..60_000).map(row).collect();
    fs::write(&long, format!("name,ra,dec\n{rows}")).expect("written");
    apply(window.harness.state_mut(), Command::Dropped(vec![long]));
    assert!(window.harness.state().is_reading_list());
    // The first frame of a page finds its size.
    window.harness.run_steps(2);
    let stops = window.harness.query_by_label("Stop and close").is_some();
    assert_eq!(stops, window.harness.state().is_reading_list(), "it can be stopped as long as it goes on");
    apply(window.harness.state_mut(), Command::Dismiss);
    assert!(!window.harness.state().is_reading_list());
    give(&mut window, Command::Dropped(vec![path]));
    window.harness.get_by_label("Bring in 18 targets");
    click(&mut window, "Cancel");
    give(&mut window, Command::UsePath(PathUse::List, folder.path().join("nothing.csv")));
    window.harness.get_by_label_contains("there is no such file or folder");
    window.press(Modifiers::NONE, Key::Escape);
    assert_eq!(window.harness.state().view.dialog, None);
}

#[test]
fn words_are_changed_by_keys_alone_and_the_file_keeps_all_else() {
    let (mut window, folder, _) = with_list();
    let (before, _) = on_disk(folder.path());
    let old = change(&mut window, "lantern-drift");
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text("Lantern Drift by the gate");
    // Other names, kind, appeal, public, place, size ... the story comes after the light.
    for _ in 0..40 {
        let on = window.harness.ctx.memory(egui::Memory::focused);
        let story = window.harness.get_by_role_and_label(Role::TextInput, "Story");
        if story.accesskit_node().is_focused() {
            break;
        }
        assert!(on.is_some());
        window.press(Modifiers::NONE, Key::Tab);
    }
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text("A drift of light over the gate.");
    put(&mut window, "At home", "Left of the chimney, with any binoculars.");
    put(&mut window, "Photos", &format!("{}; gone.jpg", folder.path().join(CATALOGUE).display()));
    window.harness.get_by_label_contains("Not there now: gone.jpg");
    window.harness.get_by_role_and_label(Role::TextInput, "Name").focus();
    window.settle();
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(window.harness.state().view.dialog, None);
    let new = catalogue(&window).get(&old.id).expect("it is there").clone();
    assert_eq!(new.words.line, "A drift of light over the gate.");
    assert_eq!(new.notes.photos, [CATALOGUE, "gone.jpg"], "as seen from the catalogue");
    assert_eq!(
        (new.source, new.size, new.magnitude, new.appeal),
        (old.source, old.size, old.magnitude, old.appeal)
    );
    undo_name(&window, "change Lantern Drift by the gate");
    window.press(Modifiers::COMMAND, Key::S);
    let (after, saved) = on_disk(folder.path());
    assert_eq!(saved.get(&old.id), Some(&new));
    let gone: Vec<&str> = before.lines().filter(|line| !after.contains(line)).collect();
    assert!(gone.len() <= 2, "only the lines of name and story: {gone:?}");
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(catalogue(&window).get(&old.id), Some(&old));
    assert!(is_dirty(&window), "the file holds the other");
    window.press(Modifiers::COMMAND, Key::S);
    assert_eq!(on_disk(folder.path()).0, before, "not one byte is left of it");
}

#[test]
fn numbers_are_read_in_any_form_and_unknown_is_not_zero() {
    let (mut window, _folder, _) = with_list();
    let old = change(&mut window, "market-lamps");
    put(&mut window, "Place", "0h48m00s +65°30′00″");
    window
        .harness
        .get_by_label_contains("Read as 00h 48m 00.00s  +65° 30′ 00.0″ (J2000): 12.0000°, 65.5000°");
    put(&mut window, "Size, arcminutes", "0");
    window.harness.get_by_label_contains("leave it empty if it is not known");
    let set = window.harness.get_by_label("Set it");
    assert!(set.accesskit_node().is_disabled());
    put(&mut window, "Size, arcminutes", "");
    put(&mut window, "Magnitude", "40");
    window.harness.get_by_label_contains("It goes from -10 to 25 magnitudes.");
    put(&mut window, "Magnitude", "");
    click(&mut window, "Set it");
    let new = catalogue(&window).get(&old.id).expect("it is there");
    assert_eq!((new.size, new.magnitude, new.surface_brightness), (None, None, None));
    assert_eq!(new.words, old.words);
    let findings = &window.harness.state().open().expect("open").derived.shelf;
    assert_eq!(findings.len(), catalogue(&window).targets.len());
}

#[test]
fn a_place_put_right_keeps_its_proper_motion_and_another_place_has_none() {
    let folder = tempfile::TempDir::new().expect("a folder");
    let evening = changed_demo(folder.path(), &[]);
    let (text, _) = on_disk(folder.path());
    let still = "ra_deg: 11.9021, dec_deg: 65.5375,";
    let moving = format!("{still} pm_ra_cosdec_mas_per_yr: 120.0, pm_dec_mas_per_yr: -40.0,");
    fs::write(folder.path().join(CATALOGUE), text.replacen(still, &moving, 1)).expect("written");
    let mut window = TestWindow::open([1280.0, 800.0], 1.0, Some(evening));
    change(&mut window, "market-lamps");
    put(&mut window, "Place", "0h48m00s +25 30 00");
    window.harness.get_by_label_contains("its proper motion is left out: this is another place");
    put(&mut window, "Place", "0h47m38s +65 32 30");
    window.harness.get_by_label_contains("its proper motion is kept");
    click(&mut window, "Set it");
    let source = catalogue(&window).get(&TargetId("market-lamps".into())).expect("it is there").source;
    let Source::Star(place) = source else { panic!("{source:?}") };
    assert_eq!((place.pm_ra_cosdec_mas_per_yr, place.pm_dec_mas_per_yr), (120.0, -40.0));
    assert!((place.right_ascension.degrees() - 11.908).abs() < 0.001, "{place:?}");
}

#[test]
fn a_target_comes_new_like_another_and_goes_with_all_that_names_it() {
    let (mut window, folder, _) = with_list();
    let (before_text, before) = on_disk(folder.path());
    window.press(CONTROL_SHIFT, Key::T);
    let set = window.harness.get_by_label("Set it");
    assert!(set.accesskit_node().is_disabled());
    window.harness.get_by_label_contains("Still needed or wrong: Name; Place");
    window.type_text("Our own pair");
    window.harness.get_by_role_and_label(Role::ComboBox, "Kind").click();
    window.settle();
    click(&mut window, "Double star");
    put(&mut window, "Place", "12 30 00 +40 00 00");
    put(&mut window, "Separation, arcseconds", "14.5");
    put(&mut window, "Position angle of the pair, degrees", "30");
    put(&mut window, "Magnitudes of the two", "3.2 and 5.1");
    put(&mut window, "Colours", "gold and blue");
    click(&mut window, "Set it");
    let id = TargetId("our-own-pair".to_owned());
    let new = catalogue(&window).get(&id).expect("it came").clone();
    assert_eq!(
        (new.kind, new.double.as_ref().map(|pair| pair.colours.as_str())),
        (Kind::DoubleStar, Some("gold and blue"))
    );
    assert!(!new.words.line.is_empty(), "with the usual words of its kind");
    assert_eq!(window.harness.state().view.selected, Some(Selected::Target(id.clone())));
    give(&mut window, Command::DuplicateTarget);
    let Some(Dialog::Target(form)) = &window.harness.state().view.dialog else { panic!("no page") };
    assert_eq!(form.text(TargetField::Name), "Our own pair 2");
    click(&mut window, "Set it");
    assert_eq!(catalogue(&window).targets.len(), before.targets.len() + 2);
    // A target that is shown goes with its stops.
    let stop = window
        .evening()
        .order
        .stops()
        .iter()
        .find_map(|stop| stop.show())
        .expect("something is shown")
        .clone();
    give(&mut window, Command::Select(Some(Selected::Target(stop.target.clone()))));
    let evening = window.evening().clone();
    give(&mut window, Command::RemoveTarget);
    assert!(catalogue(&window).get(&stop.target).is_none());
    assert!(
        window
            .evening()
            .order
            .stops()
            .iter()
            .all(|own| own.show().is_none_or(|show| show.target != stop.target))
    );
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.evening(), evening);
    for _ in 0..2 {
        window.press(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(catalogue(&window).targets, before.targets);
    window.press(Modifiers::COMMAND, Key::S);
    assert_eq!(on_disk(folder.path()).0, before_text);
}

#[test]
fn setting_waits_for_a_change_and_says_so() {
    let mut window = TestWindow::demo();
    change(&mut window, "lantern-drift");
    window.harness.get_by_label("Nothing is changed yet.");
    let is_off = |window: &TestWindow| {
        window.harness.get_by_role_and_label(Role::Button, "Set it").accesskit_node().is_disabled()
    };
    assert!(is_off(&window));
    // Enter in the name has nothing to set: it leads on, and from there to the next.
    for field in ["Other names", "Kind"] {
        window.press(Modifiers::NONE, Key::Enter);
        let all = window.harness.root().children_recursive();
        let focused = all.into_iter().find(Node::is_focused);
        assert_eq!(focused.and_then(|node| node.accesskit_node().label()).as_deref(), Some(field));
    }
    put(&mut window, "Notes for the crew", "Warm up the lamp.");
    assert!(!is_off(&window) && window.harness.query_by_label("Nothing is changed yet.").is_none());
    put(&mut window, "Notes for the crew", "");
    assert!(is_off(&window));
}

#[test]
fn a_new_target_begins_with_an_example_of_its_kind_but_name_and_place_are_its_own() {
    let mut window = TestWindow::demo();
    window.press(CONTROL_SHIFT, Key::T);
    if let Some(Dialog::Target(form)) = &mut window.harness.state_mut().view.dialog {
        form.kind = Kind::DoubleStar;
        form.put(TargetField::Colours, "white and red".to_owned());
    }
    window.settle();
    click(&mut window, "Fill in an example");
    let Some(Dialog::Target(form)) = &window.harness.state().view.dialog else { panic!("no page") };
    assert_eq!(form.text(TargetField::Separation), "12");
    assert_eq!(form.text(TargetField::Colours), "white and red", "what is typed stays");
    assert!(form.text(TargetField::LookFor).contains("the fainter one"));
    // What is the example's is true of no target: it waits to be written over.
    let mut open = form.open_fields();
    for field in [TargetField::Separation, TargetField::PairMagnitudes, TargetField::Story] {
        assert!(open.contains(&field), "{open:?}");
    }
    if let Some(Dialog::Target(form)) = &mut window.harness.state_mut().view.dialog {
        form.put(TargetField::Separation, "13".to_owned());
        form.put(TargetField::PairAngle, "61".to_owned());
        form.put(TargetField::PairMagnitudes, "4.1 and 6.2".to_owned());
        for words in [TargetField::Story, TargetField::Comparison, TargetField::LookFor, TargetField::Cue] {
            form.put(words, String::new());
        }
        open = form.open_fields();
    }
    assert_eq!(open, [TargetField::Name, TargetField::Place]);
}

#[test]
fn another_kind_has_the_words_usual_for_it() {
    let mut window = TestWindow::demo();
    let galaxy = |window: &TestWindow, kind: Kind| {
        let target = catalogue(window).get(&TargetId("own-smudge".into())).expect("it is there");
        assert_eq!((target.kind, &target.words), (kind, &usual_words(kind)));
    };
    window.press(CONTROL_SHIFT, Key::T);
    if let Some(Dialog::Target(form)) = &mut window.harness.state_mut().view.dialog {
        form.kind = Kind::Galaxy;
        form.put(TargetField::Name, "Own Smudge".to_owned());
        form.put(TargetField::Place, "08 10 00 +20 00 00".to_owned());
    }
    window.settle();
    click(&mut window, "Set it");
    galaxy(&window, Kind::Galaxy);
    change(&mut window, "own-smudge");
    if let Some(Dialog::Target(form)) = &mut window.harness.state_mut().view.dialog {
        assert_eq!(form.text(TargetField::Story), "", "words that are usual are nobody's own");
        form.kind = Kind::Nebula;
    }
    window.settle();
    click(&mut window, "Set it");
    galaxy(&window, Kind::Nebula);
}
