//! Orders parted in two where the best priced ones differ: by the port on which a part of the evening is spent.
//!
//! Prices let orders be mixed that could not be more different: half an evening on one port in one, on another in the
//! next. Of either side the bound is lower (Land & Doig 1960, *An automatic method of solving discrete programming
//! problems*, Econometrica 28, 497).

use super::prepared::{Choice, Prepared, Stop};
use super::relaxed::Relaxed;

/// A part of less weight is not worth a side of its own.
const LEAST_PART: f64 = 0.02;

/// One side of a fork: the first stop that ends in a chunk or later is on a port, or is not.
#[derive(Clone, Copy, Debug)]
pub(super) struct Side {
    pub chunk: usize,
    port: u32,
    on: bool,
}

impl Side {
    /// Whether the first stop that ends in the chunk or later may be this.
    pub fn holds(self, choice: &Choice) -> bool {
        (choice.port == self.port) == self.on
    }

    /// Whether an order is on this side; one that ends before is on both.
    pub fn allows(self, prepared: &Prepared, relaxed: &Relaxed, stops: &[Stop]) -> bool {
        first_ending(prepared, relaxed, stops, self.chunk).is_none_or(|choice| self.holds(choice))
    }
}

/// Both sides of the fork that parts some orders, each with its weight, most evenly.
pub(super) fn fork<'o>(
    prepared: &Prepared,
    relaxed: &Relaxed,
    orders: impl Iterator<Item = (f64, &'o [Stop])>,
) -> Option<[Side; 2]> {
    let ports = prepared.ports as usize;
    let mut parts = vec![0.0; relaxed.chunks.len() * ports];
    for (weight, stops) in orders {
        for (chunk, parts) in parts.chunks_exact_mut(ports).enumerate() {
            if let Some(choice) = first_ending(prepared, relaxed, stops, chunk) {
                parts[choice.port as usize] += weight;
            }
        }
    }
    let even = |at: usize| f64::min(parts[at], 1.0 - parts[at]);
    let at =
        (0..parts.len()).max_by(|a, b| even(*a).total_cmp(&even(*b))).filter(|at| even(*at) > LEAST_PART)?;
    Some([true, false].map(|on| Side { chunk: at / ports, port: (at % ports) as u32, on }))
}

/// The first stop of an order that ends in a chunk or later.
fn first_ending<'p>(
    prepared: &'p Prepared,
    relaxed: &Relaxed,
    stops: &[Stop],
    chunk: usize,
) -> Option<&'p Choice> {
    let step = relaxed.chunks[chunk].start;
    let mut ending = stops.iter().map(|stop| (stop.start, &prepared.choices[stop.choice as usize]));
    ending.find(|(start, choice)| start + choice.duration >= step).map(|(_, choice)| choice)
}

#[cfg(test)]
mod tests {
    use super::{Side, fork};
    use crate::arrange::open::{Closing, Open};
    use crate::arrange::prepared::{Prepared, Stop};
    use crate::arrange::prices::{KeptWishes, Prices};
    use crate::arrange::relaxed::Relaxed;
    use crate::arrange::sample;

    /// Less than any order is worth: nothing is closed for being worth too little.
    const NO_FLOOR: i32 = -1_000_000;

    /// The best score of all orders that go on from some stops, and the stops that reach it, every start tried.
    fn brute(
        prepared: &Prepared,
        (relaxed, open): (&Relaxed, &Open),
        stops: &mut Vec<Stop>,
    ) -> (u32, Vec<Stop>) {
        let mut best = (prepared.standing(stops).score, stops.clone());
        let from = stops.last().map(|stop| stop.choice as usize);
        let leave = stops
            .last()
            .map_or(prepared.start_step, |stop| stop.start + prepared.choices[stop.choice as usize].duration);
        for (c, choice) in prepared.choices.iter().enumerate() {
            let again =
                stops.iter().any(|stop| prepared.choices[stop.choice as usize].target == choice.target);
            let follows = from.is_none_or(|from| open.may_follow(relaxed.chunk(leave), from, c));
            if again || !follows {
                continue;
            }
            for start in leave + prepared.travel(from, c, leave)..=choice.last {
                if start >= choice.first && open.may_start(c, start) {
                    stops.push(Stop { choice: c as u32, start });
                    let found = brute(prepared, (relaxed, open), stops);
                    if found.0 > best.0 {
                        best = found;
                    }
                    stops.pop();
                }
            }
        }
        best
    }

    /// Everything open, with the moves listed.
    fn all_open(prepared: &Prepared, prices: &Prices, kept: &KeptWishes) -> (Relaxed, Open) {
        let (mut relaxed, mut open) = (Relaxed::new(prepared), Open::new(prepared));
        fill(prepared, prices, kept, (&mut relaxed, &open));
        let mut closing = Closing::new(prepared, prices, NO_FLOOR);
        for chunk in 0..relaxed.chunks.len() {
            closing.go_through(prepared, prices, (&mut relaxed, &mut open), chunk);
        }
        closing.finish(&mut open);
        (relaxed, open)
    }

    fn fill(prepared: &Prepared, prices: &Prices, kept: &KeptWishes, (relaxed, open): (&mut Relaxed, &Open)) {
        relaxed.set_prices(prepared, prices, kept, open);
        (0..relaxed.chunks.len()).rev().for_each(|chunk| relaxed.solve(prepared, prices, open, chunk));
    }

    #[test]
    fn one_side_of_every_fork_holds_the_best_order_and_no_bound_is_below_it() {
        let prepared = Prepared::new(&sample::problem());
        let kept = KeptWishes::of(&prepared, &[], prepared.standing(&[]));
        let prices = Prices::guess(&prepared, &[], 64);
        let (mut relaxed, open) = all_open(&prepared, &prices, &kept);
        let (best, order) = brute(&prepared, (&relaxed, &open), &mut Vec::new());
        // By hand: the planet at once, the galaxy before the break, the cluster by the wide camera as soon as it may start.
        assert_eq!((best, order.len()), (500 + 400 * 700 / 1000 + 300 * 500 / 1000, 3));
        let constant = prices.constant(&prices.allowed(&prepared, &kept));
        let mut narrower = 0;
        for (chunk, port) in (0..relaxed.chunks.len()).flat_map(|chunk| [(chunk, 0), (chunk, 1)]) {
            let sides = [true, false].map(|on| Side { chunk, port, on });
            let scores = sides.map(|side| {
                let mut part = open.clone();
                part.keep_to(&prepared, &relaxed.chunks, side);
                let (score, stops) = brute(&prepared, (&relaxed, &part), &mut Vec::new());
                fill(&prepared, &prices, &kept, (&mut relaxed, &part));
                let (worth, _) = relaxed.best_order(&prepared, &prices, &part);
                let bound = worth + constant;
                assert!(bound >= i64::from(score) * 64, "{side:?}: {bound} is below {score} of {stops:?}");
                assert!(!side.allows(&prepared, &relaxed, &order) || score == best, "{side:?}: {score}");
                score
            });
            assert_eq!(scores[0].max(scores[1]), best);
            narrower += u32::from(scores[0] != scores[1]);
        }
        assert!(narrower > 0, "no fork closes anything");
    }

    #[test]
    fn orders_are_parted_where_their_ports_differ() {
        let prepared = Prepared::new(&sample::problem());
        let relaxed = Relaxed::new(&prepared);
        // The cluster by the eyepiece in one, by the wide camera in the other, after the same planet.
        let orders = [2, 3].map(|choice| [Stop { choice: 0, start: 2 }, Stop { choice, start: 30 }]);
        let weighed = |weights: [f64; 2]| weights.into_iter().zip(orders.iter().map(|order| &order[..]));
        let sides = fork(&prepared, &relaxed, weighed([0.6, 0.4])).expect("they differ");
        for side in sides {
            let allowed = orders.iter().filter(|order| side.allows(&prepared, &relaxed, *order)).count();
            assert_eq!(allowed, 1, "{side:?}");
        }
        assert!(fork(&prepared, &relaxed, weighed([0.99, 0.01])).is_none());
    }
}
