//! The order rules with a part of the sky closed, and the Shelf kept to a clear part.

use std::error::Error;
use std::path::Path;

use chrono::NaiveTime;
use egui::{Key, Modifiers};
use evenfall_app::state::{ClearPart, Closing, Command, Palette, apply};
use evenfall_core::plan::{ClosedSky, OrderRule};
use evenfall_core::units::Angle;
use evenfall_tests::harness::TestWindow;

/// The order rules with a part of the sky closed, and the Shelf kept to a clear part.
pub fn pictures(folder: &Path) -> Result<(), Box<dyn Error>> {
    let closed = |from: f64, to: f64, since, until| {
        ClosedSky::new(Angle::from_degrees(from), Angle::from_degrees(to), since, until)
    };
    let clock = |hour, minute| NaiveTime::from_hms_opt(hour, minute, 0);
    for (size, scale, name) in [
        ([1280.0, 800.0], 1.0, "1280x800"),
        ([1024.0, 700.0], 1.0, "1024x700"),
        ([1024.0, 1100.0], 1.0, "whole"),
        ([1280.0, 800.0], 1.5, "1280x800-at-1.5"),
        ([853.0, 533.0], 1.5, "853x533-at-1.5"),
    ] {
        let mut window = TestWindow::open(size, scale, None);
        window.press(Modifiers::NONE, Key::O);
        window.picture().save(folder.join(format!("order-rules-{name}.png")))?;
        let closing = Closing { since: clock(21, 30), until: clock(22, 10), ..Closing::default() };
        for command in [
            Command::CloseSky(closed(90.0, 180.0, clock(19, 30), clock(20, 45))),
            Command::CloseSky(closed(337.5, 22.5, None, None)),
            Command::Weigh(OrderRule::InTurn, 0),
            Command::Closing(closing),
            Command::KeepTo(ClearPart { on: true, ..ClearPart::default() }),
        ] {
            apply(window.harness.state_mut(), command);
            window.settle();
        }
        for (look, palette) in [("closed", Palette::Day), ("closed-red-lamp", Palette::RedLamp)] {
            window.harness.state_mut().view.palette = palette;
            window.settle();
            window.picture().save(folder.join(format!("order-rules-{look}-{name}.png")))?;
        }
    }
    Ok(())
}
