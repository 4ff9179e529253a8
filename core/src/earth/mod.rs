//! Where the ground is and how it turns.
//!
//! Read [`GeodeticPlace`] and [`Horizon`] for the ground, [`EarthOrientation`] for the inputs that can
//! only be measured, [`EveningFrame`] for the Earth's attitude, reduced once for an evening.

mod evening_frame;
mod geodetic;
mod horizon;

pub(crate) use evening_frame::ROTATION_RAD_PER_S;
pub use evening_frame::{EarthOrientation, EveningFrame};
pub use geodetic::GeodeticPlace;
pub use horizon::{Horizon, HorizonError};
