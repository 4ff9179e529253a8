//! The best priced order that comes back to a target only after the stops between have forgotten it.
//!
//! Label setting over ng-routes (Baldacci, Mingozzi & Roberti 2011, *New route relaxation and pricing strategies for the
//! vehicle routing problem*, Operations Research 59, 1269), with what is remembered grown where the best order comes
//! back (Roberti & Mingozzi 2014, *Dynamic ng-path relaxation for the delivery man problem*, Transportation Science 48,
//! 413). The tables that let every target come back bound what each label can still become.

use std::mem::take;

use super::open::{Move, Open};
use super::prepared::{Prepared, Stop};
use super::prices::Prices;
use super::relaxed::{Relaxed, cost};
use super::timing::NEVER;

/// Targets that can be remembered at all: bits of a memory.
const MOST_REMEMBERED: usize = 64;
/// Beyond so many labels (24 bytes each) only better ones are looked for.
const MANY_LABELS: usize = 500_000;
/// No label.
const NONE: u32 = u32::MAX;

/// Which targets each stop remembers.
#[derive(Clone, Debug)]
pub(super) struct Memories {
    /// By target: its bit, nothing while it is never remembered.
    bit: Vec<u64>,
    /// By target: what a stop there does not forget.
    keeps: Vec<u64>,
    given: usize,
}

impl Memories {
    /// Everything is forgotten.
    pub fn none(prepared: &Prepared) -> Self {
        let targets = prepared.targets as usize;
        Self { bit: vec![0; targets], keeps: vec![0; targets], given: 0 }
    }

    /// Keeps what an order comes back to at each stop between; whether that is new.
    pub fn grow(&mut self, prepared: &Prepared, stops: &[Stop]) -> bool {
        let targets: Vec<u32> = targets(prepared, stops).collect();
        let mut grown = false;
        for (i, target) in targets.iter().enumerate() {
            let Some(gap) = targets[i + 1..].iter().position(|t| t == target) else { continue };
            let bit = &mut self.bit[*target as usize];
            if *bit == 0 {
                if self.given == MOST_REMEMBERED {
                    continue;
                }
                *bit = 1 << self.given;
                self.given += 1;
            }
            for between in &targets[i + 1..=i + gap] {
                let keeps = &mut self.keeps[*between as usize];
                grown |= *keeps & *bit == 0;
                *keeps |= *bit;
            }
        }
        grown
    }

    /// Whether an order comes back only to what is forgotten.
    pub fn allow(&self, prepared: &Prepared, stops: &[Stop]) -> bool {
        let mut memory = 0;
        targets(prepared, stops).all(|target| {
            let allowed = !self.holds(memory, target);
            memory = self.after(memory, target);
            allowed
        })
    }

    #[inline]
    fn holds(&self, memory: u64, target: u32) -> bool {
        memory & self.bit[target as usize] != 0
    }

    #[inline]
    fn after(&self, memory: u64, target: u32) -> u64 {
        (memory & self.keeps[target as usize]) | self.bit[target as usize]
    }
}

fn targets(prepared: &Prepared, stops: &[Stop]) -> impl Iterator<Item = u32> {
    stops.iter().map(|stop| prepared.choices[stop.choice as usize].target)
}

/// A way to be ready for a choice.
#[derive(Clone, Copy, Debug)]
struct Label {
    /// What is remembered once it is shown.
    memory: u64,
    worth: i32,
    /// The label that it follows, and when that ended.
    follows: u32,
    left: u32,
    choice: u32,
}

impl Label {
    /// Whether it is as good for all that can follow.
    #[inline]
    fn covers(&self, other: &Self) -> bool {
        self.worth >= other.worth && self.memory & !other.memory == 0
    }
}

/// What a pass of label setting reads.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ground<'g> {
    pub prepared: &'g Prepared,
    pub prices: &'g Prices,
    pub relaxed: &'g Relaxed,
    pub open: &'g Open,
    pub memories: &'g Memories,
}

/// A pass of label setting, step by step.
#[derive(Clone, Debug)]
pub(super) struct Labels {
    all: Vec<Label>,
    many: usize,
    /// By choice: labels ready by the step at hand, none covered by another.
    ready: Vec<Vec<u32>>,
    /// By step: labels that become ready.
    arrivals: Vec<Vec<u32>>,
    /// By step: labels whose choice ends, with what they are then worth.
    ends: Vec<Vec<(u32, i32)>>,
    floor: i32,
    /// The worth, label and end of the best.
    best: (i32, u32, u32),
    /// Moves looked at so far.
    pub work: u64,
}

impl Labels {
    /// `floor`: orders priced at less need not be found.
    pub fn new(ground: Ground<'_>, floor: i32) -> Self {
        let Ground { prepared, prices, relaxed, memories, .. } = ground;
        let steps = prepared.steps as usize + 1;
        let mut labels = Self {
            all: Vec::new(),
            many: MANY_LABELS,
            ready: vec![Vec::new(); prepared.choices.len()],
            arrivals: vec![Vec::new(); steps],
            ends: vec![Vec::new(); steps],
            floor,
            best: (0, NONE, 0),
            work: 0,
        };
        for (c, choice) in prepared.choices.iter().enumerate() {
            let ready = prepared.start_step + prepared.travel(None, c, prepared.start_step);
            let worth = -cost(prepared, prices, None, c);
            if ready <= prepared.steps && worth + relaxed.from(c, ready) >= floor {
                let memory = memories.after(0, choice.target);
                labels.add(ready, Label { memory, worth, follows: NONE, left: 0, choice: c as u32 });
            }
        }
        labels
    }

    fn add(&mut self, ready: u32, label: Label) {
        self.arrivals[ready as usize].push(self.all.len() as u32);
        self.all.push(label);
    }

    /// Goes through a step; those before it have been gone through.
    pub fn go_through(&mut self, ground: Ground<'_>, step: u32) {
        let chunk = ground.relaxed.chunk(step);
        self.work += 1 + self.ready.len() as u64 / 8;
        for ended in take(&mut self.ends[step as usize]) {
            self.extend(ground, (chunk, step), ended);
        }
        for label in take(&mut self.arrivals[step as usize]) {
            self.arrive(label);
        }
        for c in 0..ground.prepared.choices.len() {
            if !self.ready[c].is_empty() {
                self.start(ground, c, step);
            }
        }
        if self.all.len() > self.many {
            self.raise_floor(ground.relaxed, step);
        }
    }

    /// Lets the labels ready for a choice start at a step.
    fn start(&mut self, ground: Ground<'_>, c: usize, step: u32) {
        let Ground { prepared, relaxed, open, .. } = ground;
        let (all, floor) = (&self.all, self.floor);
        let from = relaxed.from(c, step);
        let ready = &mut self.ready[c];
        ready.retain(|label| all[*label as usize].worth + from >= floor);
        self.work += 1 + ready.len() as u64 / 2;
        if !open.window(c).contains(&step) || relaxed.gain(c, step) <= NEVER {
            return;
        }
        let (gain, end) = (relaxed.gain(c, step), step + prepared.choices[c].duration);
        let ahead = relaxed.ahead(c, end);
        for label in ready {
            let worth = all[*label as usize].worth + gain;
            if worth + ahead >= floor {
                self.ends[end as usize].push((*label, worth));
                if worth > self.best.0 {
                    self.best = (worth, *label, end);
                }
            }
        }
    }

    /// Goes on from a label that ends at a step.
    fn extend(&mut self, ground: Ground<'_>, (chunk, step): (usize, u32), (label, worth): (u32, i32)) {
        let Ground { prepared, prices, relaxed, open, memories } = ground;
        let Label { memory, choice: from, .. } = self.all[label as usize];
        let Some(moves) = open.moves() else { return };
        let moves = moves.of(chunk, from as usize);
        self.work += 2 + moves.len() as u64 * 3 / 2;
        for Move { to, steps } in moves {
            let (to, ready) = (usize::from(*to), step + u32::from(*steps));
            if ready > prepared.steps {
                continue;
            }
            let next = &prepared.choices[to];
            let worth = worth - cost(prepared, prices, Some(from as usize), to);
            if worth + relaxed.from(to, ready) < self.floor || memories.holds(memory, next.target) {
                continue;
            }
            let memory = memories.after(memory, next.target);
            let new = Label { memory, worth, follows: label, left: step, choice: to as u32 };
            self.work += 1 + self.ready[to].len() as u64;
            if !self.ready[to].iter().any(|label| self.all[*label as usize].covers(&new)) {
                self.add(ready, new);
            }
        }
    }

    fn arrive(&mut self, label: u32) {
        let (all, new) = (&self.all, self.all[label as usize]);
        let ready = &mut self.ready[new.choice as usize];
        self.work += 2 + ready.len() as u64 * 3 / 2;
        if !ready.iter().any(|label| all[*label as usize].covers(&new)) {
            ready.retain(|label| !new.covers(&all[*label as usize]));
            ready.push(label);
        }
    }

    /// Looks only for orders worth more: a part of the way to the most that a label ready at a step can still become.
    fn raise_floor(&mut self, relaxed: &Relaxed, step: u32) {
        let mut top = self.floor;
        for (c, ready) in self.ready.iter().enumerate() {
            if let Some(worth) = ready.iter().map(|label| self.all[*label as usize].worth).max() {
                top = top.max(worth + relaxed.from(c, step));
            }
        }
        self.floor += (top - self.floor) / 8;
        self.many += MANY_LABELS / 64;
    }

    /// What no order over these memories is worth more than, and the best order found with its worth: less than that
    /// where the floor was too high for any.
    pub fn best_order(&self, prepared: &Prepared) -> (i64, i64, Vec<Stop>) {
        let (worth, mut label, mut end) = self.best;
        let mut stops = Vec::new();
        while let Some(found) = self.all.get(label as usize) {
            let start = end - prepared.choices[found.choice as usize].duration;
            stops.push(Stop { choice: found.choice, start });
            (label, end) = (found.follows, found.left);
        }
        stops.reverse();
        (i64::from(worth.max(self.floor)), i64::from(worth), stops)
    }
}
