//! An order made by hand stays as it is, whatever changes under it: it is judged anew, its faults are told, a draft is offered,
//! and Undo brings back what was there.

use std::fs;

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{
    Command, Dialog, Part, PathUse, PlaceEdit, Selected, SkyPart, TargetField, TargetForm, apply,
};
use evenfall_core::catalogue::TargetId;
use evenfall_core::place::Source;
use evenfall_core::plan::{ClosedSky, Finding, RunningOrder, Severity, StopId};
use evenfall_core::sheet::numbers;
use evenfall_tests::harness::{TestWindow, changed_demo};

fn give(window: &mut TestWindow, command: Command) {
    apply(window.harness.state_mut(), command);
    window.settle();
}

fn order(window: &TestWindow) -> &RunningOrder {
    &window.evening().order
}

fn findings(window: &TestWindow) -> &[Finding] {
    &window.harness.state().open().expect("open").derived.findings
}

fn stoppers(window: &TestWindow) -> usize {
    findings(window).iter().filter(|finding| finding.severity == Severity::Stopper).count()
}

/// The targets of the stops that show one, in order.
fn shown(window: &TestWindow) -> Vec<(StopId, TargetId)> {
    let stops = order(window).stops().iter();
    stops.filter_map(|stop| Some((stop.id, stop.show()?.target.clone()))).collect()
}

/// An evening that its astronomer has shaped: one stop two minutes later than a draft had it, the last one gone.
fn shaped() -> (TestWindow, tempfile::TempDir) {
    let folder = tempfile::tempdir().expect("a folder");
    let evening = changed_demo(folder.path(), &[]);
    let mut window = TestWindow::open([1280.0, 800.0], 1.0, Some(evening));
    window.settle_all();
    let stops = shown(&window);
    give(&mut window, Command::Select(Some(Selected::Stop(stops[1].0))));
    for _ in 0..2 {
        window.press(Modifiers::NONE, Key::ArrowRight);
    }
    give(&mut window, Command::Select(stops.last().map(|(stop, _)| Selected::Stop(*stop))));
    window.press(Modifiers::NONE, Key::Delete);
    window.settle_all();
    assert!(shown(&window).len() < stops.len());
    (window, folder)
}

/// Answers the page of a target that is shown, and has it set.
fn answer(window: &mut TestWindow, id: &TargetId, change: impl FnOnce(&mut TargetForm)) {
    give(window, Command::Select(Some(Selected::Target(id.clone()))));
    window.press(Modifiers::NONE, Key::C);
    let Some(Dialog::Target(form)) = &window.harness.state().view.dialog else { panic!("no page") };
    let mut form = form.clone();
    change(&mut form);
    give(window, Command::SetTarget(form));
    assert_eq!(window.harness.state().view.dialog, None);
}

/// Sets one value of the site or the rig.
fn place(window: &mut TestWindow, part: Part, edits: Vec<PlaceEdit>) {
    give(window, Command::AskPlace(part));
    for edit in edits {
        give(window, Command::EditPlace(edit));
    }
    give(window, Command::SetPlace);
    assert_eq!(window.harness.state().view.dialog, None, "it was set");
}

fn put(name: &str, typed: &str) -> PlaceEdit {
    PlaceEdit::Put(name.to_owned(), typed.to_owned())
}

/// What changes under the order.
type Change = fn(&mut TestWindow);

/// Changes that leave the order as sound as it was, or are a matter of taste.
const HARMLESS: [(&str, Change); 5] = [
    ("words", |window| {
        let id = shown(window)[0].1.clone();
        answer(window, &id, |form| form.put(TargetField::Cue, "Look up.".to_owned()));
    }),
    ("a rating", |window| {
        let id = shown(window)[0].1.clone();
        answer(window, &id, |form| form.appeal_percent = 0.0);
    }),
    ("a size", |window| {
        let id = a_fixed_target(window);
        answer(window, &id, |form| form.put(TargetField::Size, "3".to_owned()));
    }),
    ("a list", |window| {
        let list = window.folder.path().join("fell.csv");
        fs::write(&list, "name,kind,ra,dec,size,mag\nFell 1,OC,120.5,20.5,12,3\n").expect("written");
        give(window, Command::UsePath(PathUse::List, list));
        give(window, Command::BringList);
    }),
    ("the name of the site", |window| place(window, Part::Site, vec![put("name", "Otter Hill")])),
];

/// Changes that the order can't stand.
const BITING: [(&str, Change); 4] = [
    ("the place of a target", |window| {
        let id = a_fixed_target(window);
        answer(window, &id, |form| form.put(TargetField::Place, "12 00 00 -80 00 00".to_owned()));
    }),
    ("the latitude of the site", |window| place(window, Part::Site, vec![put("latitude_deg", "-54")])),
    ("the reach of the mount", |window| {
        place(window, Part::Rig, vec![put("mount.lowest_altitude_deg", "75")]);
    }),
    ("a closed part of the sky", |window| {
        let (from, to) = SkyPart { from_deg: 0.0, to_deg: 359.0 }.ends();
        let closed = ClosedSky { from, to, since: None, until: None, since_again: false, until_again: false };
        give(window, Command::CloseSky(closed));
    }),
];

/// A target that is shown and whose place is written in the catalogue.
fn a_fixed_target(window: &TestWindow) -> TargetId {
    let open = window.harness.state().open().expect("open");
    let is_fixed = |id: &TargetId| {
        let source = open.document.stock.catalogue.get(id).map(|target| target.source);
        matches!(source, Some(Source::Star(_)))
    };
    shown(window).into_iter().map(|(_, id)| id).find(is_fixed).expect("not only planets")
}

#[test]
fn an_order_made_by_hand_stays_whatever_changes_under_it() {
    let (mut window, _folder) = shaped();
    let (evening, found) = (window.evening().clone(), findings(&window).to_vec());
    assert_eq!(stoppers(&window), 0);
    for (what, change) in HARMLESS.iter().chain(&BITING) {
        change(&mut window);
        assert_eq!(*order(&window), evening.order, "{what}: at once");
        window.settle_all();
        assert_eq!(*order(&window), evening.order, "{what}: nor does it change by and by");
        let bites = BITING.iter().any(|(biting, _)| biting == what);
        assert_eq!(stoppers(&window) > 0, bites, "{what}: {:?}", findings(&window));
        if bites {
            // Told in the bar, and mended by a command that is offered.
            let count = numbers::count(stoppers(&window), "Stopper", "Stoppers");
            window.harness.get_by_label_contains(&format!("{count}, "));
        }
        window.press(Modifiers::COMMAND, Key::Z);
        window.settle_all();
        assert_eq!(*window.evening(), evening, "{what}: Undo");
        assert_eq!(findings(&window), found, "{what}: Undo");
    }
}

/// Row 20: a changed rating is told, the order is weighed anew, and a draft goes by it once it is asked for.
#[test]
fn a_rating_is_told_and_a_draft_that_is_asked_for_goes_by_it() {
    let (mut window, _folder) = shaped();
    let before = window.evening().clone();
    let rated: Vec<TargetId> = shown(&window).into_iter().map(|(_, id)| id).take(3).collect();
    for id in &rated {
        answer(&mut window, id, |form| form.appeal_percent = 0.0);
        window.harness.get_by_label_contains("is rated 0% now. The order stays as it is");
        window.settle_all();
        assert_eq!(*order(&window), before.order);
    }
    let offered = window.harness.get_by_label_contains("How good this order is: A new draft would be");
    assert_eq!(offered.accesskit_node().role(), Role::Button);
    offered.click();
    window.settle_all();
    let still: Vec<TargetId> = shown(&window).into_iter().map(|(_, id)| id).collect();
    assert!(rated.iter().any(|id| !still.contains(id)), "what pleases nobody goes");
    for _ in 0..=rated.len() {
        window.press(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(*window.evening(), before, "one step each");
}
