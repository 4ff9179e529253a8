//! Satellites and comets by elements: every form is read alike, a comet is a target like any other, a satellite an event of
//! the night. All elements are invented.

use chrono::{DateTime, Utc};
use evenfall_core::elements::{ElementsRead, looks_like_elements, read_elements};
use evenfall_core::lists::renewed;
use evenfall_core::output::{CalendarFor, CalendarOptions, evening_calendar};
use evenfall_core::plan::{Rule, SatelliteNews, Stop, check, draft};
use evenfall_core::sheet::{LeafKind, run_sheet};
use evenfall_core::units::Angle;
use evenfall_tests::draws::Draws;
use evenfall_tests::park::Park;
use icalendar::{Calendar, CalendarComponent, Component};

use super::pages::{Pages, texts};

const TWO_LINES: &str = "MILL POND
1 90001U 27001A   27071.60000000  .00000000  00000+0  12000-4 0  9999
2 90001  51.6400   0.0000 0004000  30.0000 170.0000 15.50000000    15
";

const JSON: &str = r#"[{"OBJECT_NAME":"MILL POND","OBJECT_ID":"2027-001A","EPOCH":"2027-03-12T14:24:00.000000",
"MEAN_MOTION":15.5,"ECCENTRICITY":".0004","INCLINATION":51.64,"RA_OF_ASC_NODE":0,"ARG_OF_PERICENTER":30,"MEAN_ANOMALY":170,
"EPHEMERIS_TYPE":0,"CLASSIFICATION_TYPE":"U","NORAD_CAT_ID":90001,"ELEMENT_SET_NO":999,"REV_AT_EPOCH":1,"BSTAR":"0.12e-4",
"MEAN_MOTION_DOT":0,"MEAN_MOTION_DDOT":0}]"#;

const KEY_VALUE: &str = "CCSDS_OMM_VERS = 3.0
COMMENT invented
CREATION_DATE = 2027-03-12T15:00:00
ORIGINATOR = PARK
OBJECT_NAME = MILL POND
OBJECT_ID = 2027-001A
CENTER_NAME = EARTH
REF_FRAME = TEME
TIME_SYSTEM = UTC
MEAN_ELEMENT_THEORY = SGP/SGP4
EPOCH = 2027-071T14:24:00Z
MEAN_MOTION = 15.5 [rev/day]
ECCENTRICITY = 0.0004
INCLINATION = 51.64 [deg]
RA_OF_ASC_NODE = 0.0 [deg]
ARG_OF_PERICENTER = 30.0 [deg]
MEAN_ANOMALY = 170.0 [deg]
NORAD_CAT_ID = 90001
BSTAR = 0.000012 [1/ER]
MEAN_MOTION_DOT = 0.0 [rev/day**2]
MEAN_MOTION_DDOT = 0.0 [rev/day**3]
";

const TABLE: &str = "OBJECT_NAME,OBJECT_ID,EPOCH,MEAN_MOTION,ECCENTRICITY,INCLINATION,RA_OF_ASC_NODE,ARG_OF_PERICENTER,MEAN_ANOMALY,NORAD_CAT_ID,BSTAR
MILL POND,2027-001A,2027-03-12T14:24:00.000000,15.5,.0004,51.64,0,30,170,90001,.12E-4
";

const XML: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<ndm><omm id="CCSDS_OMM_VERS" version="3.0"><header><CREATION_DATE>2027-03-12T15:00:00</CREATION_DATE><ORIGINATOR>PARK</ORIGINATOR></header>
<body><segment><metadata><OBJECT_NAME>MILL &#80;OND</OBJECT_NAME><OBJECT_ID>2027-001A</OBJECT_ID><CENTER_NAME>EARTH</CENTER_NAME>
<REF_FRAME>TEME</REF_FRAME><TIME_SYSTEM>UTC</TIME_SYSTEM><MEAN_ELEMENT_THEORY>SGP4</MEAN_ELEMENT_THEORY></metadata>
<data><meanElements><EPOCH>2027-03-12T14:24:00.000000</EPOCH><MEAN_MOTION units="rev/day">15.5</MEAN_MOTION>
<ECCENTRICITY>0.0004</ECCENTRICITY><INCLINATION units="deg">51.64</INCLINATION><RA_OF_ASC_NODE>0</RA_OF_ASC_NODE>
<ARG_OF_PERICENTER>30</ARG_OF_PERICENTER><MEAN_ANOMALY>170</MEAN_ANOMALY></meanElements><tleParameters><NORAD_CAT_ID>90001</NORAD_CAT_ID>
<BSTAR units="1/ER">0.12e-4</BSTAR></tleParameters></data></segment></body></omm></ndm>
"#;

const COMET_LINE: &str = "    CJ27A010  2027 01 20.1234  1.100000  1.000000  352.0070  108.3913   42.7744  20270301   6.5  4.0  Pond Comet                                               INVENTED ";

const COMET_TABLE: &str = "name;T;q;e;i;node;argument;epoch;H;n
Pond Comet;2027-01-20.1234;1.1;1;42.7744;108.3913;352.007;2027-03-01;6.5;4
";

const FORMS: [&str; 7] = [TWO_LINES, JSON, KEY_VALUE, TABLE, XML, COMET_LINE, COMET_TABLE];

fn read(text: &str) -> ElementsRead {
    read_elements("file", text.as_bytes())
}

#[test]
fn every_form_gives_the_same_elements() {
    let want = read(TWO_LINES);
    assert_eq!(want.satellites.len(), 1);
    for text in [JSON, KEY_VALUE, TABLE, XML] {
        let got = read(text);
        assert_eq!(got.faults, [], "{text}");
        assert_eq!(got, want, "{text}");
    }
    let want = read(COMET_LINE);
    assert_eq!(want.comets[0].name, "Pond Comet");
    assert_eq!(read(COMET_TABLE), want);
    assert!(FORMS.iter().all(|text| looks_like_elements(text.as_bytes())));
    assert!(!looks_like_elements(b"Name;Type;RA;Dec\nLamp;Gx;08 34 31,9;+12 00 52\n"));
}

#[test]
fn a_bad_value_is_told_by_line_column_and_key_and_the_rest_comes_in() {
    for (text, good, bad, told) in [
        (
            JSON,
            "\"INCLINATION\":51.64",
            "\"INCLINATION\":\"steep\"",
            "file:2:57: INCLINATION: expected a number, found `steep`",
        ),
        (
            KEY_VALUE,
            "EPOCH = 2027-071",
            "EPOCH = 2027-471",
            "file:11:9: EPOCH: expected a date and time in UTC",
        ),
        (
            KEY_VALUE,
            "15.5 [rev/day]",
            "15.5 [deg]",
            "file:12:15: MEAN_MOTION: the unit is `deg`, not rev/day",
        ),
        (KEY_VALUE, "REF_FRAME = TEME", "REF_FRAME = GCRF", "file:8:13: REF_FRAME: `GCRF` is not one"),
        (TABLE, ",15.5,", ",155,", "file:2:48: MEAN_MOTION: 155 is not a mean motion"),
        (XML, "<BSTAR units=\"1/ER\">0.12e-4</BSTAR>", "", "file:2:6: BSTAR: the key is missing"),
        (COMET_TABLE, ";1.1;", ";;", "file:2:1: perihelion_distance_au: the value is missing"),
        (
            COMET_LINE,
            "  1.100000",
            "  1.1x0000",
            "file:1:31: perihelion distance: expected a number, found `1.1x0000`",
        ),
    ] {
        let broken = text.replacen(good, bad, 1);
        assert_ne!(broken, text);
        // A broken line of columns is known for one by a good one beside it.
        let broken = if text == COMET_LINE { format!("{broken}\n{COMET_LINE}") } else { broken };
        let read = read(&broken);
        let faults: Vec<String> = read.faults.iter().map(ToString::to_string).collect();
        assert_eq!(faults.len(), 1, "{faults:?}");
        assert!(faults[0].starts_with(told), "{faults:?}\nshould be {told}");
    }
    let both = format!("{}\n{}", KEY_VALUE.replace("51.64", "x"), KEY_VALUE.replace("90001", "90002"));
    let both = read(&both);
    assert_eq!((both.satellites.len(), both.faults.len()), (1, 1));
}

#[test]
fn no_bytes_bring_a_panic() {
    let mut draws = Draws(29);
    for turn in 0..4000 {
        let mut bytes = FORMS[turn % FORMS.len()].as_bytes().to_vec();
        for _ in 0..=draws.below(6) {
            let at = draws.below(bytes.len());
            match draws.below(4) {
                0 => bytes[at] = draws.below(256) as u8,
                1 => drop(bytes.drain(at..bytes.len().min(at + draws.below(9)))),
                2 => bytes.insert(at, draws.of(b"\n\"[]<>=,;0-9e.\xff\xc3")),
                _ => bytes.truncate(at + 1),
            }
            if bytes.is_empty() {
                bytes.push(b'1');
            }
        }
        let read = read_elements("drawn", &bytes);
        let lines = bytes.split(|byte| *byte == b'\n').count();
        assert!(read.faults.iter().all(|fault| fault.line <= lines && !fault.message.is_empty()));
        let _ = looks_like_elements(&bytes);
    }
}

/// The demo's park with the invented comet, which must be shown, and the satellite.
fn park_with_elements() -> Park {
    let mut park = Park::demo();
    for text in [TWO_LINES, COMET_LINE] {
        park.catalogue = renewed(&park.catalogue, &read(text)).catalogue;
    }
    let comet = park.target("pond-comet");
    let target = &mut park.catalogue.targets[comet];
    target.size = Some((Angle::from_arcminutes(6.0), Angle::from_arcminutes(5.0)));
    park.evening.wishes.must_show = vec![target.id.clone()];
    park
}

#[test]
fn a_comet_is_drafted_on_a_port_and_its_old_elements_are_a_caution() {
    let (mut park, prepared) = park_with_elements().drafted();
    let comet = park.target("pond-comet");
    // By skyfield: 69.0 degrees high at 20:30, 0.876 au away; m1 = 6.5 + 5 log 0.876 + 10 log r, r 1.42: 7.7.
    let magnitude = prepared.tracks[comet].appearance.and_then(|seen| seen.magnitude).expect("it has an H");
    assert!((7.0..8.5).contains(&magnitude.0), "{magnitude:?}");
    let stops = park.evening.order.stops();
    let shows = |stop: &&Stop| stop.show().is_some_and(|show| show.target.0 == "pond-comet");
    let stop = stops.iter().find(shows).expect("it must be shown and can be");
    let altitude = prepared.sample(comet, stop.start()).expect("in the span").altitude.degrees();
    assert!(altitude > 50.0, "{altitude}");
    let is_old = |park: &Park| {
        let findings = check(&park.evening, &prepared, &park.materials());
        findings.iter().any(|found| matches!(found.rule, Rule::OldElements { age_days } if age_days > 100.0))
    };
    assert!(!is_old(&park));
    let old = COMET_LINE.replace("20270301", "20261101");
    assert_eq!(renewed(&park.catalogue, &read(&old)).newer_there.len(), 1, "later elements stay");
    park.catalogue.targets.remove(comet);
    park.catalogue = renewed(&park.catalogue, &read(&old)).catalogue;
    assert_eq!(park.target("pond-comet"), comet, "it stands where it stood, at the end");
    assert!(is_old(&park));
    let again = draft(&park.evening, &prepared, &park.materials());
    assert_eq!(again, park.evening.order);
}

#[test]
fn a_pass_is_told_to_operator_and_visitors_and_old_elements_are_not() {
    let (mut park, prepared) = park_with_elements().drafted();
    // By skyfield: highest at 19:22 UTC, 38.7 degrees.
    let pass = prepared.satellites.iter().find_map(|event| event.pass()).expect("it passes");
    let highest = pass.highest;
    assert!((highest.altitude.degrees() - 38.7).abs() < 1.0, "{highest:?}");
    let sheet = run_sheet(&park.evening, &prepared, &park.materials());
    let told = sheet.head.iter().find(|notice| notice.label == "Satellite MILL POND").expect("it is told");
    for words in ["19:", " GMT", "highest 3", "°", "into the Earth's shadow"] {
        assert!(told.value.contains(words), "{words} in {told:?}");
    }
    let pages = Pages::of(&park, &prepared);
    let handbill = texts(pages.page(LeafKind::Handbill)).join("\n");
    assert!(handbill.contains("MILL POND") && handbill.contains("a moving light from 19:"), "{handbill}");
    // It stands in its place too: with the stop that runs then or has run last, on the host's card, in the crew's calendar.
    let stops = park.evening.order.stops();
    let place = stops.iter().rposition(|stop| stop.start() <= pass.seen.0.at).expect("doors are open");
    for (index, row) in sheet.rows.iter().enumerate() {
        assert_eq!(row.passes.len(), usize::from(index == place), "{row:?}");
    }
    let told = &sheet.rows[place].passes[0];
    assert!(told.contains("MILL POND passes, from the ") && told.contains("highest 3"), "{told}");
    let begins = &told[..5];
    let host = pages.table(LeafKind::HostCard, "Say");
    let cue = host.rows.iter().find(|row| row[2].contains("MILL POND")).expect("the host points it out");
    assert!(cue[0] == begins && cue[1].split(' ').count() <= 7, "{cue:?}");
    let options =
        CalendarOptions { audience: CalendarFor::Crew, stamp: DateTime::<Utc>::UNIX_EPOCH, previous: None };
    let calendar = evening_calendar(&park.evening, &prepared, &park.materials(), &sheet, &options).text;
    let calendar: Calendar = calendar.parse().expect("the other reader takes it");
    let starts: Vec<String> = calendar
        .iter()
        .filter_map(CalendarComponent::as_event)
        .filter(|event| event.get_summary().is_some_and(|summary| summary == "MILL POND passes"))
        .filter_map(|event| event.property_value("DTSTART").map(str::to_owned))
        .collect();
    assert!(
        starts.len() == 1 && starts[0].ends_with(&format!("T{}00", begins.replace(':', ""))),
        "{starts:?}"
    );

    let late = TWO_LINES.replace("27071.6", "27050.6").replace("9999\n", "9996\n");
    assert_eq!(renewed(&park.catalogue, &read(&late)).newer_there.len(), 1, "later elements stay");
    park.catalogue.satellites.clear();
    park.catalogue = renewed(&park.catalogue, &read(&late)).catalogue;
    assert_eq!(park.catalogue.satellites.len(), 1);
    let prepared = park.prepared();
    let news: Vec<_> = prepared.satellites.iter().map(|event| &event.news).collect();
    assert!(matches!(news[..], [SatelliteNews::TooOld { age_days }] if age_days.round() == 22.0), "{news:?}");
    let sheet = run_sheet(&park.evening, &prepared, &park.materials());
    let told = sheet.head.iter().find(|notice| notice.label == "Satellite MILL POND").expect("it is told");
    assert!(told.value.contains("22 days from their epoch") && !told.value.contains("GMT"), "{told:?}");
}
