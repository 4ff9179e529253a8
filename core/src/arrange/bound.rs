//! What no order can be worth more than, brought down pass by pass.

use super::prepared::{Prepared, Standing, Stop};
use super::prices::{Ascent, KeptWishes, Prices};
use super::relaxed::Relaxed;

/// Passes over a coarse evening that find the first prices.
const COARSE_PASSES: u32 = 60;
/// Steps between the nodes of the coarse evening.
const COARSE_STRIDE: u32 = 8;
/// Beyond so many cells a table (10 bytes each) would take more memory than it is worth.
const MOST_CELLS: usize = 3_000_000;
/// Most points times scale that an evening's worth may reach.
const MOST_SCALED: i64 = 60_000_000;
/// Successions looked at in a unit of work, which then takes about a microsecond.
const COUNTS_A_UNIT: u64 = 128;
/// After so many passes without a lower bound the pace is slowed.
const PATIENCE: u32 = 4;
/// Below this pace the prices have settled: they start again from the best of them, so often.
const SLOWEST: f64 = 0.02;
const RESTARTS: u32 = 6;

/// A bound and the prices that give it.
#[derive(Clone, Debug)]
pub(super) struct Bound {
    kept: KeptWishes,
    /// Points times scale.
    least: i64,
    scale: i32,
    work: u64,
    passes: Option<Passes>,
}

#[derive(Clone, Debug)]
struct Passes {
    relaxed: Relaxed,
    /// Passes still to be made over the coarse evening.
    coarse_left: u32,
    most_price: i32,
    prices: Prices,
    ascent: Ascent,
    pace: f64,
    /// The prices that gave the least bound of this relaxation, that bound, and the passes since.
    best: Prices,
    least: i64,
    since: u32,
    restarts: u32,
}

impl Bound {
    /// The first bound for orders that keep the wishes which an order keeps.
    pub fn new(prepared: &Prepared, stops: &[Stop], standing: Standing) -> Self {
        let most = prepared.choices.iter().map(|c| c.best).max().unwrap_or(0);
        let evening = i64::from(prepared.steps.max(1)) * i64::from(most.max(1));
        let mut scale = 64;
        while scale > 1 && evening * i64::from(scale) > MOST_SCALED {
            scale /= 2;
        }
        Self {
            kept: KeptWishes::of(prepared, stops, standing),
            least: all_shown(prepared) * i64::from(scale),
            scale,
            work: 0,
            passes: None,
        }
    }

    /// Whether it holds for orders that keep the wishes which an order keeps.
    pub fn holds_for(&self, prepared: &Prepared, stops: &[Stop], standing: Standing) -> bool {
        self.kept == KeptWishes::of(prepared, stops, standing)
    }

    /// The bound in points.
    pub fn points(&self) -> i64 {
        self.least.div_euclid(i64::from(self.scale))
    }

    /// Brings it down by about so much work, from prices guessed from an order that may be the best; `false` once no
    /// more can be done.
    pub fn advance(&mut self, prepared: &Prepared, stops: &[Stop], score: u32, work: u64) -> bool {
        if prepared.choices.is_empty() || Relaxed::cells(prepared) > MOST_CELLS {
            return false;
        }
        let end = self.work.saturating_add(work);
        while self.work < end && self.points() > i64::from(score) {
            let passes = self.passes.get_or_insert_with(|| Passes::new(prepared, stops, self.scale));
            if passes.restarts >= RESTARTS {
                return false;
            }
            let before = passes.relaxed.work;
            let target = i64::from(score) * i64::from(self.scale);
            let bound = passes.pass(prepared, &self.kept, target);
            self.work += 1 + (passes.relaxed.work - before) / COUNTS_A_UNIT;
            if passes.coarse_left == 0 {
                self.least = self.least.min(bound);
            } else {
                passes.coarse_left -= 1;
                if passes.coarse_left == 0 {
                    passes.relaxed = Relaxed::new(prepared, 1, self.scale);
                    passes.start_again(0.7);
                    passes.least = i64::MAX;
                    passes.restarts = 0;
                }
            }
        }
        self.points() > i64::from(score)
    }
}

impl Passes {
    fn new(prepared: &Prepared, stops: &[Stop], scale: i32) -> Self {
        let most = prepared.choices.iter().map(|c| c.best).max().unwrap_or(0);
        let most_price = 4 * most.cast_signed() * scale;
        let prices = Prices::guess(prepared, stops, scale);
        Self {
            relaxed: Relaxed::new(prepared, COARSE_STRIDE, scale),
            coarse_left: COARSE_PASSES,
            most_price,
            ascent: Ascent::new(&prices, most_price),
            best: prices.clone(),
            prices,
            pace: 1.0,
            least: i64::MAX,
            since: 0,
            restarts: 0,
        }
    }

    /// Solves the relaxation at the prices, moves them and tells the bound; `score` is scaled.
    fn pass(&mut self, prepared: &Prepared, kept: &KeptWishes, score: i64) -> i64 {
        self.relaxed.solve(prepared, &self.prices, kept);
        let (worth, overuse) = self.relaxed.best_order(prepared, &self.prices, kept);
        let bound = worth + self.prices.constant(prepared, kept);
        if bound < self.least {
            self.least = bound;
            self.since = 0;
            self.best = self.prices.clone();
        } else {
            self.since += 1;
            if self.since >= PATIENCE {
                self.pace *= 0.7;
                self.since = 0;
            }
        }
        // What is aimed at stands a little above the score, for the relaxation seldom comes down to it.
        let gap = (bound as f64 - score as f64 * 1.003).max(1.0);
        self.ascent.step(&mut self.prices, &overuse, kept, gap, self.pace);
        if self.pace < SLOWEST {
            self.start_again(0.35);
            self.restarts += 1;
        }
        bound
    }

    /// Goes on from the best prices at a pace.
    fn start_again(&mut self, pace: f64) {
        self.prices = self.best.clone();
        self.ascent = Ascent::new(&self.prices, self.most_price);
        self.pace = pace;
        self.since = 0;
    }
}

/// Every target shown at its best, the best of a kind at its best rank.
fn all_shown(prepared: &Prepared) -> i64 {
    let mut best = vec![(0, 0); prepared.targets as usize];
    for choice in &prepared.choices {
        let best = &mut best[choice.target as usize];
        *best = (*best).max((choice.best, choice.kind));
    }
    let mut values: Vec<Vec<u32>> = vec![Vec::new(); prepared.factors.len()];
    for (value, kind) in best.into_iter().filter(|(value, _)| *value > 0) {
        values[kind as usize].push(value);
    }
    let mut thousandths = 0;
    for (values, factors) in values.iter_mut().zip(&prepared.factors) {
        let mut by_rank: Vec<u32> =
            (0..values.len()).map(|rank| factors[rank.min(factors.len() - 1)]).collect();
        // Greatest with greatest is the most that any pairing gives.
        values.sort_unstable();
        by_rank.sort_unstable();
        thousandths += values.iter().zip(by_rank).map(|(v, f)| u64::from(*v) * u64::from(f)).sum::<u64>();
    }
    thousandths.div_ceil(1000).cast_signed()
}
