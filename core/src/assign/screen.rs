//! What a group sees on the screen of a camera.

use std::f64::consts::PI;

use super::eye::{CLUSTER_STAR_MAG, CORE_LIGHT, brightness_unknown, detail_worth, pair, planet_light};
use super::fit::framing;
use super::subject::{Glow, Subject};
use super::verdict::{Part, Verdict, rise, rise_by_ratio};
use super::{Fit, Reason};
use crate::catalogue::Kind;
use crate::rig::{Camera, CameraUse, Colour, FieldShape, Telescope};
use crate::sky::contrast;
use crate::units::{Angle, Magnitude, SurfaceBrightness};

/// Photons of a star of V = 0 above the air, per second, square centimetre and angstrom, and the width of V in
/// angstroms: Bessell 1979, PASP 91, 589 (from memory).
const ZERO_PHOTONS: f64 = 995.0;
const V_WIDTH: f64 = 880.0;
/// Share of the light that the colour filters of a one-shot colour sensor let through. Common practice, no source.
const COLOUR_SHARE: f64 = 0.5;
/// Time a waiting group grants a picture to build up, in seconds. Common practice, no source: a few minutes.
const BUILD_UP_S: f64 = 180.0;
/// The patch over which an eye judges a picture on the screen, about the size of the seeing.
const PATCH_ARCSEC2: f64 = 4.0;
/// Signal to noise of a patch at which a glow starts to show on the screen, and from which it is clear. Common
/// practice, no source.
const PATCH_SIGNAL: (f64, f64) = (1.0, 8.0);
/// Contrast with the sky at which a glow starts to show after the sky is taken off, and from which it is clear.
/// Common practice, no source: faint galaxies are shown from 15 to 18 degrees of the Sun's depression on.
const GLOW_CONTRAST: (f64, f64) = (0.04, 0.5);
/// A star's brightest pixel over the sky in that pixel: starts to show, is clear.
const STAR_CONTRAST: (f64, f64) = (1.0, 30.0);
/// Skies at which a dark nebula starts to show against the stars behind, and from which it is clear. Common practice,
/// no source.
const DARK_NEBULA_SKY: (f64, f64) = (19.5, 21.5);
/// Shares of a wide field at which a target is a dot, and from which it is a picture. Common practice, no source.
const WIDE_SHARE: (f64, f64) = (0.015, 0.12);
/// Pixels across, on a camera for small things. Common practice, no source.
const PIXELS: (f64, f64) = (10.0, 120.0);
/// What a screen is worth where the view by one's own eye is the memory. Common practice, no source.
const NOT_BY_EYE: f64 = 0.85;
/// Stars on a screen: white dots.
const STAR_ON_SCREEN: f64 = 0.15;
const PAIR_ON_SCREEN: f64 = 0.3;
/// How much brighter the brightest parts of a disc are than its mean, in magnitudes. Common practice, no source.
const HIGHLIGHT_MAG: f64 = 1.0;
/// What burning out leaves.
const BURNT_OUT: f64 = 0.4;
/// Below this worth of its light a target counts as too faint.
const FAINT: f64 = 0.25;

/// Exposures of a camera, in seconds: the usual frame, and the shortest. Common practice, no source: a deep-sky camera
/// with a shutter does a tenth of a second.
fn exposures_s(purpose: CameraUse) -> (f64, f64) {
    match purpose {
        CameraUse::DeepSky => (10.0, 0.1),
        CameraUse::Planetary => (0.5, 0.001),
    }
}

/// Electrons a second from a star of V = 0 above the air.
fn zero_electrons(telescope: &Telescope, camera: &Camera) -> f64 {
    let area_cm2 = PI / 4.0 * (telescope.aperture_mm / 10.0).powi(2);
    let colour = match camera.colour {
        Colour::OneShotColour => COLOUR_SHARE,
        Colour::Mono => 1.0,
    };
    ZERO_PHOTONS * V_WIDTH * area_cm2 * telescope.light_share() * camera.quantum_efficiency.value() * colour
}

/// Signal to noise of a patch of sky after `frames` frames.
///
/// `S/N = N / sqrt(N + n_pix (N_S + N_R^2))`, electrons, with the dark current and the error of the background left
/// out: Merline & Howell 1995; Howell, Handbook of CCD Astronomy, section 4.4.
fn patch_signal_to_noise(glow_e: f64, sky_e: f64, read_noise_e: f64, pixels: f64, frames: f64) -> f64 {
    glow_e / (glow_e + sky_e + pixels * frames * read_noise_e * read_noise_e).sqrt()
}

/// A camera on a telescope, with what a second of its light gives.
struct Screen<'r> {
    camera: &'r Camera,
    aperture_mm: f64,
    field: FieldShape,
    turns: bool,
    pixel: Angle,
    zero_electrons: f64,
}

impl Screen<'_> {
    /// Electrons a second from a square arcsecond.
    fn surface_electrons(&self, brightness: SurfaceBrightness) -> f64 {
        self.zero_electrons * Magnitude(brightness.0).flux()
    }

    /// What a target's size is worth when it is framed whole.
    fn size_worth(&self, size: Angle) -> f64 {
        match self.camera.purpose {
            CameraUse::DeepSky => rise_by_ratio(size / self.field.short_side(), WIDE_SHARE.0, WIDE_SHARE.1),
            CameraUse::Planetary => rise_by_ratio(size / self.pixel, PIXELS.0, PIXELS.1),
        }
    }

    fn glow_worth(&self, glow: &Glow, sky: SurfaceBrightness) -> f64 {
        let (frame_s, _) = exposures_s(self.camera.purpose);
        let patch = PATCH_ARCSEC2 * BUILD_UP_S;
        let signal = patch_signal_to_noise(
            self.surface_electrons(glow.brightness) * patch,
            self.surface_electrons(sky) * patch,
            self.camera.read_noise_e,
            PATCH_ARCSEC2 / self.pixel.arcseconds().powi(2),
            BUILD_UP_S / frame_s,
        );
        rise_by_ratio(signal, PATCH_SIGNAL.0, PATCH_SIGNAL.1)
            * rise_by_ratio(contrast(glow.brightness, sky), GLOW_CONTRAST.0, GLOW_CONTRAST.1)
    }

    fn glow_light(&self, subject: &Subject) -> Part {
        let at_best = match subject.kind {
            Kind::GlobularCluster | Kind::PlanetaryNebula => NOT_BY_EYE,
            _ => 1.0,
        };
        let whole = subject.glow.map(|glow| self.glow_worth(&glow, subject.sky));
        let core = subject.core.map(|core| CORE_LIGHT * self.glow_worth(&core, subject.sky));
        match whole.into_iter().chain(core).reduce(f64::max) {
            Some(worth) => judged(subject, worth, at_best),
            None => brightness_unknown(subject),
        }
    }

    /// Whether the brightest part of a body fills the pixels within the shortest exposure.
    fn burns_out(&self, subject: &Subject) -> bool {
        let (_, shortest_s) = exposures_s(self.camera.purpose);
        let pixel_arcsec2 = self.pixel.arcseconds().powi(2);
        subject.glow.is_some_and(|glow| {
            let highlight = SurfaceBrightness(glow.brightness.0 - HIGHLIGHT_MAG);
            self.surface_electrons(highlight) * pixel_arcsec2 * shortest_s > self.camera.full_well_e
        })
    }

    /// A body: framing, pixels against seeing, light.
    fn body(&self, subject: &Subject) -> Verdict {
        let is_moon = subject.kind == Kind::Moon;
        let (fit, part) = framing(subject, self.field, self.turns, |size| {
            let detail = if is_moon { 1.0 } else { detail_worth(size, subject.seeing) };
            self.size_worth(size).min(detail)
        });
        let (shows, worth) =
            if is_moon { (Reason::ScreenShowsIt, 1.0) } else { planet_light(subject, Reason::ScreenShowsIt) };
        let verdict = Verdict::new(fit).with(part).because(shows, worth * NOT_BY_EYE);
        let verdict = verdict.with_any(self.sampling(subject.seeing));
        if self.burns_out(subject) { verdict.because(Reason::Saturates, BURNT_OUT) } else { verdict }
    }

    /// Fewer than two pixels to the seeing lose detail.
    fn sampling(&self, seeing: Angle) -> Option<Part> {
        let pixels = seeing / self.pixel;
        (pixels < 2.0).then_some((Reason::UnderSampled { pixel: self.pixel, seeing }, pixels / 2.0))
    }

    fn verdict(&self, subject: &Subject) -> Verdict {
        let framed = || framing(subject, self.field, self.turns, |size| self.size_worth(size));
        match subject.kind {
            Kind::Moon | Kind::Planet => self.body(subject),
            Kind::Star => Verdict::new(Fit::Dot)
                .because(Reason::ColourByEye, STAR_ON_SCREEN)
                .with(star_light(subject, 0.0)),
            Kind::DoubleStar => {
                let (fit, part) = pair(subject, self.aperture_mm, self.field, |separation| {
                    rise(separation / self.pixel, 2.0, 8.0)
                });
                Verdict::new(fit)
                    .because(Reason::ColourByEye, PAIR_ON_SCREEN)
                    .with(part)
                    .with(star_light(subject, 0.0))
            }
            Kind::OpenCluster => {
                let (fit, part) = framed();
                Verdict::new(fit).with(part).with(star_light(subject, CLUSTER_STAR_MAG))
            }
            Kind::DarkNebula => {
                let (fit, part) = framed();
                let worth = rise(subject.sky.0, DARK_NEBULA_SKY.0, DARK_NEBULA_SKY.1);
                Verdict::new(fit).with(part).with(judged(subject, worth, 1.0))
            }
            Kind::GlobularCluster
            | Kind::PlanetaryNebula
            | Kind::Nebula
            | Kind::SupernovaRemnant
            | Kind::Galaxy => {
                let (fit, part) = framed();
                Verdict::new(fit).with(part).with(self.glow_light(subject))
            }
        }
    }
}

/// The light of stars `fainter_mag` below the magnitude given.
fn star_light(subject: &Subject, fainter_mag: f64) -> Part {
    let Some(magnitude) = subject.faintest else { return brightness_unknown(subject) };
    let sigma = subject.seeing.arcseconds() / 2.3548;
    // A Gaussian's brightest pixel holds p^2 / (2 pi sigma^2) of the star, so the pixel's size cancels.
    let star = Magnitude(magnitude.0 + fainter_mag).flux() / (2.0 * PI * sigma * sigma);
    let over_sky = star / Magnitude(subject.sky.0).flux();
    judged(subject, rise_by_ratio(over_sky, STAR_CONTRAST.0, STAR_CONTRAST.1), NOT_BY_EYE)
}

fn judged(subject: &Subject, worth: f64, at_best: f64) -> Part {
    let reason = if worth < FAINT {
        let target = subject.glow.or(subject.core).map_or(subject.sky, |glow| glow.brightness);
        Reason::TooFaintForScreen { target, sky: subject.sky }
    } else {
        Reason::ScreenShowsIt
    };
    (reason, worth * at_best)
}

/// The verdict on a camera; `turns` where a rotator can turn its field.
pub(super) fn on_screen(subject: &Subject, telescope: &Telescope, camera: &Camera, turns: bool) -> Verdict {
    Screen {
        camera,
        aperture_mm: telescope.aperture_mm,
        field: camera.field_shape(telescope),
        turns,
        pixel: camera.pixel_scale(telescope),
        zero_electrons: zero_electrons(telescope, camera),
    }
    .verdict(subject)
}

#[cfg(test)]
mod tests {
    use super::{patch_signal_to_noise, zero_electrons};
    use crate::rig::sample::{rig, telescope_port};
    use crate::rig::{Colour, Instrument};
    use crate::units::{Fraction, Magnitude};

    #[test]
    fn electrons_of_a_star_and_of_the_sky() {
        // 995 photons x 880 angstroms, 600 mm with an obstruction of 42 %, all losses together 0.5: 1.02e9 electrons a
        // second at V = 0; sky of 21.5 in a pixel of 0.2947 arcseconds 0.222. Computed apart from this code.
        let rig = rig();
        let mut telescope = rig.telescope;
        telescope.throughput = Fraction::clamped(0.5);
        let Instrument::Camera(mut camera) = telescope_port(&rig, "wide").instrument.clone() else {
            panic!("the wide port has a camera")
        };
        camera.quantum_efficiency = Fraction::ONE;
        camera.colour = Colour::Mono;
        let zero = zero_electrons(&telescope, &camera);
        assert!((zero / 1.02e9 - 1.0).abs() < 0.002, "got {zero}");
        let sky = zero * Magnitude(21.5).flux() * 0.2947 * 0.2947;
        assert!((sky - 0.222).abs() < 0.001, "got {sky}");
    }

    #[test]
    fn signal_to_noise_of_a_faint_galaxy() {
        // S = 22 on a sky of 20.5, patches of 2 x 2 arcseconds, frames of 10 s, read noise 2 e. Computed apart from this
        // code, with its 1.02e9 electrons a second at V = 0 and 0.2947 arcseconds a pixel.
        for (seconds, want) in [(10.0, 2.9), (60.0, 7.0), (300.0, 15.7)] {
            let per_patch = |surface: f64| 1.02e9 * Magnitude(surface).flux() * 4.0 * seconds;
            let pixels = 4.0 / (0.2947 * 0.2947);
            let got = patch_signal_to_noise(per_patch(22.0), per_patch(20.5), 2.0, pixels, seconds / 10.0);
            assert!((got - want).abs() < 0.06, "got {got}, want {want}");
        }
    }

    #[test]
    fn signal_to_noise_of_a_bright_star() {
        // Howell, Handbook of CCD Astronomy, worked example (numbers from memory): 342.
        let got = patch_signal_to_noise(120_065.0, 3101.83, 5.0, 1.0, 1.0);
        assert!((got - 342.1).abs() < 0.1, "got {got}");
    }
}
