//! All that a site and a night decide, prepared once; makes one observer per instant.

use std::fmt;

use super::ObserverAt;
use super::tracks::Tracks;
use crate::earth::{EarthOrientation, EveningFrame, GeodeticPlace};
use crate::ephemeris::Ephemeris;
use crate::maths::{Mat3, Vec3};
use crate::time::{Instant, Interval};

/// The sky over one place during one span of time (a night, at most a few days).
#[derive(Clone, Debug)]
pub struct EveningSky<'e> {
    ephemeris: &'e Ephemeris,
    place: GeodeticPlace,
    frame: EveningFrame,
    pub(super) tracks: Tracks,
    /// The place from the Earth's centre on Earth-fixed axes, in kilometres.
    pub(super) earth_fixed_km: Vec3,
    /// From Earth-fixed axes to east, north, up.
    pub(super) east_north_up: Mat3,
    /// Sine and cosine of the geodetic latitude.
    pub(super) latitude_sin_cos: (f64, f64),
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

/// Room kept at both ends of the ephemeris: light from Neptune is under way for at most 4.4 hours.
const MARGIN_S: f64 = 6.0 * 3600.0;

impl<'e> EveningSky<'e> {
    /// Prepares the span: some 0.01 ms.
    ///
    /// # Errors
    /// When part of the span is outside the years of the ephemeris.
    pub fn new(
        ephemeris: &'e Ephemeris,
        place: GeodeticPlace,
        orientation: EarthOrientation,
        span: Interval,
    ) -> Result<Self, OutsideSpan> {
        check_span(ephemeris, span)?;
        Ok(Self {
            ephemeris,
            place,
            tracks: Tracks::new(ephemeris, span),
            frame: EveningFrame::new(span, orientation),
            earth_fixed_km: place.earth_fixed_km(),
            east_north_up: place.east_north_up(),
            latitude_sin_cos: place.latitude.sin_cos(),
        })
    }

    /// The prepared span.
    pub fn span(&self) -> Interval {
        self.frame.span()
    }

    /// The place.
    pub fn place(&self) -> GeodeticPlace {
        self.place
    }

    /// The Earth's attitude through the span.
    pub fn frame(&self) -> &EveningFrame {
        &self.frame
    }

    /// Everything that the instant decides. An instant outside the span is taken at its nearer end.
    pub fn at(&self, instant: Instant) -> ObserverAt<'_> {
        ObserverAt::new(self, instant.clamp(self.span().start(), self.span().end()))
    }

    /// The ephemeris.
    pub(super) fn ephemeris(&self) -> &'e Ephemeris {
        self.ephemeris
    }
}

/// Whether light that arrives in the span left within the ephemeris.
pub(super) fn check_span(ephemeris: &Ephemeris, span: Interval) -> Result<(), OutsideSpan> {
    let (first, last) = ephemeris.span_tdb_s();
    let inside =
        first + MARGIN_S <= span.start().tdb_seconds() && span.end().tdb_seconds() <= last - MARGIN_S;
    if inside { Ok(()) } else { Err(OutsideSpan) }
}
