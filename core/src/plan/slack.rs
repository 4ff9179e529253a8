//! Slack: the time within doors that neither stops nor moves take.

use super::{RunningOrder, StopTiming};
use crate::time::Interval;

/// Minutes within doors taken by neither stops nor the moves to them. What overlaps counts once, what lies outside
/// doors not at all.
///
/// * `timings`: of every stop of the order, in its order.
pub fn free_minutes(order: &RunningOrder, timings: &[StopTiming], doors: Interval) -> f64 {
    let mut busy_minutes = 0.0;
    let mut until = doors.start();
    for (stop, timing) in order.stops().iter().zip(timings) {
        let from = timing.leave.max(until).min(doors.end());
        let to = stop.end().max(from).min(doors.end());
        busy_minutes += to.minutes_since(from);
        until = until.max(to);
    }
    doors.minutes() - busy_minutes
}
