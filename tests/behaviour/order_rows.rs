//! What the running order must do, one test a capability, on the demo's evening read from its files.

use evenfall_core::catalogue::TargetId;
use evenfall_core::document::{read_evening, write_evening};
use evenfall_core::plan::{
    Drafting, EntryKind, Evening, Finding, Held, PickUp, Prepared, Rule, RunningOrder, Severity, Stop, What,
    check, draft, dry_run, edit, free_minutes, prepare, queue, timings,
};
use evenfall_core::rig::axis_seconds;
use evenfall_core::sheet::dry_run_lines;
use evenfall_core::time::Interval;
use evenfall_core::units::Angle;
use evenfall_tests::park::Park;

/// The demo's evening on a date, drafted.
fn drafted(park: &Park, date: &str) -> (Evening, Prepared) {
    let mut evening = park.evening.clone();
    evening.date = date.parse().expect("a date");
    let prepared = prepare(&evening, &park.materials()).expect("the demo's night can be prepared");
    evening.order = draft(&evening, &prepared, &park.materials());
    (evening, prepared)
}

fn stoppers(park: &Park, evening: &Evening, prepared: &Prepared) -> Vec<Finding> {
    let found = check(evening, prepared, &park.materials());
    found.into_iter().filter(|finding| finding.severity == Severity::Stopper).collect()
}

/// The evenings the draft is judged by: each season, a full Moon, both changes of the clocks.
const DATES: [&str; 8] = [
    "2027-01-15",
    "2027-03-13",
    "2027-03-28",
    "2027-05-08",
    "2027-08-07",
    "2027-10-02",
    "2027-10-31",
    "2027-12-13",
];

fn shows(evening: &Evening) -> Vec<&Stop> {
    evening.order.stops().iter().filter(|stop| stop.show().is_some()).collect()
}

/// The proof is for orders that leave time to spare: one that is worth more than it allows has taken of that time.
#[test]
fn nothing_that_leaves_as_much_time_to_spare_beats_the_best_there_is() {
    let park = Park::demo();
    let (prepared, materials) = (park.prepared(), park.materials());
    let mut drafting = Drafting::new(&park.evening, &prepared, &materials, None);
    drafting.advance(600_000);
    while drafting.drafted().gap() > 0.0 && drafting.advance_bound(100_000) {}
    let drafted = drafting.drafted();
    assert_eq!(drafted.most, drafted.worth, "the demo's draft is proven");
    assert!(drafting.keeps_time_to_spare(&drafted.order));
    let mut beaten = 0;
    for (position, stop) in drafted.order.stops().iter().enumerate() {
        for later_minutes in (-5..=5).map(f64::from) {
            let mut stops = drafted.order.stops().to_vec();
            let start = stop.start().plus_minutes(later_minutes);
            stops[position].interval =
                Interval::new(start, start.plus_seconds(stop.interval.seconds())).expect("as long as before");
            let moved = Evening { order: RunningOrder::new(stops), ..park.evening.clone() };
            let better = drafting.worth_of(&moved.order) > drafted.most;
            if better && stoppers(&park, &moved, &prepared).is_empty() {
                assert!(
                    !drafting.keeps_time_to_spare(&moved.order),
                    "{stop:?} {later_minutes} minutes later"
                );
                beaten += 1;
            }
        }
    }
    assert!(beaten > 0, "some minutes of the time to spare would be worth something");
}

#[test]
fn row_41_a_held_stop_keeps_its_minute_when_something_is_put_in_before_it() {
    let park = Park::demo();
    let (evening, prepared) = drafted(&park, "2027-01-15");
    let materials = park.materials();
    let saturn =
        shows(&evening).into_iter().find(|stop| stop.show().is_some_and(|show| show.target.0 == "saturn"));
    let saturn = saturn.expect("Saturn is up in January 2027").clone();
    let held = edit::hold(&evening, saturn.id, Held { time: true, port: false });
    // A break just before it, in the way of what comes before and after.
    let what = What::Entry { kind: EntryKind::Interval, title: "Break".to_owned(), cue: String::new() };
    let at = saturn.start().plus_minutes(-10.0);
    let (with_break, id) = edit::insert_entry(&held, what, at, 10);
    let rippled = edit::make_room(&with_break, &prepared, &materials, id);
    assert_eq!(rippled.order.get(saturn.id).map(|stop| stop.interval), Some(saturn.interval));
    // Without rippling nothing else moves; with it what was in the way has gone past.
    for stop in shows(&held) {
        assert_eq!(with_break.order.get(stop.id), held.order.get(stop.id));
    }
    let entry = rippled.order.get(id).expect("it is in").interval;
    for stop in shows(&rippled).into_iter().filter(|stop| stop.start() >= entry.start()) {
        assert!(stop.id == saturn.id || !stop.interval.overlaps(entry), "{stop:?}");
    }
    // A stop inserted before it pushes what is not held only.
    let first = shows(&held)[0].clone();
    let later = edit::move_stop(&held, first.id, first.start().plus_minutes(6.0));
    let pushed = edit::make_room(&later, &prepared, &materials, first.id);
    assert_eq!(pushed.order.get(saturn.id).map(Stop::start), Some(saturn.start()));
    // Split in two, the halves fill the time of the whole.
    let (halves, second) = edit::split(&evening, saturn.id, saturn.start().plus_minutes(3.0));
    let second = halves.order.get(second.expect("it is long enough")).expect("it is in").clone();
    let first = halves.order.get(saturn.id).expect("it stays");
    assert_eq!((first.start(), first.end(), second.end()), (saturn.start(), second.start(), saturn.end()));
}

#[test]
fn row_41_what_follows_a_removed_stop_moves_up_as_far_as_all_of_it_can_stand() {
    let park = Park::demo();
    let materials = park.materials();
    let mut moved_up = 0;
    for date in ["2027-01-15", "2027-03-13", "2027-10-31"] {
        let (evening, prepared) = drafted(&park, date);
        let stops = shows(&evening);
        let held = stops.last().expect("the demo shows something").id;
        let evening = edit::hold(&evening, held, Held { time: true, port: false });
        for stop in shows(&evening).into_iter().filter(|stop| stop.id != held) {
            let removed = edit::remove(&evening, stop.id);
            let closed = edit::close_up(&removed, &prepared, &materials, stop.interval);
            assert_eq!(stoppers(&park, &closed, &prepared), [], "{date} without {stop:?}");
            for after in closed.order.stops() {
                let before = removed.order.get(after.id).expect("none is added");
                let earlier = before.start().minutes_since(after.start());
                assert_eq!(after.interval.seconds(), before.interval.seconds());
                assert!(earlier >= 0.0 && earlier <= stop.interval.minutes(), "{earlier} min of {after:?}");
                let stays = after.id == held || after.show().is_none() || before.start() < stop.end();
                assert!(!stays || earlier == 0.0, "{after:?} has moved");
                moved_up += usize::from(earlier > 0.0);
            }
        }
    }
    assert!(moved_up > 10, "only {moved_up} stops ever moved up");
}

#[test]
fn row_42_a_draft_has_no_blocking_finding_and_a_tenth_of_slack() {
    let park = Park::demo();
    for date in DATES {
        let (evening, prepared) = drafted(&park, date);
        assert_eq!(stoppers(&park, &evening, &prepared), [], "{date}");
        let timings = timings(&evening.order, &prepared, &park.materials());
        let free = free_minutes(&evening.order, &timings, prepared.doors);
        assert!(free >= 0.1 * prepared.doors.minutes(), "{date}: {free} free");
        let wasted = check(&evening, &prepared, &park.materials());
        assert!(!wasted.iter().any(|found| matches!(found.rule, Rule::PoorView)), "{date}");
    }
}

#[test]
fn row_43_the_gap_before_a_stop_holds_the_longest_part_of_its_move_and_the_settling() {
    let park = Park::demo();
    let (evening, prepared) = drafted(&park, "2027-03-13");
    let materials = park.materials();
    let timings = timings(&evening.order, &prepared, &materials);
    let shows = shows(&evening);
    for pair in shows.windows(2) {
        let timing = timings.iter().find(|timing| timing.stop == pair[1].id).expect("each has one");
        let gap_s = pair[1].start().seconds_since(pair[0].end());
        let parts = timing.parts;
        let together = parts.slew_s.max(parts.dome_s).max(parts.selector_s);
        assert!(gap_s >= together + parts.settle_s, "{gap_s} for {parts:?}");
        // The dome at least has to turn as far as its own pace takes for the turn in azimuth.
        let dome = park.rig.dome.as_ref().expect("the demo has a dome");
        let turn = timing.azimuth_turn.abs().min(Angle::from_degrees(180.0));
        assert!(gap_s >= 0.5 * axis_seconds(dome.rotation, turn), "{gap_s} for {turn:?}");
    }
}

#[test]
fn row_46_a_talk_of_twenty_minutes_makes_a_batch_arrival() {
    let park = Park::demo();
    let (mut evening, prepared) = drafted(&park, "2027-03-13");
    evening.house.arrivals.clear();
    let eyepiece = park.rig.ports.iter().find(|port| port.is_eyepiece()).expect("it has one").id.clone();
    let mut lines =
        shows(&evening).into_iter().filter(|stop| stop.show().is_some_and(|show| show.port == eyepiece));
    let line = lines.nth(1);
    let line = line.expect("something is shown at the eyepiece").clone();
    let what = What::Entry { kind: EntryKind::Talk, title: "Constellations".to_owned(), cue: String::new() };
    let talk_starts = line.start().plus_minutes(-20.0);
    evening.order = RunningOrder::new(vec![line.clone()]);
    let (evening, talk) = edit::insert_entry(&evening, what, talk_starts, 20);
    assert_eq!(evening.order.get(talk).map(|stop| stop.interval.minutes()), Some(20.0));
    let minutes = queue(&evening, &prepared, &park.materials());
    let during =
        minutes.iter().filter(|minute| minute.instant >= talk_starts && minute.instant < line.start());
    assert!(
        during.clone().count() >= 19 && during.clone().all(|minute| minute.people == 0.0),
        "a talk has no line"
    );
    // All of them come to the eyepiece at once when it ends, not little by little.
    let first = minutes.iter().find(|minute| minute.stop == Some(line.id)).expect("the line begins");
    let most = minutes.iter().map(|minute| minute.people).fold(0.0, f64::max);
    assert!(first.people > 10.0 && first.people > 0.9 * most, "{} of {most}", first.people);
}

#[test]
fn row_47_twelve_minutes_late_what_is_held_keeps_its_minute_and_what_is_lost_is_known() {
    let park = Park::demo();
    let (evening, prepared) = drafted(&park, "2027-03-13");
    let materials = park.materials();
    let held = shows(&evening)[3].clone();
    let evening = edit::hold(&evening, held.id, Held { time: true, port: true });
    let running = shows(&evening)[1].clone();
    // The second target overruns by twelve minutes.
    let late = evening.order.get(running.id).expect("it is there").interval.end().plus_minutes(12.0);
    let longer = Interval::new(running.start(), late).expect("in order");
    let evening = edit::resize_stop(&evening, running.id, longer);
    let pick_up = PickUp::on_time(&evening, late.plus_minutes(-1.0));
    let mut drafting = Drafting::new(&evening, &prepared, &materials, Some(&pick_up));
    drafting.advance(10_000);
    let proposal = Evening { order: drafting.drafted().order, ..evening.clone() };
    assert_eq!(proposal.order.get(held.id).map(|stop| stop.interval), Some(held.interval));
    assert_eq!(proposal.order.get(running.id).map(|stop| stop.interval), Some(longer));
    assert_eq!(stoppers(&park, &proposal, &prepared), []);
    let targets = |evening: &Evening| -> Vec<TargetId> {
        shows(evening).iter().filter_map(|stop| stop.show()).map(|show| show.target.clone()).collect()
    };
    let (before, after) = (targets(&evening), targets(&proposal));
    let lost = before.iter().filter(|target| !after.contains(target)).count();
    assert!(lost < before.len() / 2, "twelve minutes cost {lost} of {} targets", before.len());
}

#[test]
fn row_68_forty_waiting_at_ten_past_nine_change_what_remains() {
    let park = Park::demo();
    let (evening, prepared) = drafted(&park, "2027-03-13");
    let materials = park.materials();
    let at = prepared
        .night
        .local
        .at(chrono::NaiveTime::from_hms_opt(21, 10, 0).expect("a time"))
        .expect("it is one");
    let pick_up = PickUp::on_time(&evening, at);
    let rest = |visitors: u32| -> (Evening, Vec<Stop>) {
        let mut evening = evening.clone();
        evening.house.visitors = visitors;
        evening.house.children = evening.house.children.min(visitors);
        evening.house.seated = evening.house.seated.min(visitors);
        let mut drafting = Drafting::new(&evening, &prepared, &materials, Some(&pick_up));
        drafting.advance(10_000);
        evening.order = drafting.drafted().order;
        let rest = shows(&evening).into_iter().filter(|stop| !pick_up.done.contains(&stop.id));
        let rest = rest.cloned().collect();
        (evening, rest)
    };
    let (few, more) = (rest(12), rest(40));
    for (evening, rest) in [&few, &more] {
        assert_eq!(stoppers(&park, evening, &prepared), []);
        assert!(!rest.is_empty() && rest.iter().all(|stop| stop.start() >= at));
    }
    let key = |stops: &[Stop]| -> Vec<_> {
        stops.iter().map(|stop| (stop.show().map(|show| show.target.clone()), stop.interval)).collect()
    };
    assert_ne!(key(&few.1), key(&more.1), "forty need more time at the eyepiece than twelve");
    // Whoever comes to the eyepiece finds the minutes that all of them take.
    for (evening, rest) in [&few, &more] {
        let found = check(evening, &prepared, &materials);
        let is_short = |found: &&Finding| matches!(found.rule, Rule::TooShort { .. });
        let short: Vec<_> = found.iter().filter(is_short).filter_map(|found| found.stop).collect();
        assert!(rest.iter().all(|stop| !short.contains(&stop.id)), "{short:?}");
    }
}

#[test]
fn row_79_a_dry_run_lists_blocking_items_every_move_and_the_longest() {
    let park = Park::demo();
    let (evening, prepared) = drafted(&park, "2027-03-13");
    let materials = park.materials();
    let run = dry_run(&evening, &prepared, &materials);
    assert_eq!(run.blocking, []);
    assert_eq!(run.moves.len(), shows(&evening).len());
    let longest = run.longest().expect("something is shown").seconds();
    assert!(run.moves.iter().all(|own| own.seconds() <= longest && own.seconds() > 0.0));
    let lines = dry_run_lines(&run, &evening, &prepared, &materials);
    assert!(lines.iter().any(|line| line == "Blocking items: 0"), "{lines:?}");
    // A stop that can't be run is named.
    let second = shows(&evening)[1].clone();
    let first = shows(&evening)[0].clone();
    let broken = edit::move_stop(&evening, second.id, first.start().plus_minutes(1.0));
    let run = dry_run(&broken, &prepared, &materials);
    assert!(!run.blocking.is_empty() && run.blocking.len() == stoppers(&park, &broken, &prepared).len());
}

#[test]
fn row_48_another_version_from_half_past_eight_keeps_the_ticks() {
    let park = Park::demo();
    let (evening, prepared) = drafted(&park, "2027-03-13");
    let materials = park.materials();
    // A cloudy version without the eyepiece, kept beside the clear one and saved with it.
    let both = edit::keep_version(&evening, "Cloud");
    let mut cloud = edit::switch_version(&both, "Cloud", None);
    cloud.wishes.ports_out_of_service =
        park.rig.ports.iter().filter(|port| port.is_eyepiece()).map(|port| port.id.clone()).collect();
    cloud.order = draft(&cloud, &prepared, &materials);
    cloud.wishes = evening.wishes.clone();
    let clear = edit::switch_version(&cloud, "First", None);
    assert_eq!(clear.order, evening.order);
    let text = write_evening(&clear, park.site.zone);
    let clear = read_evening("evening", &text).unwrap_or_else(|faults| panic!("{faults:?}\n{text}"));
    // On the night: the first target is ticked off, clouds come in at half past eight.
    let first = shows(&clear)[0].show().expect("it shows").target.clone();
    let ticked = edit::tick(&clear, &first, true);
    let at = prepared
        .night
        .local
        .at(chrono::NaiveTime::from_hms_opt(20, 30, 0).expect("a time"))
        .expect("it is one");
    let switched = edit::switch_version(&ticked, "Cloud", Some(at));
    assert_eq!((switched.version.as_str(), &switched.shown), ("Cloud", &ticked.shown));
    for stop in clear.order.stops().iter().filter(|stop| stop.start() < at) {
        assert_eq!(switched.order.get(stop.id), Some(stop), "what was shown stays");
    }
    let later = shows(&switched).into_iter().filter(|stop| stop.start() >= at);
    let later: Vec<_> = later.map(|stop| stop.show().expect("it shows").clone()).collect();
    assert!(!later.is_empty() && later.iter().all(|show| show.target != first));
    let planned: Vec<_> = cloud.order.stops().iter().filter_map(|stop| stop.show()).collect();
    assert!(later.iter().all(|show| planned.contains(&show)), "what follows is the cloudy version's");
}
