//! The Card: the chain through the evening, the fields, the reasons, the sources, and a port chosen against the ranking.

use chrono::DateTime;
use egui::{Key, Modifiers, Rect, Shape};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{CardSection, Command, Selected, apply};
use evenfall_app::ui::text::findings;
use evenfall_core::catalogue::TargetId;
use evenfall_core::plan::{ClosedSky, Held, Severity, Stop, merit};
use evenfall_core::rig::PortId;
use evenfall_core::time::Instant;
use evenfall_core::units::Angle;
use evenfall_tests::harness::{TestWindow, late_demo};
use tempfile::TempDir;

const MINUTE: &str = "Minute that is read";
const SOURCES: &str = "Where these numbers come from";

fn look_at(window: &mut TestWindow, id: &str) {
    let target = Some(Selected::Target(TargetId(id.to_owned())));
    apply(window.harness.state_mut(), Command::Select(target));
    window.settle();
}

/// A tall window, so that the whole Card is drawn.
fn tall() -> TestWindow {
    TestWindow::open([1280.0, 3600.0], 1.0, None)
}

fn says(window: &TestWindow, words: &str) -> bool {
    window.harness.query_all_by_label_contains(words).next().is_some()
}

fn stop_of(window: &TestWindow, id: &str) -> Stop {
    let mut stops = window.evening().order.stops().iter();
    let is_it = |stop: &&Stop| stop.show().is_some_and(|show| show.target.0 == id);
    stops.find(is_it).cloned().unwrap_or_else(|| panic!("{id} is not on the Board"))
}

fn reading(window: &TestWindow) -> String {
    window.harness.get_by_label(MINUTE).accesskit_node().value().expect("the minute has a value")
}

#[test]
fn the_numbers_are_shown_with_formula_and_source() {
    // The open panel shows the terms of Krisciunas & Schaefer 1991, PASP 103, 1033: alpha, rho, both zenith distances, k.
    let mut window = tall();
    look_at(&mut window, "jupiter");
    assert!(!says(&window, "phase angle α"), "the sources are folded away at first");
    window.harness.get_by_label(SOURCES).click();
    window.settle();
    for term in ["phase angle α", "Angle to the Moon ρ", "Moon's light I*", "Airmass X: ", "k X: "] {
        assert!(says(&window, term), "no {term}");
    }
    for source in ["Krisciunas & Schaefer 1991", "Kasten & Young 1989", "Patat", "Mallama & Hilton 2018"] {
        assert!(says(&window, source), "no {source}");
    }
    look_at(&mut window, "flour-sack");
    assert!(says(&window, "Merline & Howell 1995"), "what is open stays open for another target");
}

#[test]
fn every_part_of_the_card_folds_away_by_the_keyboard() {
    let mut window = tall();
    for (title, inside) in [
        ("Through the evening", MINUTE),
        ("Why this port, and when", "The other ports"),
        ("What to say", "Cue"),
    ] {
        let is_open = |window: &TestWindow| window.harness.query_by_label(inside).is_some();
        assert!(is_open(&window), "{title} is open at first");
        window.harness.get_by_label(title).focus();
        window.settle();
        window.press(Modifiers::NONE, Key::Space);
        assert!(!is_open(&window), "{title} is folded away");
        look_at(&mut window, "mars");
        assert!(!is_open(&window), "{title} stays folded away");
        window.harness.get_by_label(title).focus();
        window.settle();
        window.press(Modifiers::NONE, Key::Space);
        assert!(is_open(&window), "{title} is open again");
    }
}

#[test]
fn the_minute_that_is_read_is_moved_by_keys() {
    let mut window = tall();
    look_at(&mut window, "jupiter");
    let stop = stop_of(&window, "jupiter");
    let open = window.harness.state().open().expect("open");
    let night = open.derived.prepared.night.local.clone();
    let clock = |minutes: f64| {
        let middle = stop.start().plus_minutes(stop.interval.minutes() / 2.0 + minutes);
        night.local(middle).format("%H:%M").to_string()
    };
    assert!(reading(&window).starts_with(&clock(0.0)), "{} at first", reading(&window));
    window.harness.get_by_label(MINUTE).focus();
    window.settle();
    window.press(Modifiers::NONE, Key::ArrowRight);
    assert!(reading(&window).starts_with(&clock(1.0)), "{} after a step", reading(&window));
    window.press(Modifiers::SHIFT, Key::ArrowLeft);
    assert!(reading(&window).starts_with(&clock(-9.0)), "{} after a long step", reading(&window));
    assert_eq!(*window.evening().order.get(stop.id).expect("the stop"), stop, "the stop stays where it is");
    window.press(Modifiers::NONE, Key::Home);
    assert!(reading(&window).starts_with("18:22"), "{} at the beginning", reading(&window));
    // The Sun has just set: Jupiter, not yet lost in the light, is told with its numbers.
    assert!(
        reading(&window).contains('°') && reading(&window).contains("Eyepiece: "),
        "{}",
        reading(&window)
    );
    window.press(Modifiers::NONE, Key::Escape);
    assert!(reading(&window).starts_with(&clock(0.0)), "{} after Escape", reading(&window));
    window.harness.get_by_label(MINUTE).focus();
    window.settle();
    window.press(Modifiers::NONE, Key::Home);
    look_at(&mut window, "mars");
    assert!(!reading(&window).starts_with("18:22"), "another target is read at its own time");
}

#[test]
fn every_strip_says_its_value_and_its_least_one() {
    let mut window = tall();
    look_at(&mut window, "jupiter");
    let minute = DateTime::parse_from_rfc3339("2027-03-13T19:59:00Z").expect("an instant").to_utc();
    apply(window.harness.state_mut(), Command::ReadAt(Some(Instant::from_utc(minute))));
    window.settle();
    let label = |name: &str| {
        let begins = format!("{name}: ");
        window.harness.get_by_label_contains(&begins).accesskit_node().label().unwrap_or_default()
    };
    let (twilight, view) = (label("Twilight"), label("View"));
    // Nearly two hours after sunset Jupiter has lost nothing to twilight; at doors open it has.
    assert!(twilight.starts_with("Twilight: 100% at 19:59, least "), "{twilight}");
    assert!(!twilight.ends_with("least 100%"), "{twilight}");
    assert!(view.starts_with("View: 89% at 19:59, least "), "{view}");
}

#[test]
fn each_field_is_drawn_with_its_verdict_and_share() {
    // The Moon, 32 arcminutes across in the middle of doors, on a sensor of 29 by 20 arcminutes: 61 % of its length.
    let mut window = tall();
    look_at(&mut window, "moon");
    for words in [
        "The Moon on Wide camera: shows; only 61% of its length",
        "turns by 7° in the stop",
        "The Moon on Spectrograph: cannot show",
    ] {
        assert!(says(&window, words), "no {words}");
    }
    look_at(&mut window, "smithy-door");
    assert!(says(
        &window,
        "on Wide camera: shows well; whole, filling 56% of the field, turned by the rotator"
    ));
}

#[test]
fn who_reaches_the_eyepiece_and_where_the_line_forms_is_told_for_a_stop() {
    // ABA Accessibility Standards (US), 1011.8: seated looking from 43 to 51 inches, 1090 to 1295 mm.
    let mut window = tall();
    look_at(&mut window, "jupiter");
    for words in ["1200 mm above the floor: within 1090–1295 mm", "The line forms to the ", "The dome "] {
        assert!(says(&window, words), "no {words}");
    }
    // From south-east to south the right Nasmyth side swings from south-west to west.
    let stop = stop_of(&window, "jupiter");
    assert!(says(&window, "The line forms to the south-west"));
    apply(
        window.harness.state_mut(),
        Command::Place { stop: stop.id, start: stop.start().plus_minutes(120.0), port: None },
    );
    window.settle();
    assert!(says(&window, "The line forms to the west"), "it follows the stop");
    look_at(&mut window, "smithy-door");
    assert!(!says(&window, "The line forms"), "no stop, no line");
}

#[test]
fn every_other_port_has_its_line_with_a_number() {
    let mut window = tall();
    for (id, others) in [
        (
            "moon",
            ["A  Wide camera: shows, 7", "B  Planetary camera: shows, 6", "D  Spectrograph: cannot show, 0%"],
        ),
        (
            "jupiter",
            [
                "A  Wide camera: hard to show, 1",
                "B  Planetary camera: shows well, ",
                "D  Spectrograph: cannot show, 0%",
            ],
        ),
    ] {
        look_at(&mut window, id);
        for other in others {
            assert!(says(&window, other), "{id}: no {other}");
        }
        assert!(says(&window, " for everybody"), "{id}: how long it takes");
    }
}

#[test]
fn what_cannot_be_shown_says_why_and_how_high_it_gets() {
    let mut window = tall();
    // Declination -47 degrees from latitude 55.1 north: never above the horizon.
    look_at(&mut window, "steamers-smoke");
    assert!(says(&window, "Not tonight: below the horizon"), "why not");
    assert!(says(&window, "Highest within doors: −"), "how high");
    assert!(reading(&window).contains("Cannot be shown: below the horizon"), "{}", reading(&window));
}

#[test]
fn a_time_that_is_better_is_named() {
    let mut window = tall();
    let stop = stop_of(&window, "moon");
    // Moved to the end of the evening, the Moon stands low.
    let start = window.harness.state().open().expect("open").derived.prepared.doors.end().plus_minutes(-35.0);
    apply(window.harness.state_mut(), Command::Place { stop: stop.id, start, port: None });
    look_at(&mut window, "moon");
    assert!(says(&window, "Better earlier, from 18:30"), "when");
    assert!(says(&window, "up then, here"), "why");
}

#[test]
fn row_50_the_card_says_at_any_minute_why_not_then_and_when_it_is_better() {
    let mut window = tall();
    look_at(&mut window, "moor-path");
    assert!(!says(&window, "Only 11° up"), "at its own time it stands high");
    let seven = DateTime::parse_from_rfc3339("2027-03-13T19:00:00Z").expect("a time").to_utc();
    let read_at = |window: &mut TestWindow, minutes: f64| {
        let at = Instant::from_utc(seven).plus_minutes(minutes);
        apply(window.harness.state_mut(), Command::ReadAt(Some(at)));
        window.settle();
    };
    read_at(&mut window, 0.0);
    // From latitude 55.1, longitude -2.5 the airless altitude is 11.04 degrees then, and passes 30 after 21:25 (astropy 8.0.2:
    // SkyCoord(208.7239, 29.6924).transform_to(AltAz)); refraction adds a minute of arc or two up there, five down here.
    assert!(says(&window, "At 19:00: only 11° up; 30° up from about 21:25"), "why not at seven");
    read_at(&mut window, 90.0);
    assert!(says(&window, "At 20:30: only 22° up: seen through 2.6 airmasses; 30° up from about 21:25"));
    // What sets has had its time.
    look_at(&mut window, "foundry-glow");
    read_at(&mut window, 205.0);
    assert!(says(&window, "can be seen there; no better time comes tonight"), "it sets");
    assert!(says(&window, "Best from "), "and had its time");
}

fn first_port_but(window: &TestWindow, port: &PortId) -> (PortId, String) {
    let open = window.harness.state().open().expect("open");
    let other = open.document.stock.rig.ports.iter().find(|other| other.id != *port).expect("a port more");
    (other.id.clone(), other.name.clone())
}

#[test]
fn a_port_chosen_against_the_ranking_stays_told_and_can_be_taken_back() {
    let mut window = tall();
    let before = window.evening().clone();
    look_at(&mut window, "moon");
    let stop = stop_of(&window, "moon");
    let own = stop.show().expect("a show").port.clone();
    let (_, name) = first_port_but(&window, &own);
    assert!(!says(&window, "You chose"));
    window.harness.get_by_label(&format!("Use {name}")).click();
    window.settle();
    let now = stop_of(&window, "moon");
    assert_eq!(now.held, Held { time: false, port: true }, "it is held on the port");
    let against = format!(
        "You chose {name} (shows, 74%); Eyepiece shows it better (shows well, 96%). Brightness leaves 85% (seen at once, but on a screen)"
    );
    assert!(says(&window, &against), "no {against}");
    let block =
        window.harness.get_by_label_contains(": The Moon on Wide camera").accesskit_node().description();
    assert!(block.is_some_and(|words| words.contains(&against)), "the Board tells it too");
    // It outlives a new draft, the file and a second start.
    window.press(Modifiers::COMMAND, Key::D);
    assert_eq!(stop_of(&window, "moon").show().map(|show| &show.port), now.show().map(|show| &show.port));
    window.press(Modifiers::COMMAND, Key::Z);
    let path = window.folder.path().join("chosen.evening.ron");
    window.press(Modifiers::COMMAND, Key::S);
    window.press(Modifiers::COMMAND, Key::A);
    window.type_text(&path.display().to_string());
    window.press(Modifiers::NONE, Key::Enter);
    let mut again = TestWindow::open([1280.0, 3600.0], 1.0, Some(path));
    look_at(&mut again, "moon");
    assert!(says(&again, &against), "after a second start");
    // Undone under its name.
    window.harness.get_by_label("Undo: put The Moon on Wide camera");
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.evening().order, before.order);
    assert!(!says(&window, "You chose"));
}

#[test]
fn the_suggestion_taken_up_again_needs_no_holding() {
    let mut window = tall();
    look_at(&mut window, "moon");
    let stop = stop_of(&window, "moon");
    let (port, _) = first_port_but(&window, &stop.show().expect("a show").port);
    apply(window.harness.state_mut(), Command::SetPort(stop.id, port));
    window.settle();
    let open = window.harness.state().open().expect("open");
    let (index, _) = open.target(&stop).expect("its target");
    let ranked = merit(&open.derived.prepared, &open.document.stock.materials(), index, stop.interval);
    assert_eq!(ranked[0].choice.port.0, "eyepiece");
    // Once beside what was chosen, once below the field.
    let use_it: Vec<Rect> =
        window.harness.query_all_by_label("Use Eyepiece").map(|node| node.rect()).collect();
    assert_eq!(use_it.len(), 2);
    window.harness.query_all_by_label("Use Eyepiece").next().expect("a button").click();
    window.settle();
    let now = stop_of(&window, "moon");
    assert_eq!(now.show().expect("a show").port.0, "eyepiece");
    assert_eq!(now.held, Held::default());
    assert!(!says(&window, "You chose"));
}

#[test]
fn an_hour_that_comes_twice_is_told_by_its_zone() {
    // Europe/London, IANA time-zone database: back on 2027-10-31 at 01:00 UTC, so 01:00 comes twice.
    let folder = TempDir::new().expect("a folder");
    let evening = late_demo(folder.path(), "2027-10-30");
    let window = TestWindow::open([1280.0, 800.0], 1.0, Some(evening));
    let chart = window.harness.get_by_label(MINUTE).rect();
    let shapes = window.harness.output().shapes.iter();
    let hours: Vec<String> = shapes
        .filter_map(|clipped| match &clipped.shape {
            Shape::Text(text) if chart.contains(text.pos) => Some(text.galley.text().to_owned()),
            _ => None,
        })
        .filter(|words| words.contains(":00"))
        .collect();
    let mut different = hours.clone();
    different.sort();
    different.dedup();
    assert_eq!(different.len(), hours.len(), "{hours:?}");
    assert!(hours.len() >= 2 && hours.iter().any(|hour| hour.ends_with(" GMT")), "{hours:?}");
}

#[test]
fn nothing_on_the_card_is_wider_than_it() {
    for (size, id) in
        [([1280.0, 3600.0], "jupiter"), ([1024.0, 2400.0], "moon"), ([853.0, 2400.0], "smithy-door")]
    {
        let mut window = TestWindow::open(size, 1.0, None);
        apply(window.harness.state_mut(), Command::Fold(CardSection::Sources));
        look_at(&mut window, id);
        let chart = window.harness.get_by_label(MINUTE).rect();
        let shapes = window.harness.output().shapes.iter();
        for clipped in shapes {
            let Shape::Text(text) = &clipped.shape else { continue };
            let place = text.galley.rect.translate(text.pos.to_vec2());
            if place.left() >= chart.left() - 1.0
                && place.top() > chart.top()
                && place.bottom() < size[1] - 40.0
            {
                assert!(place.right() <= size[0] - 8.0, "{:?} ends at {}", text.galley.text(), place.right());
            }
        }
    }
}

#[test]
fn the_status_bar_leads_to_the_findings_however_far_the_card_was_moved() {
    let mut window = TestWindow::open([1280.0, 420.0], 1.0, None);
    // All of the sky closed gives more findings than the Card has room for.
    let all = ClosedSky::new(Angle::ZERO, Angle::ZERO, None, None);
    apply(window.harness.state_mut(), Command::CloseSky(all));
    window.settle();
    let derived = &window.harness.state().open().expect("open").derived;
    let words = findings(derived.count(Severity::Stopper), derived.count(Severity::Caution));
    window.harness.get_by_label(&words).click();
    window.settle();
    let heading = |window: &TestWindow| window.harness.get_by_label("Needs a look").rect();
    let there = heading(&window);
    window.harness.hover_at(there.center() + egui::vec2(0.0, 60.0));
    window.settle();
    window.harness.event(egui::Event::MouseWheel {
        unit: egui::MouseWheelUnit::Point,
        delta: egui::vec2(0.0, -300.0),
        phase: egui::TouchPhase::Move,
        source: egui::MouseWheelSource::Wheel,
        modifiers: Modifiers::NONE,
    });
    window.harness.run_steps(40);
    assert!(heading(&window).top() < there.top() - 20.0, "it was moved");
    window.harness.get_by_label(&words).click();
    window.harness.run_steps(40);
    assert!((heading(&window).top() - there.top()).abs() < 4.0, "{:?} for {there:?}", heading(&window));
}
