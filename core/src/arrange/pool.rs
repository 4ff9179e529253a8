//! Which choices are worth trying: those that can be worth about as much for their time as what an order shows then.

use super::prepared::{Prepared, STRETCH};
use super::trial::Order;

/// The worth of an order's time is averaged over so many steps to each side.
const ABOUT: usize = 60;
/// Steps of moving that are reckoned with beside the least.
const MORE_MOVE: u32 = 1;
/// A choice is reckoned as if so many of its kind were taken out of the order.
const FEWER_OF_KIND: usize = 2;

/// The choices that at some time may be worth so great a share of what the order gets from the same time, and those that
/// keep a wish.
pub(super) fn pool(prepared: &Prepared, order: &Order, share: f64) -> Vec<u32> {
    let rates = rates(prepared, order);
    let able = |(c, _): &(u32, usize)| {
        let choice = &prepared.choices[*c as usize];
        let port = choice.port as usize;
        if choice.keeps_pin || order.on_port[port] <= prepared.min_stops[port] && prepared.min_stops[port] > 0
        {
            return true;
        }
        let factors = &prepared.factors[choice.kind as usize];
        let rank = order.kinds.count(choice.kind).saturating_sub(FEWER_OF_KIND);
        let factor = f64::from(factors[rank.min(factors.len() - 1)]) / 1000.0;
        let time = f64::from(choice.duration + choice.least_move + MORE_MOVE);
        let middle = (choice.first + choice.duration / 2) as usize;
        prepared.stretches(choice).iter().enumerate().any(|(n, best)| {
            let rate = rates[(middle + n * STRETCH).min(rates.len() - 1)];
            f64::from(*best) * factor >= share * rate * time
        })
    };
    (0..).zip(0..prepared.choices.len()).filter(able).map(|(c, _)| c).collect()
}

/// What an order is worth a step, about each step.
fn rates(prepared: &Prepared, order: &Order) -> Vec<f64> {
    let steps = prepared.steps as usize + 1;
    let mut sums = Vec::with_capacity(steps + 1);
    sums.push(0.0);
    for (stop, factor) in order.stops.iter().zip(&order.timing.factors) {
        let c = stop.choice as usize;
        let worth = f64::from(prepared.value(c, stop.start)) * f64::from(*factor) / 1000.0;
        let end = (stop.start + prepared.choices[c].duration) as usize;
        let (sum, time) = (sums[sums.len() - 1], end + 1 - sums.len());
        sums.extend((1..=time).map(|n| sum + worth * n as f64 / time as f64));
    }
    let sum = sums[sums.len() - 1];
    sums.resize(steps + 1, sum);
    (0..steps)
        .map(|step| {
            let (from, to) = (step.saturating_sub(ABOUT), (step + ABOUT).min(steps));
            (sums[to] - sums[from]) / (to - from) as f64
        })
        .collect()
}
