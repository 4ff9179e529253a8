//! Names, each kept once and known by a number: a million of them cost little more memory than their letters.

use std::collections::HashMap;
use std::hash::{BuildHasher, BuildHasherDefault, DefaultHasher, Hasher};

/// Passes a number on that is well mixed already.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Mixed(u64);

impl Hasher for Mixed {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        // Only numbers are hashed here; others are mixed by a multiplier of Knuth's (The Art of Computer Programming, vol. 3,
        // 6.4: the golden ratio times the word).
        for byte in bytes {
            self.0 = (self.0.rotate_left(8) ^ u64::from(*byte)).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        }
    }

    fn write_u64(&mut self, number: u64) {
        self.0 = number;
    }
}

/// Hashes of numbers that are well mixed already.
pub(super) type MixedState = BuildHasherDefault<Mixed>;

/// Names by numbers from 0, in the order in which they came.
#[derive(Debug, Default)]
pub(super) struct NameBook {
    text: String,
    ends: Vec<u32>,
    /// The number of the name of a hash. Where two names have one hash, the later stands at the next hash that is free.
    numbers: HashMap<u64, u32, MixedState>,
}

impl NameBook {
    /// The number of a name that is known.
    pub(super) fn number(&self, name: &str) -> Option<u32> {
        self.find(name).ok()
    }

    /// The number of a name, and whether it is new.
    pub(super) fn insert(&mut self, name: &str) -> (u32, bool) {
        let free = match self.find(name) {
            Ok(number) => return (number, false),
            Err(free) => free,
        };
        let number = self.ends.len() as u32;
        self.text.push_str(name);
        self.ends.push(u32::try_from(self.text.len()).expect("names of a list have less than 4 GB"));
        self.numbers.insert(free, number);
        (number, true)
    }

    /// A name by its number.
    pub(super) fn name(&self, number: u32) -> &str {
        let number = number as usize;
        let start = number.checked_sub(1).map_or(0, |before| self.ends[before] as usize);
        &self.text[start..self.ends[number] as usize]
    }

    /// The number of a name, or the hash under which it can be put.
    fn find(&self, name: &str) -> Result<u32, u64> {
        // The same on every run, as its keys are fixed.
        let mut hash = BuildHasherDefault::<DefaultHasher>::default().hash_one(name);
        while let Some(number) = self.numbers.get(&hash) {
            if self.name(*number) == name {
                return Ok(*number);
            }
            hash = hash.wrapping_add(1);
        }
        Err(hash)
    }
}

#[cfg(test)]
mod tests {
    use super::NameBook;

    #[test]
    fn each_name_has_one_number() {
        let mut book = NameBook::default();
        for (name, number) in [("ev 1", (0, true)), ("", (1, true)), ("ev 1", (0, false)), ("é", (2, true))]
        {
            assert_eq!(book.insert(name), number);
        }
        assert_eq!((book.name(0), book.name(1), book.name(2)), ("ev 1", "", "é"));
        assert_eq!((book.number("é"), book.number("e")), (Some(2), None));
    }
}
