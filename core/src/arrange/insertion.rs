//! Filling an order: the choice that gains most is put in where and when it gains most, until none gains.

use std::mem::take;

use super::prepared::{NO_PORT, Stop};
use super::search::Search;
use super::timing::NEVER;

/// How choices are weighed while an order is filled.
#[derive(Clone, Copy, Debug)]
pub(super) struct Weighing {
    /// Gains are raised by up to this share, at random.
    pub noise: f64,
    /// Whether a gain counts by the time it takes.
    pub dense: bool,
}

/// A choice that may be put in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate {
    choice: u32,
    /// What its gains are taken times.
    weight: f32,
    /// At least what it can gain, weighed: the more of its kind are in, the less it gains.
    promise: f32,
}

#[derive(Clone, Copy, Debug)]
struct Insertion {
    gap: usize,
    stop: Stop,
}

/// A gap between two stops of an order, and what it allows.
#[derive(Clone, Copy, Debug)]
pub(super) struct Gap {
    at: usize,
    before_choice: Option<usize>,
    before: (u32, u32),
    next: Option<u32>,
    /// First step at which it can be left for, and the latest at which the next stop can begin.
    begin: u32,
    latest: u32,
    /// The most that the two sides can be worth together, less what they are worth now.
    sides: i32,
    /// Changes of port more than now with a stop on another port than both sides' ports, on that before, that after.
    more_changes: [i32; 3],
}

impl Search {
    /// Puts in what gains most until nothing does; the order must be settled, and is afterwards.
    pub(super) fn fill(&mut self, stops: &mut Vec<Stop>, weighing: Weighing) {
        self.kinds.set(&self.prepared, stops.iter());
        let mut candidates = take(&mut self.candidates);
        let mut gaps = take(&mut self.gaps);
        self.list_candidates(weighing, &mut candidates);
        while let Some(put) = self.best_insertion(stops, weighing, &candidates, &mut gaps) {
            let mut trial = Vec::with_capacity(stops.len() + 1);
            trial.extend_from_slice(&stops[..put.gap]);
            trial.push(put.stop);
            trial.extend_from_slice(&stops[put.gap..]);
            if !self.timing.settle(&self.prepared, &mut trial) {
                break;
            }
            *stops = trial;
            self.kinds.set(&self.prepared, stops.iter());
        }
        self.candidates = candidates;
        self.gaps = gaps;
    }

    /// The choices that may gain, those that promise most first.
    fn list_candidates(&mut self, Weighing { noise, dense }: Weighing, candidates: &mut Vec<Candidate>) {
        candidates.clear();
        for (c, choice) in self.prepared.choices.iter().enumerate() {
            if self.kinds.shown[choice.target as usize] || (choice.breaks_pin && !self.may_break_pins) {
                continue;
            }
            let wished = choice.keeps_pin || self.prepared.min_stops[choice.port as usize] > 0;
            let most = self.kinds.adds(choice.kind, choice.best) + if wished { self.wish } else { 0 };
            if most > 0 {
                let mut weight = if noise > 0.0 { 1.0 + noise * self.dice.unit() } else { 1.0 };
                if dense {
                    weight *= f64::from(self.shortest) / f64::from(choice.duration);
                }
                let promise = f64::from(most) * weight;
                candidates.push(Candidate {
                    choice: c as u32,
                    weight: weight as f32,
                    promise: promise as f32,
                });
            }
        }
        candidates.sort_unstable_by(|a, b| b.promise.total_cmp(&a.promise).then(a.choice.cmp(&b.choice)));
    }

    fn list_gaps(&self, stops: &[Stop], gaps: &mut Vec<Gap>) {
        gaps.clear();
        for at in 0..=stops.len() {
            let (until, after) = (&self.timing.until[at], &self.timing.after[at]);
            let (begin, latest) = (until.first, after.last());
            if begin + 1 + self.shortest > latest {
                continue;
            }
            let before = at.checked_sub(1).map(|i| stops[i].choice as usize);
            let next = stops.get(at).map(|stop| stop.choice);
            let (target, port) = self.prepared.stands(before);
            let now = next.map_or(0, |next| self.prepared.changes(before, next as usize)).cast_signed();
            let (from_port, to_port) = (i32::from(port != NO_PORT), i32::from(next.is_some()));
            gaps.push(Gap {
                at,
                before_choice: before,
                before: (target, port),
                next,
                begin,
                latest,
                sides: until.end() + after.start() - self.timing.total,
                more_changes: [from_port + to_port - now, to_port - now, from_port - now],
            });
        }
    }

    fn best_insertion(
        &mut self,
        stops: &[Stop],
        weighing: Weighing,
        candidates: &[Candidate],
        gaps: &mut Vec<Gap>,
    ) -> Option<Insertion> {
        let mut changes = 0;
        let mut lacking: Vec<i64> = self.prepared.min_stops.iter().map(|m| i64::from(*m)).collect();
        let mut from = None;
        for stop in stops {
            let c = stop.choice as usize;
            changes += self.prepared.changes(from, c);
            lacking[self.prepared.choices[c].port as usize] -= 1;
            from = Some(c);
        }
        let room = self.prepared.max_changes.saturating_sub(changes).min(2).cast_signed();
        let spare =
            self.spare_changes - changes.saturating_sub(self.prepared.max_changes).min(9).cast_signed();
        self.list_gaps(stops, gaps);
        let most_sides = gaps.iter().map(|gap| gap.sides).max()?.max(0) as f32;
        let mut best: Option<Insertion> = None;
        let mut floor = 0.0_f32;
        let mut looks = 0;
        for candidate in candidates {
            let weight = candidate.weight;
            if candidate.promise + most_sides * (1.0 + weighing.noise as f32) <= floor {
                break;
            }
            let c = candidate.choice as usize;
            let choice = &self.prepared.choices[c];
            if self.kinds.shown[choice.target as usize] {
                continue;
            }
            let wished = choice.keeps_pin || lacking[choice.port as usize] > 0;
            let bonus = if wished { self.wish } else { 0 };
            let top = self.kinds.adds(choice.kind, choice.best) + bonus;
            if (top as f32 + most_sides) * weight <= floor {
                continue;
            }
            for gap in gaps.iter() {
                let early = choice.first.max(gap.begin);
                let late = choice.last.min(gap.latest.saturating_sub(choice.duration));
                if early > late || (top + gap.sides) as f32 * weight <= floor {
                    continue;
                }
                let excess = (self.more_changes(gap, choice.port) - room).max(0);
                if excess > spare.max(0) {
                    continue;
                }
                let bonus = bonus - (f64::from(excess) * self.excess_price) as i32;
                let near = self.prepared.best_between(choice, early, late);
                let top = self.kinds.adds(choice.kind, near) + gap.sides + bonus;
                if near == 0 || top as f32 * weight <= floor {
                    continue;
                }
                self.work += 2;
                let Some((value, start, set_up)) = self.best_start(gap, c, &mut looks) else { continue };
                let gain = value - self.timing.total + bonus;
                if gain <= 0 {
                    continue;
                }
                let mut weighed = gain as f32 * weight;
                if weighing.dense {
                    let duration = choice.duration as f32;
                    weighed *= duration / (duration + set_up.saturating_sub(2) as f32);
                }
                if weighed > floor {
                    floor = weighed;
                    best = Some(Insertion { gap: gap.at, stop: Stop { choice: c as u32, start } });
                }
            }
        }
        self.work += looks / 8 + candidates.len() as u64 / 8;
        best
    }

    /// How many changes of port a stop on a port in a gap brings more than there are now.
    #[inline]
    fn more_changes(&self, gap: &Gap, port: u32) -> i32 {
        let next = gap.next.map(|next| self.prepared.choices[next as usize].port);
        let [neither, as_before, as_next] = gap.more_changes;
        match (gap.before.1 == port, next == Some(port)) {
            (true, true) => 0,
            (true, false) => as_before,
            (false, true) => as_next,
            (false, false) => neither,
        }
    }

    /// The most that an order is worth with a choice in a gap, when it then starts, and the steps before it: a coarse
    /// look over a long range, then closer ones about the best of it.
    #[inline]
    fn best_start(&self, gap: &Gap, c: usize, looks: &mut u64) -> Option<(i32, u32, u32)> {
        let prepared = &self.prepared;
        let choice = &prepared.choices[c];
        let (until, after) = (&self.timing.until[gap.at], &self.timing.after[gap.at]);
        let next = gap.next.map(|next| &prepared.choices[next as usize]);
        let after_steps =
            |position| next.map_or(0, |next| prepared.move_steps(choice.target, choice.port, next, position));
        let before_steps = |position| prepared.move_steps(gap.before.0, gap.before.1, choice, position);
        let mut first_position = prepared.position(gap.begin);
        let mut first_steps = before_steps(first_position);
        let earliest = (gap.begin + first_steps).max(choice.first);
        let mut second_position = prepared.position(earliest + choice.duration);
        let mut second_steps = after_steps(second_position);
        let end = choice.last.min(gap.latest.saturating_sub(choice.duration + second_steps));
        if earliest > end {
            return None;
        }
        let loss = prepared.loss(gap.before_choice, c)
            + gap.next.map_or(0, |next| prepared.loss(Some(c), next as usize));
        let row = prepared.row(c);
        let until_last = until.last();
        let mut found = (NEVER, 0);
        let mut stride = 1 + (end - earliest) / 12;
        let (mut low, mut high) = (earliest, end);
        loop {
            let mut t = low;
            while t <= high {
                let value = row[(t - choice.first) as usize];
                if value > 0 {
                    let leave = t.saturating_sub(first_steps).clamp(gap.begin, until_last);
                    let position = prepared.position(leave);
                    if position != first_position {
                        first_position = position;
                        first_steps = before_steps(position);
                    }
                    let over = t + choice.duration;
                    let position = prepared.position(over);
                    if position != second_position {
                        second_position = position;
                        second_steps = after_steps(position);
                    }
                    let worth = until.rising(t.saturating_sub(first_steps))
                        + after.falling(over + second_steps)
                        + self.kinds.adds(choice.kind, u32::from(value));
                    if worth > found.0 {
                        found = (worth, t);
                    }
                }
                t += stride;
                *looks += 1;
            }
            if stride == 1 || found.0 <= NEVER / 2 {
                break;
            }
            low = found.1.saturating_sub(stride - 1).max(low);
            high = (found.1 + stride - 1).min(high);
            stride = if stride > 4 { stride / 4 } else { 1 };
        }
        (found.0 > NEVER / 2).then_some((found.0 - loss.cast_signed(), found.1, first_steps))
    }
}
