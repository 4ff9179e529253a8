//! When the stops of an order best start: values carried forward and backward through it, exact for its ranks.
//!
//! With both at hand, what a stop put between two others is worth follows without laying the order anew.

use super::kinds::Ranks;
use super::prepared::{Prepared, Stop};

/// Less than any value.
pub(super) const NEVER: i32 = i32::MIN / 4;

/// Values over a range of steps.
#[derive(Clone, Debug, Default)]
pub(super) struct Span {
    pub first: u32,
    values: Vec<i32>,
}

impl Span {
    fn reset(&mut self, first: u32, last: u32) {
        self.first = first;
        self.values.clear();
        if last >= first {
            self.values.resize((last - first + 1) as usize, NEVER);
        }
    }

    #[inline]
    pub fn last(&self) -> u32 {
        self.first + self.values.len() as u32 - 1
    }

    /// For values that rise: nothing before the range, the last beyond it.
    #[inline]
    pub fn rising(&self, step: u32) -> i32 {
        if step < self.first {
            NEVER
        } else {
            self.values[((step - self.first) as usize).min(self.values.len() - 1)]
        }
    }

    /// For values that fall: the first before the range, nothing beyond it.
    #[inline]
    pub fn falling(&self, step: u32) -> i32 {
        self.values.get(step.saturating_sub(self.first) as usize).copied().unwrap_or(NEVER)
    }

    /// Its first value.
    pub fn start(&self) -> i32 {
        self.values.first().copied().unwrap_or(NEVER)
    }

    /// Its last value.
    pub fn end(&self) -> i32 {
        self.values.last().copied().unwrap_or(NEVER)
    }
}

/// The values of an order, forward and backward.
#[derive(Clone, Debug, Default)]
pub(super) struct Timing {
    /// `until[i]`: best of the stops before `i`, by the step at which the last of them has ended.
    pub until: Vec<Span>,
    /// `after[i]`: best of the stops from `i` on, when `i` starts at a step or later; without what is lost before `i`.
    pub after: Vec<Span>,
    /// The most that the order is worth.
    pub total: i32,
    ranks: Ranks,
    /// Work done.
    pub work: u64,
}

impl Timing {
    /// Gives an order the starts that are best for its ranks, and again for the ranks that follow from them; `false`
    /// where its stops can't stand in this order.
    pub fn settle(&mut self, prepared: &Prepared, stops: &mut [Stop]) -> bool {
        for round in 0..3 {
            if !self.ranks.set(prepared, stops) && round > 0 {
                break;
            }
            if !self.latest(prepared, stops) || !self.forward(prepared, stops) || !self.take(prepared, stops)
            {
                return false;
            }
        }
        true
    }

    /// Leaves the latest start of each stop in `after[i].first`.
    fn latest(&mut self, prepared: &Prepared, stops: &[Stop]) -> bool {
        let n = stops.len();
        if self.until.len() < n + 1 {
            self.until.resize_with(n + 1, Span::default);
            self.after.resize_with(n + 1, Span::default);
        }
        let mut limit = prepared.steps + 1;
        for i in (0..n).rev() {
            let c = stops[i].choice as usize;
            let choice = &prepared.choices[c];
            let mut t = choice.last;
            if let Some(next) = stops.get(i + 1) {
                let next = &prepared.choices[next.choice as usize];
                // The move's length depends on when it begins: a few rounds find when it must.
                let mut leave = limit;
                for _ in 0..3 {
                    let steps =
                        prepared.move_steps(choice.target, choice.port, next, prepared.position(leave));
                    let new = limit.saturating_sub(steps);
                    if new == leave {
                        break;
                    }
                    leave = new;
                }
                if leave < choice.first + choice.duration {
                    return false;
                }
                t = t.min(leave - choice.duration);
            }
            let row = prepared.row(c);
            while row[(t - choice.first) as usize] == 0 {
                if t == choice.first {
                    return false;
                }
                t -= 1;
            }
            limit = t;
            self.after[i].first = t;
        }
        true
    }

    fn forward(&mut self, prepared: &Prepared, stops: &[Stop]) -> bool {
        self.until[0].reset(prepared.start_step, prepared.start_step);
        self.until[0].values[0] = 0;
        let mut from = None;
        let mut work = 0;
        for (i, stop) in stops.iter().enumerate() {
            let c = stop.choice as usize;
            let choice = &prepared.choices[c];
            let latest = self.after[i].first;
            let (head, tail) = self.until.split_at_mut(i + 1);
            let (until, out) = (&head[i], &mut tail[0]);
            let ready = until.first + prepared.travel(from, c, until.first);
            let Some(first) = prepared.next_start(c, ready).filter(|t| *t <= latest) else { return false };
            out.reset(first + choice.duration, latest + choice.duration);
            let row = &prepared.row(c)[(first - choice.first) as usize..];
            let factor = self.ranks.factors[i];
            let loss = prepared.loss(from, c).cast_signed();
            let until_last = until.last();
            let mut best = NEVER;
            let mut steps = prepared.travel(from, c, until.first);
            // From this start on the telescope leaves at another position.
            let mut next_position = first;
            for ((t, value), out) in (first..=latest).zip(row).zip(&mut out.values) {
                if *value > 0 {
                    if t >= next_position {
                        let leave = t.saturating_sub(steps).min(until_last);
                        steps = prepared.travel(from, c, leave);
                        next_position = prepared.position_end(leave).saturating_add(steps);
                    }
                    let gain = i32::from(*value) * factor / 1000 - loss;
                    best = best.max(until.rising(t.saturating_sub(steps)) + gain);
                }
                *out = best;
            }
            work += u64::from(latest - first + 4);
            self.after[i].reset(first, latest);
            from = Some(c);
        }
        self.total = self.until[stops.len()].end();
        self.backward(prepared, stops);
        self.work += work / 2;
        true
    }

    fn backward(&mut self, prepared: &Prepared, stops: &[Stop]) {
        let n = stops.len();
        self.after[n].reset(0, prepared.steps + 1);
        self.after[n].values.fill(0);
        for (i, stop) in stops.iter().enumerate().rev() {
            let c = stop.choice as usize;
            let choice = &prepared.choices[c];
            let next_choice = stops.get(i + 1).map(|next| &prepared.choices[next.choice as usize]);
            let (head, tail) = self.after.split_at_mut(i + 1);
            let (out, next) = (&mut head[i], &tail[0]);
            let (first, last) = (out.first, out.last());
            let row = &prepared.row(c)[(first - choice.first) as usize..=(last - choice.first) as usize];
            let factor = self.ranks.factors[i];
            let loss = stops.get(i + 1).map_or(0, |next| prepared.loss(Some(c), next.choice as usize));
            let mut best = NEVER;
            // The move to the next stop takes so long from this end on.
            let (mut position_start, mut steps) = (u32::MAX, 0);
            for ((out, value), t) in out.values.iter_mut().zip(row).rev().zip((first..=last).rev()) {
                if *value > 0 {
                    let follows = next_choice.map_or(0, |next_choice| {
                        let end = t + choice.duration;
                        if end < position_start {
                            let here = prepared.position(end);
                            position_start = prepared.position_start(here);
                            steps = prepared.move_steps(choice.target, choice.port, next_choice, here);
                        }
                        next.falling(end + steps)
                    });
                    if follows > NEVER {
                        best = best.max(follows + i32::from(*value) * factor / 1000 - loss.cast_signed());
                    }
                }
                *out = best;
            }
        }
    }

    /// Gives each stop the latest of its best starts.
    fn take(&mut self, prepared: &Prepared, stops: &mut [Stop]) -> bool {
        let (mut leave, mut from) = (prepared.start_step, None);
        for (stop, after) in stops.iter_mut().zip(&self.after) {
            let c = stop.choice as usize;
            let ready = (leave + prepared.travel(from, c, leave)).max(after.first);
            let most = after.falling(ready);
            if most <= NEVER {
                return false;
            }
            let mut start = ready;
            while after.falling(start + 1) == most {
                start += 1;
            }
            stop.start = start;
            leave = start + prepared.choices[c].duration;
            from = Some(c);
        }
        true
    }
}
