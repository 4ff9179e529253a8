//! The pages of site and rig.

use std::error::Error;
use std::path::Path;

use egui::accesskit::Role;
use egui_kittest::kittest::Queryable;
use evenfall_app::state::{Command, Part, PlaceEdit, apply};
use evenfall_tests::harness::TestWindow;

/// What the rest of each page looks like: the field that is looked at, and a name for the picture.
const FURTHER: [(Part, &str, &str); 4] = [
    (Part::Site, "Place 1: Note", "site-grounds"),
    (Part::Rig, "Declination rate", "rig-equatorial"),
    (Part::Rig, "Guider: Focal length", "rig-guider"),
    (Part::Rig, "Pair 1: Port change", "rig-pairs"),
];

/// Both pages in a usual, a small and an enlarged window, under the red lamp, and with something wrong.
pub fn pictures(folder: &Path) -> Result<(), Box<dyn Error>> {
    let sizes = [
        ("1280x800", [1280.0, 800.0], 1.0),
        ("1024x700", [1024.0, 700.0], 1.0),
        ("853x533-at-1.5", [853.0, 533.0], 1.5),
    ];
    TestWindow::open([1600.0, 900.0], 1.0, None)
        .picture()
        .save(folder.join("site-in-the-bar-1600x900.png"))?;
    for (part, name) in [(Part::Site, "site"), (Part::Rig, "rig")] {
        for (words, size, scale) in sizes {
            let mut window = TestWindow::open(size, scale, None);
            apply(window.harness.state_mut(), Command::AskPlace(part));
            window.settle();
            window.picture().save(folder.join(format!("{name}-{words}.png")))?;
            if words != "1280x800" {
                continue;
            }
            let (field, typed) = match part {
                Part::Site => ("latitude_deg", "95"),
                Part::Rig | Part::Catalogue => ("telescope.focal_length_mm", "8400"),
            };
            let put = PlaceEdit::Put(field.to_owned(), typed.to_owned());
            apply(window.harness.state_mut(), Command::EditPlace(put));
            apply(window.harness.state_mut(), Command::EditPlace(PlaceEdit::MoveCorner(5, 100.0, 42.0)));
            window.settle();
            window.picture().save(folder.join(format!("{name}-typed-{words}.png")))?;
            apply(window.harness.state_mut(), Command::TogglePalette);
            window.settle();
            window.picture().save(folder.join(format!("{name}-red-lamp-{words}.png")))?;
        }
    }
    for (part, field, name) in FURTHER {
        let mut window = TestWindow::demo();
        apply(window.harness.state_mut(), Command::AskPlace(part));
        if part == Part::Rig {
            for (way, word) in [("mount.way", "equatorial"), ("guider.way", "by sensor")] {
                let put = PlaceEdit::Put(way.to_owned(), word.to_owned());
                apply(window.harness.state_mut(), Command::EditPlace(put));
            }
            apply(window.harness.state_mut(), Command::EditPlace(PlaceEdit::Add("selector.pairs", 0)));
        }
        window.settle();
        window.harness.get_by_role_and_label(Role::TextInput, field).focus();
        window.settle();
        window.picture().save(folder.join(format!("{name}-1280x800.png")))?;
        if name == "rig-guider" {
            let put = PlaceEdit::Put("telescope.focal_length_mm".to_owned(), "2".to_owned());
            apply(window.harness.state_mut(), Command::EditPlace(put));
            window.settle();
            window.picture().save(folder.join("rig-wrong-1280x800.png"))?;
            apply(window.harness.state_mut(), Command::TogglePalette);
            window.settle();
            window.picture().save(folder.join("rig-wrong-red-lamp-1280x800.png"))?;
        }
    }
    Ok(())
}
