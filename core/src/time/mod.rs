//! Which scale answers which question.
//!
//! One [`Instant`], held in Terrestrial Time, with readers by scale: UTC for people, TT for the
//! ephemeris, UT1 for the turning Earth. [`LocalNight`] is the local evening from noon to noon.

mod instant;
mod interval;
mod leap_seconds;
mod local_night;

pub use instant::Instant;
pub use interval::{Interval, IntervalSet};
pub use leap_seconds::{LAST_CERTAIN_DAY, LEAP_SECONDS_OF, TimeDoubt, time_doubt, tt_minus_utc_s};
pub use local_night::{LocalNight, LocalTimeError};
