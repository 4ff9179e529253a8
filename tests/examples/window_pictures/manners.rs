//! What stands over the window, and the window with large text.

use std::error::Error;
use std::path::Path;
use std::sync::Arc;

use chrono::DateTime;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use evenfall_app::shell::AtHome;
use evenfall_app::state::{Command, OwnField, Side, TextStep, apply};
use evenfall_core::time::Instant;
use evenfall_tests::harness::{TEST_EFFORT, TestWindow, late_demo};

/// What stands over the window, and the window with text of 200 percent in 1280 by 800.
pub fn pictures(folder: &Path) -> Result<(), Box<dyn Error>> {
    for (size, scale, name) in [
        ([1280.0, 800.0], 1.0, "1280x800"),
        ([1024.0, 700.0], 1.0, "1024x700"),
        ([640.0, 400.0], 2.0, "1280x800-text-200"),
    ] {
        let home = tempfile::TempDir::new()?;
        let outside = AtHome::in_folders(Some(home.path().to_owned()), None);
        let mut window = TestWindow::in_a_world(Arc::new(outside), TEST_EFFORT, (size, scale), None);
        window.picture().save(folder.join(format!("welcome-{name}.png")))?;
        let show = |window: &mut TestWindow, command, what: &str| {
            apply(window.harness.state_mut(), command);
            window.settle();
            window.picture().save(folder.join(format!("{what}-{name}.png")))
        };
        show(&mut window, Command::AskOwn, "own")?;
        for (field, text) in [
            (OwnField::SiteName, "Otter Hill"),
            (OwnField::Latitude, "39.7"),
            (OwnField::Longitude, "105"),
            (OwnField::Zone, "America/Denver"),
            (OwnField::Aperture, "5"),
        ] {
            apply(window.harness.state_mut(), Command::OwnText(field, text.to_owned()));
        }
        window.settle();
        window.picture().save(folder.join(format!("own-typed-{name}.png")))?;
        show(&mut window, Command::Close, "own-would-be-lost")?;
        show(&mut window, Command::ShowFinder, "finder")?;
        window.type_text("text");
        window.press(Modifiers::NONE, Key::ArrowDown);
        window.picture().save(folder.join(format!("finder-typed-{name}.png")))?;
        show(&mut window, Command::ShowKeys, "keys")?;
        show(&mut window, Command::Dismiss, "board")?;
        for side in [Side::Shelf, Side::Board, Side::Card] {
            show(&mut window, Command::ShowSide(side), &format!("{side:?}").to_lowercase())?;
        }
        show(&mut window, Command::ToggleRules, "rules")?;
        show(&mut window, Command::ToggleRules, "card-again")?;
        show(&mut window, Command::AskPickUp, "pick-up")?;
        window.press(Modifiers::NONE, Key::Escape);
        window.harness.get_by_label("Evening").click();
        window.settle();
        window.press(Modifiers::NONE, Key::ArrowDown);
        window.picture().save(folder.join(format!("menu-{name}.png")))?;
    }
    let files = tempfile::TempDir::new()?;
    let mut window = TestWindow::open([1280.0, 800.0], 1.0, Some(late_demo(files.path(), "2027-10-30")));
    let half_past_one = DateTime::parse_from_rfc3339("2027-10-31T01:30:00Z")?.to_utc();
    apply(window.harness.state_mut(), Command::ReadAt(Some(Instant::from_utc(half_past_one))));
    window.press(Modifiers::NONE, Key::I);
    window.picture().save(folder.join("insert-twice-1280x800.png"))?;
    let mut window = TestWindow::demo();
    for _ in 0..2 {
        apply(window.harness.state_mut(), Command::TextSize(TextStep::Smaller));
    }
    window.settle();
    window.picture().save(folder.join("board-text-80-1280x800.png"))?;
    apply(window.harness.state_mut(), Command::TogglePalette);
    window.settle();
    window.picture().save(folder.join("board-text-80-red-lamp-1280x800.png"))?;
    Ok(())
}
