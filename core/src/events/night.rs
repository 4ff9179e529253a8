//! The summary of a night that every later layer reads.

use super::Crossings;
use crate::place::EveningSky;
use crate::time::{Instant, Interval, LocalNight};
use crate::units::{Angle, Fraction};

/// The Moon's phase in words of the trade.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MoonPhase {
    /// New Moon, within a day.
    New,
    /// Waxing crescent.
    WaxingCrescent,
    /// First quarter, within a day.
    FirstQuarter,
    /// Waxing gibbous.
    WaxingGibbous,
    /// Full Moon, within a day.
    Full,
    /// Waning gibbous.
    WaningGibbous,
    /// Last quarter, within a day.
    LastQuarter,
    /// Waning crescent.
    WaningCrescent,
}

/// A night at a site.
#[derive(Clone, Debug, PartialEq)]
pub struct Night {
    /// The local night, noon to noon.
    pub local: LocalNight,
    /// Sunset (down) and sunrise (up).
    pub sun: Crossings,
    /// Civil twilight: Sun at 6 degrees below.
    pub civil: Crossings,
    /// Nautical twilight: 12 degrees.
    pub nautical: Crossings,
    /// Astronomical twilight: 18 degrees.
    pub astronomical: Crossings,
    /// Moonrise and moonset.
    pub moon: Crossings,
    /// The Sun's lowest airless altitude of the night and when.
    pub sun_lowest: (Instant, Angle),
    /// The Moon's lit share in the middle of the night (topocentric).
    pub moon_illuminated: Fraction,
    /// The Moon's phase at that time.
    pub moon_phase: MoonPhase,
    /// Stretch with the Sun more than 18 degrees below, if any.
    pub dark: Option<Interval>,
}

/// Summarises the night.
pub fn night(sky: &EveningSky<'_>, local: LocalNight) -> Night {
    todo!()
}
