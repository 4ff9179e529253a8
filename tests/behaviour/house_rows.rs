//! What crowd and pace must do, one test a capability, on the demo's evening read from its files. Values were worked by hand
//! from the formulas beside the code, unless a line says otherwise.

use chrono::Timelike;
use evenfall_core::catalogue::{Kind, TargetId};
use evenfall_core::document::{read_evening, write_evening};
use evenfall_core::plan::{
    Evening, Held, Prepared, QueueMinute, Rule, RunningOrder, Show, Stop, StopId, What, batch, check, draft,
    everybody_looks, longest_wait, prepare, queue, stop_minutes,
};
use evenfall_core::rig::PortId;
use evenfall_core::sheet::run_sheet;
use evenfall_core::time::Interval;
use evenfall_tests::park::{EVENING, Park};

/// 138 people: 0.8 a minute for 15 minutes, then 2.4, 1.2 and 0.4 to minutes 45, 75 and 120; nobody leaves before the end.
const WORKED_HOUSE: &str = "visitors: 138, children: 0, seated: 0, skip_percent: 0, screen_minutes: 8, \
    arrivals: [(from_min: 0, until_min: 15, percent: 8.695652173913043), \
    (from_min: 15, until_min: 45, percent: 52.17391304347826), \
    (from_min: 45, until_min: 75, percent: 26.08695652173913), \
    (from_min: 75, until_min: 120, percent: 13.043478260869565)], leaving: []";

/// The evening with its house replaced and Jupiter at the eyepiece from doors open for two hours; with a talk at the
/// screen between two minutes, if given.
fn evening_with(park: &Park, house: &str, talk: Option<(f64, f64)>) -> (Evening, Prepared) {
    let from = EVENING.find("house: (").expect("the demo has a house");
    let to = from + EVENING[from..].find("\n  ),").expect("its house ends");
    let text = format!("{}house: ({house}{}", &EVENING[..from], &EVENING[to..]);
    let mut evening = read_evening("evening", &text).unwrap_or_else(|faults| panic!("{faults:?}"));
    evening.programme.fixed.clear();
    let prepared = prepare(&evening, &park.materials()).expect("the demo's night can be prepared");
    let doors = prepared.doors.start();
    let stop = |id, what, from, to| {
        let interval = Interval::new(doors.plus_minutes(from), doors.plus_minutes(to)).expect("in order");
        Stop { id: StopId(id), what, interval, held: Held::default() }
    };
    let show = |target: &str, port: &str| {
        What::Show(Show {
            target: TargetId(target.to_owned()),
            port: PortId(port.to_owned()),
            eyepiece: None,
            understudy: None,
        })
    };
    let talk = talk.map(|(from, to)| {
        let what = "(id: 2, start: \"START\", end: \"END\", entry: ScreenTalk, title: \"The picture\")";
        let clock = |minute| doors.plus_minutes(minute).to_utc().to_rfc3339();
        let what = what.replace("START", &clock(from)).replace("END", &clock(to));
        let text = text.replacen("order: []", &format!("order: [{what}]"), 1);
        let read = read_evening("evening", &text).unwrap_or_else(|faults| panic!("{faults:?}"));
        read.order.stops()[0].clone()
    });
    let line = stop(1, show("jupiter", &eyepiece(park)), 0.0, 120.0);
    evening.order = RunningOrder::new(talk.into_iter().chain([line]).collect());
    (evening, prepared)
}

fn eyepiece(park: &Park) -> String {
    let port = park.rig.ports.iter().find(|port| port.is_eyepiece());
    port.expect("the demo's rig has an eyepiece").id.0.clone()
}

fn line_of(park: &Park, house: &str, talk: Option<(f64, f64)>) -> (Vec<QueueMinute>, Vec<Rule>) {
    let (evening, prepared) = evening_with(park, house, talk);
    let findings = check(&evening, &prepared, &park.materials());
    let rules = findings.into_iter().map(|finding| finding.rule).collect();
    (queue(&evening, &prepared, &park.materials()), rules)
}

fn worked(seconds: f64) -> String {
    format!("{WORKED_HOUSE}, seconds_a_look: {seconds:?}")
}

#[test]
fn row_35_visitors_arrivals_seconds_and_share_make_the_line() {
    // The worked evening: 138 people, 30 s a look: peak 12 at minute 45, a wait of 6.0 minutes, empty by 60.
    let (line, _) = line_of(&Park::demo(), &worked(30.0), None);
    let longest = longest_wait(&line).expect("somebody waits");
    assert_eq!(longest.instant, line[45].instant);
    assert!((longest.people - 12.0).abs() < 1e-6 && (longest.wait_minutes - 6.0).abs() < 1e-6);
    assert!(line[60..120].iter().all(|minute| minute.people < 1e-6));
    // A tenth skips the stop: 2.16 come a minute where 2 can look, so that 4.8 are in line after half an hour.
    let skipped = worked(30.0).replace("skip_percent: 0", "skip_percent: 10");
    let (line, _) = line_of(&Park::demo(), &skipped, None);
    assert!((line[45].people - 4.8).abs() < 1e-6, "got {}", line[45].people);
}

#[test]
fn row_36_the_line_along_the_evening_and_its_caution() {
    // The worked evening at 45 s: 32 at minute 45 (24.0 minutes), 30 at 60, 28 at 75, 14 at 90, 0 at 105.
    let park = Park::demo();
    let (line, _) = line_of(&park, &worked(45.0), None);
    for (minute, people) in [(45, 32.0), (60, 30.0), (75, 28.0), (90, 14.0), (105, 0.0)] {
        assert!((line[minute].people - people).abs() < 1e-6, "at {minute} got {}", line[minute].people);
    }
    assert!((line[45].wait_minutes - 24.0).abs() < 1e-6);
    let told = |house: &str| {
        let (_, rules) = line_of(&park, house, None);
        rules.into_iter().find_map(|rule| match rule {
            Rule::LongWait { wait_minutes, .. } => Some(wait_minutes),
            _ => None,
        })
    };
    let children = |seconds| worked(seconds).replace("children: 0", "children: 1");
    assert!(told(&children(45.0)).is_some_and(|wait| (wait - 24.0).abs() < 0.2));
    assert_eq!((told(&children(30.0)), told(&worked(45.0))), (None, None));
}

#[test]
fn row_36_the_run_sheet_names_the_longest_wait_and_when() {
    let park = Park::demo();
    let (evening, prepared) = evening_with(&park, &worked(45.0), None);
    let sheet = run_sheet(&evening, &prepared, &park.materials());
    let told = sheet.head.iter().find(|notice| notice.label == "Longest wait").expect("there is a wait");
    // Doors open at 18:30; 45 minutes later it is 19:15.
    let local = prepared.night.local.local(prepared.doors.start());
    assert_eq!((local.hour(), local.minute()), (18, 30));
    assert_eq!(told.value, "24 min at 19:15 GMT, stop 1, Jupiter");
    // A talk at the screen from 19:10 to 19:28 takes 13 minutes of that wait.
    let (evening, prepared) = evening_with(&park, &worked(45.0), Some((40.0, 58.0)));
    let sheet = run_sheet(&evening, &prepared, &park.materials());
    let told = sheet.head.iter().find(|notice| notice.label == "Longest wait").expect("there is a wait");
    assert_eq!(told.value, "24 min (13 min of it at the screen) at 19:15 GMT, stop 1, Jupiter");
    let talk = &sheet.rows[1];
    let screen = park.rig.ports.iter().find(|port| !port.is_eyepiece()).expect("the rig has a camera");
    assert_eq!((&*talk.title, &*talk.kind), ("The picture", "Talk at the screen"));
    assert_eq!(talk.port, format!("A {}", screen.name));
}

#[test]
fn row_37_a_stop_takes_its_overhead_and_everybodys_look() {
    let park = Park::demo();
    let house = |text: &str| evening_with(&park, text, None).0.house;
    let sixty =
        "visitors: 60, children: 0, seated: 0, seconds_a_look: 30, skip_percent: 0, screen_minutes: 6";
    // 60 people at 30 s with 4 minutes of overhead: 34 minutes, 18.75 of waiting on average.
    let all = everybody_looks(&house(sixty), Kind::Planet, 4.0);
    assert!((all.total_minutes - 34.0).abs() < 1e-9 && (all.mean_wait_minutes - 18.75).abs() < 1e-9);
    // People, overhead and seconds; minutes in all and of waiting on average.
    for (people, overhead_s, seconds, total, mean) in
        [(25.0, 240.0, 30.0, 16.5, 10.0), (60.0, 240.0, 45.0, 49.0, 26.1), (200.0, 180.0, 30.0, 103.0, 52.75)]
    {
        let got = batch(people, overhead_s / 60.0, seconds);
        assert!((got.total_minutes - total).abs() < 1e-9 && (got.mean_wait_minutes - mean).abs() < 0.05);
    }
    // By kind: a house at the usual pace of 40 s takes 30 s for the Moon, 45 for a globular cluster, unless it says.
    let usual = sixty
        .replace("seconds_a_look: 30", "seconds_a_look: 40, seconds_by_kind: [(kind: Galaxy, seconds: 90)]");
    let port = park.rig.ports.iter().find(|port| port.is_eyepiece()).expect("the demo's rig has an eyepiece");
    for (kind, minutes) in [(Kind::Moon, 30.0), (Kind::GlobularCluster, 45.0), (Kind::Galaxy, 90.0)] {
        assert!((stop_minutes(&house(&usual), port, kind) - minutes).abs() < 1e-9, "{kind:?}");
    }
}

#[test]
fn row_38_while_30_wait_a_screen_stop_runs_beside_the_line() {
    // At 45 s a look 30 and more are in line from minute 43 to 60. A talk at the screen begins at minute 40.
    let park = Park::demo();
    let children = worked(45.0).replace("children: 0", "children: 1");
    let (alone, before) = line_of(&park, &children, None);
    let (line, after) = line_of(&park, &children, Some((35.0, 85.0)));
    let conflict = |rule: &Rule| {
        matches!(rule, Rule::Overlap { .. } | Rule::MoveDoesNotFit { .. } | Rule::UnknownPort(_))
    };
    assert!(!after.iter().any(conflict), "{after:?}");
    assert!(line[45].people > 30.0 && (line[45].people - alone[45].people).abs() < 1e-9);
    // Ten stand, called to the eyepiece; the others sit at the screen.
    assert!((line[45].people - line[45].at_screen - 10.0).abs() < 1e-6);
    let long = |rules: &[Rule]| rules.iter().any(|rule| matches!(rule, Rule::LongWait { .. }));
    assert!(long(&before) && !long(&after), "{after:?}");
}

#[test]
fn who_has_left_needs_no_look() {
    let park = Park::demo();
    let staying = worked(45.0);
    let leaving = staying.replace("leaving: []", "leaving: [(from_min: 60, until_min: 75, percent: 70)]");
    let (with, without) = (line_of(&park, &leaving, None).0, line_of(&park, &staying, None).0);
    assert_eq!(with[..55], without[..55]);
    // By minute 75 120 of 138 have come and 96.6 left: 23.4 are there, of the 28 who would have been in line.
    assert!((with[75].people - 23.4).abs() < 1e-6, "got {}", with[75].people);
    assert!(with.iter().zip(&without).all(|(one, other)| one.people <= other.people + 1e-9));
}

#[test]
fn a_saved_house_reads_back_the_same() {
    let park = Park::demo();
    let house = worked(45.0).replace("leaving: []", "leaving: [(from_min: 60, until_min: 75, percent: 70)]");
    let (evening, _) = evening_with(&park, &house, Some((35.0, 85.0)));
    let text = write_evening(&evening, park.site.zone);
    assert_eq!(read_evening("again", &text).as_ref(), Ok(&evening), "{text}");
}

#[test]
fn a_house_that_can_not_be_is_told_with_its_key_and_the_rest_is_read() {
    let told = |changes: &[(&str, &str)]| {
        let text = changes.iter().fold(EVENING.to_owned(), |text, (from, to)| {
            assert!(text.contains(from), "{from}");
            text.replacen(from, to, 1)
        });
        let faults = read_evening("evening", &text).expect_err("a faulty house is refused");
        faults.iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    // Every fault is told, those behind the first as well.
    let all = told(&[
        ("visitors: 60", "visitors: 10000"),
        ("seconds_a_look: 30.0", "seconds_a_look: 0"),
        ("seated: 2", "seated: 2, arrivals: [(from_min: 0, until_min: 30, percent: 0)]"),
        ("slack_percent: 12.0", "slack_percent: 120"),
    ]);
    let keys =
        ["house.visitors", "house.seconds_a_look", "house.arrivals[0].percent", "programme.slack_percent"];
    for key in keys {
        assert!(
            all.iter().any(|fault| fault.contains(key) && fault.contains("out of range")),
            "{key}: {all:?}"
        );
    }
    assert_eq!(all.len(), keys.len(), "{all:?}");
    let early = told(&[(
        "seated: 2",
        "seated: 2, arrivals: [(from_min: 60, until_min: 60, percent: 100)], \
         leaving: [(from_min: 10, until_min: 40, percent: 50)]",
    )]);
    assert!(
        matches!(&early[..], [fault] if fault.contains("house.leaving[0]") && fault.contains("0 percent have come")),
        "{early:?}"
    );
}

#[test]
fn the_largest_house_that_reads_is_drafted() {
    let park = Park::demo();
    let text = EVENING.replacen("visitors: 60", "visitors: 2000", 1);
    let mut evening = read_evening("evening", &text).expect("2000 visitors read");
    let prepared = prepare(&evening, &park.materials()).expect("the demo's night can be prepared");
    evening.order = draft(&evening, &prepared, &park.materials());
    let line = queue(&evening, &prepared, &park.materials());
    assert!(line.iter().all(|minute| minute.people <= 1600.0 + 1e-6 && minute.wait_minutes.is_finite()));
}
