//! Curves with no more corners than can be seen: each costs a frame four vertices or more.

use egui::Pos2;

/// How far a curve may lie above or below where it was, in points: less than an eye tells on any screen.
const OFF: f32 = 0.1;

/// The corners of a curve that runs to the right, without those that its neighbours' line passes within [`OFF`] points above
/// or below; first and last stay.
///
/// From a corner that stays the line may go in any direction that passes all corners since closely enough; where the next
/// one leaves none, the one before it stays (the "swinging door" of process records; Bristol 1990, *Swinging door
/// trending*).
pub fn thin(corners: &[Pos2]) -> Vec<Pos2> {
    let Some((first, rest)) = corners.split_first() else { return Vec::new() };
    let mut kept = vec![*first];
    let (mut from, mut last) = (*first, *first);
    let (mut lowest, mut highest) = (f32::NEG_INFINITY, f32::INFINITY);
    for corner in rest {
        let slope = |from: Pos2, off: f32| (corner.y + off - from.y) / (corner.x - from.x);
        if !(lowest..=highest).contains(&slope(from, 0.0)) {
            kept.push(last);
            from = last;
            (lowest, highest) = (f32::NEG_INFINITY, f32::INFINITY);
        }
        lowest = lowest.max(slope(from, -OFF));
        highest = highest.min(slope(from, OFF));
        last = *corner;
    }
    if !rest.is_empty() {
        kept.push(last);
    }
    kept
}

#[cfg(test)]
mod tests {
    use egui::{Pos2, pos2};

    use super::{OFF, thin};

    /// How high a curve runs over an x within it.
    fn height(corners: &[Pos2], x: f32) -> f32 {
        let two = corners.windows(2).find(|two| two[0].x <= x && x <= two[1].x).expect("within");
        two[0].y + (two[1].y - two[0].y) * (x - two[0].x) / (two[1].x - two[0].x)
    }

    #[test]
    fn a_thinned_curve_passes_all_its_corners_closely() {
        let arc = |step: f32| -> Vec<Pos2> {
            (0..=400).map(|x| pos2(x as f32 * step, 150.0 * (x as f32 / 400.0 * 3.0).sin())).collect()
        };
        for curve in [arc(1.5), arc(0.1), (0..40).map(|x| pos2(x as f32, (x % 2) as f32)).collect()] {
            let thinned = thin(&curve);
            assert_eq!((thinned.first(), thinned.last()), (curve.first(), curve.last()));
            for corner in &curve {
                assert!((height(&thinned, corner.x) - corner.y).abs() <= OFF + 1e-3, "{corner:?}");
            }
        }
        assert!(thin(&arc(1.5)).len() < 60, "{}", thin(&arc(1.5)).len());
    }

    #[test]
    fn what_can_be_seen_stays() {
        let steps = [pos2(0.0, 0.0), pos2(5.0, 0.0), pos2(5.0, 9.0), pos2(10.0, 9.0)];
        assert_eq!(thin(&steps), steps);
        let straight: Vec<Pos2> = (0..9).map(|x| pos2(x as f32, 2.0)).collect();
        assert_eq!(thin(&straight), [straight[0], straight[8]]);
        assert!(thin(&[]).is_empty());
        assert_eq!(thin(&straight[..1]), straight[..1]);
    }
}
