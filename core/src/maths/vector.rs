//! Three numbers in space: sums, products, directions and the angle between two.

use std::ops::{Add, AddAssign, Mul, Neg, Sub};

use crate::units::Angle;

/// A vector in a right-handed frame, in whatever unit its owner states.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Vec3 {
    /// Along the first axis.
    pub x: f64,
    /// Along the second axis.
    pub y: f64,
    /// Along the third axis.
    pub z: f64,
}

impl Vec3 {
    /// From its three parts.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }

    /// From an array of its three parts.
    pub const fn from_array([x, y, z]: [f64; 3]) -> Self {
        Self { x, y, z }
    }

    /// The unit vector towards a longitude (from x towards y) and a latitude (towards z).
    pub fn from_spherical(longitude: Angle, latitude: Angle) -> Self {
        let (sin_longitude, cos_longitude) = longitude.sin_cos();
        let (sin_latitude, cos_latitude) = latitude.sin_cos();
        Self::new(cos_latitude * cos_longitude, cos_latitude * sin_longitude, sin_latitude)
    }

    /// Longitude from 0 to a full turn, and latitude; both 0 for the null vector.
    pub fn spherical(self) -> (Angle, Angle) {
        let latitude = self.z.atan2((self.x * self.x + self.y * self.y).sqrt());
        let longitude = Angle::from_radians(self.y.atan2(self.x)).wrapped();
        (longitude, Angle::from_radians(latitude))
    }

    /// The scalar product.
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    /// The vector product, right-handed.
    #[must_use]
    pub fn cross(self, other: Self) -> Self {
        Self::new(
            self.y * other.z - self.z * other.y,
            self.z * other.x - self.x * other.z,
            self.x * other.y - self.y * other.x,
        )
    }

    /// Its length.
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// The same direction with length 1; the null vector stays as it is.
    #[must_use]
    pub fn unit(self) -> Self {
        let length = self.length();
        if length > 0.0 { self * (1.0 / length) } else { self }
    }

    /// The angle between two directions, accurate at 0 and at half a turn alike.
    pub fn angle_to(self, other: Self) -> Angle {
        Angle::from_radians(self.cross(other).length().atan2(self.dot(other)))
    }
}

impl Add for Vec3 {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y, self.z + other.z)
    }
}

impl AddAssign for Vec3 {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sub for Vec3 {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x - other.x, self.y - other.y, self.z - other.z)
    }
}

impl Neg for Vec3 {
    type Output = Self;
    fn neg(self) -> Self {
        self * -1.0
    }
}

impl Mul<f64> for Vec3 {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::new(self.x * factor, self.y * factor, self.z * factor)
    }
}

#[cfg(test)]
mod tests {
    use super::Vec3;
    use crate::units::Angle;

    #[test]
    fn separation_of_two_stars() {
        // Meeus, Astronomical Algorithms, 2nd ed., example 17.a, p. 110: 32° 47' 35".
        let first = Vec3::from_spherical(Angle::from_degrees(213.9154), Angle::from_degrees(19.1825));
        let second = Vec3::from_spherical(Angle::from_degrees(201.2983), Angle::from_degrees(-11.1614));
        let want = 32.0 + 47.0 / 60.0 + 35.0 / 3600.0;
        assert!((first.angle_to(second).degrees() - want).abs() * 3600.0 < 1.0);
    }

    #[test]
    fn spherical_round_trip() {
        let (longitude, latitude) =
            Vec3::from_spherical(Angle::from_degrees(300.0), Angle::from_degrees(-89.0)).spherical();
        assert!((longitude.degrees() - 300.0).abs() < 1e-10);
        assert!((latitude.degrees() + 89.0).abs() < 1e-10);
    }
}
