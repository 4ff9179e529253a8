//! The search for a good order: some of it is taken out or laid anew, the rest filled up, and what is good enough kept.
//!
//! Round by round, as local optima are many (Lourenço, Martin & Stützle 2010, in the same handbook): large neighbourhood
//! search (Pisinger & Ropke 2010, in *Handbook of Metaheuristics*, 2nd ed., Springer) on an
//! orienteering problem with windows and moves that depend on time (Vansteenwegen, Souffriau & Van Oudheusden 2011,
//! European Journal of Operational Research 209, 1). Repeatable: chance comes from a fixed seed, effort is counted.

use std::cmp::Reverse;
use std::mem::{swap, take};
use std::ops::Range;

use super::dice::Dice;
use super::insertion::{Candidate, Gap, Weighing};
use super::moves::Moves;
use super::pool::{Pool, worth_trying};
use super::prepared::{Prepared, Standing, Stop};
use super::trial::{Order, Trial};

/// While wishes stay broken for so much work, targets with a pin may also be shown otherwise than pinned.
const PATIENCE_WITH_PINS: u64 = 60_000;
/// Trials of the first cycle of a round; each cycle is longer than the last by a half.
const FIRST_CYCLE: u32 = 300;
const LONGEST_CYCLE: u32 = 2000;
/// After so many cycles in vain a round ends: by turns the next begins from nothing and from the best order. Orders whose
/// ports change otherwise are out of reach of small changes; of several rounds one is likely to begin near a better one.
const MOST_IN_VAIN: u32 = 2;
/// Up to this share of the best merit an order may be worse than the last and still be gone on from, at the beginning of
/// a cycle; none at its end. Each cycle in vain adds as much again: where there is little to choose from, the way to a
/// better order leads through worse ones.
const SLACK: f64 = 0.004;
/// In two of three trials gains are raised by up to this share, at random, while an order is filled.
const NOISE: f64 = 0.3;
/// In one of so many trials so many changes of port beyond the limit may be made at their price; with two, 0.270 % is missing
/// after 100 ms on evenings of 300 targets, not 0.255 (24 seeds; little more than they scatter).
const EXCESS_EVERY: usize = 2;
const MOST_EXCESS: i32 = 1;
/// Trial by trial their price rises while the order has some and falls while it has none, slowly: an order may go on with
/// one for some hundred trials until another is given up for it (strategic oscillation: Glover & Hao 2011, Annals of Operations
/// Research 183, 163; from memory).
const PRICE_RISES: f64 = 1.01;
const PRICE_FALLS: f64 = 0.99;
/// Choices are tried that may be worth this share of what the order gets from their time; in one of so many cycles, all.
const POOL_SHARE: f64 = 0.6;
const WHOLE_POOL_EVERY: usize = 4;
/// An order is settled only where it is likely to come within one part in so many of what is asked of it.
const DOUBT: i64 = 1000;

/// A search that goes on from where it is.
#[derive(Clone, Debug)]
pub(super) struct Search {
    pub prepared: Prepared,
    pub moves: Moves,
    /// The order gone on from, and room for the next.
    pub here: Order,
    next: Order,
    /// It with something changed.
    pub trial: Trial,
    /// Choices worth trying.
    pub pool: Pool,
    /// Room for lists.
    pub candidates: Vec<Candidate>,
    /// Of each part of the pool, what is no candidate yet.
    pub rest: Vec<Range<usize>>,
    /// Of each port, whether it lacked stops when the trial began to be filled.
    pub wished: Vec<bool>,
    pub gaps: Vec<Gap>,
    pub laid: Vec<Stop>,
    pub gaps_by_port: Vec<Vec<(usize, i32)>>,
    /// The shortest of all viewings, in steps.
    pub shortest: u32,
    /// What keeping a wish counts while orders are tried: more than any stop, and what is lost beside it.
    pub wish: i32,
    pub dice: Dice,
    /// Work done outside timing.
    pub work: u64,
    pub may_break_pins: bool,
    best: Option<(Vec<Stop>, Standing)>,
    best_merit: i64,
    /// Trials of this cycle, and those still to come.
    cycle: u32,
    cycle_left: u32,
    improved: bool,
    /// The best order of a round that began from nothing, and its merit; none where the best of all is gone on from.
    round: Option<(Vec<Stop>, i64)>,
    /// Cycles of this round that have not bettered its best order since one did.
    in_vain: u32,
    /// Changes of port beyond the limit that may be made, and what each costs: it rises while there are some.
    pub spare_changes: i32,
    pub excess_price: f64,
    most: f64,
}

impl Search {
    pub fn new(prepared: Prepared, seed: u64) -> Self {
        let most = prepared.choices.iter().map(|c| c.best).max().unwrap_or(0);
        let mut moves = Moves::new(&prepared);
        let here = Order::empty(&prepared, &mut moves);
        Self {
            next: here.clone(),
            trial: Trial::new(&prepared),
            pool: Pool::whole(&prepared, false),
            candidates: Vec::new(),
            rest: Vec::new(),
            wished: Vec::new(),
            gaps: Vec::new(),
            laid: Vec::new(),
            gaps_by_port: Vec::new(),
            shortest: prepared.choices.iter().map(|c| c.duration).min().unwrap_or(1),
            wish: (3 * most + 2 * prepared.most_loss()).cast_signed() + 1,
            dice: Dice(seed),
            work: 0,
            may_break_pins: false,
            best: None,
            best_merit: 0,
            cycle: FIRST_CYCLE,
            cycle_left: FIRST_CYCLE,
            improved: false,
            round: None,
            in_vain: 0,
            spare_changes: 0,
            excess_price: f64::from(most) / 4.0,
            most: f64::from(most),
            here,
            moves,
            prepared,
        }
    }

    /// Work done so far.
    pub fn total_work(&self) -> u64 {
        self.work + self.here.timing.work + self.next.timing.work + self.trial.work
    }

    /// The best order so far; empty before the first.
    pub fn best(&self) -> (&[Stop], Standing) {
        match &self.best {
            Some((stops, standing)) => (stops, *standing),
            None => (&[], self.prepared.standing(&[])),
        }
    }

    /// Goes on for about so much work; the first call lays a first order, however little that is.
    pub fn advance(&mut self, work: u64) {
        let end = self.total_work().saturating_add(work);
        if self.best.is_none() {
            self.trial.begin(&self.here);
            self.trial.run(&self.prepared, &mut self.moves, &self.here);
            if self.fill_next(0.0) {
                swap(&mut self.here, &mut self.next);
            }
            self.best_merit = self.merit(self.here.standing);
            self.best = Some((self.here.stops.clone(), self.here.standing));
            self.choose_pool();
        }
        while self.total_work() < end && !self.prepared.choices.is_empty() {
            self.work += 20;
            if self.cycle_left == 0 {
                self.begin_cycle();
            }
            self.cycle_left -= 1;
            self.step();
        }
    }

    fn merit(&self, standing: Standing) -> i64 {
        standing.worth()
            - i64::from(standing.broken) * i64::from(self.wish)
            - (f64::from(standing.excess) * self.excess_price) as i64
    }

    /// About what the trial will be worth.
    pub(super) fn likely_merit(&self) -> i64 {
        let excess = self.trial.changes.saturating_sub(self.prepared.max_changes);
        i64::from(self.trial.worth())
            - i64::from(self.trial.broken(&self.prepared)) * i64::from(self.wish)
            - (f64::from(excess) * self.excess_price) as i64
    }

    /// One trial.
    fn step(&mut self) {
        let pace = if self.here.standing.excess > 0 { PRICE_RISES } else { PRICE_FALLS };
        self.excess_price = (self.excess_price * pace).clamp(self.most / 40.0, self.most);
        self.spare_changes = if self.dice.below(EXCESS_EVERY) == 0 { MOST_EXCESS } else { 0 };
        let here_merit = self.merit(self.here.standing);
        if !self.change() {
            return;
        }
        let noise = if self.dice.below(3) == 0 { 0.0 } else { NOISE };
        let dense = self.dice.below(2) == 0;
        let slack = SLACK * f64::from(1 + self.in_vain) * f64::from(self.cycle_left) / f64::from(self.cycle);
        let slack = (self.best_merit.max(0) as f64 * slack * self.dice.unit()) as i64;
        let wanted = here_merit - slack;
        self.fill(Weighing { noise, dense, wanted: Some(wanted) });
        if self.trial.is_as(&self.here) || self.likely_merit() < wanted - wanted.abs() / DOUBT {
            return;
        }
        self.next.stops.clone_from(&self.trial.stops);
        if !self.next.settle(&self.prepared, &mut self.moves) {
            return;
        }
        let merit = self.merit(self.next.standing);
        self.remember(merit);
        if merit >= wanted {
            swap(&mut self.here, &mut self.next);
        }
    }

    /// Chooses what is tried in this cycle by what the order at hand is worth when.
    fn choose_pool(&mut self) {
        let share = if self.dice.below(WHOLE_POOL_EVERY) == 0 { 0.0 } else { POOL_SHARE };
        self.pool = worth_trying(&self.prepared, &self.here, share, self.may_break_pins);
    }

    /// Goes back to the best order of the round; where a whole cycle has not bettered it, with two parts of it exchanged
    /// or a long part laid otherwise.
    fn begin_cycle(&mut self) {
        self.spare_changes = 0;
        let improved = take(&mut self.improved);
        self.in_vain = if improved { 0 } else { self.in_vain + 1 };
        self.cycle = (self.cycle + self.cycle / 2).min(LONGEST_CYCLE);
        if self.in_vain == MOST_IN_VAIN {
            self.cycle = FIRST_CYCLE;
            if self.round.is_none() {
                self.begin_from_nothing();
                return;
            }
            self.round = None;
            self.in_vain = 1;
        }
        self.cycle_left = self.cycle;
        let best = self.best.as_ref().map(|(stops, _)| stops);
        let Some(best) = self.round.as_ref().map(|(stops, _)| stops).or(best) else { return };
        self.here.stops.clone_from(best);
        self.here.settle(&self.prepared, &mut self.moves);
        self.choose_pool();
        let n = self.here.stops.len();
        if improved || n < 3 {
            return;
        }
        if self.dice.below(2) == 0 {
            if self.exchange_far() && self.fill_next(0.0) {
                self.remember(self.merit(self.next.standing));
                swap(&mut self.here, &mut self.next);
            }
        } else {
            let count = n / 4 + self.dice.below(n / 2);
            let at = self.dice.below(n + 1 - count);
            self.lay_at_random(at, count);
        }
    }

    /// Begins a round with an order laid at random.
    fn begin_from_nothing(&mut self) {
        self.cycle_left = self.cycle;
        self.in_vain = 0;
        self.pool = Pool::whole(&self.prepared, self.may_break_pins);
        self.lay_at_random(0, self.here.stops.len());
        self.round = Some((self.here.stops.clone(), self.merit(self.here.standing)));
        self.choose_pool();
    }

    /// Fills the order at hand with much chance, so many stops from an index on taken out.
    fn lay_at_random(&mut self, at: usize, count: usize) {
        self.trial.begin(&self.here);
        (0..count).for_each(|_| self.trial.take(&self.prepared, at));
        if self.trial.run(&self.prepared, &mut self.moves, &self.here) && self.fill_next(1.0) {
            swap(&mut self.here, &mut self.next);
        }
    }

    /// Makes the next order of the trial, whose values are carried through, filled with so much chance and whatever it is
    /// worth; `false` where it can't be settled.
    fn fill_next(&mut self, noise: f64) -> bool {
        self.fill(Weighing { noise, dense: true, wanted: None });
        self.next.stops.clone_from(&self.trial.stops);
        self.next.settle(&self.prepared, &mut self.moves)
    }

    /// Keeps the next order if it is better than the best, of the round or of all: within the limit, fewer wishes broken,
    /// or worth more.
    fn remember(&mut self, merit: i64) {
        let standing = self.next.standing;
        if standing.excess > 0 {
            return;
        }
        if let Some((stops, most)) = &mut self.round
            && merit > *most
        {
            stops.clone_from(&self.next.stops);
            *most = merit;
            self.improved = true;
        }
        let rank = |standing: Standing| (Reverse(standing.broken), standing.worth());
        if self.best.as_ref().is_none_or(|(_, best)| rank(standing) > rank(*best)) {
            self.best = Some((self.next.stops.clone(), standing));
            self.best_merit = merit;
            self.improved |= self.round.is_none();
        }
        let broken = self.best.as_ref().map_or(0, |(_, best)| best.broken);
        if !self.may_break_pins && broken > 0 && self.total_work() > PATIENCE_WITH_PINS {
            self.may_break_pins = true;
            self.choose_pool();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{MOST_IN_VAIN, Search};
    use crate::arrange::prepared::{Prepared, Stop};
    use crate::arrange::sample;

    /// Worth of the best order that goes on from some stops, all orders and starts tried.
    fn brute(prepared: &Prepared, stops: &mut Vec<Stop>) -> i64 {
        let mut best = prepared.standing(stops).worth();
        let last = stops.last().map(|stop| stop.choice as usize);
        let leave = stops
            .last()
            .map_or(prepared.start_step, |stop| stop.start + prepared.choices[stop.choice as usize].duration);
        for (c, choice) in prepared.choices.iter().enumerate() {
            let target = |stop: &Stop| prepared.choices[stop.choice as usize].target;
            if stops.iter().any(|stop| target(stop) == choice.target) {
                continue;
            }
            let ready = leave + prepared.travel(last, c, leave);
            for start in (ready..=choice.last).filter(|start| prepared.value(c, *start) > 0) {
                stops.push(Stop { choice: c as u32, start });
                best = best.max(brute(prepared, stops));
                stops.pop();
            }
        }
        best
    }

    #[test]
    fn rounds_begin_by_turns_from_nothing_and_from_the_best_which_is_kept() {
        let mut search = Search::new(Prepared::new(&sample::problem()), 1);
        search.advance(0);
        let best = brute(&search.prepared, &mut Vec::new());
        let mut turns = Vec::new();
        for _ in 0..10 * MOST_IN_VAIN {
            let before = search.best().1.worth();
            search.cycle_left = 0;
            search.advance(400);
            assert!(search.best().1.worth() >= before);
            if turns.last() != Some(&search.round.is_some()) {
                turns.push(search.round.is_some());
            }
        }
        assert!(turns.len() >= 5, "{turns:?}");
        assert_eq!(search.best().1.worth(), best);
    }

    #[test]
    fn a_round_from_nothing_leaves_an_order_that_is_stuck() {
        let mut search = Search::new(Prepared::new(&sample::problem()), 1);
        search.advance(0);
        // The cluster alone, as if no trial had led on from it.
        let poor = vec![Stop { choice: 3, start: 30 }];
        search.here.stops.clone_from(&poor);
        assert!(search.here.settle(&search.prepared, &mut search.moves));
        search.best = Some((search.here.stops.clone(), search.here.standing));
        search.in_vain = MOST_IN_VAIN - 1;
        search.improved = false;
        search.begin_cycle();
        let (round, merit) = search.round.as_ref().expect("begun from nothing");
        assert!(round.len() > 1 && *merit > search.best().1.worth(), "{round:?}");
    }
    #[test]
    fn what_an_exchange_betters_is_kept() {
        let mut problem = sample::problem();
        problem.blocks.clear();
        // The galaxy is worth more once the cluster has been shown.
        problem.targets[1].options[0].values = vec![300; 30];
        problem.targets[1].options[0].values.extend([400; 15]);
        let mut search = Search::new(Prepared::new(&problem), 1);
        search.here.stops = [0, 1, 2].map(|choice| Stop { choice, start: 0 }).to_vec();
        assert!(search.here.settle(&search.prepared, &mut search.moves));
        let worse = search.here.standing;
        search.best = Some((search.here.stops.clone(), worse));
        search.best_merit = worse.worth();
        // No trial is made: what a cycle begins with is enough.
        for _ in 0..10 {
            search.in_vain = 0;
            search.begin_cycle();
        }
        assert!(search.best().1.worth() > worse.worth());
        let order: Vec<u32> =
            search.best().0.iter().map(|stop| search.prepared.choices[stop.choice as usize].target).collect();
        assert_eq!(order, [0, 2, 1]);
    }
}
