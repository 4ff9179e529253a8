//! The summary of a night that every later layer reads.

use super::crossing::{STEP_S, altitude, at_level};
use super::search::{EXTREME_TOLERANCE_S, sample};
use super::{Crossings, EventKind, crossings};
use crate::ephemeris::Body;
use crate::maths::minimum;
use crate::place::{EveningSky, Source, moon_phase_longitude};
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
    /// The Moon's lit share in the middle of the window (topocentric).
    pub moon_illuminated: Fraction,
    /// The Moon's phase at that time.
    pub moon_phase: MoonPhase,
    /// Stretch with the Sun more than 18 degrees below, if any; the longest, should there be two.
    pub dark: Option<Interval>,
}

/// Summarises the night; the span of `sky` must hold its window.
pub fn night(sky: &EveningSky<'_>, local: LocalNight) -> Night {
    let window = local.window();
    let (sun, moon) = (Source::Body(Body::Sun), Source::Body(Body::Moon));
    let sun_altitude = |at_s| altitude(sky, &sun, window, at_s);
    let samples = sample(sun_altitude, window.seconds(), STEP_S);
    let sun_at = |level: Angle| at_level(&sun_altitude, &samples, level, window);

    let lowest = (0..samples.len())
        .min_by(|one, other| samples[*one].value.total_cmp(&samples[*other].value))
        .unwrap_or(0);
    let (before, after) = (lowest.saturating_sub(1), (lowest + 1).min(samples.len() - 1));
    let bottom = minimum(sun_altitude, samples[before].at_s, samples[after].at_s, EXTREME_TOLERANCE_S);

    let astronomical = sun_at(Angle::from_degrees(-18.0));
    let middle = window.start().plus_seconds(window.seconds() / 2.0);
    let dark = astronomical.above(window).gaps_in(window);
    Night {
        sun: sun_at(Angle::from_arcminutes(-50.0)),
        civil: sun_at(Angle::from_degrees(-6.0)),
        nautical: sun_at(Angle::from_degrees(-12.0)),
        dark: dark.as_slice().iter().copied().max_by(|one, other| one.seconds().total_cmp(&other.seconds())),
        astronomical,
        moon: crossings(sky, &moon, &EventKind::RiseSet, window),
        sun_lowest: (window.start().plus_seconds(bottom.at), Angle::from_radians(bottom.value)),
        moon_illuminated: sky.at(middle).appearance(Body::Moon).illuminated.unwrap_or(Fraction::ZERO),
        moon_phase: moon_phase(sky, middle),
        local,
    }
}

/// The Moon's phase at an instant of the span, by its geocentric longitude from the Sun; "within a day" of a
/// principal phase at the pace of that hour.
pub fn moon_phase(sky: &EveningSky<'_>, instant: Instant) -> MoonPhase {
    let hour_later = instant.plus_minutes(60.0);
    let now = moon_phase_longitude(sky, instant);
    let a_day = (moon_phase_longitude(sky, hour_later) - now).wrapped_signed() * 24.0;
    let principal = [MoonPhase::New, MoonPhase::FirstQuarter, MoonPhase::Full, MoonPhase::LastQuarter];
    let between = [
        MoonPhase::WaxingCrescent,
        MoonPhase::WaxingGibbous,
        MoonPhase::WaningGibbous,
        MoonPhase::WaningCrescent,
    ];
    let quarters = now / Angle::from_degrees(90.0);
    let nearest = quarters.round();
    if (now - Angle::from_degrees(90.0 * nearest)).abs() < a_day {
        principal[nearest as usize % 4]
    } else {
        between[quarters as usize % 4]
    }
}
