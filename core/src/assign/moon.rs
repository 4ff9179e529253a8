//! The Moon as a thing to show: how bright it is, and what the Sun makes of a place on it.

use super::Reason;
use super::air::AirAndSky;
use super::subject::Subject;
use super::verdict::{Part, approach, rise};
use crate::catalogue::Feature;
use crate::ephemeris::MoonFace;
use crate::units::{Angle, Magnitude};

/// The Moon's diameter at its mean distance of 384 400 km, for which its magnitude is given.
const MEAN_DIAMETER: Angle = Angle::from_arcseconds(1864.6);
/// What is left of the Moon's view without any shadows. Common practice, no source: craters flatten towards full Moon.
const FLAT_MOON: f64 = 0.7;
/// Altitudes of the Sun between which a place on the Moon looks its best. Common practice, no source.
const BEST_SUN_DEG: (f64, f64) = (3.0, 15.0);
/// From here on a place has no shadows left, and what it is then worth. Common practice, no source.
const FLAT_SUN_DEG: f64 = 45.0;
const FLAT_FEATURE: f64 = 0.35;
/// What a place is worth whose floor is dark while the Sun rises on its rim. Common practice, no source.
const SUNRISE_FEATURE: f64 = 0.6;
/// Angle from the limb, on the Moon, on which a place opens from a line to a shape. Common practice, no source.
const FROM_LIMB_DEG: f64 = 12.0;

/// The Moon's magnitude by its phase angle and apparent diameter.
///
/// Source: Allen 1976, Astrophysical Quantities, as used by Krisciunas & Schaefer 1991, PASP 103, 1033, eq. 9, for the
/// mean distance; carried to the distance by the diameter.
pub(super) fn moon_magnitude(phase_angle: Angle, diameter: Angle) -> Magnitude {
    let alpha = phase_angle.degrees().abs();
    // V = -12.73 + 0.026 |alpha| + 4e-9 alpha^4
    let at_mean_distance = -12.73 + 0.026 * alpha + 4e-9 * alpha.powi(4);
    Magnitude(at_mean_distance + 5.0 * (MEAN_DIAMETER / diameter).log10())
}

/// What shadows add: along the terminator for the whole Moon, at its own place for a feature.
pub(super) fn shadows(subject: &Subject, air: &AirAndSky) -> Option<Part> {
    match subject.feature {
        Some(feature) => air.moon_face.map(|face| feature_light(feature, &face)),
        None => relief(subject),
    }
}

/// Most at half phase, none at full.
fn relief(subject: &Subject) -> Option<Part> {
    let illuminated = subject.illuminated?;
    // k = (1 + cos i) / 2, so sin i = 2 sqrt(k (1 - k))
    let shadows = 2.0 * (illuminated.value() * (1.0 - illuminated.value())).sqrt();
    Some((Reason::NoShadows { illuminated }, FLAT_MOON + (1.0 - FLAT_MOON) * shadows))
}

/// What the Sun's altitude at a place makes of it, and how far it is turned away from us.
fn feature_light(feature: Feature, face: &MoonFace) -> Part {
    let from_limb = feature.from_limb(face);
    if from_limb <= Angle::ZERO {
        return (Reason::BeyondLimb { beyond: -from_limb }, 0.0);
    }
    let sun_altitude = feature.sun_altitude(face);
    if sun_altitude <= Angle::ZERO {
        return (Reason::LunarNight { sun_altitude }, 0.0);
    }
    let sun_deg = sun_altitude.degrees();
    let rising = SUNRISE_FEATURE + (1.0 - SUNRISE_FEATURE) * rise(sun_deg, 0.0, BEST_SUN_DEG.0);
    let flattening = 1.0 - (1.0 - FLAT_FEATURE) * rise(sun_deg, BEST_SUN_DEG.1, FLAT_SUN_DEG);
    let opened = approach(from_limb.degrees(), FROM_LIMB_DEG / 2.0);
    let light = rising * flattening;
    if from_limb < Angle::from_degrees(FROM_LIMB_DEG) {
        (Reason::NearLimb { from_limb, sun_altitude }, opened * light)
    } else {
        (Reason::ShadowsAt { sun_altitude }, opened * light)
    }
}

/// The worth of the light at a place on the Moon, from 0 to 1: 0 in the lunar night and beyond the limb, most with the
/// Sun 3 to 15 degrees above it (common practice, no source).
pub fn feature_worth(feature: Feature, face: &MoonFace) -> f64 {
    feature_light(feature, face).1
}

#[cfg(test)]
mod tests {
    use super::{feature_light, moon_magnitude};
    use crate::assign::Reason;
    use crate::catalogue::Feature;
    use crate::ephemeris::MoonFace;
    use crate::units::Angle;

    fn degrees(value: f64) -> Angle {
        Angle::from_degrees(value)
    }

    fn face(colongitude_deg: f64, libration_deg: f64) -> MoonFace {
        MoonFace {
            libration_longitude: degrees(libration_deg),
            libration_latitude: Angle::ZERO,
            sub_solar_longitude: degrees(90.0 - colongitude_deg).wrapped(),
            sub_solar_latitude: Angle::ZERO,
        }
    }

    fn at(longitude_deg: f64) -> Feature {
        Feature { longitude: degrees(longitude_deg), latitude: Angle::ZERO, size_km: 90.0 }
    }

    #[test]
    fn the_moons_magnitude_by_phase() {
        // Krisciunas & Schaefer 1991, eq. 9, evaluated apart from this code: -12.73 at full, -10.13 at the quarters
        // (their I* of eq. 20 gives the same steps).
        for (phase_deg, want) in [(0.0, -12.73), (45.0, -11.54), (90.0, -10.13), (135.0, -7.89)] {
            let got = moon_magnitude(degrees(phase_deg), Angle::from_arcseconds(1864.6)).0;
            assert!((got - want).abs() < 0.01, "at {phase_deg} got {got}, want {want}");
        }
        let near = moon_magnitude(Angle::ZERO, Angle::from_arcseconds(1864.6 * 1.1)).0;
        assert!((near + 12.73 + 0.207).abs() < 0.001, "5 log10 1.1");
    }

    #[test]
    fn a_place_is_best_a_little_way_into_its_day() {
        // Sunrise line at 14.9 degrees east for a colongitude of 345.1: the Sun stands 3.1 degrees over 18 east.
        let face = face(345.1, 0.0);
        let worth = |longitude| feature_light(at(longitude), &face).1;
        assert!(worth(18.0) > 0.95 && worth(28.0) > 0.95, "{} {}", worth(18.0), worth(28.0));
        assert!(worth(16.0) < worth(18.0) && worth(60.0) < worth(28.0));
        assert_eq!(worth(10.0), 0.0);
        assert!(matches!(feature_light(at(10.0), &face).0, Reason::LunarNight { sun_altitude } if
            (sun_altitude.degrees() + 4.9).abs() < 0.01));
    }

    #[test]
    fn libration_brings_a_place_round_the_limb() {
        let seen = feature_light(at(93.0), &face(345.1, 6.0));
        assert!(seen.1 > 0.0 && matches!(seen.0, Reason::NearLimb { .. }), "{seen:?}");
        let hidden = feature_light(at(93.0), &face(345.1, -6.0));
        assert!(matches!(hidden.0, Reason::BeyondLimb { beyond } if (beyond.degrees() - 9.0).abs() < 0.01));
        assert_eq!(hidden.1, 0.0);
    }
}
