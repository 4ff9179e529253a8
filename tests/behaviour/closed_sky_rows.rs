//! What holds when only a part of the sky can be used: the demo's evening under a hole in the cloud, and with a part of
//! its sky closed. That south-east lies from azimuth 90 to 180 degrees is the compass; the rest is common practice, no
//! source.

use evenfall_core::document::read_evening;
use evenfall_core::plan::{
    Evening, Prepared, Rule, Severity, best_in_sector, check, draft, ports_at, prepare,
};
use evenfall_core::sheet::{Names, run_sheet, why_not_now_sentence};
use evenfall_core::units::Angle;
use evenfall_tests::park::{EVENING, Park};

/// The demo's evening with these closed parts of the sky, drafted.
fn drafted(park: &Park, closed_sky: &str) -> (Evening, Prepared) {
    let text = EVENING.replacen("closed_sky: []", &format!("closed_sky: [{closed_sky}]"), 1);
    let mut evening = read_evening("evening", &text).expect("the evening reads");
    let prepared = prepare(&evening, &park.materials()).expect("its night can be prepared");
    evening.order = draft(&evening, &prepared, &park.materials());
    (evening, prepared)
}

#[test]
fn row_70_a_clear_hole_lists_the_best_targets_of_a_chosen_sector() {
    let park = Park::demo();
    let materials = park.materials();
    let (_, prepared) = drafted(&park, "");
    let (east, south) = (Angle::from_degrees(90.0), Angle::from_degrees(180.0));
    for minutes in [60.0, 120.0, 180.0, 230.0] {
        let at = prepared.doors.start().plus_minutes(minutes);
        let list = best_in_sector(&prepared, &materials, at, east, south);
        assert!(list.len() > 5, "only {} at minute {minutes}", list.len());
        for own in &list {
            let sample = prepared.sample(own.target_index, at).expect("it was sampled");
            assert!((90.0..=180.0).contains(&sample.azimuth.degrees()), "{}", sample.azimuth.degrees());
            let gone = prepared.sample(own.target_index, own.until.plus_minutes(1.0)).expect("a sample");
            let ends = own.until == prepared.span.end();
            let allowed = prepared.availability[own.target_index].allowed.as_slice();
            let limited = !allowed.iter().any(|run| run.contains(own.until.plus_minutes(1.0)));
            assert!(ends || limited || !(90.0..=180.0).contains(&gone.azimuth.degrees()));
        }
        // The best first, and none that belongs there is missing.
        let worth = |index: usize| {
            let best =
                ports_at(&prepared, &materials, index, at).first().map_or(0.0, |best| best.view.value());
            best * park.catalogue.targets[index].appeal.value()
        };
        assert!(list.windows(2).all(|pair| worth(pair[0].target_index) >= worth(pair[1].target_index)));
        let belongs = (0..park.catalogue.targets.len()).filter(|index| {
            let azimuth = prepared.sample(*index, at).expect("it was sampled").azimuth.degrees();
            let allowed = prepared.availability[*index].allowed.as_slice();
            (90.0..=180.0).contains(&azimuth)
                && allowed.iter().any(|run| run.contains(at))
                && worth(*index) > 0.0
        });
        assert_eq!(belongs.count(), list.len(), "minute {minutes}");
    }
}

#[test]
fn a_closed_part_of_the_sky_keeps_every_stop_out_of_it() {
    let park = Park::demo();
    let materials = park.materials();
    let (open, prepared) = drafted(&park, "");
    let (closed, closed_prepared) =
        drafted(&park, "(from_deg: 90, to_deg: 220, since: \"20:00\", until: \"21:30\")");
    let in_closed = |evening: &Evening, prepared: &Prepared| {
        let findings = check(evening, prepared, &materials);
        findings.iter().filter(|found| matches!(found.rule, Rule::InClosedSky { .. })).count()
    };
    let stoppers = check(&closed, &closed_prepared, &materials);
    assert!(stoppers.iter().all(|found| found.severity == Severity::Caution), "{stoppers:?}");
    assert_eq!([in_closed(&open, &prepared), in_closed(&closed, &closed_prepared)], [0, 0]);
    // The order of the open sky breaks the rule where the sky is closed.
    assert!(in_closed(&open, &closed_prepared) > 0);
    let sheet = run_sheet(&closed, &closed_prepared, &materials);
    let told = sheet.head.iter().find(|notice| notice.label == "Closed sky").expect("the sheet tells");
    assert_eq!(told.value, "90° E to 220° SW, since 20:00, until 21:30");
    let names = Names { evening: &closed, prepared: &closed_prepared, materials: &materials };
    let at = closed_prepared.doors.start().plus_minutes(120.0);
    let told = (0..park.catalogue.targets.len()).filter_map(|index| why_not_now_sentence(&names, index, at));
    let told: Vec<String> =
        told.filter(|sentence| sentence.starts_with("That part of the sky is closed")).collect();
    assert!(!told.is_empty());
    for sentence in &told {
        assert!(
            sentence.starts_with("That part of the sky is closed tonight, until 21:30 GMT; "),
            "{sentence}"
        );
    }
}
