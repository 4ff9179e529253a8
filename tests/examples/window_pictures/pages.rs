//! The pages over the window: chosen, looked at, written; and the call.

use std::error::Error;
use std::path::Path;
use std::sync::Arc;

use chrono::NaiveTime;
use egui::{Key, Modifiers};
use evenfall_app::shell::AtHome;
use evenfall_app::state::{CallForm, Command, Dialog, PagesEdit, apply};
use evenfall_core::output::Output;
use evenfall_core::plan::Decision;
use evenfall_core::sheet::LeafKind;
use evenfall_tests::harness::{TEST_EFFORT, TestWindow};

/// The pages in both palettes, side by side and below each other, asked about and written; the call.
pub fn pictures(folder: &Path) -> Result<(), Box<dyn Error>> {
    for (size, scale, name) in [
        ([1280.0, 800.0], 1.0, "1280x800"),
        ([1366.0, 768.0], 1.0, "1366x768"),
        ([1024.0, 700.0], 1.0, "1024x700"),
        ([1280.0, 800.0], 1.5, "1280x800-at-1.5"),
        ([640.0, 400.0], 2.0, "1280x800-text-200"),
    ] {
        let files = tempfile::TempDir::new()?;
        let home = AtHome::in_folders(Some(files.path().join("home")), Some(files.path().to_owned()));
        let mut window = TestWindow::in_a_world(Arc::new(home), TEST_EFFORT, (size, scale), None);
        let save = |window: &TestWindow, what: &str| {
            window.picture().save(folder.join(format!("pages-{what}-{name}.png")))
        };
        apply(window.harness.state_mut(), Command::Dismiss);
        window.press(Modifiers::COMMAND, Key::P);
        save(&window, "chosen")?;
        window.press(Modifiers::NONE, Key::PageDown);
        save(&window, "second-side")?;
        let handbill = Output::Leaf(LeafKind::Handbill);
        apply(window.harness.state_mut(), Command::Pages(PagesEdit::Show(handbill)));
        apply(window.harness.state_mut(), Command::Pages(PagesEdit::Turn(1)));
        window.settle();
        save(&window, "handbill")?;
        apply(window.harness.state_mut(), Command::Pages(PagesEdit::Wide(true)));
        apply(window.harness.state_mut(), Command::TogglePalette);
        window.settle();
        save(&window, "wide-red-lamp")?;
        apply(window.harness.state_mut(), Command::Pages(PagesEdit::Wide(false)));
        window.settle();
        save(&window, "red-lamp")?;
        apply(window.harness.state_mut(), Command::TogglePalette);
        window.press(Modifiers::COMMAND, Key::Enter);
        save(&window, "written")?;
        apply(window.harness.state_mut(), Command::Pages(PagesEdit::Back));
        window.press(Modifiers::COMMAND, Key::Enter);
        save(&window, "asked")?;
        apply(window.harness.state_mut(), Command::Pages(PagesEdit::Back));
        apply(window.harness.state_mut(), Command::Dismiss);
        window.press(Modifiers::NONE, Key::G);
        call(&mut window);
        save(&window, "call")?;
        let asked = match &window.harness.state().view.dialog {
            Some(Dialog::Call(form)) => form.clone(),
            other => return Err(format!("no call, but {other:?}").into()),
        };
        apply(window.harness.state_mut(), Command::SetCall(asked));
        window.settle();
        save(&window, "called")?;
    }
    Ok(())
}

/// Fills the form of the call.
fn call(window: &mut TestWindow) {
    if let Some(Dialog::Call(form)) = &window.harness.state().view.dialog {
        let called = CallForm {
            decision: Decision::Go,
            at: NaiveTime::from_hms_opt(16, 30, 0).unwrap_or_default(),
            by: "the night lead".to_owned(),
            dates: "Friday 9 April, 20:30\nSaturday 8 May, 21:30".to_owned(),
            ..form.clone()
        };
        apply(window.harness.state_mut(), Command::CallForm(called));
    }
    window.settle();
}
