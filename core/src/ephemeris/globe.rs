//! How Moon, Jupiter and Saturn are turned: what faces us, what the Sun lights, how open the rings are.
//!
//! Poles and prime meridians: IAU Working Group on Cartographic Coordinates and Rotational Elements 2015
//! (Archinal et al. 2018, Celestial Mechanics and Dynamical Astronomy 130, 22); the Moon's series are those
//! of its report of 2009 (Archinal et al. 2011, Celestial Mechanics and Dynamical Astronomy 109, 101), good
//! to 0.05 degrees. All take `from_observer_km`, observer to body as the light left, and `from_sun_km`, Sun
//! to body at that same time.

use super::appearance::SPEED_OF_LIGHT_KM_PER_S;
use crate::maths::Vec3;
use crate::time::Instant;
use crate::units::Angle;

/// A turning body: its axes on ICRS axes, and its prime meridian.
#[derive(Clone, Copy, Debug)]
struct Globe {
    pole: Vec3,
    /// Where its equator rises through that of the ICRS.
    node: Vec3,
    /// From the node eastwards to the prime meridian.
    meridian: Angle,
}

impl Globe {
    fn new(right_ascension_deg: f64, declination_deg: f64, meridian_deg: f64) -> Self {
        let right_ascension = Angle::from_degrees(right_ascension_deg);
        let pole = Vec3::from_spherical(right_ascension, Angle::from_degrees(declination_deg));
        let node = Vec3::from_spherical(right_ascension + Angle::from_degrees(90.0), Angle::ZERO);
        Self { pole, node, meridian: Angle::from_degrees(meridian_deg) }
    }

    /// Longitude, east positive, from 0 to a full turn, and latitude of the place that has `towards`
    /// overhead.
    fn below(self, towards: Vec3) -> (Angle, Angle) {
        let east = self.pole.cross(self.node);
        let longitude = Angle::from_radians(towards.dot(east).atan2(towards.dot(self.node))) - self.meridian;
        (longitude.wrapped(), self.latitude_below(towards))
    }

    /// Position angle of the north pole for who looks along `from_observer`.
    fn pole_angle(self, from_observer: Vec3) -> Angle {
        // tan P = (p . e) / (p . n), e and n east and north on the sky
        let east = Vec3::new(0.0, 0.0, 1.0).cross(from_observer).unit();
        let north = from_observer.cross(east).unit();
        Angle::from_radians(self.pole.dot(east).atan2(self.pole.dot(north)))
    }

    fn latitude_below(self, towards: Vec3) -> Angle {
        Angle::from_radians((self.pole.dot(towards) / towards.length()).clamp(-1.0, 1.0).asin())
    }
}

/// Days and Julian centuries of TDB since J2000.0 when the light left; TT will do (1.7 ms).
fn departure(instant: Instant, from_observer_km: Vec3) -> (f64, f64) {
    let light_time_s = from_observer_km.length() / SPEED_OF_LIGHT_KM_PER_S;
    let days = (instant.tt_seconds() - light_time_s) / 86_400.0;
    (days, days / 36_525.0)
}

/// Saturn's rings as they are seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rings {
    /// Tilt to us, `B`: positive when the north face is seen.
    pub tilt: Angle,
    /// Tilt to the Sun, `B'`: of another sign than `tilt` when the dark face is seen.
    pub tilt_to_sun: Angle,
    /// Long axis of the outer edge of ring A (radius 136 780 km).
    pub major_axis: Angle,
    /// Short axis of the same.
    pub minor_axis: Angle,
    /// Position angle of Saturn's north pole, north through east on ICRS axes: that of the short axis.
    pub pole_angle: Angle,
}

/// Saturn's rings, within 0.003 degrees.
pub fn saturn_rings(instant: Instant, from_observer_km: Vec3, from_sun_km: Vec3) -> Rings {
    const OUTER_EDGE_KM: f64 = 136_780.0;
    let (_, t) = departure(instant, from_observer_km);
    let globe = Globe::new(40.589 - 0.036 * t, 83.537 - 0.004 * t, 0.0);
    let tilt = globe.latitude_below(-from_observer_km);
    let major_axis = Angle::from_radians(2.0 * (OUTER_EDGE_KM / from_observer_km.length()).asin());
    Rings {
        tilt,
        tilt_to_sun: globe.latitude_below(-from_sun_km),
        major_axis,
        minor_axis: major_axis * tilt.sin().abs(),
        pole_angle: globe.pole_angle(from_observer_km),
    }
}

/// Longitude of Jupiter's central meridian in System II (west positive, so that it grows with time), from 0
/// to a full turn; the geometric one, without correction for phase.
pub fn jupiter_central_meridian(instant: Instant, from_observer_km: Vec3) -> Angle {
    (-jupiter(instant, from_observer_km).below(-from_observer_km).0).wrapped()
}

/// Jupiter's north pole as a unit vector on ICRS axes.
pub fn jupiter_pole(instant: Instant, from_observer_km: Vec3) -> Vec3 {
    jupiter(instant, from_observer_km).pole
}

/// Jupiter's axes, the meridian that of System II.
fn jupiter(instant: Instant, from_observer_km: Vec3) -> Globe {
    // Ja to Je: degrees at J2000.0 and degrees a century; then degrees times sin J and cos J for right
    // ascension and declination.
    const WAVES: [(f64, f64, f64, f64); 5] = [
        (99.360_714, 4850.4046, 0.000_117, 0.000_050),
        (175.895_369, 1191.9605, 0.000_938, 0.000_404),
        (300.323_162, 262.5475, 0.001_432, 0.000_617),
        (114.012_305, 6070.2476, 0.000_030, -0.000_013),
        (49.511_251, 64.3, 0.002_150, 0.000_926),
    ];
    let (days, t) = departure(instant, from_observer_km);
    let mut right_ascension = 268.056_595 - 0.006_499 * t;
    let mut declination = 64.495_303 + 0.002_413 * t;
    for (start, rate, of_right_ascension, of_declination) in WAVES {
        let (sine, cosine) = Angle::from_degrees(start + rate * t).sin_cos();
        right_ascension += of_right_ascension * sine;
        declination += of_declination * cosine;
    }
    // W_II = 43.3 + 870.270 d
    Globe::new(right_ascension, declination, 43.3 + 870.270 * days)
}

/// The Moon's face: what is turned towards us and what the Sun lights.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoonFace {
    /// Libration in longitude: of the middle of the disc, east positive, from minus to plus half a turn.
    pub libration_longitude: Angle,
    /// Libration in latitude.
    pub libration_latitude: Angle,
    /// Longitude of the place that has the Sun overhead, from 0 to a full turn.
    pub sub_solar_longitude: Angle,
    /// Its latitude.
    pub sub_solar_latitude: Angle,
}

/// The Moon's face, within 0.05 degrees.
pub fn moon_face(instant: Instant, from_observer_km: Vec3, from_sun_km: Vec3) -> MoonFace {
    let (days, t) = departure(instant, from_observer_km);
    let globe = moon(days, t);
    let (longitude, latitude) = globe.below(-from_observer_km);
    let (sub_solar_longitude, sub_solar_latitude) = globe.below(-from_sun_km);
    MoonFace {
        libration_longitude: longitude.wrapped_signed(),
        libration_latitude: latitude,
        sub_solar_longitude,
        sub_solar_latitude,
    }
}

impl MoonFace {
    /// The Sun's selenographic colongitude: the sunrise line stands at that longitude west; 0 at first
    /// quarter, 90 at full Moon, about.
    pub fn colongitude(&self) -> Angle {
        // c0 = 90 - l0
        (Angle::from_degrees(90.0) - self.sub_solar_longitude).wrapped()
    }

    /// The Sun's altitude at a feature by its selenographic longitude (east positive) and latitude.
    ///
    /// Source: Meeus, Astronomical Algorithms, 2nd ed., p. 376.
    pub fn sun_altitude(&self, longitude: Angle, latitude: Angle) -> Angle {
        // sin h = sin b0 sin theta + cos b0 cos theta sin(c0 + eta)
        let (sin_b0, cos_b0) = self.sub_solar_latitude.sin_cos();
        let (sin_theta, cos_theta) = latitude.sin_cos();
        let sine = sin_b0 * sin_theta + cos_b0 * cos_theta * (self.colongitude() + longitude).sin();
        Angle::from_radians(sine.clamp(-1.0, 1.0).asin())
    }
}

/// The Moon's axes, `days` and `t` centuries after J2000.0.
fn moon(days: f64, t: f64) -> Globe {
    // E1 to E13: degrees at J2000.0 and degrees a day
    const ARGUMENTS: [(f64, f64); 13] = [
        (125.045, -0.052_992_1),
        (250.089, -0.105_984_2),
        (260.008, 13.012_000_9),
        (176.625, 13.340_715_4),
        (357.529, 0.985_600_3),
        (311.589, 26.405_708_4),
        (134.963, 13.064_993_0),
        (276.617, 0.328_714_6),
        (34.226, 1.748_487_7),
        (15.134, -0.158_976_3),
        (119.743, 0.003_609_6),
        (239.961, 0.164_357_3),
        (25.053, 12.959_008_8),
    ];
    // Degrees times sin E, cos E, sin E for right ascension, declination and prime meridian.
    const SIZES: [(f64, f64, f64); 13] = [
        (-3.8787, 1.5419, 3.5610),
        (-0.1204, 0.0239, 0.1208),
        (0.0700, -0.0278, -0.0642),
        (-0.0172, 0.0068, 0.0158),
        (0.0, 0.0, 0.0252),
        (0.0072, -0.0029, -0.0066),
        (0.0, 0.0009, -0.0047),
        (0.0, 0.0, -0.0046),
        (0.0, 0.0, 0.0028),
        (-0.0052, 0.0008, 0.0052),
        (0.0, 0.0, 0.0040),
        (0.0, 0.0, 0.0019),
        (0.0043, -0.0009, -0.0044),
    ];
    let mut right_ascension = 269.9949 + 0.0031 * t;
    let mut declination = 66.5392 + 0.0130 * t;
    let mut meridian = 38.3213 + 13.176_358_15 * days - 1.4e-12 * days * days;
    for ((start, rate), (of_right_ascension, of_declination, of_meridian)) in ARGUMENTS.into_iter().zip(SIZES)
    {
        let (sine, cosine) = Angle::from_degrees(start + rate * days).sin_cos();
        right_ascension += of_right_ascension * sine;
        declination += of_declination * cosine;
        meridian += of_meridian * sine;
    }
    Globe::new(right_ascension, declination, meridian)
}

#[cfg(test)]
mod tests {
    use super::{MoonFace, saturn_rings};
    use crate::maths::Vec3;
    use crate::time::Instant;
    use crate::units::Angle;

    #[test]
    fn rings_lie_along_the_equator() {
        // eraPas of ERFA 2.0.1 (pyerfa 2.0.1.5) from each place to Saturn's pole at 40.589, 83.537 degrees.
        for (right_ascension, declination, want_deg) in
            [(217.0, -12.5, -0.426_857_622), (15.0, 4.0, 2.828_119_381)]
        {
            let degrees = Angle::from_degrees;
            let seen = Vec3::from_spherical(degrees(right_ascension), degrees(declination));
            let got = saturn_rings(Instant::J2000, seen * 1.4e9, seen * 1.4e9).pole_angle.degrees();
            assert!((got - want_deg).abs() < 1e-6, "got {got}, want {want_deg}");
        }
    }

    #[test]
    fn sunrise_over_a_crater() {
        // Meeus, Astronomical Algorithms, 2nd ed., example 53.a, p. 377: c0 = 22.10, b0 = +1.46: at 20
        // degrees west, 9.7 north the Sun stands 2.318 degrees high.
        let face = MoonFace {
            libration_longitude: Angle::ZERO,
            libration_latitude: Angle::ZERO,
            sub_solar_longitude: Angle::from_degrees(67.90),
            sub_solar_latitude: Angle::from_degrees(1.46),
        };
        assert!((face.colongitude().degrees() - 22.10).abs() < 1e-9);
        let altitude = face.sun_altitude(Angle::from_degrees(-20.0), Angle::from_degrees(9.7));
        assert!((altitude.degrees() - 2.318).abs() < 0.01, "got {}", altitude.degrees());
    }
}
