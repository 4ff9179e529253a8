//! All that a site and a night decide, prepared once; makes one observer per instant.

use std::fmt;

use super::ObserverAt;
use crate::earth::{EarthOrientation, EveningFrame, GeodeticPlace};
use crate::ephemeris::{Body, EARTH_MOON_MASS_RATIO, Ephemeris, Series};
use crate::maths::{Mat3, Vec3};
use crate::time::{Instant, Interval};

/// The sky over one place during one span of time (a night, at most a few days).
#[derive(Clone, Debug)]
pub struct EveningSky<'e> {
    ephemeris: &'e Ephemeris,
    place: GeodeticPlace,
    frame: EveningFrame,
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
        let (first, last) = ephemeris.span_tdb_s();
        if span.start().tdb_seconds() < first + MARGIN_S || span.end().tdb_seconds() > last - MARGIN_S {
            return Err(OutsideSpan);
        }
        Ok(Self {
            ephemeris,
            place,
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

    /// A body and the Sun, from the barycentre of the Solar System, in kilometres.
    pub(super) fn body_and_sun_km(&self, body: Body, tdb_s: f64) -> (Vec3, Vec3) {
        let sun = self.vector_km(Series::SunFromBarycentre, tdb_s);
        let from_sun = match body {
            Body::Sun => Vec3::default(),
            Body::Moon => {
                let from_earth = self.vector_km(Series::MoonFromEarth, tdb_s);
                // The Earth-Moon barycentre divides the line from Earth to Moon by their masses.
                self.vector_km(Series::EarthMoonBarycentre, tdb_s)
                    + from_earth * (EARTH_MOON_MASS_RATIO / (1.0 + EARTH_MOON_MASS_RATIO))
            }
            Body::Mercury => self.vector_km(Series::Mercury, tdb_s),
            Body::Venus => self.vector_km(Series::Venus, tdb_s),
            Body::Mars => self.vector_km(Series::Mars, tdb_s),
            Body::Jupiter => self.vector_km(Series::Jupiter, tdb_s),
            Body::Saturn => self.vector_km(Series::Saturn, tdb_s),
            Body::Uranus => self.vector_km(Series::Uranus, tdb_s),
            Body::Neptune => self.vector_km(Series::Neptune, tdb_s),
        };
        (sun + from_sun, sun)
    }

    /// Place and velocity of the Earth's centre from the barycentre of the Solar System, in kilometres and
    /// kilometres a second; and the place of the Sun.
    pub(super) fn earth_and_sun_km(&self, tdb_s: f64) -> (Vec3, Vec3, Vec3) {
        let state = |series| {
            let (place, velocity) =
                self.ephemeris.place_and_velocity(series, tdb_s).expect(INSIDE_THE_EPHEMERIS);
            (Vec3::from_array(place), Vec3::from_array(velocity))
        };
        let (sun, sun_velocity) = state(Series::SunFromBarycentre);
        let (barycentre, barycentre_velocity) = state(Series::EarthMoonBarycentre);
        let (moon, moon_velocity) = state(Series::MoonFromEarth);
        let share = 1.0 / (1.0 + EARTH_MOON_MASS_RATIO);
        let earth = sun + barycentre - moon * share;
        (earth, sun_velocity + barycentre_velocity - moon_velocity * share, sun)
    }

    fn vector_km(&self, series: Series, tdb_s: f64) -> Vec3 {
        Vec3::from_array(self.ephemeris.place(series, tdb_s).expect(INSIDE_THE_EPHEMERIS))
    }
}

const INSIDE_THE_EPHEMERIS: &str = "the span was checked to lie inside the ephemeris with hours to spare";
