//! Writes the pictures of the manual: the window with the demonstration, without a display.
//!
//! `cargo run -p evenfall-tests --example window_pictures -- DIRECTORY [PART...]`; the parts are `whole`, `drafts`, `house`, `rules`, `cards`, `board`, `manners`, `pages`, `places`, `shelf`, `shaping`, `sky`, `targets`.

mod board;
mod cards;
mod drafts;
mod house;
mod manners;
mod pages;
mod places;
mod rules;
mod shaping;
mod shelf;
mod sky;
mod targets;

use std::error::Error;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::{env, fs};

use egui::{Key, Modifiers};
use evenfall_app::shell::Machine;
use evenfall_app::state::{Command, Effort, Selected, apply};
use evenfall_tests::harness::{TestWindow, late_demo};

type Pictures = fn(&Path) -> Result<(), Box<dyn Error>>;

/// Each part of the window with its pictures.
const PARTS: [(&str, Pictures); 13] = [
    ("whole", whole),
    ("drafts", drafts::pictures),
    ("house", house::pictures),
    ("rules", rules::pictures),
    ("cards", cards::pictures),
    ("board", board::pictures),
    ("manners", manners::pictures),
    ("pages", pages::pictures),
    ("places", places::pictures),
    ("shelf", shelf::pictures),
    ("shaping", shaping::pictures),
    ("sky", sky::pictures),
    ("targets", targets::pictures),
];

fn main() -> Result<(), Box<dyn Error>> {
    let folder = PathBuf::from(env::args().nth(1).ok_or("name the folder for the pictures")?);
    let asked: Vec<String> = env::args().skip(2).collect();
    fs::create_dir_all(&folder)?;
    for (name, pictures) in PARTS {
        if asked.is_empty() || asked.iter().any(|asked| asked == name) {
            pictures(&folder)?;
        }
    }
    Ok(())
}

/// The window as a whole: the README's picture, a target on the Card, both palettes, small windows, the clocks changing.
fn whole(folder: &Path) -> Result<(), Box<dyn Error>> {
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
    let mut window = TestWindow::open([1024.0, 700.0], 1.0, None);
    window.press(Modifiers::NONE, Key::H);
    window.press(Modifiers::NONE, Key::N);
    window.picture().save(folder.join("held-from-sunset-1024x700.png"))?;
    Ok(())
}
