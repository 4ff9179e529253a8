//! A target being changed, a new one, and a list on its way in.

use std::error::Error;
use std::fs;
use std::path::Path;

use egui::{Key, Modifiers};
use evenfall_app::state::{Command, Dialog, PathUse, Selected, TargetField, apply};
use evenfall_core::catalogue::{Kind, TargetId};
use evenfall_tests::harness::{TestWindow, changed_demo};

const LIST: &str = "Object;Type;RA;Dec;Size;Mag;Notes\n\
Fell Lantern;GX;09 21 00;+44 10 00;8x5;9,4;by the wall\n\
Ford Cluster;OC;06 12 00;+03 20 00;22;5,8;\n\
Tarn Ring;PN;17 21 00;+52 14 00;1,2;8,8;\n\
Weir Drift;EN;04 48 00;-02 41 00;60;4,0;\n\
Mill Pair;GX;11 47 00;+27 40 00;9;9,1;\n\
Barn Glow;GX;12 30 00;+95 00 00;6;9,9;typed at night\n\
Lane Cluster;OC;07 58 00;+49 10 00;-;6,1;\n";

pub(super) fn pictures(folder: &Path) -> Result<(), Box<dyn Error>> {
    let sizes = [
        ("1280x800", [1280.0, 800.0], 1.0),
        ("1024x700", [1024.0, 700.0], 1.0),
        ("853x533-at-1.5", [853.0, 533.0], 1.5),
    ];
    for (name, size, scale) in sizes {
        let files = tempfile::TempDir::new()?;
        let evening = changed_demo(files.path(), &[]);
        let list = files.path().join("fell-targets.csv");
        fs::write(&list, LIST)?;
        let mut window = TestWindow::open(size, scale, Some(evening));
        let id = TargetId("lantern-drift".to_owned());
        apply(window.harness.state_mut(), Command::Select(Some(Selected::Target(id))));
        window.settle();
        window.picture().save(folder.join(format!("target-on-the-card-{name}.png")))?;
        window.press(Modifiers::NONE, Key::C);
        window.picture().save(folder.join(format!("target-{name}.png")))?;
        if let Some(Dialog::Target(form)) = &mut window.harness.state_mut().view.dialog {
            form.put(TargetField::Place, "05 61 00 +12 00 52".to_owned());
            form.put(TargetField::Size, "0".to_owned());
        }
        window.settle();
        window.picture().save(folder.join(format!("target-with-faults-{name}.png")))?;
        window.press(Modifiers::NONE, Key::Escape);
        window.press(Modifiers::NONE, Key::Escape);
        apply(window.harness.state_mut(), Command::AskNewTarget);
        window.settle();
        if let Some(Dialog::Target(form)) = &mut window.harness.state_mut().view.dialog {
            form.kind = Kind::Galaxy;
            form.begin_with_example();
        }
        window.settle();
        window.picture().save(folder.join(format!("target-new-{name}.png")))?;
        window.press(Modifiers::NONE, Key::Escape);
        window.press(Modifiers::NONE, Key::Escape);
        apply(window.harness.state_mut(), Command::UsePath(PathUse::List, list));
        window.settle();
        window.picture().save(folder.join(format!("list-{name}.png")))?;
        apply(window.harness.state_mut(), Command::TogglePalette);
        window.settle();
        window.picture().save(folder.join(format!("list-red-lamp-{name}.png")))?;
        apply(window.harness.state_mut(), Command::BringList);
        window.settle();
        apply(window.harness.state_mut(), Command::DraftAnew);
        window.settle();
        window.picture().save(folder.join(format!("list-laid-out-red-lamp-{name}.png")))?;
    }
    Ok(())
}
