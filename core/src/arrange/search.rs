//! The search for a good order: a part is taken out or laid anew, the rest filled up, and what is good enough kept.
//!
//! Large neighbourhood search (Pisinger & Ropke 2010, in *Handbook of Metaheuristics*, 2nd ed., Springer) on an
//! orienteering problem with windows and moves that depend on time (Vansteenwegen, Souffriau & Van Oudheusden 2011,
//! European Journal of Operational Research 209, 1). Repeatable: chance comes from a fixed seed, effort is counted.

use std::cmp::Reverse;
use std::mem::take;

use super::dice::Dice;
use super::insertion::{Candidate, Gap, Weighing};
use super::kinds::Kinds;
use super::prepared::{Prepared, Standing, Stop};
use super::timing::Timing;

/// While wishes stay broken for so much work, targets with a pin may also be shown otherwise than pinned.
const PATIENCE_WITH_PINS: u64 = 60_000;
/// Trials of the first cycle; each cycle is longer than the last by a half.
const FIRST_CYCLE: u32 = 300;
const LONGEST_CYCLE: u32 = 20_000;
/// Up to this share of the best merit an order may be worse than the last and still be gone on from, at the beginning of
/// a cycle; none at its end.
const SLACK: f64 = 0.008;
/// In one of so many trials a change of port beyond the limit may be made at its price.
const EXCESS_EVERY: usize = 2;

/// A search that goes on from where it is.
#[derive(Clone, Debug)]
pub(super) struct Search {
    pub prepared: Prepared,
    pub timing: Timing,
    pub kinds: Kinds,
    /// Room for the lists of `fill`.
    pub candidates: Vec<Candidate>,
    pub gaps: Vec<Gap>,
    /// The shortest of all viewings, in steps.
    pub shortest: u32,
    /// What keeping a wish counts while orders are tried: more than any stop, and what is lost beside it.
    pub wish: i32,
    pub dice: Dice,
    /// Work done outside `timing`.
    pub work: u64,
    /// Whether `timing` is that of another order.
    pub stale: bool,
    pub may_break_pins: bool,
    best: Option<(Vec<Stop>, Standing)>,
    best_merit: i64,
    /// Trials of this cycle, and those still to come.
    cycle: u32,
    cycle_left: u32,
    improved: bool,
    here: Vec<Stop>,
    here_standing: Standing,
    /// Changes of port beyond the limit that may be made, and what each costs: it rises while there are some.
    pub spare_changes: i32,
    pub excess_price: f64,
    most: f64,
}

impl Search {
    pub fn new(prepared: Prepared, seed: u64) -> Self {
        let most = prepared.choices.iter().map(|c| c.best).max().unwrap_or(0);
        Self {
            timing: Timing::default(),
            kinds: Kinds::new(&prepared),
            candidates: Vec::new(),
            gaps: Vec::new(),
            shortest: prepared.choices.iter().map(|c| c.duration).min().unwrap_or(1),
            wish: (3 * most + 2 * prepared.most_loss()).cast_signed() + 1,
            dice: Dice(seed),
            work: 0,
            stale: true,
            may_break_pins: false,
            best: None,
            best_merit: 0,
            cycle: FIRST_CYCLE,
            cycle_left: FIRST_CYCLE,
            improved: false,
            here: Vec::new(),
            here_standing: Standing::default(),
            spare_changes: 0,
            excess_price: f64::from(most) / 4.0,
            most: f64::from(most),
            prepared,
        }
    }

    /// Work done so far.
    pub fn total_work(&self) -> u64 {
        self.work + self.timing.work
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
            let mut first = Vec::new();
            self.timing.settle(&self.prepared, &mut first);
            self.fill(&mut first, Weighing { noise: 0.0, dense: true });
            let standing = self.prepared.standing(&first);
            self.here_standing = standing;
            self.best_merit = self.merit(standing);
            self.here.clone_from(&first);
            self.best = Some((first, standing));
            self.stale = true;
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

    /// One trial.
    fn step(&mut self) {
        self.spare_changes = i32::from(self.dice.below(EXCESS_EVERY) == 0);
        let here_merit = self.merit(self.here_standing);
        let Some((mut trial, relaid)) = self.changed() else { return };
        self.stale = true;
        if !self.timing.settle(&self.prepared, &mut trial) {
            return;
        }
        if relaid {
            let merit = self.merit(self.prepared.standing(&trial));
            if merit < here_merit - here_merit.abs() / 50 {
                return;
            }
        }
        let noise = if self.dice.below(3) == 0 { 0.0 } else { 0.6 };
        let dense = self.dice.below(2) == 0;
        self.fill(&mut trial, Weighing { noise, dense });
        let standing = self.prepared.standing(&trial);
        let merit = self.merit(standing);
        self.remember(&trial, standing, merit);
        let slack = SLACK * f64::from(self.cycle_left) / f64::from(self.cycle);
        let slack = (self.best_merit.max(0) as f64 * slack * self.dice.unit()) as i64;
        if merit >= here_merit - slack {
            self.here = trial;
            self.here_standing = standing;
        }
        let pace = if self.here_standing.excess > 0 { 1.05 } else { 0.98 };
        self.excess_price = (self.excess_price * pace).clamp(self.most / 40.0, self.most);
        self.stale = true;
    }

    /// Goes back to the best order; where a whole cycle has not bettered it, with a long part of it laid otherwise.
    fn begin_cycle(&mut self) {
        self.spare_changes = 0;
        self.cycle = (self.cycle + self.cycle / 2).min(LONGEST_CYCLE);
        self.cycle_left = self.cycle;
        let Some((best, _)) = &self.best else { return };
        let mut here = best.clone();
        let n = here.len();
        if !take(&mut self.improved) && n > 2 {
            let count = n / 4 + self.dice.below(n / 2);
            let at = self.dice.below(n + 1 - count);
            here.drain(at..at + count);
        }
        if self.timing.settle(&self.prepared, &mut here) {
            self.fill(&mut here, Weighing { noise: 1.0, dense: true });
            self.here_standing = self.prepared.standing(&here);
            self.here = here;
        }
        self.stale = true;
    }

    /// Keeps an order that is better than the best: within the limit, fewer wishes broken, or worth more.
    fn remember(&mut self, stops: &[Stop], standing: Standing, merit: i64) {
        if standing.excess > 0 {
            return;
        }
        let rank = |standing: Standing| (Reverse(standing.broken), standing.worth());
        if self.best.as_ref().is_none_or(|(_, best)| rank(standing) > rank(*best)) {
            self.best = Some((stops.to_vec(), standing));
            self.best_merit = merit;
            self.improved = true;
        }
        let broken = self.best.as_ref().map_or(0, |(_, best)| best.broken);
        self.may_break_pins |= broken > 0 && self.total_work() > PATIENCE_WITH_PINS;
    }

    /// The order at hand with a part laid anew (then `true`), taken out or moved; its starts may no longer fit.
    fn changed(&mut self) -> Option<(Vec<Stop>, bool)> {
        let n = self.here.len();
        let mut trial = self.here.clone();
        if n > 1 && self.dice.below(10) < 3 {
            let count = 1 + self.dice.below(6.min(n));
            let at = self.dice.below(n + 1 - count);
            if self.stale {
                self.stale = false;
                if !self.timing.settle(&self.prepared, &mut trial) {
                    return None;
                }
            }
            let noise = if self.dice.below(3) == 0 { 0.0 } else { 0.4 };
            let laid = self.relay(&trial, at, at + count, noise)?;
            let same = laid.iter().map(|stop| stop.choice).eq(trial.iter().map(|stop| stop.choice));
            return (!same).then_some((laid, true));
        }
        if n == 0 {
            return Some((trial, false));
        }
        match self.dice.below(10) {
            0..=5 => {
                let count = 1 + self.dice.below(3.min(n));
                let at = self.dice.below(n + 1 - count);
                trial.drain(at..at + count);
            }
            6 => self.take_run(&mut trial),
            7 => {
                for _ in 0..=self.dice.below(3.min(n)) {
                    let at = self.dice.below(trial.len());
                    trial.remove(at);
                }
            }
            8 if n > 1 => {
                let at = self.dice.below(n - 1);
                trial.swap(at, at + 1);
            }
            _ => {
                let stop = trial.remove(self.dice.below(n));
                let to = self.dice.below(n);
                trial.insert(to, stop);
            }
        }
        Some((trial, false))
    }

    /// Takes out stops that follow one another on one port, up to nine.
    fn take_run(&mut self, trial: &mut Vec<Stop>) {
        let port = |stop: &Stop| self.prepared.choices[stop.choice as usize].port;
        let at = self.dice.below(trial.len());
        let on = port(&trial[at]);
        let mut from = at;
        while from > 0 && port(&trial[from - 1]) == on && at - from < 4 {
            from -= 1;
        }
        let mut to = at + 1;
        while to < trial.len() && port(&trial[to]) == on && to - at < 4 {
            to += 1;
        }
        trial.drain(from..to);
    }
}
