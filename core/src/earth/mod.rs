//! Where the ground is and how it turns.
//!
//! Read [`GeodeticPlace`] and [`Horizon`] for the ground, [`EarthOrientation`] for the inputs that can
//! only be measured, [`EveningFrame`] for the Earth's attitude, reduced once for an evening;
//! [`SeasonFrame`] carries the dear part of that through all nights of a season.

mod evening_frame;
mod geodetic;
mod horizon;
mod precession_nutation;
mod rotation_angle;

pub use evening_frame::{EarthOrientation, EveningFrame};
pub use geodetic::GeodeticPlace;
pub use horizon::{Horizon, HorizonError};
pub use precession_nutation::SeasonFrame;
pub(crate) use rotation_angle::ROTATION_RAD_PER_S;
