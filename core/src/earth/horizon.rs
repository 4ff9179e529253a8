//! The lowest usable altitude by azimuth: trees, hills, the lip of the dome.

use std::fmt;

use crate::units::Angle;

/// A horizon profile: corners joined by straight lines in azimuth and altitude, closed across north.
#[derive(Clone, Debug, PartialEq)]
pub struct Horizon {
    /// (azimuth from 0 to a full turn, altitude), sorted by azimuth, azimuths distinct; empty means flat.
    corners: Vec<(Angle, Angle)>,
}

/// Why corners make no profile.
#[derive(Clone, Debug, PartialEq)]
pub enum HorizonError {
    /// A number that is not finite, or an altitude outside -10 to 90 degrees.
    OutOfRange {
        /// Position in the input, from 0.
        index: usize,
    },
    /// Two corners with the same azimuth and different altitudes.
    Contradiction {
        /// The azimuth, in degrees.
        azimuth_deg: f64,
    },
}

impl fmt::Display for HorizonError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfRange { index } => write!(
                f,
                "horizon corner {} must have an azimuth in degrees and an altitude from -10 to 90 degrees",
                index + 1
            ),
            Self::Contradiction { azimuth_deg } => write!(
                f,
                "the horizon has two different altitudes at azimuth {azimuth_deg}°; keep one of them"
            ),
        }
    }
}

impl std::error::Error for HorizonError {}

impl Horizon {
    /// A flat horizon at altitude 0.
    pub const fn flat() -> Self {
        Self { corners: Vec::new() }
    }

    /// From corners in any order and any turn; gaps are bridged by straight lines, also across north.
    ///
    /// # Errors
    /// Numbers out of range, or two altitudes at one azimuth.
    pub fn from_corners(corners: impl IntoIterator<Item = (Angle, Angle)>) -> Result<Self, HorizonError> {
        let mut kept: Vec<(Angle, Angle)> = Vec::new();
        for (index, (azimuth, altitude)) in corners.into_iter().enumerate() {
            if !azimuth.radians().is_finite() || !(-10.0..=90.0).contains(&altitude.degrees()) {
                return Err(HorizonError::OutOfRange { index });
            }
            kept.push((azimuth.wrapped(), altitude));
        }
        kept.sort_by(|one, other| one.0.radians().total_cmp(&other.0.radians()));
        if let Some(pair) = kept.windows(2).find(|pair| pair[0].0 == pair[1].0 && pair[0].1 != pair[1].1) {
            return Err(HorizonError::Contradiction { azimuth_deg: pair[0].0.degrees() });
        }
        kept.dedup();
        Ok(Self { corners: kept })
    }

    /// The corners, sorted by azimuth.
    pub fn corners(&self) -> &[(Angle, Angle)] {
        &self.corners
    }

    /// The lowest usable altitude in the direction of `azimuth`.
    pub fn altitude(&self, azimuth: Angle) -> Angle {
        let (Some(first), Some(last)) = (self.corners.first(), self.corners.last()) else {
            return Angle::ZERO;
        };
        let azimuth = azimuth.wrapped();
        let turn = Angle::from_degrees(360.0);
        let after = self.corners.partition_point(|corner| corner.0 <= azimuth);
        let (low_azimuth, low) = if after == 0 { (last.0 - turn, last.1) } else { self.corners[after - 1] };
        let (high_azimuth, high) = self.corners.get(after).copied().unwrap_or((first.0 + turn, first.1));
        let share = (azimuth - low_azimuth) / (high_azimuth - low_azimuth);
        low + (high - low) * share
    }
}

#[cfg(test)]
mod tests {
    use super::{Horizon, HorizonError};
    use crate::units::Angle;

    fn profile(corners: &[(f64, f64)]) -> Result<Horizon, HorizonError> {
        Horizon::from_corners(
            corners.iter().map(|(az, alt)| (Angle::from_degrees(*az), Angle::from_degrees(*alt))),
        )
    }

    fn altitude(horizon: &Horizon, azimuth_deg: f64) -> f64 {
        horizon.altitude(Angle::from_degrees(azimuth_deg)).degrees()
    }

    #[test]
    fn unsorted_corners_across_north_give_the_same_line() {
        let sorted = profile(&[(10.0, 4.0), (200.0, 20.0), (350.0, 8.0)]).unwrap();
        let shuffled = profile(&[(350.0, 8.0), (10.0, 4.0), (560.0, 20.0)]).unwrap();
        for azimuth_deg in [0.0, 5.0, 10.0, 105.0, 200.0, 275.0, 355.0, 359.9] {
            assert!((altitude(&sorted, azimuth_deg) - altitude(&shuffled, azimuth_deg)).abs() < 1e-9);
        }
        assert!((altitude(&sorted, 0.0) - 6.0).abs() < 1e-9);
        assert!((altitude(&sorted, 105.0) - 12.0).abs() < 1e-9);
    }

    #[test]
    fn one_corner_is_a_level_line_and_two_heights_a_contradiction() {
        assert!((altitude(&profile(&[(90.0, 7.0)]).unwrap(), 300.0) - 7.0).abs() < 1e-9);
        assert!(matches!(profile(&[(90.0, 7.0), (90.0, 8.0)]), Err(HorizonError::Contradiction { .. })));
        assert!(matches!(profile(&[(90.0, f64::NAN)]), Err(HorizonError::OutOfRange { index: 0 })));
    }
}
