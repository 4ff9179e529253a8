//! The Moon's share of the sky light.

use super::night_glow::glow_airmass;
use crate::units::Angle;

/// Nearest to the Moon's centre that the model is asked: about the edge of its disc.
const NEAREST_DEG: f64 = 0.25;

/// Moonlight scattered by the air, term by term in the symbols of its source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moonlight {
    /// `I*`: the Moon's light above the air, in the unit of its eq. 20.
    pub moon: f64,
    /// `f(rho)`: how much of it the air scatters into an angle.
    pub scattered: f64,
    /// Share of the Moon's light that reaches the air where it scatters.
    pub kept: f64,
    /// Share of it that the air along the line of sight scatters.
    pub share_of_air: f64,
}

impl Moonlight {
    /// The product, in nanolamberts.
    pub fn nanolamberts(&self) -> f64 {
        // B_moon = f(rho) I* 10^(-0.4 k X(Z_m)) (1 - 10^(-0.4 k X(Z)))
        self.scattered * self.moon * self.kept * self.share_of_air
    }
}

/// Moonlight scattered by the air, in nanolamberts.
///
/// * `phase_angle`: at the Moon between Sun and observer, 0 at full;
/// * `separation`: from the Moon to the direction looked at; within the disc the value at its edge is given;
/// * `moon_zenith_distance`: 0 from 90 degrees on (a Moon below the horizon gives no light);
/// * `zenith_distance`: of the direction looked at, taken as 90 degrees at most;
/// * `k`: extinction in V, magnitudes for one airmass.
///
/// Source: Krisciunas & Schaefer 1991, PASP 103, 1033, eq. 3, 15, 19 to 21; said there to hold within 8 to 23 %.
/// The surge of up to 35 % within 7 degrees of full Moon is left out, and light steps up at moonrise.
pub fn moonlight_nl(
    phase_angle: Angle,
    separation: Angle,
    moon_zenith_distance: Angle,
    zenith_distance: Angle,
    k: f64,
) -> f64 {
    moonlight(phase_angle, separation, moon_zenith_distance, zenith_distance, k)
        .map_or(0.0, |light| light.nanolamberts())
}

/// The terms of [`moonlight_nl`]; `None` for a Moon below the horizon.
pub fn moonlight(
    phase_angle: Angle,
    separation: Angle,
    moon_zenith_distance: Angle,
    zenith_distance: Angle,
    k: f64,
) -> Option<Moonlight> {
    let horizon = Angle::from_degrees(90.0);
    if moon_zenith_distance >= horizon {
        return None;
    }
    let alpha = phase_angle.degrees().abs();
    let rho = separation.degrees().max(NEAREST_DEG);
    // I* = 10^(-0.4 (3.84 + 0.026 |alpha| + 4e-9 alpha^4))
    let moon = 10_f64.powf(-0.4 * (3.84 + 0.026 * alpha + 4e-9 * alpha.powi(4)));
    // f(rho) = 10^5.36 (1.06 + cos^2 rho) + 10^(6.15 - rho/40), the last 6.2e7 rho^-2 below 10 degrees
    let haze = if rho < 10.0 { 6.2e7 / (rho * rho) } else { 10_f64.powf(6.15 - rho / 40.0) };
    let scattered = 10_f64.powf(5.36) * (1.06 + separation.cos().powi(2)) + haze;
    let lost = |zenith_distance: Angle| 10_f64.powf(-0.4 * k * glow_airmass(zenith_distance));
    let kept = lost(moon_zenith_distance);
    Some(Moonlight { moon, scattered, kept, share_of_air: 1.0 - lost(zenith_distance.min(horizon)) })
}

#[cfg(test)]
mod tests {
    use super::moonlight_nl;
    use crate::units::{Angle, SurfaceBrightness};

    fn moonlight(
        alpha_deg: f64,
        rho_deg: f64,
        moon_zenith_deg: f64,
        zenith_distance_deg: f64,
        k: f64,
    ) -> f64 {
        moonlight_nl(
            Angle::from_degrees(alpha_deg),
            Angle::from_degrees(rho_deg),
            Angle::from_degrees(moon_zenith_deg),
            Angle::from_degrees(zenith_distance_deg),
            k,
        )
    }

    #[test]
    fn published_check() {
        // specsim library documentation: Moon alone 19.855 magnitudes per square arcsecond.
        let got = moonlight(45.0, 50.0, 70.0, 20.0, 0.15);
        assert!((SurfaceBrightness::from_nanolamberts(got).0 - 19.855).abs() < 0.0005);
        assert!((got - 389.516).abs() < 0.001);
        // Its terms, evaluated apart from this code.
        let [alpha, rho, moon, zenith] = [45.0, 50.0, 70.0, 20.0].map(Angle::from_degrees);
        let terms = super::moonlight(alpha, rho, moon, zenith, 0.15).unwrap();
        assert!(
            (terms.scattered - 416_918.0).abs() < 1.0 && (terms.moon - 0.009_759_76).abs() < 1e-8,
            "{terms:?}"
        );
    }

    #[test]
    fn table_of_phases_and_distances() {
        // Krisciunas & Schaefer 1991, evaluated apart from this code; the last column is the change of the sky in
        // magnitudes.
        for (alpha, rho, moon_zenith, zenith_distance, k, dark_nl, moon_nl, change) in [
            (0.0, 60.0, 30.0, 30.0, 0.172, 88.54, 1390.43, -3.057),
            (90.0, 60.0, 45.0, 20.0, 0.172, 83.04, 113.45, -0.935),
            (45.0, 40.0, 50.0, 30.0, 0.25, 114.12, 829.06, -2.293),
            (135.0, 90.0, 70.0, 30.0, 0.25, 114.12, 10.90, -0.099),
            (0.0, 5.0, 40.0, 42.0, 0.25, 126.48, 16_779.7, -5.315),
            (0.0, 90.0, 45.0, 45.0, 0.25, 272.76, 1449.87, -2.001),
            (90.0, 90.0, 60.0, 30.0, 0.20, 72.49, 89.32, -0.872),
        ] {
            let got = moonlight(alpha, rho, moon_zenith, zenith_distance, k);
            assert!((got - moon_nl).abs() < 0.005_f64.max(moon_nl * 5e-6), "got {got}, want {moon_nl}");
            let delta = -2.5 * ((got + dark_nl) / dark_nl).log10();
            assert!((delta - change).abs() < 0.0006, "got {delta}, want {change}");
        }
    }

    #[test]
    fn no_light_from_below_and_no_infinity_at_the_moon() {
        assert_eq!(moonlight(0.0, 60.0, 90.5, 30.0, 0.2), 0.0);
        assert!(moonlight(0.0, 0.0, 40.0, 40.0, 0.2).is_finite());
    }
}
