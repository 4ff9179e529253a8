//! What concerns the evening as a whole and the people in it: each rule broken once.

use chrono::{NaiveDate, NaiveTime};

use super::Case;
use crate::catalogue::TargetId;
use crate::events::Direction;
use crate::plan::invented::{Invented, march_evening};
use crate::plan::{ClockTime, EntryKind, Finding, Held, Limit, Rule, Severity, Stop, StopId, What, check};
use crate::time::Interval;

use Severity::{Caution, Stopper};

#[test]
fn wishes_and_programme_are_looked_after() {
    let case = Case::new(|evening| {
        *evening = march_evening();
        evening.wishes.must_show.push(TargetId("saturn".to_owned()));
        evening.wishes.leave_out.push(TargetId("mars".to_owned()));
        evening.programme.doors_close = NaiveTime::from_hms_opt(23, 45, 0).expect("a time");
        evening.programme.slack_percent = 95.0;
    });
    let stops = vec![
        case.stop(1, "jupiter", "eyepiece", 30.0, 31.0),
        case.stop(2, "mars", "eyepiece", 40.0, 60.0),
        case.stop(3, "jupiter", "wide", 70.0, 80.0),
    ];
    let caution = |matches: &dyn Fn(&Rule) -> bool| {
        case.finds(stops.clone(), Caution, matches).expect("it is told").stop
    };
    assert_eq!(caution(&|rule| *rule == Rule::MustShowMissing(TargetId("saturn".to_owned()))), None);
    assert_eq!(caution(&|rule| *rule == Rule::LeftOutShown), Some(StopId(2)));
    assert_eq!(caution(&|rule| *rule == Rule::ShownTwice { with: StopId(1) }), Some(StopId(3)));
    assert_eq!(
        caution(&|rule| matches!(rule, Rule::TooShort { needed_minutes, .. } if *needed_minutes > 10.0)),
        Some(StopId(1))
    );
    assert_eq!(
        caution(&|rule| matches!(rule, Rule::FixedEntryMissing { title } if title == "Welcome")),
        None
    );
    assert_eq!(caution(&|rule| *rule == Rule::ParkCloses), None);
    assert_eq!(
        caution(&|rule| matches!(rule, Rule::LittleSlack { free_percent, .. } if *free_percent > 50.0)),
        None
    );
}

#[test]
fn an_entry_at_its_time_satisfies_the_programme() {
    let case = Case::new(|evening| *evening = march_evening());
    let doors = case.prepared.doors.start();
    let what = What::Entry { kind: EntryKind::Welcome, title: "Welcome".to_owned(), cue: String::new() };
    let interval = Interval::new(doors, doors.plus_minutes(15.0)).expect("in order");
    let welcome = Stop { id: StopId(1), what, interval, held: Held::default() };
    let missing = case.findings(vec![welcome]).into_iter().filter_map(|found| match found.rule {
        Rule::FixedEntryMissing { title } => Some(title),
        _ => None,
    });
    assert_eq!(missing.collect::<Vec<_>>(), ["Interval"]);
}

#[test]
fn outside_doors_is_a_caution_and_outside_the_samples_a_stopper() {
    let case = Case::new(|_| {});
    let outside = |from: f64| vec![case.stop(1, "jupiter", "eyepiece", from, from + 10.0)];
    let rule = |rule: &Rule| *rule == Rule::OutsideDoors;
    assert!(case.finds(outside(-12.0), Caution, rule).is_some());
    assert!(case.finds(outside(-600.0), Stopper, rule).is_some());
    assert_eq!(case.finds(outside(20.0), Stopper, rule), None);
}

#[test]
fn doubtful_clocks_are_told_and_stoppers_come_first() {
    let case = Case::new(|evening| {
        evening.date = NaiveDate::from_ymd_opt(2060, 3, 13).expect("a date");
    });
    let findings = case.findings(vec![case.stop(1, "nowhere", "cellar", 30.0, 60.0)]);
    assert!(findings.iter().any(|found| found.rule == Rule::DoubtfulClock));
    assert!(findings.is_sorted_by_key(|found| found.severity));
}

#[test]
fn clock_times_that_come_twice_or_not_at_all_are_told() {
    let clock = |hour, minute| NaiveTime::from_hms_opt(hour, minute, 0).expect("a time");
    let night = |month, day, close| {
        let mut invented = Invented::new(7);
        invented.set_park_closes(clock(1, 45));
        let mut evening = march_evening();
        evening.date = NaiveDate::from_ymd_opt(2027, month, day).expect("a date");
        evening.programme.doors_close = close;
        evening.programme.fixed[1].start = clock(1, 15);
        let prepared = invented.prepare(&evening);
        let rules: Vec<Rule> = check(&evening, &prepared, &invented.materials())
            .into_iter()
            .filter(|found| (found.severity, found.stop) == (Caution, None))
            .map(|found| found.rule)
            .collect();
        (rules, prepared)
    };
    // London's clocks go back at 01:00 UTC on 31 October 2027 and forward at 01:00 UTC on 28 March 2027 (IANA time zone
    // database, file europe). On the first night 01:00 to 02:00 comes twice, on the second not at all.
    let (rules, prepared) = night(10, 30, clock(1, 30));
    let taken = prepared.doors.end();
    assert_eq!(taken.to_utc().to_rfc3339(), "2027-10-31T00:30:00+00:00");
    assert!(rules.contains(&Rule::ClockTimeTwice { what: ClockTime::DoorsClose, taken }), "{rules:?}");
    let interval = ClockTime::Entry("Interval".to_owned());
    let taken = taken.plus_minutes(-15.0);
    assert!(rules.contains(&Rule::ClockTimeTwice { what: interval.clone(), taken }), "{rules:?}");
    assert!(
        !rules.iter().any(|rule| matches!(rule, Rule::ClockTimeTwice { what: ClockTime::DoorsOpen, .. }))
    );
    let (rules, _) = night(3, 27, clock(2, 30));
    let skipped = |what, time| Rule::ClockTimeSkipped { what, time };
    assert!(rules.contains(&skipped(ClockTime::ParkCloses, clock(1, 45))), "{rules:?}");
    assert!(rules.contains(&skipped(interval, clock(1, 15))), "{rules:?}");
    let (rules, _) = night(3, 13, clock(2, 30));
    let doubtful = |rule: &Rule| matches!(rule, Rule::ClockTimeTwice { .. } | Rule::ClockTimeSkipped { .. });
    assert!(!rules.iter().any(doubtful), "{rules:?}");
}

#[test]
fn nothing_to_show_is_told_with_its_reason() {
    let case = Case::new(|evening| {
        evening.date = NaiveDate::from_ymd_opt(2027, 6, 21).expect("a date");
        evening.programme.doors_open = NaiveTime::from_hms_opt(18, 0, 0).expect("a time");
        evening.programme.doors_close = NaiveTime::from_hms_opt(20, 0, 0).expect("a time");
    });
    let told = |findings: Vec<Finding>| {
        findings.into_iter().find_map(|found| match found.rule {
            Rule::NothingToShow { limit } => Some(limit),
            _ => None,
        })
    };
    assert!(matches!(told(case.findings(Vec::new())), Some(Some(Limit::Light | Limit::Horizon))));
    assert_eq!(told(Case::new(|_| {}).findings(Vec::new())), None);
}

#[test]
fn doors_long_before_anything_can_be_shown_are_told_unless_entries_fill_the_time() {
    // Sunset in the middle of March is at about 18:10 there; no target is shown by day.
    let opening = |hour, minute| {
        Case::new(|evening| {
            evening.programme.doors_open = NaiveTime::from_hms_opt(hour, minute, 0).expect("a time");
        })
    };
    let until = |findings: Vec<Finding>| {
        findings.into_iter().find_map(|found| match found.rule {
            Rule::NothingYet { until } => Some((found.severity, found.stop, until)),
            _ => None,
        })
    };
    let early = opening(16, 45);
    let (severity, stop, first) = until(early.findings(Vec::new())).expect("it is told");
    assert_eq!((severity, stop), (Caution, None));
    let availability = early.prepared.availability.iter();
    let mut starts = availability.flat_map(|own| own.showable.as_slice()).map(|run| run.start());
    assert!(starts.all(|start| start >= first));
    let sunset = early.prepared.night.sun.going(Direction::Down)[0];
    assert!(first >= sunset && first.minutes_since(sunset) < 60.0, "{first:?} after {sunset:?}");
    assert_eq!(until(opening(19, 0).findings(Vec::new())), None);
    // A talk for all but the last half hour of it.
    let doors = early.prepared.doors.start();
    let what = What::Entry { kind: EntryKind::Talk, title: "Talk".to_owned(), cue: String::new() };
    let interval = Interval::new(doors, first.plus_minutes(-29.0)).expect("in order");
    let talk = Stop { id: StopId(1), what, interval, held: Held::default() };
    assert_eq!(until(early.findings(vec![talk])), None);
}

#[test]
fn a_crowd_before_one_screen_and_the_hour_of_the_park_are_told_once() {
    let case = Case::new(|evening| {
        evening.house.visitors = 2000;
        evening.programme.doors_close = NaiveTime::from_hms_opt(23, 59, 0).expect("a time");
    });
    let stops = vec![
        case.stop(1, "jupiter", "wide", 60.0, 70.0),
        case.stop(2, "mars", "planetary", 275.0, 281.0),
        case.stop(3, "moon", "planetary", 284.0, 290.0),
    ];
    let findings = case.findings(stops);
    let count = |matches: fn(&Rule) -> bool| findings.iter().filter(|found| matches(&found.rule)).count();
    assert_eq!(count(|rule| matches!(rule, Rule::TooManyForScreen { visitors: 1600, .. })), 1);
    assert_eq!(count(|rule| *rule == Rule::ParkCloses), 1);
}

#[test]
fn an_eyepiece_out_of_reach_is_a_caution_where_somebody_looks_seated() {
    let found = |height_mm: f64, step_mm: Option<f64>, seated: u32, port: &str| {
        let mut case = Case::new(|evening| evening.house.seated = seated);
        case.invented.set_eye_height(height_mm, step_mm);
        case.findings(vec![case.stop(1, "jupiter", port, 30.0, 60.0)])
    };
    let seated = |found: &[Finding]| found.iter().any(|found| matches!(found.rule, Rule::NotSeated { .. }));
    let step = |found: &[Finding]| found.iter().any(|found| matches!(found.rule, Rule::StepInUse { .. }));
    assert!(seated(&found(1400.0, None, 2, "eyepiece")));
    assert!(seated(&found(1000.0, None, 1, "eyepiece")));
    assert!(!seated(&found(1200.0, None, 2, "eyepiece")));
    assert!(!seated(&found(1400.0, None, 0, "eyepiece")));
    assert!(!seated(&found(1400.0, None, 2, "wide")));
    // Three stops at the same eyepiece are one matter, told at the first of them.
    let mut case = Case::new(|evening| evening.house.seated = 2);
    case.invented.set_eye_height(1400.0, None);
    let starts = [30.0, 70.0, 110.0].into_iter().zip(1..);
    let three = starts.map(|(start, id)| case.stop(id, "jupiter", "eyepiece", start, start + 30.0)).collect();
    let mut told = case.findings(three);
    told.retain(|found| matches!(found.rule, Rule::NotSeated { .. }));
    let rule = Rule::NotSeated { heights_mm: (1400.0, 1400.0), later_stops: 2 };
    assert_eq!(told, [Finding { severity: Caution, stop: Some(StopId(1)), rule }]);
    let with_step = found(1600.0, Some(300.0), 0, "eyepiece");
    assert!(
        step(&with_step)
            && with_step
                .iter()
                .all(|found| found.severity == Caution || !matches!(found.rule, Rule::StepInUse { .. }))
    );
    assert!(!step(&found(1600.0, Some(300.0), 0, "wide")) && !step(&found(1600.0, None, 0, "eyepiece")));
}
