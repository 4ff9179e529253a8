//! Evenings with nothing to lay out, and with far too much.

use chrono::{NaiveDate, NaiveTime};

use crate::plan::invented::{Invented, Seed, march_evening};
use crate::plan::{Drafting, PrepareError, Severity, check, prepare};
use crate::units::Angle;

fn clock(hour: u32, minute: u32) -> NaiveTime {
    NaiveTime::from_hms_opt(hour, minute, 0).expect("a clock time")
}

#[test]
fn an_empty_shelf_leaves_the_programme_and_is_the_best_there_is() {
    let mut invented = Invented::new(1);
    invented.keep_targets(0);
    let evening = march_evening();
    let prepared = invented.prepare(&evening);
    let materials = invented.materials();
    let mut drafting = Drafting::new(&evening, &prepared, &materials, None);
    drafting.advance(1_000);
    while drafting.advance_bound(1_000) {}
    let drafted = drafting.drafted();
    assert_eq!(drafted.order.stops().len(), evening.programme.fixed.len());
    assert_eq!((drafted.worth, drafted.most, drafted.gap()), (0, 0, 0.0));
}

#[test]
fn no_night_leaves_the_programme() {
    let mut invented = Invented::new(1);
    invented.set_latitude(Angle::from_degrees(78.0));
    let mut evening = march_evening();
    evening.date = NaiveDate::from_ymd_opt(2027, 6, 21).expect("a date");
    let prepared = invented.prepare(&evening);
    let materials = invented.materials();
    let mut drafting = Drafting::new(&evening, &prepared, &materials, None);
    drafting.advance(1_000);
    let drafted = drafting.drafted();
    assert!(drafted.order.stops().iter().all(|stop| stop.show().is_none()));
    assert_eq!(drafted.given_up, []);
}

#[test]
fn an_evening_of_five_minutes_is_told_and_one_of_ten_is_laid_out() {
    let invented = Invented::new(1);
    let mut evening = march_evening();
    evening.programme.fixed.clear();
    evening.programme.doors_close = clock(19, 5);
    let materials = invented.materials();
    let told = prepare(&evening, &materials).expect_err("too short");
    assert_eq!(told, PrepareError::Doors);
    assert!(told.to_string().contains("10 minutes"), "{told}");
    evening.programme.doors_close = clock(19, 10);
    let prepared = invented.prepare(&evening);
    let mut drafting = Drafting::new(&evening, &prepared, &materials, None);
    drafting.advance(100);
    assert!(drafting.drafted().order.stops().len() <= 2);
}

#[test]
fn ten_thousand_targets_are_laid_out() {
    let mut invented = Invented::new(1);
    invented.multiply_targets(&mut Seed(2), 10_000);
    let mut evening = march_evening();
    evening.programme.doors_close = clock(21, 0);
    let prepared = invented.prepare(&evening);
    let materials = invented.materials();
    let mut drafting = Drafting::new(&evening, &prepared, &materials, None);
    assert!(drafting.problem().targets.len() > 1_000);
    drafting.advance(100);
    drafting.advance_bound(100);
    let order = drafting.drafted().order;
    assert!(order.stops().len() > 3);
    let after = crate::plan::Evening { order, ..evening.clone() };
    let found = check(&after, &prepared, &materials);
    assert!(found.iter().all(|finding| finding.severity != Severity::Stopper), "{found:?}");
}
