//! Filling an order: the choice that gains most is put in where and when it gains most, until none gains.

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

#[derive(Clone, Copy, Debug)]
struct Insertion {
    gap: usize,
    stop: Stop,
}

/// A gap between two stops of an order, and what it allows.
struct Gap {
    at: usize,
    before: (u32, u32),
    next: Option<usize>,
    /// First step at which it can be left for, and the latest at which the next stop can begin.
    begin: u32,
    latest: u32,
    /// The most that the two sides can be worth together, less what they are worth now.
    sides: i32,
    changes: u32,
}

impl Search {
    /// Puts in what gains most until nothing does; the order must be settled, and is afterwards.
    pub(super) fn fill(&mut self, stops: &mut Vec<Stop>, weighing: Weighing) {
        loop {
            self.kinds.set(&self.prepared, stops.iter());
            let Some(put) = self.best_insertion(stops, weighing) else { break };
            let mut trial = Vec::with_capacity(stops.len() + 1);
            trial.extend_from_slice(&stops[..put.gap]);
            trial.push(put.stop);
            trial.extend_from_slice(&stops[put.gap..]);
            if !self.timing.settle(&self.prepared, &mut trial) {
                self.stale = true;
                break;
            }
            *stops = trial;
        }
    }

    fn gap(&self, stops: &[Stop], at: usize) -> Option<Gap> {
        let (until, after) = (&self.timing.until[at], &self.timing.after[at]);
        let (begin, latest) = (until.first, after.last());
        if begin + 1 + self.shortest > latest {
            return None;
        }
        let before = at.checked_sub(1).map(|i| stops[i].choice as usize);
        let next = stops.get(at).map(|stop| stop.choice as usize);
        Some(Gap {
            at,
            before: self.prepared.stands(before),
            next,
            begin,
            latest,
            sides: until.end() + after.start() - self.timing.total,
            changes: next.map_or(0, |next| self.prepared.changes(before, next)),
        })
    }

    fn best_insertion(&mut self, stops: &[Stop], weighing: Weighing) -> Option<Insertion> {
        let Weighing { noise, dense } = weighing;
        let mut changes = 0;
        let mut lacking: Vec<i64> = self.prepared.min_stops.iter().map(|m| i64::from(*m)).collect();
        let mut from = None;
        for stop in stops {
            let c = stop.choice as usize;
            changes += self.prepared.changes(from, c);
            lacking[self.prepared.choices[c].port as usize] -= 1;
            from = Some(c);
        }
        let pin_missing = self.prepared.pinned.iter().any(|p| !self.kinds.shown[*p as usize]);
        let room = self.prepared.max_changes.max(changes);
        let mut best: Option<Insertion> = None;
        let mut floor = 0.0;
        let mut looks = 0;
        for at in 0..=stops.len() {
            let Some(gap) = self.gap(stops, at) else { continue };
            for g in 0..self.groups.len() {
                let group = &self.groups[g];
                let next_port = gap.next.map(|next| self.prepared.choices[next].port);
                let new_changes = changes - gap.changes
                    + u32::from(gap.before.1 != NO_PORT && gap.before.1 != group.port)
                    + u32::from(next_port.is_some_and(|port| port != group.port));
                if new_changes > room {
                    continue;
                }
                let short = if lacking[group.port as usize] > 0 { self.wish } else { 0 };
                let most_wish = if pin_missing && group.keeps_pins { self.wish.max(short) } else { short };
                let density = if dense { f64::from(self.shortest) / f64::from(group.shortest) } else { 1.0 };
                for m in 0..group.members.len() {
                    let c = self.groups[g].members[m] as usize;
                    let choice = &self.prepared.choices[c];
                    let top = gap.sides + self.kinds.adds(choice.kind, choice.best);
                    if f64::from(top + most_wish) * density * (1.0 + noise) <= floor {
                        break;
                    }
                    if self.kinds.shown[choice.target as usize]
                        || choice.last <= gap.begin
                        || choice.first >= gap.latest
                        || (choice.breaks_pin && !self.may_break_pins)
                    {
                        continue;
                    }
                    let bonus = if choice.keeps_pin { self.wish } else { short };
                    let mut weight = if noise > 0.0 { 1.0 + noise * self.dice.unit() } else { 1.0 };
                    if dense {
                        weight *= f64::from(self.shortest) / f64::from(choice.duration);
                    }
                    if f64::from(top + bonus) * weight <= floor {
                        continue;
                    }
                    let duration = f64::from(choice.duration);
                    self.work += 2;
                    let Some((value, start, set_up)) = self.best_start(&gap, c, &mut looks) else { continue };
                    let gain = value - self.timing.total + bonus;
                    if gain <= 0 {
                        continue;
                    }
                    let mut weighed = f64::from(gain) * weight;
                    if dense {
                        weighed *= duration / (duration + f64::from(set_up.saturating_sub(2)));
                    }
                    if weighed > floor {
                        floor = weighed;
                        best = Some(Insertion { gap: gap.at, stop: Stop { choice: c as u32, start } });
                    }
                }
            }
        }
        self.work += looks / 8;
        best
    }

    /// The most that an order is worth with a choice in a gap, when it then starts, and the steps before it: a coarse
    /// look over a long range, then closer ones about the best of it.
    #[inline]
    fn best_start(&self, gap: &Gap, c: usize, looks: &mut u64) -> Option<(i32, u32, u32)> {
        let prepared = &self.prepared;
        let choice = &prepared.choices[c];
        let (until, after) = (&self.timing.until[gap.at], &self.timing.after[gap.at]);
        let next = gap.next.map(|next| &prepared.choices[next]);
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
            if stride == 1 || found.0 <= 0 {
                break;
            }
            low = found.1.saturating_sub(stride - 1).max(low);
            high = (found.1 + stride - 1).min(high);
            stride = if stride > 4 { stride / 4 } else { 1 };
        }
        (found.0 > 0).then_some((found.0, found.1, first_steps))
    }
}
