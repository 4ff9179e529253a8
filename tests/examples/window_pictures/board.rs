//! The Board of an evening of six hours, with closed sky, Stoppers and the hours of UTC.

use std::error::Error;
use std::path::Path;

use chrono::NaiveTime;
use evenfall_app::state::{Command, Selected, apply};
use evenfall_core::plan::ClosedSky;
use evenfall_core::units::Angle;
use evenfall_tests::harness::{TestWindow, late_demo, long_demo};

/// The Board of an evening of six hours, with closed sky, Stoppers, the hours of UTC, and under the red lamp.
pub fn pictures(folder: &Path) -> Result<(), Box<dyn Error>> {
    for (size, scale, name) in [
        ([1366.0, 768.0], 1.0, "1366x768"),
        ([1280.0, 800.0], 1.0, "1280x800"),
        ([1024.0, 700.0], 1.0, "1024x700"),
        ([1280.0, 800.0], 1.5, "1280x800-at-1.5"),
        ([640.0, 400.0], 2.0, "1280x800-at-2"),
    ] {
        let files = tempfile::TempDir::new()?;
        let mut window = TestWindow::open(size, scale, Some(long_demo(files.path())));
        let save = |window: &TestWindow, what: &str| {
            window.picture().save(folder.join(format!("board-{what}-{name}.png")))
        };
        window.settle_all();
        save(&window, "six-hours")?;
        let shows = window.evening().order.stops().iter().filter(|stop| stop.show().is_some());
        let third = shows.map(|stop| stop.id).nth(3);
        let (from, to) = (Angle::from_degrees(90.0), Angle::from_degrees(180.0));
        let clock = |hour, minute| NaiveTime::from_hms_opt(hour, minute, 0);
        for command in [
            Command::Select(third.map(Selected::Stop)),
            Command::ToggleUtc,
            Command::CloseSky(ClosedSky::new(from, to, clock(20, 30), clock(22, 45))),
        ] {
            apply(window.harness.state_mut(), command);
            window.settle();
        }
        save(&window, "closed-sky")?;
        apply(window.harness.state_mut(), Command::TogglePalette);
        window.settle();
        save(&window, "red-lamp")?;
    }
    let window = TestWindow::demo();
    window.picture().save(folder.join("board-demo-1280x800.png"))?;
    let window = TestWindow::open([1024.0, 700.0], 1.0, None);
    window.picture().save(folder.join("board-demo-1024x700.png"))?;
    let window = TestWindow::open([853.0, 533.0], 1.5, None);
    window.picture().save(folder.join("board-demo-853x533-at-1.5.png"))?;
    for (name, date) in [("spring", "2027-03-27"), ("autumn", "2027-10-30")] {
        let files = tempfile::TempDir::new()?;
        let mut window = TestWindow::open([1366.0, 768.0], 1.0, Some(late_demo(files.path(), date)));
        apply(window.harness.state_mut(), Command::ToggleUtc);
        window.settle();
        window.picture().save(folder.join(format!("board-clocks-{name}-1366x768.png")))?;
    }
    Ok(())
}
