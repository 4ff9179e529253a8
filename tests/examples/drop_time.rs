//! Measures a drag on the Board, without a display: each frame in which the pointer moves (what the drop would do is judged,
//! drawn and tessellated), and from the drop to the frame that shows the new order, judged again.
//!
//! Processor time of the window's thread, so that other work on the machine does not count; on Linux only.
//!
//! `cargo run --release -p evenfall-tests --example drop_time`

use std::fs::read_to_string;

use egui::{Key, Modifiers, Rect, vec2};
use egui_kittest::kittest::Queryable;
use evenfall_tests::harness::TestWindow;

const DRAGS: usize = 30;
const MOVES: usize = 10;

fn main() {
    for ripple in [false, true] {
        let mut window = TestWindow::demo();
        if ripple {
            window.press(Modifiers::NONE, Key::M);
        }
        window.settle_all();
        let (mut dragged, mut dropped) = (Vec::new(), Vec::new());
        for drag in 0..DRAGS {
            let Some(rect) = block(&window, drag) else { continue };
            let way = if drag % 2 == 0 { 80.0 } else { -80.0 };
            window.harness.hover_at(rect.center());
            window.harness.drag_at(rect.center());
            window.harness.run_steps(2);
            for step in 1..=MOVES {
                let to = rect.center() + vec2(way * step as f32 / MOVES as f32, 0.0);
                window.harness.hover_at(to);
                // The command of one frame is what the next one shows.
                window.harness.step();
                dragged.push(frame_ms(&mut window));
            }
            let to = rect.center() + vec2(way, 0.0);
            window.harness.drop_at(to);
            let started_ms = processor_ms();
            window.harness.step();
            frame_ms(&mut window);
            dropped.push(processor_ms() - started_ms);
            window.settle_all();
            window.press(Modifiers::COMMAND, Key::Z);
            window.settle_all();
        }
        let stops = window.evening().order.stops().len();
        let along = if ripple { "the rest moved along" } else { "alone" };
        println!("{stops} stops, {along}:");
        tell("a frame while dragging", &mut dragged);
        tell("from the drop to the new order drawn", &mut dropped);
    }
}

/// One frame, drawn and tessellated, in milliseconds.
fn frame_ms(window: &mut TestWindow) -> f64 {
    let started_ms = processor_ms();
    window.harness.step();
    let shapes = window.harness.output().shapes.clone();
    let pieces = window.harness.ctx.tessellate(shapes, 1.0);
    assert!(!pieces.is_empty());
    processor_ms() - started_ms
}

/// What this thread has had of the processor, in milliseconds.
fn processor_ms() -> f64 {
    let told = read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    let nanoseconds = told.split_whitespace().next().and_then(|first| first.parse::<f64>().ok());
    nanoseconds.unwrap_or(f64::NAN) / 1e6
}

/// The place of a stop that shows a target.
fn block(window: &TestWindow, drag: usize) -> Option<Rect> {
    let open = window.harness.state().open()?;
    let stops = open.document.evening.order.stops();
    let position = drag % stops.len();
    stops[position].show()?;
    let name = format!("Stop {}: {} ", position + 1, open.title(&stops[position]));
    Some(window.harness.get_by_label_contains(&name).rect())
}

fn tell(what: &str, measured_ms: &mut [f64]) {
    measured_ms.sort_by(f64::total_cmp);
    let at = |share: f64| measured_ms[((measured_ms.len() - 1) as f64 * share).round() as usize];
    println!(
        "  {what}: {:.1} ms in the middle, 95 in 100 within {:.1} ms, at most {:.1} ms",
        at(0.5),
        at(0.95),
        at(1.0)
    );
}
