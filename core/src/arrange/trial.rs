//! A settled order, and a trial that differs from it: the values before the first difference and after the last are the
//! order's, so that little has to be computed anew.

use std::mem::take;

use super::kinds::Kinds;
use super::moves::Moves;
use super::prepared::{Prepared, Standing, Stop};
use super::timing::{Span, Step, Timing, latest_start};

/// An order whose stops have their best starts, with all that is known of it.
#[derive(Clone, Debug)]
pub(super) struct Order {
    pub stops: Vec<Stop>,
    pub timing: Timing,
    pub kinds: Kinds,
    pub standing: Standing,
    /// Changes of port.
    pub changes: u32,
    /// Stops on each port.
    pub on_port: Vec<u32>,
    /// Pins kept.
    pins: u32,
}

impl Order {
    /// The order without a stop.
    pub fn empty(prepared: &Prepared, moves: &mut Moves) -> Self {
        let mut order = Self {
            stops: Vec::new(),
            timing: Timing::default(),
            kinds: Kinds::new(prepared),
            standing: Standing::default(),
            changes: 0,
            on_port: vec![0; prepared.ports as usize],
            pins: 0,
        };
        order.settle(prepared, moves);
        order
    }

    /// Gives the stops their best starts; `false` where they can't stand in this order.
    pub fn settle(&mut self, prepared: &Prepared, moves: &mut Moves) -> bool {
        if !self.timing.settle(prepared, moves, &mut self.stops) {
            return false;
        }
        self.kinds.set(prepared, &self.stops);
        self.standing = prepared.standing(&self.stops);
        self.changes = changes(prepared, &self.stops);
        self.on_port.fill(0);
        self.pins = 0;
        for stop in &self.stops {
            let choice = &prepared.choices[stop.choice as usize];
            self.on_port[choice.port as usize] += 1;
            self.pins += u32::from(choice.keeps_pin);
        }
        true
    }
}

/// A trial: the order with some stops taken out, moved and put in, each at its old start until it is settled.
#[derive(Clone, Debug)]
pub(super) struct Trial {
    pub stops: Vec<Stop>,
    /// What each stop counts, in thousandths, as it did in the order or when it was put in.
    factors: Vec<i32>,
    /// As in [`Timing`], for what differs from the order: its first `head` spans of `until` and `tail` of `after` are
    /// the order's.
    until: Vec<Span>,
    after: Vec<Span>,
    head: usize,
    tail: usize,
    /// Up to these the values are carried through.
    until_known: usize,
    after_known: usize,
    /// The most that the stops are worth at their factors.
    pub total: i32,
    /// What they are worth more than that, for others have changed their ranks.
    shift: i32,
    pub kinds: Kinds,
    /// Stops taken out, less those put in.
    pub taken: i32,
    pub changes: u32,
    pub on_port: Vec<u32>,
    pins: u32,
    /// Work done.
    pub work: u64,
}

impl Trial {
    pub fn new(prepared: &Prepared) -> Self {
        Self {
            stops: Vec::new(),
            factors: Vec::new(),
            until: Vec::new(),
            after: Vec::new(),
            head: 0,
            tail: 0,
            until_known: 0,
            after_known: 0,
            total: 0,
            shift: 0,
            kinds: Kinds::new(prepared),
            taken: 0,
            changes: 0,
            on_port: Vec::new(),
            pins: 0,
            work: 0,
        }
    }

    /// Begins with an order as it is.
    pub fn begin(&mut self, order: &Order) {
        let n = order.stops.len();
        self.stops.clone_from(&order.stops);
        self.factors.clone_from(&order.timing.factors);
        (self.head, self.tail, self.until_known, self.after_known) = (n, n, n, n);
        self.kinds.clone_from(&order.kinds);
        self.shift = 0;
        self.taken = 0;
        self.changes = order.changes;
        self.on_port.clone_from(&order.on_port);
        self.pins = order.pins;
    }

    /// What is known of the values when all up to a gap stays, and so many stops after it.
    fn keep(&mut self, before: usize, after: usize) {
        self.head = self.head.min(before);
        self.until_known = self.until_known.min(before);
        self.tail = self.tail.min(after);
        self.after_known = self.after_known.min(after);
    }

    /// Takes out the stop at an index.
    pub fn take(&mut self, prepared: &Prepared, at: usize) {
        let stop = self.stops.remove(at);
        let counted = self.factors.remove(at);
        self.keep(at, self.stops.len() - at);
        let choice = &prepared.choices[stop.choice as usize];
        let value = prepared.value(stop.choice as usize, stop.start);
        self.kinds.take(prepared, stop);
        self.shift += value.cast_signed() * counted / 1000 - self.kinds.adds(choice.kind, value);
        self.taken += 1;
        self.on_port[choice.port as usize] -= 1;
        self.pins -= u32::from(choice.keeps_pin);
    }

    /// Puts in a stop before the one at an index.
    pub fn put(&mut self, prepared: &Prepared, at: usize, stop: Stop) {
        self.keep(at, self.stops.len() - at);
        let choice = &prepared.choices[stop.choice as usize];
        let value = prepared.value(stop.choice as usize, stop.start);
        let adds = self.kinds.adds(choice.kind, value);
        let counts = self.kinds.put(prepared, stop);
        self.shift += adds - value.cast_signed() * counts / 1000;
        self.stops.insert(at, stop);
        self.factors.insert(at, counts);
        self.taken -= 1;
        self.on_port[choice.port as usize] += 1;
        self.pins += u32::from(choice.keeps_pin);
    }

    /// Moves the stop at an index to another.
    pub fn shift(&mut self, from: usize, to: usize) {
        let stop = self.stops.remove(from);
        let counted = self.factors.remove(from);
        self.stops.insert(to, stop);
        self.factors.insert(to, counted);
        self.keep(from.min(to), self.stops.len() - 1 - from.max(to));
    }

    /// Carries the values through what was changed; `false` where the stops can't stand so.
    pub fn run(&mut self, prepared: &Prepared, moves: &mut Moves, order: &Order) -> bool {
        let n = self.stops.len();
        if self.until.len() < n + 1 {
            self.until.resize_with(n + 1, Span::default);
            self.after.resize_with(n + 1, Span::default);
        }
        let choice = |i: usize| self.stops.get(i).map(|stop| stop.choice as usize);
        let mut limit = self.after(order, n - self.after_known).last();
        let mut next = choice(n - self.after_known);
        for k in self.after_known + 1..=n {
            let c = self.stops[n - k].choice as usize;
            let Some(latest) = latest_start((prepared, moves), c, next, limit) else { return false };
            self.after[k].first = latest;
            (next, limit) = (Some(c), latest);
        }
        let mut from = self.until_known.checked_sub(1).and_then(choice);
        for i in self.until_known..n {
            let c = self.stops[i].choice as usize;
            let k = n - i;
            let latest = if k > self.after_known { self.after[k].first } else { self.after(order, i).last() };
            let mut out = take(&mut self.until[i + 1]);
            let step = Step { prepared, c, factor: self.factors[i] };
            let first = step.carry_forward(moves, from, self.until(order, i), (latest, 0), &mut out);
            self.until[i + 1] = out;
            let Some(first) = first else { return false };
            self.work += u64::from(latest - first + 8) / 4;
            from = Some(c);
        }
        self.until_known = n;
        let mut next = choice(n - self.after_known);
        for k in self.after_known + 1..=n {
            let c = self.stops[n - k].choice as usize;
            let duration = prepared.choices[c].duration;
            let mut out = take(&mut self.after[k]);
            let latest = out.first;
            let earliest = self.until(order, n - k + 1).first - duration;
            if earliest > latest {
                return false;
            }
            out.reset(earliest, latest);
            let step = Step { prepared, c, factor: self.factors[n - k] };
            step.carry_back(moves, next, self.after(order, n - k + 1), &mut out);
            self.after[k] = out;
            self.work += u64::from(latest - earliest + 8) / 4;
            next = Some(c);
        }
        self.after_known = n;
        self.total = self.until(order, n).end();
        self.changes = changes(prepared, &self.stops);
        true
    }

    /// The best of the stops before a gap, by the step at which it can be left for.
    #[inline]
    pub fn until<'a>(&'a self, order: &'a Order, gap: usize) -> &'a Span {
        if gap <= self.head { &order.timing.until[gap] } else { &self.until[gap] }
    }

    /// The best of the stops after a gap, by the step at which the first of them can start.
    #[inline]
    pub fn after<'a>(&'a self, order: &'a Order, gap: usize) -> &'a Span {
        let k = self.stops.len() - gap;
        if k <= self.tail { &order.timing.after[k] } else { &self.after[k] }
    }

    /// Tells it what it is worth since its last stop was put in, without carrying the values through.
    pub fn tell(&mut self, prepared: &Prepared, worth: i32) {
        self.changes = changes(prepared, &self.stops);
        self.total = worth - self.shift;
    }

    /// About what it is worth.
    pub fn worth(&self) -> i32 {
        self.total + self.shift
    }

    /// Wishes that it breaks.
    pub fn broken(&self, prepared: &Prepared) -> u32 {
        let missing = self.on_port.iter().zip(&prepared.min_stops).map(|(n, least)| least.saturating_sub(*n));
        missing.sum::<u32>() + prepared.pinned.len() as u32 - self.pins
    }

    /// Whether it shows what an order shows, one after another.
    pub fn is_as(&self, order: &Order) -> bool {
        self.stops.iter().map(|stop| stop.choice).eq(order.stops.iter().map(|stop| stop.choice))
    }
}

fn changes(prepared: &Prepared, stops: &[Stop]) -> u32 {
    prepared.changes_along(None, stops.iter().map(|stop| stop.choice as usize))
}
