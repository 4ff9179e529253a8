//! The best priced order, backward through the evening: exact for the rules that the prices let go.
//!
//! A dynamic program over choice and step. The evening is cut into chunks in which no move changes its length and
//! nothing both starts and ends, so that a move from one choice to another is looked at once for all steps of a chunk.

use std::cmp::Reverse;
use std::ops::Range;

use super::open::{Move, Open};
use super::prepared::{Choice, NO_PORT, Prepared, Stop};
use super::prices::{KeptWishes, Prices};
use super::timing::NEVER;

/// Most steps in a chunk.
pub(super) const MOST_STEPS: usize = 16;
/// What is done for a choice in a chunk, beside the moves looked at, counted as so many of those.
const COUNTS_A_CHOICE: u64 = 4;

/// Tables of the backward dynamic program, row by row of a choice, and within it by step.
#[derive(Clone, Debug)]
pub(super) struct Relaxed {
    width: usize,
    /// Length of a row: a move beyond the evening's end finds nothing there.
    row: usize,
    pub chunks: Vec<Range<u32>>,
    /// What a choice started at a step earns after its prices, `NEVER` where it may not.
    gain: Vec<i32>,
    /// The most from a choice started at a step or later.
    from: Vec<i32>,
    /// The most that can follow when a choice ends at a step.
    ahead: Vec<i32>,
    /// By the port left, and last by none: choices, those that promise most in the chunk first.
    promised: Vec<Promised>,
    /// Where moves are not listed, so many choices are looked at to follow another: all, or for a rough first idea the
    /// few that promise most.
    pub most_followers: usize,
    /// Moves looked at so far.
    pub work: u64,
}

/// What each choice promises when it follows with neither slew nor loss.
#[derive(Clone, Debug)]
pub(super) struct Promised {
    port: u32,
    nearest: Vec<u32>,
    pub worth: Vec<i32>,
    pub order: Vec<u32>,
}

impl Relaxed {
    /// How many cells each table of a problem has.
    pub fn cells(prepared: &Prepared) -> usize {
        prepared.choices.len() * (prepared.steps as usize + 1 + MOST_STEPS)
    }

    pub fn new(prepared: &Prepared) -> Self {
        let width = prepared.choices.len();
        let ports = (0..prepared.ports).chain([NO_PORT]);
        let promised = ports.map(|port| Promised {
            port,
            nearest: prepared.choices.iter().map(|c| prepared.move_steps(c.target, port, c, 0)).collect(),
            worth: vec![NEVER; width],
            order: (0..width as u32).collect(),
        });
        let cells = Self::cells(prepared);
        Self {
            width,
            row: prepared.steps as usize + 1 + MOST_STEPS,
            chunks: chunks(prepared),
            gain: vec![NEVER; cells],
            from: vec![NEVER; cells],
            ahead: vec![0; cells],
            promised: promised.collect(),
            most_followers: width,
            work: 0,
        }
    }

    #[inline]
    pub fn gain(&self, c: usize, start: u32) -> i32 {
        self.gain[c * self.row + start as usize]
    }

    #[inline]
    pub fn ahead(&self, c: usize, end: u32) -> i32 {
        self.ahead[c * self.row + end as usize]
    }

    /// The most from a choice started at a step or later.
    #[inline]
    pub fn from(&self, c: usize, step: u32) -> i32 {
        self.from[c * self.row + step as usize]
    }

    /// The same, by step from one on.
    #[inline]
    pub fn row_from(&self, c: usize, step: u32) -> &[i32] {
        &self.from[c * self.row + step as usize..(c + 1) * self.row]
    }

    /// Takes in prices; the tables are to be filled anew, from the last chunk to the first.
    pub fn set_prices(&mut self, prepared: &Prepared, prices: &Prices, kept: &KeptWishes, open: &Open) {
        let mut gains: Vec<Vec<i32>> = vec![Vec::new(); prepared.factors.len()];
        for (c, choice) in prepared.choices.iter().enumerate() {
            let gains = &mut gains[choice.kind as usize];
            for value in gains.len() as u32..=choice.best {
                gains.push(prices.best_rank(prepared, choice.kind, value).0);
            }
            let broken = choice.breaks_pin && kept.pinned[choice.target as usize];
            let own = prices.port(choice.port) - prices.target(choice.target);
            let values = prepared.row(c);
            for start in open.window(c) {
                let gain = if broken || !open.may_start(c, start) {
                    NEVER
                } else {
                    gains[values[(start - choice.first) as usize] as usize] + own
                };
                self.gain[c * self.row + start as usize] = gain;
            }
        }
    }

    /// Fills the tables over a chunk; those after it are filled.
    pub fn solve(&mut self, prepared: &Prepared, prices: &Prices, open: &Open, chunk: usize) {
        let steps = self.chunks[chunk].clone();
        self.begin(prepared, open, &steps);
        if open.moves().is_none() {
            self.promise(prepared, prices, steps.start);
        }
        let position = prepared.position(steps.start);
        let len = steps.len();
        self.work += COUNTS_A_CHOICE * self.width as u64;
        for (c, here) in prepared.choices.iter().enumerate() {
            if !open.may_end(here, c, &steps) {
                continue;
            }
            let mut best = [0; MOST_STEPS];
            if let Some(moves) = open.moves() {
                let moves = moves.of(chunk, c);
                self.work += moves.len() as u64;
                for Move { to, steps: ready } in moves {
                    let cost = cost(prepared, prices, Some(c), usize::from(*to));
                    self.follow(&mut best[..len], (*to as usize, steps.start + u32::from(*ready)), cost);
                }
            } else {
                let promised = &self.promised[here.port as usize];
                let leaving = prepared.leaving(here.target, here.port, position);
                let mut seen = 0;
                for to in promised.order.iter().take(self.most_followers) {
                    let to = *to as usize;
                    // What follows is worth the less the later.
                    if promised.worth[to] <= best[len - 1] {
                        break;
                    }
                    seen += 1;
                    let next = &prepared.choices[to];
                    let ready = steps.start + leaving.steps(next);
                    if next.target != here.target && ready <= prepared.steps {
                        self.follow(&mut best[..len], (to, ready), cost(prepared, prices, Some(c), to));
                    }
                }
                self.work += 2 * seen;
            }
            let row = c * self.row + steps.start as usize;
            self.ahead[row..row + len].copy_from_slice(&best[..len]);
        }
    }

    /// Betters what follows the ends in a chunk by a choice that is ready at a step after the first of them.
    #[inline]
    fn follow(&self, best: &mut [i32], (to, ready): (usize, u32), cost: i32) {
        let at = to * self.row + ready as usize;
        let from = &self.from[at..][..best.len()];
        // The later, the less both are worth.
        if from[0] - cost <= best[best.len() - 1] {
            return;
        }
        for (best, from) in best.iter_mut().zip(from) {
            *best = (*best).max(*from - cost);
        }
    }

    /// What each choice is worth when it begins in the chunk or later.
    fn begin(&mut self, prepared: &Prepared, open: &Open, steps: &Range<u32>) {
        for (c, choice) in prepared.choices.iter().enumerate() {
            let row = c * self.row;
            let window = open.window(c);
            let mut best =
                if steps.end > prepared.steps { NEVER } else { self.from[row + steps.end as usize] };
            for start in steps.clone().rev() {
                if window.contains(&start) {
                    let gain = self.gain[row + start as usize];
                    if gain > NEVER {
                        best = best.max(gain + self.ahead[row + (start + choice.duration) as usize]);
                    }
                }
                self.from[row + start as usize] = best;
            }
        }
    }

    /// Puts the choices in the order of what they promise from a step on.
    pub fn promise(&mut self, prepared: &Prepared, prices: &Prices, step: u32) {
        for promised in &mut self.promised {
            for (c, choice) in prepared.choices.iter().enumerate() {
                let ready = step + promised.nearest[c];
                promised.worth[c] = if ready > prepared.steps {
                    NEVER
                } else {
                    self.from[c * self.row + ready as usize] - port_cost(prices, promised.port, choice)
                };
            }
            // Nearly in order from the chunk before.
            promised.order.sort_by_key(|c| Reverse(promised.worth[*c as usize]));
        }
    }

    /// What was put in order last for the choices that can follow on a port.
    pub fn promised(&self, port: u32) -> &Promised {
        self.promised.get(port as usize).unwrap_or(&self.promised[self.promised.len() - 1])
    }

    /// The best that can follow when a place is left at a step: its worth, and when which choice is ready.
    fn next(
        &self,
        prepared: &Prepared,
        prices: &Prices,
        open: &Open,
        (from, leave): (Option<usize>, u32),
    ) -> (i32, Option<(usize, u32)>) {
        let (target, _) = prepared.stands(from);
        let mut best = (0, None);
        for (c, next) in prepared.choices.iter().enumerate() {
            let ready = leave + prepared.travel(from, c, leave);
            if next.target != target && ready <= prepared.steps {
                let worth = self.from(c, ready) - cost(prepared, prices, from, c);
                if worth > best.0 && from.is_none_or(|from| open.may_follow(self.chunk(leave), from, c)) {
                    best = (worth, Some((c, ready)));
                }
            }
        }
        best
    }

    /// The chunk of a step.
    pub fn chunk(&self, step: u32) -> usize {
        self.chunks.partition_point(|steps| steps.end <= step)
    }

    /// The best priced order of the filled tables and what it is worth.
    pub fn best_order(&self, prepared: &Prepared, prices: &Prices, open: &Open) -> (i64, Vec<Stop>) {
        let mut stops = Vec::new();
        let (total, mut next) = self.next(prepared, prices, open, (None, prepared.start_step));
        while let Some((c, ready)) = next {
            let duration = prepared.choices[c].duration;
            let worth = |start: u32| self.gain(c, start).saturating_add(self.ahead(c, start + duration));
            let window = open.window(c);
            let mut starts = ready.max(window.start)..window.end;
            let Some(start) = starts.find(|start| worth(*start) == self.from(c, ready)) else { break };
            stops.push(Stop { choice: c as u32, start });
            next = self.next(prepared, prices, open, (Some(c), start + duration)).1;
        }
        (i64::from(total), stops)
    }
}

/// What it costs to go on to a choice from another (`None` for the start): a change of port and what is lost in a row.
#[inline]
pub(super) fn cost(prepared: &Prepared, prices: &Prices, from: Option<usize>, to: usize) -> i32 {
    let (_, port) = prepared.stands(from);
    port_cost(prices, port, &prepared.choices[to]) + prepared.loss(from, to).cast_signed() * prices.scale
}

/// What the change of port costs.
#[inline]
fn port_cost(prices: &Prices, port: u32, next: &Choice) -> i32 {
    if port == NO_PORT || port == next.port { 0 } else { prices.change() }
}

/// Cuts the evening where positions change and so short that nothing starts and ends in a chunk.
fn chunks(prepared: &Prepared) -> Vec<Range<u32>> {
    let shortest = prepared.choices.iter().map(|c| c.duration).min().unwrap_or(1);
    let most = shortest.min(MOST_STEPS as u32);
    let mut chunks = Vec::new();
    let mut start = prepared.start_step;
    while start <= prepared.steps {
        let mut end = start + 1;
        while end - start < most
            && end <= prepared.steps
            && prepared.position(end) == prepared.position(start)
        {
            end += 1;
        }
        chunks.push(start..end);
        start = end;
    }
    chunks
}
