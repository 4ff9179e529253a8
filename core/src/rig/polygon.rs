//! Outlines in a field of view, turned, cut out of one another and measured.

use super::FieldShape;
use crate::units::Angle;

/// Corners of the polygon that stands for an ellipse or a circle; its share of a field is right within 0.1 %.
const ROUND_CORNERS: u32 = 120;

impl FieldShape {
    /// Its outline, turned counter-clockwise.
    pub(super) fn polygon(self, turned: Angle) -> Polygon {
        match self {
            Self::Rectangle(width, height) | Self::Slit(width, height) => {
                let (x, y) = (width.arcminutes() / 2.0, height.arcminutes() / 2.0);
                Polygon(vec![(x, y), (-x, y), (-x, -y), (x, -y)]).turned(turned)
            }
            Self::Circle(diameter) => Polygon::ellipse(diameter, diameter),
        }
    }
}

/// A convex polygon round the centre of a field, its corners counter-clockwise: to the right, then up, in arcminutes.
#[derive(Clone, Debug)]
pub(super) struct Polygon(Vec<(f64, f64)>);

impl Polygon {
    pub fn ellipse(width: Angle, height: Angle) -> Self {
        let (x, y) = (width.arcminutes() / 2.0, height.arcminutes() / 2.0);
        let corner = |step: u32| {
            let (sin, cos) =
                Angle::from_degrees(360.0 * f64::from(step) / f64::from(ROUND_CORNERS)).sin_cos();
            (x * cos, y * sin)
        };
        Self((0..ROUND_CORNERS).map(corner).collect())
    }

    pub fn turned(self, angle: Angle) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self(self.0.into_iter().map(|(x, y)| (x * cos - y * sin, x * sin + y * cos)).collect())
    }

    /// What lies within another: its edges cut it one by one.
    ///
    /// Source: Sutherland & Hodgman 1974, Communications of the ACM 17, 32.
    pub fn within(self, other: &Self) -> Self {
        let corners = &other.0;
        let edges = (0..corners.len()).map(|at| (corners[at], corners[(at + 1) % corners.len()]));
        edges.fold(self, Self::left_of)
    }

    fn left_of(self, ((from_x, from_y), (to_x, to_y)): ((f64, f64), (f64, f64))) -> Self {
        let left = |(x, y): (f64, f64)| (to_x - from_x) * (y - from_y) - (to_y - from_y) * (x - from_x);
        let mut kept = Vec::with_capacity(self.0.len() + 1);
        for (at, &corner) in self.0.iter().enumerate() {
            let before = self.0[(at + self.0.len() - 1) % self.0.len()];
            let (side_before, side) = (left(before), left(corner));
            if (side_before < 0.0) != (side < 0.0) {
                let share = side_before / (side_before - side);
                kept.push((
                    before.0 + share * (corner.0 - before.0),
                    before.1 + share * (corner.1 - before.1),
                ));
            }
            if side >= 0.0 {
                kept.push(corner);
            }
        }
        Self(kept)
    }

    /// Half the sum of cross products of neighbouring corners.
    pub fn area(&self) -> f64 {
        let corners = &self.0;
        let cross = (0..corners.len()).map(|at| {
            let ((x, y), (next_x, next_y)) = (corners[at], corners[(at + 1) % corners.len()]);
            x * next_y - next_x * y
        });
        cross.sum::<f64>() / 2.0
    }
}
