//! Evenings drawn by lot: what is written is read back the same, and written again to the same bytes.

use chrono::{Duration, NaiveTime};
use chrono_tz::{Australia, Europe, Tz, UTC};
use evenfall_core::catalogue::{Kind, TargetId};
use evenfall_core::document::{read_evening, write_evening};
use evenfall_core::plan::{
    Call, ClosedSky, Decision, EntryKind, Evening, FixedEntry, Held, OrderRule, RunningOrder, Show, Stop,
    StopId, Version, VisitorPart, What,
};
use evenfall_core::rig::PortId;
use evenfall_core::time::{Instant, Interval};
use evenfall_core::units::Angle;
use evenfall_tests::draws::Draws;

const DEMO: &str = include_str!("../../catalog-demo/heron-fell.evening.ron");
const ENTRIES: [EntryKind; 4] =
    [EntryKind::Welcome, EntryKind::Talk, EntryKind::Interval, EntryKind::Closing];

fn text(draws: &mut Draws, longest: usize) -> String {
    const LETTERS: [char; 16] =
        ['a', 'B', '7', ' ', '"', '\\', '\'', '/', '{', ')', ',', 'é', 'λ', '星', '\u{301}', '🔭'];
    let letters: String = (0..=draws.below(longest)).take(longest).map(|_| draws.of(&LETTERS)).collect();
    if letters.trim().is_empty() { "x".to_owned() } else { letters }
}

fn identifier(draws: &mut Draws) -> String {
    format!("target-{}", draws.below(1000))
}

fn targets(draws: &mut Draws) -> Vec<TargetId> {
    (0..draws.below(4)).map(|_| TargetId(identifier(draws))).collect()
}

/// A number of few decimals or of all.
fn number(draws: &mut Draws, least: f64, most: f64) -> f64 {
    let number = draws.between(least, most);
    if draws.below(2) == 0 { number } else { (number * 10.0).round() / 10.0 }.clamp(least, most)
}

fn clock(draws: &mut Draws) -> NaiveTime {
    NaiveTime::from_hms_opt(draws.below(24) as u32, draws.below(60) as u32, 0).expect("a clock time")
}

fn order(draws: &mut Draws) -> RunningOrder {
    let mut start = Instant::from_utc("2027-03-27T18:00:00Z".parse().expect("a time"));
    let count = draws.below(12) as u32;
    let stops = (1..=count).map(|id| {
        start = start.plus_minutes(draws.below(90) as f64);
        let end = start.plus_minutes(1.0 + draws.below(90) as f64 / 4.0);
        let what = if draws.below(3) == 0 {
            let cue = if draws.below(2) == 0 { String::new() } else { text(draws, 90) };
            What::Entry { kind: draws.of(&ENTRIES), title: text(draws, 60), cue }
        } else {
            What::Show(Show {
                target: TargetId(identifier(draws)),
                port: PortId("wide".into()),
                eyepiece: (draws.below(2) == 0).then(|| draws.below(100)),
                understudy: (draws.below(2) == 0).then(|| TargetId(identifier(draws))),
            })
        };
        let held = Held { time: draws.below(2) == 0, port: draws.below(2) == 0 };
        let interval = Interval::new(start, end).expect("it ends after its start");
        start = end;
        Stop { id: StopId(id * 7), what, interval, held }
    });
    RunningOrder::new(stops.collect())
}

fn evening(draws: &mut Draws) -> Evening {
    let mut evening = read_evening("demo", DEMO).expect("the demo is sound");
    evening.title = text(draws, 60);
    evening.date += Duration::days(draws.below(20_000).cast_signed() as i64);
    evening.site_file = text(draws, 60);
    let house = &mut evening.house;
    house.visitors = draws.below(2001) as u32;
    house.children = draws.below(house.visitors as usize + 1) as u32;
    house.seated = draws.below(house.visitors as usize + 1) as u32;
    house.seconds_a_look = number(draws, 1.0, 600.0);
    house.skip_percent = number(draws, 0.0, 100.0);
    house.screen_minutes = number(draws, 0.5, 120.0);
    house.seconds_by_kind =
        Kind::ALL.into_iter().filter(|_| draws.whole().is_multiple_of(3)).map(|kind| (kind, 25.5)).collect();
    house.leaving = None;
    house.arrivals = (0..draws.below(4))
        .map(|_| {
            let from_minutes = number(draws, 0.0, 400.0);
            let until_minutes = from_minutes + number(draws, 0.0, 400.0);
            VisitorPart { from_minutes, until_minutes, percent: number(draws, 0.1, 100.0) }
        })
        .collect();
    let programme = &mut evening.programme;
    programme.slack_percent = number(draws, 0.0, 20.0);
    programme.fixed = (0..draws.below(4))
        .map(|_| FixedEntry {
            title: text(draws, 60),
            kind: draws.of(&ENTRIES),
            start: clock(draws),
            minutes: number(draws, 1.0, 600.0),
            cue: if draws.below(2) == 0 { String::new() } else { text(draws, 90) },
        })
        .collect();
    let wishes = &mut evening.wishes;
    wishes.must_show = targets(draws);
    wishes.leave_out = targets(draws).into_iter().filter(|id| !wishes.must_show.contains(id)).collect();
    wishes.most_port_changes = (draws.below(2) == 0).then(|| draws.below(201) as u32);
    wishes.least_stops =
        (0..draws.below(3)).map(|port| (PortId(format!("port-{port}")), draws.below(61) as u32)).collect();
    let closed = |draws: &mut Draws| {
        let (from, to) = (number(draws, 0.0, 360.0), number(draws, 0.0, 360.0));
        let since = (draws.below(2) == 0).then(|| clock(draws));
        let until = (draws.below(2) == 0).then(|| clock(draws));
        let since_again = since.is_some() && draws.below(4) == 0;
        let until_again = until.is_some() && draws.below(4) == 0;
        let (from, to) = (Angle::from_degrees(from), Angle::from_degrees(to));
        ClosedSky { since_again, until_again, ..ClosedSky::new(from, to, since, until) }
    };
    let closed: Vec<ClosedSky> = (0..draws.below(4)).map(|_| closed(draws)).collect();
    wishes.closed_sky = closed.into_iter().filter(|closed| !closed.is_backwards()).collect();
    for rule in OrderRule::ALL {
        evening.rules.set(rule, draws.below(101) as u8);
    }
    evening.rules.bedtime = clock(draws);
    evening.call = Call {
        decide_before_minutes: number(draws, 0.0, 300.0),
        crew_before_minutes: number(draws, 0.0, 300.0),
        decision: draws.of(&[Decision::Open, Decision::Go, Decision::NoGo]),
        decided_at: (draws.below(2) == 0).then(|| clock(draws)),
        decided_by: if draws.below(2) == 0 { String::new() } else { text(draws, 40) },
    };
    evening.next_dates = (0..draws.below(3)).map(|_| text(draws, 90)).collect();
    evening.orientation.ut1_minus_utc_s = number(draws, -1.0, 1.0);
    evening.orientation.pole_x = Angle::from_arcseconds(number(draws, -1.0, 1.0));
    evening.order = order(draws);
    evening.version = if draws.below(2) == 0 { String::new() } else { "Clear".to_owned() };
    evening.versions = (0..draws.below(3))
        .map(|number| Version { name: format!("Cloud \"{number}\""), order: order(draws) })
        .collect();
    evening.shown = targets(draws);
    evening
}

#[test]
fn an_evening_is_read_back_as_it_was_written() {
    let zones: [Tz; 3] = [Europe::London, Australia::Lord_Howe, UTC];
    let mut draws = Draws(33);
    for turn in 0..300 {
        let evening = evening(&mut draws);
        let zone = draws.of(&zones);
        let written = write_evening(&evening, zone);
        let read = read_evening("drawn", &written);
        assert_eq!(read.as_ref(), Ok(&evening), "turn {turn}: {written}");
        assert_eq!(read.map(|read| write_evening(&read, zone)), Ok(written), "turn {turn}");
    }
}
