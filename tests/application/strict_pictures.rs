//! A few small pictures that are kept and held pixel by pixel: what is drawn by hand looks as it did.
//!
//! The evening is kept beside them with its order, so that no other draft changes what is to be seen.

use std::fs;
use std::path::Path;

use egui::{Rect, vec2};
use egui_kittest::kittest::Queryable;
use evenfall_app::state::{Command, Palette, Selected, apply};
use evenfall_core::plan::{ClosedSky, StopId};
use evenfall_core::units::Angle;
use evenfall_tests::harness::{TestWindow, changed_demo};
use evenfall_tests::pictures::is_as_kept;
use tempfile::TempDir;

/// Where what differs is written.
const WRITTEN_TO: &str = env!("CARGO_TARGET_TMPDIR");

/// The evening of the pictures, laid out and with nothing under way, under a palette.
fn kept_evening(folder: &Path, palette: Palette, size: [f32; 2]) -> TestWindow {
    let evening = changed_demo(folder, &[]);
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/pictures/pictures.evening.ron");
    fs::copy(&kept, &evening).unwrap_or_else(|error| panic!("{}: {error}", kept.display()));
    let mut window = TestWindow::open(size, 1.0, Some(evening));
    window.harness.state_mut().view.palette = palette;
    window.settle();
    window
}

fn give(window: &mut TestWindow, command: Command) {
    apply(window.harness.state_mut(), command);
    window.settle();
}

fn select(window: &mut TestWindow, position: usize) -> StopId {
    let shows = window.evening().order.stops().iter().filter(|stop| stop.show().is_some());
    let stop = shows.map(|stop| stop.id).nth(position).expect("it is laid out");
    give(window, Command::Select(Some(Selected::Stop(stop))));
    stop
}

fn name(what: &str, palette: Palette) -> String {
    let lamp = if palette == Palette::Day { "day" } else { "red-lamp" };
    format!("{what}-{lamp}")
}

fn holds(window: &TestWindow, place: Rect, what: &str, palette: Palette) {
    is_as_kept(&name(what, palette), &window.picture_of(place), Path::new(WRITTEN_TO));
}

fn each(size: [f32; 2], look: impl Fn(&mut TestWindow, Palette)) {
    for palette in [Palette::Day, Palette::RedLamp] {
        let folder = TempDir::new().expect("a folder");
        look(&mut kept_evening(folder.path(), palette, size), palette);
    }
}

#[test]
fn a_stop_with_its_move() {
    each([2200.0, 900.0], |window, palette| {
        let stop = select(window, 2);
        give(window, Command::SetHeld(stop, evenfall_core::plan::Held { time: true, port: true }));
        let title = window
            .evening()
            .order
            .get(stop)
            .map(|stop| window.harness.state().open().expect("open").title(stop));
        let moved =
            window.harness.get_by_label_contains(&format!("Move to {}: ", title.expect("a title"))).rect();
        let place =
            Rect::from_min_size(moved.left_top() - vec2(40.0, 6.0), vec2(200.0, moved.height() + 12.0));
        holds(window, place, "stop", palette);
    });
}

#[test]
fn light_and_moon_and_closed_sky() {
    each([1366.0, 768.0], |window, palette| {
        let (from, to) = (Angle::from_degrees(90.0), Angle::from_degrees(180.0));
        give(window, Command::CloseSky(ClosedSky::new(from, to, None, None)));
        let light = window.harness.get_by_label_contains("Sky light: ").rect();
        let closed = window.harness.get_by_label_contains("Closed sky: ").rect();
        let place = Rect::from_min_max(light.left_top(), egui::pos2(light.left() + 260.0, closed.bottom()));
        holds(window, place, "light", palette);
    });
}

#[test]
fn the_unrolled_sky() {
    each([940.0, 620.0], |window, palette| {
        select(window, 2);
        give(window, Command::ToggleSky);
        let sky = window.harness.get_by_label("The sky unrolled").rect();
        holds(window, Rect::from_center_size(sky.center(), vec2(300.0, 300.0)), "sky", palette);
    });
}

#[test]
fn the_sky_of_a_lane() {
    each([1366.0, 768.0], |window, palette| {
        let stop = select(window, 2);
        let title =
            window.harness.state().open().expect("open").title(window.evening().order.get(stop).expect("it"));
        let block = window.harness.get_by_label_contains(&format!(": {title} on ")).rect();
        let left = block.left() - 60.0;
        let place =
            Rect::from_min_max(egui::pos2(left, block.top()), egui::pos2(left + 260.0, block.bottom() + 2.0));
        holds(window, place, "lane", palette);
    });
}

#[test]
fn a_row_of_the_shelf() {
    each([1366.0, 768.0], |window, palette| {
        let stop = select(window, 2);
        let open = window.harness.state().open().expect("open");
        let title = open.title(window.evening().order.get(stop).expect("the stop"));
        give(window, Command::Search(title.clone()));
        let row = window.harness.get_by_label_contains(&format!("{title}, ")).rect();
        holds(window, row, "row", palette);
    });
}
