//! A grey-scale picture loses no meaning: what colour tells, shape, line, word or at least 3:1 in luminance tells too.
//!
//! Two states of one thing are drawn, and the pixels counted that stand out from one another where it stands, hue left
//! aside. Every pair of tokens that carries meaning is held to 3:1 of luminance in `pictures`.

use chrono::NaiveTime;
use egui::{Key, Modifiers, Rect, Role, Shape, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{CardSection, Command, Edge, OpenEvening, Palette, Selected, apply};
use evenfall_core::plan::{ClosedSky, Held, Severity, Stop};
use evenfall_core::time::Interval;
use evenfall_core::units::Angle;
use evenfall_tests::harness::TestWindow;
use evenfall_tests::pictures::{lines_told_in_grey, part, told_in_grey};
use image::RgbaImage;

/// The fewest pixels that are seen as a mark: a quarter of a square of 10 points, the smallest mark there is.
const SEEN: usize = 25;
const BOTH: [Palette; 2] = [Palette::Day, Palette::RedLamp];

/// Wide enough for stops and moves to have their words.
fn wide(palette: Palette) -> TestWindow {
    let mut window = TestWindow::open([2200.0, 900.0], 1.0, None);
    window.harness.state_mut().view.palette = palette;
    window.settle();
    window
}

fn open(window: &TestWindow) -> &OpenEvening {
    window.harness.state().open().expect("an evening is open")
}

fn give(window: &mut TestWindow, command: Command) {
    apply(window.harness.state_mut(), command);
    window.settle();
}

fn shows(window: &TestWindow) -> Vec<Stop> {
    window.evening().order.stops().iter().filter(|stop| stop.show().is_some()).cloned().collect()
}

fn labelled(window: &TestWindow, words: &str) -> Rect {
    window.harness.get_by_label_contains(words).rect()
}

fn block(window: &TestWindow, stop: &Stop) -> Rect {
    let position = window.evening().order.stops().iter().position(|own| own.id == stop.id);
    labelled(
        window,
        &format!("Stop {}: {} ", position.expect("it is laid out") + 1, open(window).title(stop)),
    )
}

/// Two pictures of one place, before and after.
fn tells(before: &RgbaImage, after: &RgbaImage, what: &str) {
    let seen = told_in_grey(before, after);
    assert!(seen >= SEEN, "{what}: in grey only {seen} pixels tell it");
}

/// All words painted within a rectangle.
fn words(window: &TestWindow, place: Rect) -> Vec<String> {
    let shapes = window.harness.output().shapes.iter();
    let painted = shapes.filter_map(|clipped| match &clipped.shape {
        Shape::Text(text) => {
            let rect = text.galley.rect.translate(text.pos.to_vec2());
            place.contains(rect.center()).then(|| text.galley.text().to_owned())
        }
        _ => None,
    });
    painted.collect()
}

#[test]
fn held_selected_and_focused_stops_are_told_in_grey() {
    for palette in BOTH {
        let mut window = wide(palette);
        let stops = shows(&window);
        let (stop, other) = (&stops[1], &stops[3]);
        give(&mut window, Command::Select(Some(Selected::Stop(other.id))));
        let place = block(&window, stop);
        let plain = window.picture_of(place);
        give(&mut window, Command::SetHeld(stop.id, Held { time: true, port: true }));
        tells(&plain, &window.picture_of(place), &format!("{palette:?}, held"));
        give(&mut window, Command::Undo);
        give(&mut window, Command::Select(Some(Selected::Stop(stop.id))));
        tells(&plain, &window.picture_of(place), &format!("{palette:?}, selected"));
        let around = place.expand(4.0);
        let selected = window.picture_of(around);
        give(&mut window, Command::ToBoard);
        tells(&selected, &window.picture_of(around), &format!("{palette:?}, under the keyboard"));
    }
}

/// The mark before the count of what needs a look, at the foot: 14 points wide, and a gap left of its button.
fn mark_at_the_foot(window: &TestWindow) -> RgbaImage {
    let counts = window.harness.query_all_by_label_contains(" Caution").find(|node| {
        let label = node.accesskit_node().label().unwrap_or_default();
        node.accesskit_node().role() == Role::Button && label.starts_with(|c: char| c.is_ascii_digit())
    });
    let counted = counts.expect("the foot counts what needs a look").rect();
    window.picture_of(Rect::from_center_size(counted.left_center() - vec2(15.0, 0.0), vec2(16.0, 16.0)))
}

#[test]
fn stoppers_and_cautions_are_told_in_grey() {
    for palette in BOTH {
        let mut window = wide(palette);
        let stop = shows(&window)[2].clone();
        // Shorter than its visitors need: a Caution.
        let end = stop.start().plus_minutes(3.0);
        let begun = block(&window, &stop).left_top();
        give(&mut window, Command::SetEdge(stop.id, Edge::End, end));
        let short = Rect::from_min_max(begun, block(&window, &stop).right_bottom()).expand2(vec2(40.0, 0.0));
        let with_caution = window.picture_of(short);
        assert_eq!(open(&window).derived.gravest(stop.id), Some(Severity::Caution));
        let triangle = mark_at_the_foot(&window);
        // Nothing is wrong with the same stop where nobody must be served.
        give(&mut window, Command::Undo);
        give(&mut window, Command::Remove);
        give(&mut window, Command::Undo);
        tells(&window.picture_of(short), &with_caution, &format!("{palette:?}, a Caution"));

        let (from, to) = (Angle::ZERO, Angle::from_degrees(359.0));
        let clock = |hour, minute| NaiveTime::from_hms_opt(hour, minute, 0);
        let strip = labelled(&window, " lit at ");
        let plain = window.picture_of(strip);
        give(&mut window, Command::CloseSky(ClosedSky::new(from, to, clock(18, 0), clock(23, 0))));
        assert_eq!(open(&window).derived.gravest(stop.id), Some(Severity::Stopper));
        let band = labelled(&window, "Closed sky: ");
        let same_size = Rect::from_min_size(strip.min, band.size());
        assert_eq!(window.picture_of(strip).dimensions(), plain.dimensions());
        let hatched = lines_told_in_grey(&window.picture_of(band), &window.picture_of(same_size));
        assert!(hatched >= 4 * SEEN, "{palette:?}: the closed sky has {hatched} pixels of its pattern");
        let said = words(&window, block(&window, &stop).expand2(vec2(80.0, 4.0)));
        assert!(
            said.iter().any(|words| words.contains("closed sky")),
            "{palette:?}: no word of the closed sky beside its stop: {said:?}"
        );
        let square = mark_at_the_foot(&window);
        tells(&triangle, &square, &format!("{palette:?}, the marks of Stopper and Caution"));
    }
}

#[test]
fn the_parts_of_a_move_differ_by_pattern() {
    // Points in which a pattern shows.
    const ROOM: f64 = 5.0;
    for palette in BOTH {
        // A second is most of a point wide.
        let mut window = TestWindow::open([12_000.0, 800.0], 1.0, None);
        window.harness.state_mut().view.palette = palette;
        window.settle();
        let lanes = labelled(&window, "Telescope: ").top();
        let picture = window.picture_of(Rect::from_min_max(egui::Pos2::ZERO, egui::pos2(12_000.0, lanes)));
        let span = open(&window).shown_span(window.harness.state().view.span);
        let points_a_second = f64::from(labelled(&window, "Clock GMT").width()) / span.seconds();
        let mut compared = 0;
        for timing in &open(&window).derived.timings {
            let parts = timing.parts;
            let together = [parts.slew_s, parts.dome_s, parts.selector_s, parts.rotator_s];
            let together: Vec<f64> = together.into_iter().filter(|seconds| *seconds >= 0.5).collect();
            if together.is_empty() {
                continue;
            }
            let stop = window.evening().order.get(timing.stop).expect("it is laid out");
            // A talk lies over the moves that are made meanwhile.
            let moves = Interval::new(timing.leave, stop.start()).expect("forwards");
            if window.evening().order.stops().iter().any(|other| other.interval.overlaps(moves)) {
                continue;
            }
            let rect = labelled(&window, &format!("Move to {}: ", open(&window).title(stop)));
            let row = rect.height() / together.len() as f32;
            let within = |x: f64, position: usize, height: f32| {
                let at = egui::pos2(rect.left() + x as f32 + 1.0, rect.top() + position as f32 * row + 3.0);
                part(&picture, Rect::from_min_size(at, vec2(ROOM as f32 - 1.0, height)))
            };
            let height = row - 6.0;
            let rows =
                together.iter().enumerate().filter(|(_, seconds)| **seconds * points_a_second > ROOM + 1.0);
            let mut patterns: Vec<RgbaImage> =
                rows.map(|(position, _)| within(0.0, position, height)).collect();
            // What follows them takes the whole height.
            let mut begun = together.iter().copied().fold(0.0, f64::max);
            for seconds in [parts.settle_s, parts.focus_s, timing.lead_s] {
                if seconds * points_a_second > ROOM + 1.0 {
                    patterns.push(within(begun * points_a_second, 0, height));
                }
                begun += seconds;
            }
            for (position, one) in patterns.iter().enumerate() {
                for other in &patterns[position + 1..] {
                    let seen = lines_told_in_grey(one, other);
                    let title = open(&window).title(stop);
                    assert!(
                        seen >= 5,
                        "{palette:?}: two parts of the move to {title} look alike: {seen} pixels"
                    );
                    compared += 1;
                }
            }
        }
        assert!(compared >= 10, "only {compared} pairs of parts were there to compare");
    }
}

#[test]
fn what_a_drag_would_do_is_told_in_grey() {
    for palette in BOTH {
        let mut window = wide(palette);
        window.press(Modifiers::NONE, Key::M);
        let stop = shows(&window)[0].clone();
        let from = block(&window, &stop);
        let axis = labelled(&window, "Clock GMT");
        let lanes =
            Rect::from_x_y_ranges(axis.x_range(), axis.top()..=labelled(&window, "Telescope: ").top());
        let plain = window.picture_of(lanes);
        window.lift(from.center(), from.center() + vec2(60.0, 0.0));
        let dragged = window.picture_of(lanes);
        let within =
            |picture: &RgbaImage, place: Rect| part(picture, place.translate(-lanes.min.floor().to_vec2()));
        tells(&within(&plain, from), &within(&dragged, from), &format!("{palette:?}, what is lifted"));
        let trial = window.harness.state().view.trial.clone().expect("what would come of it");
        assert!(!trial.moved.is_empty(), "later stops make room");
        let span = open(&window).shown_span(window.harness.state().view.span);
        let x = |minutes: f64| axis.left() + (minutes / span.minutes()) as f32 * axis.width();
        for id in &trial.moved {
            let (was, would_be) = (window.evening().order.get(*id), trial.evening.order.get(*id));
            let (was, would_be) = was.zip(would_be).expect("it is in both");
            let lane = block(&window, was);
            let (left, right) = (
                x(would_be.start().minutes_since(span.start())),
                x(would_be.end().minutes_since(span.start())),
            );
            let ghost = Rect::from_x_y_ranges(left..=right, lane.y_range());
            let what = format!("{palette:?}, the ghost of {}", open(&window).title(was));
            tells(&within(&plain, ghost), &within(&dragged, ghost), &what);
        }
        window.press(Modifiers::NONE, Key::Escape);
        window.harness.drop_at(from.center());
    }
}

#[test]
fn every_lane_has_its_letter_and_every_stop_on_the_sky_its_number() {
    let mut window = wide(Palette::Day);
    let ports = open(&window).document.stock.rig.ports.len();
    let axis = labelled(&window, "Clock GMT");
    let board = window.harness.get_by_label("Board").rect();
    let gutter = Rect::from_min_max(board.left_top(), egui::pos2(axis.left(), 900.0));
    let said = words(&window, gutter);
    for lane in 0..ports {
        let letter = char::from(b'A' + lane as u8).to_string();
        assert_eq!(said.iter().filter(|words| **words == letter).count(), 1, "{letter} in {said:?}");
    }
    give(&mut window, Command::ToggleSky);
    let sky = labelled(&window, "The sky unrolled");
    let said = words(&window, sky);
    for stop in shows(&window) {
        let number =
            window.evening().order.stops().iter().position(|own| own.id == stop.id).expect("there") + 1;
        assert!(
            said.iter()
                .any(|words| words.split(|c: char| !c.is_ascii_digit()).any(|own| own == number.to_string())),
            "no {number} on the sky: {said:?}"
        );
    }
}

#[test]
fn moonlight_and_closed_sky_are_told_in_grey_on_board_and_sky() {
    for palette in BOTH {
        let mut window = wide(palette);
        let strip = labelled(&window, " lit at ");
        let up = window.picture_of(strip);
        // New Moon on 8 March 2027 (tests/data/moon.json): five days before it had no light on this evening.
        give(&mut window, Command::ShiftDate(-5));
        tells(&up, &window.picture_of(strip), &format!("{palette:?}, the Moon and its light"));
        give(&mut window, Command::Undo);
        give(&mut window, Command::ToggleSky);
        let sky = labelled(&window, "The sky unrolled");
        let clear = window.picture_of(sky);
        let (from, to) = (Angle::from_degrees(90.0), Angle::from_degrees(180.0));
        give(&mut window, Command::CloseSky(ClosedSky::new(from, to, None, None)));
        let seen = told_in_grey(&clear, &window.picture_of(sky));
        assert!(seen >= 8 * SEEN, "{palette:?}: a closed quarter of the sky is told by {seen} pixels");
    }
}

#[test]
fn rows_of_the_shelf_and_ports_of_the_card_are_told_in_grey() {
    for palette in BOTH {
        let mut window = wide(palette);
        let stops = shows(&window);
        let stop = &stops[0];
        let target = stop.show().map(|show| show.target.clone()).expect("it shows something");
        let row = |window: &TestWindow| labelled(window, &format!("{}, ", open(window).target_name(&target)));
        give(&mut window, Command::Select(Some(Selected::Stop(stops[3].id))));
        let place = row(&window);
        let plain = window.picture_of(place);
        give(&mut window, Command::Select(Some(Selected::Target(target.clone()))));
        tells(&plain, &window.picture_of(place), &format!("{palette:?}, the row that is selected"));
        give(&mut window, Command::Select(Some(Selected::Stop(stop.id))));
        give(&mut window, Command::Remove);
        give(&mut window, Command::Select(Some(Selected::Stop(stops[3].id))));
        if row(&window) == place {
            tells(&plain, &window.picture_of(place), &format!("{palette:?}, what is on the Board"));
        }
        give(&mut window, Command::Undo);
        give(&mut window, Command::Select(Some(Selected::Stop(stop.id))));
        if window.harness.state().view.card.folded.contains(&CardSection::Fields) {
            give(&mut window, Command::Fold(CardSection::Fields));
        }
        assert_eq!(
            window.harness.query_all_by_label_contains("in use").count(),
            1,
            "the port in use is said"
        );
    }
}
