//! The summary of a night that every later layer reads.

use super::crossing::{Crossings, EventKind};
use super::path::Path;
use super::watch::Watch;
use crate::ephemeris::Body;
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

/// What a night has for one body.
#[derive(Clone, Debug, PartialEq)]
pub struct BodyNight {
    /// The body.
    pub body: Body,
    /// Rise and set by the almanac's conventions.
    pub rise_set: Crossings,
    /// Upper transits.
    pub transits: Vec<Instant>,
}

/// Summarises the night; the span of `sky` must hold its window.
pub fn night(sky: &EveningSky<'_>, local: LocalNight) -> Night {
    let watch = Watch::new(sky, local.window());
    let [sun, moon] = [Body::Sun, Body::Moon].map(|body| watch.path(&Source::Body(body)));
    summary(sky, local, &sun, &moon)
}

/// The night's almanac: its summary, and rise, set and transit of Sun, Moon and planets in the order of
/// [`Body::ALL`]; the span of `sky` must hold its window.
pub fn almanac(sky: &EveningSky<'_>, local: LocalNight) -> (Night, Vec<BodyNight>) {
    let watch = Watch::new(sky, local.window());
    let paths = Body::ALL.map(|body| watch.path(&Source::Body(body)));
    let summary = summary(sky, local, &paths[Body::Sun as usize], &paths[Body::Moon as usize]);
    let bodies = Body::ALL.into_iter().zip(&paths).map(|(body, path)| {
        let rise_set = match body {
            Body::Sun => summary.sun.clone(),
            Body::Moon => summary.moon.clone(),
            _ => path.crossings(&EventKind::RiseSet),
        };
        BodyNight { body, rise_set, transits: path.transits(true) }
    });
    let bodies = bodies.collect();
    (summary, bodies)
}

fn summary(sky: &EveningSky<'_>, local: LocalNight, sun: &Path<'_, '_>, moon: &Path<'_, '_>) -> Night {
    let window = local.window();
    let twilight = |depth_deg| sun.crossings(&EventKind::Twilight { depth: Angle::from_degrees(depth_deg) });
    let astronomical = twilight(18.0);
    let middle = window.start().plus_seconds(window.seconds() / 2.0);
    let dark = astronomical.above(window).gaps_in(window);
    Night {
        sun: sun.crossings(&EventKind::RiseSet),
        civil: twilight(6.0),
        nautical: twilight(12.0),
        dark: dark.as_slice().iter().copied().max_by(|one, other| one.seconds().total_cmp(&other.seconds())),
        astronomical,
        moon: moon.crossings(&EventKind::RiseSet),
        sun_lowest: sun.lowest(),
        moon_illuminated: sky.at(middle).appearance(Body::Moon).illuminated.unwrap_or(Fraction::ZERO),
        moon_phase: moon_phase(sky, middle),
        local,
    }
}

/// The Moon's phase at an instant of the span, by its geocentric longitude from the Sun; "within a day" of a
/// principal phase at the pace of that hour.
pub fn moon_phase(sky: &EveningSky<'_>, instant: Instant) -> MoonPhase {
    let now = moon_phase_longitude(sky, instant);
    let a_day = || {
        let hour_later = moon_phase_longitude(sky, instant.plus_minutes(60.0));
        (hour_later - now).wrapped_signed() * 24.0
    };
    let principal = [MoonPhase::New, MoonPhase::FirstQuarter, MoonPhase::Full, MoonPhase::LastQuarter];
    let between = [
        MoonPhase::WaxingCrescent,
        MoonPhase::WaxingGibbous,
        MoonPhase::WaningGibbous,
        MoonPhase::WaningCrescent,
    ];
    let quarters = now / Angle::from_degrees(90.0);
    let nearest = quarters.round();
    let away = (now - Angle::from_degrees(90.0 * nearest)).abs();
    // The Moon gains 11 to 15 degrees a day on the Sun: further away there is no need to ask.
    if away < Angle::from_degrees(16.0) && away < a_day() {
        principal[nearest as usize % 4]
    } else {
        between[quarters as usize % 4]
    }
}
