//! Numbers that look drawn by lot and are the same in every run.

/// `SplitMix64` (Steele, Lea & Flood 2014, *Fast splittable pseudorandom number generators*, OOPSLA), from a seed.
pub struct Draws(pub u64);

impl Draws {
    /// A whole number of 64 bits.
    pub const fn whole(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A whole number below a bound.
    pub const fn below(&mut self, bound: usize) -> usize {
        (self.whole() % bound as u64) as usize
    }

    /// A number from `least` to, but not, `most`.
    pub fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (self.whole() >> 11) as f64 / (1_u64 << 53) as f64 * (most - least)
    }

    /// One of them.
    pub fn of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())]
    }
}

#[cfg(test)]
mod tests {
    use super::Draws;

    #[test]
    fn the_first_draws_are_those_of_the_reference_implementation() {
        // The first numbers of seed 1234567 by `splitmix64.c`, Sebastiano Vigna, 2015, public domain; from memory.
        let mut draws = Draws(1_234_567);
        assert_eq!(
            [draws.whole(), draws.whole(), draws.whole()],
            [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]
        );
    }
}
