//! The Board as it is painted: words clear of blocks, and what is held marked by shape.

use egui::{Key, Modifiers, Rect, Shape};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{Command, Selected, apply};
use evenfall_core::plan::longest_wait;
use evenfall_core::sheet::numbers;
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

/// Every piece of text that was painted, along or up, its lines joined, with its place.
fn words(window: &TestWindow) -> Vec<(String, Rect)> {
    let shapes = window.harness.output().shapes.iter();
    let words = shapes.filter_map(|clipped| match &clipped.shape {
        Shape::Text(text) => Some((text.galley.text().replace('\n', " "), text.visual_bounding_rect())),
        _ => None,
    });
    words.collect()
}

fn names_stand_clear(window: &TestWindow) {
    let blocks = blocks(window);
    let lanes = blocks.iter().fold(Rect::NOTHING, |all, (_, _, rect)| all.union(*rect));
    let words: Vec<_> = words(window).into_iter().filter(|(_, place)| lanes.intersects(*place)).collect();
    for (number, title, own) in &blocks {
        // In a narrow block the first word stands for the name.
        let first = title.strip_prefix("The ").unwrap_or(title).split(' ').next().unwrap_or_default();
        let shortened = [first.to_owned(), format!("{first}…"), number.to_string()];
        let lane = own.expand2(egui::vec2(f32::INFINITY, 3.0));
        let named: Vec<_> = words
            .iter()
            .filter(|(words, place)| {
                let up = words.strip_prefix(title.as_str()).is_some_and(|clock| clock.starts_with("  "));
                (words == title || up || shortened.contains(words)) && lane.contains_rect(*place)
            })
            .collect();
        let entry = own.height() > lanes.height() - 1.0;
        // Beside the path of what is selected stands its name as well.
        let selected = window.harness.state().selected_stop().map(|stop| stop.id);
        let is_selected = selected == Some(window.evening().order.stops()[number - 1].id);
        let times = if is_selected { 1..=2 } else { 1..=1 };
        assert!(entry || times.contains(&named.len()), "{title} is written {} times", named.len());
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

#[test]
fn the_value_of_a_stop_tells_how_high_its_target_stands() {
    let window = TestWindow::demo();
    let open = window.harness.state().open().expect("an evening is open");
    let mut told = 0;
    for (number, title, _) in blocks(&window) {
        let stop = &window.evening().order.stops()[number - 1];
        let label = format!("Stop {number}: {title} ");
        let value = window.harness.get_by_label_contains(&label).accesskit_node().value();
        let Some((target, _)) = open.target(stop) else {
            assert_eq!(value, None, "{title} shows nothing of the sky");
            continue;
        };
        let altitude = |at| open.derived.prepared.sample(target, at).expect("computed").altitude;
        let degrees = |at| numbers::degrees(altitude(at));
        let words = format!("altitude {} to {}", degrees(stop.start()), degrees(stop.end()));
        assert_eq!(value, Some(words));
        told += 1;
    }
    assert!(told >= 8, "only {told} stops");
}

#[test]
fn the_path_of_what_is_selected_goes_on_with_its_airmass() {
    let mut window = TestWindow::demo();
    // The first of a path in words, the number last: with the name and the altitude where there is room.
    let airmass = |words: &str| words.rsplit_once("airmass ")?.1.parse::<f64>().ok();
    let told = |window: &TestWindow| {
        let all = words(window).into_iter();
        all.filter_map(|(words, place)| Some((airmass(&words)?, place))).collect::<Vec<_>>()
    };
    apply(window.harness.state_mut(), Command::Select(None));
    window.settle();
    assert_eq!(told(&window), [], "nothing is selected");
    for (number, title, rect) in blocks(&window) {
        let stop = window.evening().order.stops()[number - 1].clone();
        apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(stop.id))));
        window.settle();
        let told = told(&window);
        let open = window.harness.state().open().expect("an evening is open");
        let Some((target, _)) = open.target(&stop) else {
            assert_eq!(told, [], "{title} has no path");
            continue;
        };
        let [(airmass, place)] = &told[..] else { continue };
        assert!(rect.y_range().contains(place.center().y), "{title}: {airmass} stands in another lane");
        let span = open.shown_span(window.harness.state().view.span);
        let axis = window.harness.get_by_label("Clock GMT").rect();
        let passed = (0..=span.minutes() as i32).any(|minute| {
            let at = span.start().plus_minutes(f64::from(minute));
            let x = axis.left() + (f64::from(minute) / span.minutes()) as f32 * axis.width();
            let there = open.derived.prepared.sample(target, at).and_then(|sample| sample.airmass);
            let near = (place.left() - 4.0..=place.right() + 4.0).contains(&x);
            near && there.is_some_and(|there| (there - airmass).abs() < 0.02)
        });
        assert!(passed, "{title} has no airmass {airmass} near {place:?}");
    }
    // The Moon goes down through this evening.
    let moon = window.evening().order.stops()[1].id;
    apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(moon))));
    window.settle();
    assert_eq!(told(&window).len(), 1);
}

#[test]
fn nothing_that_the_board_tells_lies_over_a_dialog() {
    let mut window = TestWindow::demo();
    let (number, title, rect) = blocks(&window).into_iter().nth(1).expect("the demo has stops");
    let tells = format!("Stop {number}: {title} ");
    let told = |window: &TestWindow| words(window).iter().any(|(words, _)| words.starts_with(&tells));
    window.harness.hover_at(rect.center());
    // Longer than a tooltip waits.
    for _ in 0..60 {
        window.harness.step();
    }
    assert!(told(&window), "the stop under the pointer is told");
    window.harness.key_press_modifiers(Modifiers::COMMAND, Key::K);
    window.harness.step();
    window.harness.step();
    assert!(window.harness.state().view.dialog.is_some());
    assert!(!told(&window), "a tooltip lies over the dialog");
}

/// The demonstration with an invented satellite whose pass is highest at 19:22 by another library (skyfield 1.55).
#[test]
fn a_pass_of_a_satellite_is_an_event_of_the_night() {
    const SATELLITE: &str =
        "  ],\n  satellites: [\n    (name: \"MILL POND\", epoch_utc: \"2027-03-12T14:24:00Z\",
      mean_motion_rev_per_day: 15.5, eccentricity: 0.0004, inclination_deg: 51.64, ascending_node_deg: 0.0,
      perigee_argument_deg: 30.0, mean_anomaly_deg: 170.0, bstar: 0.000012),\n  ],\n)";
    let folder = TempDir::new().expect("a folder");
    let evening = changed_demo(folder.path(), &[]);
    let path = folder.path().join("heron-fell.catalogue.ron");
    let catalogue = std::fs::read_to_string(&path).expect("the demonstration's catalogue");
    let end = catalogue.rfind(']').expect("the list of targets ends");
    let with_satellite =
        format!("{}{}\n", &catalogue[..end].trim_end(), &SATELLITE.replacen("  ],", "],", 1));
    std::fs::write(&path, with_satellite).expect("written");
    let window = TestWindow::open([1280.0, 800.0], 1.0, Some(evening));
    let node = window.harness.get_by_label_contains("Sky light: ");
    let label = node.accesskit_node().label().unwrap_or_default();
    assert!(label.contains("MILL POND passes 19:22"), "{label}");
    assert!(words(&window).iter().any(|(text, _)| text == "MILL POND passes 19:22"), "it is painted too");
}
