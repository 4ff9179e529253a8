//! The window driven by a test: no display, no graphics card, files in a folder of the test.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::thread;
use std::time::Duration;

use egui::os::OperatingSystem;
use egui::{Modifiers, Pos2, Rect, Ui, UiBuilder};
use egui_kittest::Harness;
use evenfall_app::shell::Machine;
use evenfall_app::state::{AppState, Effort, Opened, Outside, Stock, Written};
use evenfall_app::ui::{ask_inside, set_up, show};
use evenfall_core::plan::Evening;
use evenfall_core::time::Instant;
use image::RgbaImage;
use tempfile::TempDir;

use crate::many_targets::many_targets;
use crate::pictures::part;
use crate::soft_renderer::SoftRenderer;

/// Longest wait for the worker: an optimised sky takes well under a second, one without optimisation some.
const PATIENCE: Duration = Duration::from_mins(1);

/// Work for a draft in a test: enough to see it get better.
pub const TEST_EFFORT: Effort = Effort { draft: 40_000, appraisal: 20_000, bound: 40_000 };

/// This machine with its clock stopped.
pub struct Stopped {
    /// What the clock says.
    pub now: Instant,
}

impl Outside for Stopped {
    fn demo(&self) -> Result<Opened, String> {
        Machine.demo()
    }

    fn open(&self, path: &Path) -> Result<Opened, String> {
        Machine.open(path)
    }

    fn now(&self) -> Instant {
        self.now
    }

    fn is_there(&self, path: &Path) -> bool {
        Machine.is_there(path)
    }

    fn save(
        &self,
        path: &Path,
        evening: &Evening,
        stock: &Stock,
        came_from: Option<&Path>,
        expected: Option<&str>,
    ) -> Result<Written, String> {
        Machine.save(path, evening, stock, came_from, expected)
    }

    fn save_part(&self, path: &Path, text: &str, expected: Option<&str>) -> Result<Option<String>, String> {
        Machine.save_part(path, text, expected)
    }

    fn list_bytes(&self, path: &Path) -> Result<Vec<u8>, String> {
        Machine.list_bytes(path)
    }

    fn read_text(&self, path: &Path) -> Result<String, String> {
        Machine.read_text(path)
    }

    fn write(&self, path: &Path, bytes: &[u8]) -> Result<(), String> {
        Machine.write(path, bytes)
    }

    fn make_folder(&self, path: &Path) -> Result<(), String> {
        Machine.make_folder(path)
    }

    fn old_text(&self, path: &Path) -> Option<String> {
        Machine.old_text(path)
    }

    fn font(&self) -> &'static [u8] {
        Machine.font()
    }
}

/// The window of a test.
pub struct TestWindow {
    /// Queries and events.
    pub harness: Harness<'static, AppState>,
    /// A folder for files.
    pub folder: TempDir,
    renderer: SoftRenderer,
}

impl TestWindow {
    /// The window with the demonstration, laid out, 1280 by 800 points.
    pub fn demo() -> Self {
        Self::open([1280.0, 800.0], 1.0, None)
    }

    /// A window of a size in points and a scale, with an evening or the demonstration, laid out.
    pub fn open(size: [f32; 2], pixels_per_point: f32, evening: Option<PathBuf>) -> Self {
        Self::in_a_world(Arc::new(Machine), TEST_EFFORT, (size, pixels_per_point), evening)
    }

    /// The window in an outside world, with so much work for a draft.
    pub fn in_a_world(
        outside: Arc<dyn Outside>,
        effort: Effort,
        (size, pixels_per_point): ([f32; 2], f32),
        evening: Option<PathBuf>,
    ) -> Self {
        let mut window = Self::begun(outside, effort, (size, pixels_per_point), evening);
        window.settle();
        window
    }

    /// The same with everything still under way.
    pub fn begun(
        outside: Arc<dyn Outside>,
        effort: Effort,
        (size, pixels_per_point): ([f32; 2], f32),
        evening: Option<PathBuf>,
    ) -> Self {
        let renderer = SoftRenderer::default();
        let state = AppState::with_effort(outside, evening, effort);
        let harness = Harness::builder()
            .with_size(size)
            .with_pixels_per_point(pixels_per_point)
            .with_os(OperatingSystem::Nix)
            .with_context_setup(set_up)
            .renderer(renderer.clone())
            .build_ui_state(frame, state);
        let folder = TempDir::new().unwrap_or_else(|error| panic!("no folder for the test: {error}"));
        Self { harness, folder, renderer }
    }

    /// Runs frames until nothing is under way.
    pub fn settle(&mut self) {
        let started = std::time::Instant::now();
        loop {
            self.harness.step();
            if !self.harness.state().is_busy() {
                break;
            }
            assert!(started.elapsed() < PATIENCE, "the worker did not answer");
            thread::sleep(Duration::from_millis(5));
        }
        self.harness.run_steps(3);
    }

    /// Runs frames until how good the order is and why it is so are known as well.
    pub fn settle_all(&mut self) {
        self.settle();
        let started = std::time::Instant::now();
        while self.harness.state().is_appraising() || self.harness.state().is_explaining() {
            self.harness.step();
            assert!(started.elapsed() < PATIENCE, "the worker did not answer");
            thread::sleep(Duration::from_millis(5));
        }
        self.harness.run_steps(3);
    }

    /// Presses a key and lets everything settle.
    pub fn press(&mut self, modifiers: Modifiers, key: egui::Key) {
        self.harness.key_press_modifiers(modifiers, key);
        self.settle();
    }

    /// Types text where the keyboard is.
    pub fn type_text(&mut self, text: &str) {
        self.harness.event(egui::Event::Text(text.to_owned()));
        self.settle();
    }

    /// Drags from one point to another with the button down.
    pub fn drag(&mut self, from: Pos2, to: Pos2) {
        self.lift(from, to);
        self.harness.drop_at(to);
        self.settle();
    }

    /// Takes hold at one point and moves to another; the button stays down.
    pub fn lift(&mut self, from: Pos2, to: Pos2) {
        self.harness.hover_at(from);
        self.harness.drag_at(from);
        for share in [0.2, 0.6, 1.0] {
            self.harness.hover_at(from + (to - from) * share);
        }
        self.harness.run_steps(2);
    }

    /// The picture of the last frame.
    pub fn picture(&self) -> RgbaImage {
        self.renderer.picture(&self.harness.ctx, self.harness.output())
    }

    /// The picture of a part of the last frame, in points of one pixel.
    pub fn picture_of(&self, place: Rect) -> RgbaImage {
        let output = self.harness.output();
        part(&self.renderer.picture_within(&self.harness.ctx, output, place.expand(1.0)), place)
    }

    /// The evening as it stands.
    pub fn evening(&self) -> &Evening {
        let open = self.harness.state().open();
        &open.unwrap_or_else(|| panic!("no evening is open")).document.evening
    }
}

/// The demonstration's files in a folder, its evening changed word by word; gives back the evening's path.
pub fn changed_demo(folder: &Path, changes: &[(&str, &str)]) -> PathBuf {
    const EVENING: &str = "heron-fell.evening.ron";
    for name in ["heron-fell.catalogue.ron", "heron-fell.site.ron", "heron-fell.rig.ron", EVENING] {
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../catalog-demo").join(name);
        let mut text = fs::read_to_string(demo).unwrap_or_else(|error| panic!("{name}: {error}"));
        for (from, to) in changes.iter().filter(|_| name == EVENING) {
            assert!(text.contains(from), "{name} does not hold {from}");
            text = text.replace(from, to);
        }
        fs::write(folder.join(name), text).unwrap_or_else(|error| panic!("{name}: {error}"));
    }
    folder.join(EVENING)
}

/// The demonstration with so many invented targets in its catalogue's place; gives back the evening's path.
pub fn crowded_demo(folder: &Path, count: usize) -> PathBuf {
    let evening = changed_demo(folder, &[]);
    fs::write(folder.join("heron-fell.catalogue.ron"), many_targets(7, count))
        .unwrap_or_else(|error| panic!("the catalogue: {error}"));
    evening
}

/// The demonstration on a night in which the clocks change, with doors open from 22:00 to 03:30.
pub fn late_demo(folder: &Path, date: &str) -> PathBuf {
    let changes = [
        ("2027-03-13", date),
        ("doors_open: \"18:30\", doors_close: \"22:30\"", "doors_open: \"22:00\", doors_close: \"03:30\""),
        ("start: \"18:30\"", "start: \"22:00\""),
        ("start: \"20:20\"", "start: \"00:30\""),
        ("start: \"22:20\"", "start: \"03:20\""),
    ];
    changed_demo(folder, &changes)
}

/// The demonstration with doors open for six hours.
pub fn long_demo(folder: &Path) -> PathBuf {
    let changes = [
        ("doors_open: \"18:30\", doors_close: \"22:30\"", "doors_open: \"18:30\", doors_close: \"00:30\""),
        ("start: \"22:20\"", "start: \"00:20\""),
    ];
    changed_demo(folder, &changes)
}

/// A frame as the real window draws it, with paths asked for inside the window.
fn frame(ui: &mut Ui, state: &mut AppState) {
    // The harness leaves a margin that a real window does not have.
    let whole = UiBuilder::new().max_rect(ui.ctx().content_rect());
    show(&mut ui.new_child(whole), state);
    ask_inside(state);
}
