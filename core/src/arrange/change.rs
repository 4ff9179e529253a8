//! What a trial begins with: some stops of the order at hand taken out, moved or laid anew.

use std::mem::take;

use super::search::Search;

/// Stops laid anew by the beam of `relay`, which finds what no single insertion gains, at most.
const MOST_LAID_ANEW: usize = 6;
/// Stops taken out one beside another, and here and there, at most.
const MOST_TAKEN_OUT: usize = 3;

#[derive(Clone, Copy, Debug)]
enum Change {
    LayAnew,
    Exchange,
    TakeNeighbours,
    TakeRunOnAPort,
    TakeHereAndThere,
    SwapNeighbours,
    Move,
}

/// How often each is tried, against the sum of all: the more, the more it gained for its work on evenings of 20 to 300
/// targets.
const SHARES: [(usize, Change); 7] = [
    (16, Change::TakeHereAndThere),
    (14, Change::TakeNeighbours),
    (8, Change::Move),
    (6, Change::LayAnew),
    (3, Change::Exchange),
    (3, Change::SwapNeighbours),
    (1, Change::TakeRunOnAPort),
];

impl Search {
    /// Takes out, moves or lays anew some stops of the order at hand; `false` where the rest can't stand so.
    pub(super) fn change(&mut self) -> bool {
        let n = self.here.stops.len();
        match self.draw_change() {
            _ if n == 0 => self.trial.begin(&self.here),
            Change::LayAnew => {
                let count = 1 + self.dice.below(MOST_LAID_ANEW.min(n));
                let at = self.dice.below(n + 1 - count);
                return self.lay_anew(at, at + count);
            }
            Change::Exchange if n > 1 => return self.exchange(),
            Change::SwapNeighbours if n > 1 => {
                let at = self.dice.below(n - 1);
                self.trial.begin(&self.here);
                self.trial.shift(at, at + 1);
            }
            Change::Exchange | Change::SwapNeighbours | Change::TakeNeighbours => {
                let count = 1 + self.dice.below(MOST_TAKEN_OUT.min(n));
                let at = self.dice.below(n + 1 - count);
                self.take_out(at, at + count);
            }
            Change::TakeRunOnAPort => {
                let (from, to) = self.run_on_a_port();
                self.take_out(from, to);
            }
            Change::TakeHereAndThere => {
                self.trial.begin(&self.here);
                for _ in 0..=self.dice.below(MOST_TAKEN_OUT.min(n)) {
                    let at = self.dice.below(self.trial.stops.len());
                    self.trial.take(&self.prepared, at);
                }
            }
            Change::Move => {
                let (from, to) = (self.dice.below(n), self.dice.below(n));
                self.trial.begin(&self.here);
                self.trial.shift(from, to);
            }
        }
        self.trial.run(&self.prepared, &mut self.moves, &self.here)
    }

    fn draw_change(&mut self) -> Change {
        let lot = self.dice.below(SHARES.iter().map(|(share, _)| share).sum());
        let mut upto = 0;
        let drawn = SHARES.iter().find(|(share, _)| {
            upto += share;
            lot < upto
        });
        drawn.map_or(SHARES[0].1, |(_, change)| *change)
    }

    fn lay_anew(&mut self, from: usize, to: usize) -> bool {
        self.take_out(from, to);
        let noise = if self.dice.below(3) == 0 { 0.0 } else { 0.4 };
        let mut laid = take(&mut self.laid);
        let able = self.relay(from, to, noise, &mut laid);
        let was = self.here.stops[from..to].iter().map(|stop| stop.choice);
        let same = laid.iter().map(|stop| stop.choice).eq(was);
        if able && !same {
            for (i, stop) in laid.iter().enumerate() {
                self.trial.put(&self.prepared, from + i, *stop);
            }
        }
        self.laid = laid;
        able && !same && self.trial.run(&self.prepared, &mut self.moves, &self.here)
    }

    pub(super) fn take_out(&mut self, from: usize, to: usize) {
        self.trial.begin(&self.here);
        (from..to).for_each(|_| self.trial.take(&self.prepared, from));
    }

    /// Stops that follow one another on one port, up to nine.
    fn run_on_a_port(&mut self) -> (usize, usize) {
        let stops = &self.here.stops;
        let port = |i: usize| self.prepared.choices[stops[i].choice as usize].port;
        let at = self.dice.below(stops.len());
        let mut from = at;
        while from > 0 && port(from - 1) == port(at) && at - from < 4 {
            from -= 1;
        }
        let mut to = at + 1;
        while to < stops.len() && port(to) == port(at) && to - at < 4 {
            to += 1;
        }
        (from, to)
    }
}
