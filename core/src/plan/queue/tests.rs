//! Lines worked by hand, and the line of an evening.

use super::{Arrivals, QueueMinute, longest_wait, next_line, queue, share_arrived};
use crate::catalogue::{Kind, TargetId};
use crate::plan::invented::{Invented, march_evening};
use crate::plan::{
    Evening, Held, House, Rule, RunningOrder, Severity, Show, Stop, StopId, What, check, stop_minutes,
};
use crate::rig::PortId;
use crate::time::Interval;

/// The house of the worked evening: 138 people, 0.8 a minute for 15 minutes, then 2.4, 1.2 and 0.4 to minutes 45, 75 and
/// 120.
fn worked_house(seconds_a_look: f64) -> House {
    let part = |from_minutes: f64, until_minutes: f64, a_minute: f64| Arrivals {
        from_minutes,
        until_minutes,
        percent: 100.0 * a_minute * (until_minutes - from_minutes) / 138.0,
    };
    House {
        visitors: 138,
        children: 0,
        seated: 0,
        seconds_a_look,
        skip_percent: 0.0,
        screen_minutes: 5.0,
        arrivals: vec![
            part(0.0, 15.0, 0.8),
            part(15.0, 45.0, 2.4),
            part(45.0, 75.0, 1.2),
            part(75.0, 120.0, 0.4),
        ],
    }
}

/// The worked evening with one stop at an eyepiece from doors open on.
fn line(seconds_a_look: f64) -> (Vec<QueueMinute>, Vec<(Severity, f64)>) {
    let invented = Invented::new(1);
    let mut evening = march_evening();
    evening.house = worked_house(seconds_a_look);
    evening.programme.fixed.clear();
    let prepared = invented.prepare(&evening);
    let doors = prepared.doors.start();
    let show = Show {
        target: TargetId("jupiter".to_owned()),
        port: PortId("eyepiece".to_owned()),
        eyepiece: None,
        understudy: None,
    };
    let interval = Interval::new(doors, doors.plus_minutes(120.0)).expect("in order");
    let stop = Stop { id: StopId(1), what: What::Show(show), interval, held: Held::default() };
    let evening = Evening { order: RunningOrder::new(vec![stop]), ..evening };
    let materials = invented.materials();
    let long_waits =
        check(&evening, &prepared, &materials).into_iter().filter_map(|found| match found.rule {
            Rule::LongWait { wait_minutes, .. } => Some((found.severity, wait_minutes)),
            _ => None,
        });
    (queue(&evening, &prepared, &materials), long_waits.collect())
}

#[test]
fn row_35_a_look_of_30_seconds_gives_a_line_of_12_and_a_wait_of_6_minutes() {
    // Worked by hand with the fluid line: peak 12 at minute 45, wait 6.0 minutes, empty by minute 60.
    let (line, cautions) = line(30.0);
    let longest = longest_wait(&line).expect("somebody waits");
    assert_eq!(longest.instant, line[45].instant);
    assert!((longest.people - 12.0).abs() < 1e-6 && (longest.wait_minutes - 6.0).abs() < 1e-6);
    assert!(line[60].people < 1e-6 && cautions.is_empty());
}

#[test]
fn row_36_a_look_of_45_seconds_gives_a_wait_of_24_minutes_along_the_evening() {
    // Worked by hand with the fluid line: 32 at minute 45 (24.0 minutes), 30 at 60, 28 at 75, 14 at 90, 0 at 105.
    let (line, _) = line(45.0);
    for (minute, people) in [(45, 32.0), (60, 30.0), (75, 28.0), (90, 14.0), (105, 0.0)] {
        assert!((line[minute].people - people).abs() < 1e-6, "at {minute} got {}", line[minute].people);
    }
    assert!((line[45].wait_minutes - 24.0).abs() < 1e-6);
}

#[test]
fn row_37_a_stop_follows_from_people() {
    // 60 people at 30 seconds and 4 minutes of overhead: 34 minutes; 25 people: 16.5; 60 at 45: 49.
    let invented = Invented::new(1);
    let port = invented.materials().rig.port(&PortId("eyepiece".to_owned())).expect("the rig has one");
    for (visitors, seconds_a_look, minutes) in [(60, 30.0, 34.0), (25, 30.0, 16.5), (60, 45.0, 49.0)] {
        let house = House { visitors, ..worked_house(seconds_a_look) };
        assert!((4.0 + stop_minutes(&house, port, Kind::Planet) - minutes).abs() < 1e-9);
    }
}

#[test]
fn a_long_wait_is_a_caution_sooner_with_children() {
    let (_, cautions) = line(45.0);
    assert!(cautions.is_empty(), "24 minutes are borne without children");
    let (_, cautions) = line(60.0);
    assert!(matches!(cautions[..], [(Severity::Caution, wait)] if wait > 30.0));
}

#[test]
fn the_usual_evening_brings_everybody_and_a_group_comes_at_once() {
    let usual = House { arrivals: Vec::new(), ..worked_house(30.0) };
    assert!((share_arrived(&usual, 0.0) - 0.12).abs() < 1e-9);
    // Half and more within the first 45 minutes (common practice, no source).
    assert!((share_arrived(&usual, 45.0) - 0.67).abs() < 1e-9 && share_arrived(&usual, 150.0) >= 1.0);
    let group = Arrivals { from_minutes: 60.0, until_minutes: 60.0, percent: 50.0 };
    let rest = Arrivals { from_minutes: 0.0, until_minutes: 30.0, percent: 50.0 };
    let talk = House { arrivals: vec![group, rest], ..worked_house(30.0) };
    assert!(
        (share_arrived(&talk, 59.0) - 0.5).abs() < 1e-9 && (share_arrived(&talk, 60.0) - 1.0).abs() < 1e-9
    );
    assert_eq!(next_line(1.0, 0.5, 2.0), 0.0);
}
