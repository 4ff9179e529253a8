//! A stop under the pointer, what is inserted, the orders side by side.

use std::error::Error;
use std::path::Path;

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable;
use evenfall_app::state::{Command, apply};
use evenfall_tests::harness::TestWindow;

/// A stop held under the pointer with the rest moved along, what is inserted, the orders side by side.
pub fn pictures(folder: &Path) -> Result<(), Box<dyn Error>> {
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
