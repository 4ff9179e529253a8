//! How bright the background is in any direction, and how much light the air takes.
//!
//! [`background`] adds night sky, light domes, moonlight and twilight in linear light.

mod background;
mod extinction;
mod moonlight;
mod twilight_glow;

pub use background::{SkyLight, background};
pub use extinction::extinction_mag;
pub use moonlight::moonlight_nl;
pub use twilight_glow::twilight_nl;
