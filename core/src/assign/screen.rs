//! What a group sees on the screen of a camera.

use std::f64::consts::PI;

use super::eye::{
    CLUSTER_STAR_MAG, CORE_LIGHT, brightness_unknown, limited_by_detail, pair, planet_light, relief,
};
use super::fit::framing;
use super::subject::{Glow, Subject};
use super::verdict::{Part, Verdict, approach, rise, rise_by_ratio};
use super::{Fit, Reason};
use crate::catalogue::Kind;
use crate::rig::{Camera, CameraUse, Colour, FieldShape, Telescope, longest_frame_s};
use crate::sky::contrast;
use crate::units::{Angle, Magnitude, SurfaceBrightness};

/// Photons of a star of V = 0 above the air, per second, square centimetre and angstrom, and the width of V in
/// angstroms: Bessell 1979, PASP 91, 589 (from memory).
const ZERO_PHOTONS: f64 = 995.0;
const V_WIDTH: f64 = 880.0;
/// Share of the light that the colour filters of a one-shot colour sensor let through. Common practice, no source.
const COLOUR_SHARE: f64 = 0.5;
/// Time over which the patience of a waiting group fades, in seconds: `exp(-t / patience)` of the view is left. Common
/// practice, no source: a screen stop takes four to six minutes.
const PATIENCE_S: f64 = 300.0;
/// The patch over which an eye judges a picture on the screen, about the size of the seeing.
const PATCH_ARCSEC2: f64 = 4.0;
/// Signal to noise from which an eye is sure of a patch in a noisy picture: Rose 1948, J. Opt. Soc. Am. 38, 196.
const SURE_SIGNAL: f64 = 5.0;
/// Contrast with the sky at which a glow starts to show after the sky is taken off, and from which it is clear.
/// Common practice, no source: faint galaxies are shown from 15 to 18 degrees of the Sun's depression on.
const GLOW_CONTRAST: (f64, f64) = (0.04, 0.5);
/// A star's brightest pixel over the sky in that pixel must be above 1; logarithm on which it grows clear.
const STAR_CONTRAST_LN: f64 = 1.6;
/// Skies at which a dark nebula starts to show against the stars behind, and from which it is clear. Common practice,
/// no source.
const DARK_NEBULA_SKY: (f64, f64) = (19.5, 21.5);
/// Light that a dark nebula takes from the sky, as magnitudes below it: a fifth. Common practice, no source.
const DARK_DEPTH_MAG: f64 = 1.75;
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

/// Seconds until a patch of sky reaches a signal to noise, from electrons a second.
///
/// `S/N = N / sqrt(N + n_pix (N_S + N_R^2))`, electrons, with the dark current and the error of the background left
/// out (Merline & Howell 1995; Howell, Handbook of CCD Astronomy, section 4.4), solved for the time; `noise_e2` is
/// `n_pix N_R^2` a second.
fn seconds_to_signal(signal_to_noise: f64, glow_e: f64, sky_e: f64, noise_e2: f64) -> f64 {
    signal_to_noise * signal_to_noise * (glow_e + sky_e + noise_e2) / (glow_e * glow_e)
}

/// A camera on a telescope, with what a second of its light gives.
struct Screen<'r> {
    camera: &'r Camera,
    aperture_mm: f64,
    field: FieldShape,
    /// How fast the field turns; `None` where a rotator holds it, and turns it along a target.
    turning_arcsec_per_s: Option<f64>,
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

    const fn has_rotator(&self) -> bool {
        self.turning_arcsec_per_s.is_none()
    }

    fn usual_frame_s(&self) -> f64 {
        exposures_s(self.camera.purpose).0
    }

    /// What shorter frames leave of a glow in a field that turns: more read noise, more time.
    fn turning_part(&self, subject: &Subject) -> Option<Part> {
        let glow = subject.core.or(subject.glow)?;
        let arcsec_per_s = self.turning_arcsec_per_s?;
        let corner = Angle::from_radians(
            self.field.long_side().radians().hypot(self.field.short_side().radians()) / 2.0,
        );
        // Half of the blur is not seen as a trail (common practice, no source).
        let longest_frame_s = longest_frame_s(arcsec_per_s, corner, subject.blur / 2.0)?;
        let usual_s = self.usual_frame_s();
        if longest_frame_s >= usual_s {
            return None;
        }
        let seconds = |frame_s| self.glow_seconds(&glow, subject.sky, frame_s);
        let later_s = seconds(longest_frame_s) - seconds(usual_s);
        Some((Reason::FieldTurns { arcsec_per_s, longest_frame_s }, (-later_s / PATIENCE_S).exp()))
    }

    /// Seconds until a group sees a glow on the screen.
    fn glow_seconds(&self, glow: &Glow, sky: SurfaceBrightness, frame_s: f64) -> f64 {
        let pixels = PATCH_ARCSEC2 / self.pixel.arcseconds().powi(2);
        seconds_to_signal(
            SURE_SIGNAL,
            self.surface_electrons(glow.brightness) * PATCH_ARCSEC2,
            self.surface_electrons(sky) * PATCH_ARCSEC2,
            pixels * self.camera.read_noise_e.powi(2) / frame_s,
        )
    }

    /// What a glow on the screen is worth: by the patience it takes, and by its contrast with the sky.
    fn glow_part(&self, subject: &Subject, glow: &Glow, at_best: f64) -> Part {
        let seconds = self.glow_seconds(glow, subject.sky, self.usual_frame_s());
        let over_sky = contrast(glow.brightness, subject.sky);
        let stands_out = rise_by_ratio(over_sky, GLOW_CONTRAST.0, GLOW_CONTRAST.1);
        judged(subject, (-seconds / PATIENCE_S).exp() * stands_out, at_best, seconds)
    }

    fn glow_light(&self, subject: &Subject) -> Part {
        let at_best = match subject.kind {
            Kind::GlobularCluster | Kind::PlanetaryNebula => NOT_BY_EYE,
            _ => 1.0,
        };
        let whole = subject.glow.map(|glow| self.glow_part(subject, &glow, at_best));
        let core = subject.core.map(|core| self.glow_part(subject, &core, at_best * CORE_LIGHT));
        let better = |one: Part, other: Part| if other.1 > one.1 { other } else { one };
        whole.into_iter().chain(core).reduce(better).unwrap_or_else(|| brightness_unknown(subject))
    }

    /// The light of stars `fainter_mag` below the magnitude given, seen on the first frame.
    fn star_light(&self, subject: &Subject, fainter_mag: f64) -> Part {
        let Some(magnitude) = subject.faintest else { return brightness_unknown(subject) };
        let sigma = subject.seeing.arcseconds() / 2.3548;
        // A Gaussian's brightest pixel holds p^2 / (2 pi sigma^2) of the star, so the pixel's size cancels.
        let star = Magnitude(magnitude.0 + fainter_mag).flux() / (2.0 * PI * sigma * sigma);
        let over_sky = star / Magnitude(subject.sky.0).flux();
        let frame_s = self.usual_frame_s();
        judged(subject, approach(over_sky.ln(), STAR_CONTRAST_LN), NOT_BY_EYE, frame_s)
    }

    /// A dark nebula: the sky behind must show round it.
    fn dark_light(&self, subject: &Subject) -> Part {
        let worth = rise(subject.sky.0, DARK_NEBULA_SKY.0, DARK_NEBULA_SKY.1);
        let missing = SurfaceBrightness(subject.sky.0 + DARK_DEPTH_MAG);
        let glow = Glow { long: Angle::ZERO, short: Angle::ZERO, brightness: missing };
        judged(subject, worth, 1.0, self.glow_seconds(&glow, subject.sky, self.usual_frame_s()))
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
        let (fit, part) = framing(subject, self.field, self.has_rotator(), |size| self.size_worth(size));
        let part = if is_moon { part } else { limited_by_detail(part, subject) };
        let at_once = Reason::ScreenShowsIt { seconds: 0.0 };
        let (shows, worth) = if is_moon { (at_once, 1.0) } else { planet_light(subject, at_once) };
        let verdict = Verdict::new(fit).with(part).because(shows, worth * NOT_BY_EYE);
        let verdict = verdict.with_any(is_moon.then(|| relief(subject)).flatten());
        let verdict = verdict.with_any(self.sampling(subject.seeing));
        if self.burns_out(subject) { verdict.because(Reason::Saturates, BURNT_OUT) } else { verdict }
    }

    /// Fewer than two pixels to the seeing lose detail.
    fn sampling(&self, seeing: Angle) -> Option<Part> {
        let pixels = seeing / self.pixel;
        (pixels < 2.0).then_some((Reason::UnderSampled { pixel: self.pixel, seeing }, pixels / 2.0))
    }

    fn verdict(&self, subject: &Subject) -> Verdict {
        let framed = || framing(subject, self.field, self.has_rotator(), |size| self.size_worth(size));
        match subject.kind {
            Kind::Moon | Kind::Planet => self.body(subject),
            Kind::Star => Verdict::new(Fit::Dot)
                .because(Reason::ColourByEye, STAR_ON_SCREEN)
                .with(self.star_light(subject, 0.0)),
            Kind::DoubleStar => {
                let (fit, part) = pair(subject, self.aperture_mm, self.field, |separation| {
                    rise(separation / self.pixel, 2.0, 8.0)
                });
                Verdict::new(fit)
                    .because(Reason::ColourByEye, PAIR_ON_SCREEN)
                    .with(part)
                    .with(self.star_light(subject, 0.0))
            }
            Kind::OpenCluster => {
                let (fit, part) = framed();
                Verdict::new(fit).with(part).with(self.star_light(subject, CLUSTER_STAR_MAG))
            }
            Kind::DarkNebula => {
                let (fit, part) = framed();
                Verdict::new(fit).with(part).with(self.dark_light(subject))
            }
            Kind::GlobularCluster
            | Kind::PlanetaryNebula
            | Kind::Nebula
            | Kind::SupernovaRemnant
            | Kind::Galaxy => {
                let (fit, part) = framed();
                Verdict::new(fit)
                    .with(part)
                    .with(self.glow_light(subject))
                    .with_any(self.turning_part(subject))
            }
        }
    }
}

/// What `worth` of a target's light leaves, seen after some seconds.
fn judged(subject: &Subject, worth: f64, at_best: f64, seconds: f64) -> Part {
    let reason = if worth < FAINT {
        let target = subject.glow.or(subject.core).map_or(subject.sky, |glow| glow.brightness);
        Reason::TooFaintForScreen { target, sky: subject.sky }
    } else {
        Reason::ScreenShowsIt { seconds }
    };
    (reason, worth * at_best)
}

/// The verdict on a camera, whose field turns so fast where it has no rotator.
pub(super) fn on_screen(
    subject: &Subject,
    telescope: &Telescope,
    camera: &Camera,
    turning_arcsec_per_s: Option<f64>,
) -> Verdict {
    Screen {
        camera,
        aperture_mm: telescope.aperture_mm,
        field: camera.field_shape(telescope),
        turning_arcsec_per_s,
        pixel: camera.pixel_scale(telescope),
        zero_electrons: zero_electrons(telescope, camera),
    }
    .verdict(subject)
}

#[cfg(test)]
mod tests {
    use super::{seconds_to_signal, zero_electrons};
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
        for (seconds, signal) in [(10.0_f64, 2.9), (60.0, 7.0), (300.0, 15.7)] {
            let per_patch = |surface: f64| 1.02e9 * Magnitude(surface).flux() * 4.0;
            let noise_e2 = 4.0 / (0.2947 * 0.2947) * 2.0 * 2.0 / 10.0;
            let got = seconds_to_signal(signal, per_patch(22.0), per_patch(20.5), noise_e2);
            // The signal to noise is given to a tenth, and grows with the root of the time.
            assert!((got / seconds - 1.0).abs() < 2.0 * 0.05 / signal + 0.002, "got {got}, want {seconds}");
        }
    }

    #[test]
    fn signal_to_noise_of_a_bright_star() {
        // Howell, Handbook of CCD Astronomy, worked example (numbers from memory): 342.
        let got = seconds_to_signal(342.1, 120_065.0 / 300.0, 3101.83 / 300.0, 25.0 / 300.0);
        assert!((got - 300.0).abs() < 0.2, "got {got}");
    }
}
