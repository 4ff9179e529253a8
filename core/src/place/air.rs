//! What the air does: refraction and airmass, each with its range and accuracy.

use crate::units::Angle;

/// The air at the site, for refraction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Pressure at the site (not reduced to sea level), in hectopascals.
    pub pressure_hpa: f64,
    /// Temperature, in degrees Celsius; above -273.
    pub temperature_c: f64,
}

impl Air {
    /// The conditions of the published refraction formula: 1010 hPa, 10 °C.
    pub const STANDARD: Self = Self { pressure_hpa: 1010.0, temperature_c: 10.0 };

    /// No air at all: no refraction.
    pub const NONE: Self = Self { pressure_hpa: 0.0, temperature_c: 10.0 };
}

/// The lowest airless altitude for which the refraction formula holds: -1 degree.
pub const LOWEST_REFRACTED: Angle = Angle::from_degrees(-1.0);

/// Refraction to be added to an airless altitude.
///
/// Holds from -1 degree ([`LOWEST_REFRACTED`]) to the zenith, where it is -0.11 arcseconds; below -1 degree
/// the value of -1 degree is given, so that altitudes stay continuous. The formula inverts Bennett's within
/// 0.1 arcminute; the real air differs by some arcminutes at the horizon and 1 % at 45 degrees.
///
/// Source: Saemundsson 1986, Sky & Telescope 72, 70; Meeus, Astronomical Algorithms, 2nd ed., eq. 16.4, p. 107.
pub fn refraction_saemundsson(airless_altitude: Angle, air: Air) -> Angle {
    // R = 1.02 / tan(h + 10.3 / (h + 5.11)) P / 1010 283 / (273 + T), h in degrees, R in arcminutes
    let h = airless_altitude.max(LOWEST_REFRACTED).degrees();
    let scale = air.pressure_hpa / 1010.0 * (283.0 / (273.0 + air.temperature_c));
    Angle::from_arcminutes(1.02 / Angle::from_degrees(h + 10.3 / (h + 5.11)).tan() * scale)
}

/// Refraction to be taken from an apparent altitude.
///
/// Holds from the horizon to the zenith, where it is held at 0 (the formula has -0.08 arcseconds); below the
/// horizon the value there is given. Within 0.07 arcminutes of the measurements it was fitted to.
///
/// Source: Bennett 1982, Journal of Navigation 35, 255; Meeus, Astronomical Algorithms, 2nd ed., eq. 16.3.
pub fn refraction_bennett(apparent_altitude: Angle, air: Air) -> Angle {
    // R = 1 / tan(h + 7.31 / (h + 4.4)) P / 1010 283 / (273 + T), h in degrees, R in arcminutes
    let h = apparent_altitude.max(Angle::ZERO).degrees();
    let scale = air.pressure_hpa / 1010.0 * (283.0 / (273.0 + air.temperature_c));
    let standard = 1.0 / Angle::from_degrees(h + 7.31 / (h + 4.4)).tan();
    Angle::from_arcminutes(standard.max(0.0) * scale)
}

/// Airmass by apparent (refracted) altitude; `None` below the horizon.
///
/// From 37.92 at the horizon to 0.9997 at the zenith, where 1 should stand: within 0.5 % of the atmosphere it
/// was fitted to.
///
/// Source: Kasten and Young 1989, Applied Optics 28, 4735.
pub fn airmass_kasten_young(apparent_altitude: Angle) -> Option<f64> {
    // X = 1 / (sin h + 0.50572 (h + 6.07995)^-1.6364), h in degrees
    let h = apparent_altitude.degrees();
    (h >= 0.0).then(|| 1.0 / (apparent_altitude.sin() + 0.505_72 * (h + 6.079_95).powf(-1.6364)))
}

#[cfg(test)]
mod tests {
    use super::{Air, airmass_kasten_young, refraction_saemundsson};
    use crate::units::Angle;

    #[test]
    fn refraction_as_published() {
        // Meeus, Astronomical Algorithms, 2nd ed., example 16.a, p. 107: true altitude 33.246', R = 24.618'.
        let got = refraction_saemundsson(Angle::from_arcminutes(33.246), Air::STANDARD).arcminutes();
        assert!((got - 24.618).abs() < 0.002, "got {got}");
    }

    #[test]
    fn refraction_of_thin_and_cold_air() {
        // Arithmetic of the formula: 800 hPa and 5 °C bend 0.806 of the standard.
        let height = Angle::from_degrees(10.0);
        let thin = Air { pressure_hpa: 800.0, temperature_c: 5.0 };
        let ratio = refraction_saemundsson(height, thin) / refraction_saemundsson(height, Air::STANDARD);
        assert!((ratio - 0.806).abs() < 0.0005, "got {ratio}");
        assert_eq!(refraction_saemundsson(height, Air::NONE), Angle::ZERO);
    }

    #[test]
    fn refraction_stays_at_its_lowest_below_one_degree_under_the_horizon() {
        let at = |degrees| refraction_saemundsson(Angle::from_degrees(degrees), Air::STANDARD);
        assert_eq!(at(-1.0), at(-60.0));
        assert!(at(-0.9) < at(-1.0));
    }

    #[test]
    fn airmass_as_published() {
        // Kasten and Young 1989, table 2 as quoted in the documentation of several libraries: 37.9196 at 0°,
        // 1.9943 at 30°, 0.9997 at the zenith.
        for (degrees, want) in [(0.0, 37.9196), (30.0, 1.9943), (90.0, 0.9997)] {
            let got = airmass_kasten_young(Angle::from_degrees(degrees)).unwrap();
            assert!((got - want).abs() < 0.0001, "{degrees}: got {got}");
        }
        assert_eq!(airmass_kasten_young(Angle::from_degrees(-0.01)), None);
        assert_eq!(airmass_kasten_young(Angle::from_degrees(f64::NAN)), None);
    }
}
