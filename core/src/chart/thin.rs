//! Curves with no more corners than can be seen: each costs a frame four vertices or more, and a file some bytes.

/// How far a curve may lie above or below where it was, in points: less than an eye tells on any screen or paper.
const OFF: f32 = 0.1;

/// The corners of a curve that runs to the right, without those that its neighbours' line passes within a tenth of a point above
/// or below; first and last stay. `place` gives a corner's x and y, in points.
///
/// From a corner that stays the line may go in any direction that passes all corners since closely enough; where the next
/// one leaves none, the one before it stays (the "swinging door" of process records; Bristol 1990, *Swinging door
/// trending*).
pub fn thin<P: Copy>(corners: &[P], place: impl Fn(P) -> (f32, f32)) -> Vec<P> {
    let Some((first, rest)) = corners.split_first() else { return Vec::new() };
    let mut kept = vec![*first];
    let (mut from, mut last) = (*first, *first);
    let (mut lowest, mut highest) = (f32::NEG_INFINITY, f32::INFINITY);
    for corner in rest {
        let ((x, y), (from_x, from_y)) = (place(*corner), place(from));
        let slope = |(from_x, from_y): (f32, f32), off: f32| (y + off - from_y) / (x - from_x);
        if !(lowest..=highest).contains(&slope((from_x, from_y), 0.0)) {
            kept.push(last);
            from = last;
            (lowest, highest) = (f32::NEG_INFINITY, f32::INFINITY);
        }
        lowest = lowest.max(slope(place(from), -OFF));
        highest = highest.min(slope(place(from), OFF));
        last = *corner;
    }
    if !rest.is_empty() {
        kept.push(last);
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::OFF;
    use crate::chart::Point;

    fn thin(corners: &[Point]) -> Vec<Point> {
        super::thin(corners, |corner| (corner.x, corner.y))
    }

    fn at(x: f32, y: f32) -> Point {
        Point { x, y }
    }

    /// How high a curve runs over an x within it.
    fn height(corners: &[Point], x: f32) -> f32 {
        let two = corners.windows(2).find(|two| two[0].x <= x && x <= two[1].x).expect("within");
        two[0].y + (two[1].y - two[0].y) * (x - two[0].x) / (two[1].x - two[0].x)
    }

    #[test]
    fn a_thinned_curve_passes_all_its_corners_closely() {
        let arc = |step: f32| -> Vec<Point> {
            (0..=400).map(|x| at(x as f32 * step, 150.0 * (x as f32 / 400.0 * 3.0).sin())).collect()
        };
        for curve in [arc(1.5), arc(0.1), (0..40).map(|x| at(x as f32, (x % 2) as f32)).collect()] {
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
        let steps = [at(0.0, 0.0), at(5.0, 0.0), at(5.0, 9.0), at(10.0, 9.0)];
        assert_eq!(thin(&steps), steps);
        let straight: Vec<Point> = (0..9).map(|x| at(x as f32, 2.0)).collect();
        assert_eq!(thin(&straight), [straight[0], straight[8]]);
        assert!(thin(&[]).is_empty());
        assert_eq!(thin(&straight[..1]), straight[..1]);
    }
}
