//! What no order can be worth more than, brought down part by part.
//!
//! Branch and bound: once passes over all orders bring no more, those are parted in two where they differ most, and the
//! part with the greatest bound is always the next.

use super::fork::Side;
use super::open::Open;
use super::passes::{End, Part, Passes};
use super::prepared::{Prepared, Standing, Stop};
use super::prices::KeptWishes;
use super::relaxed::Relaxed;

/// Beyond so many cells a table (4 bytes each) would take more memory than it is worth.
const MOST_CELLS: usize = 1_000_000;
/// Most points times scale that an evening's worth may reach.
const MOST_SCALED: i64 = 60_000_000;
/// Most parts that wait.
const MOST_PARTS: usize = 200;

/// A bound and the parts that give it.
#[derive(Clone, Debug)]
pub(super) struct Bound {
    kept: KeptWishes,
    /// Points times scale.
    least: i64,
    scale: i32,
    work: u64,
    parts: Option<Box<Parts>>,
}

/// Parts of all orders, one of them at hand.
#[derive(Clone, Debug)]
struct Parts {
    passes: Passes,
    /// What makes the part at hand.
    sides: Vec<Side>,
    /// What is open for all orders, once they are parted.
    open: Option<Open>,
    waiting: Vec<Part>,
    /// Nothing more can be done while no better order than this is looked for.
    done_for: i64,
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
            parts: None,
        }
    }

    /// Whether it holds for orders that keep the wishes which an order keeps.
    pub fn holds_for(&self, prepared: &Prepared, stops: &[Stop], standing: Standing) -> bool {
        self.kept == KeptWishes::of(prepared, stops, standing)
    }

    /// The bound in points: what an order better than the best known may reach.
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
            let parts = self
                .parts
                .get_or_insert_with(|| Box::new(Parts::new(prepared, stops, &self.kept, self.scale)));
            let better = (i64::from(score) + 1) * i64::from(self.scale);
            if parts.done_for >= better {
                return false;
            }
            let before = parts.passes.work();
            parts.go_on(prepared, &self.kept, better);
            self.least = self.least.min(parts.bound(better));
            self.work += parts.passes.work() - before;
        }
        self.points() > i64::from(score)
    }
}

impl Parts {
    fn new(prepared: &Prepared, stops: &[Stop], kept: &KeptWishes, scale: i32) -> Self {
        let passes = Passes::new(prepared, stops, kept, scale);
        Self { passes, sides: Vec::new(), open: None, waiting: Vec::new(), done_for: 0 }
    }

    /// The bound of all parts; of those that hold nothing as good as `better` it is just less.
    fn bound(&self, better: i64) -> i64 {
        let parts = self.waiting.iter().map(|part| part.bound).chain([self.passes.labelled]);
        parts.fold(better - 1, i64::max)
    }

    /// Goes on with the part at hand, or to the next.
    fn go_on(&mut self, prepared: &Prepared, kept: &KeptWishes, better: i64) {
        match self.passes.end {
            None => self.passes.go_on(prepared, kept, better),
            Some(End::Settled) if self.waiting.len() < MOST_PARTS => match self.passes.parts() {
                Some(parts) => {
                    self.open.get_or_insert_with(|| self.passes.open.clone());
                    self.waiting.extend(parts.map(|mut part| {
                        part.sides.splice(0..0, self.sides.iter().copied());
                        part
                    }));
                    self.next(prepared, kept, better);
                }
                None => self.done_for = better,
            },
            Some(End::Settled) => self.done_for = better,
            Some(End::Proven) => self.next(prepared, kept, better),
        }
    }

    /// Takes up the waiting part with the greatest bound.
    fn next(&mut self, prepared: &Prepared, kept: &KeptWishes, better: i64) {
        self.waiting.retain(|part| part.bound >= better);
        let greatest = (0..self.waiting.len()).max_by_key(|i| self.waiting[*i].bound);
        let (Some(i), Some(open)) = (greatest, &self.open) else {
            self.passes.labelled = better - 1;
            self.done_for = better;
            return;
        };
        let part = self.waiting.swap_remove(i);
        let mut open = open.clone();
        for side in &part.sides {
            open.keep_to(prepared, &self.passes.relaxed.chunks, *side);
        }
        self.sides.clone_from(&part.sides);
        self.passes.take_up(prepared, kept, part, open);
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
