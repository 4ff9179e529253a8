//! Two parts of an order change places about what stands between them, as far as they fit there.
//!
//! After the CROSS exchange of Taillard, Badeau, Gendreau, Guertin & Potvin 1997, *A tabu search heuristic for the vehicle
//! routing problem with soft time windows*, Transportation Science 31, 170. Runs on a port that stand the other way about
//! are joined by no path of lesser changes that are each worth keeping.

use std::cmp::Reverse;
use std::ops::Range;

use super::prepared::Stop;
use super::search::Search;
use super::timing::latest_start;

/// Most stops of each part, and of a run between them.
const MOST_EXCHANGED: usize = 5;
const MOST_BETWEEN: usize = 4;

/// A choice (`None` for the start) and the step at which it is left.
type Left = (Option<usize>, u32);

/// Where a part comes to stand: after what is left, before another that may start up to a step.
#[derive(Clone, Copy)]
struct Place {
    left: Left,
    next: Option<usize>,
    latest: u32,
}

impl Search {
    /// Lets what stands before and after a run on a port, or a gap, change places in the trial.
    pub(super) fn exchange(&mut self) {
        let n = self.here.stops.len();
        let (from, to) = self.run_on_a_port();
        let (from, to) = if to - from > MOST_BETWEEN { (to, to) } else { (from, to) };
        let first = from - self.dice.below(1 + MOST_EXCHANGED.min(from));
        let last = to + self.dice.below(1 + MOST_EXCHANGED.min(n - to));
        self.trial.begin(&self.here);
        (to..last).for_each(|_| self.trial.take(&self.prepared, to));
        (first..from).for_each(|_| self.trial.take(&self.prepared, first));
        let choice = |i: usize| self.here.stops.get(i).map(|stop| stop.choice as usize);
        let (rest, latest_rest) = (choice(last), self.here.timing.after[n - last].last());
        let (mut next, mut latest) = (rest, latest_rest);
        for c in (from..to).rev().filter_map(choice) {
            let Some(start) = latest_start(&self.prepared, c, next, latest) else { return };
            (next, latest) = (Some(c), start);
        }
        let before = first.checked_sub(1).and_then(choice);
        let left = (before, self.here.timing.until[first].first);
        let place = Place { left, next, latest };
        let (came, mut left) = self.bring(to..last, first, place);
        for c in (from..to).filter_map(|i| self.here.stops.get(i)).map(|stop| stop.choice as usize) {
            let Some(end) = self.prepared.end_after(left, c) else { return };
            left = (Some(c), end);
        }
        let place = Place { left, next: rest, latest: latest_rest };
        self.bring(first..from, first + came + to - from, place);
    }

    /// Puts stops of the order at hand into the trial at an index, in the same succession: those worth most first, the
    /// others where they still fit without a change of port too many. How many, and what is then left when.
    fn bring(&mut self, part: Range<usize>, at: usize, place: Place) -> (usize, Left) {
        let spare = self.prepared.max_changes + self.spare_changes.unsigned_abs();
        let most = spare.max(self.here.changes);
        let mut by_worth: Vec<usize> = part.collect();
        by_worth.sort_by_key(|i| {
            let stop = self.here.stops[*i];
            let value = self.prepared.value(stop.choice as usize, stop.start).cast_signed();
            Reverse(value * self.here.timing.factors[*i])
        });
        let without = self.trial.count_changes(&self.prepared)
            - self.prepared.changes_through(place.left.0, place.next, &[]);
        self.work += 10 * by_worth.len() as u64;
        let mut kept: Vec<usize> = Vec::new();
        let mut brought = (Vec::new(), place.left);
        for i in by_worth {
            let among = kept.partition_point(|other| *other < i);
            kept.insert(among, i);
            let laid = self.laid_early(&kept, place).filter(|(stops, _)| {
                without + self.prepared.changes_through(place.left.0, place.next, stops) <= most
            });
            match laid {
                Some(laid) => brought = laid,
                None => {
                    kept.remove(among);
                }
            }
        }
        let (stops, left) = brought;
        for (i, stop) in stops.iter().enumerate() {
            self.trial.put(&self.prepared, at + i, *stop);
        }
        (stops.len(), left)
    }

    /// Stops of the order at hand as early as they can be in a place, and what is then left when; `None` where what
    /// follows comes too late.
    fn laid_early(&self, indices: &[usize], place: Place) -> Option<(Vec<Stop>, Left)> {
        let mut stops = Vec::with_capacity(indices.len());
        let mut left = place.left;
        for choice in indices.iter().map(|i| self.here.stops[*i].choice) {
            let end = self.prepared.end_after(left, choice as usize)?;
            stops.push(Stop { choice, start: end - self.prepared.choices[choice as usize].duration });
            left = (Some(choice as usize), end);
        }
        let ready = left.1 + place.next.map_or(0, |next| self.prepared.travel(left.0, next, left.1));
        (ready <= place.latest).then_some((stops, left))
    }
}

#[cfg(test)]
mod tests {
    use crate::arrange::prepared::{Prepared, Stop};
    use crate::arrange::problem::{Kind, Problem, ProblemTarget, ShowingOption};
    use crate::arrange::sample;
    use crate::arrange::search::Search;

    /// Targets that may be shown at any time for five steps, through the ports given.
    fn problem(ports: &[usize]) -> Problem {
        let mut problem = sample::problem();
        problem.blocks.clear();
        problem.kinds = vec![Kind { name: "any".to_owned(), factors: vec![1000] }];
        problem.targets = (0..)
            .zip(ports)
            .map(|(i, port): (i64, _)| ProblemTarget {
                name: format!("target {i}"),
                kind: 0,
                axis1: vec![9000],
                axis2: vec![3000 + 100 * i],
                options: vec![ShowingOption {
                    port: *port,
                    duration: 5,
                    lead_s: 10,
                    first_start: 0,
                    values: vec![100 + i; 60],
                    class: 0,
                }],
            })
            .collect();
        problem
    }

    /// The targets of the trial after each of some exchanges in the same order, those that can't stand left out.
    fn exchanged(problem: &Problem, order: &[u32]) -> Vec<Vec<u32>> {
        let mut search = Search::new(Prepared::new(problem), 1);
        let starts = (2..).step_by(8);
        search.here.stops = order.iter().zip(starts).map(|(c, start)| Stop { choice: *c, start }).collect();
        assert!(search.here.settle(&search.prepared));
        let mut all = Vec::new();
        for _ in 0..300 {
            search.exchange();
            if search.trial.run(&search.prepared, &search.here) {
                all.push(search.trial.stops.iter().map(|stop| stop.choice).collect());
            }
        }
        all
    }

    #[test]
    fn parts_change_places_and_what_stands_between_stays() {
        // Eyepiece, camera, eyepiece: by hand, the first and the last two about the camera's run.
        let all = exchanged(&problem(&[0, 1, 1, 0, 0]), &[0, 1, 2, 3, 4]);
        assert!(all.contains(&vec![3, 4, 1, 2, 0]), "{all:?}");
        for stops in &all {
            let mut sorted = stops.clone();
            sorted.sort_unstable();
            sorted.dedup();
            assert_eq!(sorted.len(), stops.len(), "{stops:?}");
        }
    }

    #[test]
    fn what_is_worth_least_falls_out_where_there_is_too_little_room() {
        // Until step 30 the camera waits, and after it the evening ends with the time of one eyepiece stop.
        let mut problem = problem(&[0, 0, 1, 0]);
        problem.targets[2].options[0].values = vec![0; 60];
        problem.targets[2].options[0].values[43] = 500;
        let all = exchanged(&problem, &[0, 1, 2, 3]);
        assert!(all.contains(&vec![3, 2, 1]), "{all:?}");
        assert!(!all.iter().any(|stops| stops.ends_with(&[2, 0, 1])), "{all:?}");
    }
}
