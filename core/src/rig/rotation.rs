//! How fast the field turns at a port of an alt-azimuth mount, and how long a frame may then last.

use super::Side;
use crate::units::Angle;

/// Rotation of the Earth against the stars, in arcseconds a second of time.
const SIDEREAL_ARCSEC_PER_S: f64 = 15.041_067;

/// How fast the image turns at a port without a rotator while the mount tracks, in arcseconds a second: positive as
/// the parallactic angle grows. Without bound towards the zenith.
///
/// * `latitude`: of the place; `azimuth` from north through east, `altitude` without refraction.
///
/// Source: the derivatives of parallactic angle and altitude, `dq/dt = -w cos(phi) cos(A) / cos(h)` and
/// `dh/dt = w cos(phi) sin(A)`. A Nasmyth platform sees q + h (right) or q - h (left): UCO/Lick, position angle note
/// for the DEIMOS spectrograph.
pub fn field_rotation_arcsec_per_s(side: Side, latitude: Angle, azimuth: Angle, altitude: Angle) -> f64 {
    let w = SIDEREAL_ARCSEC_PER_S * latitude.cos();
    let parallactic = -w * azimuth.cos() / altitude.cos();
    let climbing = w * azimuth.sin();
    match side {
        Side::Cassegrain => parallactic,
        Side::NasmythRight => parallactic + climbing,
        Side::NasmythLeft => parallactic - climbing,
    }
}

/// Radius of the region round the zenith in which a rotator of a highest speed can't follow the field behind the mirror
/// of an alt-azimuth mount; `None` where the speed is too low for any.
///
/// Source: `z = asin(w cos(phi) / r)`, the largest rate of the parallactic angle at a zenith distance. On the Nasmyth
/// sides the altitude's rate, 15 arcseconds a second at most, comes on top, which close to the zenith is little.
pub fn rotator_keyhole(latitude: Angle, highest_deg_per_s: f64) -> Option<Angle> {
    let sine = SIDEREAL_ARCSEC_PER_S / 3600.0 * latitude.cos() / highest_deg_per_s;
    (highest_deg_per_s > 0.0 && sine < 1.0).then(|| Angle::from_radians(sine.asin()))
}

/// The longest frame in seconds for which the corner of a field trails by no more than `trail`; `None` where the
/// field stands still.
///
/// * `corner`: angle from the centre of the field to its corner;
/// * `rotation_arcsec_per_s`: see [`field_rotation_arcsec_per_s`].
pub fn longest_frame_s(rotation_arcsec_per_s: f64, corner: Angle, trail: Angle) -> Option<f64> {
    // t = p / (r |rate|), p and r in the same unit, rate in radians a second
    let seconds = trail / corner / Angle::from_arcseconds(rotation_arcsec_per_s.abs()).radians();
    // Slower than this the field turns by no more than a pixel in a day.
    (seconds < 86_400.0).then_some(seconds)
}

#[cfg(test)]
mod tests {
    use super::{field_rotation_arcsec_per_s, longest_frame_s, rotator_keyhole};
    use crate::rig::Side;
    use crate::units::Angle;

    fn rate(side: Side, latitude_deg: f64, azimuth_deg: f64, altitude_deg: f64) -> f64 {
        field_rotation_arcsec_per_s(
            side,
            Angle::from_degrees(latitude_deg),
            Angle::from_degrees(azimuth_deg),
            Angle::from_degrees(altitude_deg),
        )
    }

    #[test]
    fn published_rates_on_the_tube() {
        // stargazing.net/david, a star from latitude 43.79, 2013 July 7 and 8, with 15.04 arcseconds a second
        // and the opposite sign.
        for (azimuth_deg, altitude_deg, want) in
            [(157.1747, 73.1411, -34.506), (92.7553, 45.5070, -0.745), (255.0986, 55.9382, -4.985)]
        {
            let got = rate(Side::Cassegrain, 43.79, azimuth_deg, altitude_deg);
            assert!((-got * 15.04 / 15.041_067 - want).abs() < 0.006, "got {got}, want {want}");
        }
    }

    #[test]
    fn platforms_take_sides() {
        // Latitude 38, hour angle 2 h, declination 20 (the formulas checked against differences of ERFA): tube 10.002,
        // q + h -0.630, q - h 20.634; on the meridian all alike.
        let at = |side| rate(side, 38.0, 243.7691, 58.4135);
        assert!((at(Side::Cassegrain) - 10.002).abs() < 0.001);
        assert!((at(Side::NasmythRight) + 0.630).abs() < 0.001);
        assert!((at(Side::NasmythLeft) - 20.634).abs() < 0.001);
        let transit = |side| rate(side, 38.0, 180.0, 62.0);
        assert!((transit(Side::NasmythRight) - 25.247).abs() < 0.001);
        assert!((transit(Side::NasmythLeft) - transit(Side::Cassegrain)).abs() < 1e-9);
    }

    #[test]
    fn frames_before_the_corner_trails() {
        // Computed apart from this code: corner 3606 pixels, latitude 38, a trail of 1 and of 3.39 pixels.
        for (azimuth_deg, altitude_deg, arcsec_per_s, one_pixel_s, half_seeing_s) in [
            (180.0, 62.0, 25.25, 2.27, 7.7),
            (180.0, 45.0, 16.76, 3.41, 11.6),
            (180.0, 30.0, 13.69, 4.18, 14.2),
            (135.0, 50.0, 13.04, 4.39, 14.9),
            (180.0, 80.0, 68.26, 0.84, 2.8),
            (90.0, 45.0, 0.0, f64::INFINITY, f64::INFINITY),
        ] {
            let rotation = rate(Side::Cassegrain, 38.0, azimuth_deg, altitude_deg);
            assert!((rotation.abs() - arcsec_per_s).abs() < 0.006, "got {rotation}");
            let frame = |pixels: f64| {
                let pixel = Angle::from_arcseconds(0.2947);
                longest_frame_s(rotation, pixel * 3606.0, pixel * pixels).unwrap_or(f64::INFINITY)
            };
            for (got, want, allowed) in [(frame(1.0), one_pixel_s, 0.006), (frame(3.39), half_seeing_s, 0.06)]
            {
                assert!(got == want || (got - want).abs() < allowed, "got {got}, want {want}");
            }
        }
    }

    #[test]
    fn a_rotator_is_outrun_near_the_zenith() {
        // Computed apart from this code: 0.1 degrees a second at latitude 38, 1.89 degrees.
        let radius = rotator_keyhole(Angle::from_degrees(38.0), 0.1).expect("it can follow somewhere");
        assert!((radius.degrees() - 1.89).abs() < 0.005, "got {}", radius.degrees());
        assert_eq!(rotator_keyhole(Angle::from_degrees(38.0), 0.001), None);
        assert_eq!(rotator_keyhole(Angle::from_degrees(38.0), 0.0), None);
    }

    #[test]
    fn due_east_the_field_stands_still() {
        let rotation = rate(Side::Cassegrain, 38.0, 90.0, 45.0);
        assert_eq!(longest_frame_s(rotation, Angle::from_degrees(0.3), Angle::from_arcseconds(0.3)), None);
        assert_eq!(longest_frame_s(0.0, Angle::from_degrees(0.3), Angle::from_arcseconds(0.3)), None);
    }
}
