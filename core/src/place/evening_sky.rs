//! All that a site and a night decide, prepared once; makes one observer per instant.

use std::fmt;

use super::ObserverAt;
use crate::earth::{EarthOrientation, EveningFrame, GeodeticPlace};
use crate::ephemeris::Ephemeris;
use crate::time::{Instant, Interval};

/// The sky over one place during one span of time (a night, at most a few days).
#[derive(Clone, Debug)]
pub struct EveningSky<'e> {
    pub(super) ephemeris: &'e Ephemeris,
    pub(super) place: GeodeticPlace,
    pub(super) frame: EveningFrame,
}

/// The instant lies outside the years of the ephemeris.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OutsideSpan;

impl fmt::Display for OutsideSpan {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the date is outside the years of the ephemeris; choose one from 1950 to 2100")
    }
}

impl std::error::Error for OutsideSpan {}

impl<'e> EveningSky<'e> {
    /// Prepares the span.
    ///
    /// # Errors
    /// When part of the span is outside the years of the ephemeris.
    pub fn new(
        ephemeris: &'e Ephemeris,
        place: GeodeticPlace,
        orientation: EarthOrientation,
        span: Interval,
    ) -> Result<Self, OutsideSpan> {
        todo!()
    }

    /// The prepared span.
    pub fn span(&self) -> Interval {
        todo!()
    }

    /// The place.
    pub fn place(&self) -> GeodeticPlace {
        self.place
    }

    /// Everything that the instant decides. An instant outside the span is taken at its nearer end.
    pub fn at(&self, instant: Instant) -> ObserverAt<'_> {
        todo!()
    }
}
