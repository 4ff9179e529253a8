//! How good the order is, why it is so, what a draft gave up, and an evening picked up late.

use std::error::Error;
use std::path::Path;

use evenfall_app::state::{Command, Dialog, PickUpForm, Selected, SkyPart, apply};
use evenfall_core::catalogue::TargetId;
use evenfall_tests::harness::{TestWindow, changed_demo};

/// How good the order is, why it is so, what a draft gave up, and an evening picked up late.
pub fn pictures(folder: &Path) -> Result<(), Box<dyn Error>> {
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
