//! Where the ground is and how it turns.
//!
//! Read [`GeodeticPlace`] and [`Horizon`] for the ground, [`EarthOrientation`] for the inputs that can
//! only be measured, [`EveningFrame`] for the Earth's attitude, reduced once for an evening.

mod evening_frame;
mod geodetic;
mod horizon;
mod nutation;
mod precession_nutation;
mod rotation_angle;

pub use evening_frame::{EarthOrientation, EveningFrame};
pub use geodetic::{EQUATORIAL_RADIUS_KM, FLATTENING, GeodeticPlace};
pub use horizon::{Horizon, HorizonError};
pub(crate) use rotation_angle::ROTATION_RAD_PER_S;
