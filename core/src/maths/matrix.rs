//! Rotations of the axes, with their sense stated once.

use std::ops::Mul;

use super::Vec3;
use crate::units::Angle;

/// A 3 by 3 matrix, row by row.
///
/// The rotations turn the *axes*: `Mat3::rotation_z(a) * v` gives the parts of the same `v` on axes
/// turned by `a` from x towards y, as in the SOFA routines `iauRx`, `iauRy`, `iauRz`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mat3(pub [[f64; 3]; 3]);

impl Mat3 {
    /// No rotation.
    pub const IDENTITY: Self = Self([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]);

    /// Axes turned about x, from y towards z.
    pub fn rotation_x(angle: Angle) -> Self {
        let (s, c) = angle.sin_cos();
        Self([[1.0, 0.0, 0.0], [0.0, c, s], [0.0, -s, c]])
    }

    /// Axes turned about y, from z towards x.
    pub fn rotation_y(angle: Angle) -> Self {
        let (s, c) = angle.sin_cos();
        Self([[c, 0.0, -s], [0.0, 1.0, 0.0], [s, 0.0, c]])
    }

    /// Axes turned about z, from x towards y.
    pub fn rotation_z(angle: Angle) -> Self {
        let (s, c) = angle.sin_cos();
        Self([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
    }

    /// The transpose, which undoes a rotation.
    #[must_use]
    pub fn transposed(self) -> Self {
        let m = self.0;
        Self([[m[0][0], m[1][0], m[2][0]], [m[0][1], m[1][1], m[2][1]], [m[0][2], m[1][2], m[2][2]]])
    }

    /// Row `index` (0, 1 or 2) as a vector.
    pub fn row(self, index: usize) -> Vec3 {
        Vec3::from_array(self.0[index])
    }
}

impl Mul<Vec3> for Mat3 {
    type Output = Vec3;
    fn mul(self, vector: Vec3) -> Vec3 {
        Vec3::new(self.row(0).dot(vector), self.row(1).dot(vector), self.row(2).dot(vector))
    }
}

impl Mul for Mat3 {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let columns = other.transposed();
        let row = |i: usize| {
            let row = self.row(i);
            [row.dot(columns.row(0)), row.dot(columns.row(1)), row.dot(columns.row(2))]
        };
        Self([row(0), row(1), row(2)])
    }
}

#[cfg(test)]
mod tests {
    use super::Mat3;
    use crate::maths::Vec3;
    use crate::units::Angle;

    #[test]
    fn the_axes_turn_not_the_vector() {
        let turned = Mat3::rotation_z(Angle::from_degrees(90.0)) * Vec3::new(1.0, 0.0, 0.0);
        assert!((turned.y + 1.0).abs() < 1e-15);
    }

    #[test]
    fn transpose_undoes() {
        let rotation =
            Mat3::rotation_x(Angle::from_degrees(31.0)) * Mat3::rotation_y(Angle::from_degrees(-8.0));
        let product = rotation * rotation.transposed();
        for (i, row) in product.0.iter().enumerate() {
            for (j, value) in row.iter().enumerate() {
                assert!((value - Mat3::IDENTITY.0[i][j]).abs() < 1e-15);
            }
        }
    }
}
