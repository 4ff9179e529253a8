//! Lines worked by hand, and the line of an evening.

use super::{QueueMinute, Trickle, longest_wait, queue};
use crate::catalogue::TargetId;
use crate::plan::invented::{Invented, march_evening};
use crate::plan::{
    EntryKind, Evening, Held, House, Rule, RunningOrder, Severity, Show, Stop, StopId, VisitorPart, What,
    check, timings,
};
use crate::rig::PortId;
use crate::time::Interval;

/// The house of the worked evening: 138 people, 0.8 a minute for 15 minutes, then 2.4, 1.2 and 0.4 to minutes 45, 75 and
/// 120.
fn worked_house(seconds_a_look: f64) -> House {
    let part = |from_minutes: f64, until_minutes: f64, a_minute: f64| VisitorPart {
        from_minutes,
        until_minutes,
        percent: 100.0 * a_minute * (until_minutes - from_minutes) / 138.0,
    };
    House {
        visitors: 138,
        children: 0,
        seated: 0,
        seconds_a_look,
        seconds_by_kind: Vec::new(),
        skip_percent: 0.0,
        screen_minutes: 5.0,
        arrivals: vec![
            part(0.0, 15.0, 0.8),
            part(15.0, 45.0, 2.4),
            part(45.0, 75.0, 1.2),
            part(75.0, 120.0, 0.4),
        ],
        leaving: Some(Vec::new()),
    }
}

/// An evening of a house with one stop at an eyepiece from doors open on, two hours long, and what else is given:
/// its line, and what the check says.
fn evening_of(house: House, others: Vec<Stop>) -> (Vec<QueueMinute>, Vec<(Severity, Rule)>) {
    let invented = Invented::new(1);
    let mut evening = march_evening();
    evening.house = house;
    evening.programme.fixed.clear();
    let prepared = invented.prepare(&evening);
    let doors = prepared.doors.start();
    let interval = Interval::new(doors, doors.plus_minutes(120.0)).expect("in order");
    let stop = Stop { id: StopId(1), what: show("jupiter", "eyepiece"), interval, held: Held::default() };
    let order = RunningOrder::new(others.into_iter().chain([stop]).collect());
    let evening = Evening { order, ..evening };
    let materials = invented.materials();
    let findings = check(&evening, &prepared, &materials);
    let moves = timings(&evening.order, &prepared, &materials);
    let talks = evening.order.stops().iter().zip(&moves).filter(|(stop, _)| stop.is_screen_talk());
    assert!(talks.into_iter().all(|(_, timing)| timing.parts.total_s() == 0.0), "a talk needs no telescope");
    let told = findings.into_iter().map(|found| (found.severity, found.rule)).collect();
    (queue(&evening, &prepared, &materials), told)
}

fn show(target: &str, port: &str) -> What {
    What::Show(Show {
        target: TargetId(target.to_owned()),
        port: PortId(port.to_owned()),
        eyepiece: None,
        understudy: None,
    })
}

/// A talk at the screen, in minutes from doors open.
fn screen_talk(from: f64, to: f64) -> Stop {
    let doors = Invented::new(1).prepare(&march_evening()).doors.start();
    let interval = Interval::new(doors.plus_minutes(from), doors.plus_minutes(to)).expect("in order");
    let what =
        What::Entry { kind: EntryKind::ScreenTalk, title: "The picture".to_owned(), cue: String::new() };
    Stop { id: StopId(2), what, interval, held: Held::default() }
}

fn long_waits(found: &[(Severity, Rule)]) -> Vec<f64> {
    let waits = found.iter().filter_map(|(severity, rule)| match rule {
        Rule::LongWait { wait_minutes, .. } if *severity == Severity::Caution => Some(*wait_minutes),
        _ => None,
    });
    waits.collect()
}

#[test]
fn row_35_a_look_of_30_seconds_gives_a_line_of_12_and_a_wait_of_6_minutes() {
    // Worked by hand with the fluid line: peak 12 at minute 45, wait 6.0 minutes, empty by minute 60.
    let (line, found) = evening_of(worked_house(30.0), Vec::new());
    let longest = longest_wait(&line).expect("somebody waits");
    assert_eq!(longest.instant, line[45].instant);
    assert!((longest.people - 12.0).abs() < 1e-6 && (longest.wait_minutes - 6.0).abs() < 1e-6);
    assert!(line[60].people < 1e-6 && long_waits(&found).is_empty());
    // Then 0.4 come a minute of whom 2 can look: rho 0.2, and with equal looks 0.2 / (2 x 2 x 0.8) minutes of waiting.
    let Some(Trickle::Steady { even, .. }) = line[90].trickle else { panic!("got {:?}", line[90]) };
    assert!((even.wait_minutes - 0.0625).abs() < 1e-9 && line[45].trickle.is_none());
}

#[test]
fn row_36_a_look_of_45_seconds_gives_a_wait_of_24_minutes_along_the_evening() {
    // Worked by hand with the fluid line: 32 at minute 45 (24.0 minutes), 30 at 60, 28 at 75, 14 at 90, 0 at 105.
    let (line, _) = evening_of(worked_house(45.0), Vec::new());
    for (minute, people) in [(45, 32.0), (60, 30.0), (75, 28.0), (90, 14.0), (105, 0.0)] {
        assert!((line[minute].people - people).abs() < 1e-6, "at {minute} got {}", line[minute].people);
    }
    assert!((line[45].wait_minutes - 24.0).abs() < 1e-6 && line[45].standing_minutes > 23.999);
}

#[test]
fn row_36_a_long_wait_is_a_caution_sooner_with_children() {
    let waits = |house| long_waits(&evening_of(house, Vec::new()).1);
    assert!(waits(worked_house(45.0)).is_empty(), "24 minutes are borne without children");
    let slow = waits(worked_house(60.0));
    assert!(matches!(slow[..], [wait] if wait > 30.0), "{slow:?}");
    let with_a_child = waits(House { children: 1, ..worked_house(45.0) });
    assert!(matches!(with_a_child[..], [wait] if (wait - 24.0).abs() < 0.2), "{with_a_child:?}");
}

#[test]
fn row_38_a_talk_at_the_screen_runs_beside_the_line_and_takes_its_end() {
    let (plain, _) = evening_of(worked_house(45.0), Vec::new());
    let (line, found) = evening_of(worked_house(45.0), vec![screen_talk(40.0, 58.0)]);
    let in_conflict = |rule: &Rule| matches!(rule, Rule::Overlap { .. } | Rule::MoveDoesNotFit { .. });
    assert!(!found.iter().any(|(_, rule)| in_conflict(rule)), "{found:?}");
    // Worked by hand: at minute 45 there are 32 in line, of whom 4/3 a minute look. Ten stand, 22 sit at the screen. Who
    // joins then waits 24 minutes and would be called after 16.5: the talk ends before, after 13.
    assert!((line[45].people - plain[45].people).abs() < 1e-9, "nobody loses a place");
    assert!((line[45].at_screen - 22.0).abs() < 1e-6 && (line[45].standing_minutes - 11.0).abs() < 1e-6);
    // Who joins at minute 35, behind 21.33, waits 16 minutes: stands until the talk begins, sits until 8.5 minutes from
    // now, and stands again. After the talk all stand.
    assert!((line[35].at_screen, line[60].at_screen) == (0.0, 0.0));
    assert!((line[35].standing_minutes - 12.5).abs() < 1e-6 && line[60].standing_minutes > 22.0);
}

#[test]
fn row_38_a_talk_in_time_spares_the_caution() {
    // With children 15 minutes are borne; without a talk the wait is 24.
    let house = || House { children: 1, ..worked_house(45.0) };
    let mut second = screen_talk(55.0, 85.0);
    second.id = StopId(3);
    let (line, found) = evening_of(house(), vec![screen_talk(30.0, 55.0), second]);
    assert_eq!(long_waits(&found), Vec::<f64>::new());
    assert!(
        longest_wait(&line).expect("somebody waits").wait_minutes > 24.0,
        "the wait is told all the same"
    );
}

#[test]
fn who_has_left_stands_in_no_line() {
    let leaving = Some(vec![VisitorPart { from_minutes: 60.0, until_minutes: 60.0, percent: 80.0 }]);
    let (line, _) = evening_of(House { leaving, ..worked_house(45.0) }, Vec::new());
    // By minute 60 102 of 138 have come, and 80 percent of 138 leave as far as they have come: nobody is left.
    assert!((line[59].people - 30.13).abs() < 0.01 && line[60].people == 0.0);
    // At minute 50 90 have come; 45 percent of 138 leave: of the 31.3 who still have to look 27.9 can be there.
    let some = vec![VisitorPart { from_minutes: 50.0, until_minutes: 50.0, percent: 45.0 }];
    let (line, _) = evening_of(House { leaving: Some(some), ..worked_house(45.0) }, Vec::new());
    assert!((line[49].people - 31.467).abs() < 0.001 && (line[50].people - 27.9).abs() < 1e-9);
}

#[test]
fn a_house_out_of_all_bounds_still_has_a_line() {
    let nobody = House { visitors: 0, children: 5, seated: 3, ..worked_house(30.0) };
    let crowd = House { visitors: 10_000, ..worked_house(30.0) };
    let at_once = House { seconds_a_look: 0.0, ..worked_house(0.0) };
    let all_skip = House { skip_percent: 100.0, ..worked_house(30.0) };
    let never_come = VisitorPart { from_minutes: 0.0, until_minutes: 0.0, percent: 0.0 };
    let none_come = House { arrivals: vec![never_come], ..worked_house(30.0) };
    for house in [nobody, crowd, at_once, all_skip, none_come] {
        let (line, _) = evening_of(house.clone(), vec![screen_talk(20.0, 50.0)]);
        for minute in &line {
            let numbers = [minute.people, minute.at_screen, minute.wait_minutes, minute.standing_minutes];
            assert!(
                numbers.iter().all(|number| number.is_finite() && *number >= 0.0),
                "{house:?} {minute:?}"
            );
            assert!(
                minute.at_screen <= minute.people.min(120.0)
                    && minute.standing_minutes <= minute.wait_minutes
            );
        }
    }
}
