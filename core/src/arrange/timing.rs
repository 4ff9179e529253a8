//! When the stops of an order best start: values carried forward and backward through it.
//!
//! With both at hand, what a stop put between two others is worth follows without laying the order anew.

use super::kinds::Ranks;
use super::moves::Moves;
use super::prepared::{Prepared, Stop};

/// Less than any value, and still so with the gains of a whole evening: what is less than half of it is never.
pub(super) const NEVER: i32 = i32::MIN / 4;

/// The values of a settled order reach so many steps beyond what its stops can use now: as far as they can be pushed
/// when others are taken out.
const REACH: u32 = 40;

/// Values over a range of steps.
#[derive(Debug, Default)]
pub(super) struct Span {
    pub first: u32,
    values: Vec<i32>,
}

impl Clone for Span {
    fn clone(&self) -> Self {
        Self { first: self.first, values: self.values.clone() }
    }

    fn clone_from(&mut self, other: &Self) {
        self.first = other.first;
        self.values.clone_from(&other.values);
    }
}

impl Span {
    /// One value over a range.
    pub fn level(first: u32, last: u32, value: i32) -> Self {
        Self { first, values: vec![value; (last - first + 1) as usize] }
    }

    /// Takes a range; what its values are is still to be said.
    pub fn reset(&mut self, first: u32, last: u32) {
        self.first = first;
        self.values.resize((last + 1).saturating_sub(first) as usize, NEVER);
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

/// The values of an order whose stops have their best starts.
#[derive(Clone, Debug, Default)]
pub(super) struct Timing {
    /// `until[i]`: best of the stops before `i`, by the step at which the last of them has ended.
    pub until: Vec<Span>,
    /// `after[k]`: best of the last `k` stops, when the first of them starts at a step or later; without what is lost
    /// before it.
    pub after: Vec<Span>,
    /// What each stop counts, in thousandths.
    pub factors: Vec<i32>,
    ranks: Ranks,
    /// Work done.
    pub work: u64,
}

impl Timing {
    /// Gives an order the starts that are best for its ranks, and again for the ranks that follow from them; `false`
    /// where its stops can't stand in this order.
    pub fn settle(&mut self, prepared: &Prepared, moves: &mut Moves, stops: &mut [Stop]) -> bool {
        for round in 0..3 {
            if !self.ranks.set(prepared, stops, &mut self.factors) && round > 0 {
                break;
            }
            if !self.run(prepared, moves, stops) || !self.take(prepared, moves, stops) {
                return false;
            }
        }
        true
    }

    fn run(&mut self, prepared: &Prepared, moves: &mut Moves, stops: &[Stop]) -> bool {
        let n = stops.len();
        if self.until.len() < n + 1 {
            self.until.resize_with(n + 1, Span::default);
            self.after.resize_with(n + 1, Span::default);
        }
        self.until[0].clone_from(&prepared.open_until);
        self.after[0].clone_from(&prepared.open_after);
        let (mut next, mut limit) = (None, self.after[0].last());
        for (k, stop) in (1..).zip(stops.iter().rev()) {
            let c = stop.choice as usize;
            let Some(latest) = latest_start((prepared, moves), c, next, limit) else { return false };
            self.after[k].first = latest;
            (next, limit) = (Some(c), latest);
        }
        let mut from = None;
        for (i, stop) in stops.iter().enumerate() {
            let c = stop.choice as usize;
            let latest = self.after[n - i].first;
            let (head, tail) = self.until.split_at_mut(i + 1);
            let (until, out) = (&head[i], &mut tail[0]);
            let step = Step { prepared, c, factor: self.factors[i] };
            let Some(first) = step.carry_forward(moves, from, until, (latest, REACH), out) else {
                return false;
            };
            let earliest = first.min(latest.saturating_sub(REACH).max(prepared.choices[c].first));
            self.after[n - i].reset(earliest, latest);
            self.work += u64::from(latest - earliest + 4) / 2;
            from = Some(c);
        }
        let mut next = None;
        for (k, stop) in (1..).zip(stops.iter().rev()) {
            let c = stop.choice as usize;
            let (head, tail) = self.after.split_at_mut(k);
            let step = Step { prepared, c, factor: self.factors[n - k] };
            step.carry_back(moves, next, &head[k - 1], &mut tail[0]);
            next = Some(c);
        }
        true
    }

    /// Gives each stop the latest of its best starts.
    fn take(&mut self, prepared: &Prepared, moves: &mut Moves, stops: &mut [Stop]) -> bool {
        let (mut leave, mut from) = (prepared.start_step, None);
        let n = stops.len();
        for (stop, after) in stops.iter_mut().zip(self.after[..=n].iter().rev()) {
            let c = stop.choice as usize;
            let ready = leave + moves.between(prepared, from, c).steps(prepared.position(leave));
            let ready = ready.max(after.first);
            let most = after.falling(ready);
            if most < NEVER / 2 {
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

/// The latest start of a choice after which another can still start by a limit.
pub(super) fn latest_start(
    (prepared, moves): (&Prepared, &mut Moves),
    c: usize,
    next: Option<usize>,
    limit: u32,
) -> Option<u32> {
    let choice = &prepared.choices[c];
    let mut t = choice.last;
    if let Some(next) = next {
        let mut moves = moves.between(prepared, Some(c), next);
        // The move's length depends on when it begins: a few rounds find when it must.
        let mut leave = limit;
        for _ in 0..3 {
            let steps = moves.steps(prepared.position(leave));
            let new = limit.saturating_sub(steps);
            if new == leave {
                break;
            }
            leave = new;
        }
        t = t.min(leave.checked_sub(choice.duration).filter(|t| *t >= choice.first)?);
    }
    let row = &prepared.row(c)[..=(t - choice.first) as usize];
    row.iter().rposition(|value| *value > 0).map(|n| choice.first + n as u32)
}

/// A stop through which values are carried.
#[derive(Clone, Copy)]
pub(super) struct Step<'a> {
    pub prepared: &'a Prepared,
    pub c: usize,
    /// What it counts, in thousandths.
    pub factor: i32,
}

impl Step<'_> {
    /// The best with this stop, by the step at which it has ended, for starts up to `latest` and `reach` steps from the
    /// first, which is given back; `None` where that is later than `latest`.
    pub fn carry_forward(
        self,
        moves: &mut Moves,
        from: Option<usize>,
        until: &Span,
        (latest, reach): (u32, u32),
        out: &mut Span,
    ) -> Option<u32> {
        let Self { prepared, c, factor } = self;
        let choice = &prepared.choices[c];
        let mut moves = moves.between(prepared, from, c);
        let mut position = prepared.position(until.first);
        let mut steps = moves.steps(position);
        let first = prepared.next_start(c, until.first + steps).filter(|t| *t <= latest)?;
        let last = latest.max((first + reach).min(choice.last));
        out.reset(first + choice.duration, last + choice.duration);
        let row = &prepared.row(c)[(first - choice.first) as usize..];
        write_gains(&mut out.values, row, factor, prepared.loss(from, c).cast_signed());
        let until_last = until.last();
        let mut best = NEVER;
        let mut t = first;
        while t <= last {
            let leave = t.saturating_sub(steps).clamp(until.first, until_last);
            if prepared.position(leave) != position {
                position = prepared.position(leave);
                steps = moves.steps(position);
            }
            // Up to the end the move takes as long, mostly from several positions.
            let mut end = last + 1;
            let mut onward = prepared.position_start(position + 1);
            while leave < until_last && onward <= until_last && onward + steps <= last {
                let next_position = prepared.position(onward);
                if next_position != position {
                    let next_steps = moves.steps(next_position);
                    if next_steps != steps {
                        end = (onward + steps).max(t + 1);
                        break;
                    }
                    position = next_position;
                }
                onward += prepared.position_length();
            }
            let cells = (t - first) as usize..(end - first) as usize;
            best = rise(&mut out.values[cells], until, t, steps, best);
            t = end;
        }
        Some(first)
    }

    /// The best from this stop on, by the step at which it starts, over the range of `out`.
    pub fn carry_back(self, moves: &mut Moves, next: Option<usize>, after: &Span, out: &mut Span) {
        let Self { prepared, c, factor } = self;
        let choice = &prepared.choices[c];
        let (first, last) = (out.first, out.last());
        let row = &prepared.row(c)[(first - choice.first) as usize..=(last - choice.first) as usize];
        let loss = next.map_or(0, |next| prepared.loss(Some(c), next)).cast_signed();
        write_gains(&mut out.values, row, factor, loss);
        let Some(next) = next else {
            fall(&mut out.values, after, first + choice.duration, NEVER);
            return;
        };
        let mut moves = moves.between(prepared, Some(c), next);
        let mut best = NEVER;
        let mut past = last + 1;
        let mut position = prepared.position(last + choice.duration);
        let mut steps = moves.steps(position);
        while past > first {
            // Down to there the move takes as long, mostly from several positions.
            let mut from = prepared.position_start(position).saturating_sub(choice.duration).max(first);
            let mut next_steps = steps;
            while from > first {
                position -= 1;
                next_steps = moves.steps(position);
                if next_steps != steps {
                    break;
                }
                from = prepared.position_start(position).saturating_sub(choice.duration).max(first);
            }
            let cells = (from - first) as usize..(past - first) as usize;
            best = fall(&mut out.values[cells], after, from + choice.duration + steps, best);
            (past, steps) = (from, next_steps);
        }
    }
}

/// Writes what a stop's values count at a factor, less a loss.
#[inline]
fn write_gains(out: &mut [i32], row: &[u16], factor: i32, loss: i32) {
    if factor == 1000 {
        for (out, value) in out.iter_mut().zip(row) {
            *out = if *value == 0 { NEVER } else { i32::from(*value) - loss };
        }
        return;
    }
    let factor = u32::from(factor as u16);
    for (out, value) in out.iter_mut().zip(row) {
        let counts = (u32::from(*value) * factor / 1000).cast_signed() - loss;
        *out = if *value == 0 { NEVER } else { counts };
    }
}

/// Turns the gains of starts from step `t` on, before which the move takes so many steps, into the best so far.
#[inline]
fn rise(out: &mut [i32], until: &Span, t: u32, steps: u32, mut best: i32) -> i32 {
    // Steps before the first that can be left at are not reached.
    let wait = (until.first + steps).saturating_sub(t).min(out.len() as u32) as usize;
    out[..wait].fill(best);
    let out = &mut out[wait..];
    let known = (t + wait as u32).saturating_sub(steps + until.first) as usize;
    let known = &until.values[known.min(until.values.len() - 1)..];
    let both = out.len().min(known.len());
    let (within, beyond) = out.split_at_mut(both);
    for (out, until) in within.iter_mut().zip(known) {
        best = best.max(until + *out);
        *out = best;
    }
    let level = until.end();
    for out in beyond {
        best = best.max(level + *out);
        *out = best;
    }
    best
}

/// Turns the gains of starts into the best of each or later ones, where the next stop is reached from step `end` on.
#[inline]
fn fall(out: &mut [i32], after: &Span, end: u32, mut best: i32) -> i32 {
    let level = after.start();
    // Before the range of `after` its first value holds, beyond it nothing.
    let before = after.first.saturating_sub(end).min(out.len() as u32) as usize;
    let known = &after.values[(end.saturating_sub(after.first) as usize).min(after.values.len())..];
    let both = (out.len() - before).min(known.len());
    out[before + both..].fill(best);
    let (early, within) = out[..before + both].split_at_mut(before);
    for (out, after) in within.iter_mut().zip(known).rev() {
        best = best.max(after + *out);
        *out = best;
    }
    for out in early.iter_mut().rev() {
        best = best.max(level + *out);
        *out = best;
    }
    best
}
