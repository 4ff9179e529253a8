//! Air and sky towards a target at a minute: what all ports share, worked out once.

use std::f64::consts::LN_10;

use super::{Bearing, Showing};
use crate::ephemeris::MoonFace;
use crate::sky::extinction_mag;
use crate::units::{Angle, SurfaceBrightness};

/// Spread of a star's light from 450 to 650 nm at a zenith distance of 45 degrees and 800 hPa. Computed from Edlén's
/// refraction of dry air (Edlén 1966, Metrologia 2, 71).
const DISPERSION: Angle = Angle::from_arcseconds(0.69);
const DISPERSION_HPA: f64 = 800.0;
/// Taken where the seeing given is none, and said so. Common practice, no source: an ordinary night.
const USUAL_SEEING: Angle = Angle::from_arcseconds(2.5);

/// `34.08 exp(20.7233)`: Krisciunas & Schaefer 1991, PASP 103, 1033, eq. 1.
const NANOLAMBERTS_OF_ZERO: f64 = 34_081_164_296.754_1;
/// No air blurs as much as this.
const WORST_SEEING: Angle = Angle::from_arcminutes(5.0);

/// Air and sky towards a target at a minute, prepared for any number of ports.
#[derive(Clone, Copy, Debug)]
pub struct AirAndSky {
    /// The sky behind it.
    pub(super) sky: SurfaceBrightness,
    /// The same as light, a ratio to magnitude 0 in a square arcsecond.
    pub(super) sky_flux: f64,
    /// The same in nanolamberts.
    pub(super) sky_nl: f64,
    /// Light lost on the way, in magnitudes.
    pub(super) lost_mag: f64,
    /// Share of the light that arrives.
    pub(super) kept: f64,
    /// Seeing there.
    pub(super) seeing: Angle,
    /// Seeing and the air's dispersion together.
    pub(super) blur: Angle,
    /// Where it stands.
    pub(super) bearing: Bearing,
    /// The Moon's face.
    pub(super) moon_face: Option<MoonFace>,
    /// Whether all numbers given are numbers, and such as a night has.
    pub(super) sound: bool,
    /// Whether the seeing given is one.
    pub(super) seeing_known: bool,
}

impl AirAndSky {
    /// From the circumstances. What is no number is kept out of the arithmetic, and told by every port.
    pub fn new(showing: &Showing) -> Self {
        let Bearing { latitude, azimuth, altitude } = showing.bearing;
        let directed = (latitude.radians() + azimuth.radians() + altitude.radians()).is_finite();
        let sound = directed
            && (-30.0..=40.0).contains(&showing.sky.0)
            && (0.5..=100.0).contains(&showing.airmass)
            && (0.0..=10.0).contains(&showing.extinction_mag)
            && (0.0..=2000.0).contains(&showing.pressure_hpa);
        let seeing_known = showing.seeing > Angle::ZERO && showing.seeing < WORST_SEEING;
        let at_zenith = if seeing_known { showing.seeing } else { USUAL_SEEING };
        let airmass = if sound { showing.airmass.max(1.0) } else { 1.0 };
        let lost_mag = extinction_mag(showing.extinction_mag, showing.airmass);
        // FWHM(X) = FWHM(1) X^0.6 (Fried 1966, Roddier 1981)
        let seeing = at_zenith * (0.6 * airmass.ln()).exp();
        let spread = dispersion(airmass, showing.pressure_hpa);
        let sky_flux = light(showing.sky.0);
        Self {
            sky: showing.sky,
            sky_flux,
            sky_nl: nanolamberts(showing.sky, sky_flux),
            lost_mag,
            kept: light(lost_mag),
            seeing,
            blur: Angle::from_radians(
                (seeing.radians() * seeing.radians() + spread.radians() * spread.radians()).sqrt(),
            ),
            bearing: showing.bearing,
            moon_face: showing.moon_face,
            sound,
            seeing_known,
        }
    }

    /// Seeing at the target's airmass.
    pub const fn seeing(&self) -> Angle {
        self.seeing
    }

    /// How far the air draws a star's colours apart, from 450 to 650 nm.
    pub fn colour_fringes(&self) -> Angle {
        // What dispersion adds to the seeing, both as roots of squares.
        let (blur, seeing) = (self.blur.radians(), self.seeing.radians());
        Angle::from_radians((blur * blur - seeing * seeing).max(0.0).sqrt())
    }

    /// Seeing and colour fringes together.
    pub const fn blur(&self) -> Angle {
        self.blur
    }
}

/// A luminance by its light as well: [`SurfaceBrightness::nanolamberts`] without another exponential.
#[inline]
fn nanolamberts(sky: SurfaceBrightness, flux: f64) -> f64 {
    // 34.08 exp(20.7233 - 0.92104 V) = 34.08 exp(20.7233) 10^(-0.4 V) exp(-x): the published 0.92104 is 0.4 ln 10,
    // rounded, so that x is below 3e-4 and its fourth power nothing.
    let x = (0.92104 - 0.4 * LN_10) * sky.0;
    NANOLAMBERTS_OF_ZERO * flux * (1.0 - x * (1.0 - x / 2.0 * (1.0 - x / 3.0)))
}

/// The light of a magnitude, a ratio to magnitude 0: `10^(-0.4 m)`.
#[inline]
pub(super) fn light(magnitude: f64) -> f64 {
    (-0.4 * LN_10 * magnitude).exp()
}

/// How far the air draws the colours of a star apart: in proportion to the pressure and to `tan z`; `airmass` from 1.
pub(super) fn dispersion(airmass: f64, pressure_hpa: f64) -> Angle {
    // tan^2 z = X^2 - 1 in a flat atmosphere
    let tan_z = (airmass * airmass - 1.0).sqrt();
    DISPERSION * (pressure_hpa / DISPERSION_HPA * tan_z)
}

#[cfg(test)]
mod tests {
    use super::{AirAndSky, dispersion};
    use crate::assign::Showing;
    use crate::assign::sample::under;
    use crate::units::{Angle, SurfaceBrightness};

    #[test]
    fn seeing_grows_with_airmass() {
        // 2.0 arcseconds times X^0.6, evaluated apart from this code.
        for (airmass, want) in [(0.9997, 2.0), (1.155, 2.18), (1.5, 2.55), (2.0, 3.03), (3.0, 3.87)] {
            let seeing = AirAndSky::new(&Showing { airmass, ..under(20.8) }).seeing.arcseconds();
            assert!((seeing - want).abs() < 0.005, "got {seeing}, want {want}");
        }
    }

    #[test]
    fn colours_are_drawn_apart_towards_the_horizon() {
        // Edlén's dry air at 800 hPa, 450 to 650 nm: 0.4, 0.7, 1.2 and 1.9 arcseconds at 60, 45, 30 and 20 degrees.
        for (altitude_deg, want) in [(60.0_f64, 0.4), (45.0, 0.7), (30.0, 1.2), (20.0, 1.9)] {
            let got = dispersion(1.0 / altitude_deg.to_radians().sin(), 800.0).arcseconds();
            assert!((got - want).abs() < 0.05, "at {altitude_deg} got {got}, want {want}");
        }
    }

    #[test]
    fn light_and_luminance_agree() {
        for sky in [-10.0, 3.7, 12.0, 18.0, 21.5, 30.0] {
            let air = AirAndSky::new(&under(sky));
            let want = SurfaceBrightness(sky).nanolamberts();
            assert!((air.sky_nl / want - 1.0).abs() < 1e-13, "at {sky} got {}, want {want}", air.sky_nl);
        }
    }

    #[test]
    fn what_is_no_number_is_noticed() {
        let odd = |showing: Showing| AirAndSky::new(&showing);
        assert!(!odd(Showing { sky: SurfaceBrightness(f64::NAN), ..under(20.0) }).sound);
        assert!(!odd(Showing { airmass: f64::INFINITY, ..under(20.0) }).sound);
        for seeing in [Angle::ZERO, Angle::from_arcseconds(-1.0), Angle::from_radians(f64::NAN)] {
            let air = odd(Showing { seeing, ..under(20.0) });
            assert!(air.sound && !air.seeing_known && air.blur > Angle::ZERO);
        }
    }
}
