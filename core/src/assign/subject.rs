//! A target as it stands in the sky tonight: its extent, and its light after the air has taken its share.

use super::Showing;
use crate::catalogue::{Kind, Target};
use crate::sky::extinction_mag;
use crate::units::{Angle, Fraction, Magnitude, SurfaceBrightness};

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
        // A pair is no patch of light; a feature of a body is as bright as its disc.
        let disc = showing.appearance.map(|body| (body.diameter, body.diameter));
        let surface = disc.or(axes).filter(|(_, short)| *short > Angle::ZERO);
        let glow = surface.and_then(|(long, short)| {
            let lit = showing.appearance.and_then(|body| body.illuminated).map_or(1.0, Fraction::value);
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
        Kind::Moon | Kind::Planet => {
            target.size.or(showing.appearance.map(|body| (body.diameter, body.diameter)))
        }
        Kind::DoubleStar => target.double.as_ref().map(|double| (double.separation, Angle::ZERO)),
        _ => target.size,
    }
}

#[cfg(test)]
mod tests {
    use super::Subject;
    use crate::assign::Showing;
    use crate::assign::sample::{bare, body, deep_sky, double, under};
    use crate::catalogue::Kind;
    use crate::units::{Angle, Magnitude};

    #[test]
    fn surface_of_a_planet_by_its_lit_disc() {
        // -2.46 over 43.7 by 40.9 arcseconds is 5.41 (arithmetic of the definition); round and in airmass 1.2 with 0.25
        // lost for each, 5.48 and 0.30.
        let subject = Subject::new(&bare(Kind::Planet), &body(20.8, 43.7, -2.46, 1.0));
        let brightness = subject.glow.map_or(0.0, |glow| glow.brightness.0);
        assert!((brightness - 5.78).abs() < 0.005, "got {brightness}");
        let half = Subject::new(&bare(Kind::Planet), &body(20.8, 43.7, -2.46, 0.5));
        let brighter = half.glow.map_or(0.0, |glow| glow.brightness.0);
        assert!((brightness - brighter - 2.5 * 2.0_f64.log10()).abs() < 1e-9);
    }

    #[test]
    fn a_feature_of_the_moon_has_its_own_size_and_the_light_of_the_disc() {
        let whole = Subject::new(&bare(Kind::Moon), &body(20.8, 1865.0, -12.7, 1.0));
        let crater = Subject::new(&deep_sky(Kind::Moon, 0.0, 1.5, 1.5), &body(20.8, 1865.0, -12.7, 1.0));
        assert_eq!(crater.axes, Some((Angle::from_arcminutes(1.5), Angle::from_arcminutes(1.5))));
        assert_eq!(crater.glow, whole.glow);
    }

    #[test]
    fn seeing_grows_with_airmass() {
        // 2.0 arcseconds times X^0.6, evaluated apart from this code.
        for (airmass, want) in [(0.9997, 2.0), (1.155, 2.18), (1.5, 2.55), (2.0, 3.03), (3.0, 3.87)] {
            let showing = Showing { airmass, ..under(20.8) };
            let seeing = Subject::new(&bare(Kind::Nebula), &showing).seeing.arcseconds();
            assert!((seeing - want).abs() < 0.005, "got {seeing}, want {want}");
        }
    }

    #[test]
    fn a_pair_is_judged_by_its_fainter_star_and_is_no_glow() {
        let subject = Subject::new(&double(10.0, 3.0, 5.0), &under(20.8));
        assert_eq!([subject.magnitude, subject.faintest], [Some(Magnitude(3.3)), Some(Magnitude(5.3))]);
        assert_eq!(subject.glow, None);
    }
}
