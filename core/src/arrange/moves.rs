//! What moves take, remembered: in trial after trial mostly the same stops stand side by side.

use super::prepared::{Choice, Prepared};

/// So many pairs of choices are remembered.
const PAIRS: usize = 512;

/// The moves of pairs, each in the one place where it may be remembered; it takes that from another.
#[derive(Clone, Debug)]
pub(super) struct Moves {
    /// Which pair stands in each place.
    pairs: Vec<(Option<u32>, u32)>,
    /// Steps by place and position; 0 where they are not known.
    steps: Vec<u8>,
    positions: usize,
}

/// The moves from one choice to another.
pub(super) struct Between<'m> {
    prepared: &'m Prepared,
    from: (u32, u32),
    to: &'m Choice,
    steps: &'m mut [u8],
}

impl Moves {
    pub fn new(prepared: &Prepared) -> Self {
        let positions = prepared.positions as usize;
        Self { pairs: vec![(None, u32::MAX); PAIRS], steps: vec![0; PAIRS * positions], positions }
    }

    /// The moves from a choice (`None` for the start) to another.
    #[inline]
    pub fn between<'m>(&'m mut self, prepared: &'m Prepared, from: Option<usize>, to: usize) -> Between<'m> {
        let pair = (from.map(|c| c as u32), to as u32);
        // Fibonacci hashing (Knuth 1998, The Art of Computer Programming 3, 2nd ed., 6.4).
        let mixed = (pair.0.map_or(0, |c| c + 1).rotate_left(16) ^ pair.1).wrapping_mul(0x9E37_79B9);
        let place = mixed as usize >> 16 & (PAIRS - 1);
        let steps = &mut self.steps[place * self.positions..][..self.positions];
        if self.pairs[place] != pair {
            self.pairs[place] = pair;
            steps.fill(0);
        }
        Between { prepared, from: prepared.stands(from), to: &prepared.choices[to], steps }
    }
}

impl Between<'_> {
    /// Steps of the move left for at a position.
    #[inline]
    pub fn steps(&mut self, position: u32) -> u32 {
        match self.steps[position as usize] {
            0 => self.reckon(position),
            known => u32::from(known),
        }
    }

    fn reckon(&mut self, position: u32) -> u32 {
        let (target, port) = self.from;
        let steps = self.prepared.move_steps(target, port, self.to, position);
        // More than can be written down is reckoned each time.
        self.steps[position as usize] = u8::try_from(steps).unwrap_or(0);
        steps
    }
}

#[cfg(test)]
mod tests {
    use super::Moves;
    use crate::arrange::prepared::Prepared;
    use crate::arrange::sample;

    #[test]
    fn remembered_moves_are_those_reckoned() {
        let prepared = Prepared::new(&sample::problem());
        let mut moves = Moves::new(&prepared);
        let choices = prepared.choices.len();
        for _ in 0..2 {
            for from in (0..choices).map(Some).chain([None]) {
                for to in 0..choices {
                    for leave in 0..=prepared.steps {
                        let steps = moves.between(&prepared, from, to).steps(prepared.position(leave));
                        assert_eq!(steps, prepared.travel(from, to, leave));
                    }
                }
            }
        }
    }
}
