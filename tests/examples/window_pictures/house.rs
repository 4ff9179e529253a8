//! What is asked about the house and its crowd, tonight's wishes, an entry inserted where something stands, an hour that comes twice
//! when the sky closes, a small window with large text, and a name in right-to-left script.

use std::error::Error;
use std::path::Path;

use chrono::NaiveTime;
use egui::epaint::text::MissingGlyphPolicy;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use evenfall_app::state::{Closing, Command, CrowdWay, Dialog, Palette, Selected, SkyPart, TextStep, apply};
use evenfall_core::catalogue::Kind;
use evenfall_tests::harness::{TestWindow, late_demo};

/// Sizes with their names.
const SIZES: [([f32; 2], f32, &str); 3] = [
    ([1280.0, 800.0], 1.0, "1280x800"),
    ([1024.0, 700.0], 1.0, "1024x700"),
    ([853.0, 533.0], 1.5, "853x533-at-1.5"),
];

/// All of them.
pub fn pictures(folder: &Path) -> Result<(), Box<dyn Error>> {
    for (size, scale, name) in SIZES {
        let mut window = TestWindow::open(size, scale, None);
        for (look, palette) in [("", Palette::Day), ("-red-lamp", Palette::RedLamp)] {
            window.harness.state_mut().view.palette = palette;
            window.press(Modifiers::NONE, Key::W);
            window.picture().save(folder.join(format!("house{look}-{name}.png")))?;
            if let Some(Dialog::House(form)) = &mut window.harness.state_mut().view.dialog {
                form.set_usual(CrowdWay::Coming, false);
                form.set_usual(CrowdWay::Going, false);
                form.set_kind(Kind::Galaxy, Some(90));
                form.children = 500;
            }
            window.settle();
            let last = window.harness.get_by_label("Coming: Another part").rect();
            window.harness.hover_at(last.center());
            window.picture().save(folder.join(format!("crowd{look}-{name}.png")))?;
            give(&mut window, Command::Dismiss);
            window.press(Modifiers::NONE, Key::T);
            window.type_text("the");
            window.picture().save(folder.join(format!("wishes{look}-{name}.png")))?;
            give(&mut window, Command::Dismiss);
        }
        window.harness.state_mut().view.palette = Palette::Day;
        let stops = window.evening().order.stops();
        let (stop, middle) =
            stops.get(3).map(|stop| (stop.id, stop.start().plus_minutes(2.0))).ok_or("a stop")?;
        give(&mut window, Command::Select(Some(Selected::Stop(stop))));
        give(&mut window, Command::ReadAt(Some(middle)));
        window.press(Modifiers::NONE, Key::I);
        window.picture().save(folder.join(format!("insert-overlapping-{name}.png")))?;
    }
    large_text(folder)?;
    right_to_left(folder)?;
    twice(folder)
}

fn give(window: &mut TestWindow, command: Command) {
    apply(window.harness.state_mut(), command);
    window.settle();
}

fn large_text(folder: &Path) -> Result<(), Box<dyn Error>> {
    let mut window = TestWindow::open([1024.0, 700.0], 1.0, None);
    let stop = window.evening().order.stops().get(3).map(|stop| stop.id).ok_or("a stop")?;
    give(&mut window, Command::Select(Some(Selected::Stop(stop))));
    window.picture().save(folder.join("stop-1024x700.png"))?;
    for percent in ["larger", "larger-still", "largest"] {
        for _ in 0..2 {
            give(&mut window, Command::TextSize(TextStep::Larger));
        }
        window.picture().save(folder.join(format!("stop-{percent}-1024x700.png")))?;
    }
    give(&mut window, Command::TextSize(TextStep::Usual));
    give(&mut window, Command::ToggleSky);
    window.picture().save(folder.join("sky-1024x700.png"))?;
    let mut window = TestWindow::demo();
    give(&mut window, Command::ToggleSky);
    window.picture().save(folder.join("sky-1280x800.png"))?;
    Ok(())
}

/// The typeface has neither Hebrew nor Arabic, so each letter is a box: their order is what is to be seen.
fn right_to_left(folder: &Path) -> Result<(), Box<dyn Error>> {
    let mut window = TestWindow::demo();
    window.harness.ctx.set_missing_glyph_policy(MissingGlyphPolicy::Tofu);
    window.press(Modifiers::NONE, Key::I);
    window.type_text("ערב \u{5db}ו\u{5db}בים 12 abc");
    window.picture().save(folder.join("right-to-left-typed.png"))?;
    window.press(Modifiers::NONE, Key::Enter);
    window.picture().save(folder.join("right-to-left.png"))?;
    Ok(())
}

fn twice(folder: &Path) -> Result<(), Box<dyn Error>> {
    let files = tempfile::TempDir::new()?;
    let evening = late_demo(files.path(), "2027-10-30");
    let mut window = TestWindow::open([1280.0, 800.0], 1.0, Some(evening));
    window.press(Modifiers::NONE, Key::O);
    let clock = |hour, minute| NaiveTime::from_hms_opt(hour, minute, 0);
    let closing = Closing {
        part: SkyPart::default(),
        since: clock(1, 30),
        until: clock(1, 10),
        until_again: true,
        ..Closing::default()
    };
    give(&mut window, Command::Closing(closing));
    window.harness.get_by_label("Shut off this part").scroll_to_me();
    window.settle();
    window.picture().save(folder.join("closed-sky-twice.png"))?;
    Ok(())
}
