//! How bright the background is in any direction, how much light the air takes, and what then stands out.
//!
//! [`background`] adds night sky, light domes, moonlight and twilight in linear light; [`contrast`] and
//! [`faintest_star`] say what an eye makes of it.

mod background;
mod contrast;
mod extinction;
mod moonlight;
mod night_glow;
mod twilight_glow;

pub use background::{SkyLight, background};
pub(crate) use contrast::{apparent_area_arcsec2, least_contrast_of_light};
pub use contrast::{contrast, faintest_light, faintest_star, faintest_star_by_field, least_contrast};
pub use extinction::extinction_mag;
pub use moonlight::{Moonlight, moonlight, moonlight_nl};
pub use twilight_glow::twilight_nl;
