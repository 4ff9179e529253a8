//! Two parts of an order exchanged about what stands between them: an evening may be as good only with its ports in
//! another sequence, and then no stop moved by itself leads there.

use std::mem::take;

use super::prepared::Stop;
use super::search::Search;
use super::timing::latest_start;

/// Stops of a part at most.
const MOST_IN_PART: usize = 5;
/// Stops between two parts at most.
const MOST_BETWEEN: usize = 3;
/// One of so many exchanges that promise most is drawn.
const MOST_PROMISING: usize = 40;
/// They are looked for among so many stops in a row: in all but the longest orders, among all.
const MOST_LOOKED_AT: usize = 40;

/// Two parts that follow one another, each of at least one stop, and what stands between them.
#[derive(Clone, Copy, Debug)]
struct Parts {
    from: usize,
    one: usize,
    between: usize,
    other: usize,
}

impl Parts {
    fn to(self) -> usize {
        self.from + self.one + self.between + self.other
    }

    /// The indices of all these stops in their new order.
    fn exchanged(self) -> impl Iterator<Item = usize> {
        let (one, other) = (self.from + self.one, self.from + self.one + self.between);
        (other..self.to()).chain(one..other).chain(self.from..one)
    }
}

impl Search {
    /// Exchanges two parts of the order at hand, drawn by lot; `false` where the rest can't stand so.
    pub(super) fn exchange(&mut self) -> bool {
        let n = self.here.stops.len();
        let one = 1 + self.dice.below(MOST_IN_PART.min(n - 1));
        let between = self.dice.below((MOST_BETWEEN + 1).min(n - one));
        let other = 1 + self.dice.below(MOST_IN_PART.min(n - one - between));
        let from = self.dice.below(n + 1 - one - between - other);
        self.try_exchange(Parts { from, one, between, other })
    }

    /// Makes one of the exchanges that promise most, at random; `false` where none can stand.
    pub(super) fn exchange_far(&mut self) -> bool {
        let promising = self.promising();
        !promising.is_empty() && {
            let (_, parts) = promising[self.dice.below(promising.len())];
            self.try_exchange(parts)
        }
    }

    /// The exchanges that promise most, the best first, with what they promise.
    fn promising(&mut self) -> Vec<(i32, Parts)> {
        let n = self.here.stops.len();
        let looked_at = n.min(MOST_LOOKED_AT);
        let first = self.dice.below(n + 1 - looked_at);
        let mut laid = take(&mut self.laid);
        let mut all = Vec::new();
        for one in 1..=MOST_IN_PART {
            for between in 0..=MOST_BETWEEN {
                for other in 1..=MOST_IN_PART {
                    for from in first..(first + looked_at + 1).saturating_sub(one + between + other) {
                        let parts = Parts { from, one, between, other };
                        all.extend(self.lay_exchanged(parts, &mut laid).map(|promise| (promise, parts)));
                    }
                }
            }
        }
        self.laid = laid;
        all.sort_by_key(|(promise, _)| -promise);
        all.truncate(MOST_PROMISING);
        all
    }

    fn try_exchange(&mut self, parts: Parts) -> bool {
        let mut laid = take(&mut self.laid);
        let able = self.lay_exchanged(parts, &mut laid).is_some();
        if able {
            self.take_out(parts.from, parts.to());
            for (i, stop) in laid.iter().enumerate() {
                self.trial.put(&self.prepared, parts.from + i, *stop);
            }
        }
        self.laid = laid;
        able && self.trial.run(&self.prepared, &mut self.moves, &self.here)
    }

    /// Lays two parts exchanged, each stop as early as can be, and leaves out what no longer fits: about what the order
    /// gains, time that becomes free counted as time of this order is worth. `None` where those between can't stand so, or
    /// ports change too often.
    fn lay_exchanged(&mut self, parts: Parts, laid: &mut Vec<Stop>) -> Option<i32> {
        self.work += 10;
        let Self { prepared, moves, here, .. } = self;
        let n = here.stops.len();
        let next = here.stops.get(parts.to()).map(|stop| stop.choice as usize);
        let before = parts.from.checked_sub(1).map(|i| here.stops[i].choice as usize);
        // By when each of those between has to start for all to follow, and then what follows them.
        let mut limits = [(here.timing.after[n - parts.to()].last(), next); MOST_BETWEEN + 1];
        let first_between = parts.from + parts.one;
        for k in (0..parts.between).rev() {
            let c = here.stops[first_between + k].choice as usize;
            let (limit, next) = limits[k + 1];
            limits[k] = (latest_start((prepared, moves), c, next, limit)?, Some(c));
        }
        laid.clear();
        let (mut last, mut leave) = (before, here.timing.until[parts.from].first);
        let (mut worth, mut changes, mut passed) = (0, 0, 0);
        for i in parts.exchanged() {
            let c = here.stops[i].choice as usize;
            let is_between = (first_between..first_between + parts.between).contains(&i);
            passed += usize::from(is_between);
            let (limit, next) = if i < first_between { limits[parts.between] } else { limits[passed] };
            let duration = prepared.choices[c].duration;
            let start = prepared.next_start(c, leave + prepared.travel(last, c, leave)).filter(|start| {
                let end = start + duration;
                end + next.map_or(0, |next| prepared.travel(Some(c), next, end)) <= limit
            });
            if let Some(start) = start {
                laid.push(Stop { choice: c as u32, start });
                worth += prepared.value(c, start).cast_signed() * here.timing.factors[i] / 1000;
                changes += prepared.changes(last, c);
                (last, leave) = (Some(c), start + duration);
            } else if is_between {
                return None;
            }
        }
        let was = &here.stops[parts.from..parts.to()];
        let mut was_until = here.timing.until[parts.to()].first;
        let were = was.iter().map(|stop| stop.choice as usize).chain(next);
        changes += here.changes - prepared.changes_along(before, were);
        if let Some(next) = next {
            changes += prepared.changes(last, next);
            leave += prepared.travel(last, next, leave);
            let was_last = was.last().map(|stop| stop.choice as usize);
            was_until += prepared.travel(was_last, next, was_until);
        }
        if changes > prepared.max_changes + self.spare_changes.cast_unsigned() {
            return None;
        }
        let was_worth = was.iter().zip(&here.timing.factors[parts.from..]);
        let was_worth = was_worth.map(|(stop, factor)| {
            prepared.value(stop.choice as usize, stop.start).cast_signed() * factor / 1000
        });
        let steps = prepared.steps.saturating_sub(prepared.start_step).max(1);
        let rate = here.standing.worth() as f64 / f64::from(steps);
        let freed = f64::from(was_until) - f64::from(leave);
        Some(worth - was_worth.sum::<i32>() + (rate * freed) as i32)
    }
}

#[cfg(test)]
mod tests {
    use super::{Parts, Search};
    use crate::arrange::prepared::{Prepared, Stop};
    use crate::arrange::sample;

    /// A search that stands at an order of choices, with the galaxy to be seen all evening.
    fn standing_at(choices: &[u32]) -> Search {
        let mut problem = sample::problem();
        problem.targets[1].options[0].first_start = 2;
        problem.targets[1].options[0].values = vec![300; 45];
        problem.blocks.clear();
        let mut search = Search::new(Prepared::new(&problem), 1);
        search.here.stops = choices.iter().map(|choice| Stop { choice: *choice, start: 0 }).collect();
        assert!(search.here.settle(&search.prepared, &mut search.moves));
        search
    }

    fn exchanged(search: &mut Search, parts: Parts) -> Option<Vec<u32>> {
        let mut laid = Vec::new();
        search.lay_exchanged(parts, &mut laid)?;
        Some(laid.iter().map(|stop| stop.choice).collect())
    }

    const NEIGHBOURS: Parts = Parts { from: 0, one: 1, between: 0, other: 1 };

    #[test]
    fn parts_come_in_the_other_order_where_they_can() {
        // The galaxy before the cluster, and after it.
        let mut search = standing_at(&[1, 2]);
        assert_eq!(exchanged(&mut search, NEIGHBOURS), Some(vec![2, 1]));
        assert!(search.try_exchange(NEIGHBOURS));
        assert_eq!(search.trial.stops.iter().map(|stop| stop.choice).collect::<Vec<_>>(), [2, 1]);
    }

    #[test]
    fn what_no_longer_fits_is_left_out() {
        // The planet sets first.
        let mut search = standing_at(&[0, 1, 2]);
        assert_eq!(exchanged(&mut search, NEIGHBOURS), Some(vec![1]));
        let about_the_galaxy = Parts { from: 0, one: 1, between: 1, other: 1 };
        assert_eq!(exchanged(&mut search, about_the_galaxy), Some(vec![2, 1]));
    }

    #[test]
    fn the_exchange_that_gains_most_promises_most() {
        // Only that of galaxy and cluster keeps the planet, which sets first.
        let mut search = standing_at(&[0, 1, 2]);
        let promising = search.promising();
        let (promise, parts) = promising[0];
        assert_eq!((parts.from, parts.one, parts.between, parts.other), (1, 1, 0, 1));
        assert!(promising[1..].iter().all(|(less, _)| *less < promise), "{promising:?}");
        assert!(search.exchange_far());
        assert!(!standing_at(&[]).exchange_far(), "nothing to exchange");
    }

    #[test]
    fn an_exchange_that_changes_ports_too_often_is_not_made() {
        let mut search = standing_at(&[1, 2]);
        search.prepared.max_changes = 0;
        assert_eq!(exchanged(&mut search, NEIGHBOURS), None);
        search.spare_changes = 1;
        assert_eq!(exchanged(&mut search, NEIGHBOURS), Some(vec![2, 1]));
    }
}
