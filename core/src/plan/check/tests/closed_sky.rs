//! A closed part of the sky, as the judge, the availability and the answers to "why not" see it.

use chrono::{NaiveDate, NaiveTime};

use super::Case;
use super::Severity::{Caution, Stopper};
use crate::catalogue::TargetId;
use crate::plan::{
    ClockTime, ClosedSky, Evening, Finding, Limit, Rule, StopId, What, WhyNot, check, when_better,
    why_not_now,
};
use crate::time::Interval;
use crate::units::Angle;

fn clock(hour: u32, minute: u32) -> NaiveTime {
    NaiveTime::from_hms_opt(hour, minute, 0).expect("a time")
}

/// The southern half of the sky, where Jupiter stands on that evening, closed from 20:00 to 21:00.
fn southern_cloud(evening: &mut Evening) {
    evening.wishes.closed_sky = vec![ClosedSky::new(
        Angle::from_degrees(90.0),
        Angle::from_degrees(270.0),
        Some(clock(20, 0)),
        Some(clock(21, 0)),
    )];
}

#[test]
fn a_stop_in_a_closed_part_is_a_stopper_and_an_understudy_there_a_caution() {
    let case = Case::new(southern_cloud);
    let closed = |rule: &Rule| matches!(rule, Rule::InClosedSky { .. });
    let found =
        |from: f64, to: f64| case.finds(vec![case.stop(1, "jupiter", "eyepiece", from, to)], Stopper, closed);
    // Doors open at 19:00.
    let at = |minute: f64| case.prepared.doors.start().plus_minutes(minute);
    let rule = Rule::InClosedSky { at: at(61.0) };
    assert_eq!(found(45.0, 75.0), Some(Finding { severity: Stopper, stop: Some(StopId(1)), rule }));
    let rule = Rule::InClosedSky { at: at(90.0) };
    assert_eq!(found(90.0, 130.0).map(|found| found.rule), Some(rule));
    assert_eq!([found(30.0, 60.0), found(120.0, 150.0)], [None, None]);
    let north = (0..case.prepared.tracks.len()).find(|target| {
        let minutes = case.prepared.moment_index(at(60.0))..=case.prepared.moment_index(at(90.0));
        case.prepared.samples(*target, minutes).iter().all(|sample| {
            sample.azimuth.wrapped_signed().abs().degrees() < 80.0
                && (30.0..80.0).contains(&sample.altitude.degrees())
        })
    });
    let north = case.invented.materials().catalogue.targets[north.expect("one stands there")].id.clone();
    let mut stop = case.stop(1, &north.0, "eyepiece", 61.0, 90.0);
    assert_eq!(case.finds(vec![stop.clone()], Stopper, closed), None);
    if let What::Show(show) = &mut stop.what {
        show.understudy = Some(TargetId("jupiter".to_owned()));
    }
    let limited = |rule: &Rule| matches!(rule, Rule::UnderstudyLimited { limit: Limit::ClosedSky, .. });
    assert!(case.finds(vec![stop], Caution, limited).is_some());
}

#[test]
fn what_is_closed_is_not_available_and_says_when_it_opens() {
    let (open, closed) = (Case::new(|_| {}), Case::new(southern_cloud));
    let materials = closed.invented.materials();
    let jupiter = materials.target_index(&TargetId("jupiter".to_owned())).expect("it is there");
    let doors = closed.prepared.doors.start();
    let interval = |from: f64, to: f64| {
        Interval::new(doors.plus_minutes(from), doors.plus_minutes(to)).expect("in order")
    };
    let allowed =
        |case: &Case, from, to| case.prepared.availability[jupiter].allowed.covers(interval(from, to));
    assert!(allowed(&open, 40.0, 150.0) && !allowed(&closed, 40.0, 150.0));
    assert!(allowed(&closed, 40.0, 60.0) && allowed(&closed, 120.0, 150.0));
    assert!(closed.prepared.availability[jupiter].limits.contains(&Limit::ClosedSky));
    let during = doors.plus_minutes(80.0);
    let why = why_not_now(&closed.prepared, &materials, jupiter, during);
    let opens = Some(doors.plus_minutes(120.0));
    assert!(
        matches!(why, Some(WhyNot::Limit { limit: Limit::ClosedSky, opens: told, .. }) if told == opens),
        "{why:?}"
    );
    let better = when_better(&closed.prepared, &materials, jupiter, during).expect("it opens again");
    assert!(better.from >= doors.plus_minutes(120.0));
}

#[test]
fn a_closing_time_that_the_clocks_jump_over_is_told() {
    // In London the clocks go from 01:00 to 02:00 in the morning of 28 March 2027.
    let mut case = Case::new(|evening| {
        evening.date = NaiveDate::from_ymd_opt(2027, 3, 27).expect("a date");
        southern_cloud(evening);
    });
    let until = clock(1, 30);
    case.evening.wishes.closed_sky[0].until = Some(until);
    case.prepared = case.invented.prepare(&case.evening);
    let findings = check(&case.evening, &case.prepared, &case.invented.materials());
    let told = Rule::ClockTimeSkipped { what: ClockTime::SkyOpens, time: until };
    assert!(findings.iter().any(|found| found.severity == Caution && found.rule == told), "{findings:?}");
    assert_eq!(Some(case.prepared.closed_sky[0].interval.end()), case.prepared.night.local.clock_change());
}
