//! What the pages of the evening must say, one test a capability, on the demo's evening read from its files; then on nights
//! and with names that no layout likes. Lengths of captions, cues and easy sentences are common practice, no source.

use std::collections::BTreeSet;

use chrono::{NaiveTime, Timelike};
use evenfall_core::catalogue::{Kind, TargetId};
use evenfall_core::document::{read_evening, write_evening};
use evenfall_core::plan::{
    Decision, Evening, Held, Prepared, RunningOrder, Show, Stop, StopId, What, prepare,
};
use evenfall_core::rig::PortId;
use evenfall_core::sheet::{
    Block, FOOTER, Leaf, LeafDrawing, LeafKind, LeafTable, Notice, RunSheet, leaves, run_sheet,
    usual_cautions,
};
use evenfall_core::time::{Instant, Interval};
use evenfall_core::units::Angle;
use evenfall_tests::park::Park;

/// The pages of an evening, and its run sheet.
struct Pages {
    sheet: RunSheet,
    leaves: Vec<Leaf>,
}

impl Pages {
    fn of(park: &Park, prepared: &Prepared) -> Self {
        let sheet = run_sheet(&park.evening, prepared, &park.materials());
        let leaves = leaves(&park.evening, prepared, &park.materials(), &sheet);
        Self { sheet, leaves }
    }

    fn page(&self, kind: LeafKind) -> &Leaf {
        self.leaves.iter().find(|leaf| leaf.kind == kind).expect("every kind of page is made")
    }

    fn table(&self, kind: LeafKind, head: &str) -> &LeafTable {
        let mut tables = self.page(kind).blocks.iter().filter_map(|block| match block {
            Block::Table(table) => Some(table),
            _ => None,
        });
        tables
            .find(|table| table.heads.iter().any(|own| own == head))
            .unwrap_or_else(|| panic!("{kind:?} has no table with {head}"))
    }
}

fn demo() -> (Park, Prepared, Pages) {
    let (park, prepared) = Park::demo().drafted();
    let pages = Pages::of(&park, &prepared);
    (park, prepared, pages)
}

/// Every text of a page, in its order.
fn texts(leaf: &Leaf) -> Vec<String> {
    let pair = |notice: &Notice| [notice.label.clone(), notice.value.clone()];
    let mut texts = vec![leaf.title.clone(), leaf.subtitle.clone()];
    for block in &leaf.blocks {
        match block {
            Block::Heading(text) | Block::Subheading(text) | Block::Text(text) | Block::Large(text) => {
                texts.push(text.clone());
            }
            Block::Facts(facts) => texts.extend(facts.iter().flat_map(pair)),
            Block::List(all) | Block::Choices(all) | Block::FillIn(all) => texts.extend(all.iter().cloned()),
            Block::Table(table) => {
                texts.extend(table.heads.iter().chain(table.rows.iter().flatten()).cloned());
            }
            Block::Drawing(_) | Block::NewSide => {}
        }
    }
    texts
}

fn facts(leaf: &Leaf) -> Vec<&Notice> {
    let facts = leaf.blocks.iter().filter_map(|block| match block {
        Block::Facts(facts) => Some(facts),
        _ => None,
    });
    facts.flatten().collect()
}

fn words(text: &str) -> usize {
    text.split_whitespace().count()
}

fn clock(prepared: &Prepared, at: Instant) -> String {
    prepared.night.local.local(at).format("%H:%M").to_string()
}

/// A stop of ten minutes that begins so many minutes after doors open.
fn stop(prepared: &Prepared, id: u32, minute: f64, target: &str, port: &str) -> Stop {
    let at = |minute: f64| prepared.doors.start().plus_minutes(minute);
    Stop {
        id: StopId(id),
        what: What::Show(Show {
            target: TargetId(target.into()),
            port: PortId(port.into()),
            eyepiece: None,
            understudy: None,
        }),
        interval: Interval::new(at(minute), at(minute + 10.0)).expect("in order"),
        held: Held::default(),
    }
}

/// Where a target stands, by the compass: eight winds of 45 degrees each, the first round north; a fist is ten degrees.
fn stands(prepared: &Prepared, index: usize, at: Instant) -> String {
    let winds = ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
    let counts = [
        "no fists",
        "one fist",
        "two fists",
        "three fists",
        "four fists",
        "five fists",
        "six fists",
        "seven fists",
    ];
    let sample = prepared.sample(index, at).expect("it was sampled");
    let wind = winds[((sample.azimuth.degrees() + 22.5) / 45.0) as usize % 8];
    format!("in the {wind}, {} high", counts[(sample.altitude.degrees() / 10.0).round() as usize])
}

#[test]
fn row_59_what_is_named_for_home_stands_there_then() {
    let (park, prepared, pages) = demo();
    // Doors close at 22:30; half an hour later is the last minute of the evening's sky.
    let at = prepared.doors.end().plus_minutes(30.0);
    assert_eq!(clock(&prepared, at), "23:00");
    let blocks = &pages.page(LeafKind::Handbill).blocks;
    let heading = Block::Heading("What you can see at home".into());
    let place = blocks.iter().position(|block| *block == heading).expect("the handbill tells it");
    let Block::Facts(sights) = &blocks[place + 2] else { panic!("{:?}", blocks[place + 2]) };
    assert!(sights.len() >= 4, "{sights:?}");
    for sight in sights {
        let target = park.catalogue.targets.iter().position(|own| own.name == sight.label);
        let told = stands(&prepared, target.expect("it is one of the catalogue's"), at);
        assert!(sight.value.contains(&told), "{sight:?}: {told}");
        assert!(sight.value.starts_with("with the naked eye") || sight.value.starts_with("with binoculars"));
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
        assert!(row[2].starts_with(&target.words.line) && row[2].contains(&target.words.look_for));
        assert_eq!(row[3], stands(&prepared, index, stop.start()));
    }
}

#[test]
fn row_60_large_print_and_easy_words_tell_the_same() {
    let (_, _, pages) = demo();
    let handbill = pages.page(LeafKind::Handbill);
    let large = pages.page(LeafKind::HandbillLarge);
    assert!(large.text_pt >= 18.0 && large.blocks == handbill.blocks);
    let easy = pages.page(LeafKind::HandbillEasy);
    assert!(easy.text_pt >= 14.0 && !easy.blocks.iter().any(|block| matches!(block, Block::Table(_))));
    let told = texts(easy).join("\n");
    for row in &pages.table(LeafKind::Handbill, "Where in the sky").rows {
        assert!(told.contains(&format!("{} {}", row[0], row[1])), "{row:?}");
        assert!(told.contains(&row[3]), "{row:?}");
    }
    for notice in facts(handbill) {
        assert!(facts(easy).contains(&notice), "{notice:?}");
    }
    for block in &easy.blocks {
        let sentences: Vec<&str> = match block {
            Block::List(all) => all.iter().map(String::as_str).collect(),
            Block::Text(text) => text.split_inclusive(['.', ':']).collect(),
            _ => continue,
        };
        for sentence in sentences.into_iter().filter(|sentence| !sentence.contains("2027")) {
            assert!(words(sentence) <= 12, "{sentence}");
        }
    }
}

#[test]
fn row_61_all_pages_are_one_plan_under_one_stamp() {
    let (mut park, prepared, pages) = demo();
    let kinds: BTreeSet<LeafKind> = pages.leaves.iter().map(|leaf| leaf.kind).collect();
    assert_eq!((kinds.len(), pages.leaves.len()), (10, 10));
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
            assert_eq!([&told[1], &told[2], &told[4]], [&row.start, &row.title, &row.understudy]);
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
        .filter_map(|(index, _)| Some((index, prepared.choices[index].first()?.port.0.clone())))
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
        let view = prepared.choices[*index][0].view.value();
        if (body || bright_pair) && view > 0.5 {
            assert_eq!(answer(*index), "yes", "{}", target.name);
            bright += 1;
        } else if matches!(target.kind, Kind::Nebula | Kind::DarkNebula | Kind::Galaxy) {
            lost += usize::from(answer(*index) == "no");
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

/// Hours, minutes and seconds, or degrees with their sign, as decimals.
fn sexagesimal(text: &str) -> f64 {
    let digits = |c: char| !(c.is_ascii_digit() || c == '.');
    let parts: Vec<f64> = text.split(digits).filter_map(|part| part.parse().ok()).collect();
    let [whole, minutes, seconds] = parts[..] else { panic!("{text}") };
    let value = whole + minutes / 60.0 + seconds / 3600.0;
    if text.starts_with('\u{2212}') { -value } else { value }
}

fn number(text: &str) -> f64 {
    text.replace('\u{2212}', "-").trim_end_matches('°').parse().unwrap_or_else(|_| panic!("{text}"))
}

/// Altitude with refraction and azimuth in degrees, worked from what stands on the card by the formulas of a book.
///
/// Meeus, Astronomical Algorithms, 2nd ed.: mean sidereal time, eq. 12.4; altitude and azimuth, eqs. 13.5 and 13.6 with the
/// azimuth from the south; refraction, eq. 16.4.
fn pointed(
    right_ascension_h: f64,
    declination_deg: f64,
    jd_ut: f64,
    (latitude, longitude): (f64, f64),
    air: (f64, f64),
) -> (f64, f64) {
    let t = (jd_ut - 2_451_545.0) / 36_525.0;
    let sidereal_deg = 280.460_618_37 + 360.985_647_366_29 * (jd_ut - 2_451_545.0) + 0.000_387_933 * t * t;
    let hour_angle = (sidereal_deg + longitude - 15.0 * right_ascension_h).to_radians();
    let (declination, latitude) = (declination_deg.to_radians(), latitude.to_radians());
    let from_south =
        hour_angle.sin().atan2(hour_angle.cos() * latitude.sin() - declination.tan() * latitude.cos());
    let sine = latitude.sin() * declination.sin() + latitude.cos() * declination.cos() * hour_angle.cos();
    let altitude = sine.asin().to_degrees();
    let refraction_arcmin = 1.02 / (altitude + 10.3 / (altitude + 5.11)).to_radians().tan()
        * (air.0 / 1010.0)
        * (283.0 / (273.0 + air.1));
    (altitude + refraction_arcmin / 60.0, (from_south.to_degrees() + 180.0).rem_euclid(360.0))
}

#[test]
fn row_78_a_second_person_points_from_paper_alone() {
    let (_, _, pages) = demo();
    let card = pages.page(LeafKind::HandOver);
    assert!(card.landscape);
    let site =
        facts(card).into_iter().find(|notice| notice.label == "Site").expect("the card tells the site");
    let told: Vec<f64> = site
        .value
        .split([' ', '°', ','])
        .filter_map(|part| part.replace('\u{2212}', "-").parse().ok())
        .collect();
    let [latitude, longitude_west, _, pressure_hpa, temperature_c] = told[..] else { panic!("{told:?}") };
    assert!(site.value.contains("° north") && site.value.contains("° west"));
    let table = pages.table(LeafKind::HandOver, "RA of date (h m s)");
    for head in
        ["Dec of date (° ′ ″)", "RA ICRS, J2000.0 (h m s)", "UTC (h:m:s)", "Altitude (°)", "Azimuth (°)"]
    {
        assert!(table.heads.iter().any(|own| own == head), "{head}");
    }
    // 2027 March 13.0 UT: Julian day by Meeus, chapter 7.
    let midnight = 2_461_477.5;
    let mut worked = 0;
    for row in &table.rows {
        let first =
            |column: usize, mark: &str| row[column].split(mark).next().expect("a cell").trim().to_owned();
        let utc = NaiveTime::parse_from_str(&first(2, " to "), "%H:%M:%S").expect("a time in UTC");
        let jd = midnight + f64::from(utc.num_seconds_from_midnight()) / 86_400.0;
        let (right_ascension, declination) = (sexagesimal(&row[3]), sexagesimal(&row[4]));
        let (altitude, azimuth) = pointed(
            right_ascension,
            declination,
            jd,
            (latitude, -longitude_west),
            (pressure_hpa, temperature_c),
        );
        // Half of the last digit printed, and what mean sidereal time leaves out.
        assert!((altitude - number(&first(7, "→"))).abs() < 0.06, "{row:?}: {altitude}");
        let off = (azimuth - number(&first(8, "→"))) * altitude.to_radians().cos();
        assert!(off.abs() < 0.06, "{row:?}: {azimuth}");
        // ICRS to date in 27 years: precession is 50.3″ a year, 0.38 degrees, and nutation and aberration a hundredth.
        let east = 15.0 * (right_ascension - sexagesimal(&row[5])) * declination.to_radians().cos();
        let apart = east.hypot(declination - sexagesimal(&row[6]));
        assert!((0.1..0.40).contains(&apart), "{row:?}: {apart}");
        worked += 1;
    }
    assert!(worked >= 9, "{worked}");
    let settings = pages.table(LeafKind::HandOver, "Rotator (°)");
    for (row, sheet) in
        settings.rows.iter().zip(pages.sheet.rows.iter().filter(|row| !row.altitude.is_empty()))
    {
        assert!(row.iter().all(|cell| !cell.is_empty()), "{row:?}");
        assert_eq!([&row[1], &row[2], &row[3]], [&sheet.port, &sheet.port_detail, &sheet.focus]);
    }
    for label in ["Sun", "Mount", "Keyhole", "Cables", "Horizon, azimuth: altitude"] {
        assert!(facts(card).iter().any(|notice| notice.label == label), "{label}");
    }
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
    let signed = page
        .blocks
        .iter()
        .any(|block| matches!(block, Block::FillIn(lines) if lines.iter().any(|line| line == "Night lead")));
    assert!(signed && page.footer.contains("Defer to local codes, park rules"));
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
        let off = decision == Decision::NoGo;
        assert_eq!(said.contains("Instead, indoors"), off);
        for kind in [LeafKind::Handbill, LeafKind::HandbillEasy] {
            let told = texts(pages.page(kind)).join("\n");
            assert_eq!(told.contains("We cannot show you the sky tonight"), off, "{kind:?}");
        }
        assert_eq!(texts(pages.page(LeafKind::DoorCard)).join("\n").contains("indoors"), off);
    }
}

/// The caption's lines and the description of every stop.
fn captions(leaf: &Leaf) -> Vec<(Vec<&str>, &str)> {
    let stops = leaf.blocks.iter().filter_map(|block| match block {
        Block::Facts(facts) => Some(facts),
        _ => None,
    });
    stops
        .map(|facts| {
            let lines = facts.iter().filter(|fact| fact.label.starts_with("Caption"));
            let spoken = facts.iter().find(|fact| fact.label == "Spoken").expect("it is described");
            (lines.map(|fact| fact.value.as_str()).collect(), spoken.value.as_str())
        })
        .collect()
}

fn captions_keep_their_lengths(pages: &Pages) {
    let captions = captions(pages.page(LeafKind::Captions));
    assert_eq!(captions.len(), pages.sheet.rows.len());
    for (lines, spoken) in captions {
        assert!((1..=2).contains(&lines.len()), "{lines:?}");
        assert!(lines.iter().all(|line| !line.is_empty() && line.chars().count() <= 42), "{lines:?}");
        assert!((1..=60).contains(&words(spoken)), "{spoken}");
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

/// What holds of every set, whatever the night.
fn true_and_whole(park: &Park, prepared: &Prepared) -> Pages {
    let pages = Pages::of(park, prepared);
    assert_eq!(pages.leaves.len(), 10);
    for leaf in &pages.leaves {
        assert!(!leaf.title.is_empty() && !leaf.blocks.is_empty(), "{:?}", leaf.kind);
        for block in &leaf.blocks {
            let empty = match block {
                Block::Facts(facts) => {
                    facts.iter().any(|fact| fact.label.is_empty() || fact.value.is_empty())
                }
                Block::List(all) | Block::FillIn(all) => all.is_empty() || all.iter().any(String::is_empty),
                Block::Table(table) => table.rows.is_empty(),
                Block::Heading(text) | Block::Subheading(text) | Block::Text(text) => text.trim().is_empty(),
                _ => false,
            };
            assert!(!empty, "{:?}: {block:?}", leaf.kind);
        }
        assert!(!texts(leaf).iter().any(|text| text.contains("NaN")), "{:?}", leaf.kind);
    }
    captions_keep_their_lengths(&pages);
    pages
}

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
    let pages = true_and_whole(&park, &prepared);
    let handbill = texts(pages.page(LeafKind::Handbill)).join("\n");
    assert!(names.iter().all(|name| handbill.contains(name.trim())), "names stand whole where there is room");
}

#[test]
fn pages_of_no_stops_and_of_sixty_say_something_true() {
    let mut park = Park::demo();
    let prepared = park.prepared();
    park.evening.order = RunningOrder::default();
    let pages = true_and_whole(&park, &prepared);
    assert!(texts(pages.page(LeafKind::Handbill)).join(" ").contains("decided on the night"));
    assert!(texts(pages.page(LeafKind::HandOver)).join(" ").contains("No stop shows a target yet"));
    let stops = (0..60).map(|id| stop(&prepared, id + 1, f64::from(id) * 3.5, "jupiter", "eyepiece"));
    park.evening.order = RunningOrder::new(stops.collect());
    let pages = true_and_whole(&park, &prepared);
    assert_eq!(pages.table(LeafKind::Handbill, "Where in the sky").rows.len(), 60);
}

#[test]
fn pages_of_a_moonless_night_say_so() {
    // New Moon of 8 March 2027, 09:29 UT by the almanacs (from memory).
    let (park, prepared) = Park::demo_on("2027-03-08").drafted();
    let pages = true_and_whole(&park, &prepared);
    let said = texts(pages.page(LeafKind::Handbill)).join("\n");
    assert!(said.contains("Not in sight while we are open: the Moon"), "{said}");
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
        let pages = true_and_whole(&park, &prepared);
        let handbill = pages.page(LeafKind::Handbill);
        let sunset = facts(handbill).into_iter().find(|notice| notice.label == "Sunset").expect("it is told");
        assert!(sunset.value.starts_with(sun), "{}", sunset.value);
    }
}

#[test]
fn pages_of_a_summer_night_send_nobody_out_for_what_is_not_there() {
    let (park, prepared) = Park::demo_on("2027-06-21").drafted();
    let pages = true_and_whole(&park, &prepared);
    let said = texts(pages.page(LeafKind::Handbill)).join("\n");
    assert!(said.contains("Fully dark\nnot tonight"), "{said}");
    // Doors close at 22:30; in June no star cluster is named for 23:00, when the Sun is 7 degrees below.
    assert!(said.contains("around 23:00") && !said.contains("binoculars"), "{said}");
}
