//! The best priced order, step by step backward through the evening: exact for the rules that the prices let go.

use super::prepared::{NO_PORT, Prepared, Stop};
use super::prices::{KeptWishes, Overuse, Prices};
use super::timing::NEVER;

/// Tables of the backward dynamic program. Nodes stand `stride` steps apart: with 1 the values are exact, else they are
/// interpolated and only good for finding prices.
#[derive(Clone, Debug)]
pub(super) struct Relaxed {
    width: usize,
    stride: u32,
    nodes: usize,
    /// By node and choice: the most that can follow when the choice ends there.
    ahead: Vec<i32>,
    /// By node and choice: the most from the choice started there or later, and when it then starts.
    from: Vec<i32>,
    at: Vec<u16>,
    /// Choices, those that promise most at the node first, and what they promise.
    order: Vec<u32>,
    promise: Vec<i32>,
    /// By kind and value: the most that a stop earns with the rank that it takes.
    gains: Vec<Vec<i32>>,
    /// By choice: what its port earns less what its target costs.
    own: Vec<i32>,
    /// By choice: the steps before it without any slew or change.
    nearest: Vec<u32>,
    scale: i32,
    pub work: u64,
}

impl Relaxed {
    /// How many cells each table of a problem has.
    pub fn cells(prepared: &Prepared) -> usize {
        prepared.choices.len() * (prepared.steps as usize + 3)
    }

    pub fn new(prepared: &Prepared, stride: u32, scale: i32) -> Self {
        let width = prepared.choices.len();
        let nodes = (prepared.steps / stride) as usize + 2;
        Self {
            width,
            stride,
            nodes,
            ahead: vec![0; (nodes + 1) * width],
            from: vec![NEVER; (nodes + 1) * width],
            at: vec![0; (nodes + 1) * width],
            order: (0..width as u32).collect(),
            promise: vec![0; width],
            gains: Vec::new(),
            own: Vec::new(),
            nearest: prepared.choices.iter().map(|c| prepared.move_steps(c.target, c.port, c, 0)).collect(),
            scale,
            work: 0,
        }
    }

    fn set_gains(&mut self, prepared: &Prepared, prices: &Prices, kept: &KeptWishes) {
        let mut most = vec![0_u32; prepared.factors.len()];
        for choice in &prepared.choices {
            let most = &mut most[choice.kind as usize];
            *most = (*most).max(choice.best);
        }
        self.gains = most
            .iter()
            .enumerate()
            .map(|(kind, most)| {
                (0..=*most).map(|value| self.best_rank(prepared, prices, kind, value).0).collect()
            })
            .collect();
        let own = prepared.choices.iter().map(|c| {
            if c.breaks_pin && kept.pinned[c.target as usize] {
                NEVER / 2
            } else {
                prices.port[c.port as usize] - prices.target[c.target as usize]
            }
        });
        self.own = own.collect();
    }

    /// What a value of a kind earns with the rank that pays most after its price, and which that is.
    fn best_rank(&self, prepared: &Prepared, prices: &Prices, kind: usize, value: u32) -> (i32, usize) {
        let mut best = (NEVER, 0);
        for (rank, (factor, price)) in prepared.factors[kind].iter().zip(&prices.rank[kind]).enumerate() {
            let gain = (value * factor / 1000).cast_signed() * self.scale - price;
            if gain > best.0 {
                best = (gain, rank);
            }
        }
        best
    }

    #[inline]
    fn ahead(&self, step: u32, c: usize) -> i32 {
        let j = (step / self.stride) as usize * self.width + c;
        if self.stride == 1 {
            return self.ahead[j];
        }
        self.between(self.ahead[j], self.ahead[j + self.width], step)
    }

    #[inline]
    fn from(&self, step: u32, c: usize) -> i32 {
        if self.stride == 1 {
            return self.from[(step as usize).min(self.nodes) * self.width + c];
        }
        let j = ((step / self.stride) as usize).min(self.nodes - 1) * self.width + c;
        let (here, next) = (self.from[j], self.from[j + self.width]);
        if next <= NEVER { here } else { self.between(here, next, step) }
    }

    fn between(&self, here: i32, next: i32, step: u32) -> i32 {
        here + ((next - here) as f32 * (step % self.stride) as f32 / self.stride as f32) as i32
    }

    fn start(&self, step: u32, c: usize) -> u32 {
        let j = ((step / self.stride) as usize).min(self.nodes);
        let at = u32::from(self.at[j * self.width + c]);
        if at < step + self.stride { step } else { at }
    }

    /// Fills the tables for some prices.
    pub fn solve(&mut self, prepared: &Prepared, prices: &Prices, kept: &KeptWishes) {
        self.set_gains(prepared, prices, kept);
        let width = self.width;
        self.from[(self.nodes - 1) * width..].fill(NEVER);
        for j in (0..self.nodes).rev() {
            let step = j as u32 * self.stride;
            let row = j * width..(j + 1) * width;
            if step > prepared.steps {
                self.ahead[row.clone()].fill(0);
                self.from[row].fill(NEVER);
                continue;
            }
            if step + self.stride <= prepared.start_step {
                break;
            }
            self.begin_at(prepared, step, row.start);
            self.set_promise(step);
            // Nearly in order from the node before.
            for i in 1..width {
                let choice = self.order[i];
                let promise = self.promise[choice as usize];
                let mut k = i;
                while k > 0 && self.promise[self.order[k - 1] as usize] < promise {
                    self.order[k] = self.order[k - 1];
                    k -= 1;
                }
                self.order[k] = choice;
            }
            let position = prepared.position(step);
            for c in 0..width {
                let here = &prepared.choices[c];
                let ends = here.first + here.duration..here.last + here.duration + self.stride;
                if step + self.stride > ends.start && step < ends.end {
                    let next = self.best_next(prepared, prices, step, (here.target, here.port), position);
                    self.ahead[row.start + c] = next.map_or(0, |next| next.0);
                }
            }
        }
    }

    /// What each choice is worth when it begins at a node or later.
    fn begin_at(&mut self, prepared: &Prepared, step: u32, row: usize) {
        for (c, choice) in prepared.choices.iter().enumerate() {
            let next = row + self.width + c;
            let (mut best, mut at) = (self.from[next], self.at[next]);
            if step <= choice.last && step + self.stride > choice.first {
                let start = step.max(choice.first);
                let value = prepared.value(c, start);
                if value > 0 {
                    let worth = self.gains[choice.kind as usize][value as usize]
                        + self.own[c]
                        + self.ahead(start + choice.duration, c);
                    if worth >= best {
                        (best, at) = (worth, start as u16);
                    }
                }
            }
            self.from[row + c] = best;
            self.at[row + c] = at;
        }
    }

    fn best_next(
        &mut self,
        prepared: &Prepared,
        prices: &Prices,
        step: u32,
        (target, port): (u32, u32),
        position: u32,
    ) -> Option<(i32, u32)> {
        let mut best = 0;
        let mut found = None;
        let mut work = 0;
        for c in &self.order {
            if self.promise[*c as usize] <= best {
                break;
            }
            work += 1;
            let next = &prepared.choices[*c as usize];
            if next.target == target {
                continue;
            }
            let ready = step + prepared.move_steps(target, port, next, position);
            if ready > next.last {
                continue;
            }
            let mut worth = self.from(ready, *c as usize);
            if port != NO_PORT && port != next.port {
                worth -= prices.change;
            }
            if worth > best {
                best = worth;
                found = Some((worth, *c));
            }
        }
        self.work += work;
        found
    }

    fn set_promise(&mut self, step: u32) {
        for c in 0..self.width {
            self.promise[c] = self.from(step + self.nearest[c], c);
        }
    }

    /// The best priced order of the solved tables, what it is worth, and what it overuses.
    pub fn best_order(&mut self, prepared: &Prepared, prices: &Prices, kept: &KeptWishes) -> (i64, Overuse) {
        let (mut place, mut leave) = (prepared.stands(None), prepared.start_step);
        let mut stops = Vec::new();
        let mut total = None;
        loop {
            self.set_promise(leave);
            let promise = &self.promise;
            self.order.sort_by_key(|c| -promise[*c as usize]);
            let position = prepared.position(leave);
            let next = self.best_next(prepared, prices, leave, place, position);
            total.get_or_insert(next.map_or(0, |next| next.0));
            let Some((_, c)) = next else { break };
            let choice = &prepared.choices[c as usize];
            let ready = leave + prepared.move_steps(place.0, place.1, choice, position);
            let start = self.start(ready, c as usize).min(choice.last);
            stops.push(Stop { choice: c, start });
            (place, leave) = ((choice.target, choice.port), start + choice.duration);
        }
        let overuse = Overuse::of(prepared, kept, &stops, |stop| {
            let c = stop.choice as usize;
            let value = prepared.value(c, stop.start);
            self.best_rank(prepared, prices, prepared.choices[c].kind as usize, value).1
        });
        (i64::from(total.unwrap_or(0)), overuse)
    }
}
