//! The prepared sky against the layers below it and against the check.

use chrono::{NaiveDate, NaiveTime};

use super::{ALL_KEPT_UP_TO, prepare};
use crate::events::transits;
use crate::place::{EveningSky, Source};
use crate::plan::availability::in_short;
use crate::plan::invented::{Invented, march_evening};
use crate::plan::track::Way;
use crate::plan::{
    Evening, Held, Limit, Materials, PrepareError, Rule, RunningOrder, Severity, Show, Stop, StopId, What,
    check, merit, worst_view,
};
use crate::rig::PortId;
use crate::time::{Interval, LocalTimeError};
use crate::units::{Angle, Fraction};

fn clock(hour: u32, minute: u32) -> NaiveTime {
    NaiveTime::from_hms_opt(hour, minute, 0).expect("a time")
}

fn on(year: i32, month: u32, day: u32, open: NaiveTime, close: NaiveTime) -> Evening {
    let mut evening = march_evening();
    evening.date = NaiveDate::from_ymd_opt(year, month, day).expect("a date");
    evening.programme.doors_open = open;
    evening.programme.doors_close = close;
    evening
}

#[test]
fn samples_agree_with_the_observed_places() {
    let invented = Invented::new(2);
    let evening = march_evening();
    let prepared = invented.prepare(&evening);
    let materials = invented.materials();
    let window = prepared.night.local.window();
    let sky = EveningSky::new(materials.ephemeris, materials.site.place, evening.orientation, window)
        .expect("within the ephemeris");
    for (index, target) in materials.catalogue.targets.iter().enumerate().step_by(7) {
        let minute = 40 + index;
        let sample = prepared.sample_at(index, minute).expect("a sample");
        let observed = sky.at(prepared.moments[minute].instant).observe(&target.source);
        let near = |one: Angle, other: Angle| (one - other).wrapped_signed().abs().arcseconds() < 1.0;
        assert!(near(sample.azimuth, observed.azimuth), "{}", target.id);
        assert!(near(sample.hour_angle, observed.hour_angle), "{}", target.id);
        assert!(near(sample.parallactic_angle, observed.parallactic_angle), "{}", target.id);
        assert_eq!(sample.altitude, observed.apparent_altitude(materials.site.air), "{}", target.id);
        if let Source::Star(_) = target.source {
            let exact = transits(&sky, &target.source, true, window);
            let transit = prepared.tracks[index].transit.expect("a star transits every night");
            assert!(exact.iter().any(|at| at.seconds_since(transit).abs() < 1.0), "{}", target.id);
        }
    }
}

#[test]
fn a_large_catalogue_is_judged_as_a_small_one() {
    let invented = Invented::new(2);
    let evening = march_evening();
    let few = invented.prepare(&evening);
    let mut catalogue = invented.materials().catalogue.clone();
    let own = catalogue.targets.clone();
    while catalogue.targets.len() <= 2 * ALL_KEPT_UP_TO {
        catalogue.targets.extend(own.iter().cloned());
    }
    let materials = Materials { catalogue: &catalogue, ..invented.materials() };
    let many = prepare(&evening, &materials).expect("an evening");
    let mut worked_out = 0;
    for target in 0..catalogue.targets.len() {
        let of_few = target % own.len();
        assert_eq!(many.availability[target], few.availability[of_few]);
        assert_eq!(many.ranked[target], few.ranked[of_few]);
        let choices = many.choices_of(&materials, target);
        assert_eq!(choices, few.choices_of(&invented.materials(), of_few));
        let ranked = &many.ranked[target];
        assert!(ranked.is_empty() || ranked[..] == in_short(&materials, &choices)[..]);
        assert_eq!(many.tracks[target].transit, few.tracks[of_few].transit);
        assert_eq!(many.all_samples(target), few.all_samples(of_few));
        assert_eq!(many.samples(target, 40..=50), few.samples(of_few, 40..=50));
        worked_out += usize::from(matches!(many.tracks[target].way, Way::Fixed(_)));
    }
    assert!(worked_out > 0, "all samples are kept");
    let last = many.moments.len();
    assert!((0..catalogue.targets.len()).all(|target| many.sample_at(target, last).is_none()));
}

#[test]
fn altitudes_run_on_without_a_step_below_the_horizon() {
    let invented = Invented::new(2);
    let prepared = invented.prepare(&march_evening());
    let mut deep = 0;
    for target in 0..prepared.tracks.len() {
        for pair in prepared.all_samples(target).windows(2) {
            // The sky turns 0.25 degrees a minute (15 arcseconds a second of time); refraction near the horizon slows
            // what sets and what rises.
            let turned = (pair[1].altitude - pair[0].altitude).abs().degrees();
            assert!(turned < 0.2508, "{turned}");
            deep += usize::from(pair[0].altitude.degrees() < -1.0);
        }
    }
    assert!(deep > 1000, "only {deep}");
}

#[test]
fn what_is_allowed_has_no_hard_stopper() {
    let invented = Invented::new(4);
    let evening = on(2027, 9, 18, clock(19, 30), clock(23, 0));
    let prepared = invented.prepare(&evening);
    let materials = invented.materials();
    let mut judged = 0;
    for (target, own) in materials.catalogue.targets.iter().zip(&prepared.availability) {
        for interval in own.allowed.as_slice() {
            let show = Show {
                target: target.id.clone(),
                port: PortId("eyepiece".to_owned()),
                eyepiece: None,
                understudy: None,
            };
            let stop =
                Stop { id: StopId(1), what: What::Show(show), interval: *interval, held: Held::default() };
            let shown = Evening { order: RunningOrder::new(vec![stop]), ..evening.clone() };
            let findings = check(&shown, &prepared, &materials);
            let hard = findings
                .iter()
                .find(|found| found.severity == Severity::Stopper && !matches!(found.rule, Rule::NoView));
            assert_eq!(hard, None, "{}", target.id);
            judged += 1;
        }
        assert_eq!(own.allowed.intersection(&own.showable), own.showable, "{}", target.id);
        assert!(prepared.doors.covers(own.showable.as_slice().first().copied().unwrap_or(prepared.doors)));
        assert_eq!(own.best.is_none(), own.showable.is_empty(), "{}", target.id);
        let whole = own.showable.minutes() > prepared.doors.minutes() - 1.0;
        assert!(whole || !own.limits.is_empty(), "{}", target.id);
    }
    assert!(judged > 40, "only {judged}");
}

#[test]
fn what_never_rises_is_below_the_horizon_and_daylight_is_too_light() {
    let invented = Invented::new(4);
    let summer = on(2027, 6, 21, clock(18, 0), clock(20, 0));
    let prepared = invented.prepare(&summer);
    assert!(prepared.availability.iter().all(|own| own.allowed.is_empty() && own.best.is_none()));
    assert!(prepared.availability.iter().any(|own| own.limits == [Limit::Light]));
    // In the far north nothing south of declination -10 degrees ever rises.
    let mut invented = Invented::new(4);
    invented.set_latitude(Angle::from_degrees(80.0));
    let winter = invented.prepare(&on(2027, 1, 9, clock(19, 0), clock(22, 0)));
    let set = invented.materials().catalogue.targets.iter().position(
        |target| matches!(target.source, Source::Star(place) if place.declination.degrees() < -12.0),
    );
    let own = &winter.availability[set.expect("a southern star")];
    assert_eq!((own.allowed.is_empty(), own.limits.first()), (true, Some(&Limit::Horizon)));
}

#[test]
fn doors_run_over_midnight_and_over_a_change_of_clocks() {
    let invented = Invented::new(4);
    let plain = invented.prepare(&on(2027, 3, 20, clock(22, 0), clock(2, 30)));
    assert!((plain.doors.minutes() - 270.0).abs() < 1e-9);
    // The clocks go forward at 01:00 on 28 March 2027 in London (tz database): an hour is missing.
    let spring = invented.prepare(&on(2027, 3, 27, clock(22, 0), clock(2, 30)));
    assert!((spring.doors.minutes() - 210.0).abs() < 1e-9);
    let skipped = prepare(&on(2027, 3, 27, clock(22, 0), clock(1, 30)), &invented.materials());
    let (key, time, error) = ("programme.doors_close", clock(1, 30), LocalTimeError::Skipped);
    assert_eq!(skipped.as_ref().err(), Some(&PrepareError::LocalTime { key, time, error }));
    let told = skipped.err().map(|error| error.to_string()).unwrap_or_default();
    assert!(told.starts_with("programme.doors_close, 01:30: the clocks jump over this time"), "{told}");
    let no_year = prepare(&on(1500, 3, 27, clock(20, 0), clock(21, 0)), &invented.materials());
    assert!(matches!(no_year, Err(PrepareError::OutsideSpan(..))), "{no_year:?}");
    let shut = prepare(&on(2027, 3, 27, clock(22, 0), clock(21, 0)), &invented.materials());
    assert_eq!(shut.err(), Some(PrepareError::Doors));
    let past = prepare(&on(1900, 3, 27, clock(20, 0), clock(21, 0)), &invented.materials());
    assert!(past.is_err_and(|error| error.to_string().starts_with("1900-03-27: ")));
}

#[test]
fn merit_counts_the_worst_minute_and_leaves_broken_ports_out() {
    let invented = Invented::new(4);
    let mut evening = march_evening();
    evening.wishes.ports_out_of_service.push(PortId("wide".to_owned()));
    let prepared = invented.prepare(&evening);
    let materials = invented.materials();
    let doors = prepared.doors.start();
    let over = |from: f64, to: f64| {
        Interval::new(doors.plus_minutes(from), doors.plus_minutes(to)).expect("in order")
    };
    let mut compared = 0;
    for index in 0..materials.catalogue.targets.len() {
        let long = merit(&prepared, &materials, index, over(60.0, 110.0));
        let short = merit(&prepared, &materials, index, over(80.0, 90.0));
        assert!(long.is_sorted_by(|one, other| one.view >= other.view));
        for merit in &long {
            assert_ne!(merit.choice.port.0, "wide");
            assert!(merit.worth() <= merit.appeal);
            let within = short.iter().find(|short| short.choice.port == merit.choice.port);
            assert!(within.is_some_and(|within| within.view >= merit.view));
            compared += 1;
        }
    }
    assert!(compared > 60, "only {compared}");
}

#[test]
fn the_view_through_one_port_is_the_one_that_the_ranking_gives() {
    let invented = Invented::new(30);
    let mut evening = march_evening();
    evening.wishes.ports_out_of_service.push(PortId("wide".to_owned()));
    let prepared = invented.prepare(&evening);
    let materials = invented.materials();
    let minutes = prepared.span.minutes() as usize;
    let (mut shown, mut hidden) = (0, 0);
    for index in 0..materials.catalogue.targets.len() {
        for from in (0..minutes).step_by(7) {
            let start = prepared.span.start().plus_minutes(from as f64);
            for length in [0.0, 1.0, 12.0, 50.0] {
                let interval = Interval::new(start, start.plus_minutes(length)).expect("in order");
                let ranked = merit(&prepared, &materials, index, interval);
                for port in &materials.rig.ports {
                    let own = ranked.iter().find(|merit| merit.choice.port == port.id);
                    let want = own.map_or(Fraction::ZERO, |merit| merit.view);
                    let got = worst_view(&prepared, &materials, index, port, interval);
                    assert_eq!(got, want, "target {index} on {} from minute {from} for {length}", port.id);
                    if got > Fraction::ZERO { shown += 1 } else { hidden += 1 }
                }
            }
        }
    }
    assert!(shown > 500 && hidden > 500, "{shown} shown, {hidden} hidden");
}
