//! Prices for what an order may do only so often: with them the rules can be let go and a bound still holds.
//!
//! Lagrangian relaxation (Fisher 1981, *The Lagrangian relaxation method for solving integer programming problems*,
//! Management Science 27, 1): a target may be shown again, ranks of a kind taken twice, port changes and least stops
//! missed, each at its price. Whatever the prices, no order that keeps the rules is worth more than the best priced
//! one; [`Ascent`] moves them to where that says most.

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

/// Prices in points times the scale of the relaxation.
#[derive(Clone, Debug)]
pub(super) struct Prices {
    pub target: Vec<i32>,
    /// For each rank of a kind but its last, which goes on.
    pub rank: Vec<Vec<i32>>,
    pub change: i32,
    /// What a stop on a port earns.
    pub port: Vec<i32>,
}

impl Prices {
    fn none(prepared: &Prepared) -> Self {
        Self {
            target: vec![0; prepared.targets as usize],
            rank: prepared.factors.iter().map(|f| vec![0; f.len()]).collect(),
            change: 0,
            port: vec![0; prepared.ports as usize],
        }
    }

    /// A first guess from an order: by what a step of its time is worth, and a rank of a kind.
    pub fn guess(prepared: &Prepared, stops: &[Stop], scale: i32) -> Self {
        let mut prices = Self::none(prepared);
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
                prices.rank[kind][rank] =
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
            let price = &mut prices.target[choice.target as usize];
            *price = (*price).max((gain * f64::from(scale)) as i32);
        }
        prices
    }

    /// What the prices give back: to the best priced order, this is added for the bound.
    pub fn constant(&self, prepared: &Prepared, kept: &KeptWishes) -> i64 {
        let sum = |prices: &[i32]| prices.iter().map(|p| i64::from(*p)).sum::<i64>();
        let least = self.port.iter().zip(&kept.min_stops).map(|(p, m)| i64::from(*p) * i64::from(*m));
        sum(&self.target)
            + self.rank.iter().map(|ranks| sum(ranks)).sum::<i64>()
            + i64::from(self.change) * i64::from(prepared.max_changes)
            - least.sum::<i64>()
    }
}

/// Numbers that stand beside each price.
#[derive(Clone, Debug)]
struct Beside {
    target: Vec<f64>,
    rank: Vec<Vec<f64>>,
    change: f64,
    port: Vec<f64>,
}

impl Beside {
    fn of(prices: &Prices) -> Self {
        let all = |prices: &[i32]| prices.iter().map(|p| f64::from(*p)).collect::<Vec<_>>();
        Self {
            target: all(&prices.target),
            rank: prices.rank.iter().map(|ranks| all(ranks)).collect(),
            change: f64::from(prices.change),
            port: all(&prices.port),
        }
    }

    fn zero(&mut self) {
        self.change = 0.0;
        self.target.fill(0.0);
        self.port.fill(0.0);
        self.rank.iter_mut().for_each(|ranks| ranks.fill(0.0));
    }
}

/// How often the best priced order uses what is priced, less how often it may; positive where the price is too low.
#[derive(Clone, Debug)]
pub(super) struct Overuse(Beside);

/// Moves the prices by deflected subgradients (Held, Wolfe & Crowder 1974, Mathematical Programming 6, 62; Camerini,
/// Fratta & Maffioli 1975, Mathematical Programming Study 3, 26).
#[derive(Clone, Debug)]
pub(super) struct Ascent {
    exact: Beside,
    direction: Beside,
    most: f64,
}

/// Part of the last direction that goes on.
const KEPT_DIRECTION: f64 = 0.6;

impl Ascent {
    /// Starts at some prices, which stay within `most`.
    pub fn new(prices: &Prices, most: i32) -> Self {
        let exact = Beside::of(prices);
        let mut direction = exact.clone();
        direction.zero();
        Self { exact, direction, most: f64::from(most) }
    }

    /// Moves the prices against what the best priced order overuses; `gap` is the bound less the score to be proven,
    /// scaled, and `pace` a share of the step that would close it on a straight slope.
    pub fn step(&mut self, prices: &mut Prices, overuse: &Overuse, kept: &KeptWishes, gap: f64, pace: f64) {
        let Overuse(use_of) = overuse;
        let mut norm = 0.0;
        let mut turn = |direction: &mut f64, overuse: f64, price: f64, signed: bool| {
            // At a price of nothing there is no way down.
            let floor = if !signed && price <= 0.0 { 0.0 } else { f64::MIN };
            *direction = (KEPT_DIRECTION * *direction + overuse.max(floor)).max(floor);
            norm += *direction * *direction;
        };
        for i in 0..use_of.target.len() {
            turn(&mut self.direction.target[i], use_of.target[i], self.exact.target[i], kept.pinned[i]);
        }
        for (kind, ranks) in use_of.rank.iter().enumerate() {
            for (r, overuse) in ranks[..ranks.len() - 1].iter().enumerate() {
                turn(&mut self.direction.rank[kind][r], *overuse, self.exact.rank[kind][r], false);
            }
        }
        turn(&mut self.direction.change, use_of.change, self.exact.change, false);
        for q in 0..use_of.port.len() {
            turn(&mut self.direction.port[q], use_of.port[q], self.exact.port[q], false);
        }
        if norm <= 0.0 {
            return;
        }
        let (length, most) = (pace * gap / norm, self.most);
        let moved = |exact: &mut f64, direction: f64, price: &mut i32, signed: bool| {
            let least = if signed { -most } else { 0.0 };
            *exact = (*exact + length * direction).clamp(least, most);
            *price = exact.round() as i32;
        };
        let (exact, direction) = (&mut self.exact, &self.direction);
        for i in 0..exact.target.len() {
            let price = &mut prices.target[i];
            moved(&mut exact.target[i], direction.target[i], price, kept.pinned[i]);
        }
        for kind in 0..exact.rank.len() {
            for r in 0..exact.rank[kind].len() - 1 {
                let price = &mut prices.rank[kind][r];
                moved(&mut exact.rank[kind][r], direction.rank[kind][r], price, false);
            }
        }
        moved(&mut exact.change, direction.change, &mut prices.change, false);
        for q in 0..exact.port.len() {
            moved(&mut exact.port[q], direction.port[q], &mut prices.port[q], false);
        }
    }
}

impl Overuse {
    /// Counts the use of an order; `rank_taken` says which rank of its kind each stop pays for.
    pub fn of(
        prepared: &Prepared,
        kept: &KeptWishes,
        stops: &[Stop],
        rank_taken: impl Fn(&Stop) -> usize,
    ) -> Self {
        let mut used = Beside {
            target: vec![-1.0; prepared.targets as usize],
            rank: prepared.factors.iter().map(|f| vec![-1.0; f.len()]).collect(),
            change: -f64::from(prepared.max_changes),
            port: kept.min_stops.iter().map(|m| f64::from(*m)).collect(),
        };
        let mut from = None;
        for stop in stops {
            let c = stop.choice as usize;
            let choice = &prepared.choices[c];
            used.target[choice.target as usize] += 1.0;
            used.rank[choice.kind as usize][rank_taken(stop)] += 1.0;
            used.change += f64::from(prepared.changes(from, c));
            used.port[choice.port as usize] -= 1.0;
            from = Some(c);
        }
        Self(used)
    }
}
