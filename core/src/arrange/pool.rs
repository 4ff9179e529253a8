//! Which choices are worth trying: those that can be worth about as much for their time as what an order shows then.

use std::cmp::Reverse;
use std::ops::Range;

use super::prepared::{Choice, Prepared, STRETCH};
use super::trial::Order;

/// The worth of an order's time is averaged over so many steps to each side.
const ABOUT: usize = 60;
/// Steps of moving that are reckoned with beside the least.
const MORE_MOVE: u32 = 1;
/// A choice is reckoned as if so many of its kind were taken out of the order.
const FEWER_OF_KIND: usize = 2;

/// A choice worth trying, and what is asked of it most.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pooled {
    pub choice: u32,
    pub target: u32,
    pub port: u32,
    pub kind: u32,
    /// The greatest of its values.
    pub best: u32,
    /// What a gain is taken times where it counts by the time it takes.
    pub density: f32,
}

/// The choices worth trying.
#[derive(Clone, Debug)]
pub(super) struct Pool {
    /// First those that keep a pin, then kind by kind all others, the best of each first.
    pub all: Vec<Pooled>,
    /// Where those stand that keep a pin, and then those of each kind.
    pub parts: Vec<Range<usize>>,
}

impl Pool {
    /// Some of the choices; those that break a pin only where that may be.
    pub fn new(prepared: &Prepared, choices: impl Iterator<Item = u32>, may_break_pins: bool) -> Self {
        let shortest = prepared.choices.iter().map(|choice| choice.duration).min().unwrap_or(1);
        let part = |pooled: &Pooled| {
            let keeps_pin = prepared.choices[pooled.choice as usize].keeps_pin;
            if keeps_pin { 0 } else { pooled.kind as usize + 1 }
        };
        let able = |c: &u32| may_break_pins || !prepared.choices[*c as usize].breaks_pin;
        let mut all: Vec<Pooled> = choices
            .filter(able)
            .map(|c| {
                let Choice { target, port, kind, best, duration, .. } = prepared.choices[c as usize];
                let density = shortest as f32 / duration as f32;
                Pooled { choice: c, target, port, kind, best, density }
            })
            .collect();
        all.sort_unstable_by_key(|pooled| (part(pooled), Reverse(pooled.best), pooled.choice));
        let upto = |number: usize| all.partition_point(|pooled| part(pooled) < number);
        let parts = (0..=prepared.factors.len()).map(|number| upto(number)..upto(number + 1)).collect();
        Self { all, parts }
    }

    /// All choices.
    pub fn whole(prepared: &Prepared, may_break_pins: bool) -> Self {
        Self::new(prepared, 0..prepared.choices.len() as u32, may_break_pins)
    }
}

/// The choices that at some time may be worth so great a share of what the order gets from the same time, and those that
/// keep a wish.
pub(super) fn worth_trying(prepared: &Prepared, order: &Order, share: f64, may_break_pins: bool) -> Pool {
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
    Pool::new(prepared, (0..).zip(0..prepared.choices.len()).filter(able).map(|(c, _)| c), may_break_pins)
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

#[cfg(test)]
mod tests {
    use super::Pool;
    use crate::arrange::prepared::Prepared;
    use crate::arrange::problem::Pin;
    use crate::arrange::sample;

    #[test]
    fn what_keeps_a_pin_comes_first_and_then_the_best_of_each_kind() {
        let mut problem = sample::problem();
        problem.pins = vec![Pin { target: 1, port: None, at: Some(12), tol: Some(1) }];
        let prepared = Prepared::new(&problem);
        let kept = Pool::whole(&prepared, false);
        let (pins, kinds) = kept.parts.split_first().expect("a part for pins");
        assert_eq!(pins.len(), 1);
        let choice = |at: usize| &prepared.choices[kept.all[at].choice as usize];
        assert!(pins.clone().all(|at| choice(at).keeps_pin && choice(at).target == 1));
        for (kind, part) in kinds.iter().enumerate() {
            assert!(part.clone().all(|at| choice(at).kind as usize == kind && !choice(at).breaks_pin));
            assert!(kept.all[part.clone()].is_sorted_by(|one, other| one.best >= other.best));
        }
        assert_eq!(kinds.iter().map(ExactSizeIterator::len).sum::<usize>() + 1, kept.all.len());
        let broken = Pool::whole(&prepared, true);
        assert_eq!(broken.all.len(), kept.all.len() + 1, "the galaxy at other times");
    }
}
