//! How the window looks: contrast by computation, red light only under the red lamp.

use evenfall_app::state::{Command, Palette, Side, apply};
use evenfall_app::ui::theme::Tokens;
use evenfall_core::plan::ClosedSky;
use evenfall_core::units::Angle;
use evenfall_tests::contrast::contrast;
use evenfall_tests::harness::TestWindow;

#[test]
fn text_and_drawings_stand_out_in_both_palettes() {
    // WCAG 2.2: 1.4.3 asks 4.5:1 of text, 1.4.11 asks 3:1 of graphics.
    for palette in [Palette::Day, Palette::RedLamp] {
        let tokens = Tokens::of(palette);
        for (name, ink, ground) in tokens.text_pairs() {
            let ratio = contrast(ink, ground);
            assert!(ratio >= 4.5, "{palette:?}: text {name} {ink:?} on {ground:?} has {ratio:.2}");
        }
        for (name, ink, ground) in tokens.graphic_pairs() {
            let ratio = contrast(ink, ground);
            assert!(ratio >= 3.0, "{palette:?}: {name} {ink:?} on {ground:?} has {ratio:.2}");
        }
    }
}

fn is_red_only(window: &TestWindow, what: &str) {
    let picture = window.picture();
    let stray = picture.pixels().filter(|pixel| pixel.0[1] > 0 || pixel.0[2] > 0).count();
    assert_eq!(stray, 0, "pixels with green or blue: {what}");
    let lit = picture.pixels().filter(|pixel| pixel.0[0] > 200).count();
    assert!(lit > 1000, "only {lit} pixels are lit: nothing was drawn of {what}");
}

#[test]
fn the_red_lamp_lights_no_green_and_no_blue() {
    for size in [[1024.0, 700.0], [853.0, 533.0]] {
        let mut window = TestWindow::open(size, 1.0, None);
        apply(window.harness.state_mut(), Command::TogglePalette);
        window.settle();
        is_red_only(&window, "the demo");
        let (from, to) = (Angle::from_degrees(90.0), Angle::from_degrees(180.0));
        for (command, what) in [
            (Command::CloseSky(ClosedSky::new(from, to, None, None)), "Stoppers and closed sky"),
            (Command::ToggleUtc, "the hours of UTC"),
            (Command::ToggleHold, "a held stop"),
            (Command::ToggleSpan, "the night"),
            (Command::ShowSide(Side::Shelf), "the Shelf"),
            (Command::ToggleSky, "the unrolled sky"),
            (Command::ToggleSky, "the Board again"),
            (Command::ToggleRules, "the order rules"),
            (Command::ToggleRules, "the Card"),
            (Command::ShowKeys, "the keys"),
            (Command::Dismiss, "no dialog"),
            (Command::ShowPages, "the pages"),
            (Command::Dismiss, "no dialog"),
            (Command::AskCall, "go or no-go"),
            (Command::AskHouse, "house and doors"),
            (Command::Dismiss, "no dialog"),
            (Command::ShowOrders, "the kept orders"),
            (Command::Dismiss, "no dialog"),
            (Command::AskPickUp, "picking up"),
            (Command::Dismiss, "no dialog"),
            (Command::Undo, "an undone step"),
            (Command::Close, "the question about changes"),
        ] {
            apply(window.harness.state_mut(), command);
            window.settle();
            is_red_only(&window, what);
        }
    }
}

#[test]
fn a_frame_at_rest_asks_for_no_other() {
    let mut window = TestWindow::demo();
    window.harness.run_steps(4);
    let wait = window.harness.output().viewport_output.values().map(|view| view.repaint_delay).min();
    assert!(wait.is_some_and(|wait| wait.as_secs() > 60), "repaints after {wait:?}");
}
