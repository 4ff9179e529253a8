//! The way of a target through the sky of a lane: its altitude as the lane's height, minute by minute.

use egui::{Pos2, Rect, pos2};
use evenfall_core::place::airmass_kasten_young;
use evenfall_core::plan::Prepared;
use evenfall_core::time::{Instant, Interval};
use evenfall_core::units::Angle;

use super::layout::BoardLayout;
use super::model::BoardModel;

/// Least distance between two corners of a path along the time axis, and most minutes: a chord of the sky's daily turn over
/// ten minutes leaves its arc by 0.02 degrees at most, (15 degrees an hour, in radians)² · t² / 8.
const CORNER_APART: f32 = 6.0;
const MOST_MINUTES: usize = 10;

/// The pieces of a target's path above the horizon, in a lane.
pub fn path(
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    (target_index, lane): (usize, usize),
    within: Interval,
) -> Vec<Vec<Pos2>> {
    let prepared = &model.open.derived.prepared;
    let points_a_minute = layout.hours.width() / (model.span.minutes().max(1.0) as f32);
    let step = ((CORNER_APART / points_a_minute) as usize).clamp(1, MOST_MINUTES);
    let (from, to) = (prepared.moment_index(within.start()), prepared.moment_index(within.end()));
    let mut pieces = vec![Vec::new()];
    // Both ends belong to it whatever the step.
    for index in (from..to).step_by(step).chain([to]) {
        let sample = prepared.sample_at(target_index, index);
        let (Some(moment), Some(sample)) = (prepared.moments.get(index), sample) else { break };
        if sample.altitude < Angle::ZERO {
            pieces.push(Vec::new());
        } else if let Some(piece) = pieces.last_mut() {
            piece.push(pos2(layout.axis.x(moment.instant), layout.altitude_y(lane, sample.altitude)));
        }
    }
    pieces.retain(|piece| piece.len() > 1);
    pieces
}

/// A path without what would run through words that stand on it; all of it where they stand clear.
pub fn clear_of(path: Vec<Pos2>, words: Rect) -> Vec<Vec<Pos2>> {
    // A path goes from left to right; where it stands at `x`.
    let at = |x: f32| {
        let two = path.windows(2).find(|two| (two[0].x..=two[1].x).contains(&x))?;
        let share = (x - two[0].x) / (two[1].x - two[0].x).max(f32::EPSILON);
        Some(two[0].lerp(two[1], share))
    };
    let ends = [at(words.left()), at(words.right())];
    let within = |corner: &Pos2| words.x_range().contains(corner.x);
    let over = path.iter().filter(|corner| within(corner)).chain(ends.iter().flatten());
    let (top, bottom) =
        over.fold((f32::MAX, f32::MIN), |(top, bottom), corner| (top.min(corner.y), bottom.max(corner.y)));
    if top > words.bottom() || bottom < words.top() {
        return vec![path];
    }
    let [left, right] = ends;
    let before = path.iter().copied().filter(|corner| corner.x < words.left()).chain(left);
    let after = right.into_iter().chain(path.iter().copied().filter(|corner| corner.x > words.right()));
    [before.collect::<Vec<_>>(), after.collect()].into_iter().filter(|piece| piece.len() > 1).collect()
}

/// When the airmass of a target passes a value within an interval, to the minute.
pub fn passes(prepared: &Prepared, target_index: usize, within: Interval, airmass: f64) -> Vec<Instant> {
    let (from, to) = (prepared.moment_index(within.start()), prepared.moment_index(within.end()));
    let level = altitude_of_airmass(airmass);
    let samples = prepared.samples(target_index, from..=to);
    let is_above = |position: usize| samples.get(position).is_some_and(|sample| sample.altitude >= level);
    let turns = (1..samples.len()).filter(|position| is_above(*position) != is_above(position - 1));
    turns.filter_map(|position| Some(prepared.moments.get(from + position)?.instant)).collect()
}

/// The altitude at which the airmass is so much: airmass falls steadily as altitude rises.
fn altitude_of_airmass(airmass: f64) -> Angle {
    let (mut low, mut high) = (0.0, 90.0);
    for _ in 0..20 {
        let middle = f64::midpoint(low, high);
        if airmass_kasten_young(Angle::from_degrees(middle)).is_some_and(|value| value <= airmass) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Angle::from_degrees(high)
}

#[cfg(test)]
mod tests {
    use std::slice::from_ref;

    use egui::{Rect, pos2};
    use evenfall_core::place::airmass_kasten_young;

    use super::{altitude_of_airmass, clear_of};

    #[test]
    fn a_path_stops_before_words_that_stand_on_it_and_goes_on_behind_them() {
        let path = vec![pos2(0.0, 10.0), pos2(10.0, 20.0), pos2(20.0, 30.0)];
        let words = |x0, y0, x1, y1| Rect::from_min_max(pos2(x0, y0), pos2(x1, y1));
        assert_eq!(
            clear_of(path.clone(), words(5.0, 0.0, 12.0, 40.0)),
            [vec![pos2(0.0, 10.0), pos2(5.0, 15.0)], vec![pos2(12.0, 22.0), pos2(20.0, 30.0)]]
        );
        // Words that begin or end beyond it leave what is beside them, or nothing.
        assert_eq!(
            clear_of(path.clone(), words(-3.0, 0.0, 5.0, 40.0)),
            [vec![pos2(5.0, 15.0), pos2(10.0, 20.0), pos2(20.0, 30.0)]]
        );
        assert_eq!(clear_of(path.clone(), words(-3.0, 0.0, 30.0, 40.0)), Vec::<Vec<_>>::new());
        // Words above, below or beside it are not in its way.
        for words in [words(5.0, 0.0, 12.0, 14.0), words(5.0, 23.0, 12.0, 40.0), words(30.0, 0.0, 40.0, 40.0)]
        {
            assert_eq!(clear_of(path.clone(), words), from_ref(&path), "{words:?}");
        }
    }

    #[test]
    fn an_airmass_has_its_altitude() {
        // Kasten & Young 1989 by hand: 1 / (sin 30° + 0.50572 · (30 + 6.07995)^-1.6364) = 1.99429, and at 65.3° 1.10014.
        for (airmass, degrees) in [(1.99429, 30.0), (1.10014, 65.3)] {
            let altitude = altitude_of_airmass(airmass);
            assert!((altitude.degrees() - degrees).abs() < 0.01, "{airmass} at {}", altitude.degrees());
            let back = airmass_kasten_young(altitude).expect("above the horizon");
            assert!((back - airmass).abs() < 1e-4, "{back}");
        }
    }
}
