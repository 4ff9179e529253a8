//! An observer at an instant: prepared once, then a few operations per source.

use super::{EveningSky, Source};
use crate::maths::Vec3;
use crate::time::Instant;
use crate::units::Angle;

/// All that site and instant decide.
#[derive(Clone, Debug)]
pub struct ObserverAt<'s> {
    sky: &'s EveningSky<'s>,
    instant: Instant,
}

/// Where a source stands: its topocentric apparent place, without refraction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observed {
    /// Apparent right ascension, true equator and equinox of date.
    pub right_ascension: Angle,
    /// Apparent declination.
    pub declination: Angle,
    /// Hour angle, west positive, from minus to plus half a turn.
    pub hour_angle: Angle,
    /// Altitude without refraction.
    pub altitude: Angle,
    /// Azimuth from north through east.
    pub azimuth: Angle,
    /// Parallactic angle, positive west of the meridian.
    pub parallactic_angle: Angle,
    /// Distance in astronomical units, light time corrected; `None` for a fixed place.
    pub distance_au: Option<f64>,
    /// Unit vector on axes east, north, up.
    pub east_north_up: Vec3,
}

impl ObserverAt<'_> {
    /// The instant.
    pub fn instant(&self) -> Instant {
        self.instant
    }

    /// Where a source stands.
    pub fn observe(&self, source: &Source) -> Observed {
        todo!()
    }

    /// The unit vector towards a source on axes east, north, up: all that a bulk loop needs.
    pub fn direction(&self, source: &Source) -> Vec3 {
        todo!()
    }

    /// Where the Sun stands; computed once.
    pub fn sun(&self) -> Observed {
        todo!()
    }

    /// Where the Moon stands; computed once.
    pub fn moon(&self) -> Observed {
        todo!()
    }
}

impl Observed {
    /// The angle to another place in the same sky.
    pub fn separation(&self, other: &Self) -> Angle {
        self.east_north_up.angle_to(other.east_north_up)
    }
}
