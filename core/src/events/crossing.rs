//! Rise, set, twilight and transit: when, or always above, or always below.

use std::f64::consts::FRAC_PI_2;

use super::search::{EXTREME_TOLERANCE_S, ROOT_TOLERANCE_S, Sample, sample, sign_changes};
use crate::earth::Horizon;
use crate::ephemeris::Body;
use crate::maths::{bracketed_root, maximum};
use crate::place::{Air, EveningSky, Observed, Source, refraction_saemundsson};
use crate::time::{Instant, Interval, IntervalSet};
use crate::units::Angle;

/// Which way the altitude crosses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Upwards: rising, dawn.
    Up,
    /// Downwards: setting, dusk.
    Down,
}

/// What altitude counts as the threshold.
#[derive(Clone, Debug, PartialEq)]
pub enum EventKind {
    /// By the almanac: Sun at -50', Moon's upper limb at -34', planets and stars at -34', airless.
    RiseSet,
    /// The Sun at a depth: 6, 12 or 18 degrees.
    Twilight {
        /// Depth below the horizon, positive.
        depth: Angle,
    },
    /// The site's horizon profile, by apparent altitude of the centre in the given air.
    Profile {
        /// The profile.
        horizon: Horizon,
        /// The air that lifts the source.
        air: Air,
    },
    /// Any airless altitude.
    Altitude(Angle),
}

/// What a search found in its window. "Never" is told as plainly as "when".
#[derive(Clone, Debug, PartialEq)]
pub enum Crossings {
    /// The crossings in order, each with its direction.
    At(Vec<(Instant, Direction)>),
    /// It stays above the threshold through the whole window.
    AlwaysAbove,
    /// It stays below.
    AlwaysBelow,
}

impl Crossings {
    /// The instants of one direction, in order.
    pub fn going(&self, direction: Direction) -> Vec<Instant> {
        match self {
            Self::At(all) => all.iter().filter(|one| one.1 == direction).map(|one| one.0).collect(),
            Self::AlwaysAbove | Self::AlwaysBelow => Vec::new(),
        }
    }

    /// The stretches of `window` (the one that was searched) in which the source is above the threshold.
    pub fn above(&self, window: Interval) -> IntervalSet {
        let mut stretches = Vec::new();
        match self {
            Self::AlwaysAbove => stretches.push(window),
            Self::AlwaysBelow => {}
            Self::At(all) => {
                let mut from = window.start();
                for (instant, direction) in all {
                    match direction {
                        Direction::Up => from = *instant,
                        Direction::Down => stretches.extend(Interval::new(from, *instant)),
                    }
                }
                if all.last().is_some_and(|last| last.1 == Direction::Up) {
                    stretches.extend(Interval::new(from, window.end()));
                }
            }
        }
        IntervalSet::from_intervals(stretches)
    }
}

/// Longest step of the search. Altitude over a threshold turns twice a day, so it has at most one extreme in
/// a step.
pub(super) const STEP_S: f64 = 600.0;

/// Longest step over a horizon profile, whose edges (straight lines on altitude and azimuth) bend the
/// altitude above them by themselves; its corners are samples of their own.
const PROFILE_STEP_S: f64 = 300.0;

/// Longest step for transits: the hour angle grows by 7 to 8 degrees in it, steadily.
const TRANSIT_STEP_S: f64 = 1800.0;

/// All crossings of a source in a window (within the span of `sky`), from its start (included) to its end
/// (excluded), each within 1e-5 s of the root.
///
/// None is missed under the guarantee stated in `search.rs`: at most one extreme of the altitude over the
/// threshold in 10 minutes (5 between two corners of a horizon profile), and not two crossings within 0.02 s.
pub fn crossings(sky: &EveningSky<'_>, source: &Source, kind: &EventKind, window: Interval) -> Crossings {
    // 34' of refraction at the horizon, and 16' for the Sun's semidiameter, the same on each day: the almanacs'
    // convention (Explanatory Supplement to the Astronomical Almanac, 3rd ed., section 12.2).
    let refraction = Angle::from_arcminutes(34.0);
    let observed = |at_s: f64| sky.at(window.start().plus_seconds(at_s)).observe(source);
    match (kind, source) {
        (EventKind::RiseSet, Source::Body(Body::Sun)) => {
            at_altitude(sky, source, Angle::from_arcminutes(-50.0), window)
        }
        (EventKind::RiseSet, Source::Body(Body::Moon)) => {
            let upper_limb = |at_s| {
                let instant = window.start().plus_seconds(at_s);
                let observer = sky.at(instant);
                let semidiameter = observer.appearance(Body::Moon).diameter / 2.0;
                (observer.moon().altitude + semidiameter + refraction).radians()
            };
            told(&upper_limb, &sample(upper_limb, window.seconds(), STEP_S), window)
        }
        (EventKind::RiseSet, _) => at_altitude(sky, source, -refraction, window),
        (EventKind::Twilight { depth }, _) => at_altitude(sky, source, -*depth, window),
        (EventKind::Altitude(altitude), _) => at_altitude(sky, source, *altitude, window),
        (EventKind::Profile { horizon, air }, _) => {
            let over = |at: Observed| {
                let apparent = at.altitude + refraction_saemundsson(at.altitude, *air);
                (apparent - horizon.altitude(at.azimuth)).radians()
            };
            let over_profile = |at_s| over(observed(at_s));
            let azimuth = |at_s| observed(at_s).azimuth;
            let samples = profile_samples(&over_profile, &azimuth, horizon, window.seconds());
            told(&over_profile, &samples, window)
        }
    }
}

fn at_altitude(sky: &EveningSky<'_>, source: &Source, threshold: Angle, window: Interval) -> Crossings {
    let altitude = |at_s| altitude(sky, source, window, at_s);
    at_level(&altitude, &sample(altitude, window.seconds(), STEP_S), threshold, window)
}

/// Altitude without refraction in radians, `at_s` seconds into the window.
pub(super) fn altitude(sky: &EveningSky<'_>, source: &Source, window: Interval, at_s: f64) -> f64 {
    let direction = sky.at(window.start().plus_seconds(at_s)).direction(source);
    direction.z.atan2(direction.x.hypot(direction.y))
}

/// Crossings of a level by an altitude in radians that has been sampled already.
pub(super) fn at_level(
    altitude: &impl Fn(f64) -> f64,
    samples: &[Sample],
    level: Angle,
    window: Interval,
) -> Crossings {
    let over = |at_s| altitude(at_s) - level.radians();
    let over_samples: Vec<Sample> =
        samples.iter().map(|one| Sample { value: one.value - level.radians(), ..*one }).collect();
    told(&over, &over_samples, window)
}

fn told(over: &impl Fn(f64) -> f64, samples: &[Sample], window: Interval) -> Crossings {
    let changes = sign_changes(over, samples);
    if changes.is_empty() {
        // Touching counts as staying, so all samples that are not zero have the same sign.
        let sum: f64 = samples.iter().map(|one| one.value).sum();
        return if sum > 0.0 { Crossings::AlwaysAbove } else { Crossings::AlwaysBelow };
    }
    let told = |upwards| if upwards { Direction::Up } else { Direction::Down };
    Crossings::At(changes.iter().map(|one| (instant_in(window, one.at_s), told(one.upwards))).collect())
}

/// A root that rounds to the window's end lies before it.
fn instant_in(window: Interval, at_s: f64) -> Instant {
    let instant = window.start().plus_seconds(at_s);
    if instant < window.end() { instant } else { window.end().just_before().max(window.start()) }
}

/// Even samples, and one where the azimuth turns back or passes a corner of the profile: between two of these
/// the profile is one straight line.
fn profile_samples(
    over: &impl Fn(f64) -> f64,
    azimuth: &impl Fn(f64) -> Angle,
    horizon: &Horizon,
    length_s: f64,
) -> Vec<Sample> {
    let even = sample(over, length_s, PROFILE_STEP_S);
    let azimuths: Vec<Angle> = even.iter().map(|one| azimuth(one.at_s)).collect();
    let mut times: Vec<f64> = even.iter().map(|one| one.at_s).collect();
    for three in 1..even.len().saturating_sub(1) {
        let turned = |one: usize, other: usize| (azimuths[other] - azimuths[one]).wrapped_signed().radians();
        let (before, after) = (turned(three - 1, three), turned(three, three + 1));
        if before * after < 0.0 {
            let from = azimuths[three];
            let away = |at_s| (azimuth(at_s) - from).wrapped_signed().radians() * before.signum();
            let (low, high) = (even[three - 1].at_s, even[three + 1].at_s);
            times.push(maximum(away, low, high, EXTREME_TOLERANCE_S).at);
        }
    }
    times.sort_by(f64::total_cmp);
    let mut all = times.clone();
    for pair in times.windows(2) {
        for (corner, _) in horizon.corners() {
            let past = |at_s| (azimuth(at_s) - *corner).wrapped_signed().radians();
            // Where the azimuth runs through the far side of the sky the difference jumps: no passage.
            if past(pair[0]).abs() < FRAC_PI_2 && past(pair[1]).abs() < FRAC_PI_2 {
                all.extend(bracketed_root(past, pair[0], pair[1], ROOT_TOLERANCE_S));
            }
        }
    }
    all.sort_by(f64::total_cmp);
    all.dedup();
    all.into_iter().map(|at_s| Sample { at_s, value: over(at_s) }).collect()
}

/// Instants of upper transit (apparent hour angle 0) and of lower transit (half a turn) in a window, from its
/// start (included) to its end (excluded), each within 1e-5 s of the root. None is missed: the hour angle
/// only grows.
pub fn transits(sky: &EveningSky<'_>, source: &Source, upper: bool, window: Interval) -> Vec<Instant> {
    let meridian = Angle::from_degrees(if upper { 0.0 } else { 180.0 });
    let past = |at_s: f64| {
        let observed = sky.at(window.start().plus_seconds(at_s)).observe(source);
        (observed.hour_angle - meridian).wrapped_signed().radians()
    };
    let samples = sample(past, window.seconds(), TRANSIT_STEP_S);
    sign_changes(&past, &samples)
        .iter()
        .filter(|change| change.upwards)
        .map(|change| instant_in(window, change.at_s))
        .collect()
}
