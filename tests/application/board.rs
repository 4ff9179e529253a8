//! The Board as it is painted: words clear of blocks, and what is held marked by shape.

use egui::{Key, Modifiers, Rect, Shape};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{Command, Selected, apply};
use evenfall_core::plan::longest_wait;
use evenfall_tests::harness::{TestWindow, changed_demo, late_demo};
use tempfile::TempDir;

/// Every stop's number, title and place on the Board.
fn blocks(window: &TestWindow) -> Vec<(usize, String, Rect)> {
    let open = window.harness.state().open().expect("an evening is open");
    let stops = window.evening().order.stops().iter().enumerate();
    let block = |(position, stop)| {
        let title = open.title(stop);
        let label = format!("Stop {}: {title} ", position + 1);
        (position + 1, title, window.harness.get_by_label_contains(&label).rect())
    };
    stops.map(block).collect()
}

/// Every piece of upright text that was painted, its lines joined, with its place.
fn words(window: &TestWindow) -> Vec<(String, Rect)> {
    let shapes = window.harness.output().shapes.iter();
    let words = shapes.filter_map(|clipped| match &clipped.shape {
        Shape::Text(text) if text.angle == 0.0 => {
            Some((text.galley.text().replace('\n', " "), text.galley.rect.translate(text.pos.to_vec2())))
        }
        _ => None,
    });
    words.collect()
}

fn names_stand_clear(window: &TestWindow) {
    let blocks = blocks(window);
    let lanes = blocks.iter().fold(Rect::NOTHING, |all, (_, _, rect)| all.union(*rect));
    let words: Vec<_> = words(window).into_iter().filter(|(_, place)| lanes.intersects(*place)).collect();
    for (number, title, own) in &blocks {
        let lane = own.expand2(egui::vec2(f32::INFINITY, 3.0));
        let named: Vec<_> = words
            .iter()
            .filter(|(words, place)| {
                (words == title || *words == number.to_string()) && lane.contains_rect(*place)
            })
            .collect();
        let entry = own.height() > lanes.height() - 1.0;
        assert!(entry || named.len() == 1, "{title} is written {} times", named.len());
        for (_, place) in named {
            let inside = own.contains_rect(*place);
            let strikes =
                blocks.iter().any(|(other, _, rect)| other != number && rect.intersects(place.shrink(0.5)));
            assert!(inside || !strikes, "the words of {title} at {place:?} run over another stop");
        }
    }
}

#[test]
fn the_words_of_a_stop_never_run_over_another() {
    for size in [[1280.0, 800.0], [1024.0, 700.0], [853.0, 533.0]] {
        let mut window = TestWindow::open(size, 1.0, None);
        names_stand_clear(&window);
        window.press(Modifiers::NONE, Key::N);
        names_stand_clear(&window);
    }
    let folder = TempDir::new().expect("a folder");
    let evening = late_demo(folder.path(), "2027-10-30");
    names_stand_clear(&TestWindow::open([1280.0, 800.0], 1.0, Some(evening)));
}

#[test]
fn a_held_stop_is_marked_on_a_block_that_bears_no_words() {
    let mut window = TestWindow::demo();
    let narrow = blocks(&window).into_iter().min_by(|one, other| one.2.width().total_cmp(&other.2.width()));
    let (number, title, rect) = narrow.expect("the demo has stops");
    assert!(rect.width() < 20.0, "{title} is {} wide", rect.width());
    let brightness = |window: &TestWindow| {
        // Right of the port's stripe, left of and above the corner's slope.
        let pixel = window.picture().get_pixel(rect.left() as u32 + 6, rect.top() as u32 + 3).0;
        pixel[..3].iter().map(|value| u32::from(*value)).sum::<u32>()
    };
    window.harness.get_by_label_contains(&format!("Stop {number}: {title} ")).focus();
    window.settle();
    let free = brightness(&window);
    window.press(Modifiers::NONE, Key::H);
    assert!(brightness(&window) + 300 < free, "{} then {free}", brightness(&window));
    window.press(Modifiers::NONE, Key::H);
    assert_eq!(brightness(&window), free);
}

#[test]
fn the_line_at_the_eyepiece_is_told_with_its_longest_wait() {
    let mut window = TestWindow::demo();
    let told = |window: &TestWindow| {
        let node = window.harness.get_by_label("In line at the eyepiece");
        let room = node.rect();
        assert!(room.height() >= 24.0, "{room:?}");
        node.accesskit_node().value().unwrap_or_default()
    };
    let open = window.harness.state().open().expect("an evening is open");
    let longest = longest_wait(&open.derived.line).expect("somebody waits");
    let words = told(&window);
    let wait = format!("{:.0} in line, wait {:.0} min", longest.people, longest.wait_minutes);
    assert!(words.contains(&wait) && words.contains(" on average"), "{wait} is not in {words}");
    // The wait stands beside the place where it is longest.
    let wait = format!("wait {:.0} min", longest.wait_minutes);
    assert!(self::words(&window).iter().any(|(words, _)| *words == wait), "{wait}");
    // Without stops nobody waits.
    let stops: Vec<_> = window.evening().order.stops().iter().map(|stop| stop.id).collect();
    for stop in stops {
        apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(stop))));
        apply(window.harness.state_mut(), Command::Remove);
    }
    window.settle();
    assert_eq!(told(&window), "nobody waits");
}

#[test]
fn row_38_a_talk_at_the_screen_lies_in_the_lane_of_its_screen() {
    let folder = TempDir::new().expect("a folder");
    let talk =
        "(kind: ScreenTalk, start: \"19:55\", minutes: 15.0, title: \"The picture\"),\n      (kind: Welcome";
    let evening = changed_demo(folder.path(), &[("(kind: Welcome", talk)]);
    let window = TestWindow::open([1280.0, 800.0], 1.0, Some(evening));
    let open = window.harness.state().open().expect("an evening is open");
    let talk = open.document.evening.order.stops().iter().find(|stop| stop.is_screen_talk());
    let number =
        talk.and_then(|talk| open.document.evening.order.stops().iter().position(|stop| stop.id == talk.id));
    let number = number.expect("the programme's talk is laid out") + 1;
    let begins = format!("Stop {number}: The picture on ");
    let node = window.harness.get_by_label_contains(&begins);
    let label = node.accesskit_node().label().unwrap_or_default();
    assert!(label.contains("camera") && !label.contains("Stopper"), "{label}");
    let entry = blocks(&window).into_iter().map(|(_, _, rect)| rect.height()).fold(0.0, f32::max);
    assert!(node.rect().height() < entry / 2.0, "{:?} is not one lane high", node.rect());
}
