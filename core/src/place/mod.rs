//! Catalogue, astrometric, apparent, observed: from a source to where it stands in the sky.
//!
//! Prepare one [`EveningSky`] per site and night, one [`ObserverAt`] per instant, then ask it for any number
//! of [`Source`]s. [`refraction`](fn@refraction_saemundsson) and [`airmass_kasten_young`] stand apart, for
//! those who want them.

mod air;
mod elongation;
mod evening_sky;
mod light;
mod observer;
mod source;

pub use air::{Air, LOWEST_REFRACTED, airmass_kasten_young, refraction_saemundsson};
pub use elongation::moon_phase_longitude;
pub use evening_sky::{EveningSky, OutsideSpan};
pub use observer::{Astrometric, Observed, ObserverAt};
pub use source::{Source, StarPlace};
