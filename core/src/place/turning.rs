//! How altitude and azimuth follow from the hour angle, and how fast a mount must run after them.

use crate::units::Angle;

/// Rotation of the Earth against the stars, in arcseconds a second of time.
const SIDEREAL_ARCSEC_PER_S: f64 = 15.041_067;

/// Where a source stands by its hour angle, and how that changes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turning {
    /// Altitude.
    pub altitude: Angle,
    /// Azimuth from north through east, from 0 to a full turn.
    pub azimuth: Angle,
    /// Parallactic angle, positive west of the meridian.
    pub parallactic_angle: Angle,
    /// Change of the azimuth in arcseconds a second; without bound towards the zenith.
    pub azimuth_arcsec_per_s: f64,
    /// Change of the altitude in arcseconds a second.
    pub altitude_arcsec_per_s: f64,
    /// Change of the parallactic angle in arcseconds a second; without bound towards the zenith.
    pub parallactic_arcsec_per_s: f64,
}

impl Turning {
    /// By hour angle (west positive), declination and latitude. Exactly at the zenith the azimuth is 180
    /// degrees or 0 and the rates are without meaning.
    ///
    /// Source: Meeus, Astronomical Algorithms, 2nd ed., chapters 13 and 14; the rates are their derivatives.
    pub fn at(hour_angle: Angle, declination: Angle, latitude: Angle) -> Self {
        let (sin_h, cos_h) = hour_angle.sin_cos();
        let (sin_d, cos_d) = declination.sin_cos();
        let (sin_p, cos_p) = latitude.sin_cos();
        let east = -cos_d * sin_h;
        let north = sin_d * cos_p - cos_d * cos_h * sin_p;
        let up = sin_p * sin_d + cos_p * cos_d * cos_h;
        let level_squared = east * east + north * north;
        let level = level_squared.sqrt();
        let w = SIDEREAL_ARCSEC_PER_S;
        Self {
            altitude: Angle::from_radians(up.atan2(level)),
            azimuth: Angle::from_radians(east.atan2(north)).wrapped(),
            // tan q = sin H / (tan phi cos delta - sin delta cos H)
            parallactic_angle: Angle::from_radians(
                (sin_h * cos_p).atan2(sin_p * cos_d - cos_p * sin_d * cos_h),
            ),
            // dA/dt = w (sin phi - cos phi cos A tan h), dh/dt = w cos phi sin A, dq/dt = -w cos phi cos A /
            // cos h
            azimuth_arcsec_per_s: w * (sin_p - cos_p * north * up / level_squared),
            altitude_arcsec_per_s: w * cos_p * east / level,
            parallactic_arcsec_per_s: -w * cos_p * north / level_squared,
        }
    }
}

/// Radius of the region round the zenith, on the side of the equator, in which a mount of a highest azimuth
/// speed can't follow a source across the meridian; `None` where the speed is too low for any.
///
/// Source: `sin z = w cos(delta) / v` with `delta = phi - z`: Borkowski 1987, Acta Astronomica 37, 79.
pub fn keyhole_radius(latitude: Angle, highest_deg_per_s: f64) -> Option<Angle> {
    // tan z = w cos(phi) / (v - w sin(phi)), the same solved for z
    let ratio = SIDEREAL_ARCSEC_PER_S / 3600.0 / highest_deg_per_s;
    let (sin_p, cos_p) = latitude.abs().sin_cos();
    let below = 1.0 - ratio * sin_p;
    (highest_deg_per_s > 0.0 && below > 0.0).then(|| Angle::from_radians((ratio * cos_p).atan2(below)))
}

#[cfg(test)]
mod tests {
    use super::{Turning, keyhole_radius};
    use crate::units::Angle;

    #[test]
    fn azimuth_and_altitude_as_published() {
        // ERFA test values of eraHd2ae and eraHd2pa, t_erfa_c: hour angle 1.1, declination 1.2, latitude 0.3
        // radians.
        let got = Turning::at(Angle::from_radians(1.1), Angle::from_radians(1.2), Angle::from_radians(0.3));
        assert!((got.azimuth.radians() - 5.916_889_243_730_066).abs() < 1e-13);
        assert!((got.altitude.radians() - 0.447_218_630_499_048_6).abs() < 1e-13);
        assert!((got.parallactic_angle.radians() - 1.906_227_428_001_995_5).abs() < 1e-13);
    }

    #[test]
    fn rates_as_published() {
        // SLALIB, self-test of sla_ALTAZ: hour angle 0.7, declination -0.7, latitude -0.65 radians; rates in
        // radians a radian of hour angle, accelerations by differences of ours.
        let at = |hour_angle: f64| {
            Turning::at(
                Angle::from_radians(hour_angle),
                Angle::from_radians(-0.7),
                Angle::from_radians(-0.65),
            )
        };
        let rates = |turning: Turning| {
            let Turning { azimuth_arcsec_per_s, altitude_arcsec_per_s, parallactic_arcsec_per_s, .. } =
                turning;
            [azimuth_arcsec_per_s, altitude_arcsec_per_s, parallactic_arcsec_per_s]
                .map(|rate| rate / super::SIDEREAL_ARCSEC_PER_S)
        };
        let got = at(0.7);
        assert!((got.azimuth.radians() - 4.400_560_746_660_174).abs() < 1e-13);
        assert!((got.altitude.radians() - 1.026_646_506_651_396).abs() < 1e-13);
        assert!((got.parallactic_angle.radians() - 1.707_639_969_653_937).abs() < 1e-13);
        let want = [-0.201_543_893_714_542_1, -0.757_692_068_382_645, 0.471_783_235_536_562_7];
        let want_change = [-0.438_126_694_966_874_8, 0.049_224_654_068_545_73, -0.295_791_412_818_551_5];
        let (before, after) = (rates(at(0.7 - 1e-5)), rates(at(0.7 + 1e-5)));
        for index in 0..3 {
            assert!((rates(got)[index] - want[index]).abs() < 1e-13);
            assert!(((after[index] - before[index]) / 2e-5 - want_change[index]).abs() < 1e-8);
        }
    }

    #[test]
    fn rates_of_common_cases() {
        // The formulas checked against central differences of ERFA to 0.001 arcseconds a second: latitude,
        // hour angle (h), declination; A, h, q; dA/dt, dh/dt, dq/dt.
        for (latitude, hours, declination, places, rates) in [
            (38.0, 2.0, 20.0, [243.7691, 58.4135, 48.7836], [17.780, -10.632, 10.002]),
            (38.0, -3.0, 0.0, [121.6190, 33.8629, -42.1468], [13.430, 10.093, 7.483]),
            (38.0, 0.0, 10.0, [180.0, 62.0, 0.0], [31.552, 0.0, 25.247]),
            (38.0, 0.0, 60.0, [0.0, 68.0, 180.0], [-20.076, 0.0, -31.640]),
            (35.0, 1.0, 35.5, [276.6692, 77.7520, 87.9788], [2.036, -12.238, -6.745]),
            (-33.0, 2.0, -60.0, [207.0084, 56.5978, 49.6158], [8.851, -5.729, 20.415]),
            (52.0, 5.0, 41.27, [289.1988, 39.7578, 50.6753], [9.319, -8.745, -3.961]),
        ] {
            let latitude = Angle::from_degrees(latitude);
            let got = Turning::at(Angle::from_hours(hours), Angle::from_degrees(declination), latitude);
            for (got, want) in [got.azimuth, got.altitude, got.parallactic_angle].into_iter().zip(places) {
                let off = (got - Angle::from_degrees(want)).wrapped_signed().degrees();
                assert!(off.abs() < 0.000_06, "got {}, want {want}", got.degrees());
            }
            let got = [got.azimuth_arcsec_per_s, got.altitude_arcsec_per_s, got.parallactic_arcsec_per_s];
            for (got, want) in got.into_iter().zip(rates) {
                assert!((got - want).abs() < 0.0006, "got {got}, want {want}");
            }
        }
    }

    #[test]
    fn keyholes_by_speed() {
        // Borkowski 1987, evaluated apart from this code, on the side of the equator.
        for (latitude, of_speeds) in [
            (20.0, [0.905, 0.451, 0.225, 0.113, 0.045]),
            (38.0, [0.762, 0.379, 0.189, 0.094, 0.038]),
            (52.0, [0.597, 0.297, 0.148, 0.074, 0.029]),
        ] {
            for (speed, want) in [0.25, 0.5, 1.0, 2.0, 5.0].into_iter().zip(of_speeds) {
                for side in [1.0, -1.0] {
                    let got = keyhole_radius(Angle::from_degrees(side * latitude), speed).unwrap().degrees();
                    assert!((got - want).abs() < 0.0011, "{latitude} {speed}: got {got}");
                }
            }
        }
        assert_eq!(keyhole_radius(Angle::from_degrees(80.0), 0.001), None);
        assert_eq!(keyhole_radius(Angle::from_degrees(80.0), 0.0), None);
    }
}
