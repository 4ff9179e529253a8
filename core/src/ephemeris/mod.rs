//! Sun, Moon and planets as vectors, from the embedded pack, and how they look from here.
//!
//! The pack is fitted to JPL DE440 (Park et al. 2021, AJ 161, 105). Mars to Neptune are the barycentres of
//! their systems, as in that kernel: Jupiter's and Saturn's own centre is within 0.1 arcsecond of it;
//! [`jupiter_centre_from_barycentre_km`] tells Jupiter's.

mod appearance;
mod body;
mod globe;
mod jupiter_moons;
mod jupiter_moons_series;
mod pack;
mod series;
mod spline;

pub(crate) use appearance::SPEED_OF_LIGHT_KM_PER_S;
pub use appearance::{AU_KM, Appearance, appearance};
pub use body::Body;
pub use globe::{MoonFace, Rings, jupiter_central_meridian, jupiter_pole, moon_face, saturn_rings};
pub use jupiter_moons::{JupiterMoon, jupiter_centre_from_barycentre_km};
pub use pack::{EARTH_MOON_MASS_RATIO, Ephemeris, PackError};
pub use series::Series;
