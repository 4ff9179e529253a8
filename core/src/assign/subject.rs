//! A target as it stands in the sky tonight: its extent, and its light after the air has taken its share.

use super::Showing;
use crate::catalogue::{Kind, Target};
use crate::sky::extinction_mag;
use crate::units::{Angle, Magnitude, SurfaceBrightness};

/// A patch of light: its axes and its surface brightness as it arrives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Glow {
    /// Long axis.
    pub long: Angle,
    /// Short axis.
    pub short: Angle,
    /// Surface brightness after extinction.
    pub brightness: SurfaceBrightness,
}

/// What the ports judge.
#[derive(Clone, Copy, Debug)]
pub(super) struct Subject {
    /// What sort of thing it is.
    pub kind: Kind,
    /// Long and short axis; for a pair its separation and nothing. `None` for a star, and when unknown.
    pub axes: Option<(Angle, Angle)>,
    /// Integrated magnitude after extinction; that of the brighter star for a pair.
    pub magnitude: Option<Magnitude>,
    /// The same, but of the fainter star for a pair.
    pub faintest: Option<Magnitude>,
    /// The whole, as a patch of light.
    pub glow: Option<Glow>,
    /// The bright core, as a patch of light.
    pub core: Option<Glow>,
    /// The sky behind it.
    pub sky: SurfaceBrightness,
    /// Seeing there.
    pub seeing: Angle,
}

impl Subject {
    /// From the catalogue and the circumstances.
    pub fn new(target: &Target, showing: &Showing) -> Self {
        let lost_mag = extinction_mag(showing.extinction_mag, showing.airmass);
        let arriving = |brightness: SurfaceBrightness| SurfaceBrightness(brightness.0 + lost_mag);
        let axes = axes(target, showing);
        let magnitude = match (&target.double, &showing.appearance) {
            (Some(double), _) => Some(double.magnitudes.0),
            (None, Some(appearance)) => appearance.magnitude,
            (None, None) => target.magnitude,
        };
        let faintest = target.double.as_ref().map(|double| double.magnitudes.1).or(magnitude);
        let dimmed = |magnitude: Magnitude| Magnitude(magnitude.0 + lost_mag);
        // A pair is no patch of light.
        let glow = axes.filter(|(_, short)| *short > Angle::ZERO).and_then(|(long, short)| {
            let lit = showing.appearance.and_then(|body| body.illuminated).map_or(1.0, |lit| lit.value());
            // The light of a body comes from the lit part of its disc alone; a hairline crescent still has a width.
            let mean = || Some(SurfaceBrightness::mean(magnitude?, long, short * lit.max(0.01)));
            let brightness = arriving(target.surface_brightness.or_else(mean)?);
            Some(Glow { long, short, brightness })
        });
        Self {
            kind: target.kind,
            axes,
            magnitude: magnitude.map(dimmed),
            faintest: faintest.map(dimmed),
            glow,
            core: target.core.map(|core| Glow {
                long: core.size,
                short: core.size,
                brightness: arriving(core.surface_brightness),
            }),
            sky: showing.sky,
            // FWHM(X) = FWHM(1) X^0.6 (Fried 1966, Roddier 1981)
            seeing: showing.seeing * showing.airmass.max(1.0).powf(0.6),
        }
    }
}

fn axes(target: &Target, showing: &Showing) -> Option<(Angle, Angle)> {
    match target.kind {
        Kind::Star => None,
        Kind::Moon | Kind::Planet => showing.appearance.map(|body| (body.diameter, body.diameter)),
        Kind::DoubleStar => target.double.as_ref().map(|double| (double.separation, Angle::ZERO)),
        _ => target.size,
    }
}
