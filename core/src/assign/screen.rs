//! What a group sees on the screen of a camera.

use std::f64::consts::PI;

use super::air::{AirAndSky, light};
use super::eye::{
    CLUSTER_STAR_MAG, CORE_LIGHT, better_of, brightness_unknown, limited_by_detail, planet_light,
    surface_as_it_arrives,
};
use super::fit::{Pair, framed_or_paired};
use super::moon::shadows;
use super::subject::{Glow, Subject};
use super::verdict::{Chain, Part, approach, rise, rise_by_ratio};
use super::{Bearing, Fit, Reason};
use crate::catalogue::Kind;
use crate::rig::{
    Camera, CameraUse, Colour, Port, Side, Telescope, field_rotation_arcsec_per_s, longest_frame_s,
};
use crate::units::Angle;

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
/// How much longer it takes to twice that signal to noise, from which a faint glow has a clear shape (common practice, no
/// source): the square of it, as both grow from the same light.
const CLEAR_TIMES: f64 = 4.0;
const AT_ONCE: Reason = Reason::ScreenShowsIt { seconds: 0.0, clear_s: 0.0 };
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
/// Pixels to the seeing below which a disc loses detail, and above which binning loses none: two to three hold all
/// that the air leaves (Nyquist), four are plenty. Common practice, no source.
const FEWEST_PIXELS: f64 = 2.0;
const MOST_PIXELS: f64 = 4.0;
/// How much brighter the brightest parts of a disc are than its mean, in magnitudes. Common practice, no source.
const HIGHLIGHT_MAG: f64 = 1.0;
/// What burning out leaves.
const BURNT_OUT: f64 = 0.4;
/// Below this worth of its light a target counts as too faint.
const FAINT: f64 = 0.25;

/// Rotation of the Earth against the stars, rounded up.
const SIDEREAL_ARCSEC_PER_S: f64 = 15.05;

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
#[inline]
fn seconds_to_signal(signal_to_noise: f64, glow_e: f64, sky_e: f64, noise_e2: f64) -> f64 {
    signal_to_noise * signal_to_noise * (glow_e + sky_e + noise_e2) / (glow_e * glow_e)
}

/// Share of a star's light in the brightest square arcsecond, its image a Gaussian of a full width at half maximum in
/// arcseconds: `1 / (2 pi sigma^2)`.
#[inline]
fn peak_share(fwhm_arcsec: f64) -> f64 {
    let sigma = fwhm_arcsec / 2.3548;
    1.0 / (2.0 * PI * sigma * sigma)
}

/// A camera on a telescope with a target in front, and what a second of its light gives.
#[derive(Clone, Copy, Debug)]
pub(super) struct Screen {
    /// How the target sits in the field.
    pub fit: Fit,
    /// What that is worth; for a pair, the splitting of it apart from the blur.
    framed: Part,
    pair: Option<Pair>,
    purpose: CameraUse,
    pixel: Angle,
    pixel_arcsec2: f64,
    /// Electrons a second from a star of V = 0 above the air.
    zero_electrons: f64,
    full_well_e: f64,
    read_noise_e: f64,
    /// Where the port sits and from the middle of the field to its corner, if nothing keeps the field from turning.
    turns: Option<(Side, Angle)>,
}

impl Screen {
    /// A target on a camera.
    pub fn new(subject: &Subject, telescope: &Telescope, port: &Port, camera: &Camera) -> Self {
        let field = camera.field_shape(telescope);
        let pixel = camera.pixel_scale(telescope);
        let (fit, framed, pair) = framed_or_paired(
            subject,
            telescope.dawes_limit(),
            field,
            port.derotator,
            |separation| rise(separation / pixel, 2.0, 8.0),
            |size| match camera.purpose {
                CameraUse::DeepSky => rise_by_ratio(size / field.short_side(), WIDE_SHARE.0, WIDE_SHARE.1),
                CameraUse::Planetary => rise_by_ratio(size / pixel, PIXELS.0, PIXELS.1),
            },
        );
        let corner = field.long_side().radians().hypot(field.short_side().radians()) / 2.0;
        Self {
            fit,
            framed,
            pair,
            purpose: camera.purpose,
            pixel,
            pixel_arcsec2: pixel.arcseconds().powi(2),
            zero_electrons: zero_electrons(telescope, camera),
            full_well_e: camera.full_well_e,
            read_noise_e: camera.read_noise_e,
            turns: port.field_turns().then_some((port.side, Angle::from_radians(corner))),
        }
    }

    /// The most that a view can come to.
    pub fn at_best(&self) -> f64 {
        self.framed.1
    }

    fn usual_frame_s(&self) -> f64 {
        exposures_s(self.purpose).0
    }

    /// What shorter frames leave of a glow in a field that turns: more read noise, more time.
    #[inline]
    fn turning_part(&self, subject: &Subject, air: &AirAndSky) -> Option<Part> {
        let (side, corner) = self.turns?;
        let glow = subject.core.or(subject.glow)?;
        let usual_s = self.usual_frame_s();
        let Bearing { latitude, azimuth, altitude } = air.bearing;
        // |rate| is at most w (1 + 1 / cos h); most fields need no more than this to be passed.
        let fastest_arcsec_per_s = SIDEREAL_ARCSEC_PER_S * (1.0 + 1.0 / altitude.cos());
        let trail = air.blur / 2.0;
        if trail.radians()
            > usual_s * Angle::from_arcseconds(fastest_arcsec_per_s).radians() * corner.radians()
        {
            return None;
        }
        let arcsec_per_s = field_rotation_arcsec_per_s(side, latitude, azimuth, altitude);
        // Half of the blur is not seen as a trail (common practice, no source).
        let longest_frame_s = longest_frame_s(arcsec_per_s, corner, trail)?;
        if longest_frame_s >= usual_s {
            return None;
        }
        let seconds = |frame_s| self.glow_seconds(glow.flux * air.kept, air, frame_s);
        let later_s = seconds(longest_frame_s) - seconds(usual_s);
        Some((Reason::FieldTurns { arcsec_per_s, longest_frame_s }, (-later_s / PATIENCE_S).exp()))
    }

    /// Seconds until a group sees a glow on the screen, by its light in a square arcsecond as it arrives.
    #[inline]
    fn glow_seconds(&self, flux: f64, air: &AirAndSky, frame_s: f64) -> f64 {
        let pixels = PATCH_ARCSEC2 / self.pixel_arcsec2;
        let electrons = self.zero_electrons * PATCH_ARCSEC2;
        let noise_e2 = pixels * self.read_noise_e * self.read_noise_e / frame_s;
        seconds_to_signal(SURE_SIGNAL, electrons * flux, electrons * air.sky_flux, noise_e2)
    }

    /// What a glow on the screen is worth: by the patience it takes, and by its contrast with the sky.
    #[inline]
    fn glow_part(&self, subject: &Subject, glow: &Glow, air: &AirAndSky, at_best: f64) -> Part {
        let arriving = glow.flux * air.kept;
        let seconds = self.glow_seconds(arriving, air, self.usual_frame_s());
        let stands_out = rise_by_ratio(arriving / air.sky_flux, GLOW_CONTRAST.0, GLOW_CONTRAST.1);
        let worth = (-seconds / PATIENCE_S).exp() * stands_out;
        seen_after(subject, air, (worth, at_best), (seconds, seconds * CLEAR_TIMES))
    }

    #[inline]
    fn glow_light(&self, subject: &Subject, air: &AirAndSky) -> Part {
        let at_best = match subject.kind {
            Kind::GlobularCluster | Kind::PlanetaryNebula => NOT_BY_EYE,
            _ => 1.0,
        };
        let whole = subject.glow.map(|glow| self.glow_part(subject, &glow, air, at_best));
        let core = subject.core.map(|core| self.glow_part(subject, &core, air, at_best * CORE_LIGHT));
        better_of(whole, core).unwrap_or_else(|| brightness_unknown(air))
    }

    /// The light of stars `fainter_mag` below the magnitude given, seen on the first frame.
    #[inline]
    fn star_light(&self, subject: &Subject, air: &AirAndSky, fainter_mag: f64) -> Part {
        let Some(magnitude) = subject.faintest else { return brightness_unknown(air) };
        let star = light(magnitude.0 + fainter_mag) * air.kept * peak_share(air.seeing.arcseconds());
        let worth = approach((star / air.sky_flux).ln(), STAR_CONTRAST_LN);
        let frame_s = self.usual_frame_s();
        seen_after(subject, air, (worth, NOT_BY_EYE), (frame_s, frame_s))
    }

    /// A dark nebula: the sky behind must show round it.
    #[inline]
    fn dark_light(&self, subject: &Subject, air: &AirAndSky) -> Part {
        let worth = rise(air.sky.0, DARK_NEBULA_SKY.0, DARK_NEBULA_SKY.1);
        let missing = air.sky_flux * light(DARK_DEPTH_MAG);
        let seconds = self.glow_seconds(missing, air, self.usual_frame_s());
        seen_after(subject, air, (worth, 1.0), (seconds, seconds * CLEAR_TIMES))
    }

    /// Seconds in which the brightest part of a disc or glow fills the pixels; `None` where its brightness is not known.
    #[inline]
    fn full_s(&self, subject: &Subject, air: &AirAndSky) -> Option<f64> {
        let brightest = subject.glow?.flux * air.kept * light(-HIGHLIGHT_MAG);
        Some(self.full_well_e / (self.zero_electrons * brightest * self.pixel_arcsec2))
    }

    /// The length of one frame, in seconds: the usual one, or what half fills the brightest pixels of a bright disc (common
    /// practice, no source), or what keeps a turning field sharp; never below the shortest of the camera.
    pub fn frame_s(&self, subject: &Subject, air: &AirAndSky) -> f64 {
        let (usual_s, shortest_s) = exposures_s(self.purpose);
        let half_full_s = self.full_s(subject, air).map_or(usual_s, |full_s| full_s / 2.0);
        let sharp_s = match self.turning_part(subject, air) {
            Some((Reason::FieldTurns { longest_frame_s, .. }, _)) => longest_frame_s,
            _ => usual_s,
        };
        usual_s.min(half_full_s).min(sharp_s).max(shortest_s)
    }

    /// What is left where the brightest part of a body fills the pixels within the shortest exposure.
    #[inline]
    fn burns_out(&self, subject: &Subject, air: &AirAndSky) -> Option<Part> {
        let (_, shortest_s) = exposures_s(self.purpose);
        let full_s = self.full_s(subject, air)?;
        (full_s < shortest_s).then_some((Reason::Saturates { full_s, shortest_s }, BURNT_OUT))
    }

    /// Too few pixels to the seeing lose detail of a disc; too many cost faint light its time.
    #[inline]
    fn sampling(&self, kind: Kind, air: &AirAndSky) -> Option<Part> {
        let (pixel, seeing) = (self.pixel, air.seeing);
        let pixels = seeing / pixel;
        if pixels < FEWEST_PIXELS {
            let disc = matches!(kind, Kind::Moon | Kind::Planet);
            return Some((
                Reason::UnderSampled { pixel, seeing },
                if disc { pixels / FEWEST_PIXELS } else { 1.0 },
            ));
        }
        let bin = (pixels / MOST_PIXELS).ceil() as u32;
        let faint = matches!(self.purpose, CameraUse::DeepSky) && !matches!(kind, Kind::Moon | Kind::Planet);
        (faint && bin > 1).then_some((Reason::OverSampled { pixel, seeing, bin }, 1.0))
    }

    /// The parts of the view, one after the other.
    #[inline]
    pub fn tell<C: Chain>(&self, chain: C, subject: &Subject, air: &AirAndSky) -> C {
        let sampling = self.sampling(subject.kind, air);
        match subject.kind {
            Kind::Moon => chain
                .with(limited_by_detail(self.framed, subject, air))
                .because(AT_ONCE, NOT_BY_EYE)
                .with_any(shadows(subject, air))
                .with_any(sampling)
                .with_any(self.burns_out(subject, air)),
            Kind::Planet => {
                let (shows, worth) = planet_light(subject, air, AT_ONCE);
                chain
                    .with(limited_by_detail(self.framed, subject, air))
                    .because(shows, worth * NOT_BY_EYE)
                    .with_any(sampling)
                    .with_any(self.burns_out(subject, air))
            }
            Kind::Star => {
                chain.because(Reason::ColourByEye, STAR_ON_SCREEN).with(self.star_light(subject, air, 0.0))
            }
            Kind::DoubleStar => chain
                .because(Reason::ColourByEye, PAIR_ON_SCREEN)
                .with(self.pair.map_or(self.framed, |pair| pair.split(air)))
                .with(self.star_light(subject, air, 0.0)),
            Kind::OpenCluster => chain
                .with(self.framed)
                .with(self.star_light(subject, air, CLUSTER_STAR_MAG))
                .with_any(sampling),
            Kind::DarkNebula => {
                chain.with(self.framed).with(self.dark_light(subject, air)).with_any(sampling)
            }
            Kind::GlobularCluster
            | Kind::PlanetaryNebula
            | Kind::Nebula
            | Kind::SupernovaRemnant
            | Kind::Galaxy
            | Kind::Comet => {
                let chain = chain.with(self.framed).with(self.glow_light(subject, air));
                if chain.is_settled(1.0) {
                    return chain;
                }
                chain.with_any(self.turning_part(subject, air)).with_any(sampling)
            }
        }
    }
}

/// What `worth` of a target's light leaves of `at_best`, seen after some seconds and clear after some more.
#[inline]
fn seen_after(
    subject: &Subject,
    air: &AirAndSky,
    (worth, at_best): (f64, f64),
    (seconds, clear_s): (f64, f64),
) -> Part {
    let reason = if worth < FAINT {
        Reason::TooFaintForScreen { target: surface_as_it_arrives(subject, air), sky: air.sky }
    } else {
        Reason::ScreenShowsIt { seconds, clear_s }
    };
    (reason, worth * at_best)
}

#[cfg(test)]
mod tests {
    use super::{peak_share, seconds_to_signal, zero_electrons};
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
        for (brightness, want) in [(21.5, 0.222), (20.5, 0.559), (19.0, 2.22), (18.0, 5.6), (17.0, 14.0)] {
            let sky = zero * Magnitude(brightness).flux() * 0.2947 * 0.2947;
            assert!((sky / want - 1.0).abs() < 0.006, "at {brightness} got {sky}, want {want}");
        }
    }

    #[test]
    fn brightest_pixel_of_a_star() {
        // p^2 / (2 pi sigma^2) for pixels of 0.2947 arcseconds, computed apart from this code: 1.92 % at 2 arcseconds,
        // 0.85 % at 3.
        for (fwhm_arcsec, want) in [(2.0, 0.0192), (3.0, 0.0085)] {
            let got = peak_share(fwhm_arcsec) * 0.2947 * 0.2947;
            assert!((got - want).abs() < 0.000_06, "got {got}, want {want}");
        }
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
