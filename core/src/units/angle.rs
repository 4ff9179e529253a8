//! An angle in radians, made and read in any unit, wrapped on demand.

use std::f64::consts::{PI, TAU};
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// An angle. Held in radians; never wrapped unless asked.
///
/// ```
/// use evenfall_core::units::Angle;
/// let right = Angle::from_degrees(90.0);
/// assert_eq!(right.hours(), 6.0);
/// assert_eq!((right * 5.0).wrapped(), right);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Angle(f64);

impl Angle {
    /// No angle at all.
    pub const ZERO: Self = Self(0.0);

    /// From radians.
    pub const fn from_radians(radians: f64) -> Self {
        Self(radians)
    }

    /// From degrees.
    pub const fn from_degrees(degrees: f64) -> Self {
        Self(degrees * (PI / 180.0))
    }

    /// From hours of right ascension or hour angle, 24 to the turn.
    pub const fn from_hours(hours: f64) -> Self {
        Self(hours * (PI / 12.0))
    }

    /// From minutes of arc, 60 to the degree.
    pub const fn from_arcminutes(arcminutes: f64) -> Self {
        Self(arcminutes * (PI / 10_800.0))
    }

    /// From seconds of arc, 3600 to the degree.
    pub const fn from_arcseconds(arcseconds: f64) -> Self {
        Self(arcseconds * (PI / 648_000.0))
    }

    /// In radians.
    pub const fn radians(self) -> f64 {
        self.0
    }

    /// In degrees.
    pub const fn degrees(self) -> f64 {
        self.0 * (180.0 / PI)
    }

    /// In hours, 24 to the turn.
    pub const fn hours(self) -> f64 {
        self.0 * (12.0 / PI)
    }

    /// In minutes of arc.
    pub const fn arcminutes(self) -> f64 {
        self.0 * (10_800.0 / PI)
    }

    /// In seconds of arc.
    pub const fn arcseconds(self) -> f64 {
        self.0 * (648_000.0 / PI)
    }

    /// The same direction, from 0 (included) to a full turn (excluded).
    #[must_use]
    pub fn wrapped(self) -> Self {
        // The usual turn first: the general remainder takes ten times as long.
        let wrapped = match self.0 {
            within if (0.0..TAU).contains(&within) => within,
            before if (-TAU..0.0).contains(&before) => before + TAU,
            other => other.rem_euclid(TAU),
        };
        // A tiny negative number rounds up to the whole turn.
        Self(if wrapped >= TAU { 0.0 } else { wrapped })
    }

    /// The same direction, from minus half a turn (excluded) to half a turn (included).
    #[must_use]
    pub fn wrapped_signed(self) -> Self {
        let wrapped = self.wrapped().0;
        Self(if wrapped > PI { wrapped - TAU } else { wrapped })
    }

    /// Its size, without sign.
    #[must_use]
    pub fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// The smaller of two.
    #[must_use]
    pub fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }

    /// The larger of two.
    #[must_use]
    pub fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }

    /// Its sine.
    pub fn sin(self) -> f64 {
        self.0.sin()
    }

    /// Its cosine.
    pub fn cos(self) -> f64 {
        self.0.cos()
    }

    /// Its tangent.
    pub fn tan(self) -> f64 {
        self.0.tan()
    }

    /// Sine and cosine together.
    pub fn sin_cos(self) -> (f64, f64) {
        self.0.sin_cos()
    }
}

impl Add for Angle {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Angle {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Angle {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl SubAssign for Angle {
    fn sub_assign(&mut self, other: Self) {
        self.0 -= other.0;
    }
}

impl Neg for Angle {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<f64> for Angle {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Div<f64> for Angle {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self(self.0 / divisor)
    }
}

impl Div for Angle {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}

impl Sum for Angle {
    fn sum<I: Iterator<Item = Self>>(angles: I) -> Self {
        Self(angles.map(|angle| angle.0).sum())
    }
}

#[cfg(test)]
mod tests {
    use super::Angle;

    #[test]
    fn wraps_into_one_turn() {
        assert!((Angle::from_degrees(-30.0).wrapped().degrees() - 330.0).abs() < 1e-12);
        assert_eq!(Angle::from_radians(-1e-18).wrapped(), Angle::ZERO);
        assert!((Angle::from_degrees(190.0).wrapped_signed().degrees() + 170.0).abs() < 1e-12);
        assert!((Angle::from_degrees(180.0).wrapped_signed().degrees() - 180.0).abs() < 1e-12);
    }

    #[test]
    fn reads_back_in_each_unit() {
        let angle = Angle::from_arcseconds(54_000.0);
        assert!((angle.degrees() - 15.0).abs() < 1e-12);
        assert!((angle.hours() - 1.0).abs() < 1e-12);
        assert!((angle.arcminutes() - 900.0).abs() < 1e-9);
    }
}
