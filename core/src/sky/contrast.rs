//! How a target stands out from the sky: contrast, the faintest star and the faintest glow for an eye.

use std::f64::consts::PI;

use crate::units::{Angle, Magnitude, SurfaceBrightness};

/// The least contrast an eye sees on a large faint glow under a dark sky.
///
/// Blackwell 1946, J. Opt. Soc. Am. 36, 624, for discs of two degrees and more; from memory, rounded.
const LARGE_GLOW_CONTRAST: f64 = 0.05;

/// Light of a target's surface over that of the sky around it: `C = 10^(-0.4 (S - mu))`.
pub fn contrast(target: SurfaceBrightness, sky: SurfaceBrightness) -> f64 {
    10_f64.powf(-0.4 * (target.0 - sky.0))
}

/// Luminance from which day vision sets the limit, in nanolamberts.
const DAY_VISION_NL: f64 = 1500.0;
/// `(C, K)` of night and of day vision: `10^-9.80` and `10^-1.90`, `10^-8.35` and `10^-5.90`.
const NIGHT: (f64, f64) = (1.584_893_192_461_111e-10, 1.258_925_411_794_167_5e-2);
const DAY: (f64, f64) = (4.466_835_921_509_635e-9, 1.258_925_411_794_166_1e-6);
/// The light of a star of magnitude 0 in foot-candles, inverted: `10^(16.57 / 2.5)`.
const STARS_IN_FOOT_CANDLE: f64 = 4_246_195.639_463_13;

/// The light of the faintest star seen by a trained, adapted eye of 7 mm pupil on a background in nanolamberts: a ratio
/// to a star of magnitude 0, no extinction in it.
///
/// Source: Hecht 1947, J. Opt. Soc. Am. 37, 59, as used by Schaefer 1990, PASP 102, 212, eq. 2; with a step of 0.08
/// magnitudes where night vision hands over to day vision.
#[inline]
pub fn faintest_light(background_nl: f64) -> f64 {
    let (c, k) = if background_nl < DAY_VISION_NL { NIGHT } else { DAY };
    // i = C (1 + sqrt(K B))^2 foot-candles, m = -16.57 - 2.5 log10 i
    let root = 1.0 + (k * background_nl).sqrt();
    STARS_IN_FOOT_CANDLE * c * root * root
}

/// The faintest star on a background, by [`faintest_light`].
pub fn faintest_star(background: SurfaceBrightness) -> Magnitude {
    Magnitude::from_flux(faintest_light(background.nanolamberts()))
}

/// The faintest star an unaided eye finds, by the second of two published laws: its observers are ordinary
/// people.
///
/// * `field_factor`: 1.4 for a keen eye with patience, 2 for most, 2.4 and more for the untrained.
///
/// Range: backgrounds from 19 to 22 magnitudes per square arcsecond, where it is straight within 0.08
/// magnitudes; at other brightnesses the straight line is only carried on.
///
/// Source: Crumey 2014, MNRAS 442, 2600, eq. 55.
pub fn faintest_star_by_field(background: SurfaceBrightness, field_factor: f64) -> Magnitude {
    // m0 = 0.4260 mu - 2.3650 - 2.5 log10 F
    Magnitude(0.4260 * background.0 - 2.3650 - 2.5 * field_factor.log10())
}

/// The least contrast at which an eye sees an even glow of full axes `long` and `short`, as large as they
/// appear to that eye, on a background.
///
/// A small glow is seen when all its light together makes the faintest star (Ricco's law); a large one by its
/// contrast alone; the two limits are added. Within about half a magnitude of Blackwell's measurements.
pub fn least_contrast(background: SurfaceBrightness, long: Angle, short: Angle) -> f64 {
    let faintest = faintest_light(background.nanolamberts());
    least_contrast_of_light(faintest, Magnitude(background.0).flux(), apparent_area_arcsec2(long, short))
}

/// The area of an ellipse of full axes `long` and `short`.
pub(crate) fn apparent_area_arcsec2(long: Angle, short: Angle) -> f64 {
    PI / 4.0 * long.arcseconds() * short.arcseconds()
}

/// [`least_contrast`] by the light of the faintest star and of a square arcsecond of background, both as a ratio to
/// magnitude 0, and by the area of the glow.
#[inline]
pub(crate) fn least_contrast_of_light(faintest: f64, background: f64, area_arcsec2: f64) -> f64 {
    faintest / (background * area_arcsec2) + LARGE_GLOW_CONTRAST
}

#[cfg(test)]
mod tests {
    use super::{contrast, faintest_star, faintest_star_by_field, least_contrast};
    use crate::units::{Angle, SurfaceBrightness};

    #[test]
    fn faintest_star_by_sky() {
        // Schaefer 1990 in the form 7.93 - 5 log10(1 + 10^(4.316 - mu/5)), and the day branch of Hecht 1947
        // from 18 on.
        for (sky, limit) in
            [(22.0, 6.62), (21.5, 6.38), (21.0, 6.12), (20.0, 5.49), (19.0, 4.77), (18.0, 4.20), (17.0, 4.13)]
        {
            let got = faintest_star(SurfaceBrightness(sky)).0;
            assert!((got - limit).abs() < 0.0055, "at {sky} got {got}, want {limit}");
        }
    }

    #[test]
    fn faintest_star_by_sky_and_eye() {
        // Crumey 2014, eq. 55, evaluated apart from this code, for field factors 1.4 and 2; within 0.08
        // magnitudes of his eq. 54, m0 = 0.3834 mu - 1.4400 - 2.5 log10 F, from 20 to 22.
        for (sky, keen, most) in [
            (22.0, 6.64, 6.25),
            (21.5, 6.43, 6.04),
            (21.0, 6.22, 5.83),
            (20.0, 5.79, 5.40),
            (19.0, 5.36, 4.98),
        ] {
            for (field_factor, want) in [(1.4, keen), (2.0, most)] {
                let got = faintest_star_by_field(SurfaceBrightness(sky), field_factor).0;
                assert!((got - want).abs() < 0.0055, "at {sky} got {got}, want {want}");
                let other = 0.3834 * sky - 1.4400 - 2.5 * f64::log10(field_factor);
                assert!(sky < 20.0 || (got - other).abs() < 0.08, "at {sky} got {got}, eq. 54 {other}");
            }
        }
        // The two laws agree on a keen eye under a dark sky.
        let sky = SurfaceBrightness(21.5);
        assert!((faintest_star(sky).0 - faintest_star_by_field(sky, 1.4).0).abs() < 0.1);
    }

    #[test]
    fn contrast_of_common_cases() {
        // Arithmetic of the definition.
        for (target, sky, want) in [(21.75, 21.5, 0.79), (21.75, 19.0, 0.079), (17.90, 18.0, 1.10)] {
            assert!((contrast(SurfaceBrightness(target), SurfaceBrightness(sky)) - want).abs() < 0.005);
        }
    }

    #[test]
    fn a_small_glow_needs_more() {
        let sky = SurfaceBrightness(21.5);
        let disc = |arcmin: f64| {
            let size = Angle::from_arcminutes(arcmin);
            least_contrast(sky, size, size)
        };
        assert!(disc(10.0) > disc(60.0) && disc(60.0) > disc(600.0));
        // Ricco: a glow of one star's light has just that star's limit.
        let light = disc(1.0) * 3600.0 * std::f64::consts::FRAC_PI_4;
        let as_magnitude = 21.5 - 2.5 * light.log10();
        assert!((as_magnitude - faintest_star(sky).0).abs() < 0.01, "got {as_magnitude}");
    }
}
