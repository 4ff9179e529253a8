//! What the Board tells by drawing, and that all of it can be read: moves, slack, closed sky, UTC, names.

use std::collections::BTreeSet;

use chrono::NaiveTime;
use egui::epaint::ColorMode;
use egui::{Color32, Key, Modifiers, Pos2, Rect, Shape, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{Command, OpenEvening, Palette, Selected, Side, apply};
use evenfall_app::ui::theme::Tokens;
use evenfall_core::plan::{ClosedSky, Severity, StopTiming, free_minutes};
use evenfall_core::sheet::numbers;
use evenfall_core::units::Angle;
use evenfall_tests::harness::{TestWindow, late_demo, long_demo};
use tempfile::TempDir;

const SIZES: [[f32; 2]; 5] =
    [[1366.0, 768.0], [1280.0, 800.0], [1024.0, 700.0], [853.0, 533.0], [640.0, 400.0]];

fn open(window: &TestWindow) -> &OpenEvening {
    window.harness.state().open().expect("an evening is open")
}

/// The room of the Board: left of the Card, right of the Shelf, above the status bar.
fn board(window: &TestWindow) -> Rect {
    let name = window.harness.get_by_label("Board").rect();
    let last = window.harness.get_by_label("Sky").rect();
    let bottom = window.harness.ctx.content_rect().bottom() - 34.0;
    Rect::from_min_max(name.left_top(), egui::pos2(last.right(), bottom))
}

/// Every piece of upright text painted on the Board: its words, its place, and the part of the window it may cover.
fn words(window: &TestWindow) -> Vec<(String, Rect, Rect)> {
    let board = board(window).expand(1.0);
    let shapes = window.harness.output().shapes.iter();
    let words = shapes.filter_map(|clipped| match &clipped.shape {
        Shape::Text(text) if text.angle == 0.0 => {
            let place = text.galley.rect.translate(text.pos.to_vec2());
            let seen = place.intersect(clipped.clip_rect);
            let words = text.galley.text().replace('\n', " ");
            (board.contains(place.center()) && seen.is_positive() && !words.is_empty()).then_some((
                words,
                place,
                clipped.clip_rect,
            ))
        }
        _ => None,
    });
    words.collect()
}

fn close_south_east(window: &mut TestWindow) {
    let clock = |hour, minute| NaiveTime::from_hms_opt(hour, minute, 0);
    let (from, to) = (Angle::from_degrees(90.0), Angle::from_degrees(180.0));
    let closed = ClosedSky::new(from, to, clock(20, 30), clock(22, 45));
    apply(window.harness.state_mut(), Command::CloseSky(closed));
    window.settle();
}

#[test]
fn six_hours_are_read_at_a_glance_without_scrolling() {
    let folder = TempDir::new().expect("a folder");
    let mut window = TestWindow::open([1366.0, 768.0], 1.0, Some(long_demo(folder.path())));
    for with_utc in [false, true] {
        let board = board(&window);
        for part in ["Sky light: ", " lit at ", "Telescope: ", "In line at the eyepiece"] {
            let rect = window.harness.get_by_label_contains(part).rect();
            assert!(board.contains_rect(rect), "{part} at {rect:?} reaches out of {board:?}");
        }
        let painted = words(&window);
        for hour in ["19:00", "20:00", "21:00", "22:00", "23:00", "00:00"] {
            let times = painted.iter().filter(|(words, ..)| words == hour).count();
            assert_eq!(times, if with_utc { 2 } else { 1 }, "{hour}");
        }
        // Every stop has its name, along or up, and a sky in which 40 degrees are told from 50.
        let shapes = window.harness.output().shapes.iter();
        let painted: Vec<String> = shapes
            .filter_map(|clipped| match &clipped.shape {
                Shape::Text(text) => Some(text.galley.text().replace('\n', " ")),
                _ => None,
            })
            .collect();
        for stop in window.evening().order.stops().iter().filter(|stop| stop.show().is_some()) {
            let title = open(&window).title(stop);
            assert!(painted.iter().any(|words| words.starts_with(&title)), "{title} has no name");
            let block = window.harness.get_by_label_contains(&format!(": {title} on ")).rect();
            assert!(board.contains_rect(block) && block.height() >= 60.0, "{title} at {block:?}");
        }
        window.press(Modifiers::NONE, Key::Z);
    }
}

#[test]
fn the_sky_light_is_painted_from_the_brightness_that_is_computed_for_each_minute() {
    let mut window = TestWindow::open([1366.0, 768.0], 1.0, None);
    apply(window.harness.state_mut(), Command::ToggleSpan);
    window.settle();
    let state = window.harness.state();
    let (span, prepared) = (open(&window).shown_span(state.view.span), &open(&window).derived.prepared);
    let band = window.harness.get_by_label_contains("Sky light: ").rect();
    let axis = window.harness.get_by_label("Clock GMT").rect();
    let picture = window.picture();
    let levels: Vec<(f64, u32)> = (1..24)
        .map(|part| {
            let at = span.start().plus_minutes((span.minutes() * f64::from(part) / 24.0).round());
            let x = axis.left() + (at.minutes_since(span.start()) / span.minutes()) as f32 * axis.width();
            // In the middle of some: the line of an event may stand there.
            let mut near: Vec<u32> = (0..7)
                .map(|beside| picture.get_pixel(x as u32 + beside - 3, band.top() as u32 + 4).0)
                .map(|pixel| pixel[..3].iter().map(|part| u32::from(*part)).sum())
                .collect();
            near.sort_unstable();
            (prepared.moments[prepared.moment_index(at)].zenith.0, near[3])
        })
        .collect();
    let (brightest, darkest) = (levels[0], levels[levels.len() - 1]);
    assert!(darkest.0 - brightest.0 > 5.0, "from sunset to night: {levels:?}");
    for (mag, level) in &levels {
        for (other_mag, other_level) in &levels {
            // A tenth of a magnitude is no more than a step of a colour; past the brightest and the darkest all is one colour.
            assert!(mag - other_mag < 0.1 || level <= other_level, "{mag} and {other_mag}: {levels:?}");
        }
    }
    let shades: BTreeSet<u32> = levels.iter().map(|(_, level)| *level).collect();
    assert!(shades.len() > 6, "not a few painted steps: {levels:?}");
}

#[test]
fn every_stop_of_the_demonstration_has_a_name_in_a_small_window() {
    let window = TestWindow::open([1024.0, 700.0], 1.0, None);
    let lanes = window.harness.get_by_label("Clock GMT").rect().x_range();
    let shapes = window.harness.output().shapes.iter();
    let painted: Vec<String> = shapes
        .filter_map(|clipped| match &clipped.shape {
            Shape::Text(text) if lanes.contains(text.pos.x) => Some(text.galley.text().replace('\n', " ")),
            _ => None,
        })
        .collect();
    for stop in window.evening().order.stops().iter().filter(|stop| stop.show().is_some()) {
        let title = open(&window).title(stop);
        let first = title.split(' ').find(|word| *word != "The").expect("a name");
        assert!(painted.iter().any(|words| words.contains(first)), "{title} has no name: {painted:?}");
    }
}

#[test]
fn the_share_of_the_moon_on_the_board_is_that_of_the_minute_it_names() {
    let mut window = TestWindow::demo();
    let told = words(&window);
    let (share, clock) = told
        .iter()
        .find_map(|(words, ..)| words.split_once(" at ").filter(|(share, _)| share.contains('%')))
        .map(|(share, clock)| (share.trim_end_matches(" lit").to_owned(), clock.to_owned()))
        .expect("how much is lit, and when");
    // The sky of that minute tells the same.
    let prepared = &open(&window).derived.prepared;
    let (middle, _) = prepared.moon_illuminated_at_mid();
    assert_eq!(clock, numbers::clock(prepared.night.local.local(middle)));
    apply(window.harness.state_mut(), Command::ReadAt(Some(middle)));
    apply(window.harness.state_mut(), Command::ToggleSky);
    window.settle();
    let sky = words(&window);
    assert!(sky.iter().any(|(words, ..)| *words == format!("Moon, {share} lit")), "{share}: {sky:?}");
}

#[test]
fn what_is_read_is_never_cut_in_a_small_window() {
    let mut window = TestWindow::open([1024.0, 700.0], 1.0, None);
    let order = window.evening().order.stops().to_vec();
    for stop in order.iter().filter(|stop| stop.show().is_some()) {
        apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(stop.id))));
        window.settle();
        let title = open(&window).title(stop);
        let block = window.harness.get_by_label_contains(&format!(": {title} on ")).rect();
        window.lift(block.center(), block.center() + vec2(24.0, 0.0));
        let axis = window.harness.get_by_label("Clock GMT").rect();
        let foot = window.harness.ctx.content_rect().bottom() - 100.0;
        let cut: Vec<String> = window
            .harness
            .output()
            .shapes
            .iter()
            .filter_map(|clipped| match &clipped.shape {
                Shape::Text(text) if text.galley.elided && text.pos.y > foot && text.pos.x < axis.right() => {
                    Some(text.galley.text().to_owned())
                }
                _ => None,
            })
            .filter(|words| words.starts_with("Move ") || words.contains("GMT"))
            .collect();
        assert!(cut.is_empty(), "{cut:?}");
        window.press(Modifiers::NONE, Key::Escape);
        window.harness.drop_at(block.center());
        window.settle();
    }
}

#[test]
fn no_word_covers_another_or_is_cut_off() {
    for size in SIZES {
        let folder = TempDir::new().expect("a folder");
        let mut window = TestWindow::open(size, 1.0, Some(long_demo(folder.path())));
        // A window too small for all parts shows one.
        let to_board = |window: &mut TestWindow| {
            apply(window.harness.state_mut(), Command::ShowSide(Side::Board));
            window.settle();
        };
        to_board(&mut window);
        let mut states = vec![words(&window)];
        close_south_east(&mut window);
        window.press(Modifiers::NONE, Key::Z);
        states.push(words(&window));
        let late = late_demo(folder.path(), "2027-10-30");
        let mut late = TestWindow::open(size, 1.0, Some(late));
        to_board(&mut late);
        states.push(words(&late));
        for painted in states {
            for (position, (words, place, clip)) in painted.iter().enumerate() {
                let cut = place.left() < clip.left() - 1.0 || place.right() > clip.right() + 1.0;
                assert!(!cut, "{size:?}: \"{words}\" at {place:?} is cut off at {clip:?}");
                for (others, other, beside) in &painted[position + 1..] {
                    // Between its letters and its box a line of type has this much air.
                    let both = place.intersect(*clip).shrink2(vec2(0.5, 3.0));
                    let other = other.intersect(*beside).shrink2(vec2(0.5, 3.0));
                    let apart = !both.is_positive() || !other.is_positive() || !both.intersects(other);
                    assert!(apart, "{size:?}: \"{words}\" at {both:?} covers \"{others}\" at {other:?}");
                }
            }
        }
    }
}

/// What is painted, in order: each shape by itself, and the part of the window that it may cover.
fn painted(window: &TestWindow) -> Vec<(Shape, Rect)> {
    fn take(shape: &Shape, clip: Rect, all: &mut Vec<(Shape, Rect)>) {
        match shape {
            Shape::Vec(several) => several.iter().for_each(|one| take(one, clip, all)),
            one => all.push((one.clone(), clip)),
        }
    }
    let mut all = Vec::new();
    for clipped in &window.harness.output().shapes {
        take(&clipped.shape, clipped.clip_rect, &mut all);
    }
    all
}

/// The points of a line of such an ink, a pixel apart; none of anything else.
fn points(shape: &Shape, inks: &[Color32]) -> Vec<Pos2> {
    let along = |corners: &[Pos2]| {
        let steps = |two: &[Pos2]| two[0].distance(two[1]).ceil().max(1.0) as usize;
        let pieces = corners.windows(2).flat_map(move |two| {
            (0..=steps(two)).map(move |step| two[0].lerp(two[1], step as f32 / steps(two) as f32))
        });
        pieces.collect()
    };
    match shape {
        Shape::Path(path) if !path.closed => match &path.stroke.color {
            ColorMode::Solid(ink) if inks.contains(ink) => along(&path.points),
            _ => Vec::new(),
        },
        Shape::LineSegment { points, stroke } if inks.contains(&stroke.color) => along(points),
        _ => Vec::new(),
    }
}

#[test]
fn no_path_and_no_leader_runs_through_the_words_of_a_stop() {
    let tokens = Tokens::of(Palette::Day);
    let inks: Vec<Color32> =
        tokens.ports.into_iter().chain([tokens.ink, tokens.accent, tokens.edge]).collect();
    let mut seen = 0;
    for size in SIZES {
        let mut window = TestWindow::open(size, 1.0, None);
        apply(window.harness.state_mut(), Command::ShowSide(Side::Board));
        let stops: Vec<_> = window.evening().order.stops().iter().map(|stop| stop.id).collect();
        for stop in stops {
            apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(stop))));
            window.settle();
            let board = board(&window);
            let all = painted(&window);
            for (place, (shape, clip)) in all.iter().enumerate() {
                let Shape::Text(text) = shape else { continue };
                let rect = text.visual_bounding_rect().intersect(*clip);
                let words = text.galley.text();
                let is_name = open(&window).document.evening.order.stops().iter().any(|stop| {
                    let title = open(&window).title(stop);
                    words
                        .split_whitespace()
                        .next()
                        .is_some_and(|first| title.contains(first.trim_end_matches('…')) && first.len() > 2)
                });
                if !is_name || !board.contains(rect.center()) {
                    continue;
                }
                seen += 1;
                // The ink of letters begins so far within their box.
                let ink = rect.shrink2(if text.angle == 0.0 { vec2(1.0, 3.0) } else { vec2(3.0, 1.0) });
                for (under, (line, _)) in all.iter().enumerate() {
                    let through = points(line, &inks).into_iter().find(|at| {
                        let covers = |(other, _): &(Shape, Rect)| match other {
                            Shape::Rect(rect) => rect.fill.is_opaque() && rect.rect.contains(*at),
                            _ => false,
                        };
                        let is_covered = under < place && all[under..place].iter().any(covers);
                        ink.contains(*at) && !is_covered
                    });
                    assert!(
                        through.is_none(),
                        "{size:?}: a line runs through \"{words}\" at {through:?}: {line:?}"
                    );
                }
            }
        }
    }
    assert!(seen > 200, "only {seen} names were looked at");
}

#[test]
fn the_path_of_what_is_selected_bears_its_name_and_an_ink_of_its_own() {
    for palette in [Palette::Day, Palette::RedLamp] {
        let mut window = TestWindow::open([1366.0, 768.0], 1.0, None);
        window.harness.state_mut().view.palette = palette;
        window.settle();
        let tokens = Tokens::of(palette);
        assert!(
            !tokens.ports.contains(&tokens.ink) || palette == Palette::RedLamp,
            "by day no port has its ink"
        );
        let moon = window.evening().order.stops()[1].id;
        let through = |window: &TestWindow| {
            let board = board(window);
            let lines = painted(window).into_iter().filter_map(|(shape, _)| match shape {
                Shape::Path(path) if !path.closed && path.stroke.color == ColorMode::Solid(tokens.ink) => {
                    Some((path.visual_bounding_rect(), path.stroke.width))
                }
                _ => None,
            });
            let wide =
                lines.filter(|(rect, _)| board.contains(rect.center()) && rect.width() > 0.5 * board.width());
            wide.map(|(_, width)| width).collect::<Vec<_>>()
        };
        apply(window.harness.state_mut(), Command::Select(None));
        window.settle();
        assert_eq!(through(&window), Vec::<f32>::new());
        let named = |window: &TestWindow| {
            let all = words(window).into_iter().map(|(words, ..)| words);
            all.filter(|words| words.starts_with("The Moon")).collect::<Vec<_>>()
        };
        let at_its_stop = named(&window);
        apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(moon))));
        window.settle();
        let widths = through(&window);
        assert!(widths.len() == 1 && widths[0] > 1.5, "{palette:?}: {widths:?}");
        let mut beside = named(&window);
        beside.retain(|words| !at_its_stop.contains(words));
        assert_eq!(beside.len(), 1, "{palette:?}: beside the path as well: {beside:?}");
        assert!(beside[0].contains("airmass "), "{palette:?}: with its airmass: {beside:?}");
    }
}

#[test]
fn a_move_is_drawn_to_scale_before_its_stop_and_told_part_by_part() {
    let window = TestWindow::demo();
    let derived = &open(&window).derived;
    let axis = window.harness.get_by_label("Clock GMT").rect();
    let span = open(&window).shown_span(window.harness.state().view.span);
    let points_a_second = f64::from(axis.width()) / span.seconds();
    let moves: Vec<&StopTiming> =
        derived.timings.iter().filter(|timing| timing.parts.total_s() > 0.0).collect();
    assert!(moves.len() >= 5, "{moves:?}");
    for timing in moves {
        let order = window.evening().order.stops();
        let position = order.iter().position(|stop| stop.id == timing.stop).expect("it is laid out");
        let title = open(&window).title(&order[position]);
        let begins = format!("Move to {title}: ");
        let node = window.harness.get_by_label_contains(&begins);
        let words = node.accesskit_node().label().unwrap_or_default();
        for (part, seconds) in [
            ("slew", timing.parts.slew_s),
            ("dome", timing.parts.dome_s),
            ("port change", timing.parts.selector_s),
            ("settle", timing.parts.settle_s),
            ("focus", timing.parts.focus_s),
            ("framing", timing.lead_s),
        ] {
            let told = format!("{part} {}", numbers::duration(seconds));
            assert_eq!(words.contains(&told), seconds >= 0.5, "{told} in {words}");
        }
        let stop = window.harness.get_by_label_contains(&format!("Stop {}: {title} ", position + 1)).rect();
        let seconds = timing.parts.total_s() + timing.lead_s;
        let rect = node.rect();
        assert!((rect.right() - stop.left()).abs() < 1.0, "{rect:?} ends at {stop:?}");
        let wide = (seconds * points_a_second).max(4.0);
        assert!((f64::from(rect.width()) - wide).abs() < 1.0, "{rect:?} is not {wide} wide");
    }
}

#[test]
fn slack_is_told_as_the_core_counts_it() {
    let window = TestWindow::demo();
    let (derived, order) = (&open(&window).derived, &window.evening().order);
    let minutes = free_minutes(order, &derived.timings, derived.prepared.doors);
    let told = format!("Slack {}, ", numbers::minutes(minutes));
    assert!(words(&window).iter().any(|(words, ..)| words.starts_with(&told)), "{told} is not on the Board");
    let node = window.harness.get_by_label_contains("Telescope: ");
    let lane = node.accesskit_node().label().unwrap_or_default();
    assert!(lane.contains(&told), "{told} is not in {lane}");
    let stretches = node.accesskit_node().value().unwrap_or_default();
    assert!(stretches.contains(" to "), "{stretches}");
}

#[test]
fn utc_stands_over_the_local_hours_on_demand_and_through_a_change_of_clocks() {
    let folder = TempDir::new().expect("a folder");
    // Europe/London, IANA time-zone database: back on 2027-10-31 at 01:00 UTC, from 02:00 BST to 01:00 GMT.
    let evening = late_demo(folder.path(), "2027-10-30");
    let mut window = TestWindow::open([1366.0, 768.0], 1.0, Some(evening));
    assert!(window.harness.query_by_label("Clock UTC").is_none());
    window.press(Modifiers::NONE, Key::Z);
    let row = window.harness.get_by_label("Clock UTC").rect();
    let local = window.harness.get_by_label("Clock BST, from 01:00 GMT").rect();
    let painted = words(&window);
    let at = |row: Rect, clock: &str| {
        let hours = painted
            .iter()
            .filter(|(words, place, _)| words == clock && row.y_range().contains(place.center().y));
        let places: Vec<f32> = hours.map(|(_, place, _)| place.center().x).collect();
        assert_eq!(places.len(), 1, "{clock} in {row:?}");
        places[0]
    };
    for (utc, clock) in [
        ("21:00", "22:00"),
        ("23:00", "00:00"),
        ("00:00", "01:00"),
        ("01:00", "01:00 GMT"),
        ("02:00", "02:00"),
    ] {
        assert!((at(row, utc) - at(local, clock)).abs() < 1.0, "{utc} UTC is not over {clock}");
    }
    window.harness.get_by_label("UTC").click();
    window.settle();
    assert!(window.harness.query_by_label("Clock UTC").is_none());
}

#[test]
fn a_closed_part_of_the_sky_is_told_where_it_bites_and_drafting_anew_mends_it() {
    let mut window = TestWindow::demo();
    assert!(window.harness.query_by_label_contains("Closed sky: ").is_none());
    close_south_east(&mut window);
    let stoppers = open(&window).derived.count(Severity::Stopper);
    assert!(stoppers > 0, "nothing of the demo stands in the south-east");
    let band = window.harness.get_by_label_contains("Closed sky: 90° E to 180° S, since 20:30, until 22:45");
    let told = band.accesskit_node().label().unwrap_or_default();
    for finding in open(&window).derived.findings.iter().filter(|own| own.severity == Severity::Stopper) {
        let stop = finding.stop.and_then(|stop| window.evening().order.get(stop)).expect("a stop");
        assert!(told.contains(&open(&window).title(stop)), "{told}");
    }
    // Beside the stop or its path, in words.
    assert!(words(&window).iter().any(|(words, ..)| words == "closed sky"));
    let stops = window.harness.query_all_by_label_contains("Stop ");
    let values: Vec<String> = stops.filter_map(|node| node.accesskit_node().value()).collect();
    assert!(values.iter().any(|value| value.contains(", closed sky 2")), "{values:?}");
    let count = numbers::count(stoppers, "Stopper", "Stoppers");
    window.harness.get_by_label(&format!("How good this order is: {count}: draft anew to mend")).click();
    window.settle_all();
    assert_eq!(open(&window).derived.count(Severity::Stopper), 0);
    assert!(window.harness.query_by_label_contains("draft anew to mend").is_none());
}

#[test]
fn the_move_to_the_selected_stop_is_read_below_the_board() {
    let mut window = TestWindow::demo();
    let stops = window.evening().order.stops();
    let last = stops.iter().rev().find(|stop| stop.show().is_some()).expect("something is shown");
    let (id, title) = (last.id, open(&window).title(last));
    apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(id))));
    window.settle();
    let painted = words(&window);
    assert!(painted.iter().any(|(words, ..)| words.starts_with(&format!("To {title}, "))));
    let ready = format!(
        "ready {}",
        numbers::clock(
            open(&window)
                .derived
                .prepared
                .night
                .local
                .local(window.evening().order.get(id).expect("it is there").start(),)
        )
    );
    assert!(painted.iter().any(|(words, ..)| *words == ready), "{ready}");
}

#[test]
fn the_parts_of_the_board_are_read_in_the_order_of_the_eye() {
    let mut window = TestWindow::demo();
    close_south_east(&mut window);
    let order = [
        "Clock GMT",
        "Sky light: ",
        "Moon: ",
        "Closed sky: ",
        "Stop 1: ",
        "Telescope: ",
        "Move to ",
        "In line at the eyepiece",
    ];
    let root = window.harness.root();
    let labels: Vec<String> =
        root.children_recursive().filter_map(|node| node.accesskit_node().label()).collect();
    let found = order.map(|start| {
        labels.iter().position(|label| label.starts_with(start)).unwrap_or_else(|| panic!("no {start}"))
    });
    assert!(found.is_sorted(), "{found:?}");
}
