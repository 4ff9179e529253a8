//! What the unrolled sky must tell, one test a capability, on the demo's drafted evening.

use evenfall_core::chart::{Item, unrolled_sky};
use evenfall_core::plan::{Prepared, Stop};
use evenfall_core::sheet::Names;
use evenfall_core::time::Instant;
use evenfall_tests::park::Park;

/// The eight winds from north through east.
const WINDS: [&str; 8] =
    ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];

fn azimuth_deg(park: &Park, prepared: &Prepared, stop: &Stop, at: Instant) -> f64 {
    let index = park.target(&stop.show().expect("it shows").target.0);
    prepared.sample(index, at).expect("it was sampled").azimuth.degrees()
}

/// An angle from -180 to 180 degrees.
fn signed(degrees: f64) -> f64 {
    (degrees + 180.0).rem_euclid(360.0) - 180.0
}

#[test]
fn row_55_the_line_stands_beside_the_eyepiece_and_each_move_tells_its_direction() {
    let (park, prepared) = Park::demo().drafted();
    let materials = park.materials();
    let names = Names::new(&park.evening, &prepared, &materials);
    let shows: Vec<&Stop> = park.evening.order.stops().iter().filter(|stop| stop.show().is_some()).collect();
    let (mut by_eye, mut on_screens) = (0, 0);
    for stop in &shows {
        let at = stop.start().plus_minutes(1.0);
        let sky = unrolled_sky(&names, at, None, (900.0, 560.0));
        let texts: Vec<&str> = sky
            .scene
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Text { text, .. } => Some(text.as_str()),
                Item::Path { .. } => None,
            })
            .collect();
        let drawn = texts.contains(&"line stands here");
        let port = park.rig.port(&stop.show().expect("it shows").port).expect("the rig has it");
        if port.is_eyepiece() {
            // The eyepiece sits on the right Nasmyth side, seen along the tube towards the sky: a quarter turn clockwise
            // from where the tube points.
            let eyepiece = azimuth_deg(&park, &prepared, stop, at) + 90.0;
            let wind = WINDS[(eyepiece / 45.0).round() as usize % 8];
            let told = format!("the line of visitors to the {wind}");
            assert!(drawn && sky.scene.alt.contains(&told), "{told}: {}", sky.scene.alt);
            by_eye += 1;
        } else {
            assert!(!drawn && !sky.scene.alt.contains("line of visitors"), "{}", sky.scene.alt);
            on_screens += 1;
        }
    }
    assert!(by_eye > 2 && on_screens > 2, "{by_eye} by eye, {on_screens} on screens");

    // The moves: from where one stop ends to where the next begins, right where azimuth grows. The cables of this rig let
    // it go the shorter way all evening: three quarters of a turn to either side.
    let sky = unrolled_sky(&names, prepared.doors.start(), None, (900.0, 560.0));
    assert_eq!(sky.stops.len(), shows.len());
    for (pair, told) in shows.windows(2).zip(&sky.stops) {
        let from = azimuth_deg(&park, &prepared, pair[0], pair[0].end());
        let to = azimuth_deg(&park, &prepared, pair[1], pair[1].start());
        let turn = signed(to - from);
        let (_, words) = told.words.split_once("next move ").expect("the move is told");
        let (degrees, way) = words.split_once("° ").unwrap_or(("0", words));
        let side = if turn > 0.0 { "right" } else { "left" };
        assert!(way.starts_with(side) || turn.abs() < 1.0, "{turn} is told as {words}");
        let degrees: f64 = degrees.parse().expect("a number");
        // Rounded, and aimed a little ahead of the start: at most 15 degrees an hour, twice that overhead.
        assert!((degrees - turn.abs()).abs() < 1.5, "{turn} is told as {words}");
    }
}
