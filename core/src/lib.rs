//! Evenfall's core: the sky, the ports, the running order and the pages of a public observing night.

pub mod earth;
pub mod ephemeris;
pub mod events;
pub mod maths;
pub mod place;
pub mod time;
pub mod units;
