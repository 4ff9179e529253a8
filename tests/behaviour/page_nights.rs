//! The pages on nights, at places and with names that no layout likes.

use chrono::NaiveTime;
use evenfall_core::catalogue::TargetId;
use evenfall_core::plan::{Evening, Prepared, RunningOrder, prepare};
use evenfall_core::sheet::LeafKind;
use evenfall_core::units::Angle;
use evenfall_tests::park::Park;

use super::pages::{facts, stop, texts, whole};

#[test]
fn pages_hold_names_of_two_hundred_characters_and_of_any_script() {
    let (mut park, prepared) = Park::demo().drafted();
    let shown: Vec<TargetId> =
        park.evening.order.stops().iter().filter_map(|stop| Some(stop.show()?.target.clone())).collect();
    let names = [
        "Longest Name ".repeat(16),
        "x".repeat(200),
        "كوكبة النجوم البعيدة ".repeat(9),
        "星空観測の夜の灯火".repeat(22),
        "Mixed שלום 星 and \u{202e}turned".to_owned(),
    ];
    for (id, name) in shown.iter().zip(names.iter().cycle()) {
        let index = park.target(&id.0);
        park.catalogue.targets[index].name = name.trim().to_owned();
    }
    let pages = whole(&park, &prepared);
    let handbill = texts(pages.page(LeafKind::Handbill)).join("\n");
    assert!(names.iter().all(|name| handbill.contains(name.trim())), "names stand whole where there is room");
}

#[test]
fn pages_of_no_stops_and_of_sixty_say_something_true() {
    let mut park = Park::demo();
    let prepared = park.prepared();
    park.evening.order = RunningOrder::default();
    let pages = whole(&park, &prepared);
    assert!(texts(pages.page(LeafKind::Handbill)).join(" ").contains("decided on the night"));
    assert!(texts(pages.page(LeafKind::HandOver)).join(" ").contains("No stop shows a target yet"));
    let stops = (0..60).map(|id| stop(&prepared, id + 1, f64::from(id) * 3.5, "jupiter", "eyepiece"));
    park.evening.order = RunningOrder::new(stops.collect());
    let pages = whole(&park, &prepared);
    assert_eq!(pages.table(LeafKind::Handbill, "Where in the sky").rows.len(), 60);
}

#[test]
fn pages_of_a_moonless_night_say_so() {
    // New Moon of 8 March 2027, 09:29 UT by the almanacs (from memory).
    let (park, prepared) = Park::demo_on("2027-03-08").drafted();
    let pages = whole(&park, &prepared);
    let said = texts(pages.page(LeafKind::Handbill)).join("\n");
    assert!(said.contains("Not to be found with the naked eye while we are open: the Moon"), "{said}");
    assert!(!said.lines().any(|line| line == "The Moon"), "{said}");
}

/// At latitude 78 degrees north, with a flat horizon, on a date.
fn polar(date: &str) -> (Park, Prepared) {
    let mut park = Park::demo_on(date);
    park.site.place.latitude = Angle::from_degrees(78.0);
    park.site.place.longitude = Angle::from_degrees(15.0);
    park.site.zone = "Arctic/Longyearbyen".parse().expect("a zone of the IANA database");
    let evening: &Evening = &park.evening;
    let prepared = prepare(evening, &park.materials()).expect("the evening can be prepared");
    (park, prepared)
}

#[test]
fn pages_of_a_midnight_sun_and_of_a_polar_night_tell_no_sunset() {
    // Spherical astronomy: at latitude 78 degrees the Sun stays up while its declination is above 12 degrees, as in June, and
    // down while it is below -12, as in December.
    for (date, sun) in [("2027-06-21", "the Sun does not set"), ("2027-12-21", "the Sun stays down")] {
        let (park, prepared) = polar(date);
        let pages = whole(&park, &prepared);
        let handbill = pages.page(LeafKind::Handbill);
        let sunset = facts(handbill).into_iter().find(|notice| notice.label == "Sunset").expect("it is told");
        assert!(sunset.value.starts_with(sun), "{}", sunset.value);
    }
}

#[test]
fn pages_of_a_summer_night_send_nobody_out_for_what_is_not_there() {
    let (park, prepared) = Park::demo_on("2027-06-21").drafted();
    let pages = whole(&park, &prepared);
    let said = texts(pages.page(LeafKind::Handbill)).join("\n");
    assert!(said.contains("Fully dark\nnot tonight"), "{said}");
    // Doors close at 22:30; in June no star cluster is named for 23:00, when the Sun is 7 degrees below.
    assert!(said.contains("around 23:00") && !said.contains("binoculars"), "{said}");
}

#[test]
fn pages_of_a_southern_park_look_north() {
    // First quarter of 15 March 2027 by the almanacs (from memory): at dusk the Moon is near the meridian, which at latitude 31
    // south it crosses in the north.
    let mut park = Park::demo_on("2027-03-15");
    park.site.place.latitude = Angle::from_degrees(-31.0);
    park.site.place.longitude = Angle::from_degrees(149.0);
    park.site.zone = "Australia/Sydney".parse().expect("a zone of the IANA database");
    let (park, prepared) = park.drafted();
    let pages = whole(&park, &prepared);
    let rows = &pages.table(LeafKind::Handbill, "Where in the sky").rows;
    let moon = rows.iter().find(|row| row[1] == "The Moon").expect("it is shown");
    assert!(moon[2].starts_with("north"), "{}", moon[2]);
    let site = facts(pages.page(LeafKind::HandOver)).into_iter().find(|notice| notice.label == "Site");
    let site = &site.expect("the card tells the site").value;
    assert!(site.contains("31.0000° south") && site.contains("149.0000° east"), "{site}");
}

#[test]
fn the_host_reads_on_over_midnight() {
    let mut park = Park::demo();
    park.evening.programme.doors_open = NaiveTime::from_hms_opt(22, 0, 0).expect("a time");
    park.evening.programme.doors_close = NaiveTime::from_hms_opt(1, 30, 0).expect("a time");
    park.evening.programme.fixed.clear();
    // So few that all who come can look: a line that is too long from the first is closed at once, and has no last ones.
    (park.evening.house.visitors, park.evening.house.children, park.evening.house.seated) = (4, 0, 0);
    let prepared = park.prepared();
    let stops =
        [(1, 60.0), (2, 130.0)].map(|(id, minute)| stop(&prepared, id, minute, "jupiter", "eyepiece"));
    park.evening.order = RunningOrder::new(stops.to_vec());
    let pages = whole(&park, &prepared);
    let rows = &pages.table(LeafKind::HostCard, "Say").rows;
    let times: Vec<&str> = rows.iter().map(|row| row[0].as_str()).collect();
    assert_eq!(times, ["22:00", "23:00", "23:07", "00:10", "00:17", "01:15"]);
    // The last stop ended at 00:20: there is nothing left to look at.
    assert_eq!(rows[5][1], "We close in 15 minutes.");
}
