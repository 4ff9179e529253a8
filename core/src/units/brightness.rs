//! Brightness of a whole object, and of a square arcsecond of sky: two types that never mix.

use std::f64::consts::PI;

use super::Angle;

/// Brightness of a whole object, in magnitudes (Johnson V unless said otherwise); smaller is brighter.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Magnitude(pub f64);

/// Brightness of one square arcsecond, in magnitudes (V); smaller is brighter.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct SurfaceBrightness(pub f64);

impl Magnitude {
    /// The light, as a ratio to an object of magnitude 0: `10^(-0.4 m)`.
    pub fn flux(self) -> f64 {
        10_f64.powf(-0.4 * self.0)
    }

    /// The magnitude of a given light, a ratio to an object of magnitude 0; `flux` must be above 0.
    pub fn from_flux(flux: f64) -> Self {
        Self(-2.5 * flux.log10())
    }
}

impl SurfaceBrightness {
    /// Mean surface brightness of an elliptical object of full axes `long` and `short`.
    ///
    /// Source: arithmetic of the definition; the area of an ellipse.
    pub fn mean(magnitude: Magnitude, long: Angle, short: Angle) -> Self {
        let (a, b) = (long.arcseconds(), short.arcseconds());
        // S = m + 2.5 log10(pi a b / 4), a and b in arcseconds
        Self(magnitude.0 + 2.5 * (PI * a * b / 4.0).log10())
    }

    /// Luminance in nanolamberts.
    ///
    /// Source: Krisciunas & Schaefer 1991, PASP 103, 1033, eq. 1:
    /// `B = 34.08 exp(20.7233 - 0.92104 V)`.
    pub fn nanolamberts(self) -> f64 {
        34.08 * (20.7233 - 0.92104 * self.0).exp()
    }

    /// From a luminance in nanolamberts, which must be above 0; the inverse of [`Self::nanolamberts`].
    pub fn from_nanolamberts(luminance_nl: f64) -> Self {
        Self((20.7233 - (luminance_nl / 34.08).ln()) / 0.92104)
    }
}

#[cfg(test)]
mod tests {
    use super::{Magnitude, SurfaceBrightness};
    use crate::units::Angle;

    #[test]
    fn magnitudes_add_as_light() {
        // Meeus, Astronomical Algorithms, 2nd ed., example 56.a, p. 393: 1.96 and 2.89 together 1.58.
        let both = Magnitude::from_flux(Magnitude(1.96).flux() + Magnitude(2.89).flux());
        assert!((both.0 - 1.58).abs() < 0.005, "got {}", both.0);
    }

    #[test]
    fn surface_brightness_of_known_sizes() {
        // Arithmetic of the definition: magnitude 8.8 over 1.4' x 1.1' gives 17.90.
        let mean =
            SurfaceBrightness::mean(Magnitude(8.8), Angle::from_arcminutes(1.4), Angle::from_arcminutes(1.1));
        assert!((mean.0 - 17.90).abs() < 0.005, "got {}", mean.0);
    }

    #[test]
    fn dark_zenith_in_nanolamberts() {
        // Krisciunas & Schaefer 1991: a dark zenith of 79.0 nL is V = 21.587 per square arcsecond.
        assert!((SurfaceBrightness(21.587).nanolamberts() - 79.0).abs() < 0.05);
        assert!((SurfaceBrightness::from_nanolamberts(79.0).0 - 21.587).abs() < 0.001);
    }
}
