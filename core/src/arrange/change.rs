//! What a trial begins with: some stops of the order at hand taken out, moved or laid anew.

use std::mem::take;

use super::search::Search;

/// In one of so many trials a part is laid anew by the beam of `relay`, which finds what no single insertion gains.
const LAID_ANEW_EVERY: usize = 5;

impl Search {
    /// Takes out, moves or lays anew some stops of the order at hand; `false` where the rest can't stand so.
    pub(super) fn change(&mut self) -> bool {
        let n = self.here.stops.len();
        if n > 1 && self.dice.below(LAID_ANEW_EVERY) == 0 {
            let count = 1 + self.dice.below(6.min(n));
            let at = self.dice.below(n + 1 - count);
            return self.lay_anew(at, at + count);
        }
        if n == 0 {
            self.trial.begin(&self.here);
            return self.trial.run(&self.prepared, &mut self.moves, &self.here);
        }
        match self.dice.below(10) {
            0..=5 => {
                let count = 1 + self.dice.below(3.min(n));
                let at = self.dice.below(n + 1 - count);
                self.take_out(at, at + count);
            }
            6 => {
                let (from, to) = self.run_on_a_port();
                self.take_out(from, to);
            }
            7 => {
                self.trial.begin(&self.here);
                for _ in 0..=self.dice.below(3.min(n)) {
                    let at = self.dice.below(self.trial.stops.len());
                    self.trial.take(&self.prepared, at);
                }
            }
            8 if n > 1 => {
                let at = self.dice.below(n - 1);
                self.trial.begin(&self.here);
                self.trial.shift(at, at + 1);
            }
            _ => {
                let (from, to) = (self.dice.below(n), self.dice.below(n));
                self.trial.begin(&self.here);
                self.trial.shift(from, to);
            }
        }
        self.trial.run(&self.prepared, &mut self.moves, &self.here)
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

    fn take_out(&mut self, from: usize, to: usize) {
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
