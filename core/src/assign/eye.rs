//! What a visitor sees through an eyepiece.

use std::f64::consts::LN_10;

use super::air::{AirAndSky, light};
use super::fit::{Pair, UNKNOWN, framed_or_paired};
use super::moon::shadows;
use super::subject::{Glow, Subject};
use super::verdict::{Chain, Part, approach, rise, rise_by_ratio};
use super::{Fit, Reason};
use crate::catalogue::Kind;
use crate::rig::{Eyepiece, FieldShape, Telescope};
use crate::sky::{apparent_area_arcsec2, faintest_light, least_contrast_of_light};
use crate::units::{Angle, Magnitude, SurfaceBrightness};

/// Magnitudes to a natural logarithm of light.
const MAG_OF_LN: f64 = 2.5 / LN_10;

/// Pupil of the eye for which the limits of vision were measured, in millimetres.
const PUPIL_MM: f64 = 7.0;
/// What one eye instead of two costs, in magnitudes. Schaefer 1990, PASP 102, 212.
const ONE_EYE_MAG: f64 = 0.37;
/// What a visitor loses against a trained, adapted eye, in magnitudes. Common practice, no source: 1 to 2.
const VISITOR_MAG: f64 = 1.5;
/// Apparent size up to which a target is a dot, and scale on which it grows to a sight. Common practice, no source: an
/// eye resolves a few minutes of arc with ease, the naked-eye Moon of half a degree already has a face, and planets are
/// shown at 180 to 300 times.
const APPARENT_DOT: Angle = Angle::from_arcminutes(3.0);
const APPARENT_SIGHT: Angle = Angle::from_arcminutes(45.0);
/// Blur by the air that looks soft when magnified: 0.71 of the view is left. Common practice, no source: 2 arcseconds
/// bear 300 times and are mush at 500.
const SOFT_BLUR: Angle = Angle::from_arcminutes(16.0);
/// Contrast with the sky at which a planet starts to show, and from which it stands out. Common practice, no source:
/// the bright planets are shown from 1 to 6 degrees of the Sun's depression on, brightest surface first.
const PLANET_CONTRAST: (f64, f64) = (5.0, 100.0);
/// Magnitudes above the limit on which a star grows to one that shines. Common practice, no source: colours need a
/// bright star.
const STAR_SHINES_MAG: f64 = 3.0;
/// The notable stars of an open cluster against its total magnitude. Common practice, no source.
pub(super) const CLUSTER_STAR_MAG: f64 = 3.0;
/// Magnitudes above the limit on which a cluster's stars, and a glow, grow to what pleases a visitor. Common practice,
/// no source.
const CLUSTER_SHINES_MAG: f64 = 2.5;
const GLOW_SHOWS_MAG: f64 = 0.8;
/// Resolved elements across a disc on which its features grow. Common practice, no source: ten show a planet's belts.
const ELEMENTS: f64 = 5.0;
/// Shape of a star's image blurred by the air: Moffat 1969, A&A 3, 455, `(1 + (r / alpha)^2)^-beta` with beta 2.5;
/// its full width at half maximum in units of alpha, `2 sqrt(2^(1/beta) - 1)`.
const MOFFAT_WIDTH: f64 = 1.130_500_616_139_406;
/// The fainter star over the light of the brighter one around it: starts to show, is clear. Common practice, no source.
const OVER_GLARE: (f64, f64) = (0.5, 20.0);
/// What the mean of a target leaves out when only its core shows.
pub(super) const CORE_LIGHT: f64 = 0.8;
/// A single star by eye: a colour, no more.
const LONE_STAR: f64 = 0.5;
/// Skies from which and in which a target of unknown brightness may show. Common practice, no source: what nobody has
/// measured is faint.
const UNKNOWN_SHOWS_SKY: (f64, f64) = (18.0, 20.5);
/// Magnitudes above a visitor's limit below which a target counts as too faint, and the worth of its light below which a
/// planet does. Common practice, no source.
const FAINT_MAG: f64 = 0.5;
const FAINT: f64 = 0.25;

/// Surface brightness at the eye from which a disc dazzles, about 270 candelas a square metre: brighter than a bright
/// screen. Common practice, no source: the full Moon in a large telescope asks for a filter.
const DAZZLING: SurfaceBrightness = SurfaceBrightness(6.5);

/// A telescope with one eyepiece, an eye behind it and a target in front.
#[derive(Clone, Copy, Debug)]
pub(super) struct Eye {
    /// Position in the set of eyepieces.
    pub index: usize,
    /// How the target sits in the field.
    pub fit: Fit,
    /// What that is worth; for a pair, the splitting of it apart from the blur.
    framed: Part,
    pair: Option<Pair>,
    magnification: f64,
    /// How much brighter a star becomes.
    star_gain: f64,
    /// Share of a surface's light that the eye gets, and the same for a luminance.
    surface: f64,
    luminance: f64,
    /// The first in magnitudes.
    dimming_mag: f64,
    /// Areas of glow and core as they appear, in square arcseconds.
    glow_area: f64,
    core_area: f64,
}

impl Eye {
    /// Source: the factors of Schaefer 1990, PASP 102, 212, in short form; good to half a magnitude.
    pub fn new(subject: &Subject, telescope: &Telescope, index: usize, eyepiece: &Eyepiece) -> Self {
        let exit_pupil_mm = eyepiece.exit_pupil_mm(telescope);
        let magnification = telescope.magnification(eyepiece.focal_length_mm);
        let used_mm = exit_pupil_mm.min(PUPIL_MM);
        // Surfaces: T (1 - epsilon^2) (e / p_e)^2; stars: that times M^2, as their light stays in a point.
        let surface = telescope.light_share() * (used_mm / PUPIL_MM).powi(2);
        let dimming_mag = -2.5 * surface.log10();
        let field = FieldShape::Circle(eyepiece.true_field(telescope));
        // An eye parts two stars from a minute of arc on, with ease at eight.
        let gap_worth = |separation: Angle| approach((separation * magnification).arcminutes() - 1.0, 3.0);
        let (fit, framed, pair) =
            framed_or_paired(subject, telescope.dawes_limit(), field, true, gap_worth, |size| {
                size_worth(size, magnification)
            });
        let area = |glow: Option<Glow>| {
            glow.map_or(0.0, |glow| {
                apparent_area_arcsec2(glow.long * magnification, glow.short * magnification)
            })
        };
        Self {
            index,
            fit,
            framed,
            pair,
            magnification,
            star_gain: magnification * magnification * surface,
            surface,
            luminance: SurfaceBrightness(dimming_mag).nanolamberts() / SurfaceBrightness(0.0).nanolamberts(),
            dimming_mag,
            glow_area: area(subject.glow),
            core_area: area(subject.core),
        }
    }

    /// The most that a view can come to.
    pub fn at_best(&self) -> f64 {
        self.framed.1
    }

    /// The light of the faintest star that a trained, adapted eye sees without the telescope, on the sky in the eyepiece.
    #[inline]
    fn faintest(&self, air: &AirAndSky) -> f64 {
        faintest_light(air.sky_nl * self.luminance)
    }

    /// The faintest star for a trained observer, extinction not in it.
    #[inline]
    fn faintest_star(&self, air: &AirAndSky) -> Magnitude {
        Magnitude(-MAG_OF_LN * (self.faintest(air) / self.star_gain).ln() - ONE_EYE_MAG)
    }

    /// Magnitudes by which a star is above a visitor's limit.
    #[inline]
    fn star_margin(&self, magnitude: f64, air: &AirAndSky) -> f64 {
        self.faintest_star(air).0 - VISITOR_MAG - magnitude - air.lost_mag
    }

    /// Magnitudes by which a glow, so many times as bright as the sky, is above a visitor's limit.
    #[inline]
    fn glow_margin(&self, over_sky: f64, area_arcsec2: f64, air: &AirAndSky) -> f64 {
        let least = least_contrast_of_light(self.faintest(air), air.sky_flux * self.surface, area_arcsec2);
        MAG_OF_LN * (over_sky / least).ln() - VISITOR_MAG
    }

    /// What magnified blur leaves.
    #[inline]
    fn sharpness(&self, blur: Angle) -> Part {
        let softness = blur * self.magnification / SOFT_BLUR;
        let reason = Reason::TooMuchMagnification { magnification: self.magnification, blur };
        let squared = softness * softness;
        (reason, 1.0 / (1.0 + squared * squared).sqrt())
    }

    /// Whether a body is too bright to look at with ease: a reason to fetch a filter, nothing off the view.
    #[inline]
    fn dazzles(&self, subject: &Subject, air: &AirAndSky) -> Option<Part> {
        let glow = subject.glow?;
        let brightness = SurfaceBrightness(glow.brightness.0 + air.lost_mag + self.dimming_mag);
        (brightness < DAZZLING).then_some((Reason::Dazzles { brightness }, 1.0))
    }

    /// The parts of the view, one after the other.
    #[inline]
    pub fn tell<C: Chain>(&self, chain: C, subject: &Subject, air: &AirAndSky) -> C {
        match subject.kind {
            Kind::Star => chain.because(Reason::ColourByEye, LONE_STAR).with(self.star_light(subject, air)),
            Kind::DoubleStar => chain
                .with(self.pair.map_or(self.framed, |pair| pair.split(air)))
                .with_any(glare(subject, air))
                .with(self.star_light(subject, air))
                .because(Reason::ColourByEye, 1.0)
                .with(self.sharpness(air.blur)),
            Kind::Moon => chain
                .with(limited_by_detail(self.framed, subject, air))
                .with_any(shadows(subject, air))
                .with(self.sharpness(air.blur))
                .with_any(self.dazzles(subject, air)),
            Kind::Planet => {
                let above_mag = subject.glow.map_or(0.0, |glow| air.sky.0 - glow.brightness.0 - air.lost_mag);
                chain
                    .with(limited_by_detail(self.framed, subject, air))
                    .with(planet_light(subject, air, Reason::OutshinesSky { above_mag }))
                    .with(self.sharpness(air.blur))
                    .with_any(self.dazzles(subject, air))
            }
            Kind::OpenCluster => chain.with(self.framed).with(self.cluster_light(subject, air)),
            Kind::DarkNebula => chain.with(self.framed).because(too_faint(subject, air), 0.0),
            Kind::GlobularCluster
            | Kind::PlanetaryNebula
            | Kind::Nebula
            | Kind::SupernovaRemnant
            | Kind::Galaxy
            | Kind::Comet => {
                let chain = chain.with(self.framed);
                if chain.is_settled(most_of_glow(subject, air)) {
                    return chain.with((Reason::BrightnessUnknown, 0.0));
                }
                chain.with(self.glow_light(subject, air))
            }
        }
    }

    #[inline]
    fn star_light(&self, subject: &Subject, air: &AirAndSky) -> Part {
        let Some(magnitude) = subject.faintest else { return brightness_unknown(air) };
        judged(subject, air, self.star_margin(magnitude.0, air), STAR_SHINES_MAG)
    }

    #[inline]
    fn cluster_light(&self, subject: &Subject, air: &AirAndSky) -> Part {
        let Some(magnitude) = subject.magnitude else { return brightness_unknown(air) };
        judged(subject, air, self.star_margin(magnitude.0 + CLUSTER_STAR_MAG, air), CLUSTER_SHINES_MAG)
    }

    #[inline]
    fn glow_light(&self, subject: &Subject, air: &AirAndSky) -> Part {
        let part = |glow: Option<Glow>, area_arcsec2: f64, at_best: f64| {
            glow.map(|glow| {
                let over_sky = glow.flux * air.kept / air.sky_flux;
                let above_mag = self.glow_margin(over_sky, area_arcsec2, air);
                let (reason, worth) = judged(subject, air, above_mag, GLOW_SHOWS_MAG);
                let grey = is_smudge(subject.kind) && over_sky < 1.0;
                let reason = if grey { lost_on_a_visitor(subject, air, above_mag) } else { reason };
                (reason, worth * at_best * smudge(subject.kind, over_sky))
            })
        };
        let whole = part(subject.glow, self.glow_area, 1.0);
        let core = part(subject.core, self.core_area, CORE_LIGHT);
        better_of(whole, core).unwrap_or_else(|| brightness_unknown(air))
    }
}

/// What a glow without stars in it leaves of a view: it is a grey smudge unless it outshines the sky. Common practice, no
/// source.
#[inline]
fn smudge(kind: Kind, over_sky: f64) -> f64 {
    if is_smudge(kind) { over_sky / (1.0 + over_sky) } else { 1.0 }
}

/// The most that the light of a glow may be worth through any eyepiece.
#[inline]
fn most_of_glow(subject: &Subject, air: &AirAndSky) -> f64 {
    let part = |glow: Option<Glow>, at_best: f64| {
        glow.map_or(0.0, |glow| at_best * smudge(subject.kind, glow.flux * air.kept / air.sky_flux))
    };
    if subject.glow.is_none() && subject.core.is_none() {
        return 1.0;
    }
    f64::max(part(subject.glow, 1.0), part(subject.core, CORE_LIGHT))
}

/// What an apparent size is worth.
fn size_worth(size: Angle, magnification: f64) -> f64 {
    approach((size * magnification - APPARENT_DOT).radians(), APPARENT_SIGHT.radians())
}

/// The better of two parts, if there is any; of equals the first.
#[inline]
pub(super) fn better_of(one: Option<Part>, other: Option<Part>) -> Option<Part> {
    match (one, other) {
        (Some(one), Some(other)) if other.1 > one.1 => Some(other),
        (one, other) => one.or(other),
    }
}

/// Something of unknown brightness may show, but not on a bright sky.
#[inline]
pub(super) fn brightness_unknown(air: &AirAndSky) -> Part {
    (Reason::BrightnessUnknown, UNKNOWN * rise(air.sky.0, UNKNOWN_SHOWS_SKY.0, UNKNOWN_SHOWS_SKY.1))
}

/// Whether a kind is a glow without an edge or stars to hold on to.
const fn is_smudge(kind: Kind) -> bool {
    matches!(kind, Kind::Nebula | Kind::SupernovaRemnant | Kind::Galaxy | Kind::Comet)
}

/// What `above_mag` magnitudes above a visitor's limit are worth.
#[inline]
fn judged(subject: &Subject, air: &AirAndSky, above_mag: f64, shows_mag: f64) -> Part {
    let worth = approach(above_mag, shows_mag);
    if above_mag < FAINT_MAG {
        (lost_on_a_visitor(subject, air, above_mag), worth)
    } else {
        (Reason::BrightForEye { above_mag }, worth)
    }
}

/// Lost on a visitor, but perhaps not on a trained eye used to the dark.
#[inline]
fn lost_on_a_visitor(subject: &Subject, air: &AirAndSky, visitor_above_mag: f64) -> Reason {
    let trained_above_mag = visitor_above_mag + VISITOR_MAG;
    if trained_above_mag < FAINT_MAG {
        too_faint(subject, air)
    } else {
        Reason::ForTrainedEyes { trained_above_mag, visitor_above_mag }
    }
}

#[inline]
fn too_faint(subject: &Subject, air: &AirAndSky) -> Reason {
    Reason::TooFaintForEye { target: surface_as_it_arrives(subject, air), sky: air.sky }
}

/// The surface of a target as it arrives; one without a surface is as bright as what stands out least: the sky itself.
#[inline]
pub(super) fn surface_as_it_arrives(subject: &Subject, air: &AirAndSky) -> SurfaceBrightness {
    let glow = subject.glow.or(subject.core);
    glow.map_or(air.sky, |glow| SurfaceBrightness(glow.brightness.0 + air.lost_mag))
}

/// What the glare of a pair's brighter star leaves of the fainter one.
#[inline]
fn glare(subject: &Subject, air: &AirAndSky) -> Option<Part> {
    let (separation, _) = subject.axes?;
    let ratio = separation / (air.blur / MOFFAT_WIDTH);
    let wing = 1.0 + ratio * ratio;
    // The fainter star over (1 + (r / alpha)^2)^-beta
    let over_glare = light(subject.difference_mag) * wing * wing * wing.sqrt();
    let reason = Reason::Glare { separation, difference_mag: subject.difference_mag };
    Some((reason, rise_by_ratio(over_glare, OVER_GLARE.0, OVER_GLARE.1)))
}

/// The weaker of a disc's size and of the detail that the air leaves in it; the whole Moon has always enough.
#[inline]
pub(super) fn limited_by_detail(size: Part, subject: &Subject, air: &AirAndSky) -> Part {
    let Some((target, _)) = subject.axes else { return size };
    if subject.kind == Kind::Moon && subject.feature.is_none() {
        return size;
    }
    let detail = approach(target / air.blur, ELEMENTS);
    if detail < size.1 { (Reason::FineDetailLost { target, blur: air.blur }, detail) } else { size }
}

/// What the light of a planet is worth against a bright sky; `shows` where it stands out.
#[inline]
pub(super) fn planet_light(subject: &Subject, air: &AirAndSky, shows: Reason) -> Part {
    let Some(glow) = subject.glow else { return (Reason::BrightnessUnknown, UNKNOWN) };
    let over_sky = glow.flux * air.kept / air.sky_flux;
    let worth = rise_by_ratio(over_sky, PLANET_CONTRAST.0, PLANET_CONTRAST.1);
    if worth < FAINT { (too_faint(subject, air), worth) } else { (shows, worth) }
}

#[cfg(test)]
mod tests {
    use super::Eye;
    use crate::assign::air::AirAndSky;
    use crate::assign::sample::{bare, under};
    use crate::assign::subject::Subject;
    use crate::catalogue::Kind;
    use crate::rig::Telescope;
    use crate::rig::sample::eyepiece;
    use crate::units::Fraction;

    fn eye(telescope: &Telescope, focal_length_mm: f64) -> Eye {
        let subject = Subject::new(&bare(Kind::Star), None);
        Eye::new(&subject, telescope, 0, &eyepiece(focal_length_mm, 60.0, None))
    }

    #[test]
    fn faintest_star_through_a_small_telescope() {
        // Schaefer 1990 in short form, evaluated apart from this code: 200 mm, 120 times, a sky of 21.0, transmission 0.9
        // gives 14.16; Schaefer's own program is reported to give 14.42.
        let telescope = Telescope {
            aperture_mm: 200.0,
            focal_length_mm: 1200.0,
            obstruction: Fraction::ZERO,
            throughput: Fraction::clamped(0.9),
        };
        let limit = eye(&telescope, 10.0).faintest_star(&AirAndSky::new(&under(21.0)));
        assert!((limit.0 - 14.16).abs() < 0.01, "got {}", limit.0);
    }

    #[test]
    fn exit_pupil_dims_sky_and_surfaces() {
        // 5 log10(7 / e): exit pupils of 6.15, 4.77, 3.85, 2.62 and 1.54 mm; full transmission.
        let telescope = Telescope {
            aperture_mm: 100.0,
            focal_length_mm: 1000.0,
            obstruction: Fraction::ZERO,
            throughput: Fraction::ONE,
        };
        for (exit_pupil_mm, dimming) in
            [(6.15, 0.28), (4.77, 0.83), (3.85, 1.30), (2.62, 2.13), (1.54, 3.29), (9.0, 0.0)]
        {
            let got = eye(&telescope, exit_pupil_mm * 10.0).dimming_mag;
            assert!((got - dimming).abs() < 0.005, "got {got}");
        }
    }
}
