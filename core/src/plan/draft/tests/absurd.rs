//! Ten thousand evenings out of all reason, and not one order that breaks a rule.

use crate::plan::invented::{Invented, Seed};
use crate::plan::{
    Drafting, Evening, GivenUpWhy, Materials, PickUp, Prepared, Severity, Stop, Wish, check, prepare, timings,
};

/// Work for each: what is looked at is what is allowed, not what is best.
const WORK: u64 = 300;

/// Drafts that many evenings from a seed; of how many there was something to judge.
fn drafted(seed: u64, evenings: u32) -> u32 {
    let mut seed = Seed(seed);
    let mut invented = Invented::new(1);
    let (mut judged, mut shown, mut given_up) = (0, 0, 0);
    for round in 0..evenings {
        invented.shuffle(&mut seed);
        let mut evening = invented.absurd_evening(&mut seed);
        let materials = invented.materials();
        // Doors that close as they open, or a clock time that does not exist.
        let Ok(prepared) = prepare(&evening, &materials) else { continue };
        evening.order = invented.absurd_order(&prepared, &mut seed);
        let mut drafting = Drafting::new(&evening, &prepared, &materials, None);
        drafting.advance(WORK);
        let drafted = drafting.drafted();
        given_up += drafted.given_up.len();
        for given_up in &drafted.given_up {
            let nameless = matches!(&given_up.why, GivenUpWhy::Against(others) if others.is_empty());
            assert!(!nameless, "round {round}: {given_up:?}");
        }
        let wished: Vec<&Wish> = drafted.given_up.iter().map(|given_up| &given_up.wish).collect();
        let after = Evening { order: drafted.order, ..evening.clone() };
        no_stopper(&after, &prepared, &materials, &[], round);
        everything_kept_or_told(&evening, &after, &wished, &materials, round);
        shown += after.order.stops().iter().filter(|stop| stop.show().is_some()).count();
        picked_up(&after, &prepared, &materials, (&mut seed, round));
        judged += 1;
    }
    assert!(
        shown > evenings as usize && given_up > evenings as usize / 4,
        "{shown} shown, {given_up} given up"
    );
    judged
}

/// Whether a stop shows what was ticked off: whatever the check says of it, that is done.
fn is_ticked(evening: &Evening, stop: Option<&Stop>) -> bool {
    let target = stop.and_then(Stop::show).map(|show| &show.target);
    target.is_some_and(|target| evening.shown.contains(target))
}

fn no_stopper(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>, done: &[Stop], round: u32) {
    let found = check(evening, prepared, materials);
    let stoppers: Vec<_> = found
        .iter()
        .filter(|finding| finding.severity == Severity::Stopper)
        .filter(|finding| done.iter().all(|stop| Some(stop.id) != finding.stop))
        .filter(|finding| finding.stop.is_none_or(|id| !is_ticked(evening, evening.order.get(id))))
        .collect();
    assert!(stoppers.is_empty(), "round {round}: {stoppers:?}\n{evening:?}");
}

/// What is held stays as it is or is told as given up, and so with every target that must be shown.
fn everything_kept_or_told(
    before: &Evening,
    after: &Evening,
    given_up: &[&Wish],
    materials: &Materials<'_>,
    round: u32,
) {
    for stop in before.order.stops().iter().filter(|stop| stop.held.time) {
        let kept = after.order.get(stop.id).is_some_and(|kept| {
            let port = |stop: &Stop| stop.show().map(|show| show.port.clone());
            kept.interval == stop.interval && (!stop.held.port || port(kept) == port(stop))
        });
        let told = given_up.iter().any(|wish| wish.stop().is_some_and(|own| own.id == stop.id));
        assert!(kept != told, "round {round}: kept {kept}, told {told}: {stop:?}");
    }
    let shown = |target| {
        let mut stops = after.order.stops().iter();
        stops.any(|stop| stop.show().is_some_and(|show| &show.target == target))
    };
    for target in before.wishes.must_show.iter().filter(|id| materials.target_index(id).is_some()) {
        let told = given_up.iter().any(|wish| wish.target() == Some(target));
        let left_out = before.wishes.leave_out.contains(target);
        let ticked = before.shown.contains(target);
        assert!(
            shown(target) || told || left_out || ticked,
            "round {round}: {target:?} is neither shown nor told"
        );
    }
}

/// Picked up at any minute: what is done stays, the rest breaks no rule.
fn picked_up(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    (seed, round): (&mut Seed, u32),
) {
    let at = prepared.doors.start().plus_minutes(seed.between(0.0, prepared.doors.minutes()));
    let mut pick_up = PickUp::on_time(evening, at);
    // Perhaps the last that should have begun has not.
    if seed.share() < 0.3 {
        pick_up.done.pop();
    }
    let done: Vec<Stop> = pick_up.done.iter().filter_map(|id| evening.order.get(*id)).cloned().collect();
    let mut drafting = Drafting::new(evening, prepared, materials, Some(&pick_up));
    drafting.advance(WORK);
    let drafted = drafting.drafted();
    let after = Evening { order: drafted.order, ..evening.clone() };
    no_stopper(&after, prepared, materials, &done, round);
    let given_up: Vec<&Wish> = drafted.given_up.iter().map(|given_up| &given_up.wish).collect();
    everything_kept_or_told(evening, &after, &given_up, materials, round);
    for stop in &done {
        assert_eq!(after.order.get(stop.id), Some(stop), "round {round}");
    }
    let timings = timings(&after.order, prepared, materials);
    for (stop, timing) in after.order.stops().iter().zip(timings) {
        if done.iter().all(|own| own.id != stop.id) && !is_ticked(evening, Some(stop)) {
            assert!(stop.start() >= at, "round {round}: {stop:?} before {at:?}");
            let moves = stop.show().is_some() && !stop.held.time;
            assert!(!moves || timing.leave >= at, "round {round}: {timing:?} leaves before {at:?}");
        }
    }
}

macro_rules! thousands {
    ($($name:ident: $seed:literal),*) => {
        $(#[test]
        fn $name() {
            assert!(drafted($seed, 1250) > 1000);
        })*
    };
}

thousands! {
    no_rule_is_broken_in_10_000_evenings_1_of_8: 1,
    no_rule_is_broken_in_10_000_evenings_2_of_8: 2,
    no_rule_is_broken_in_10_000_evenings_3_of_8: 3,
    no_rule_is_broken_in_10_000_evenings_4_of_8: 4,
    no_rule_is_broken_in_10_000_evenings_5_of_8: 5,
    no_rule_is_broken_in_10_000_evenings_6_of_8: 6,
    no_rule_is_broken_in_10_000_evenings_7_of_8: 7,
    no_rule_is_broken_in_10_000_evenings_8_of_8: 8
}
