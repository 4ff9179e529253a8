//! What a visitor sees through an eyepiece.

use super::fit::{UNKNOWN, framing};
use super::subject::{Glow, Subject};
use super::verdict::{Part, Verdict, approach, rise, rise_by_ratio};
use super::{Fit, Reason};
use crate::catalogue::Kind;
use crate::rig::{Eyepiece, FieldShape, Telescope};
use crate::sky::{contrast, faintest_star, least_contrast};
use crate::units::{Angle, Magnitude, SurfaceBrightness};

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
/// Shape of a star's image blurred by the air: Moffat 1969, A&A 3, 455, `(1 + (r / alpha)^2)^-beta` with beta 2.5.
const MOFFAT_BETA: f64 = 2.5;
/// The fainter star over the light of the brighter one around it: starts to show, is clear. Common practice, no source.
const OVER_GLARE: (f64, f64) = (0.5, 20.0);
/// What is left of the Moon's view without any shadows. Common practice, no source: craters flatten towards full Moon.
const FLAT_MOON: f64 = 0.7;
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

/// A telescope with one eyepiece and an eye behind it.
#[derive(Clone, Copy, Debug)]
struct Eye {
    magnification: f64,
    true_field: Angle,
    /// How much brighter a star becomes, in magnitudes.
    star_gain_mag: f64,
    /// How much darker sky and surfaces become, in magnitudes.
    dimming_mag: f64,
}

impl Eye {
    /// Source: the factors of Schaefer 1990, PASP 102, 212, in short form; good to half a magnitude.
    fn new(telescope: &Telescope, eyepiece: &Eyepiece) -> Self {
        let exit_pupil_mm = eyepiece.exit_pupil_mm(telescope);
        let magnification = telescope.magnification(eyepiece.focal_length_mm);
        let used_mm = exit_pupil_mm.min(PUPIL_MM);
        // Surfaces: T (1 - epsilon^2) (e / p_e)^2; stars: that times M^2, as their light stays in a point.
        let surface = telescope.light_share() * (used_mm / PUPIL_MM).powi(2);
        let dimming_mag = -2.5 * surface.log10();
        Self {
            magnification,
            true_field: eyepiece.true_field(telescope),
            star_gain_mag: 5.0 * magnification.log10() - dimming_mag,
            dimming_mag,
        }
    }

    /// The sky as the eye gets it.
    fn background(&self, sky: SurfaceBrightness) -> SurfaceBrightness {
        SurfaceBrightness(sky.0 + self.dimming_mag)
    }

    /// The faintest star for a trained observer, extinction not in it.
    fn faintest_star(&self, sky: SurfaceBrightness) -> Magnitude {
        Magnitude(faintest_star(self.background(sky)).0 + self.star_gain_mag - ONE_EYE_MAG)
    }

    /// Magnitudes by which a star is above a visitor's limit.
    fn star_margin(&self, magnitude: Magnitude, sky: SurfaceBrightness) -> f64 {
        self.faintest_star(sky).0 - VISITOR_MAG - magnitude.0
    }

    /// Magnitudes by which a glow is above a visitor's limit.
    fn glow_margin(&self, glow: &Glow, sky: SurfaceBrightness) -> f64 {
        let (long, short) = (glow.long * self.magnification, glow.short * self.magnification);
        let over_limit = contrast(glow.brightness, sky) / least_contrast(self.background(sky), long, short);
        2.5 * over_limit.log10() - VISITOR_MAG
    }

    /// What an apparent size is worth.
    fn size_worth(&self, size: Angle) -> f64 {
        approach((size * self.magnification - APPARENT_DOT).radians(), APPARENT_SIGHT.radians())
    }

    /// What magnified blur leaves.
    fn sharpness(&self, blur: Angle) -> Part {
        let softness = blur * self.magnification / SOFT_BLUR;
        let reason = Reason::TooMuchMagnification { magnification: self.magnification, blur };
        (reason, 1.0 / (1.0 + softness.powi(4)).sqrt())
    }

    fn verdict(&self, subject: &Subject, aperture_mm: f64) -> Verdict {
        let field = FieldShape::Circle(self.true_field);
        let sharp = |verdict: Verdict| verdict.with(self.sharpness(subject.blur));
        match subject.kind {
            Kind::Star => {
                Verdict::new(Fit::Dot).because(Reason::ColourByEye, LONE_STAR).with(self.star_light(subject))
            }
            Kind::DoubleStar => {
                let (fit, part) = pair(subject, aperture_mm, field, |separation| {
                    // An eye parts two stars from a minute of arc on, with ease at eight.
                    approach((separation * self.magnification).arcminutes() - 1.0, 3.0)
                });
                sharp(
                    Verdict::new(fit)
                        .with(part)
                        .with_any(glare(subject))
                        .with(self.star_light(subject))
                        .because(Reason::ColourByEye, 1.0),
                )
            }
            Kind::Moon => {
                let (fit, part) = framing(subject, field, true, |size| self.size_worth(size));
                sharp(Verdict::new(fit).with(part).with_any(relief(subject)))
            }
            Kind::Planet => {
                let (fit, part) = framing(subject, field, true, |size| self.size_worth(size));
                let above_mag = subject.glow.map_or(0.0, |glow| subject.sky.0 - glow.brightness.0);
                sharp(
                    Verdict::new(fit)
                        .with(limited_by_detail(part, subject))
                        .with(planet_light(subject, Reason::OutshinesSky { above_mag })),
                )
            }
            Kind::OpenCluster => {
                let (fit, part) = framing(subject, field, true, |size| self.size_worth(size));
                Verdict::new(fit).with(part).with(self.cluster_light(subject))
            }
            Kind::DarkNebula => {
                let (fit, part) = framing(subject, field, true, |size| self.size_worth(size));
                Verdict::new(fit).with(part).because(too_faint(subject), 0.0)
            }
            Kind::GlobularCluster
            | Kind::PlanetaryNebula
            | Kind::Nebula
            | Kind::SupernovaRemnant
            | Kind::Galaxy => {
                let (fit, part) = framing(subject, field, true, |size| self.size_worth(size));
                Verdict::new(fit).with(part).with(self.glow_light(subject))
            }
        }
    }

    fn star_light(&self, subject: &Subject) -> Part {
        let Some(magnitude) = subject.faintest else { return brightness_unknown(subject) };
        judged(subject, self.star_margin(magnitude, subject.sky), STAR_SHINES_MAG)
    }

    fn cluster_light(&self, subject: &Subject) -> Part {
        let Some(magnitude) = subject.magnitude else { return brightness_unknown(subject) };
        let star = Magnitude(magnitude.0 + CLUSTER_STAR_MAG);
        judged(subject, self.star_margin(star, subject.sky), CLUSTER_SHINES_MAG)
    }

    fn glow_light(&self, subject: &Subject) -> Part {
        let part = |glow: Option<Glow>, at_best: f64| {
            glow.map(|glow| {
                let (reason, worth) = judged(subject, self.glow_margin(&glow, subject.sky), GLOW_SHOWS_MAG);
                let over_sky = contrast(glow.brightness, subject.sky);
                let reason =
                    if is_smudge(subject.kind) && over_sky < 1.0 { too_faint(subject) } else { reason };
                // A glow without stars in it is a grey smudge unless it outshines the sky (common practice, no source).
                let smudge = if is_smudge(subject.kind) { over_sky / (1.0 + over_sky) } else { 1.0 };
                (reason, worth * at_best * smudge)
            })
        };
        let (whole, core) = (part(subject.glow, 1.0), part(subject.core, CORE_LIGHT));
        let better = |one: Part, other: Part| if other.1 > one.1 { other } else { one };
        whole.into_iter().chain(core).reduce(better).unwrap_or_else(|| brightness_unknown(subject))
    }
}

/// Something of unknown brightness may show, but not on a bright sky.
pub(super) fn brightness_unknown(subject: &Subject) -> Part {
    (Reason::BrightnessUnknown, UNKNOWN * rise(subject.sky.0, UNKNOWN_SHOWS_SKY.0, UNKNOWN_SHOWS_SKY.1))
}

/// Whether a kind is a glow without an edge or stars to hold on to.
const fn is_smudge(kind: Kind) -> bool {
    matches!(kind, Kind::Nebula | Kind::SupernovaRemnant | Kind::Galaxy)
}

/// What `above_mag` magnitudes above a visitor's limit are worth.
fn judged(subject: &Subject, above_mag: f64, shows_mag: f64) -> Part {
    let worth = approach(above_mag, shows_mag);
    if above_mag < FAINT_MAG {
        (too_faint(subject), worth)
    } else {
        (Reason::BrightForEye { above_mag }, worth)
    }
}

fn too_faint(subject: &Subject) -> Reason {
    // A target without a surface is as bright as what stands out least: the sky itself.
    let target = subject.glow.or(subject.core).map_or(subject.sky, |glow| glow.brightness);
    Reason::TooFaintForEye { target, sky: subject.sky }
}

/// What shadows along the terminator add: most at half phase, none at full.
pub(super) fn relief(subject: &Subject) -> Option<Part> {
    let illuminated = subject.illuminated?;
    // k = (1 + cos i) / 2, so sin i = 2 sqrt(k (1 - k))
    let shadows = 2.0 * (illuminated.value() * (1.0 - illuminated.value())).sqrt();
    Some((Reason::NoShadows { illuminated }, FLAT_MOON + (1.0 - FLAT_MOON) * shadows))
}

/// What the glare of a pair's brighter star leaves of the fainter one.
fn glare(subject: &Subject) -> Option<Part> {
    let (separation, _) = subject.axes?;
    // FWHM = 2 alpha sqrt(2^(1/beta) - 1)
    let alpha = subject.blur / (2.0 * (2_f64.powf(1.0 / MOFFAT_BETA) - 1.0).sqrt());
    let wing = (1.0 + (separation / alpha).powi(2)).powf(-MOFFAT_BETA);
    let over_glare = 10_f64.powf(-0.4 * subject.difference_mag) / wing;
    let reason = Reason::Glare { separation, difference_mag: subject.difference_mag };
    Some((reason, rise_by_ratio(over_glare, OVER_GLARE.0, OVER_GLARE.1)))
}

/// The weaker of a disc's size and of the detail that the air leaves in it.
pub(super) fn limited_by_detail(size: Part, subject: &Subject) -> Part {
    let Some((target, _)) = subject.axes else { return size };
    let detail = detail_worth(target, subject.blur);
    if detail < size.1 { (Reason::FineDetailLost { target, blur: subject.blur }, detail) } else { size }
}

/// What the light of a planet is worth against a bright sky; `shows` where it stands out.
pub(super) fn planet_light(subject: &Subject, shows: Reason) -> Part {
    let Some(glow) = subject.glow else { return (Reason::BrightnessUnknown, UNKNOWN) };
    let worth = rise_by_ratio(contrast(glow.brightness, subject.sky), PLANET_CONTRAST.0, PLANET_CONTRAST.1);
    if worth < FAINT { (too_faint(subject), worth) } else { (shows, worth) }
}

/// What a disc is worth by the resolved elements across it.
fn detail_worth(size: Angle, blur: Angle) -> f64 {
    approach(size / blur, ELEMENTS)
}

/// The fit of a pair, and what its gap is worth: not split closer than the Dawes limit, nor much closer than the
/// seeing. `gap_worth` says what the instrument makes of a separation.
pub(super) fn pair(
    subject: &Subject,
    aperture_mm: f64,
    field: FieldShape,
    gap_worth: impl Fn(Angle) -> f64,
) -> (Fit, Part) {
    let Some((separation, _)) = subject.axes else {
        return (Fit::Unknown, (Reason::SizeUnknown, UNKNOWN));
    };
    let (fit, part) = framing(subject, field, true, |_| 1.0);
    if matches!(fit, Fit::Part { .. }) {
        return (fit, part);
    }
    // 116 mm / D arcseconds (Dawes 1867), for unequal pairs times 10^(0.155 dm), which fits the 3.4 and 7.5 times of
    // Lewis 1914, The Observatory 37, 378, for 3.3 and 5.7 magnitudes (from memory); calm moments show pairs down to 0.6
    // of the blur (common practice, no source).
    let dawes = Angle::from_arcseconds(116.0 / aperture_mm) * 10_f64.powf(0.155 * subject.difference_mag);
    let limit = dawes.max(subject.blur * 0.6);
    let worth = approach(separation / limit - 1.0, 1.0) * gap_worth(separation);
    let reason = if separation <= limit {
        Reason::PairTooClose { separation, limit }
    } else {
        Reason::SplitsPair { separation, seeing: subject.seeing }
    };
    (fit, (reason, worth))
}

/// The best eyepiece of a set for a subject, by its position, and its verdict; of equals the first. `None` for an
/// empty set.
pub(super) fn best_eyepiece(
    subject: &Subject,
    telescope: &Telescope,
    eyepieces: &[Eyepiece],
) -> Option<(usize, Verdict)> {
    let mut best: Option<(usize, Verdict)> = None;
    for (index, eyepiece) in eyepieces.iter().enumerate() {
        let verdict = Eye::new(telescope, eyepiece).verdict(subject, telescope.aperture_mm);
        if best.as_ref().is_none_or(|(_, best)| verdict.view() > best.view()) {
            best = Some((index, verdict));
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::Eye;
    use crate::rig::Telescope;
    use crate::rig::sample::eyepiece;
    use crate::units::{Fraction, SurfaceBrightness};

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
        let limit = Eye::new(&telescope, &eyepiece(10.0, 60.0, None)).faintest_star(SurfaceBrightness(21.0));
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
            let eye = Eye::new(&telescope, &eyepiece(exit_pupil_mm * 10.0, 60.0, None));
            assert!((eye.dimming_mag - dimming).abs() < 0.005, "got {}", eye.dimming_mag);
        }
    }
}
