//! Step, bracket, refine: the search on a function that has corners.
//!
//! A function of time is sampled; where neighbours differ in sign the root between them is refined. Where it
//! turns back towards zero without reaching it at a sample, its extreme is sought and becomes a sample too.
//!
//! **Guarantee**: every change of sign is found if the function has at most one extreme between two neighbouring
//! samples, except pairs that lie less than 0.02 s apart (a limb that skims the horizon).

use super::watch::{EXTREME_TOLERANCE_S, ROOT_TOLERANCE_S, Turn};
use crate::maths::{bracketed_root, minimum};

/// A value of the function, `at_s` seconds into the window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Sample {
    pub at_s: f64,
    pub value: f64,
}

/// Samples from 0 to `length_s`, both included, evenly spaced by `step_s` at most.
pub(super) fn sample(f: impl Fn(f64) -> f64, length_s: f64, step_s: f64) -> Vec<Sample> {
    let steps = (length_s / step_s).ceil().max(1.0);
    (0..=steps as u32)
        .map(|index| {
            let at_s = length_s * (f64::from(index) / steps);
            Sample { at_s, value: f(at_s) }
        })
        .collect()
}

/// All changes of sign from the first sample (included) to the last (excluded).
pub(super) fn sign_changes(f: &impl Fn(f64) -> f64, samples: &[Sample]) -> Vec<Turn> {
    let points = with_extremes(f, samples);
    let sides = sides(&points);
    let mut changes = Vec::new();
    for (pair, side) in points.windows(2).zip(sides.windows(2)) {
        if side[0] != side[1] {
            let at_s = bracketed_root(f, pair[0].at_s, pair[1].at_s, ROOT_TOLERANCE_S);
            changes.extend(at_s.map(|at_s| Turn { at_s, upwards: side[1] }));
        }
    }
    changes
}

/// Whether each point counts as above zero. A zero counts with what follows it, so that the change is at it;
/// at the start it counts against what follows, at the end with what came before: windows that touch share no
/// change.
fn sides(points: &[Sample]) -> Vec<bool> {
    let mut sides: Vec<bool> = points.iter().map(|point| point.value > 0.0).collect();
    for index in (0..points.len()).rev().filter(|index| points[*index].value == 0.0) {
        let next = sides.get(index + 1).copied();
        sides[index] = match next {
            None => index.checked_sub(1).is_some_and(|before| sides[before]),
            Some(next) => next != (index == 0),
        };
    }
    sides
}

/// The samples, and between them the extremes that reach across zero.
fn with_extremes(f: &impl Fn(f64) -> f64, samples: &[Sample]) -> Vec<Sample> {
    let mut points = samples.to_vec();
    let mut look = |low_s: f64, high_s: f64, above: bool| {
        let turned = if above { 1.0 } else { -1.0 };
        let extreme = minimum(|at_s| turned * f(at_s), low_s, high_s, EXTREME_TOLERANCE_S);
        if extreme.value < 0.0 {
            points.push(Sample { at_s: extreme.at, value: turned * extreme.value });
        }
    };
    let above = |sample: &Sample| sample.value > 0.0;
    let nearer = |one: &Sample, other: &Sample| one.value.abs() <= other.value.abs();
    for three in samples.windows(3) {
        let same_side = above(&three[0]) == above(&three[1]) && above(&three[1]) == above(&three[2]);
        if same_side && nearer(&three[1], &three[0]) && nearer(&three[1], &three[2]) {
            look(three[0].at_s, three[2].at_s, above(&three[1]));
        }
    }
    // Before the first and behind the last sample there is none: the slope at the end tells of a turn.
    for (end, inner) in [(samples.first(), samples.get(1)), (samples.last(), samples.iter().nth_back(1))] {
        let (Some(end), Some(inner)) = (end, inner) else { continue };
        let inwards_s = end.at_s + (inner.at_s - end.at_s).clamp(-1.0, 1.0);
        let just_inside = Sample { at_s: inwards_s, value: f(inwards_s) };
        if above(end) == above(inner) && nearer(end, inner) && nearer(&just_inside, end) {
            look(end.at_s.min(inner.at_s), end.at_s.max(inner.at_s), above(end));
        }
    }
    points.sort_by(|one, other| one.at_s.total_cmp(&other.at_s));
    points
}

#[cfg(test)]
mod tests {
    use super::{Turn, sample, sign_changes};

    fn changes(f: impl Fn(f64) -> f64, length_s: f64, step_s: f64) -> Vec<Turn> {
        sign_changes(&f, &sample(&f, length_s, step_s))
    }

    #[test]
    fn a_pair_between_two_samples_is_found() {
        // Above zero for 2 s only, between samples 600 s apart, whichever way it is turned.
        let skim = |x: f64| 1.0 - (x - 1234.5).powi(2);
        for turned in [1.0, -1.0] {
            let found = changes(|x| turned * skim(x), 86_400.0, 600.0);
            assert_eq!(found.len(), 2);
            assert!((found[0].at_s - 1233.5).abs() < 2e-5 && (found[1].at_s - 1235.5).abs() < 2e-5);
            assert_eq!(found[0].upwards, turned > 0.0);
            assert_ne!(found[0].upwards, found[1].upwards);
        }
    }

    #[test]
    fn a_pair_beside_either_end_is_found() {
        for top in [40.0, 250.0, 86_400.0 - 250.0, 86_400.0 - 40.0] {
            assert_eq!(changes(|x| 100.0 - (x - top).powi(2), 86_400.0, 600.0).len(), 2, "{top}");
        }
    }

    #[test]
    fn what_only_touches_is_no_crossing() {
        assert_eq!(changes(|x| (x - 1200.0).powi(2), 86_400.0, 600.0), []);
        assert_eq!(changes(|x| -(x - 1200.0).powi(2), 86_400.0, 600.0), []);
    }

    #[test]
    fn a_change_at_the_seam_of_two_windows_is_in_the_second() {
        let line = |x: f64| x - 3600.0;
        assert_eq!(changes(line, 3600.0, 600.0), []);
        let second = changes(|x| line(x + 3600.0), 3600.0, 600.0);
        assert_eq!(second, [Turn { at_s: 0.0, upwards: true }]);
        assert_eq!(changes(|x| -line(x + 3600.0), 3600.0, 600.0).len(), 1);
        assert_eq!(changes(line, 7200.0, 600.0).len(), 1);
    }
}
