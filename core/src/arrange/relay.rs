//! Laying a part of an order anew between its neighbours: a small beam over what could stand there.

use super::prepared::{Leaving, NO_PORT, Prepared, Stop};
use super::search::Search;
use super::timing::{NEVER, Span};

/// Most candidates considered for a part.
const MOST_CANDIDATES: usize = 30;
/// Beginnings kept after each stop.
const BEAM_WIDTH: usize = 10;
/// A part may grow by so many stops.
const MOST_MORE: usize = 2;

/// A choice that may stand in the part.
struct Candidate {
    choice: u32,
    /// What its gains are taken times, for variety.
    taste: f32,
    keen: i32,
    /// The most that it gains, and that a beginning becomes keener by it.
    most: i32,
    most_keen: i32,
}

/// A beginning of the new part: its last stop, and the beginning before that.
#[derive(Clone, Copy)]
struct Beginning {
    parent: u32,
    choice: Option<u32>,
    start: u32,
    end: u32,
    changes: u32,
    value: i32,
    keen: i32,
}

/// What surrounds the part.
struct Surroundings {
    before: Option<usize>,
    next: Option<usize>,
    /// First step at which the stops before it can be left, latest at which the next can begin.
    begin: u32,
    latest: u32,
    room: u32,
    changes: u32,
    lacking: Vec<i64>,
    /// What a step is worth here.
    rate: f64,
    span: u32,
}

impl Search {
    /// Lays stops `from..to` of the order at hand anew, which the trial no longer holds; `false` where nothing can stand
    /// there.
    pub(super) fn relay(&mut self, from: usize, to: usize, noise: f64, laid: &mut Vec<Stop>) -> bool {
        let around = self.surroundings(from, to);
        let candidates = self.candidates(&around, noise);
        let timing = &self.here.timing;
        let (until, after) = (&timing.until[from], &timing.after[self.here.stops.len() - to]);
        let mut beginnings = vec![Beginning {
            parent: 0,
            choice: None,
            start: 0,
            end: around.begin,
            changes: around.changes,
            value: until.start(),
            keen: 0,
        }];
        let mut layer = 0..1;
        let mut best = (around.closed(&self.prepared, after, &beginnings[0]).unwrap_or(NEVER), 0);
        let mut fresh: Vec<Beginning> = Vec::new();
        for _ in 0..to - from + MOST_MORE {
            fresh.clear();
            let mut tried = 0;
            for id in layer.clone() {
                let part = &beginnings[id];
                let (target, port) = self.prepared.stands(around.last(part));
                let leaving = self.prepared.leaving(target, port, self.prepared.position(part.end));
                for candidate in &candidates {
                    let most = if part.choice.is_none() { i32::MAX } else { part.keen + candidate.most_keen };
                    let least = if fresh.len() == BEAM_WIDTH { fresh[BEAM_WIDTH - 1].keen } else { i32::MIN };
                    if least >= most {
                        break;
                    }
                    tried += 1;
                    let from = (&beginnings[..], id, leaving);
                    if let Some(next) = self.extended(&around, until, from, candidate, least) {
                        let at = fresh.partition_point(|kept| kept.keen >= next.keen);
                        if at < BEAM_WIDTH {
                            fresh.truncate(BEAM_WIDTH - 1);
                            fresh.insert(at, next);
                        }
                    }
                }
            }
            self.work += tried;
            if fresh.is_empty() {
                break;
            }
            let first = beginnings.len();
            for beginning in &fresh {
                let worth = around.closed(&self.prepared, after, beginning).unwrap_or(NEVER);
                if worth > best.0 {
                    best = (worth, beginnings.len());
                }
                beginnings.push(*beginning);
            }
            layer = first..beginnings.len();
        }
        laid.clear();
        let mut up = &beginnings[best.1];
        while let Some(choice) = up.choice {
            laid.push(Stop { choice, start: up.start });
            up = &beginnings[up.parent as usize];
        }
        laid.reverse();
        best.0 > NEVER
    }

    fn surroundings(&self, from: usize, to: usize) -> Surroundings {
        let prepared = &self.prepared;
        let (stops, timing) = (&self.here.stops, &self.here.timing);
        let before = from.checked_sub(1).map(|i| stops[i].choice as usize);
        let lacking = prepared.min_stops.iter().zip(&self.trial.on_port);
        let lacking = lacking.map(|(least, n)| i64::from(*least) - i64::from(*n)).collect();
        // Changes within the part and at its end are counted as it is laid.
        let mut changes = 0;
        let mut last = None;
        for (i, stop) in stops.iter().enumerate() {
            let c = stop.choice as usize;
            if i < from || i > to {
                changes += prepared.changes(last, c);
            }
            last = Some(c);
        }
        let inside = stops[from..to].iter().map(|stop| {
            let c = stop.choice as usize;
            self.trial.kinds.adds(prepared.choices[c].kind, prepared.value(c, stop.start))
        });
        let inside: i32 = inside.sum();
        let begin = timing.until[from].first;
        let end = stops.get(to).map_or_else(
            || {
                stops
                    .last()
                    .map_or(prepared.steps, |s| s.start + prepared.choices[s.choice as usize].duration)
            },
            |next| next.start,
        );
        let span = end.saturating_sub(begin).max(1);
        Surroundings {
            before,
            next: stops.get(to).map(|stop| stop.choice as usize),
            begin,
            latest: timing.after[stops.len() - to].last(),
            room: prepared.max_changes.max(changes),
            changes,
            lacking,
            rate: f64::from(inside.max(1)) / f64::from(span),
            span,
        }
    }

    /// The choices that may stand in the part and promise most for the time they take.
    fn candidates(&mut self, around: &Surroundings, noise: f64) -> Vec<Candidate> {
        let prepared = &self.prepared;
        let mut able = Vec::new();
        for pooled in &self.pool.all {
            let c = pooled.choice as usize;
            let choice = &prepared.choices[c];
            if self.trial.kinds.shown[choice.target as usize]
                || choice.last <= around.begin
                || choice.first >= around.latest
            {
                continue;
            }
            let early = (around.begin + 2).clamp(choice.first, choice.last);
            let middle = (early + around.span / 2).min(choice.last);
            let value = prepared.value(c, early).max(prepared.value(c, middle));
            let taste = if noise > 0.0 { (1.0 + noise * (self.dice.unit() - 0.5)) as f32 } else { 1.0 };
            let worth = (self.trial.kinds.adds(choice.kind, value) as f32 * taste) as i32;
            let wished = choice.keeps_pin || around.lacking[choice.port as usize] > 0;
            let time = (around.rate * f64::from(choice.duration)) as i32;
            let keen = worth + if wished { self.wish } else { 0 } - time;
            let most = (self.trial.kinds.adds(choice.kind, choice.best) as f32 * taste) as i32;
            let most = most + if wished { self.wish } else { 0 };
            let least_time = (around.rate * f64::from(choice.duration + choice.least_move)) as i32;
            // Each of two sums is rounded.
            let most_keen = most - least_time + 2;
            able.push(Candidate { choice: c as u32, taste, keen, most, most_keen });
        }
        self.work += 20 + able.len() as u64 / 4;
        if able.len() > MOST_CANDIDATES {
            able.select_nth_unstable_by_key(MOST_CANDIDATES, |a| (-a.keen, a.choice));
            able.truncate(MOST_CANDIDATES);
        }
        able.sort_unstable_by_key(|a| (-a.most_keen, a.choice));
        able
    }

    /// A beginning with one more stop, as early as can be; only where it is keener than `least`.
    #[inline]
    fn extended(
        &self,
        around: &Surroundings,
        until: &Span,
        (beginnings, id, leaving): (&[Beginning], usize, Leaving<'_>),
        candidate: &Candidate,
        least: i32,
    ) -> Option<Beginning> {
        let prepared = &self.prepared;
        let part = &beginnings[id];
        let c = candidate.choice as usize;
        let choice = &prepared.choices[c];
        if choice.last <= part.end {
            return None;
        }
        let changes = part.changes + u32::from(leaving.changes_port(choice));
        if changes > around.room {
            return None;
        }
        let ready = part.end + leaving.steps(choice);
        let cost = |end: u32| (around.rate * f64::from(end - around.begin)) as i32;
        if part.choice.is_some() && part.value + candidate.most - cost(ready + choice.duration) <= least {
            return None;
        }
        let start = prepared.next_start(c, ready)?;
        let end = start + choice.duration;
        if end > around.latest {
            return None;
        }
        let (mut same_kind, mut on_port) = (0, 0);
        let mut up = part;
        while let Some(other) = up.choice {
            let other = &prepared.choices[other as usize];
            if other.target == choice.target {
                return None;
            }
            same_kind += usize::from(other.kind == choice.kind);
            on_port += i64::from(other.port == choice.port);
            up = &beginnings[up.parent as usize];
        }
        let mut gain = self.trial.kinds.adds(choice.kind, prepared.value(c, start));
        if same_kind > 0 {
            // Others of its kind in the part push it down about as many ranks.
            let factors = &prepared.factors[choice.kind as usize];
            let factor = |rank: usize| i64::from(factors[rank.min(factors.len() - 1)]);
            let rank = self.trial.kinds.count(choice.kind);
            gain = (i64::from(gain) * factor(rank + same_kind) / factor(rank).max(1)) as i32;
        }
        gain = (gain as f32 * candidate.taste) as i32;
        if choice.keeps_pin || on_port < around.lacking[choice.port as usize] {
            gain += self.wish;
        }
        let base =
            if part.choice.is_none() { until.rising(around.begin + (start - ready)) } else { part.value };
        let value = base + gain - prepared.loss(around.last(part), c).cast_signed();
        let keen = value - cost(end);
        Some(Beginning {
            parent: id as u32,
            choice: Some(candidate.choice),
            start,
            end,
            changes,
            value,
            keen,
        })
    }
}

impl Surroundings {
    /// The last choice of a beginning, or what stands before the part.
    fn last(&self, beginning: &Beginning) -> Option<usize> {
        beginning.choice.map_or(self.before, |c| Some(c as usize))
    }

    /// What the order is worth when the part ends with this beginning, if the rest can follow.
    fn closed(&self, prepared: &Prepared, after: &Span, beginning: &Beginning) -> Option<i32> {
        let Some(next_choice) = self.next else { return Some(beginning.value) };
        let next = &prepared.choices[next_choice];
        let last = self.last(beginning);
        let (target, port) = prepared.stands(last);
        let loss = prepared.loss(last, next_choice).cast_signed();
        if beginning.changes + u32::from(port != NO_PORT && port != next.port) > self.room {
            return None;
        }
        let leave = beginning.end;
        let rest = after.falling(leave + prepared.move_steps(target, port, next, prepared.position(leave)));
        (rest > NEVER).then(|| beginning.value + rest - loss)
    }
}
