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
