//! What a group sees of a star's light spread out by a spectrograph.

use super::eye::brightness_unknown;
use super::subject::Subject;
use super::verdict::{Verdict, rise};
use super::{Fit, Reason};
use crate::catalogue::Kind;
use crate::rig::{FieldShape, Spectrograph, Telescope};

/// Magnitudes above the limit from which a spectrum is bright on the screen. Common practice, no source.
const BRIGHT_MAG: f64 = 4.0;
/// What the spectrum of a pair, its brighter star in the slit, is worth: a story, but not why the pair is shown.
const PAIR: f64 = 0.25;

/// The verdict on a spectrograph.
pub(super) fn on_slit(subject: &Subject, telescope: &Telescope, spectrograph: &Spectrograph) -> Verdict {
    let verdict = Verdict::new(Fit::Dot);
    let worth_at_best = match subject.kind {
        Kind::Star => 1.0,
        Kind::DoubleStar => PAIR,
        _ => return Verdict::new(Fit::Unknown).because(Reason::NoSpectrum, 0.0),
    };
    let Some(star) = subject.magnitude else {
        let (reason, factor) = brightness_unknown(subject);
        return verdict.because(reason, factor * worth_at_best);
    };
    let limit = spectrograph.limiting_magnitude;
    let above_limit = rise(limit.0 - star.0, 0.0, BRIGHT_MAG);
    // The sky in the slit beside the star: its width times the seeing.
    let slit_arcsec2 = match spectrograph.field_shape(telescope) {
        FieldShape::Slit(width, _) => width.arcseconds() * subject.seeing.arcseconds(),
        FieldShape::Rectangle(..) | FieldShape::Circle(_) => 1.0,
    };
    let sky_mag = subject.sky.0 - 2.5 * slit_arcsec2.log10();
    let worth = above_limit * rise(sky_mag - star.0, 0.0, BRIGHT_MAG) * worth_at_best;
    let reason = if worth > 0.0 {
        Reason::SpectrumShows { star, limit }
    } else {
        Reason::TooFaintForSpectrum { star, limit }
    };
    verdict.because(reason, worth)
}
