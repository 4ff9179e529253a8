//! Slack: the time within doors that neither stops nor moves take.

use super::{RunningOrder, StopTiming};
use crate::time::Interval;

/// Minutes within doors taken by neither stops nor the moves to them. What overlaps counts once, what lies outside
/// doors not at all.
///
/// * `timings`: of every stop of the order, in its order.
pub fn free_minutes(order: &RunningOrder, timings: &[StopTiming], doors: Interval) -> f64 {
    let busy_minutes: f64 = busy(order, timings, doors).into_iter().map(Interval::minutes).sum();
    doors.minutes() - busy_minutes
}

/// The stretches of [`free_minutes`], in order of time; none is empty.
///
/// * `timings`: of every stop of the order, in its order.
pub fn free_stretches(order: &RunningOrder, timings: &[StopTiming], doors: Interval) -> Vec<Interval> {
    let mut until = doors.start();
    let mut free = Vec::new();
    for taken in busy(order, timings, doors) {
        if taken.start() > until {
            free.extend(Interval::new(until, taken.start()));
        }
        until = until.max(taken.end());
    }
    if until < doors.end() {
        free.extend(Interval::new(until, doors.end()));
    }
    free
}

/// What stops and moves take within doors, in order of time; no two share time.
fn busy(order: &RunningOrder, timings: &[StopTiming], doors: Interval) -> Vec<Interval> {
    let mut until = doors.start();
    let taken = order.stops().iter().zip(timings).filter_map(|(stop, timing)| {
        let from = timing.leave.max(until).min(doors.end());
        let to = stop.end().max(from).min(doors.end());
        until = until.max(to);
        Interval::new(from, to)
    });
    taken.collect()
}

#[cfg(test)]
mod tests {
    use super::{free_minutes, free_stretches};
    use crate::plan::timings;
    use crate::sheet::demo::Demo;

    #[test]
    fn the_free_stretches_are_what_no_stop_and_no_move_takes() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let (order, doors) = (&demo.evening.order, prepared.doors);
        let timings = timings(order, &prepared, &demo.materials());
        let free = free_stretches(order, &timings, doors);
        let total: f64 = free.iter().map(|stretch| stretch.minutes()).sum();
        assert!((total - free_minutes(order, &timings, doors)).abs() < 1e-6, "{total}");
        assert!(total > 0.0 && free.iter().all(|stretch| stretch.seconds() > 0.0), "{free:?}");
        for stretch in free {
            for (stop, timing) in order.stops().iter().zip(&timings) {
                let apart = stop.end() <= stretch.start() || timing.leave >= stretch.end();
                assert!(apart, "{stretch:?} shares time with {stop:?}");
            }
        }
    }
}
