//! A place on the ground: geodetic latitude, longitude and height, as a vector and a velocity.

use crate::maths::Vec3;
use crate::units::Angle;

/// A place on the WGS84 ellipsoid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GeodeticPlace {
    /// Geodetic latitude, north positive, from -90 to 90 degrees.
    pub latitude: Angle,
    /// Longitude, east positive.
    pub longitude: Angle,
    /// Height above the ellipsoid, in metres.
    pub height_m: f64,
}

impl GeodeticPlace {
    /// Earth-fixed geocentric vector in kilometres.
    pub fn earth_fixed_km(&self) -> Vec3 {
        todo!()
    }
}
