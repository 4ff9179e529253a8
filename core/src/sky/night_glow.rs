//! The night's own light without Moon and twilight: airglow and stars, and the domes of light over towns.

use crate::site::{LightDome, Site};
use crate::units::Angle;

/// Altitude at which a site file states the brightness of a light dome.
const DOME_ALTITUDE_DEG: f64 = 20.0;
/// Altitude over which the light of a dome fades to 1/e going up. Common practice, no source.
const DOME_HEIGHT_DEG: f64 = 20.0;

/// Airmass of the glowing sky, 1 at the zenith and 5 at the horizon: for sky light only, never for extinction.
///
/// Source: Krisciunas & Schaefer 1991, PASP 103, 1033, eq. 3.
pub(super) fn glow_airmass(zenith_distance: Angle) -> f64 {
    // X(Z) = (1 - 0.96 sin^2 Z)^(-1/2)
    (1.0 - 0.96 * zenith_distance.sin().powi(2)).powf(-0.5)
}

/// The dark sky at a zenith distance from 0 to 90 degrees, in nanolamberts.
///
/// Source: Krisciunas & Schaefer 1991, PASP 103, 1033, eq. 2.
pub(super) fn dark_nl(zenith_nl: f64, zenith_distance: Angle, k: f64) -> f64 {
    let x = glow_airmass(zenith_distance);
    // B0(Z) = B_zen 10^(-0.4 k (X - 1)) X
    zenith_nl * 10_f64.powf(-0.4 * k * (x - 1.0)) * x
}

/// The light of one dome, in nanolamberts.
///
/// The site says how bright the whole sky is at 20 degrees over the dome's centre; what the dark sky doesn't give is
/// the dome's. From there it fades as a bell in azimuth, to 1/e at the half width, and evenly in magnitudes with
/// altitude, to 1/e every 20 degrees (common practice, no source).
fn dome_nl(dome: &LightDome, zenith_nl: f64, altitude: Angle, azimuth: Angle, k: f64) -> f64 {
    let stated = zenith_nl * 10_f64.powf(0.4 * dome.brightening_mag);
    let dark = dark_nl(zenith_nl, Angle::from_degrees(90.0 - DOME_ALTITUDE_DEG), k);
    let off_centre = (azimuth - dome.azimuth).wrapped_signed() / dome.half_width;
    let up = (altitude.degrees() - DOME_ALTITUDE_DEG) / DOME_HEIGHT_DEG;
    (stated - dark).max(0.0) * (-off_centre * off_centre - up).exp()
}

/// Night sky and towns together, in nanolamberts; `altitude` from 0 to 90 degrees.
pub(super) fn night_nl(site: &Site, altitude: Angle, azimuth: Angle) -> f64 {
    let zenith_nl = site.zenith_brightness.nanolamberts();
    let k = site.extinction_mag;
    let domes: f64 = site.light_domes.iter().map(|dome| dome_nl(dome, zenith_nl, altitude, azimuth, k)).sum();
    dark_nl(zenith_nl, Angle::from_degrees(90.0) - altitude, k) + domes
}

#[cfg(test)]
mod tests {
    use super::{dark_nl, dome_nl, glow_airmass};
    use crate::site::LightDome;
    use crate::units::{Angle, SurfaceBrightness};

    #[test]
    fn dark_sky_down_to_the_horizon() {
        // Krisciunas & Schaefer 1991, eq. 1 to 3, evaluated apart from this code.
        for (zenith_v, zenith_distance_deg, k, want_nl) in [
            (21.587, 30.0, 0.172, 88.54),
            (21.587, 20.0, 0.172, 83.04),
            (21.3, 30.0, 0.25, 114.12),
            (21.3, 42.0, 0.25, 126.48),
            (20.5, 45.0, 0.25, 272.76),
            (21.8, 30.0, 0.20, 72.49),
        ] {
            let zenith_nl = SurfaceBrightness(zenith_v).nanolamberts();
            let got = dark_nl(zenith_nl, Angle::from_degrees(zenith_distance_deg), k);
            assert!((got / want_nl - 1.0).abs() < 2e-4, "got {got}, want {want_nl}");
        }
        assert!((glow_airmass(Angle::from_degrees(90.0)) - 5.0).abs() < 1e-9);
    }

    #[test]
    fn a_town_is_as_bright_as_the_site_says_and_fades() {
        let dome = LightDome {
            azimuth: Angle::from_degrees(350.0),
            half_width: Angle::from_degrees(30.0),
            brightening_mag: 1.5,
        };
        let zenith_nl = SurfaceBrightness(21.0).nanolamberts();
        let at = |altitude_deg: f64, azimuth_deg: f64| {
            let (altitude, azimuth) = (Angle::from_degrees(altitude_deg), Angle::from_degrees(azimuth_deg));
            let dark = dark_nl(zenith_nl, Angle::from_degrees(90.0) - altitude, 0.2);
            SurfaceBrightness::from_nanolamberts(dark + dome_nl(&dome, zenith_nl, altitude, azimuth, 0.2)).0
        };
        assert!((at(20.0, 350.0) - 19.5).abs() < 0.001, "the definition: 1.5 magnitudes over the zenith");
        assert!((at(20.0, 20.0) - at(20.0, 320.0)).abs() < 1e-9, "alike on both sides, across north");
        assert!(at(20.0, 20.0) > at(20.0, 350.0) && at(20.0, 170.0) > at(20.0, 20.0));
        assert!(at(90.0, 350.0) > 20.85, "the zenith stays dark");
    }
}
