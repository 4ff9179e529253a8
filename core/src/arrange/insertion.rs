//! Filling an order: the choice that gains most is put in where and when it gains most, until none gains.

use std::mem::take;
use std::ops::Range;

use super::dice::Dice;
use super::pool::Pooled;
use super::prepared::{NO_PORT, Stop};
use super::search::Search;
use super::timing::NEVER;

/// Looks over the starts that a choice has in a gap, before closer ones about the best of them.
const COARSE_LOOKS: u32 = 6;

/// So many of the candidates that promise most are put in order: they decide how high the others have to reach.
const FIRST_CANDIDATES: usize = 16;

/// How choices are weighed while an order is filled.
#[derive(Clone, Copy, Debug)]
pub(super) struct Weighing {
    /// What the whole order must be worth to be kept, wishes and changes counted, if all else is in vain.
    pub wanted: Option<i64>,
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
    /// The most that it can gain, weighed, as far as known: the more is in, the less it gains.
    promise: f32,
}

impl Candidate {
    fn new(pooled: &Pooled, weighing: Weighing, most: i32, dice: &mut Dice) -> Self {
        let density = if weighing.dense { pooled.density } else { 1.0 };
        let taste = if weighing.noise > 0.0 { 1.0 + weighing.noise * dice.unit() } else { 1.0 };
        let weight = density * taste as f32;
        Self { choice: pooled.choice, weight, promise: most as f32 * weight }
    }
}

#[derive(Clone, Copy, Debug)]
struct Insertion {
    gap: usize,
    stop: Stop,
    /// What the whole order is then worth.
    worth: i32,
}

/// A gap between two stops of a trial, and what it allows.
#[derive(Clone, Copy, Debug)]
pub(super) struct Gap {
    at: usize,
    before_choice: Option<usize>,
    before: (u32, u32),
    next: Option<u32>,
    /// First step at which it can be left for, and the latest at which it must be left again.
    begin: u32,
    latest: u32,
    /// Steps that the move to the next stop takes at least.
    least_move: u32,
    /// The most that the two sides can be worth together, less what they are worth now.
    sides: i32,
}

impl Search {
    /// Puts into the trial what gains most until nothing does; its values must be carried through, and are afterwards.
    pub(super) fn fill(&mut self, weighing: Weighing) {
        let mut candidates = take(&mut self.candidates);
        let mut rest = take(&mut self.rest);
        let mut gaps = take(&mut self.gaps);
        self.list_gaps(&mut gaps);
        if !gaps.is_empty() {
            let sides = most_sides(&gaps);
            let mut bar = self.least_gain(weighing.wanted) - sides;
            candidates.clear();
            rest.clone_from(&self.pool.parts);
            self.list_wished(weighing, sides, &mut candidates);
            self.list_candidates(weighing, (sides, bar), &mut rest, &mut candidates);
            put_in_order(&mut candidates);
            while let Some(put) = self.best_insertion(weighing, &mut candidates, &gaps) {
                self.trial.put(&self.prepared, put.gap, put.stop);
                self.trial.tell(&self.prepared, put.worth);
                if !self.may_go_on(weighing.wanted)
                    || !self.trial.run(&self.prepared, &mut self.moves, &self.here)
                {
                    break;
                }
                self.list_gaps(&mut gaps);
                let sides = most_sides(&gaps);
                let new_bar = self.least_gain(weighing.wanted) - sides;
                if new_bar < bar {
                    bar = new_bar;
                    self.list_candidates(weighing, (sides, bar), &mut rest, &mut candidates);
                }
                self.renew_promises(put, &mut candidates);
            }
        }
        self.rest = rest;
        self.candidates = candidates;
        self.gaps = gaps;
    }

    /// A stop put in lets others promise as much as at first where it brings its port between others.
    fn renew_promises(&self, put: Insertion, candidates: &mut [Candidate]) {
        let port_of = |stop: &Stop| self.prepared.choices[stop.choice as usize].port;
        let port = port_of(&put.stop);
        let stops = &self.trial.stops;
        let like = |i: Option<usize>| i.and_then(|i| stops.get(i)).is_some_and(|stop| port_of(stop) == port);
        if !like(put.gap.checked_sub(1)) && !like(Some(put.gap + 1)) {
            for candidate in candidates {
                if self.prepared.choices[candidate.choice as usize].port == port {
                    candidate.promise = f32::MAX;
                }
            }
        }
    }

    /// What a stop must gain for the order to be worth what is wanted of it, when at most one more than were taken out
    /// comes in: those that come later gain no more.
    fn least_gain(&self, wanted: Option<i64>) -> i32 {
        let need = wanted.map_or(0, |wanted| wanted - self.likely_merit());
        (need / i64::from(self.trial.taken.max(0) + 1)).clamp(0, i64::from(i32::MAX)) as i32
    }

    /// Whether another stop may come in: not where the order is good enough and as many came in as were taken out.
    fn may_go_on(&self, wanted: Option<i64>) -> bool {
        wanted.is_none() || self.trial.taken > 0 || self.least_gain(wanted) > 0
    }

    /// Makes candidates of all that would keep a wish, whatever it is worth: the choices of pins, and those of ports that
    /// lack stops.
    fn list_wished(&mut self, weighing: Weighing, most_sides: i32, candidates: &mut Vec<Candidate>) {
        let Self { prepared, trial, pool, dice, wish, wished, .. } = self;
        wished.clear();
        wished.extend(trial.on_port.iter().zip(&prepared.min_stops).map(|(n, least)| n < least));
        let pins = pool.parts[0].len();
        let of_ports = pool.all[pins..].iter().filter(|pooled| wished[pooled.port as usize]);
        let of_ports = wished.contains(&true).then_some(of_ports).into_iter().flatten();
        for pooled in pool.all[..pins].iter().chain(of_ports) {
            let most = trial.kinds.adds(pooled.kind, pooled.best) + *wish;
            if most > 0 && !trial.kinds.shown[pooled.target as usize] {
                candidates.push(Candidate::new(pooled, weighing, most + most_sides, dice));
            }
        }
    }

    /// Moves choices that are worth a bar, wishes apart, from the rest of the pool to the candidates. More of a kind are
    /// taken to add no more than fewer do.
    fn list_candidates(
        &mut self,
        weighing: Weighing,
        (most_sides, bar): (i32, i32),
        rest: &mut [Range<usize>],
        candidates: &mut Vec<Candidate>,
    ) {
        let Self { trial, pool, dice, wished, .. } = self;
        for (kind, rest) in rest[1..].iter_mut().enumerate() {
            let mut adds = trial.kinds.falling_adds(kind);
            for pooled in &pool.all[rest.clone()] {
                let most = adds(pooled.best);
                if most < bar.max(1) {
                    break;
                }
                rest.start += 1;
                if !trial.kinds.shown[pooled.target as usize] && !wished[pooled.port as usize] {
                    candidates.push(Candidate::new(pooled, weighing, most + most_sides, dice));
                }
            }
        }
    }

    fn list_gaps(&self, gaps: &mut Vec<Gap>) {
        gaps.clear();
        let trial = &self.trial;
        for at in 0..=trial.stops.len() {
            let (until, after) = (trial.until(&self.here, at), trial.after(&self.here, at));
            let next = trial.stops.get(at).map(|stop| stop.choice as usize);
            let least_move = next.map_or(0, |next| self.prepared.choices[next].least_move);
            let (begin, latest) = (until.first, after.last().saturating_sub(least_move));
            if begin + 1 + self.shortest > latest {
                continue;
            }
            let before = at.checked_sub(1).map(|i| trial.stops[i].choice as usize);
            let (target, port) = self.prepared.stands(before);
            gaps.push(Gap {
                at,
                before_choice: before,
                before: (target, port),
                next: next.map(|next| next as u32),
                begin,
                latest,
                least_move,
                sides: until.rising(latest) + after.falling(begin + least_move) - trial.total,
            });
        }
    }

    fn best_insertion(
        &mut self,
        weighing: Weighing,
        candidates: &mut [Candidate],
        gaps: &[Gap],
    ) -> Option<Insertion> {
        let mut by_port = take(&mut self.gaps_by_port);
        self.list_by_port(gaps, &mut by_port);
        let least = self.least_gain(weighing.wanted);
        let most_sides = most_sides(gaps) as f32;
        let mut best: Option<Insertion> = None;
        let mut floor = 0.0_f32;
        let mut looks = candidates.len() as u64;
        for candidate in candidates {
            let weight = candidate.weight;
            if candidate.promise <= floor {
                continue;
            }
            let c = candidate.choice as usize;
            let choice = &self.prepared.choices[c];
            if self.trial.kinds.shown[choice.target as usize] {
                continue;
            }
            let port = choice.port as usize;
            let wished = choice.keeps_pin || self.trial.on_port[port] < self.prepared.min_stops[port];
            let bonus = if wished { self.wish } else { 0 };
            let top = self.trial.kinds.adds(choice.kind, choice.best) + bonus;
            candidate.promise = candidate.promise.min((top as f32 + most_sides) * weight);
            if candidate.promise <= floor || top as f32 + most_sides < least as f32 {
                continue;
            }
            // The most that any gap still promises.
            let mut promise = 0.0_f32;
            for (gap, price) in &by_port[port] {
                let gap = &gaps[*gap];
                let early = choice.first.max(gap.begin + choice.least_move);
                let late = choice.last.min(gap.latest.saturating_sub(choice.duration));
                if early > late {
                    continue;
                }
                let promised = (top + gap.sides) as f32 * weight;
                if promised <= floor {
                    promise = promise.max(promised);
                    continue;
                }
                let bonus = bonus - price;
                let near = self.prepared.best_between(choice, early, late);
                // The stops before must have ended when this one's latest move begins, those after wait for its earliest
                // end.
                let until = self.trial.until(&self.here, gap.at).rising(late - choice.least_move);
                let after = self.trial.after(&self.here, gap.at);
                let after = after.falling(early + choice.duration + gap.least_move);
                let sides = until + after - self.trial.total;
                let top = self.trial.kinds.adds(choice.kind, near) + sides + bonus;
                let promised = top as f32 * weight;
                if near == 0 || top < least || promised <= floor {
                    promise = promise.max(promised);
                    continue;
                }
                self.work += 2;
                let Some((value, start, set_up)) = self.best_start(gap, c, &mut looks) else { continue };
                let gain = value - self.trial.total + bonus;
                if gain <= 0 {
                    continue;
                }
                let mut weighed = gain as f32 * weight;
                if weighing.dense {
                    let duration = choice.duration as f32;
                    weighed *= duration / (duration + set_up.saturating_sub(2) as f32);
                }
                promise = promise.max(weighed);
                if weighed > floor {
                    floor = weighed;
                    let worth = value - self.trial.total + self.trial.worth();
                    best = Some(Insertion { gap: gap.at, stop: Stop { choice: c as u32, start }, worth });
                }
            }
            candidate.promise = candidate.promise.min(promise);
        }
        self.gaps_by_port = by_port;
        self.work += looks / 8;
        best
    }

    /// The numbers of the gaps that a stop on each port may come into, and what the changes of port beyond the limit cost there.
    fn list_by_port(&self, gaps: &[Gap], by_port: &mut Vec<Vec<(usize, i32)>>) {
        let most = self.prepared.max_changes;
        let room = most.saturating_sub(self.trial.changes).min(2).cast_signed();
        let spare =
            (self.spare_changes - self.trial.changes.saturating_sub(most).min(9).cast_signed()).max(0);
        by_port.resize_with(self.prepared.ports as usize, Vec::new);
        for (port, able) in (0..).zip(by_port) {
            able.clear();
            for (number, gap) in gaps.iter().enumerate() {
                let before = gap.before.1;
                let next = gap.next.map_or(port, |next| self.prepared.choices[next as usize].port);
                let differs = |one: u32, other: u32| i32::from(one != NO_PORT && one != other);
                let now = gap.next.map_or(0, |_| differs(before, next));
                let excess = (differs(before, port) + differs(port, next) - now - room).max(0);
                if excess <= spare {
                    able.push((number, (f64::from(excess) * self.excess_price) as i32));
                }
            }
        }
    }

    /// The most that an order is worth with a choice in a gap, when it then starts, and the steps before it: a coarse
    /// look over a long range, then closer ones about the best of it.
    #[inline]
    fn best_start(&self, gap: &Gap, c: usize, looks: &mut u64) -> Option<(i32, u32, u32)> {
        let prepared = &self.prepared;
        let choice = &prepared.choices[c];
        let (until, after) = (self.trial.until(&self.here, gap.at), self.trial.after(&self.here, gap.at));
        let next = gap.next.map(|next| &prepared.choices[next as usize]);
        let after_steps =
            |position| next.map_or(0, |next| prepared.move_steps(choice.target, choice.port, next, position));
        let before_steps = |position| prepared.move_steps(gap.before.0, gap.before.1, choice, position);
        let mut first_position = prepared.position(gap.begin);
        let mut first_steps = before_steps(first_position);
        let earliest = (gap.begin + first_steps).max(choice.first);
        let mut second_position = prepared.position(earliest + choice.duration);
        let mut second_steps = after_steps(second_position);
        let end =
            choice.last.min((gap.latest + gap.least_move).saturating_sub(choice.duration + second_steps));
        if earliest > end {
            return None;
        }
        let loss = prepared.loss(gap.before_choice, c)
            + gap.next.map_or(0, |next| prepared.loss(Some(c), next as usize));
        let row = prepared.row(c);
        let until_last = until.last();
        let mut found = (NEVER, 0);
        let mut stride = 1 + (end - earliest) / COARSE_LOOKS;
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
                        + self.trial.kinds.adds(choice.kind, u32::from(value));
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

/// Puts those first that promise most.
fn put_in_order(candidates: &mut [Candidate]) {
    let by_promise =
        |a: &Candidate, b: &Candidate| b.promise.total_cmp(&a.promise).then(a.choice.cmp(&b.choice));
    if candidates.len() > FIRST_CANDIDATES {
        candidates.select_nth_unstable_by(FIRST_CANDIDATES, by_promise);
        candidates[..FIRST_CANDIDATES].sort_unstable_by(by_promise);
    } else {
        candidates.sort_unstable_by(by_promise);
    }
}

/// The most that the two sides of any gap can be worth more than now.
fn most_sides(gaps: &[Gap]) -> i32 {
    gaps.iter().map(|gap| gap.sides).max().map_or(0, |sides| sides.max(0))
}

#[cfg(test)]
mod tests {
    use super::Weighing;
    use crate::arrange::prepared::Prepared;
    use crate::arrange::sample;
    use crate::arrange::search::Search;

    #[test]
    fn every_choice_that_is_worth_a_bar_or_keeps_a_wish_is_a_candidate_once() {
        let mut problem = sample::problem();
        problem.pins = serde_json::from_str(r#"[{"target": 1, "at": 12, "tol": 1}]"#).expect("a pin");
        let weighing = Weighing { wanted: None, noise: 0.3, dense: true };
        for least_on_the_camera in [0, 1] {
            problem.min_stops = vec![0, least_on_the_camera];
            let mut search = Search::new(Prepared::new(&problem), 1);
            search.trial.begin(&search.here);
            let (mut candidates, mut rest) = (Vec::new(), search.pool.parts.clone());
            search.list_wished(weighing, 0, &mut candidates);
            for bar in [450, 300, 200, i32::MIN] {
                search.list_candidates(weighing, (0, bar), &mut rest, &mut candidates);
                let mut listed: Vec<u32> = candidates.iter().map(|candidate| candidate.choice).collect();
                listed.sort_unstable();
                let wanted = search.prepared.choices.iter().zip(0..).filter(|(choice, _)| {
                    let is_wished = choice.keeps_pin || (least_on_the_camera > 0 && choice.port == 1);
                    !choice.breaks_pin && (is_wished || choice.best.cast_signed() >= bar)
                });
                assert_eq!(listed, wanted.map(|(_, c)| c).collect::<Vec<u32>>(), "bar {bar}");
            }
        }
    }
}
