//! Crossings of a horizon profile: straight lines between corners, which bend the altitude above them.
//!
//! **Guarantee**: none is missed if the altitude above the profile has at most one extreme in 5 minutes between two
//! corners; corners are looked at one by one, so that a mast of any width is seen.

use std::f64::consts::FRAC_PI_2;

use super::crossing::Crossings;
use super::search::{Sample, sample, sign_changes};
use super::watch::{Course, EXTREME_TOLERANCE_S, ROOT_TOLERANCE_S, Watch};
use crate::earth::Horizon;
use crate::maths::{bracketed_root, maximum};
use crate::place::{Air, refraction_saemundsson};
use crate::units::Angle;

/// Longest step over a profile.
const STEP_S: f64 = 300.0;

/// Crossings of a profile by a direction, given as its parts east, north and up, by apparent altitude.
pub(super) fn over_profile(
    watch: &Watch<'_>,
    [east, north, up]: [&Course; 3],
    horizon: &Horizon,
    air: Air,
) -> Crossings {
    let azimuth_of = |east: f64, north: f64| Angle::from_radians(east.atan2(north)).wrapped();
    let azimuth = |at_s| azimuth_of(east.at(at_s), north.at(at_s));
    let over = |at_s| {
        let (east, north, up) = (east.at(at_s), north.at(at_s), up.at(at_s));
        let altitude = Angle::from_radians(up.atan2((east * east + north * north).sqrt()));
        let apparent = altitude + refraction_saemundsson(altitude, air);
        (apparent - horizon.altitude(azimuth_of(east, north))).radians()
    };
    let samples = profile_samples(&over, &azimuth, horizon, watch.window().seconds());
    let changes = sign_changes(&over, &samples);
    if changes.is_empty() {
        // Touching counts as staying, so all samples that are not zero have the same sign.
        let sum: f64 = samples.iter().map(|one| one.value).sum();
        return if sum > 0.0 { Crossings::AlwaysAbove } else { Crossings::AlwaysBelow };
    }
    Crossings::At(changes.iter().map(|turn| (watch.instant(turn.at_s), turn.direction())).collect())
}

/// Even samples, and one where the azimuth turns back or passes a corner of the profile: between two of these
/// the profile is one straight line.
fn profile_samples(
    over: &impl Fn(f64) -> f64,
    azimuth: &impl Fn(f64) -> Angle,
    horizon: &Horizon,
    length_s: f64,
) -> Vec<Sample> {
    let even = sample(over, length_s, STEP_S);
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
