//! Every screen and everything that stands over it, as a screen reader, a keyboard and dark-adapted eyes find it.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use egui::accesskit::{Action, Role};
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{
    Command, Dialog, OwnForm, PagesEdit, PagesOutcome, PagesStep, Palette, Part, PathUse, Report, Selected,
    ShelfView, Side, TextStep, Then, apply,
};
use evenfall_app::ui::theme::Tokens;
use evenfall_core::catalogue::TargetId;
use evenfall_core::output::{CalendarFor, Output};
use evenfall_core::time::Instant;
use evenfall_tests::harness::TestWindow;

/// WCAG 2.2, success criterion 2.5.8.
const SMALLEST_TARGET: f64 = 24.0;
/// What single precision may take off a side, in pixels.
const ROUNDING: f64 = 0.01;

/// Something to look at: its name, and how to get there from the Board.
type Screen = (&'static str, fn(&mut TestWindow));

fn give(window: &mut TestWindow, command: Command) {
    apply(window.harness.state_mut(), command);
    window.settle();
}

fn lay_over(window: &mut TestWindow, dialog: Dialog) {
    window.harness.state_mut().view.dialog = Some(dialog);
    window.settle();
}

const OVER: [Screen; 26] = [
    ("first steps", |window| give(window, Command::ShowWelcome)),
    ("an evening of one's own", |window| give(window, Command::AskOwn)),
    ("recent evenings", |window| give(window, Command::ShowRecent)),
    ("finder", |window| give(window, Command::ShowFinder)),
    ("keys", |window| give(window, Command::ShowKeys)),
    ("pick up", |window| give(window, Command::AskPickUp)),
    ("insert", |window| give(window, Command::AskInsert)),
    ("kept orders", |window| {
        give(window, Command::KeepOrder("Clear sky".to_owned()));
        give(window, Command::ShowOrders);
    }),
    ("open by path", |window| give(window, Command::Open)),
    ("save by path", |window| give(window, Command::SaveAs)),
    ("pages", |window| give(window, Command::ShowPages)),
    ("a calendar among the pages", |window| {
        give(window, Command::ShowPages);
        give(window, Command::Pages(PagesEdit::Show(Output::Calendar(CalendarFor::Crew))));
    }),
    ("a side as wide as there is room", |window| {
        give(window, Command::ShowPages);
        give(window, Command::Pages(PagesEdit::Show(Output::RunSheet)));
        give(window, Command::Pages(PagesEdit::Wide(true)));
    }),
    ("pages that were written", |window| {
        give(window, Command::ShowPages);
        let outcome = PagesOutcome {
            folder: PathBuf::from("pages"),
            written: Output::ALL[..2].to_vec(),
            failed: vec![(Output::ALL[2], "the disk is full".to_owned())],
            not_tried: Output::ALL[3..].to_vec(),
            begun_anew: vec![Output::ALL[1]],
        };
        window.harness.state_mut().view.pages.step = PagesStep::Done(outcome);
        window.settle();
    }),
    ("go or no-go", |window| give(window, Command::AskCall)),
    ("house and doors", |window| give(window, Command::AskHouse)),
    ("a target", |window| {
        let target = TargetId("lantern-drift".to_owned());
        give(window, Command::Select(Some(Selected::Target(target))));
        give(window, Command::AskTarget);
    }),
    ("a new target", |window| give(window, Command::AskNewTarget)),
    ("a list", |window| {
        let list = window.folder.path().join("fell.csv");
        let rows = "name,kind,ra,dec,size,mag\nFell 1,GX,10.5,20.5,8,9\nFell 2,GX,11.5,95,8,9\n";
        std::fs::write(&list, rows).expect("the list is written");
        give(window, Command::UsePath(PathUse::List, list));
    }),
    ("site", |window| give(window, Command::AskPlace(Part::Site))),
    ("rig", |window| give(window, Command::AskPlace(Part::Rig))),
    ("replace", |window| {
        lay_over(window, Dialog::Replace { purpose: PathUse::Save, path: PathBuf::from("a.evening.ron") });
    }),
    ("unsaved", |window| lay_over(window, Dialog::Unsaved(Then::Close))),
    ("own evening would be lost", |window| {
        let form = Box::new(OwnForm::new(Instant::J2000, None));
        lay_over(window, Dialog::LosesOwn { form, then: Then::Close });
    }),
    ("report", |window| {
        let lines = vec!["a.site.ron:3:4: latitude_deg: 155 is out of range".to_owned(); 3];
        lay_over(window, Dialog::Report { about: Report::NotOpened, lines });
    }),
    ("own evening with faults", |window| {
        give(window, Command::AskOwn);
        for (field, text) in
            [(evenfall_app::state::OwnField::Latitude, "91"), (evenfall_app::state::OwnField::Zone, "Denver")]
        {
            give(window, Command::OwnText(field, text.to_owned()));
        }
    }),
];

const BARE: [Screen; 8] = [
    ("the Board", |_| {}),
    ("the whole evening", |window| give(window, Command::Select(None))),
    ("order rules", |window| give(window, Command::ToggleRules)),
    ("a target of the Shelf", |window| {
        let target = window.harness.state().open().and_then(|open| {
            let entry = open.derived.shelf.last()?;
            Some(open.document.stock.catalogue.targets[entry.target_index].id.clone())
        });
        give(window, Command::Select(target.map(Selected::Target)));
    }),
    ("the unrolled sky", |window| give(window, Command::ToggleSky)),
    ("from sunset", |window| give(window, Command::ToggleSpan)),
    ("the Filter of the Shelf", |window| {
        let opened = ShelfView { open: true, ..window.harness.state().view.shelf.clone() };
        give(window, Command::LookAtShelf(opened));
    }),
    ("the Shelf for a hole in the cloud", |window| {
        let clear = evenfall_app::state::ClearPart { on: true, ..Default::default() };
        give(window, Command::KeepTo(clear));
    }),
];

/// What the keyboard can reach: by its identity, its role, its name and its rectangle.
#[derive(Clone, Debug)]
struct Reachable {
    role: Role,
    name: String,
    size: (f64, f64),
    enabled: bool,
}

fn reachable(window: &TestWindow) -> BTreeMap<String, Reachable> {
    let mut found = BTreeMap::new();
    for node in window.harness.root().children_recursive() {
        let node = node.accesskit_node();
        if node.data().supports_action(Action::Focus) {
            let bounds = node.raw_bounds().unwrap_or_default();
            let name = node.label().unwrap_or_default();
            let size = (bounds.width(), bounds.height());
            let reachable = Reachable { role: node.role(), name, size, enabled: !node.is_disabled() };
            found.insert(format!("{:?}", node.id()), reachable);
        }
    }
    found
}

fn focused(window: &TestWindow) -> Option<String> {
    window.harness.root().children_recursive().find_map(|node| {
        let node = node.accesskit_node();
        (node.is_focused() && node.data().supports_action(Action::Focus)).then(|| format!("{:?}", node.id()))
    })
}

fn judge_nodes(window: &TestWindow, screen: &str) {
    // Smaller text makes every point smaller.
    let zoom = f64::from(window.harness.ctx.zoom_factor());
    for node in reachable(window).values() {
        let Reachable { role, name, size: (width, height), .. } = node;
        assert!(!name.trim().is_empty(), "{screen}: a {role:?} of {width} by {height} has no name");
        let named = !matches!(role, Role::Unknown | Role::GenericContainer | Role::Label);
        assert!(named, "{screen}: {name} has the role {role:?}");
        // The width of a stop is its time; the arrow keys and the Card do all that pointing at it does.
        let is_stop = name.starts_with("Stop ");
        assert!(
            height * zoom >= SMALLEST_TARGET - ROUNDING
                && (width * zoom >= SMALLEST_TARGET - ROUNDING || is_stop),
            "{screen}: {name}, a {role:?}, is {width} by {height}"
        );
    }
}

fn dialog_names(window: &TestWindow) -> Vec<String> {
    let nodes = window.harness.root().children_recursive().map(|node| node.accesskit_node());
    nodes.filter(|node| node.role() == Role::Dialog).map(|node| node.label().unwrap_or_default()).collect()
}

fn has_no_green_or_blue(window: &TestWindow, screen: &str) {
    let picture = window.picture();
    let stray = picture.pixels().filter(|pixel| pixel.0[1] > 0 || pixel.0[2] > 0).count();
    assert_eq!(stray, 0, "{screen}: pixels with green or blue");
    assert!(picture.pixels().any(|pixel| pixel.0[0] > 200), "{screen}: nothing was drawn");
}

#[test]
fn everything_that_can_be_reached_has_a_name_a_role_and_a_size_in_both_palettes() {
    let mut window = TestWindow::demo();
    for (screen, go) in BARE.iter().chain(&OVER) {
        go(&mut window);
        window.harness.state_mut().view.palette = Palette::Day;
        window.settle();
        judge_nodes(&window, screen);
        let dialogs = dialog_names(&window);
        let is_over = window.harness.state().view.dialog.is_some();
        assert_eq!(dialogs.len(), usize::from(is_over), "{screen}: {dialogs:?}");
        assert!(dialogs.iter().all(|name| !name.is_empty()), "{screen}: its dialog has no name");
        let root = window.harness.root().accesskit_node().label().unwrap_or_default();
        assert!(
            root.contains("Heron Fell") && root.contains("Evenfall"),
            "{screen}: the window is called {root}"
        );
        window.harness.state_mut().view.palette = Palette::RedLamp;
        window.settle();
        has_no_green_or_blue(&window, screen);
        window.harness.state_mut().view.dialog = None;
        window.settle();
    }
}

#[test]
fn tab_goes_round_what_stands_over_the_window_and_leaves_nothing_out() {
    let mut window = TestWindow::demo();
    window.settle_all();
    for (screen, go) in OVER {
        go(&mut window);
        window.settle_all();
        window.harness.state_mut().view.dialog = None;
        window.settle_all();
        let behind = reachable(&window);
        go(&mut window);
        window.settle_all();
        let mut wanted: Vec<String> = reachable(&window)
            .into_iter()
            .filter(|(id, node)| !behind.contains_key(id) && node.enabled)
            .map(|(id, _)| id)
            .collect();
        assert!(!wanted.is_empty(), "{screen}: nothing to reach");
        let names = reachable(&window);
        let begun = focused(&window);
        assert!(begun.is_some(), "{screen}: the keyboard begins nowhere");
        for _ in 0..wanted.len() + 2 {
            if let Some(at) = focused(&window) {
                wanted.retain(|id| *id != at);
                assert!(!behind.contains_key(&at), "{screen}: the keyboard leaks to {:?}", behind[&at]);
            }
            window.harness.key_press(Key::Tab);
            window.harness.step();
            window.harness.step();
        }
        let left: Vec<_> = wanted.iter().map(|id| &names[id].name).collect();
        assert!(left.is_empty(), "{screen}: Tab does not reach {left:?}");
        // Of a form the first Escape leaves the field that is typed in only; a test of its own tells how.
        if window.harness.query_by_label("Cancel").is_some() {
            window.harness.get_by_label("Cancel").focus();
            window.settle();
        }
        window.press(Modifiers::NONE, Key::Escape);
        // From the question about the page Escape leads back to the page.
        if matches!(window.harness.state().view.dialog, Some(Dialog::Own(_))) {
            window.press(Modifiers::NONE, Key::Escape);
            window.press(Modifiers::NONE, Key::Escape);
        }
        assert_eq!(window.harness.state().view.dialog, None, "{screen}: Escape does not close it");
    }
}

#[test]
fn tab_reaches_everything_on_the_board() {
    let mut window = TestWindow::demo();
    window.settle_all();
    let mut wanted = reachable(&window);
    wanted.retain(|_, node| node.enabled);
    let count = wanted.len();
    for _ in 0..2 * count {
        window.harness.key_press(Key::Tab);
        window.harness.step();
        if let Some(at) = focused(&window) {
            wanted.remove(&at);
        }
        if wanted.is_empty() {
            return;
        }
    }
    // What is selected on the way changes the Card.
    let there = reachable(&window);
    wanted.retain(|id, _| there.contains_key(id));
    let left: Vec<_> = wanted.values().map(|node| &node.name).collect();
    assert!(left.is_empty(), "of {count}, Tab does not reach {left:?}");
}

#[test]
fn what_the_keyboard_is_on_has_a_ring_of_the_accent() {
    let mut window = TestWindow::demo();
    for palette in [Palette::Day, Palette::RedLamp] {
        window.harness.state_mut().view.palette = palette;
        window.settle();
        let accent = Tokens::of(palette).accent;
        for stop in 0..14 {
            window.harness.key_press(Key::Tab);
            window.harness.run_steps(2);
            let on = window.harness.ctx.memory(egui::Memory::focused).expect("something has the keyboard");
            let rect = window.harness.ctx.read_response(on).expect("it was drawn").rect;
            let picture = window.picture();
            let beside = (0..6).map(|out| rect.left() - 4.0 + out as f32);
            let has_ring = beside.clone().any(|x| {
                let pixel = picture.get_pixel(x.max(0.0) as u32, rect.center().y as u32).0;
                (0..3).all(|part| pixel[part].abs_diff(accent[part]) < 40)
            });
            assert!(has_ring, "{palette:?}, {stop} times Tab: no ring at {rect}");
        }
    }
}

#[test]
fn the_menu_is_walked_by_keys_and_gives_the_keyboard_back() {
    let mut window = TestWindow::demo();
    window.harness.get_by_label("Evening").focus();
    window.settle();
    window.press(Modifiers::NONE, Key::Enter);
    let on = |window: &TestWindow| focused(window).map(|id| reachable(window)[&id].name.clone());
    assert_eq!(on(&window).as_deref(), Some("Open…"));
    window.press(Modifiers::NONE, Key::ArrowUp);
    assert_eq!(on(&window).as_deref(), Some("Quit"), "it goes round");
    window.press(Modifiers::NONE, Key::Tab);
    assert_eq!(on(&window).as_deref(), Some("Open…"), "and Tab stays in it");
    window.press(Modifiers::NONE, Key::Escape);
    assert!(window.harness.query_by_label("Open…").is_none(), "Escape closes it");
    assert_eq!(on(&window).as_deref(), Some("Evening"));
    window.press(Modifiers::NONE, Key::Enter);
    window.press(Modifiers::NONE, Key::ArrowDown);
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(window.harness.state().view.dialog, Some(Dialog::Recent));
}

#[test]
fn it_reads_bar_shelf_card_and_board_and_the_foot_last() {
    let window = TestWindow::demo();
    let mut seen: Vec<&str> = Vec::new();
    let landmarks = ["Evening", "Shelf", "Card", "Board", "Demonstration evening"];
    for node in window.harness.root().children_recursive() {
        let node = node.accesskit_node();
        let label = node.label().or_else(|| node.value()).unwrap_or_default();
        let landmark = landmarks.into_iter().find(|landmark| *landmark == label);
        seen.extend(landmark.filter(|landmark| !seen.contains(landmark)));
    }
    assert_eq!(seen, landmarks);
}

#[test]
fn large_text_leaves_every_part_within_reach() {
    // 1280 by 800 pixels with text of 200 percent are 640 by 400 points.
    let mut window = TestWindow::open([640.0, 400.0], 2.0, None);
    for (side, part) in [(Side::Shelf, "Shelf"), (Side::Board, "Board"), (Side::Card, "Card")] {
        window.harness.get_by_label(&format!("Show the {part}")).click();
        window.settle();
        assert_eq!(window.harness.state().view.side, side);
        window.harness.get_by_label(part);
        judge_nodes(&window, part);
    }
    for (screen, go) in OVER {
        go(&mut window);
        judge_nodes(&window, screen);
        window.harness.state_mut().view.dialog = None;
        window.settle();
    }
}

#[test]
fn small_text_leaves_every_target_large_enough() {
    // The harness gives the window as many pixels as points; text of 80 percent makes the points smaller.
    let mut window = TestWindow::demo();
    while window.harness.state().settings().text_percent > 80 {
        give(&mut window, Command::TextSize(TextStep::Smaller));
    }
    assert_eq!(window.harness.ctx.zoom_factor(), 0.8);
    for (screen, go) in BARE.iter().chain(&OVER) {
        go(&mut window);
        judge_nodes(&window, screen);
        window.harness.state_mut().view.dialog = None;
        window.settle();
    }
}

#[test]
fn every_lane_is_reached_with_the_largest_text_on_a_small_screen() {
    // 1366 by 768 pixels with text of 200 percent are 683 by 384 points.
    let mut window = TestWindow::open([683.0, 384.0], 2.0, None);
    give(&mut window, Command::ShowSide(Side::Board));
    let stops = window.evening().order.stops().to_vec();
    let ports: BTreeSet<_> = stops.iter().filter_map(|stop| Some(stop.show()?.port.0.clone())).collect();
    assert!(ports.len() > 2, "{ports:?}");
    for stop in stops.iter().filter(|stop| stop.show().is_some()) {
        give(&mut window, Command::Select(Some(Selected::Stop(stop.id))));
        give(&mut window, Command::ToBoard);
        let on = window.harness.ctx.memory(egui::Memory::focused).expect("the stop has the keyboard");
        let response = window.harness.ctx.read_response(on).expect("it is drawn");
        let seen = response.rect.intersect(response.interact_rect);
        assert!(
            seen.height() >= 24.0 && seen.height() >= response.rect.height() - 2.0,
            "{seen:?} of {:?}",
            response.rect
        );
        assert!(window.harness.ctx.content_rect().contains_rect(seen));
    }
}

#[test]
fn every_field_says_what_it_takes() {
    let mut window = TestWindow::demo();
    for (screen, go) in BARE.iter().chain(&OVER) {
        go(&mut window);
        for node in window.harness.root().children_recursive() {
            let node = node.accesskit_node();
            let is_field = matches!(node.role(), Role::TextInput | Role::SpinButton | Role::SearchInput);
            if is_field && !node.is_disabled() {
                let told = node.data().description().unwrap_or_default();
                assert!(!told.is_empty(), "{screen}: {:?} does not say what it takes", node.label());
                // A number says from where to where it goes, and in what.
                let has_range =
                    told.contains("From ") && told.contains(" to ") || told.contains("local clock");
                let is_number = node.role() == Role::SpinButton;
                assert!(!is_number || has_range, "{screen}: {:?} has no range: {told}", node.label());
            }
        }
        window.harness.state_mut().view.dialog = None;
        window.settle();
    }
}

#[test]
fn no_screen_asks_for_another_frame_once_all_is_found_out() {
    let mut window = TestWindow::demo();
    for (screen, go) in BARE.iter().chain(&OVER) {
        go(&mut window);
        window.settle_all();
        window.harness.run_steps(4);
        let wait = window.harness.output().viewport_output.values().map(|view| view.repaint_delay).min();
        assert!(wait.is_some_and(|wait| wait.as_secs() > 60), "{screen}: repaints after {wait:?}");
        window.harness.state_mut().view.dialog = None;
        window.settle_all();
    }
}
