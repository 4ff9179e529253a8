//! What a group sees of a star's light spread out by a spectrograph.

use super::air::AirAndSky;
use super::eye::brightness_unknown;
use super::subject::Subject;
use super::verdict::{Chain, rise};
use super::{Fit, Reason};
use crate::catalogue::Kind;
use crate::rig::{FieldShape, Spectrograph, Telescope};
use crate::units::Magnitude;

/// Magnitudes above the limit from which a spectrum is bright on the screen. Common practice, no source.
const BRIGHT_MAG: f64 = 4.0;
/// What the spectrum of a pair, its brighter star in the slit, is worth: a story, but not why the pair is shown.
const PAIR: f64 = 0.25;

/// A spectrograph on a telescope with a target in front.
#[derive(Clone, Copy, Debug)]
pub(super) struct Slit {
    /// How the target sits in the slit.
    pub fit: Fit,
    /// What its spectrum is worth at best; 0 for what has none to show.
    pub at_best: f64,
    width_arcsec: Option<f64>,
    limit: Magnitude,
}

impl Slit {
    /// A target on a spectrograph.
    pub fn new(subject: &Subject, telescope: &Telescope, spectrograph: &Spectrograph) -> Self {
        let (fit, at_best) = match subject.kind {
            Kind::Star => (Fit::Dot, 1.0),
            Kind::DoubleStar => (Fit::Dot, PAIR),
            _ => (Fit::Unknown, 0.0),
        };
        let width_arcsec = match spectrograph.field_shape(telescope) {
            FieldShape::Slit(width, _) => Some(width.arcseconds()),
            FieldShape::Rectangle(..) | FieldShape::Circle(_) => None,
        };
        Self { fit, at_best, width_arcsec, limit: spectrograph.limiting_magnitude }
    }

    /// The parts of the view, one after the other.
    #[inline]
    pub fn tell<C: Chain>(&self, chain: C, subject: &Subject, air: &AirAndSky) -> C {
        if self.at_best <= 0.0 {
            return chain.because(Reason::NoSpectrum, 0.0);
        }
        let Some(magnitude) = subject.magnitude else {
            let (reason, factor) = brightness_unknown(air);
            return chain.because(reason, factor * self.at_best);
        };
        let (star, limit) = (Magnitude(magnitude.0 + air.lost_mag), self.limit);
        let above_limit = rise(limit.0 - star.0, 0.0, BRIGHT_MAG);
        // The sky in the slit beside the star: its width times the seeing.
        let slit_arcsec2 = self.width_arcsec.map_or(1.0, |width| width * air.seeing.arcseconds());
        let sky_mag = air.sky.0 - 2.5 * slit_arcsec2.log10();
        let worth = above_limit * rise(sky_mag - star.0, 0.0, BRIGHT_MAG) * self.at_best;
        let reason = if worth > 0.0 {
            Reason::SpectrumShows { star, limit }
        } else {
            Reason::TooFaintForSpectrum { star, limit }
        };
        chain.because(reason, worth)
    }
}
