//! The unrolled sky: of the demo and of six hours with a part closed, at dusk, and under the red lamp.

use std::error::Error;
use std::path::Path;

use egui::{Key, Modifiers};
use evenfall_app::state::{Command, Selected, apply};
use evenfall_core::plan::ClosedSky;
use evenfall_core::units::Angle;
use evenfall_tests::harness::{TestWindow, long_demo};

/// The sky at the start of a stop, half way to the next, at dusk, with a part closed, and under the red lamp.
pub fn pictures(folder: &Path) -> Result<(), Box<dyn Error>> {
    for (size, scale, name) in [
        ([1280.0, 800.0], 1.0, "1280x800"),
        ([1366.0, 768.0], 1.0, "1366x768"),
        ([1024.0, 700.0], 1.0, "1024x700"),
        ([1280.0, 800.0], 1.5, "1280x800-at-1.5"),
        ([640.0, 400.0], 2.0, "1280x800-at-2"),
    ] {
        let mut window = TestWindow::open(size, scale, None);
        let save = |window: &TestWindow, what: &str| {
            window.picture().save(folder.join(format!("sky-{what}-{name}.png")))
        };
        window.press(Modifiers::NONE, Key::Y);
        save(&window, "at-doors")?;
        let shows = window.evening().order.stops().iter().filter(|stop| stop.show().is_some());
        let (third, ends) = shows
            .map(|stop| (stop.id, stop.end()))
            .nth(2)
            .ok_or("the demo has no third stop that shows a target")?;
        apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(third))));
        window.settle();
        save(&window, "third-stop")?;
        apply(window.harness.state_mut(), Command::ReadAt(Some(ends.plus_minutes(1.0))));
        window.settle();
        save(&window, "between-stops")?;
        let files = tempfile::TempDir::new()?;
        let mut window = TestWindow::open(size, scale, Some(long_demo(files.path())));
        let (from, to) = (Angle::from_degrees(200.0), Angle::from_degrees(260.0));
        let dusk = window.harness.state().open().map(|open| open.derived.prepared.span.start());
        for command in [
            Command::ToggleSky,
            Command::CloseSky(ClosedSky::new(from, to, None, None)),
            Command::ReadAt(dusk.map(|dusk| dusk.plus_minutes(40.0))),
        ] {
            apply(window.harness.state_mut(), command);
            window.settle();
        }
        save(&window, "dusk-closed")?;
        apply(window.harness.state_mut(), Command::ReadAt(dusk.map(|dusk| dusk.plus_minutes(200.0))));
        apply(window.harness.state_mut(), Command::TogglePalette);
        window.settle();
        save(&window, "red-lamp")?;
    }
    Ok(())
}
