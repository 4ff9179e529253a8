//! Prices for what an order may do only so often: with them the rules can be let go and a bound still holds.
//!
//! Lagrangian relaxation (Fisher 1981, *The Lagrangian relaxation method for solving integer programming problems*,
//! Management Science 27, 1): a target may be shown again, ranks of a kind taken twice, port changes and least stops
//! missed, each at its price. Whatever the prices, no order that keeps the rules is worth more than the best priced
//! one.

use super::prepared::{Prepared, Standing, Stop};

/// The wishes that a bound takes for granted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct KeptWishes {
    /// Whether the pin of each target is kept.
    pub pinned: Vec<bool>,
    /// Least stops on each port.
    pub min_stops: Vec<u32>,
}

impl KeptWishes {
    /// The wishes that an order keeps.
    pub fn of(prepared: &Prepared, stops: &[Stop], standing: Standing) -> Self {
        let mut pinned = vec![false; prepared.targets as usize];
        for target in &prepared.pinned {
            pinned[*target as usize] = true;
        }
        let mut min_stops = prepared.min_stops.clone();
        if standing.broken > 0 {
            pinned.fill(false);
            let mut on_port = vec![0_u32; prepared.ports as usize];
            for stop in stops {
                let choice = &prepared.choices[stop.choice as usize];
                on_port[choice.port as usize] += 1;
                pinned[choice.target as usize] |= choice.keeps_pin;
            }
            for (least, have) in min_stops.iter_mut().zip(on_port) {
                *least = (*least).min(have);
            }
        }
        Self { pinned, min_stops }
    }
}

/// Prices in points times the scale of the relaxation: of each target, each rank of a kind, a change of port, and what
/// a stop on each port earns.
#[derive(Clone, Debug)]
pub(super) struct Prices {
    /// All of them, one after another.
    pub all: Vec<i32>,
    /// Where the ranks of each kind begin.
    ranks: Vec<usize>,
    change: usize,
    /// Points times this.
    pub scale: i32,
}

impl Prices {
    fn none(prepared: &Prepared, scale: i32) -> Self {
        let mut at = prepared.targets as usize;
        let mut ranks = Vec::with_capacity(prepared.factors.len());
        for factors in &prepared.factors {
            ranks.push(at);
            at += factors.len();
        }
        Self { all: vec![0; at + 1 + prepared.ports as usize], ranks, change: at, scale }
    }

    /// A first guess from an order: by what a step of its time is worth, and a rank of a kind.
    pub fn guess(prepared: &Prepared, stops: &[Stop], scale: i32) -> Self {
        let mut prices = Self::none(prepared, scale);
        let mut by_kind: Vec<Vec<u32>> = vec![Vec::new(); prepared.factors.len()];
        for stop in stops {
            let kind = prepared.choices[stop.choice as usize].kind;
            by_kind[kind as usize].push(prepared.value(stop.choice as usize, stop.start));
        }
        let mut next_factor = Vec::new();
        for (kind, values) in by_kind.iter_mut().enumerate() {
            values.sort_unstable_by(|a, b| b.cmp(a));
            let factors = &prepared.factors[kind];
            let shown = values.len().min(factors.len() - 1);
            next_factor.push(factors[shown]);
            for (rank, value) in values.iter().take(shown).enumerate() {
                prices.all[prices.ranks[kind] + rank] =
                    (value * factors[rank].saturating_sub(factors[shown]) / 1000).cast_signed() * scale;
            }
        }
        let mut worth_a_step: Vec<f64> = Vec::new();
        let (mut from, mut leave) = (None, prepared.start_step);
        for stop in stops {
            let c = stop.choice as usize;
            let choice = &prepared.choices[c];
            let steps = choice.duration + prepared.travel(from, c, leave);
            let worth = prepared.value(c, stop.start) * next_factor[choice.kind as usize] / 1000;
            worth_a_step.push(f64::from(worth) / f64::from(steps));
            (from, leave) = (Some(c), stop.start + choice.duration);
        }
        worth_a_step.sort_by(f64::total_cmp);
        // The lesser part of the stops says what could be had for the time of a greater one.
        let step = worth_a_step.get(worth_a_step.len() / 4).copied().unwrap_or(0.0);
        for choice in &prepared.choices {
            let gain = f64::from(choice.best * next_factor[choice.kind as usize] / 1000)
                - step * f64::from(choice.duration + 2);
            let price = &mut prices.all[choice.target as usize];
            *price = (*price).max((gain * f64::from(scale)) as i32);
        }
        prices
    }

    #[inline]
    pub fn target(&self, target: u32) -> i32 {
        self.all[target as usize]
    }

    #[inline]
    pub fn change(&self) -> i32 {
        self.all[self.change]
    }

    #[inline]
    pub fn port(&self, port: u32) -> i32 {
        self.all[self.change + 1 + port as usize]
    }

    /// What a value of a kind earns with the rank that pays most after its price, and which that is.
    pub fn best_rank(&self, prepared: &Prepared, kind: u32, value: u32) -> (i32, usize) {
        let factors = &prepared.factors[kind as usize];
        let prices = &self.all[self.ranks[kind as usize]..];
        let mut best = (i32::MIN, 0);
        for (rank, (factor, price)) in factors.iter().zip(prices).enumerate() {
            let gain = (value * factor / 1000).cast_signed() * self.scale - price;
            if gain > best.0 {
                best = (gain, rank);
            }
        }
        best
    }

    /// How often each thing priced may be used.
    pub fn allowed(&self, prepared: &Prepared, kept: &KeptWishes) -> Vec<i32> {
        let mut allowed = vec![1; self.change];
        for (first, factors) in self.ranks.iter().zip(&prepared.factors) {
            // The last rank goes on.
            allowed[first + factors.len() - 1] = 0;
        }
        allowed.push(prepared.max_changes.cast_signed());
        allowed.extend(kept.min_stops.iter().map(|least| -least.cast_signed()));
        allowed
    }

    /// Which prices may be negative: a kept pin may as well be paid for being shown.
    pub fn signed(&self, kept: &KeptWishes) -> Vec<bool> {
        let mut signed = kept.pinned.clone();
        signed.resize(self.all.len(), false);
        signed
    }

    /// How often an order uses each thing priced.
    pub fn used(&self, prepared: &Prepared, stops: &[Stop]) -> Vec<i32> {
        let mut used = vec![0; self.all.len()];
        let mut from = None;
        for stop in stops {
            let c = stop.choice as usize;
            let choice = &prepared.choices[c];
            let rank = self.best_rank(prepared, choice.kind, prepared.value(c, stop.start)).1;
            used[choice.target as usize] += 1;
            if rank + 1 < prepared.factors[choice.kind as usize].len() {
                used[self.ranks[choice.kind as usize] + rank] += 1;
            }
            used[self.change] += prepared.changes(from, c).cast_signed();
            used[self.change + 1 + choice.port as usize] -= 1;
            from = Some(c);
        }
        used
    }

    /// What the prices give back: to the best priced order, this is added for the bound.
    pub fn constant(&self, allowed: &[i32]) -> i64 {
        self.all.iter().zip(allowed).map(|(price, allowed)| i64::from(*price) * i64::from(*allowed)).sum()
    }
}
