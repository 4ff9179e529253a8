//! What the handbills must say, one test a capability, on the demo's evening read from its files. Lengths of easy sentences
//! are common practice, no source.

use evenfall_core::plan::{Decision, RunningOrder};
use evenfall_core::sheet::{Block, LeafDrawing, LeafKind};
use evenfall_tests::park::Park;

use super::pages::{Pages, clock, demo, facts, stands, stop, texts, whole, words};

#[test]
fn row_59_what_is_named_for_home_stands_there_then() {
    let (park, prepared, pages) = demo();
    // Doors close at 22:30; half an hour later is the last minute of the evening's sky.
    let at = prepared.doors.end().plus_minutes(30.0);
    assert_eq!(clock(&prepared, at), "23:00");
    let blocks = &pages.page(LeafKind::Handbill).blocks;
    let heading = Block::Heading("What you can see at home".into());
    let place = blocks.iter().position(|block| *block == heading).expect("the handbill tells it");
    let Block::Text(how) = &blocks[place + 1] else { panic!("{:?}", blocks[place + 1]) };
    assert!(how.contains("23:00") && how.contains("naked eye") && how.contains("binoculars"), "{how}");
    let Block::Facts(sights) = &blocks[place + 2] else { panic!("{:?}", blocks[place + 2]) };
    assert!(sights.len() >= 4, "{sights:?}");
    for sight in sights {
        let target = park.catalogue.targets.iter().position(|own| own.name == sight.label);
        let told = stands(&prepared, target.expect("it is one of the catalogue's"), at);
        assert!(sight.value.contains(&told), "{sight:?}: {told}");
    }
}

#[test]
fn row_59_the_handbill_is_in_plain_words_with_a_map_and_the_next_dates() {
    let (park, prepared, pages) = demo();
    let handbill = pages.page(LeafKind::Handbill);
    assert!(handbill.text_pt >= 12.0);
    let said = texts(handbill).join("\n");
    for unexplained in ["mag", "°", "′", "″", "×", "azimuth", "altitude", "airmass", "GMT", "Europe/"] {
        assert!(!said.contains(unexplained), "{unexplained} in {said}");
    }
    assert_eq!(handbill.zone, "All times GMT", "the zone is told once, in plain words");
    assert!(handbill.blocks.contains(&Block::Drawing(LeafDrawing::VisitorSky)));
    let site = &park.site.visitors;
    for told in park.evening.next_dates.iter().chain(&site.lines).chain([&site.contact]) {
        assert!(said.contains(told), "{told}");
    }
    for topic in ["Red light only", "warmly", "seated", "Do not touch", "corner of your eye", "at home"] {
        assert!(said.contains(topic), "{topic}");
    }
    let table = pages.table(LeafKind::Handbill, "Where in the sky");
    assert_eq!(table.rows.len(), park.evening.order.stops().len());
    for (row, stop) in table.rows.iter().zip(park.evening.order.stops()) {
        assert_eq!(row[0], clock(&prepared, stop.start()));
        let Some(show) = stop.show() else { continue };
        let index = park.target(&show.target.0);
        let target = &park.catalogue.targets[index];
        assert_eq!(row[1], target.name);
        assert_eq!(row[2], stands(&prepared, index, stop.start()));
        assert!(row[3].starts_with(&target.words.line) && row[3].contains(&target.words.look_for));
    }
}

#[test]
fn row_60_large_print_and_easy_words_tell_the_same() {
    let (park, _, pages) = demo();
    let handbill = pages.page(LeafKind::Handbill);
    let large = pages.page(LeafKind::HandbillLarge);
    assert!(large.text_pt >= 18.0 && large.blocks == handbill.blocks);
    let easy = pages.page(LeafKind::HandbillEasy);
    assert!(easy.text_pt >= 14.0 && easy.least_pt >= 12.0);
    let told = texts(easy).join("\n");
    let letters = |text: &str| text.to_lowercase().replace(['.', ',', ':', ';'], "");
    let easy_rows = &pages.table(LeafKind::HandbillEasy, "Where in the sky").rows;
    let rows = &pages.table(LeafKind::Handbill, "Where in the sky").rows;
    assert_eq!(easy_rows.len(), rows.len());
    for ((row, easy), stop) in rows.iter().zip(easy_rows).zip(park.evening.order.stops()) {
        assert_eq!(row[..3], easy[..3]);
        let Some(show) = stop.show() else { continue };
        let said = &park.catalogue.targets[park.target(&show.target.0)].words;
        for words in [&said.line, &said.look_for] {
            assert!(letters(&easy[3]).contains(&letters(words)), "{words} is not in {}", easy[3]);
        }
    }
    for notice in facts(handbill) {
        assert!(told.contains(&notice.label) && told.contains(&notice.value), "{notice:?}");
    }
    for date in &park.evening.next_dates {
        assert!(told.contains(date), "{date}");
    }
    let rules = easy.blocks.iter().filter_map(|block| match block {
        Block::Notes(notes) => Some(notes),
        _ => None,
    });
    for notice in rules.flatten().filter(|notice| !notice.value.contains("2027")) {
        for sentence in notice.value.split_inclusive(['.', ':']) {
            assert!(words(sentence) <= 12, "{sentence}");
        }
    }
    for sentence in easy_rows.iter().flat_map(|row| row[3].split_inclusive(['.', ':'])) {
        assert!(words(sentence) <= 12, "{sentence}");
    }
}

#[test]
fn called_off_the_handbills_promise_no_sky() {
    let (mut park, prepared, _) = demo();
    park.evening.call.decision = Decision::NoGo;
    let pages = whole(&park, &prepared);
    for kind in [LeafKind::Handbill, LeafKind::HandbillLarge, LeafKind::HandbillEasy] {
        let page = pages.page(kind);
        let said = texts(page).join("\n");
        for told in [
            "Doors open",
            "Tour of dome and telescope",
            "Good to know",
            "at home",
            "fists from the horizon",
            "Come again",
        ] {
            assert!(said.contains(told), "{kind:?}: no {told} in {said}");
        }
        for sky in ["First look", "What we show you", "eyepiece", "Fully dark", "screen"] {
            assert!(!said.contains(sky), "{kind:?}: {sky} in {said}");
        }
        let drawn = page.blocks.iter().any(|block| matches!(block, Block::Drawing(_) | Block::Table(_)));
        assert!(!drawn, "{kind:?}");
    }
}

#[test]
fn what_a_stop_shows_is_never_among_what_is_not_to_be_found() {
    // At latitude 55 the Moon of June, just past full, comes up late and keeps low: it is lower than 10 degrees when
    // these doors close.
    let mut park = Park::demo_on("2027-06-21");
    park.evening.programme.doors_open = "22:00".parse().expect("a time");
    park.evening.programme.doors_close = "01:30".parse().expect("a time");
    park.evening.programme.fixed.clear();
    let prepared = park.prepared();
    let moon = park.target("moon");
    let altitude_deg = |minute: u32| {
        let at = prepared.doors.start().plus_minutes(f64::from(minute));
        prepared.sample(moon, at).map_or(-90.0, |sample| sample.altitude.degrees())
    };
    let low =
        (0..200).find(|minute| (altitude_deg(*minute) - 8.0).abs() < 0.3).expect("it comes up to 8 degrees");
    let said = |park: &Park| texts(Pages::of(park, &prepared).page(LeafKind::Handbill)).join("\n");
    let not_found = "Not to be found with the naked eye while we are open: ";
    let named = |said: &str| {
        let line = said.lines().find_map(|line| line.strip_prefix(not_found).map(str::to_owned));
        line.unwrap_or_default()
    };
    assert!(named(&said(&park)).contains("the Moon"), "{}", said(&park));
    park.evening.order = RunningOrder::new(vec![stop(&prepared, 1, f64::from(low), "moon", "eyepiece")]);
    assert!(!named(&said(&park)).contains("the Moon"), "{}", said(&park));
}

#[test]
fn seats_are_promised_by_what_the_evening_shows() {
    let (mut park, prepared, _) = demo();
    let said = |park: &Park| texts(Pages::of(park, &prepared).page(LeafKind::Handbill)).join("\n");
    let camera =
        park.rig.ports.iter().find(|port| !port.is_eyepiece()).expect("the demo has one").id.0.clone();
    let at = |port: &str| RunningOrder::new(vec![stop(&prepared, 1, 60.0, "jupiter", port)]);
    let (eyepiece, screen, ask) = ("through the eyepiece while seated", "on a screen", "tell us beforehand");
    park.evening.order = at("eyepiece");
    let by_eye = said(&park);
    assert!(by_eye.contains(eyepiece) && !by_eye.contains(screen), "{by_eye}");
    let port = park.rig.ports.iter_mut().find(|port| port.id.0 == "eyepiece").expect("the demo has one");
    port.access = None;
    let out_of_reach = said(&park);
    assert!(out_of_reach.contains(ask) && !out_of_reach.contains(screen), "{out_of_reach}");
    park.evening.order = at(&camera);
    let on_screen = said(&park);
    assert!(on_screen.contains(screen) && !on_screen.contains("How to look"), "{on_screen}");
}

#[test]
fn what_rises_late_is_told_apart() {
    let mut late = 0;
    for month in 1..=12 {
        let park = Park::demo_on(&format!("2027-{month:02}-10"));
        let prepared = park.prepared();
        let pages = Pages::of(&park, &prepared);
        let blocks = &pages.page(LeafKind::Handbill).blocks;
        let home =
            blocks.iter().position(|block| *block == Block::Heading("What you can see at home".into()));
        let home = &blocks[home.expect("the handbill tells it")..];
        // Doors close at 22:30, people are at home at 23:00 and look out until 01:00.
        let tomorrow = home.iter().position(|block| *block == Block::Text("Early tomorrow:".into()));
        late += usize::from(tomorrow.is_some());
        for block in &home[..tomorrow.unwrap_or(home.len())] {
            let Block::Facts(sights) = block else { continue };
            for hour in ["02:", "03:", "04:", "05:", "06:", "07:"] {
                assert!(!sights.iter().any(|sight| sight.value.contains(&format!("from about {hour}"))));
            }
        }
    }
    assert!(late > 0, "some planet comes up before dawn in some month");
}

#[test]
fn a_change_of_clocks_is_told_to_visitors() {
    for (date, changes) in [("2027-10-30", true), ("2027-10-29", false)] {
        let park = Park::demo_on(date);
        let pages = Pages::of(&park, &park.prepared());
        for kind in [LeafKind::Handbill, LeafKind::HandbillEasy, LeafKind::DoorCard] {
            let told = facts(pages.page(kind)).into_iter().any(|notice| notice.label == "Clocks change");
            assert_eq!(told, changes, "{kind:?} of {date}");
        }
    }
}
