//! The line before the eyepiece on the Board: its waits are read, whatever the length of the evening.

use egui::{Color32, Rect, Shape, pos2};
use egui_kittest::kittest::Queryable;
use evenfall_tests::harness::{TestWindow, changed_demo, long_demo};
use tempfile::TempDir;

/// What is painted in the strip of the line.
struct Strip {
    /// Each wait with its place, in the order of painting.
    waits: Vec<(String, Rect)>,
    /// The outlines of lines, as their corners.
    lines: Vec<Vec<egui::Pos2>>,
    /// Grounds, with their colours.
    grounds: Vec<(Rect, Color32)>,
}

fn strip(window: &TestWindow) -> Strip {
    let rect = window.harness.get_by_label("In line at the eyepiece").rect();
    let mut strip = Strip { waits: Vec::new(), lines: Vec::new(), grounds: Vec::new() };
    for clipped in &window.harness.output().shapes {
        match &clipped.shape {
            Shape::Text(text) => {
                let place = text.galley.rect.translate(text.pos.to_vec2());
                let words = text.galley.text();
                if rect.expand(1.0).contains_rect(place.shrink2(egui::vec2(0.0, 3.0)))
                    && words.ends_with(" min")
                {
                    strip.waits.push((words.to_owned(), place));
                }
            }
            Shape::Path(path) if path.points.iter().all(|corner| rect.expand(1.0).contains(*corner)) => {
                strip.lines.push(path.points.clone());
            }
            Shape::Rect(ground) if rect.expand(1.0).intersects(ground.rect) => {
                strip.grounds.push((ground.rect, ground.fill));
            }
            _ => {}
        }
    }
    strip
}

/// Whether a broken line runs through a place.
fn runs_through(line: &[egui::Pos2], place: Rect) -> bool {
    line.windows(2).any(|side| {
        (0..=40).any(|step| {
            let share = step as f32 / 40.0;
            let along = |from: f32, to: f32| from + share * (to - from);
            place.contains(pos2(along(side[0].x, side[1].x), along(side[0].y, side[1].y)))
        })
    })
}

#[test]
fn no_wait_covers_another_or_is_struck_through_by_a_line() {
    let folder = TempDir::new().expect("a folder");
    // Seven hours, of which only the last are dark: all stops stand close together.
    let afternoon = changed_demo(
        folder.path(),
        &[
            ("2027-03-13", "2026-11-26"),
            (
                "doors_open: \"18:30\", doors_close: \"22:30\"",
                "doors_open: \"12:10\", doors_close: \"19:30\"",
            ),
            ("start: \"18:30\"", "start: \"12:10\""),
            ("start: \"20:20\"", "start: \"14:20\""),
            ("start: \"22:20\"", "start: \"19:20\""),
        ],
    );
    let other = TempDir::new().expect("a folder");
    let mut told = 0;
    for evening in [afternoon, long_demo(other.path())] {
        let window = TestWindow::open([1366.0, 768.0], 1.0, Some(evening));
        let strip = strip(&window);
        assert!(
            strip.waits.first().is_some_and(|(words, _)| words.starts_with("wait ")),
            "{:?}",
            strip.waits
        );
        assert!(!strip.lines.is_empty());
        for (position, (words, place)) in strip.waits.iter().enumerate() {
            // Between its letters and its box a line of type has this much air.
            let letters = place.shrink2(egui::vec2(0.5, 3.0));
            for (others, other) in &strip.waits[position + 1..] {
                assert!(!letters.intersects(*other), "{words} at {place:?} covers {others} at {other:?}");
            }
            let on_ground =
                strip.grounds.iter().any(|(ground, fill)| fill.a() == 255 && ground.contains_rect(letters));
            let struck = strip.lines.iter().find(|line| runs_through(line, letters));
            assert!(struck.is_none() || (position == 0 && on_ground), "{words} at {place:?}: {struck:?}");
            told += 1;
        }
    }
    assert!(told >= 3, "only {told} waits are told");
}
