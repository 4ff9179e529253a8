//! What a catalogue's targets must carry, one test a capability, on the demo's catalogue with something taken away.

use evenfall_core::catalogue::{Missing, Target, TargetId, read_catalogue, usual_words};
use evenfall_core::lists::{Effect, read_list};
use evenfall_core::plan::{Finding, Held, Rule, RunningOrder, Severity, Show, Stop, StopId, What, check};
use evenfall_core::rig::PortId;
use evenfall_core::sheet::run_sheet;
use evenfall_core::time::Interval;
use evenfall_tests::park::Park;

const CATALOGUE: &str = include_str!("../../catalog-demo/heron-fell.catalogue.ron");

fn incomplete(findings: &[Finding]) -> Vec<(StopId, Vec<Missing>)> {
    let told = findings.iter().filter_map(|finding| match &finding.rule {
        Rule::Incomplete { missing } => {
            assert_eq!(finding.severity, Severity::Caution);
            Some((finding.stop.expect("it belongs to a stop"), missing.clone()))
        }
        _ => None,
    });
    told.collect()
}

/// Whether the catalogue tells size, brightness and words of a target, by the plainest reading of the row.
fn has_all_fields(target: &Target) -> bool {
    let usual = usual_words(target.kind);
    let words = [
        (&target.words.line, &usual.line),
        (&target.words.comparison, &usual.comparison),
        (&target.words.look_for, &usual.look_for),
    ];
    let own = words.iter().all(|(own, usual)| !own.is_empty() && own != usual);
    let computed = target.body().is_some();
    own && (computed || target.double.is_some() || target.size.is_some())
        && (computed || target.magnitude.is_some())
}

#[test]
fn row_16_every_entry_used_tonight_has_all_fields_or_is_marked_incomplete() {
    let (mut park, prepared) = Park::demo().drafted();
    let materials = park.materials();
    assert_eq!(incomplete(&check(&park.evening, &prepared, &materials)), [], "the demo tells all of its own");
    let shown: Vec<(StopId, TargetId)> = park
        .evening
        .order
        .stops()
        .iter()
        .filter_map(|stop| Some((stop.id, stop.show()?.target.clone())))
        .collect();
    assert!(shown.len() > 6, "{shown:?}");
    for (position, (_, id)) in shown.iter().enumerate() {
        let index = park.target(&id.0);
        let target = &mut park.catalogue.targets[index];
        match position % 4 {
            0 => target.words = usual_words(target.kind),
            1 => target.words.look_for.clear(),
            2 => (target.size, target.magnitude, target.surface_brightness) = (None, None, None),
            _ => {}
        }
    }
    let materials = park.materials();
    let findings = check(&park.evening, &prepared, &materials);
    let marked = incomplete(&findings);
    let sheet = run_sheet(&park.evening, &prepared, &materials);
    for (position, stop) in park.evening.order.stops().iter().enumerate() {
        let Some(show) = stop.show() else { continue };
        let target = park.catalogue.get(&show.target).expect("it is in the catalogue");
        let own = marked.iter().filter(|(id, _)| *id == stop.id).count();
        assert_eq!(own, usize::from(!has_all_fields(target)), "{}", target.id);
        // The run sheet tells it below the stop.
        let begin = "Caution: The catalogue does not tell all of it: ";
        let lines = sheet.rows[position].cautions.iter().filter(|line| line.starts_with(begin)).count();
        assert_eq!(lines, own, "{:?}", sheet.rows[position].cautions);
    }
    let words = [Missing::Line, Missing::Comparison, Missing::LookFor];
    assert!(marked.iter().any(|(_, missing)| missing == &words));
    assert!(marked.iter().any(|(_, missing)| missing == &[Missing::LookFor]));
}

#[test]
fn row_16_a_target_without_size_and_one_from_a_list_without_words_are_marked() {
    let mut park = Park::demo();
    let list = "name,kind,ra,dec,mag\nNew Lamp,galaxy,11 20 00,+40 00 00,9.5\n";
    park.catalogue.targets.extend(read_list(list.as_bytes(), None).targets);
    let prepared = park.prepared();
    let from_list = park.catalogue.targets.last().expect("it came in").id.clone();
    let doors = prepared.doors.start();
    let stop = |id: u32, target: TargetId, from: f64| Stop {
        id: StopId(id),
        what: What::Show(Show { target, port: PortId("wide".into()), eyepiece: None, understudy: None }),
        interval: Interval::new(doors.plus_minutes(from), doors.plus_minutes(from + 8.0)).expect("in order"),
        held: Held::default(),
    };
    park.evening.order =
        RunningOrder::new(vec![stop(1, TargetId("odd-glove".into()), 120.0), stop(2, from_list, 140.0)]);
    let told: Vec<String> = run_sheet(&park.evening, &prepared, &park.materials())
        .rows
        .into_iter()
        .flat_map(|row| row.cautions)
        .filter(|line| line.contains("does not tell"))
        .collect();
    let wanted = [
        "Caution: The catalogue does not tell all of it: its size is not known.",
        "Caution: The catalogue does not tell all of it: its size is not known; and it has only the words usual for its kind.",
    ];
    assert_eq!(told, wanted);
}

#[test]
fn row_17_a_double_carries_separation_and_colour_and_a_feature_its_place() {
    let (demo, faults) = read_catalogue("c", CATALOGUE);
    assert_eq!(faults, []);
    let doubles = demo.targets.iter().filter_map(|target| target.double.as_ref());
    assert!(doubles.clone().count() > 5 && doubles.clone().all(|double| !double.colours.is_empty()));
    let features = demo.targets.iter().filter(|target| target.feature.is_some()).count();
    assert_eq!(features, 3);
    // Without one of them an entry is a fault, with its place and the key, and stays out; all others come in.
    for (key, cut) in [
        ("separation_arcsec", "separation_arcsec: 8.1, "),
        ("colours", ", colours: \"copper and pale blue\""),
        ("longitude_deg", "longitude_deg: 27.0, "),
        ("latitude_deg", "latitude_deg: -8.5, "),
    ] {
        assert_eq!(CATALOGUE.matches(cut).count(), 1, "{cut}");
        let text = CATALOGUE.replacen(cut, "", 1);
        let (rest, faults) = read_catalogue("c", &text);
        assert_eq!(rest.targets.len() + 1, demo.targets.len(), "{key}: {faults:?}");
        assert_eq!(faults.len(), 1, "{key}: {faults:?}");
        assert!(faults[0].key.ends_with(key) && faults[0].line > 1, "{key}: {}", faults[0]);
    }
}

#[test]
fn row_19_of_twenty_rows_with_one_bad_nineteen_come_in_and_the_bad_one_is_named() {
    let row = |row: u32| {
        // The eighth lies beyond the pole.
        let declination = if row == 7 { 95 } else { 20 + 2 * row };
        format!("Fell {row},galaxy,{:02} {:02} 00,+{declination} 30 00,8.5\n", 4 + row / 2, row * 3)
    };
    let list = format!("name,kind,ra,dec,mag\n{}", (0..20).map(row).collect::<String>());
    let read = read_list(list.as_bytes(), None);
    assert_eq!(read.targets.len(), 19);
    assert!(read.targets.iter().all(|target| target.name != "Fell 7"));
    let [remark] = &read.remarks[..] else { panic!("{:?}", read.remarks) };
    // Its head is line 1.
    assert_eq!(
        (remark.line, remark.effect, &*remark.column, &*remark.value),
        (9, Effect::RowLeftOut, "dec", "+95 30 00")
    );
    let told = "the declination is out of range. Give -90 to +90 degrees";
    assert!(remark.to_string().contains(told), "{remark}");
}
