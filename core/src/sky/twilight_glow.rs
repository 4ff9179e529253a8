//! The Sun's share of the sky light: twilight, and the day it grows out of.

use crate::units::{Angle, SurfaceBrightness};

/// Where the published fit begins, its brightness and its slope there: depression in degrees, V, magnitudes a degree.
const FIT_FROM_DEG: f64 = 5.0;
const FIT_FROM_V: f64 = 11.84;
const FIT_FROM_SLOPE: f64 = 1.518;
/// Where the tail takes over from the fit, which past here is mostly the night sky of its place.
const TAIL_FROM_DEG: f64 = 14.0;
/// Where twilight ends.
const END_DEG: f64 = 18.0;
/// How fast twilight alone fades past 14 degrees, in magnitudes a degree: what the fit does from 12 to 14 degrees once
/// the night sky is taken off.
const TAIL_MAG_PER_DEG: f64 = 0.95;
/// Dark zenith of the place where the fit was made: V = 21.6 (Patat 2003, A&A 400, 1183; from memory).
const FITTED_NIGHT: SurfaceBrightness = SurfaceBrightness(21.6);
/// Brightest daylight zenith: common practice, no source.
const DAY_V: f64 = 3.7;
/// Zenith at sunset: 4.66 magnitudes brighter than with the Sun at -5 degrees, as the ground is (759 and 10.4 lx).
// Source: Janiczek & DeYoung 1987, USNO Circular 171.
const SUNSET_V: f64 = 7.18;
/// How much brighter the sky is low on the sunset side than at the zenith, in magnitudes: common practice, 1 to 2.
const SUNSET_SIDE_MAG: f64 = 1.5;

/// The published brightness of the twilight zenith, the night sky of its place in it, for depressions from 5 to 15
/// degrees.
///
/// Source: Patat, Ugolnikov & Postylyakov 2006, A&A 455, 385, table 4, V.
fn zenith_fit(depression_deg: f64) -> SurfaceBrightness {
    let d = depression_deg - FIT_FROM_DEG;
    // V = 11.84 + 1.518 (zeta - 95) - 0.057 (zeta - 95)^2
    SurfaceBrightness(FIT_FROM_V + FIT_FROM_SLOPE * d - 0.057 * d * d)
}

/// Twilight alone at the zenith, in nanolamberts, at any depression of the Sun (negative: the Sun is up).
fn zenith_nl(depression_deg: f64) -> f64 {
    let past_tail_start = depression_deg - TAIL_FROM_DEG;
    if depression_deg >= END_DEG {
        0.0
    } else if past_tail_start > 0.0 {
        let fading = 10_f64.powf(-0.4 * TAIL_MAG_PER_DEG * past_tail_start);
        let share_left = (END_DEG - depression_deg) / (END_DEG - TAIL_FROM_DEG);
        without_night(zenith_fit(TAIL_FROM_DEG)) * fading * share_left
    } else if depression_deg >= FIT_FROM_DEG {
        without_night(zenith_fit(depression_deg))
    } else {
        without_night(early_zenith(depression_deg))
    }
}

fn without_night(zenith: SurfaceBrightness) -> f64 {
    zenith.nanolamberts() - FITTED_NIGHT.nanolamberts()
}

/// The zenith before the published fit begins: a parabola that has its slope there and meets the sunset's value,
/// then, with the parabola's slope, an approach to full daylight.
fn early_zenith(depression_deg: f64) -> SurfaceBrightness {
    let before = FIT_FROM_DEG - depression_deg;
    let bend = (SUNSET_V - FIT_FROM_V + FIT_FROM_SLOPE * FIT_FROM_DEG) / (FIT_FROM_DEG * FIT_FROM_DEG);
    SurfaceBrightness(if depression_deg >= 0.0 {
        FIT_FROM_V - FIT_FROM_SLOPE * before + bend * before * before
    } else {
        let sunset_slope = FIT_FROM_SLOPE - 2.0 * bend * FIT_FROM_DEG;
        let span = SUNSET_V - DAY_V;
        DAY_V + span * (depression_deg * sunset_slope / span).exp()
    })
}

/// Twilight, or daylight, in a direction, in nanolamberts.
///
/// * `sun_altitude`: without refraction;
/// * `altitude`: of the direction looked at;
/// * `azimuth_from_sun`: azimuth of the direction less that of the Sun.
///
/// Range: any altitude of the Sun. From 5 to 14 degrees below the horizon the zenith follows the fit of Patat et al.
/// 2006 less that place's night sky; to -18 degrees it fades smoothly to nothing, above -5 degrees it grows smoothly
/// into day, good to half a magnitude. Away from the zenith the sunset side is up to 1.5 magnitudes brighter, the
/// side opposite as bright as the zenith (common practice, no source).
pub fn twilight_nl(sun_altitude: Angle, altitude: Angle, azimuth_from_sun: Angle) -> f64 {
    let zenith = zenith_nl(-sun_altitude.degrees());
    if zenith == 0.0 {
        return 0.0;
    }
    let towards_sun = f64::midpoint(1.0, azimuth_from_sun.cos());
    zenith * 10_f64.powf(0.4 * SUNSET_SIDE_MAG * towards_sun * altitude.cos().max(0.0))
}

#[cfg(test)]
mod tests {
    use super::{twilight_nl, zenith_fit, zenith_nl};
    use crate::units::{Angle, SurfaceBrightness};

    fn zenith_v(depression_deg: f64, night_v: f64) -> f64 {
        SurfaceBrightness::from_nanolamberts(
            zenith_nl(depression_deg) + SurfaceBrightness(night_v).nanolamberts(),
        )
        .0
    }

    #[test]
    fn published_fit() {
        // Patat et al. 2006, table 4 for V, evaluated apart from this code.
        let table = [11.84, 13.30, 14.65, 15.88, 17.00, 18.01, 18.90, 19.67, 20.34, 20.89, 21.32];
        for (depression_deg, v) in (5..=15).zip(table) {
            let fit = zenith_fit(f64::from(depression_deg));
            assert!((fit.0 - v).abs() < 0.0051, "at {depression_deg} got {}", fit.0);
            // With a night sky as dark as that of the fit's place the sum gives the fit back.
            let with_night = zenith_v(f64::from(depression_deg), 21.6);
            assert!((with_night - fit.0).abs() < 0.02, "at {depression_deg} got {with_night}");
        }
    }

    #[test]
    fn agrees_with_sea_level_measurements() {
        // Koomen et al. 1952 in Nawar 2020, table 5: 13.1, 19.79 and 20.98 at 6, 12 and 15 degrees; another place, other
        // dust, hence within half a magnitude.
        for (depression_deg, v) in [(6.0, 13.1), (12.0, 19.79), (15.0, 20.98)] {
            assert!((zenith_v(depression_deg, 21.6) - v).abs() < 0.5);
        }
    }

    #[test]
    fn brightness_falls_without_a_step_from_noon_to_night() {
        let mut last = zenith_v(-60.0, 21.6);
        for step in -599..=185 {
            let now = zenith_v(f64::from(step) / 10.0, 21.6);
            assert!(now >= last, "brighter at a depression of {step} tenths");
            assert!(now - last < 0.16, "steps at a depression of {step} tenths: {last} to {now}");
            last = now;
        }
        assert_eq!(zenith_nl(18.0), 0.0);
    }

    #[test]
    fn sunset_side_is_brighter() {
        // Common practice, no source: by 1 to 2 magnitudes; the zenith has no side.
        let v = |altitude_deg: f64, azimuth_deg: f64| {
            let (altitude, azimuth) = (Angle::from_degrees(altitude_deg), Angle::from_degrees(azimuth_deg));
            SurfaceBrightness::from_nanolamberts(twilight_nl(Angle::from_degrees(-8.0), altitude, azimuth)).0
        };
        assert!((1.0..2.0).contains(&(v(90.0, 0.0) - v(20.0, 0.0))));
        assert!((v(90.0, 0.0) - v(90.0, 180.0)).abs() < 1e-9);
        assert!((v(20.0, 180.0) - v(90.0, 0.0)).abs() < 1e-9);
    }
}
