//! What no order can be worth more than, brought down stage by stage.
//!
//! First prices over tables that let every target come back; then what can't be part of a better order is closed, pass by
//! pass; then, over the little that is left, orders that remember targets.

use std::mem::replace;

use super::bundle::{Bundle, Lean};
use super::labels::{Ground, Labels, Memories};
use super::open::{Closing, Open};
use super::prepared::{Prepared, Standing, Stop};
use super::prices::{KeptWishes, Prices};
use super::relaxed::Relaxed;
use super::timing::NEVER;

/// Beyond so many cells a table (4 bytes each) would take more memory than it is worth.
const MOST_CELLS: usize = 1_000_000;
/// Most points times scale that an evening's worth may reach.
const MOST_SCALED: i64 = 60_000_000;
/// Moves looked at in a unit of work, which then takes about a microsecond.
const COUNTS_A_UNIT: u64 = 200;
/// In the first passes so few followers of each choice are looked at, until prices promise less than this share of the
/// score, or for so many passes.
const FEW_FOLLOWERS: usize = 8;
const ROUGH: f64 = 0.01;
const MOST_ROUGH_PASSES: u32 = 40;
/// Passes before the first closing, and between two.
const PASSES_TO_CLOSING: u32 = 8;
/// A closing pays once the gap is this share of the score, and again once it has become this share of itself.
const CLOSING_GAP: f64 = 0.06;
const CLOSING_PROGRESS: f64 = 0.75;
/// Targets are remembered once prices promise less than this share of the score.
const SETTLED: f64 = 0.0005;
/// Orders this share of the score below the least bound are not looked for; where that leaves too many labels, half as
/// far below, and so on for so many times.
const STEP_DOWN: f64 = 0.0015;
const LEAST_STEP_DOWN: f64 = STEP_DOWN / 64.0;
/// Prices that promise less than this part of a point have settled.
const NOTHING: f64 = 0.25;

/// A bound and the prices that give it.
#[derive(Clone, Debug)]
pub(super) struct Bound {
    kept: KeptWishes,
    /// Points times scale.
    least: i64,
    scale: i32,
    work: u64,
    passes: Option<Box<Passes>>,
}

/// What is being done, chunk by chunk or step by step of the evening.
#[derive(Clone, Debug)]
enum Stage {
    /// Chunks of the tables still to be filled.
    Tables(usize),
    /// Chunks gone through, the bound here, and the order that gave it.
    Closing(Box<Closing>, usize, (i64, Vec<Stop>)),
    /// The step at hand.
    Labels(Box<Labels>, u32),
}

#[derive(Clone, Debug)]
struct Passes {
    relaxed: Relaxed,
    open: Open,
    prices: Prices,
    allowed: Vec<i32>,
    bundle: Bundle,
    stage: Stage,
    /// Rough passes still to come at most: their bounds do not hold.
    rough: u32,
    /// Passes before the next closing, and the gap at the last.
    to_closing: u32,
    closing_gap: f64,
    /// Settled prices close once for each order that is the best known.
    closes_now: bool,
    closed_for: i64,
    memories: Option<Memories>,
    /// The least bound of the labels.
    labelled: i64,
    step_down: f64,
    label_work: u64,
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
            passes: None,
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
            let passes = self
                .passes
                .get_or_insert_with(|| Box::new(Passes::new(prepared, stops, &self.kept, self.scale)));
            let better = (i64::from(score) + 1) * i64::from(self.scale);
            if passes.done_for >= better {
                return false;
            }
            let before = passes.work();
            if let Some(bound) = passes.go_on(prepared, &self.kept, better) {
                self.least = self.least.min(bound);
            }
            self.work += passes.work() - before;
        }
        self.points() > i64::from(score)
    }
}

impl Passes {
    fn new(prepared: &Prepared, stops: &[Stop], kept: &KeptWishes, scale: i32) -> Self {
        let most = prepared.choices.iter().map(|c| c.best).max().unwrap_or(0);
        let prices = Prices::guess(prepared, stops, scale);
        let open = Open::new(prepared);
        let mut relaxed = Relaxed::new(prepared);
        relaxed.set_prices(prepared, &prices, kept, &open);
        relaxed.most_followers = FEW_FOLLOWERS;
        Self {
            rough: MOST_ROUGH_PASSES,
            stage: Stage::Tables(relaxed.chunks.len()),
            bundle: Bundle::new(&prices.all, prices.signed(kept), 4 * most.cast_signed() * scale),
            allowed: prices.allowed(prepared, kept),
            relaxed,
            open,
            prices,
            to_closing: PASSES_TO_CLOSING,
            closing_gap: f64::INFINITY,
            closes_now: false,
            closed_for: 0,
            memories: None,
            labelled: i64::MAX,
            step_down: STEP_DOWN,
            label_work: 0,
            done_for: 0,
        }
    }

    fn work(&self) -> u64 {
        (self.relaxed.work + self.label_work) / COUNTS_A_UNIT + self.bundle.work
    }

    /// Goes through a chunk; a bound where that ends a pass. Orders worth less than `better` (scaled) are of no use.
    fn go_on(&mut self, prepared: &Prepared, kept: &KeptWishes, better: i64) -> Option<i64> {
        let chunks = self.relaxed.chunks.len();
        match replace(&mut self.stage, Stage::Tables(0)) {
            Stage::Tables(0) => return self.end_tables(prepared, kept, better),
            Stage::Tables(left) => {
                self.relaxed.solve(prepared, &self.prices, &self.open, left - 1);
                self.stage = Stage::Tables(left - 1);
            }
            Stage::Closing(closing, chunk, (bound, stops)) if chunk == chunks => {
                closing.finish(&mut self.open);
                self.bundle.retain(better as f64, |_| true);
                self.move_prices(prepared, kept, (bound, bound), better, &stops);
            }
            Stage::Closing(mut closing, chunk, found) => {
                let tables = (&mut self.relaxed, &mut self.open);
                closing.go_through(prepared, &self.prices, tables, chunk);
                self.stage = Stage::Closing(closing, chunk + 1, found);
            }
            Stage::Labels(labels, step) if step > prepared.steps => {
                return Some(self.end_labels(prepared, kept, better, &labels));
            }
            Stage::Labels(mut labels, step) => {
                if let Some(ground) = self.ground(prepared) {
                    let before = labels.work;
                    labels.go_through(ground, step);
                    self.label_work += labels.work - before;
                }
                self.stage = Stage::Labels(labels, step + 1);
            }
        }
        None
    }

    fn end_tables(&mut self, prepared: &Prepared, kept: &KeptWishes, better: i64) -> Option<i64> {
        let (worth, stops) = self.relaxed.best_order(prepared, &self.prices, &self.open);
        let bound = worth + self.prices.constant(&self.allowed);
        if self.rough > 0 {
            self.rough -= 1;
            self.move_prices(prepared, kept, (bound, bound), better, &stops);
            if self.rough == 0 || self.bundle.promised() < ROUGH * better as f64 {
                self.rough = 0;
                self.relaxed.most_followers = prepared.choices.len();
                self.bundle.start_again();
            }
            return None;
        }
        if bound < better {
            self.done_for = better;
        } else if self.memories.is_some() {
            self.labelled = self.labelled.min(bound);
            self.begin_labels(prepared, better);
        } else {
            self.to_closing = self.to_closing.saturating_sub(1);
            let gap = (bound - better) as f64;
            let pays = gap < CLOSING_PROGRESS * self.closing_gap && gap < CLOSING_GAP * better as f64;
            let lowest = (bound as f64) < self.bundle.least();
            if lowest && self.to_closing == 0 && pays || self.closes_now {
                self.to_closing = PASSES_TO_CLOSING;
                self.closing_gap = gap;
                self.closed_for = better;
                self.closes_now = false;
                let closing = Closing::new(prepared, &self.prices, self.floor(better));
                self.stage = Stage::Closing(Box::new(closing), 0, (bound, stops));
            } else {
                self.move_prices(prepared, kept, (bound, bound), better, &stops);
            }
        }
        Some(bound)
    }

    /// Goes on to the next prices from what an order says at these.
    fn move_prices(
        &mut self,
        prepared: &Prepared,
        kept: &KeptWishes,
        (bound, worth): (i64, i64),
        better: i64,
        stops: &[Stop],
    ) {
        let used = self.prices.used(prepared, stops);
        let lean = Lean {
            worth,
            overuse: used.iter().zip(&self.allowed).map(|(used, allowed)| used - allowed).collect(),
            targets: targets(prepared, stops),
        };
        self.bundle.take(&self.prices.all, bound, lean, (bound - better) as f64);
        let nothing = NOTHING * f64::from(self.prices.scale);
        let most = if self.memories.is_some() { STEP_DOWN * better as f64 } else { f64::INFINITY };
        self.bundle.go_on(&mut self.prices.all, nothing, most);
        let promised = self.bundle.promised();
        let remembers = promised < SETTLED * better as f64 && self.remember(prepared);
        if promised < nothing && !remembers {
            if self.open.moves().is_none() && self.closed_for < better {
                self.closes_now = true;
            } else {
                self.done_for = better;
            }
        }
        self.relaxed.set_prices(prepared, &self.prices, kept, &self.open);
        self.stage = Stage::Tables(self.relaxed.chunks.len());
    }

    /// Remembers what the orders that lead to the next prices come back to, if moves are few enough for labels; whether
    /// that is new.
    fn remember(&mut self, prepared: &Prepared) -> bool {
        if self.open.moves().is_none() {
            return false;
        }
        let memories = self.memories.get_or_insert_with(|| Memories::none(prepared));
        let mut grown = false;
        for targets in self.bundle.leading() {
            grown |= memories.grow(&targets);
        }
        if grown {
            self.bundle.retain(0.0, |targets| memories.allow(targets));
        }
        grown
    }

    fn ground<'g>(&'g self, prepared: &'g Prepared) -> Option<Ground<'g>> {
        let memories = self.memories.as_ref()?;
        Some(Ground { prepared, prices: &self.prices, relaxed: &self.relaxed, open: &self.open, memories })
    }

    /// What the best priced order is worth where the bound is so much, as far as that can be at all.
    fn floor(&self, bound: i64) -> i32 {
        let worth = bound - self.prices.constant(&self.allowed);
        worth.clamp(i64::from(NEVER / 2), i64::from(-NEVER)) as i32
    }

    fn begin_labels(&mut self, prepared: &Prepared, better: i64) {
        let floor = (self.labelled - (self.step_down * better as f64) as i64)
            .max(self.bundle.says(&self.prices.all) as i64)
            .max(better);
        let floor = self.floor(floor);
        if let Some(ground) = self.ground(prepared) {
            self.stage = Stage::Labels(Box::new(Labels::new(ground, floor)), prepared.start_step);
        }
    }

    fn end_labels(&mut self, prepared: &Prepared, kept: &KeptWishes, better: i64, labels: &Labels) -> i64 {
        let (most, worth, stops) = labels.best_order(prepared);
        let constant = self.prices.constant(&self.allowed);
        let (bound, worth) = (most + constant, worth + constant);
        let fallen = self.labelled - bound;
        let says = self.bundle.says(&self.prices.all) as i64;
        self.labelled = self.labelled.min(bound);
        if worth < bound {
            if bound <= better {
                self.done_for = better;
                return better - 1;
            }
            if fallen > 0 && bound > says {
                // Nothing so good: less is looked for at the same prices.
                self.begin_labels(prepared, better);
                return bound;
            }
            if fallen <= 0 && worth <= says {
                // Too many labels to learn anything here.
                self.step_down *= 0.5;
                self.bundle.shorten();
                if self.step_down < LEAST_STEP_DOWN {
                    self.done_for = better;
                }
            }
        } else {
            self.step_down = (self.step_down * 1.2).min(STEP_DOWN);
        }
        let targets = targets(prepared, &stops);
        if fallen >= 0 && self.memories.as_mut().is_some_and(|memories| memories.grow(&targets)) {
            if let Some(memories) = &self.memories {
                self.bundle.retain(0.0, |targets| memories.allow(targets));
            }
            self.begin_labels(prepared, better);
        } else {
            self.move_prices(prepared, kept, (bound, worth), better, &stops);
        }
        bound
    }
}

/// The targets of an order.
fn targets(prepared: &Prepared, stops: &[Stop]) -> Vec<u32> {
    stops.iter().map(|stop| prepared.choices[stop.choice as usize].target).collect()
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
