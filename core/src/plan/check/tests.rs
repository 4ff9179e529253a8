//! Every rule is broken once, by an order made by hand.

mod again;
mod closed_sky;
mod whole;

use chrono::NaiveTime;

use super::check;
use crate::catalogue::TargetId;
use crate::plan::invented::{Invented, march_evening};
use crate::plan::slew::slew_near_sun;
use crate::plan::timing::{legs, timings};
use crate::plan::{
    Evening, Finding, Held, Limit, Prepared, Rule, RunningOrder, Severity, Show, Stop, StopId, What,
};
use crate::rig::{MeridianFlip, PortId};
use crate::time::{Instant, Interval};
use crate::units::Angle;

/// An evening without a programme, prepared.
struct Case {
    invented: Invented,
    evening: Evening,
    prepared: Prepared,
}

impl Case {
    fn new(change: impl FnOnce(&mut Evening)) -> Self {
        let invented = Invented::new(7);
        let mut evening = march_evening();
        evening.programme.fixed.clear();
        evening.programme.slack_percent = 0.0;
        change(&mut evening);
        let prepared = invented.prepare(&evening);
        Self { invented, evening, prepared }
    }

    /// A stop from one minute to another after doors open.
    fn stop(&self, id: u32, target: &str, port: &str, from: f64, to: f64) -> Stop {
        let doors = self.prepared.doors.start();
        let interval = Interval::new(doors.plus_minutes(from), doors.plus_minutes(to)).expect("in order");
        let show = Show {
            target: TargetId(target.to_owned()),
            port: PortId(port.to_owned()),
            eyepiece: None,
            understudy: None,
        };
        Stop { id: StopId(id), what: What::Show(show), interval, held: Held::default() }
    }

    fn findings(&self, stops: Vec<Stop>) -> Vec<Finding> {
        let evening = Evening { order: RunningOrder::new(stops), ..self.evening.clone() };
        check(&evening, &self.prepared, &self.invented.materials())
    }

    /// The first finding of a gravity that matches.
    fn finds(
        &self,
        stops: Vec<Stop>,
        severity: Severity,
        matches: impl Fn(&Rule) -> bool,
    ) -> Option<Finding> {
        let mut findings = self.findings(stops).into_iter();
        findings.find(|found| found.severity == severity && matches(&found.rule))
    }

    /// The first invented star for which a test holds at a minute after doors open.
    fn star(&self, minute: f64, holds: impl Fn(Angle) -> bool) -> String {
        let at = self.prepared.doors.start().plus_minutes(minute);
        let targets = self.invented.materials().catalogue.targets.iter().enumerate();
        targets
            .filter(|(_, target)| target.id.0.starts_with("invented"))
            .find(|(index, _)| self.prepared.sample(*index, at).is_some_and(|sample| holds(sample.altitude)))
            .map(|(_, target)| target.id.0.clone())
            .expect("a star stands there")
    }
}

use Severity::{Caution, Stopper};

#[test]
fn a_good_stop_has_no_stopper() {
    let case = Case::new(|_| {});
    let findings = case.findings(vec![case.stop(1, "jupiter", "eyepiece", 30.0, 80.0)]);
    assert!(findings.iter().all(|found| found.severity == Caution), "{findings:?}");
}

#[test]
fn time_is_not_shared_and_moves_need_room() {
    let case = Case::new(|_| {});
    let first = case.stop(1, "jupiter", "eyepiece", 30.0, 60.0);
    let overlap =
        case.finds(vec![first.clone(), case.stop(2, "mars", "eyepiece", 55.0, 90.0)], Stopper, |rule| {
            *rule == Rule::Overlap { with: StopId(1) }
        });
    assert_eq!(overlap.and_then(|found| found.stop), Some(StopId(2)));
    let next = case.stop(2, "mars", "wide", 60.0, 90.0);
    let found = case.findings(vec![first.clone(), next]);
    let short = found.iter().find_map(|found| match found.rule {
        Rule::MoveDoesNotFit { short_by_minutes } => Some(short_by_minutes),
        _ => None,
    });
    assert!(short.is_some_and(|minutes| minutes > 0.3 && minutes < 4.0), "{found:?}");
    let later = case.stop(2, "mars", "wide", 65.0, 90.0);
    let in_time = |rule: &Rule| !matches!(rule, Rule::Overlap { .. } | Rule::MoveDoesNotFit { .. });
    assert!(case.findings(vec![first, later]).iter().all(|found| in_time(&found.rule)));
}

#[test]
fn what_does_not_exist_is_told() {
    let case = Case::new(|evening| evening.wishes.ports_out_of_service.push(PortId("wide".to_owned())));
    let unknown = case.finds(vec![case.stop(1, "nowhere", "eyepiece", 30.0, 60.0)], Stopper, |rule| {
        matches!(rule, Rule::UnknownTarget(_))
    });
    assert!(unknown.is_some());
    let port = case.finds(vec![case.stop(1, "mars", "cellar", 30.0, 60.0)], Stopper, |rule| {
        matches!(rule, Rule::UnknownPort(_))
    });
    assert!(port.is_some());
    let broken = case.finds(vec![case.stop(1, "mars", "wide", 30.0, 60.0)], Stopper, |rule| {
        matches!(rule, Rule::PortOutOfService(_))
    });
    assert!(broken.is_some());
}

#[test]
fn altitude_is_judged_to_the_end_of_the_stop() {
    let case = Case::new(|_| {});
    let low = case.star(60.0, |altitude| altitude.degrees() < 10.0);
    let found = case.findings(vec![case.stop(1, &low, "eyepiece", 60.0, 90.0)]);
    let stands = found.iter().any(|found| match found.rule {
        Rule::TooLow { altitude, needed, .. } => altitude < needed && needed.degrees() > 14.99,
        _ => false,
    });
    assert!(stands, "{found:?}");
    // Sinks below the mount's limit before the end: allowed for the first ten minutes, not for an hour.
    let materials = case.invented.materials();
    let (index, end) = case
        .prepared
        .availability
        .iter()
        .enumerate()
        .find_map(|(index, own)| {
            let last = own.allowed.as_slice().last()?;
            let ends = last.end() < case.prepared.doors.end().plus_minutes(-70.0);
            (ends && last.minutes() > 10.0).then(|| (index, last.end()))
        })
        .expect("something sets in the evening");
    let minute = end.minutes_since(case.prepared.doors.start());
    let id = &materials.catalogue.targets[index].id.0;
    let within = vec![case.stop(1, id, "eyepiece", minute - 10.0, minute)];
    let beyond = vec![case.stop(1, id, "eyepiece", minute - 10.0, minute + 60.0)];
    let hard = |rule: &Rule| matches!(rule, Rule::TooLow { .. } | Rule::InKeyhole { .. });
    assert_eq!(case.finds(within, Stopper, hard), None);
    let found = case.findings(beyond);
    assert!(found.iter().any(|found| hard(&found.rule)), "{found:?}");
}

#[test]
fn the_keyhole_is_a_caution_unless_the_whole_stop_is_in_it() {
    let case = Case::new(|_| {});
    let samples = |id: &str| {
        let index = case.invented.materials().target_index(&TargetId(id.to_owned()));
        case.prepared.all_samples(index.expect("it is in the catalogue"))
    };
    // A star that culminates in the zenith during the evening.
    let id = "overhead";
    let doors = case.prepared.moment_index(case.prepared.doors.start());
    let inside = |altitude: f64| (86.2..87.9).contains(&altitude);
    let minute = samples(id)[doors..].iter().position(|sample| inside(sample.altitude.degrees()));
    let minute = minute.expect("it comes near the zenith") as f64;
    let keyhole = |throughout: bool| move |rule: &Rule| matches!(rule, Rule::InKeyhole { throughout: own, .. } if *own == throughout);
    let short = vec![case.stop(1, id, "eyepiece", minute, minute + 1.0)];
    assert!(case.finds(short, Stopper, keyhole(true)).is_some());
    let partly = case.findings(vec![case.stop(1, id, "eyepiece", minute - 20.0, minute)]);
    assert!(partly.iter().any(|found| keyhole(false)(&found.rule)), "{partly:?}");
}

#[test]
fn the_sun_is_kept_away_from() {
    let case = Case::new(|evening| {
        evening.programme.doors_open = NaiveTime::from_hms_opt(17, 45, 0).expect("a time");
    });
    // Sunset on the invented hill is at about 18:11 on that day: 17:45 is day, 18:30 is civil twilight.
    let day = vec![case.stop(1, "jupiter", "eyepiece", 5.0, 20.0)];
    assert!(case.finds(day, Stopper, |rule| *rule == Rule::Daylight).is_some());
    // Mercury is never more than 28 degrees from the Sun.
    let near = case.finds(vec![case.stop(1, "mercury", "eyepiece", 40.0, 50.0)], Stopper, |rule| {
        matches!(rule, Rule::NearSun { separation, limit } if separation < limit && limit.degrees() > 29.99)
    });
    assert!(near.is_some());
}

#[test]
fn no_file_lowers_the_sun_exclusion_below_its_floor() {
    let mut invented = Invented::new(7);
    invented.set_sun_exclusion(Angle::from_degrees(1.0));
    let mut evening = march_evening();
    evening.programme.doors_open = NaiveTime::from_hms_opt(17, 45, 0).expect("a time");
    let prepared = invented.prepare(&evening);
    let case = Case { invented, evening, prepared };
    let near = case.finds(vec![case.stop(1, "mercury", "eyepiece", 40.0, 50.0)], Stopper, |rule| {
        matches!(rule, Rule::NearSun { .. })
    });
    assert!(near.is_some());
}

#[test]
fn a_slew_past_the_sun_is_stopped() {
    let case = Case::new(|evening| {
        evening.programme.doors_open = NaiveTime::from_hms_opt(17, 45, 0).expect("a time");
    });
    let materials = case.invented.materials();
    let ids: Vec<String> = materials.catalogue.targets.iter().map(|target| target.id.0.clone()).collect();
    let pair = ids.iter().find_map(|one| {
        ids.iter().find_map(|other| {
            let stops =
                vec![case.stop(1, one, "eyepiece", 30.0, 35.0), case.stop(2, other, "eyepiece", 40.0, 45.0)];
            let order = RunningOrder::new(stops.clone());
            let legs = legs(&order, &case.prepared, &materials);
            let path = legs[1].path?;
            slew_near_sun(&materials, &case.prepared, path, legs[1].timing.leave)?;
            let near = case.finds(stops.clone(), Stopper, |rule| matches!(rule, Rule::NearSun { .. }));
            near.is_none().then_some(stops)
        })
    });
    let stops = pair.expect("a way past the Sun between two places clear of it");
    let found = case.finds(
        stops,
        Stopper,
        |rule| matches!(rule, Rule::SlewNearSun { separation } if separation.degrees() < 30.0),
    );
    assert_eq!(found.and_then(|found| found.stop), Some(StopId(2)));
}

/// The first minute at which the Sun has gone down to -6 degrees.
fn sun_at(case: &Case, altitude_deg: f64) -> Instant {
    let mut moments = case.prepared.moments.iter();
    moments.find(|moment| moment.sun.altitude.degrees() <= altitude_deg).expect("the Sun goes down").instant
}

/// Civil dusk is when the Sun stands at -6 degrees.
fn dusk(case: &Case) -> Instant {
    sun_at(case, -6.0)
}

#[test]
fn the_first_slew_in_daylight_is_a_caution() {
    let case = Case::new(|evening| {
        evening.programme.doors_open = NaiveTime::from_hms_opt(17, 45, 0).expect("a time");
    });
    // By the almanacs the Sun sets when its centre stands at -50 minutes of arc.
    let minute = sun_at(&case, -50.0 / 60.0).minutes_since(case.prepared.doors.start());
    let told = |from: f64| {
        let stops = vec![
            case.stop(1, "jupiter", "eyepiece", from, from + 5.0),
            case.stop(2, "jupiter", "wide", from + 8.0, from + 12.0),
        ];
        case.finds(stops, Caution, |rule| *rule == Rule::FirstSlewInDaylight).and_then(|found| found.stop)
    };
    assert_eq!(told(minute - 15.0), Some(StopId(1)));
    assert_eq!(told(minute + 10.0), None);
    // A stop of an unknown target leaves the telescope parked: the slew after it is the first.
    let stops = vec![
        case.stop(1, "nowhere", "eyepiece", minute - 25.0, minute - 20.0),
        case.stop(2, "jupiter", "eyepiece", minute - 15.0, minute - 10.0),
    ];
    let found = case.finds(stops, Caution, |rule| *rule == Rule::FirstSlewInDaylight);
    assert_eq!(found.and_then(|found| found.stop), Some(StopId(2)));
}

#[test]
fn a_slew_that_may_begin_too_early_says_from_when() {
    let case = Case::new(|evening| {
        evening.programme.doors_open = NaiveTime::from_hms_opt(17, 45, 0).expect("a time");
    });
    let materials = case.invented.materials();
    let minute = dusk(&case).minutes_since(case.prepared.doors.start());
    let ids: Vec<String> = materials.catalogue.targets.iter().map(|target| target.id.0.clone()).collect();
    let found = ids.iter().find_map(|one| {
        ids.iter().find_map(|other| {
            let stops = vec![
                case.stop(1, one, "eyepiece", minute - 20.0, minute - 15.0),
                case.stop(2, other, "eyepiece", minute + 15.0, minute + 20.0),
            ];
            case.finds(stops, Caution, |rule| matches!(rule, Rule::SlewTooEarly { .. }))
        })
    });
    let found = found.expect("a way past the Sun while it is still up");
    let Rule::SlewTooEarly { separation, from } = found.rule else { panic!("{found:?}") };
    assert_eq!((found.stop, from), (Some(StopId(2)), dusk(&case)));
    assert!(separation.degrees() < 30.0);
}

#[test]
fn understudies_keep_the_limits_of_their_stop() {
    let case = Case::new(|evening| {
        evening.programme.doors_open = NaiveTime::from_hms_opt(17, 45, 0).expect("a time");
        evening.wishes.leave_out.push(TargetId("mars".to_owned()));
    });
    let with = |understudy: &str, from: f64| {
        let mut stop = case.stop(1, "jupiter", "eyepiece", from, from + 10.0);
        if let What::Show(show) = &mut stop.what {
            show.understudy = Some(TargetId(understudy.to_owned()));
        }
        vec![stop]
    };
    // 18:35 on that evening is civil twilight, and Mercury is never more than 28 degrees from the Sun.
    let near = |rule: &Rule| matches!(rule, Rule::UnderstudyLimited { limit: Limit::Sun, .. });
    let found = case.finds(with("mercury", 50.0), Stopper, near).expect("it is too near the Sun");
    assert!(matches!(found.rule, Rule::UnderstudyLimited { at, .. } if at == with("", 50.0)[0].start()));
    // By day the Sun's limit is graver than the light.
    assert!(case.finds(with("mercury", 5.0), Stopper, near).is_some());
    let low = case.star(240.0, |altitude| altitude.degrees() < 0.0);
    let below = |rule: &Rule| matches!(rule, Rule::UnderstudyLimited { limit: Limit::Horizon, .. });
    assert!(case.finds(with(&low, 240.0), Caution, below).is_some());
    let unknown = |rule: &Rule| *rule == Rule::UnknownUnderstudy(TargetId("nowhere".to_owned()));
    assert!(case.finds(with("nowhere", 240.0), Caution, unknown).is_some());
    let left_out = |rule: &Rule| *rule == Rule::LeftOutUnderstudy(TargetId("mars".to_owned()));
    assert!(case.finds(with("mars", 240.0), Caution, left_out).is_some());
    // One that stands well is not told of.
    let high = case.star(245.0, |altitude| (40.0..70.0).contains(&altitude.degrees()));
    let told = |rule: &Rule| {
        matches!(
            rule,
            Rule::UnderstudyLimited { .. } | Rule::UnknownUnderstudy(_) | Rule::LeftOutUnderstudy(_)
        )
    };
    assert!(case.findings(with(&high, 240.0)).iter().all(|found| !told(&found.rule)));
}

#[test]
fn the_cables_must_last_to_the_end_of_a_stop() {
    // Jupiter stands in the south on that evening and goes west: the cables reach its azimuth of the first minute, and
    // two degrees more.
    let mut case = Case::new(|_| {});
    let stop = case.stop(1, "jupiter", "eyepiece", 60.0, 90.0);
    let index = case.invented.materials().target_index(&TargetId("jupiter".to_owned())).expect("it is there");
    let azimuth = |at| case.prepared.sample(index, at).expect("a sample").azimuth;
    let (first, last) = (azimuth(stop.start()), azimuth(stop.end()));
    assert!((last - first).degrees() > 4.0);
    let ends = first + Angle::from_degrees(2.0);
    let reached = (60..=90)
        .filter(|minute| azimuth(case.prepared.doors.start().plus_minutes(f64::from(*minute))) <= ends)
        .count();
    case.invented.set_cable_wrap((ends - Angle::from_degrees(300.0), ends));
    let found = case.finds(vec![stop.clone()], Stopper, |rule| matches!(rule, Rule::CablesEnd { .. }));
    let wanted = stop.start().plus_minutes(reached as f64);
    assert_eq!(found.map(|found| found.rule), Some(Rule::CablesEnd { at: wanted }));
}

#[test]
fn a_flip_within_a_stop_is_a_caution_with_its_minute() {
    let mut case = Case::new(|_| {});
    case.invented.set_equatorial(MeridianFlip { past_meridian: Angle::from_degrees(5.0), flip_s: 120.0 });
    case.prepared = case.invented.prepare(&case.evening);
    // Whatever crosses the meridian well within doors and high enough.
    let doors = case.prepared.moment_index(case.prepared.doors.start());
    let crossing = |index: usize| {
        let samples = &case.prepared.all_samples(index)[doors..];
        let minute = samples
            .iter()
            .position(|sample| sample.hour_angle.degrees() > 5.0 && sample.hour_angle.degrees() < 6.0)?;
        let allowed = &case.prepared.availability[index].allowed;
        let at = |offset: f64| case.prepared.doors.start().plus_minutes(minute as f64 + offset);
        let wide = Interval::new(at(-40.0), at(40.0))?;
        (minute > 40 && allowed.covers(wide)).then_some((minute as f64, at(0.0)))
    };
    let targets = &case.invented.materials().catalogue.targets;
    let (id, (minute, at)) = (0..targets.len())
        .find_map(|index| Some((targets[index].id.0.clone(), crossing(index)?)))
        .expect("something crosses the meridian");
    let flip = |rule: &Rule| matches!(rule, Rule::FlipInside { .. });
    let across = vec![case.stop(1, &id, "eyepiece", minute - 35.0, minute + 10.0)];
    let found = case.finds(across, Caution, flip).expect("it flips");
    assert_eq!(found.rule, Rule::FlipInside { at });
    // Before the flip, and begun on the other side of the meridian: none.
    let before = vec![case.stop(1, &id, "eyepiece", minute - 35.0, minute - 5.0)];
    let after = vec![case.stop(1, &id, "eyepiece", minute - 10.0, minute + 30.0)];
    assert_eq!([case.finds(before, Caution, flip), case.finds(after, Caution, flip)], [None, None]);
    // Split there with room between, the flip becomes part of the move and takes its time.
    let split = vec![
        case.stop(1, &id, "eyepiece", minute - 35.0, minute - 5.0),
        case.stop(2, &id, "eyepiece", minute + 1.0, minute + 30.0),
    ];
    assert!(case.findings(split.clone()).iter().all(|found| !flip(&found.rule)));
    let timings = timings(&RunningOrder::new(split), &case.prepared, &case.invented.materials());
    assert!((120.0..125.0).contains(&timings[1].parts.slew_s), "got {}", timings[1].parts.slew_s);
}
