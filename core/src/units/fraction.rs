//! A finite number from 0 to 1.

/// A finite number from 0 to 1: a share, a view, a part that is lit.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Fraction(f64);

impl Fraction {
    /// Nothing.
    pub const ZERO: Self = Self(0.0);
    /// All of it.
    pub const ONE: Self = Self(1.0);

    /// The fraction, if `value` is finite and from 0 to 1.
    pub fn new(value: f64) -> Option<Self> {
        (0.0..=1.0).contains(&value).then_some(Self(value))
    }

    /// The nearest fraction; not-a-number becomes 0.
    pub fn clamped(value: f64) -> Self {
        Self(if value.is_nan() { 0.0 } else { value.clamp(0.0, 1.0) })
    }

    /// The number, from 0 to 1.
    pub const fn value(self) -> f64 {
        self.0
    }

    /// The number in percent, from 0 to 100.
    pub fn percent(self) -> f64 {
        self.0 * 100.0
    }
}

#[cfg(test)]
mod tests {
    use super::Fraction;

    #[test]
    fn refuses_what_is_no_share() {
        assert_eq!(Fraction::new(1.000_001), None);
        assert_eq!(Fraction::new(f64::NAN), None);
        assert_eq!(Fraction::clamped(f64::NAN), Fraction::ZERO);
        assert_eq!(Fraction::clamped(7.0), Fraction::ONE);
    }
}
