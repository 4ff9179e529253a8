//! Division by a number that stays the same, for the many moves that a search reckons.

/// Division rounded up by a fixed number, as a product: exact for dividends and divisors below 2^20, which the checked
/// limits of a problem keep (n/d = floor(n (floor(2^40/d) + 1) / 2^40) while n d < 2^40).
#[derive(Clone, Copy, Debug)]
pub(super) struct Divisor {
    pub number: u32,
    reciprocal: u64,
}

impl Divisor {
    pub fn new(number: i64) -> Self {
        Self { number: number as u32, reciprocal: (1_u64 << 40) / number as u64 + 1 }
    }

    #[inline]
    pub fn floor(self, dividend: u32) -> u32 {
        ((u64::from(dividend) * self.reciprocal) >> 40) as u32
    }

    #[inline]
    pub fn ceil(self, dividend: u32) -> u32 {
        self.floor(dividend + self.number - 1)
    }
}

#[cfg(test)]
mod tests {
    use super::Divisor;

    #[test]
    fn division_by_a_product_is_division() {
        for number in [1, 2, 7, 30, 200, 417, 3600, 100_000] {
            let divisor = Divisor::new(number);
            for dividend in (0..400_000_u32).step_by(61).chain(0..500) {
                assert_eq!(i64::from(divisor.floor(dividend)), i64::from(dividend) / number);
            }
        }
    }
}
