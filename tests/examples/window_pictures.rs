//! Writes the pictures of the manual: the window with the demonstration, without a display.
//!
//! `cargo run -p evenfall-tests --example window_pictures -- DIRECTORY`

use std::env;
use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveTime;
use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable;
use evenfall_app::shell::Machine;
use evenfall_app::state::{
    CardSection, ClearPart, Closing, Command, Dialog, Effort, Palette, PickUpForm, Selected, ShelfSort,
    ShelfView, Side, SkyPart, apply,
};
use evenfall_core::catalogue::TargetId;
use evenfall_core::plan::{ClosedSky, OrderRule};
use evenfall_core::units::Angle;
use evenfall_tests::harness::{TestWindow, changed_demo, late_demo};

fn main() -> Result<(), Box<dyn Error>> {
    let folder = PathBuf::from(env::args().nth(1).ok_or("name the folder for the pictures")?);
    fs::create_dir_all(&folder)?;
    shelf(&folder)?;
    if env::args().nth(2).as_deref() == Some("shelf") {
        return Ok(());
    }
    drafts(&folder)?;
    // With the usual effort, as its user sees it once all is found out.
    let size = ([1280.0, 800.0], 1.0);
    let mut window = TestWindow::in_a_world(Arc::new(Machine), Effort::default(), size, None);
    window.settle_all();
    window.picture().save(folder.join("day-1280x800.png"))?;
    apply(window.harness.state_mut(), Command::KeepOrder("Clear sky".to_owned()));
    window.press(Modifiers::NONE, Key::V);
    window.picture().save(folder.join("kept-orders-1280x800.png"))?;
    window.press(Modifiers::NONE, Key::Escape);
    let target = window.harness.state().open().and_then(|open| {
        let entry = open.derived.shelf.get(9)?;
        open.document.stock.catalogue.targets.get(entry.target_index).map(|target| target.id.clone())
    });
    apply(window.harness.state_mut(), Command::Select(target.map(Selected::Target)));
    window.settle();
    window.picture().save(folder.join("target-1280x800.png"))?;
    apply(window.harness.state_mut(), Command::TogglePalette);
    window.settle();
    window.picture().save(folder.join("red-lamp-1280x800.png"))?;
    window.press(Modifiers::NONE, Key::F1);
    window.picture().save(folder.join("keys-red-lamp-1280x800.png"))?;
    TestWindow::open([1024.0, 700.0], 1.0, None).picture().save(folder.join("day-1024x700.png"))?;
    TestWindow::open([1280.0, 800.0], 1.5, None).picture().save(folder.join("day-1280x800-at-1.5.png"))?;
    TestWindow::open([853.0, 533.0], 1.5, None).picture().save(folder.join("day-853x533-at-1.5.png"))?;
    for (name, date) in [("spring", "2027-03-27"), ("autumn", "2027-10-30")] {
        let files = tempfile::TempDir::new()?;
        let evening = late_demo(files.path(), date);
        let window = TestWindow::open([1280.0, 800.0], 1.0, Some(evening));
        window.picture().save(folder.join(format!("clocks-{name}-1280x800.png")))?;
    }
    order_rules(&folder)?;
    shaping(&folder)?;
    let mut window = TestWindow::open([1024.0, 700.0], 1.0, None);
    window.press(Modifiers::NONE, Key::H);
    window.press(Modifiers::NONE, Key::N);
    window.picture().save(folder.join("held-from-sunset-1024x700.png"))?;
    cards(&folder)
}

/// The Shelf: as it is, narrowed and sorted, with a slip in what is searched for, and what can't be shown.
fn shelf(folder: &Path) -> Result<(), Box<dyn Error>> {
    for (size, scale, name) in [
        ([1280.0, 800.0], 1.0, "1280x800"),
        ([1366.0, 768.0], 1.0, "1366x768"),
        ([1024.0, 700.0], 1.0, "1024x700"),
        ([1280.0, 800.0], 1.5, "1280x800-at-1.5"),
        ([683.0, 384.0], 2.0, "683x384-at-2"),
    ] {
        let mut window = TestWindow::open(size, scale, None);
        apply(window.harness.state_mut(), Command::ShowSide(Side::Shelf));
        let show = |window: &mut TestWindow, commands: Vec<Command>, what: &str| {
            for command in commands {
                apply(window.harness.state_mut(), command);
                window.settle();
            }
            window.picture().save(folder.join(format!("shelf-{what}-{name}.png")))
        };
        let port = window.harness.state().open().map(|open| open.document.stock.rig.ports[0].id.clone());
        let filtered =
            ShelfView { open: true, now: true, port, sort: ShelfSort::AltitudeNow, ..ShelfView::default() };
        let folded = ShelfView { open: false, ..filtered.clone() };
        let last = ShelfView { sort: ShelfSort::BestTime, ..ShelfView::default() };
        show(&mut window, vec![Command::WalkTo(4)], "plain")?;
        let walked = |window: &TestWindow, position: usize| {
            window.harness.state().shelf_list().rows.get(position).map_or(0, |row| row.target_index)
        };
        let row = walked(&window, 40);
        show(&mut window, vec![Command::WalkTo(row)], "walked")?;
        show(&mut window, vec![Command::LookAtShelf(filtered)], "filtered")?;
        show(&mut window, vec![Command::LookAtShelf(folded)], "folded")?;
        show(&mut window, vec![Command::WholeShelf, Command::Search("lanturn".to_owned())], "slip")?;
        show(&mut window, vec![Command::WholeShelf, Command::LookAtShelf(last)], "best-time")?;
        let row = walked(&window, 133);
        show(&mut window, vec![Command::WalkTo(row)], "last")?;
        show(&mut window, vec![Command::TogglePalette, Command::WalkTo(4)], "red")?;
    }
    Ok(())
}

/// How good the order is, why it is so, what a draft gave up, and an evening picked up late.
fn drafts(folder: &Path) -> Result<(), Box<dyn Error>> {
    for (size, scale, name) in [
        ([1280.0, 800.0], 1.0, "1280x800"),
        ([1024.0, 700.0], 1.0, "1024x700"),
        ([1280.0, 800.0], 1.5, "1280x800-at-1.5"),
        ([853.0, 533.0], 1.5, "853x533-at-1.5"),
    ] {
        let files = tempfile::TempDir::new()?;
        let wish = "must_show: [\"mercury\", \"saturn\", \"moon\"]";
        let evening = changed_demo(files.path(), &[("must_show: []", wish)]);
        let mut window = TestWindow::open(size, scale, Some(evening));
        window.settle_all();
        window.picture().save(folder.join(format!("draft-stop-{name}.png")))?;
        let show = |window: &mut TestWindow, command, what: &str| {
            apply(window.harness.state_mut(), command);
            window.settle_all();
            window.picture().save(folder.join(format!("draft-{what}-{name}.png")))
        };
        show(&mut window, Command::Select(None), "evening")?;
        let not_shown = window.harness.state().open().and_then(|open| {
            let stops = open.document.evening.order.stops();
            let targets = &open.document.stock.catalogue.targets;
            let is_free =
                |id: &TargetId| stops.iter().all(|stop| stop.show().is_none_or(|show| show.target != *id));
            let mut best = open.derived.shelf.iter().map(|entry| targets[entry.target_index].id.clone());
            best.find(is_free)
        });
        show(&mut window, Command::Select(not_shown.map(Selected::Target)), "not-shown")?;
        let stops: Vec<_> = window.evening().order.stops().to_vec();
        let shows: Vec<_> = stops.iter().filter(|stop| stop.show().is_some()).collect();
        show(&mut window, Command::Select(shows.get(2).map(|stop| Selected::Stop(stop.id))), "third")?;
        show(&mut window, Command::Remove, "removed")?;
        show(&mut window, Command::AskPickUp, "asked")?;
        let form = match &window.harness.state().view.dialog {
            Some(Dialog::PickUp(form)) => form.clone(),
            other => return Err(format!("no form but {other:?}").into()),
        };
        let form = PickUpForm { visitors: 40, closed: Some(SkyPart::default()), ..form };
        show(&mut window, Command::PickUpForm(form.clone()), "answered")?;
        show(&mut window, Command::PickUp(form), "picked-up")?;
        show(&mut window, Command::TogglePalette, "red")?;
        show(&mut window, Command::AskPickUp, "asked-red")?;
    }
    Ok(())
}

/// The order rules with a part of the sky closed, and the Shelf kept to a clear part.
fn order_rules(folder: &Path) -> Result<(), Box<dyn Error>> {
    let closed = |from: f64, to: f64, since, until| ClosedSky {
        from: Angle::from_degrees(from),
        to: Angle::from_degrees(to),
        since,
        until,
    };
    let clock = |hour, minute| NaiveTime::from_hms_opt(hour, minute, 0);
    for (size, scale, name) in [
        ([1280.0, 800.0], 1.0, "1280x800"),
        ([1024.0, 700.0], 1.0, "1024x700"),
        ([1024.0, 1100.0], 1.0, "whole"),
        ([1280.0, 800.0], 1.5, "1280x800-at-1.5"),
        ([853.0, 533.0], 1.5, "853x533-at-1.5"),
    ] {
        let mut window = TestWindow::open(size, scale, None);
        window.press(Modifiers::NONE, Key::O);
        window.picture().save(folder.join(format!("order-rules-{name}.png")))?;
        let closing = Closing { since: clock(21, 30), until: clock(22, 10), ..Closing::default() };
        for command in [
            Command::CloseSky(closed(90.0, 180.0, clock(19, 30), clock(20, 45))),
            Command::CloseSky(closed(337.5, 22.5, None, None)),
            Command::Weigh(OrderRule::InTurn, 0),
            Command::Closing(closing),
            Command::KeepTo(ClearPart { on: true, ..ClearPart::default() }),
        ] {
            apply(window.harness.state_mut(), command);
            window.settle();
        }
        for (look, palette) in [("closed", Palette::Day), ("closed-red-lamp", Palette::RedLamp)] {
            window.harness.state_mut().view.palette = palette;
            window.settle();
            window.picture().save(folder.join(format!("order-rules-{look}-{name}.png")))?;
        }
    }
    Ok(())
}

/// The Card of one target of each sort on the demonstration evening, at the top and as a whole.
fn cards(folder: &Path) -> Result<(), Box<dyn Error>> {
    const TARGETS: [(&str, &str); 6] = [
        ("planet", "jupiter"),
        ("large-nebula", "smithy-door"),
        ("small-nebula", "millers-lantern"),
        ("galaxy", "winnowing-fan"),
        ("double-star", "marigold-and-speedwell"),
        ("moon", "moon"),
    ];
    let files = tempfile::TempDir::new()?;
    let evening = late_demo(files.path(), "2027-10-30");
    let mut autumn = TestWindow::open([1280.0, 2300.0], 1.0, Some(evening));
    show_card(&mut autumn, "saturn");
    autumn.picture().save(folder.join("card-ringed-planet-whole.png"))?;
    let mut window = TestWindow::demo();
    let mut whole = TestWindow::open([1280.0, 3000.0], 1.0, None);
    apply(whole.harness.state_mut(), Command::Fold(CardSection::Sources));
    for (name, id) in TARGETS {
        for (window, size) in [(&mut window, "1280x800"), (&mut whole, "whole")] {
            show_card(window, id);
            window.picture().save(folder.join(format!("card-{name}-{size}.png")))?;
        }
    }
    overrule(&mut window);
    window.picture().save(folder.join("card-overruled-1280x800.png"))?;
    apply(whole.harness.state_mut(), Command::TogglePalette);
    show_card(&mut whole, "millers-lantern");
    whole.picture().save(folder.join("card-red-lamp-whole.png"))?;
    for (size, scale, name) in [([1024.0, 700.0], 1.0, "1024x700"), ([1280.0, 800.0], 1.5, "1280x800-at-1.5")]
    {
        let mut window = TestWindow::open(size, scale, None);
        show_card(&mut window, "jupiter");
        window.picture().save(folder.join(format!("card-planet-{name}.png")))?;
    }
    Ok(())
}

fn show_card(window: &mut TestWindow, id: &str) {
    let target = Some(Selected::Target(TargetId(id.to_owned())));
    apply(window.harness.state_mut(), Command::Select(target));
    window.settle();
}

/// Puts the first stop that shows something, the Moon's, on the wide camera.
fn overrule(window: &mut TestWindow) {
    let open = window.harness.state().open();
    let stop =
        open.and_then(|open| open.document.evening.order.stops().iter().find(|stop| stop.show().is_some()));
    let Some((stop, port)) = stop.map(|stop| stop.id).zip(open.map(|open| &open.document.stock.rig.ports[0]))
    else {
        return;
    };
    let put = Command::SetPort(stop, port.id.clone());
    apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(stop))));
    apply(window.harness.state_mut(), put);
    window.settle();
}

/// A stop held under the pointer with the rest moved along, what is inserted, the orders side by side.
fn shaping(folder: &Path) -> Result<(), Box<dyn Error>> {
    for (size, name) in [([1280.0, 800.0], "1280x800"), ([1024.0, 700.0], "1024x700")] {
        let mut window = TestWindow::open(size, 1.0, None);
        window.press(Modifiers::NONE, Key::M);
        let stops = window.evening().order.stops();
        let position = stops.iter().position(|stop| stop.show().is_some()).ok_or("nothing is shown")?;
        let number = format!("Stop {}: ", position + 1);
        let rect = window.harness.get_by_label_contains(&number).rect();
        let to = rect.center() + vec2(40.0, 0.0);
        window.lift(rect.center(), to);
        window.picture().save(folder.join(format!("drag-{name}.png")))?;
        apply(window.harness.state_mut(), Command::TogglePalette);
        window.harness.run_steps(3);
        window.picture().save(folder.join(format!("drag-red-lamp-{name}.png")))?;
        apply(window.harness.state_mut(), Command::TogglePalette);
        window.harness.drop_at(to);
        window.settle();
        window.press(Modifiers::NONE, Key::I);
        window.picture().save(folder.join(format!("insert-{name}.png")))?;
        window.press(Modifiers::NONE, Key::Escape);
        for order in ["Clear", "Cloud"] {
            apply(window.harness.state_mut(), Command::KeepOrder(order.to_owned()));
            apply(window.harness.state_mut(), Command::Remove);
            window.settle();
        }
        window.press(Modifiers::NONE, Key::V);
        window.picture().save(folder.join(format!("orders-side-by-side-{name}.png")))?;
    }
    Ok(())
}
