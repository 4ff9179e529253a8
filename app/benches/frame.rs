//! How dear a frame of the window is without a graphics card: interface code and tessellation, an evening of 50 stops with
//! their paths in a window of 1366 by 768 points.
//!
//! `cargo bench -p evenfall --bench frame`. Behind the samples each frame is run once more beside `empty`, the same window
//! on an evening in which nothing is to be shown, turn by turn, and the ratio printed.

use std::path::Path;
use std::sync::Arc;
use std::thread::sleep;
use std::time::{Duration, Instant as Clock};

use chrono::NaiveTime;
use divan::{Bencher, black_box};
use egui::{Context, Event, Modifiers, PointerButton, Pos2, RawInput, Rect, vec2};
use evenfall_app::shell::Machine;
use evenfall_app::state::{AppState, Command, Effort, Opened, Outside, Stock, Written, apply};
use evenfall_app::ui::{set_up, show, stop_widget_id};
use evenfall_core::plan::{Evening, Held, RunningOrder, Show, Stop, StopId, What, prepare};
use evenfall_core::time::{Instant, Interval};

const STOPS: usize = 50;
/// One stop in so many is held; a new draft or a push may move the others.
const HELD_EVERY: usize = 10;
/// From one stop to the next, and how long each lasts.
const EVERY_MINUTES: f64 = 7.0;
const LONG_MINUTES: f64 = 5.0;
/// Frames before any is measured.
const WARM_UP: usize = 5;
/// Frames measured side by side.
const SAMPLES: usize = 200;

fn main() {
    divan::main();
    print_ratios();
}

/// The demonstration with doors open for six hours and so many stops.
struct Long {
    stops: usize,
}

impl Outside for Long {
    fn demo(&self) -> Result<Opened, String> {
        let mut opened = Machine.demo()?;
        let doors_close = NaiveTime::from_hms_opt(0, 30, 0).ok_or("half past midnight is a time")?;
        opened.evening.programme.doors_close = doors_close;
        if self.stops == 0 {
            // Nothing is left to draft.
            let all = opened.stock.catalogue.targets.iter().map(|target| target.id.clone());
            opened.evening.wishes.leave_out = all.collect();
        }
        let prepared =
            prepare(&opened.evening, &opened.stock.materials()).map_err(|error| error.to_string())?;
        let shown = prepared.availability.iter().zip(&prepared.ranked).enumerate();
        let shown = shown.filter(|(_, (availability, _))| availability.best.is_some());
        let stops = shown.take(self.stops).enumerate().filter_map(|(position, (target, (_, ranked)))| {
            let start = prepared.doors.start().plus_minutes(position as f64 * EVERY_MINUTES);
            let show = Show {
                target: opened.stock.catalogue.targets[target].id.clone(),
                port: opened.stock.rig.ports[ranked.first()?.port].id.clone(),
                eyepiece: None,
                understudy: None,
            };
            let is_held = position % HELD_EVERY == 0;
            Some(Stop {
                id: StopId(position as u32 + 1),
                what: What::Show(show),
                interval: Interval::new(start, start.plus_minutes(LONG_MINUTES))?,
                held: Held { time: is_held, port: is_held },
            })
        });
        opened.evening.order = RunningOrder::new(stops.collect());
        Ok(opened)
    }

    fn open(&self, path: &Path) -> Result<Opened, String> {
        Machine.open(path)
    }

    fn now(&self) -> Instant {
        Instant::J2000
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

    fn write(&self, path: &Path, bytes: &[u8]) -> Result<(), String> {
        Machine.write(path, bytes)
    }

    fn font(&self) -> &'static [u8] {
        Machine.font()
    }
}

/// A window at rest.
struct Window {
    context: Context,
    state: AppState,
    time: f64,
    /// Where a stop was taken hold of, and how far it is dragged, in points.
    held_at: Pos2,
    dragged: f32,
}

impl Window {
    fn new(stops: usize) -> Self {
        let context = Context::default();
        set_up(&context);
        let effort = Effort { draft: 1000, appraisal: 1000, bound: 1000 };
        let state = AppState::with_effort(Arc::new(Long { stops }), None, effort);
        let mut window = Self { context, state, time: 0.0, held_at: Pos2::ZERO, dragged: 0.0 };
        window.frame();
        while window.state.is_busy() || window.state.is_appraising() || window.state.is_explaining() {
            sleep(Duration::from_millis(5));
            window.frame();
        }
        let laid = window.state.open().map_or(0, |open| open.document.evening.order.stops().len());
        assert!(laid >= stops, "only {laid} stops");
        for _ in 0..WARM_UP {
            window.frame();
        }
        window
    }

    /// A window with a stop under the pointer; the rest moves along or not.
    fn held(ripple: bool) -> Self {
        let mut window = Self::new(STOPS);
        if ripple {
            apply(&mut window.state, Command::ToggleRipple);
        }
        window.take_hold();
        let moved = window.state.view.trial.as_ref().map_or(0, |trial| trial.moved.len());
        assert_eq!(moved > 0, ripple, "the rest moves along");
        window
    }

    fn frame(&mut self) -> usize {
        self.frame_with(Vec::new())
    }

    /// Interface code and tessellation; gives back how many meshes there are to paint.
    fn frame_with(&mut self, events: Vec<Event>) -> usize {
        self.time += 1.0 / 60.0;
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(1366.0, 768.0))),
            time: Some(self.time),
            events,
            ..RawInput::default()
        };
        let state = &mut self.state;
        let mut output = self.context.run_ui(input, |ui| show(ui, state));
        output.textures_delta.clear();
        let painted = self.context.tessellate(output.shapes, output.pixels_per_point);
        painted.len()
    }

    /// Takes hold of the stop in the middle with the pointer.
    fn take_hold(&mut self) {
        let order = self.state.open().map(|open| &open.document.evening.order);
        let stop = order.and_then(|order| order.stops().get(STOPS / 2)).expect("there are so many").id;
        let block = self.context.read_response(stop_widget_id(stop)).expect("it is on the Board");
        self.held_at = block.rect.center();
        let (pos, button, modifiers) = (self.held_at, PointerButton::Primary, Modifiers::NONE);
        self.frame_with(vec![Event::PointerMoved(pos)]);
        self.frame_with(vec![Event::PointerButton { pos, button, pressed: true, modifiers }]);
        for _ in 0..WARM_UP {
            self.dragging();
        }
        // What the Card tells of the stop comes after.
        while self.state.is_busy() {
            sleep(Duration::from_millis(5));
            self.dragging();
        }
        assert!(self.state.view.trial.is_some(), "it is dragged");
    }

    /// A frame with a stop under the pointer, some minutes on from the last: 10 to 50 points from where it was taken hold of.
    fn dragging(&mut self) -> usize {
        self.dragged = (self.dragged + 3.0) % 40.0;
        self.frame_with(vec![Event::PointerMoved(self.held_at + vec2(10.0 + self.dragged, 0.0))])
    }
}

#[divan::bench]
fn empty(bencher: Bencher) {
    let mut window = Window::new(0);
    bencher.bench_local(|| black_box(window.frame()));
}

#[divan::bench]
fn fifty_stops(bencher: Bencher) {
    let mut window = Window::new(STOPS);
    bencher.bench_local(|| black_box(window.frame()));
}

#[divan::bench]
fn fifty_stops_dragging(bencher: Bencher) {
    let mut window = Window::held(false);
    bencher.bench_local(|| black_box(window.dragging()));
}

#[divan::bench]
fn fifty_stops_dragging_the_rest_along(bencher: Bencher) {
    let mut window = Window::held(true);
    bencher.bench_local(|| black_box(window.dragging()));
}

#[allow(clippy::disallowed_macros, reason = "a bench prints what it measured")]
fn print_ratios() {
    println!("\n{:<28}{:>11}{:>11}{:>11}{:>8}", "milliseconds", "fastest", "median", "empty", "ratio");
    let (mut empty, mut full) = (Window::new(0), Window::new(STOPS));
    compare("50 stops with their paths", &mut empty, || full.frame());
    let mut full = Window::held(false);
    compare("the same while dragging", &mut empty, || full.dragging());
    let mut full = Window::held(true);
    compare("dragging the rest along", &mut empty, || full.dragging());
}

/// Prints fastest and median of a frame, and the median of an empty one, their samples taking turns.
#[allow(clippy::disallowed_macros, reason = "a bench prints what it measured")]
fn compare(name: &str, empty: &mut Window, mut ours: impl FnMut() -> usize) {
    let (mut of_ours, mut of_empty) = (Vec::new(), Vec::new());
    for _ in 0..SAMPLES {
        of_empty.push(milliseconds(|| empty.frame()));
        of_ours.push(milliseconds(&mut ours));
    }
    of_ours.sort_by(f64::total_cmp);
    of_empty.sort_by(f64::total_cmp);
    let (fastest, median, plain) = (of_ours[0], of_ours[SAMPLES / 2], of_empty[SAMPLES / 2]);
    println!("{name:<28}{fastest:>11.2}{median:>11.2}{plain:>11.2}{:>8.1}", median / plain);
}

#[allow(clippy::disallowed_methods, reason = "a bench has a clock")]
fn milliseconds(mut run: impl FnMut() -> usize) -> f64 {
    let start = Clock::now();
    black_box(run());
    start.elapsed().as_secs_f64() * 1e3
}
