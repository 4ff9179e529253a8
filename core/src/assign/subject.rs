//! A target as it is tonight, above the air: its extent and its light.

use super::air::light;
use super::moon::moon_magnitude;
use crate::catalogue::{Feature, Kind, Target};
use crate::ephemeris::{Appearance, Body};
use crate::units::{Angle, Fraction, Magnitude, SurfaceBrightness};

/// A patch of light: its axes and its surface brightness above the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Glow {
    /// Long axis.
    pub long: Angle,
    /// Short axis.
    pub short: Angle,
    /// Surface brightness.
    pub brightness: SurfaceBrightness,
    /// The same as light, a ratio to magnitude 0 in a square arcsecond.
    pub flux: f64,
}

impl Glow {
    /// A patch of light.
    pub fn new(long: Angle, short: Angle, brightness: SurfaceBrightness) -> Self {
        Self { long, short, brightness, flux: light(brightness.0) }
    }
}

/// What the ports judge. What is no number, or beyond anything in the sky, counts as unknown.
#[derive(Clone, Copy, Debug)]
pub(super) struct Subject {
    /// What sort of thing it is.
    pub kind: Kind,
    /// Long and short axis; for a pair its separation and nothing. `None` for a star, and when unknown.
    pub axes: Option<(Angle, Angle)>,
    /// Integrated magnitude; that of the brighter star for a pair.
    pub magnitude: Option<Magnitude>,
    /// The same, but of the fainter star for a pair.
    pub faintest: Option<Magnitude>,
    /// The whole, as a patch of light.
    pub glow: Option<Glow>,
    /// The bright core, as a patch of light.
    pub core: Option<Glow>,
    /// The fainter star of a pair below the brighter one, in magnitudes.
    pub difference_mag: f64,
    /// The lit share of a body's disc.
    pub illuminated: Option<Fraction>,
    /// The place on the Moon, where it is one.
    pub feature: Option<Feature>,
}

/// Outer edge of Saturn's A ring over the planet's equator: 136 775 km over 60 268 km (Cuzzi et al. 1984, in Planetary
/// Rings, 73; radius of the IAU working group on cartographic coordinates).
const SATURN_RINGS: f64 = 136_775.0 / 60_268.0;

/// Magnitudes beyond which nothing in a night sky is: the full Moon has -12.7.
const MAGNITUDES: std::ops::RangeInclusive<f64> = -20.0..=40.0;

impl Subject {
    /// From the catalogue and a body's looks.
    pub fn new(target: &Target, appearance: Option<Appearance>) -> Self {
        // A comet has tonight's light, and no disc.
        let comet_magnitude =
            appearance.filter(|_| target.kind == Kind::Comet).and_then(|seen| seen.magnitude);
        let appearance = appearance.filter(|body| is_extent(body.diameter));
        let axes = extent(target, appearance.as_ref());
        let magnitude = match (&target.double, &appearance) {
            (Some(double), _) => Some(double.magnitudes.0),
            (None, Some(body)) if target.kind == Kind::Moon => {
                body.magnitude.or_else(|| Some(moon_magnitude(body.phase_angle?, body.diameter)))
            }
            (None, Some(body)) => body.magnitude,
            (None, None) => comet_magnitude.or(target.magnitude),
        };
        let known = |magnitude: &Magnitude| MAGNITUDES.contains(&magnitude.0);
        let magnitude = magnitude.filter(known);
        let faintest = match &target.double {
            Some(double) => Some(double.magnitudes.1).filter(known),
            None => magnitude,
        };
        let pair = target.double.as_ref().map(|double| double.magnitudes);
        let difference_mag = pair.map_or(0.0, |(bright, faint)| (faint.0 - bright.0).abs());
        let given = target.surface_brightness.filter(|given| MAGNITUDES.contains(&given.0));
        // A pair is no patch of light; a feature of a body is as bright as its disc.
        let disc = appearance.map(|body| (body.diameter, body.diameter));
        let surface = disc.or(axes).filter(|(_, short)| *short > Angle::ZERO);
        let glow = surface.and_then(|(long, short)| {
            let lit = appearance.and_then(|body| body.illuminated).map_or(1.0, Fraction::value);
            // The light of a body comes from the lit part of its disc alone; a hairline crescent still has a width.
            let mean = || Some(SurfaceBrightness::mean(magnitude?, long, short * lit.max(0.01)));
            Some(Glow::new(long, short, given.or_else(mean)?))
        });
        let core = target
            .core
            .filter(|core| is_extent(core.size) && MAGNITUDES.contains(&core.surface_brightness.0));
        Self {
            kind: target.kind,
            axes,
            magnitude,
            faintest,
            glow,
            core: core.map(|core| Glow::new(core.size, core.size, core.surface_brightness)),
            difference_mag: if difference_mag.is_finite() { difference_mag } else { 0.0 },
            illuminated: appearance.and_then(|body| body.illuminated),
            feature: target.feature,
        }
    }
}

/// Whether an angle is an extent on the sky.
fn is_extent(angle: Angle) -> bool {
    angle > Angle::ZERO && angle.degrees() <= 180.0
}

/// Long and short axis of a target as it is tonight: Saturn with its rings, a place on the Moon by its own size, a pair by
/// its separation and nothing; `None` for a star, and where the size is not known.
pub fn extent(target: &Target, appearance: Option<&Appearance>) -> Option<(Angle, Angle)> {
    let axes = match target.kind {
        Kind::Star => None,
        Kind::Moon | Kind::Planet => {
            let rings = if target.body() == Some(Body::Saturn) { SATURN_RINGS } else { 1.0 };
            let disc = appearance.map(|body| (body.diameter * rings, body.diameter));
            match (target.feature, appearance) {
                (Some(feature), Some(moon)) => {
                    let size = feature.apparent_size(moon.diameter);
                    Some((size, size))
                }
                _ => target.size.or(disc),
            }
        }
        Kind::DoubleStar => target.double.as_ref().map(|double| (double.separation, Angle::ZERO)),
        _ => target.size,
    };
    axes.filter(|(long, short)| is_extent(*long) && (Angle::ZERO..=*long).contains(short))
}

#[cfg(test)]
mod tests {
    use super::Subject;
    use crate::assign::Showing;
    use crate::assign::sample::{bare, body, deep_sky, double};
    use crate::catalogue::{Core, Kind, Target};
    use crate::ephemeris::Appearance;
    use crate::units::{Angle, Fraction, Magnitude, SurfaceBrightness};

    fn subject(target: &Target, showing: Showing) -> Subject {
        Subject::new(target, showing.appearance)
    }

    #[test]
    fn surface_of_a_planet_by_its_lit_disc() {
        // -2.46 over 43.7 by 40.9 arcseconds is 5.41 (arithmetic of the definition); round, 5.48.
        let whole = subject(&bare(Kind::Planet), body(20.8, 43.7, -2.46, 1.0));
        let brightness = whole.glow.map_or(0.0, |glow| glow.brightness.0);
        assert!((brightness - 5.48).abs() < 0.005, "got {brightness}");
        let half = subject(&bare(Kind::Planet), body(20.8, 43.7, -2.46, 0.5));
        let brighter = half.glow.map_or(0.0, |glow| glow.brightness.0);
        assert!((brightness - brighter - 2.5 * 2.0_f64.log10()).abs() < 1e-9);
    }

    #[test]
    fn surfaces_of_well_known_sizes_and_magnitudes() {
        // S = m + 2.5 log10(pi a b / 4), a and b in arcseconds: arithmetic of the definition, apart from this code.
        for (magnitude, long_arcmin, short_arcmin, want) in [
            (3.4, 177.0, 63.0, 22.15),
            (4.0, 85.0, 60.0, 21.90),
            (8.8, 1.4, 1.1, 17.90),
            (7.4, 8.0, 5.7, 20.18),
            (5.7, 68.0, 42.0, 22.97),
        ] {
            let (long, short) = (Angle::from_arcminutes(long_arcmin), Angle::from_arcminutes(short_arcmin));
            let got = SurfaceBrightness::mean(Magnitude(magnitude), long, short).0;
            assert!((got - want).abs() < 0.006, "got {got}, want {want}");
        }
    }

    #[test]
    fn a_feature_of_the_moon_has_its_own_size_and_the_light_of_the_disc() {
        let moon = body(20.8, 1865.0, -12.7, 1.0);
        let whole = subject(&bare(Kind::Moon), moon);
        let crater = subject(&deep_sky(Kind::Moon, 0.0, 1.5, 1.5), moon);
        assert_eq!(crater.axes, Some((Angle::from_arcminutes(1.5), Angle::from_arcminutes(1.5))));
        assert_eq!(crater.glow, whole.glow);
    }

    #[test]
    fn the_moon_has_a_brightness_though_no_almanac_gives_one() {
        let at = |phase_deg: f64, illuminated: f64| {
            let appearance = Appearance {
                diameter: Angle::from_arcseconds(1865.0),
                phase_angle: Some(Angle::from_degrees(phase_deg)),
                illuminated: Some(Fraction::clamped(illuminated)),
                magnitude: None,
            };
            Subject::new(&bare(Kind::Moon), Some(appearance)).glow.map_or(0.0, |glow| glow.brightness.0)
        };
        // -12.73 over a disc of 1865 arcseconds: 3.36; at 90 degrees -10.13 over half of it: 5.21 (arithmetic).
        assert!((at(0.0, 1.0) - 3.36).abs() < 0.01, "got {}", at(0.0, 1.0));
        assert!((at(90.0, 0.5) - 5.21).abs() < 0.01, "got {}", at(90.0, 0.5));
    }

    #[test]
    fn a_pair_is_judged_by_its_fainter_star_and_is_no_glow() {
        let pair = Subject::new(&double(10.0, 3.0, 5.0), None);
        assert_eq!([pair.magnitude, pair.faintest], [Some(Magnitude(3.0)), Some(Magnitude(5.0))]);
        assert_eq!(pair.glow, None);
    }

    #[test]
    fn absurd_numbers_count_as_unknown() {
        for size_arcmin in [f64::NAN, f64::INFINITY, -3.0, 0.0, 1e9] {
            let odd = Subject::new(&deep_sky(Kind::Galaxy, 9.0, size_arcmin, size_arcmin), None);
            assert_eq!((odd.axes, odd.glow), (None, None), "{size_arcmin}");
        }
        for magnitude in [f64::NAN, f64::NEG_INFINITY, -400.0, 1e300] {
            let odd = Subject::new(&deep_sky(Kind::Galaxy, magnitude, 9.0, 8.0), None);
            assert_eq!((odd.magnitude, odd.glow), (None, None), "{magnitude}");
        }
        let core = Core { size: Angle::from_radians(f64::NAN), surface_brightness: SurfaceBrightness(18.0) };
        let target = Target { core: Some(core), ..deep_sky(Kind::Galaxy, 9.0, 9.0, 8.0) };
        assert_eq!(Subject::new(&target, None).core, None);
    }
}
