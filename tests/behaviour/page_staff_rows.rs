//! What the pages of those who run the evening must say, one test a capability, on the demo's evening read from its files.
//! Lengths of captions and cues are common practice, no source.

use std::collections::BTreeSet;

use chrono::NaiveTime;
use evenfall_core::catalogue::Kind;
use evenfall_core::document::{read_evening, write_evening};
use evenfall_core::plan::{Decision, RunningOrder, What};
use evenfall_core::sheet::{Block, FOOTER, Leaf, LeafKind, run_sheet, usual_cautions};
use evenfall_tests::park::Park;

use super::pages::{Pages, captions, captions_keep_their_lengths, clock, demo, facts, stop, texts, words};

#[test]
fn row_61_all_pages_are_one_plan_under_one_stamp() {
    let (mut park, prepared, pages) = demo();
    let kinds: BTreeSet<LeafKind> = pages.leaves.iter().map(|leaf| leaf.kind).collect();
    assert_eq!((kinds.len(), pages.leaves.len()), (12, 12));
    for leaf in &pages.leaves {
        assert_eq!((&leaf.stamp, leaf.footer.as_str()), (&pages.sheet.stamp, FOOTER), "{:?}", leaf.kind);
        for block in &leaf.blocks {
            let Block::Table(table) = block else { continue };
            assert_eq!(table.shares.len(), table.heads.len(), "{:?}", leaf.kind);
            assert!(table.rows.iter().all(|row| row.len() == table.heads.len()), "{:?}", leaf.kind);
        }
    }
    // Every stop stands at the same time under the same name wherever it is told.
    let hosts = pages.table(LeafKind::HostCard, "Say");
    let thin = pages.table(LeafKind::CloudCard, "Survives thin cloud");
    for row in &pages.sheet.rows {
        assert!(hosts.rows.iter().any(|own| own[0] == row.start && own[2].ends_with(&row.title)), "{row:?}");
        let told = thin.rows.iter().find(|own| own[0] == row.number);
        assert_eq!(told.is_some(), !row.altitude.is_empty());
        if let Some(told) = told {
            assert_eq!([&told[1], &told[2]], [&row.start, &row.title]);
            // An understudy that would be lost in the cloud as well is not named.
            assert!(told[4] == row.understudy || told[4] == "–", "{told:?}");
        }
    }
    // Whatever changes on any page changes the stamp, even what the run sheet does not print.
    let jupiter = park.target("jupiter");
    let stamp = |park: &Park| run_sheet(&park.evening, &prepared, &park.materials()).stamp;
    assert_eq!(stamp(&park), pages.sheet.stamp);
    park.catalogue.targets[jupiter].words.comparison = "Two of them would be too many.".into();
    assert_ne!(stamp(&park), pages.sheet.stamp);
    let (mut park, ..) = demo();
    park.site.visitors.lines.pop();
    assert_ne!(stamp(&park), pages.sheet.stamp);
    park.evening.next_dates.clear();
    let before = stamp(&park);
    park.evening.call.crew_before_minutes = 75.0;
    assert_ne!(stamp(&park), before);
}

#[test]
fn row_61_thin_cloud_leaves_moon_planets_and_bright_stars() {
    // Moon, planets, bright double stars shine through thin cloud, one to three magnitudes of it; what is faint and spread out
    // does not: common practice, no source.
    let mut park = Park::demo();
    let prepared = park.prepared();
    let shown: Vec<(usize, String)> = prepared
        .availability
        .iter()
        .enumerate()
        .filter(|(_, own)| own.best.is_some())
        .filter_map(|(index, _)| {
            Some((index, park.rig.ports[prepared.ranked[index].first()?.port].id.0.clone()))
        })
        .collect();
    let minute = |index: usize| {
        let (best, _) = prepared.availability[index].best.expect("it can be shown");
        best.minutes_since(prepared.doors.start()).round()
    };
    let stops = shown.iter().enumerate().map(|(id, (index, port))| {
        stop(&prepared, id as u32 + 1, minute(*index), &park.catalogue.targets[*index].id.0, port)
    });
    park.evening.order = RunningOrder::new(stops.collect());
    let pages = Pages::of(&park, &prepared);
    let thin = pages.table(LeafKind::CloudCard, "Survives thin cloud");
    assert_eq!(thin.rows.len(), shown.len());
    let answer = |index: usize| {
        let name = &park.catalogue.targets[index].name;
        thin.rows.iter().find(|row| &row[2] == name).map(|row| row[3].clone()).expect("it is told")
    };
    let (mut bright, mut lost) = (0, 0);
    for (index, _) in &shown {
        let target = &park.catalogue.targets[*index];
        let bright_pair = target.kind == Kind::DoubleStar && target.magnitude.is_some_and(|own| own.0 < 4.0);
        let outer = ["uranus", "neptune"].contains(&target.id.0.as_str());
        let body = matches!(target.kind, Kind::Moon | Kind::Planet) && !outer;
        let view = prepared.choices_of(&park.materials(), *index)[0].view.value();
        if (body || bright_pair) && view > 0.5 {
            assert_eq!(answer(*index), "yes", "{}", target.name);
            bright += 1;
        } else if matches!(target.kind, Kind::Nebula | Kind::DarkNebula | Kind::Galaxy) {
            assert_eq!(answer(*index), "no", "{}", target.name);
            lost += 1;
        }
    }
    assert!(bright >= 4 && lost >= 2, "{bright} bright ones, {lost} faint ones lost");
}

#[test]
fn row_65_the_host_reads_at_each_minute_what_to_say() {
    let (park, prepared, pages) = demo();
    let host = pages.table(LeafKind::HostCard, "Say");
    assert!(host.rows.is_sorted_by_key(|row| row[0].clone()), "the demo ends before midnight");
    for row in &host.rows {
        assert!((1..=7).contains(&words(&row[1])), "{row:?}");
    }
    for stop in park.evening.order.stops() {
        let Some(show) = stop.show() else { continue };
        let cue = &park.catalogue.targets[park.target(&show.target.0)].words.cue;
        let at = clock(&prepared, stop.start());
        assert!(host.rows.iter().any(|row| row[0] == at && &row[1] == cue), "{at}: {cue}");
    }
}

#[test]
fn row_73_with_the_laptop_dead_the_run_sheet_has_every_fact() {
    let (park, prepared, pages) = demo();
    for (row, stop) in pages.sheet.rows.iter().zip(park.evening.order.stops()) {
        let mut facts = vec![
            ("number", &row.number),
            ("start", &row.start),
            ("end", &row.end),
            ("zone", &row.zone),
            ("title", &row.title),
            ("people's time", &row.people_time),
            ("what to say", &row.cue),
        ];
        if let Some(show) = stop.show() {
            facts.extend([
                ("kind", &row.kind),
                ("port", &row.port),
                ("eyepiece, exposure or slit", &row.port_detail),
                ("focus", &row.focus),
                ("altitude", &row.altitude),
                ("azimuth", &row.azimuth),
                ("slit", &row.dome),
                ("begin of the move", &row.move_start),
                ("length of the move", &row.move_time),
                ("framing", &row.lead_time),
                ("understudy", &row.understudy),
            ]);
            let port = park.rig.port(&show.port).expect("the rig has it");
            assert_eq!(row.line_forms.is_empty(), !port.is_eyepiece(), "{row:?}");
            assert!(row.focus.ends_with(" steps"), "{row:?}");
            // Read under a red lamp in a narrow column.
            for (what, short) in [("focus", &row.focus), ("slit", &row.dome), ("detail", &row.port_detail)] {
                assert!(short.chars().count() <= 18, "{what}: {short}");
            }
        }
        for (what, fact) in facts {
            assert!(!fact.is_empty(), "stop {}, {}: no {what}", row.number, row.title);
        }
    }
    // The line stands to the right of a tube that points south-west: at the right Nasmyth side, a quarter turn on.
    let first = park.evening.order.stops().iter().position(|stop| stop.show().is_some()).expect("a stop");
    let azimuth = prepared.sample(park.target("moon"), park.evening.order.stops()[first].start());
    assert!((225.0..247.5).contains(&azimuth.expect("it was sampled").azimuth.degrees()));
    assert_eq!(pages.sheet.rows[first].line_forms, "line north-west");
    assert!(pages.sheet.rows[first].dome.starts_with("slit SW"));
    let heads: Vec<&str> = pages.sheet.head.iter().map(|notice| notice.label.as_str()).collect();
    for label in [
        "Doors",
        "Visitors",
        "Sunset",
        "Civil dusk",
        "Nautical dusk",
        "Astronomical dusk",
        "Moon",
        "Slack",
        "Park closes",
        "Contact",
    ] {
        assert!(heads.contains(&label), "no {label} in {heads:?}");
    }
    assert!(!pages.sheet.limits.is_empty() && !pages.sheet.cautions.is_empty());
}

#[test]
fn a_target_larger_than_the_field_is_told_to_be_seen_in_part() {
    let mut park = Park::demo();
    let prepared = park.prepared();
    let ports = ["planetary", "wide", "eyepiece"];
    let stops = (0_u8..).zip(ports).map(|(place, port)| {
        stop(&prepared, u32::from(place) + 1, 20.0 + 15.0 * f64::from(place), "moon", port)
    });
    park.evening.order = RunningOrder::new(stops.collect());
    let pages = Pages::of(&park, &prepared);
    // The focal plane: a field is the short side of the sensor over the focal length, both as in the demo's rig.
    let moon = prepared.tracks[park.target("moon")].appearance.expect("it is a body").diameter.radians();
    for (row, short_side_mm) in pages.sheet.rows.iter().zip([4.99, 24.0]) {
        let shown = (100.0 * short_side_mm / 4200.0 / moon).round();
        assert!(row.port_detail.starts_with("expose ") && row.port_detail.contains(", "), "{row:?}");
        assert!(row.port_detail.ends_with(&format!("part of it: {shown}% across")), "{row:?}, {shown}");
    }
    assert_eq!(
        pages.sheet.rows[2].port_detail, "35 mm, 120×",
        "a field stop of 38.7 mm holds the whole Moon"
    );
    let pictures = facts(pages.page(LeafKind::Captions));
    let pictures: Vec<_> = pictures.iter().filter(|fact| fact.label == "Picture").collect();
    assert_eq!(pictures.len(), 2);
    assert!(pictures.iter().all(|fact| fact.value.ends_with("A part of it, not the whole.")), "{pictures:?}");
}

#[test]
fn row_73_a_stop_made_by_hand_has_an_understudy_too() {
    let (mut park, prepared) = Park::demo().drafted();
    let mut stops = park.evening.order.stops().to_vec();
    for stop in &mut stops {
        if let What::Show(show) = &mut stop.what {
            show.understudy = None;
        }
    }
    park.evening.order = RunningOrder::new(stops);
    let sheet = run_sheet(&park.evening, &prepared, &park.materials());
    let shown: Vec<&str> = sheet.rows.iter().map(|row| row.title.as_str()).collect();
    let with: Vec<&str> =
        sheet.rows.iter().map(|row| row.understudy.as_str()).filter(|own| !own.is_empty()).collect();
    assert!(with.len() >= 6 && with.iter().all(|own| !shown.contains(own)), "{with:?}");
}

#[test]
fn row_82_the_cautions_are_the_sites_own_first_and_signed() {
    let (park, _, pages) = demo();
    let page = pages.page(LeafKind::Cautions);
    let said = texts(page);
    let place = |text: &str| said.iter().position(|own| own == text).unwrap_or_else(|| panic!("{text}"));
    for own in &park.site.cautions {
        for (topic, advice) in usual_cautions() {
            assert!(place(own) < place(topic) && place(topic) + 1 == place(advice), "{topic}");
        }
    }
    for topic in ["ISO 12312-2", "aircraft", "wind chill", "flashes", "focused sunlight", "allowed inside"] {
        assert!(said.iter().any(|own| own.contains(topic)), "{topic}");
    }
    let signed = pages.table(LeafKind::Cautions, "Signature");
    let called = texts(pages.page(LeafKind::CallCard));
    for row in &signed.rows {
        assert!(row[1..].iter().all(String::is_empty), "{row:?}");
        let role = row[0].trim_end_matches([' ', '1', '2', '3']);
        assert!(role == "Helper" || called.iter().any(|line| line.starts_with(role)), "{role}");
    }
    // Sixty visitors: three of the eight roles are shared.
    assert_eq!(signed.rows.iter().filter(|row| !row[0].starts_with("Helper")).count(), 11);
    assert!(page.footer.contains("Defer to local codes, park rules"));
}

#[test]
fn row_83_the_call_card_has_the_sites_limits_the_hour_and_who_decided() {
    let (mut park, prepared, pages) = demo();
    let open = pages.page(LeafKind::CallCard);
    let said = texts(open).join("\n");
    // From the site's file; doors at 18:30, decided two hours before, the crew one.
    for told in ["45 km/h", "90%", "60%", "thunder", "16:30 GMT", "17:30 GMT", "At least three trained"] {
        assert!(said.contains(told), "{told} in {said}");
    }
    let choices = |leaf: &Leaf| leaf.blocks.iter().any(|block| matches!(block, Block::Choices(_)));
    assert!(choices(open));
    assert!(choices_of_decision(pages.page(LeafKind::NightReport)), "to be filled in by hand");
    for (decision, large) in [(Decision::Go, "Go"), (Decision::NoGo, "No-go")] {
        park.evening.call.decision = decision;
        park.evening.call.decided_at = NaiveTime::from_hms_opt(16, 20, 0);
        park.evening.call.decided_by = "the night lead".into();
        let text = write_evening(&park.evening, park.site.zone);
        park.evening = read_evening("again", &text).expect("what was decided is kept in the evening's file");
        let pages = Pages::of(&park, &prepared);
        let card = pages.page(LeafKind::CallCard);
        assert!(card.blocks.contains(&Block::Large(large.into())) && !choices(card));
        let said = texts(card).join("\n");
        assert!(said.contains("16:20 GMT") && said.contains("the night lead"), "{said}");
        let report = facts(pages.page(LeafKind::NightReport));
        for (label, told) in [("Decision", large), ("Decided", "at 16:20 GMT"), ("By", "the night lead")] {
            assert!(report.iter().any(|fact| fact.label == label && fact.value == told), "{report:?}");
        }
        assert!(!choices_of_decision(pages.page(LeafKind::NightReport)));
        let off = decision == Decision::NoGo;
        assert_eq!(said.contains("Instead, indoors"), off);
        assert_eq!(said.contains("help indoors"), off);
        for kind in [LeafKind::Handbill, LeafKind::HandbillEasy] {
            let told = texts(pages.page(kind)).join("\n");
            assert_eq!(told.contains("We cannot show you the sky tonight"), off, "{kind:?}");
        }
        assert_eq!(texts(pages.page(LeafKind::DoorCard)).join("\n").contains("indoors"), off);
    }
}

/// Whether a page leaves the decision to be ticked.
fn choices_of_decision(leaf: &Leaf) -> bool {
    leaf.blocks.contains(&Block::Choices(vec!["Go".into(), "No-go".into()]))
}

#[test]
fn the_night_report_has_a_row_a_stop_with_room_for_what_came_of_it() {
    let (mut park, prepared, pages) = demo();
    let stops = pages.table(LeafKind::NightReport, "Looked");
    let order = park.evening.order.stops();
    assert_eq!(stops.rows.len(), order.len() + 2, "and two for what was not planned");
    for ((row, sheet), stop) in stops.rows.iter().zip(&pages.sheet.rows).zip(order) {
        let span = format!("{} to {}", sheet.start, sheet.end);
        assert!(row[0].contains(&sheet.title) && row[1].replace('\u{a0}', " ") == span, "{row:?}");
        let blank = stops.filled_in.iter().filter(|(column, _)| row[*column].is_empty()).count();
        assert_eq!(blank, if stop.show().is_some() { 4 } else { 2 }, "nobody looks at a talk: {row:?}");
    }
    park.evening.call.decision = Decision::NoGo;
    // Doors at 18:30. What was shown before it was called off is counted too.
    for (hour, counted) in [(None, false), (Some(16), false), (Some(20), true)] {
        park.evening.call.decided_at = hour.and_then(|hour| NaiveTime::from_hms_opt(hour, 0, 0));
        let pages = Pages::of(&park, &prepared);
        let report = pages.page(LeafKind::NightReport);
        assert_eq!(report.blocks.iter().any(|block| matches!(block, Block::Table(_))), counted, "{hour:?}");
        assert_eq!(texts(report).join("\n").contains("before doors opened"), !counted, "{hour:?}");
    }
}

#[test]
fn row_89_every_stop_has_a_caption_and_a_description() {
    let (park, _, pages) = demo();
    captions_keep_their_lengths(&pages);
    let captions = captions(pages.page(LeafKind::Captions));
    for (stop, (lines, spoken)) in park.evening.order.stops().iter().zip(captions) {
        let Some(show) = stop.show() else { continue };
        let target = &park.catalogue.targets[park.target(&show.target.0)];
        assert!(lines.join(" ").starts_with(&target.name) && spoken.starts_with(&target.name), "{lines:?}");
        assert!(spoken.contains(&target.words.look_for) && spoken.ends_with(['.', '!', '?']), "{spoken}");
    }
}

#[test]
fn called_off_no_card_of_the_crew_promises_the_sky() {
    let (mut park, prepared, _) = demo();
    park.evening.call.decision = Decision::NoGo;
    let pages = Pages::of(&park, &prepared);
    let host = pages.page(LeafKind::HostCard);
    assert_eq!(host.blocks.first(), Some(&Block::Large("No-go: see the Cloud card".into())));
    let said = texts(host).join("\n");
    assert!(!said.contains("Last looks") && !said.contains("Last ones"), "{said}");
    for stop in park.evening.order.stops() {
        let Some(show) = stop.show() else { continue };
        let cue = &park.catalogue.targets[park.target(&show.target.0)].words.cue;
        assert!(!said.contains(cue), "{cue}");
    }
    let captions = pages.page(LeafKind::Captions);
    assert!(matches!(captions.blocks.first(), Some(Block::Text(text)) if text.starts_with("No-go")));
    let cloud = texts(pages.page(LeafKind::CloudCard)).join("\n");
    assert!(cloud.contains("the dome stays closed") && !cloud.contains("Holes"), "{cloud}");
    for kind in [LeafKind::CallCard, LeafKind::DoorCard, LeafKind::CloudCard] {
        let said = texts(pages.page(kind)).join("\n");
        assert!(said.contains("Tour of dome") && !said.contains("far lamp"), "{kind:?}: {said}");
    }
}

#[test]
fn a_far_lamp_takes_the_night_leads_word() {
    let (_, _, pages) = demo();
    let blocks = &pages.page(LeafKind::CloudCard).blocks;
    let place = |wanted: &str| {
        let holds = |block: &Block| matches!(block, Block::Heading(text) | Block::Text(text) if text.contains(wanted));
        blocks.iter().position(holds).unwrap_or_else(|| panic!("no {wanted}"))
    };
    let lamp = place("only with the night lead's word that no limit is reached");
    assert!(place("Thin cloud") < lamp && lamp < place("Shut"));
}

#[test]
fn an_hour_of_the_day_before_bears_its_date() {
    let mut park = Park::demo();
    park.evening.call.decide_before_minutes = 1440.0;
    let prepared = park.prepared();
    let pages = Pages::of(&park, &prepared);
    // Doors of Saturday 13 March 2027 open at 18:30; a day has 1440 minutes.
    let card = texts(pages.page(LeafKind::CallCard)).join("\n");
    assert!(card.contains("To decide at\nFriday 12 March, 18:30 GMT"), "{card}");
    assert!(card.contains("Crew there at\n17:30 GMT"), "{card}");
    assert!(card.contains("Night lead, Friday 12 March, 18:30 to 23:30"), "{card}");
    let door = texts(pages.page(LeafKind::DoorCard)).join("\n");
    assert!(door.contains("We say at Friday 12 March, 18:30 GMT"), "{door}");
}

#[test]
fn the_cards_name_the_zone_where_it_changes_within_doors() {
    // IANA time zone database, file europe: on 31 October 2027 the clock goes from 02:00 BST to 01:00 GMT.
    let mut park = Park::demo_on("2027-10-30");
    park.evening.programme.doors_open = "22:00".parse().expect("a time");
    park.evening.programme.doors_close = "04:00".parse().expect("a time");
    park.evening.programme.fixed.clear();
    // So few that all who come can look: a line that is too long from the first is closed at once, and has no last ones.
    (park.evening.house.visitors, park.evening.house.children, park.evening.house.seated) = (4, 0, 0);
    let prepared = park.prepared();
    let minutes = [30.0, 200.0, 260.0];
    let stops =
        minutes.iter().zip(1..).map(|(minute, id)| stop(&prepared, id, *minute, "saturn", "eyepiece"));
    park.evening.order = RunningOrder::new(stops.collect());
    let pages = Pages::of(&park, &prepared);
    let times: Vec<&str> =
        pages.table(LeafKind::HostCard, "Say").rows.iter().map(|row| row[0].as_str()).collect();
    // Doors open, then each stop and the last of its line; the third is after the change, the doors a quarter before they end.
    let told = [
        "22:00 BST",
        "22:30 BST",
        "22:37 BST",
        "01:20 BST",
        "01:27 BST",
        "01:20 GMT",
        "01:27 GMT",
        "03:45 GMT",
    ];
    assert_eq!(times, told);
    for kind in [LeafKind::HostCard, LeafKind::HandOver, LeafKind::DoorCard] {
        let notice = facts(pages.page(kind)).into_iter().find(|notice| notice.label == "Clocks change");
        assert_eq!(
            notice.map(|notice| notice.value.as_str()),
            Some("at 02:00 BST the clock goes to 01:00 GMT")
        );
    }
    let thin = pages.table(LeafKind::CloudCard, "Survives thin cloud");
    assert_eq!(
        thin.rows.iter().map(|row| row[1].as_str()).collect::<Vec<_>>(),
        ["22:30 BST", "01:20 BST", "01:20 GMT"]
    );
    assert!(texts(pages.page(LeafKind::Captions)).iter().any(|text| text.starts_with("3. 01:20 GMT")));
}
