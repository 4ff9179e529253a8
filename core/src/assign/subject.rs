//! A target as it stands in the sky tonight: its extent, and its light after the air has taken its share.

use super::{Bearing, Showing};
use crate::catalogue::{Kind, Target};
use crate::ephemeris::Body;
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
    /// Seeing and the air's dispersion together.
    pub blur: Angle,
    /// The fainter star of a pair below the brighter one, in magnitudes.
    pub difference_mag: f64,
    /// The lit share of a body's disc.
    pub illuminated: Option<Fraction>,
    /// Where it stands.
    pub bearing: Bearing,
}

/// Spread of a star's light from 450 to 650 nm at a zenith distance of 45 degrees and 800 hPa. Computed from Edlén's
/// refraction of dry air (Edlén 1966, Metrologia 2, 71).
const DISPERSION: Angle = Angle::from_arcseconds(0.69);
const DISPERSION_HPA: f64 = 800.0;

/// Outer edge of Saturn's A ring over the planet's equator: 136 775 km over 60 268 km (Cuzzi et al. 1984, in Planetary
/// Rings, 73; radius of the IAU working group on cartographic coordinates).
const SATURN_RINGS: f64 = 136_775.0 / 60_268.0;

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
        // FWHM(X) = FWHM(1) X^0.6 (Fried 1966, Roddier 1981)
        let seeing = showing.seeing * showing.airmass.max(1.0).powf(0.6);
        let dispersion = dispersion(showing);
        let pair = target.double.as_ref().map(|double| double.magnitudes);
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
            seeing,
            blur: Angle::from_radians(seeing.radians().hypot(dispersion.radians())),
            difference_mag: pair.map_or(0.0, |(bright, faint)| (faint.0 - bright.0).abs()),
            illuminated: showing.appearance.and_then(|body| body.illuminated),
            bearing: showing.bearing,
        }
    }
}

/// How far the air draws the colours of a star apart: in proportion to the pressure and to `tan z`.
fn dispersion(showing: &Showing) -> Angle {
    // tan^2 z = X^2 - 1 in a flat atmosphere
    let tan_z = (showing.airmass.max(1.0).powi(2) - 1.0).sqrt();
    DISPERSION * (showing.pressure_hpa / DISPERSION_HPA * tan_z)
}

fn axes(target: &Target, showing: &Showing) -> Option<(Angle, Angle)> {
    match target.kind {
        Kind::Star => None,
        Kind::Moon | Kind::Planet => {
            let rings = if target.body() == Some(Body::Saturn) { SATURN_RINGS } else { 1.0 };
            target.size.or(showing.appearance.map(|body| (body.diameter * rings, body.diameter)))
        }
        Kind::DoubleStar => target.double.as_ref().map(|double| (double.separation, Angle::ZERO)),
        _ => target.size,
    }
}

#[cfg(test)]
mod tests {
    use super::{Subject, dispersion};
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
    fn colours_are_drawn_apart_towards_the_horizon() {
        // Edlén's dry air at 800 hPa, 450 to 650 nm: 0.4, 0.7, 1.2 and 1.9 arcseconds at 60, 45, 30 and 20 degrees.
        for (altitude_deg, want) in [(60.0_f64, 0.4), (45.0, 0.7), (30.0, 1.2), (20.0, 1.9)] {
            let airmass = 1.0 / altitude_deg.to_radians().sin();
            let got = dispersion(&Showing { airmass, pressure_hpa: 800.0, ..under(20.8) }).arcseconds();
            assert!((got - want).abs() < 0.05, "at {altitude_deg} got {got}, want {want}");
        }
    }

    #[test]
    fn a_pair_is_judged_by_its_fainter_star_and_is_no_glow() {
        let subject = Subject::new(&double(10.0, 3.0, 5.0), &under(20.8));
        assert_eq!([subject.magnitude, subject.faintest], [Some(Magnitude(3.3)), Some(Magnitude(5.3))]);
        assert_eq!(subject.glow, None);
    }
}
