//! What is taken over from another order is what would be found anew.

use crate::plan::invented::{Invented, Seed};
use crate::plan::{Evening, Judged, RunningOrder, Stop, judge, judge_again, prepare};
use crate::time::Interval;

#[test]
fn an_order_judged_again_is_judged_as_a_whole() {
    let mut seed = Seed(31);
    let mut invented = Invented::new(1);
    let (mut taken_over, mut found_anew) = (0, 0);
    for round in 0..300 {
        invented.shuffle(&mut seed);
        let mut evening = invented.absurd_evening(&mut seed);
        let materials = invented.materials();
        let Ok(prepared) = prepare(&evening, &materials) else { continue };
        evening.order = invented.absurd_order_with_entries(&prepared, &mut seed);
        let Judged { seen, .. } = judge(&evening, &prepared, &materials);
        // Half of the stops go somewhere else, or to another target and port under the same identity.
        let others = invented.absurd_order_with_entries(&prepared, &mut seed);
        let stops = evening.order.stops().iter().map(|stop| {
            if seed.below(2) == 0 {
                return stop.clone();
            }
            let start = stop.start().plus_minutes(seed.between(-30.0, 30.0).round());
            let moved = Interval::new(start, start.plus_seconds(stop.interval.seconds()));
            match others.get(stop.id).filter(|_| seed.below(2) == 0) {
                Some(other) => Stop { interval: stop.interval, ..other.clone() },
                None => Stop { interval: moved.unwrap_or(stop.interval), ..stop.clone() },
            }
        });
        let order = RunningOrder::new(stops.collect());
        let same = order.stops().iter().filter(|stop| evening.order.get(stop.id) == Some(stop)).count();
        (taken_over, found_anew) = (taken_over + same, found_anew + order.stops().len() - same);
        let after = Evening { order, ..evening };
        let again = judge_again(&after, &prepared, &materials, &seen);
        assert_eq!(again, judge(&after, &prepared, &materials), "round {round}");
    }
    assert!(taken_over > 300 && found_anew > 300, "{taken_over} taken over, {found_anew} found anew");
}
