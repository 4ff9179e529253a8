//! Passes over the orders of an evening, or a part of them, that bring their bound down stage by stage.
//!
//! First prices over tables that let every target come back; then what can't be part of a better order is closed, pass by
//! pass; then, over the little that is left, orders that remember targets.

use std::mem::replace;

use super::bundle::{Bundle, Lean};
use super::fork::{Side, fork};
use super::labels::{Ground, Labels, Memories};
use super::open::{Closing, Open};
use super::prepared::{Prepared, Stop};
use super::prices::{KeptWishes, Prices};
use super::relaxed::Relaxed;
use super::timing::NEVER;

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

/// Labels go on while so many units of work bring the bound down by this share of its gap.
const TURN: u64 = 400_000;
const WORTH_A_TURN: f64 = 0.05;

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

/// How passes end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    /// None of the orders is better than the best known.
    Proven,
    /// The bound falls no further, or too slowly.
    Settled,
}

/// A part of all orders, its bound, and what is known for a start.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub sides: Vec<Side>,
    pub bound: i64,
    bundle: Bundle,
    memories: Option<Memories>,
}

#[derive(Clone, Debug)]
pub(super) struct Passes {
    pub relaxed: Relaxed,
    pub open: Open,
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
    /// Labels have begun.
    remembers: bool,
    /// Parts of the orders at hand, as they were parted when labels began.
    parts: Option<[Part; 2]>,
    /// The least bound so far.
    pub labelled: i64,
    step_down: f64,
    /// When it is asked again whether labels pay, and the bound when it was asked last.
    turn: (u64, i64),
    label_work: u64,
    /// Work of bundles given up.
    passed: u64,
    pub end: Option<End>,
}

impl Passes {
    pub fn new(prepared: &Prepared, stops: &[Stop], kept: &KeptWishes, scale: i32) -> Self {
        let most = prepared.choices.iter().map(|c| c.best).max().unwrap_or(0);
        let prices = Prices::guess(prepared, stops, scale);
        let open = Open::new(prepared);
        let mut relaxed = Relaxed::new(prepared);
        relaxed.set_prices(prepared, &prices, kept, &open);
        relaxed.most_followers = FEW_FOLLOWERS;
        Self {
            rough: MOST_ROUGH_PASSES,
            passed: 0,
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
            remembers: false,
            parts: None,
            labelled: i64::MAX,
            step_down: STEP_DOWN,
            turn: (0, i64::MAX),
            label_work: 0,
            end: None,
        }
    }

    /// Goes over to a part of all orders, from what is known of it.
    pub fn take_up(&mut self, prepared: &Prepared, kept: &KeptWishes, part: Part, open: Open) {
        self.rough = 0;
        self.open = open;
        self.passed += self.bundle.work;
        self.bundle = part.bundle;
        self.prices.all = self.bundle.centre();
        self.memories = part.memories;
        self.remembers = false;
        self.parts = None;
        self.labelled = part.bound;
        self.step_down = STEP_DOWN;
        self.turn = (0, i64::MAX);
        self.to_closing = PASSES_TO_CLOSING;
        self.closing_gap = f64::INFINITY;
        self.closes_now = false;
        self.closed_for = 0;
        self.end = None;
        self.relaxed.set_prices(prepared, &self.prices, kept, &self.open);
        self.stage = Stage::Tables(self.relaxed.chunks.len());
    }

    /// The two parts of the orders at hand, once they can be parted.
    pub fn parts(&mut self) -> Option<[Part; 2]> {
        let mut parts = self.parts.take()?;
        for part in &mut parts {
            part.bound = self.labelled;
            part.memories.clone_from(&self.memories);
        }
        Some(parts)
    }

    /// Parts the orders at hand where those that lead to the next prices differ most.
    fn part(&self, prepared: &Prepared) -> Option<[Part; 2]> {
        let sides = fork(prepared, &self.relaxed, self.bundle.leading())?;
        Some(sides.map(|side| Part {
            sides: vec![side],
            bound: i64::MAX,
            bundle: self.bundle.part(|stops| side.allows(prepared, &self.relaxed, stops)),
            memories: None,
        }))
    }

    pub fn work(&self) -> u64 {
        (self.relaxed.work + self.label_work) / COUNTS_A_UNIT + self.bundle.work + self.passed
    }

    /// Goes through a chunk. Orders worth less than `better` (scaled) are of no use.
    pub fn go_on(&mut self, prepared: &Prepared, kept: &KeptWishes, better: i64) {
        let chunks = self.relaxed.chunks.len();
        match replace(&mut self.stage, Stage::Tables(0)) {
            Stage::Tables(0) => self.end_tables(prepared, kept, better),
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
                self.end_labels(prepared, kept, better, &labels);
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
    }

    fn end_tables(&mut self, prepared: &Prepared, kept: &KeptWishes, better: i64) {
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
            return;
        }
        self.labelled = self.labelled.min(bound);
        if bound < better {
            self.end = Some(End::Proven);
        } else if self.remembers {
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
            stops: stops.to_vec(),
        };
        self.bundle.take(&self.prices.all, bound, lean, (bound - better) as f64);
        let nothing = NOTHING * f64::from(self.prices.scale);
        let most = if self.remembers { STEP_DOWN * better as f64 } else { f64::INFINITY };
        self.bundle.go_on(&mut self.prices.all, nothing, most);
        let promised = self.bundle.promised();
        let remembers = promised < SETTLED * better as f64 && self.remember(prepared);
        if promised < nothing && !remembers {
            if self.open.moves().is_none() && self.closed_for < better {
                self.closes_now = true;
            } else {
                self.end = Some(End::Settled);
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
        let parts = if self.remembers { None } else { self.part(prepared) };
        let memories = self.memories.get_or_insert_with(|| Memories::none(prepared));
        let mut grown = !self.remembers;
        if grown {
            self.parts = parts;
        }
        self.remembers = true;
        for (_, stops) in self.bundle.leading() {
            grown |= memories.grow(prepared, stops);
        }
        if grown {
            self.bundle.retain(0.0, |stops| memories.allow(prepared, stops));
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

    fn end_labels(&mut self, prepared: &Prepared, kept: &KeptWishes, better: i64, labels: &Labels) {
        let (most, worth, stops) = labels.best_order(prepared);
        let constant = self.prices.constant(&self.allowed);
        let (bound, worth) = (most + constant, worth + constant);
        let fallen = self.labelled.saturating_sub(bound);
        let says = self.bundle.says(&self.prices.all) as i64;
        self.labelled = self.labelled.min(bound);
        if worth < bound {
            if bound <= better {
                self.labelled = better - 1;
                self.end = Some(End::Proven);
                return;
            }
            if fallen > 0 && bound > says {
                // Nothing so good: less is looked for at the same prices.
                self.begin_labels(prepared, better);
                return;
            }
            if fallen <= 0 && worth <= says {
                // Too many labels to learn anything here.
                self.step_down *= 0.5;
                self.bundle.shorten();
                if self.step_down < LEAST_STEP_DOWN {
                    self.end = Some(End::Settled);
                }
            }
        } else {
            self.step_down = (self.step_down * 1.2).min(STEP_DOWN);
        }
        if self.labelled < better {
            self.end = Some(End::Proven);
        } else if self.work() >= self.turn.0 {
            let fallen = self.turn.1.saturating_sub(self.labelled) as f64;
            if self.turn.0 > 0 && fallen < WORTH_A_TURN * (self.labelled - better) as f64 {
                self.end = Some(End::Settled);
            }
            self.turn = (self.work() + TURN, self.labelled);
        }
        let grows = self.memories.as_mut().is_some_and(|memories| memories.grow(prepared, &stops));
        if fallen >= 0 && grows {
            if let Some(memories) = &self.memories {
                self.bundle.retain(0.0, |stops| memories.allow(prepared, stops));
            }
            self.begin_labels(prepared, better);
        } else {
            self.move_prices(prepared, kept, (bound, worth), better, &stops);
        }
    }
}
