//! Catalogue, astrometric, apparent, observed: from a source to where it stands in the sky.
//!
//! Prepare one [`EveningSky`] per site and night, one [`ObserverAt`] per instant, then ask it for any number
//! of [`Source`]s. [`refraction`](fn@refraction_saemundsson) and [`airmass_kasten_young`] stand apart, for
//! those who want them.

mod air;
mod bulk;
mod elongation;
mod evening_sky;
mod fixed_sky;
mod jupiter_system;
mod light;
mod observer;
mod source;
mod tracks;
mod turning;

pub use air::{Air, LOWEST_REFRACTED, airmass_kasten_young, refraction_bennett, refraction_saemundsson};
pub use bulk::{CatalogueDirections, CatalogueView, FixedPlaces};
pub use elongation::{MoonAndSun, moon_and_sun_course, moon_phase_course, moon_phase_longitude};
use evening_sky::check_span;
pub use evening_sky::{EveningSky, OutsideSpan};
pub use fixed_sky::FixedSky;
pub use jupiter_system::{AgainstDisc, JupiterSystem, MoonOfJupiter};
pub use observer::{Astrometric, Observed, ObserverAt};
pub use source::{Source, StarPlace};
pub use turning::{Turning, keyhole_radius};
