//! Small marks on drawings of the sky: discs, dots, heads of arrows, people.

use super::{Ink, Item, Point, Stroke};

/// A disc, or its edge.
pub(super) fn disc(at: Point, radius: f32, fill: Option<Ink>, stroke: Option<Stroke>) -> Item {
    corners(at, radius, 24, fill, stroke)
}

/// A disc so small that its corners can't be seen.
pub(super) fn dot(at: Point, radius: f32, fill: Ink) -> Item {
    corners(at, radius, 10, Some(fill), None)
}

fn corners(at: Point, radius: f32, count: u16, fill: Option<Ink>, stroke: Option<Stroke>) -> Item {
    let points = (0..count).map(|step| {
        let (sine, cosine) = (f64::from(step) * std::f64::consts::TAU / f64::from(count)).sin_cos();
        Point { x: at.x + radius * cosine as f32, y: at.y + radius * sine as f32 }
    });
    Item::Path { points: points.collect(), closed: true, fill, stroke }
}

/// A head in the middle of a line, pointing along it; none on a line too short to have a direction.
pub(super) fn arrow_head(line: &[Point], size: f32, ink: Ink) -> Option<Item> {
    let (first, last) = (line.first()?, line.last()?);
    let lengths = line.windows(2).map(|two| (two[1].x - two[0].x).hypot(two[1].y - two[0].y));
    let half = lengths.sum::<f32>() / 2.0;
    if half < size || (last.x - first.x).hypot(last.y - first.y) < size {
        return None;
    }
    let mut gone = 0.0;
    for two in line.windows(2) {
        let (x, y) = (two[1].x - two[0].x, two[1].y - two[0].y);
        let length = x.hypot(y);
        if length > 0.0 && gone + length >= half {
            let share = (half - gone) / length;
            let at = Point { x: two[0].x + share * x, y: two[0].y + share * y };
            return Some(head(at, (x / length * size, y / length * size), ink));
        }
        gone += length;
    }
    None
}

/// A triangle at a place, as long and turned as `along`.
pub(super) fn head(at: Point, along: (f32, f32), ink: Ink) -> Item {
    let (x, y) = along;
    let corner =
        |ahead: f32, side: f32| Point { x: at.x + ahead * x - side * y, y: at.y + ahead * y + side * x };
    Item::Path {
        points: vec![corner(0.7, 0.0), corner(-0.7, 0.6), corner(-0.7, -0.6)],
        closed: true,
        fill: Some(ink),
        stroke: Some(Stroke::solid(Ink::Ground, 0.8)),
    }
}

/// Somebody who stands with their feet at a place: a head over shoulders.
pub(super) fn person(feet: Point, height: f32) -> [Item; 2] {
    let up = |across: f32, share: f32| Point { x: feet.x + across * height, y: feet.y - share * height };
    let body =
        vec![up(-0.22, 0.0), up(-0.26, 0.42), up(-0.1, 0.58), up(0.1, 0.58), up(0.26, 0.42), up(0.22, 0.0)];
    [
        Item::Path { points: body, closed: true, fill: Some(Ink::Text), stroke: None },
        disc(up(0.0, 0.82), 0.19 * height, Some(Ink::Text), None),
    ]
}

#[cfg(test)]
mod tests {
    use super::arrow_head;
    use crate::chart::{Ink, Item, Point};

    #[test]
    fn a_head_stands_in_the_middle_and_points_along() {
        let line = [Point { x: 0.0, y: 5.0 }, Point { x: 10.0, y: 5.0 }, Point { x: 100.0, y: 5.0 }];
        let Some(Item::Path { points, .. }) = arrow_head(&line, 6.0, Ink::Accent) else { panic!("no head") };
        assert!((points[0].x - 54.2).abs() < 0.01 && points[0].y == 5.0, "{points:?}");
        assert!(points[1].x < 50.0 && points[2].x < 50.0);
        assert!(arrow_head(&line[..1], 6.0, Ink::Accent).is_none());
        assert!(arrow_head(&[line[0], line[0]], 6.0, Ink::Accent).is_none());
    }
}
