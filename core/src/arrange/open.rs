//! What can still be part of an order better than the best known; the rest is closed for good.
//!
//! Reduced-cost fixing: the best priced order through a start or a move is worth at least as much as any order through
//! it that keeps the rules. Where that is no more than the best known, nothing better goes through there (Irnich,
//! Desaulniers, Desrosiers & Hadjar 2010, *Path-reduced costs for eliminating arcs in routing and scheduling*, INFORMS
//! Journal on Computing 22, 297).

use std::ops::Range;

use super::fork::Side;
use super::prepared::{Choice, Prepared};
use super::prices::Prices;
use super::relaxed::{MOST_STEPS, Relaxed, cost};
use super::timing::NEVER;

/// Most moves listed; while there are more, they are found anew each time.
const MOST_MOVES: usize = 3_000_000;

/// A move from a choice that ends in a chunk.
#[derive(Clone, Copy, Debug)]
pub(super) struct Move {
    pub to: u16,
    /// From leaving to being ready.
    pub steps: u16,
}

/// Moves by chunk and choice.
#[derive(Clone, Debug, Default)]
pub(super) struct Moves {
    width: usize,
    all: Vec<Move>,
    /// Where those of each chunk and choice begin, and the end.
    first: Vec<u32>,
}

impl Moves {
    pub fn of(&self, chunk: usize, from: usize) -> &[Move] {
        let at = chunk * self.width + from;
        &self.all[self.first[at] as usize..self.first[at + 1] as usize]
    }

    /// Keeps those, told by their chunk, that satisfy a condition.
    fn retain(&mut self, keep: impl Fn(usize, Move) -> bool) {
        let mut kept = 0;
        let mut begin = 0;
        for at in 1..self.first.len() {
            let end = self.first[at] as usize;
            for i in begin..end {
                if keep((at - 1) / self.width, self.all[i]) {
                    self.all[kept] = self.all[i];
                    kept += 1;
                }
            }
            begin = end;
            self.first[at] = kept as u32;
        }
        self.all.truncate(kept);
    }
}

/// Starts and moves that are still open.
#[derive(Clone, Debug)]
pub(super) struct Open {
    windows: Vec<Range<u32>>,
    row: usize,
    starts: Vec<bool>,
    moves: Option<Moves>,
}

impl Open {
    /// All that the problem lets be.
    pub fn new(prepared: &Prepared) -> Self {
        let row = prepared.steps as usize + 1;
        let mut starts = vec![false; prepared.choices.len() * row];
        for (c, choice) in prepared.choices.iter().enumerate() {
            for (value, start) in prepared.row(c).iter().zip(choice.first as usize..) {
                starts[c * row + start] = *value > 0;
            }
        }
        let windows = prepared.choices.iter().map(|c| c.first..c.last + 1).collect();
        Self { windows, row, starts, moves: None }
    }

    /// The steps between which a choice may start.
    #[inline]
    pub fn window(&self, c: usize) -> Range<u32> {
        self.windows[c].clone()
    }

    #[inline]
    pub fn may_start(&self, c: usize, start: u32) -> bool {
        self.starts[c * self.row + start as usize]
    }

    /// Whether a choice may end within some steps.
    #[inline]
    pub fn may_end(&self, choice: &Choice, c: usize, steps: &Range<u32>) -> bool {
        let window = &self.windows[c];
        window.start + choice.duration < steps.end
            && steps.start < window.end + choice.duration
            && !window.is_empty()
    }

    /// The moves that are open, once they are few.
    #[inline]
    pub fn moves(&self) -> Option<&Moves> {
        self.moves.as_ref()
    }

    /// Whether a choice may follow another that ends in a chunk.
    pub fn may_follow(&self, chunk: usize, from: usize, to: usize) -> bool {
        self.moves.as_ref().is_none_or(|moves| moves.of(chunk, from).iter().any(|m| m.to as usize == to))
    }

    /// Closes what can't be part of an order on one side of a fork, but for a wait of a whole stop.
    pub fn keep_to(&mut self, prepared: &Prepared, chunks: &[Range<u32>], side: Side) {
        let step = chunks[side.chunk].start;
        for (c, choice) in prepared.choices.iter().enumerate().filter(|(_, choice)| !side.holds(choice)) {
            let window = self.windows[c].clone();
            let first = window.start.max(step.saturating_sub(choice.duration));
            (first..window.end.min(step)).for_each(|start| self.close(c, start));
        }
        for c in 0..self.windows.len() {
            self.narrow(c);
        }
        if let Some(moves) = &mut self.moves {
            moves.retain(|chunk, onward| {
                let next = &prepared.choices[usize::from(onward.to)];
                let ready = chunks[chunk].start + u32::from(onward.steps);
                chunk >= side.chunk || side.holds(next) || ready + next.duration < step
            });
        }
    }

    fn close(&mut self, c: usize, start: u32) {
        self.starts[c * self.row + start as usize] = false;
    }

    fn narrow(&mut self, c: usize) {
        let open = |start: &u32| self.starts[c * self.row + *start as usize];
        let window = self.windows[c].clone();
        let first = window.clone().find(open);
        let last = window.rev().find(open);
        self.windows[c] = first.map_or(0, |t| t)..last.map_or(0, |t| t + 1);
    }
}

/// A walk forward through solved tables that closes what can't be part of an order worth a floor.
#[derive(Clone, Debug)]
pub(super) struct Closing {
    row: usize,
    /// By choice and step: the most before a choice that is ready by then.
    ready: Vec<i32>,
    floor: i32,
    moves: Option<Moves>,
}

impl Closing {
    /// `floor`: what the best priced order must at least be worth where something stays open.
    pub fn new(prepared: &Prepared, prices: &Prices, floor: i32) -> Self {
        let row = prepared.steps as usize + 1 + MOST_STEPS;
        let mut ready = vec![NEVER; prepared.choices.len() * row];
        for c in 0..prepared.choices.len() {
            let step = prepared.start_step + prepared.travel(None, c, prepared.start_step);
            if step <= prepared.steps {
                ready[c * row + step as usize] = -cost(prepared, prices, None, c);
            }
        }
        let moves = Moves { width: prepared.choices.len(), all: Vec::new(), first: vec![0] };
        Self { row, ready, floor, moves: Some(moves) }
    }

    /// Goes through a chunk; those before it have been gone through.
    pub fn go_through(
        &mut self,
        prepared: &Prepared,
        prices: &Prices,
        (relaxed, open): (&mut Relaxed, &mut Open),
        chunk: usize,
    ) {
        let steps = relaxed.chunks[chunk].clone();
        if open.moves().is_none() {
            relaxed.promise(prepared, prices, steps.start);
        }
        let position = prepared.position(steps.start);
        let mut seen = 0;
        for (c, here) in prepared.choices.iter().enumerate() {
            let mut until = [NEVER; MOST_STEPS];
            let until = &mut until[..steps.len()];
            let most = if open.may_end(here, c, &steps) {
                self.arrive(here, c, (relaxed, open), steps.start, until)
            } else {
                NEVER
            };
            if most > NEVER {
                if let Some(moves) = open.moves() {
                    for onward in moves.of(chunk, c) {
                        let cost = cost(prepared, prices, Some(c), usize::from(onward.to));
                        self.leave(relaxed, until, cost, steps.start, *onward);
                        seen += 1;
                    }
                } else {
                    let promised = relaxed.promised(here.port);
                    for to in &promised.order {
                        if most + promised.worth[*to as usize] < self.floor {
                            break;
                        }
                        seen += 2;
                        let next = &prepared.choices[*to as usize];
                        let moved = prepared.move_steps(here.target, here.port, next, position);
                        if next.target != here.target && steps.start + moved <= prepared.steps {
                            let onward = Move { to: *to as u16, steps: moved as u16 };
                            self.leave(
                                relaxed,
                                until,
                                cost(prepared, prices, Some(c), *to as usize),
                                steps.start,
                                onward,
                            );
                        }
                    }
                }
            }
            if let Some(moves) = &mut self.moves {
                moves.first.push(moves.all.len() as u32);
            }
        }
        relaxed.work += 2 * seen;
        for ready in self.ready.chunks_exact_mut(self.row) {
            let mut best =
                if steps.start == prepared.start_step { NEVER } else { ready[steps.start as usize - 1] };
            for ready in &mut ready[steps.start as usize..steps.end as usize] {
                best = best.max(*ready);
                *ready = best;
            }
        }
    }

    /// The most until the end of a choice at each step of a chunk, and of all of these.
    fn arrive(
        &self,
        here: &Choice,
        c: usize,
        (relaxed, open): (&Relaxed, &mut Open),
        first: u32,
        until: &mut [i32],
    ) -> i32 {
        let mut most = NEVER;
        let window = open.window(c);
        for (end, until) in (first..).zip(until) {
            let Some(start) = end.checked_sub(here.duration).filter(|start| window.contains(start)) else {
                continue;
            };
            let (ready, gain) = (self.ready[c * self.row + start as usize], relaxed.gain(c, start));
            if ready > NEVER / 2 && gain > NEVER && ready + gain + relaxed.ahead(c, end) >= self.floor {
                *until = ready + gain;
                most = most.max(*until);
            } else {
                open.close(c, start);
            }
        }
        most
    }

    /// Makes a choice ready after another, and keeps the move open where it may pay.
    fn leave(&mut self, relaxed: &Relaxed, until: &[i32], cost: i32, first: u32, onward: Move) {
        let mut may_pay = false;
        let ready = first + u32::from(onward.steps);
        let at = onward.to as usize * self.row + ready as usize;
        let from = relaxed.row_from(onward.to as usize, ready);
        for ((until, from), ready) in until.iter().zip(from).zip(&mut self.ready[at..]) {
            may_pay |= until - cost + from >= self.floor;
            *ready = (*ready).max(until - cost);
        }
        if may_pay && let Some(moves) = &mut self.moves {
            if moves.all.len() < MOST_MOVES {
                moves.all.push(onward);
            } else {
                self.moves = None;
            }
        }
    }

    /// Ends the walk: narrows the windows and lists the moves.
    pub fn finish(self, open: &mut Open) {
        for c in 0..open.windows.len() {
            open.narrow(c);
        }
        if self.moves.is_some() {
            open.moves = self.moves;
        }
    }
}
