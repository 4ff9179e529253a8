//! What can be pointed at: a body of the Solar System, a fixed place or a comet.

use crate::elements::CometElements;
use crate::ephemeris::Body;
use crate::maths::Vec3;
use crate::time::Instant;
use crate::units::Angle;

/// A place on the sky at epoch J2000.0 on ICRS axes, with proper motion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StarPlace {
    /// Right ascension.
    pub right_ascension: Angle,
    /// Declination.
    pub declination: Angle,
    /// Proper motion in right ascension times cos(declination), in milliarcseconds a year.
    pub pm_ra_cosdec_mas_per_yr: f64,
    /// Proper motion in declination, in milliarcseconds a year.
    pub pm_dec_mas_per_yr: f64,
}

/// Something with a place on the sky.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Source {
    /// A body, placed by the ephemeris.
    Body(Body),
    /// A fixed place with proper motion.
    Star(StarPlace),
    /// A comet, placed by its elements.
    Comet(CometElements),
}

const JULIAN_YEAR_S: f64 = 365.25 * 86_400.0;

impl StarPlace {
    /// A place without proper motion.
    pub const fn fixed(right_ascension: Angle, declination: Angle) -> Self {
        Self { right_ascension, declination, pm_ra_cosdec_mas_per_yr: 0.0, pm_dec_mas_per_yr: 0.0 }
    }

    /// The unit vector on ICRS axes at an instant: linear space motion from J2000.0, without parallax and
    /// radial velocity.
    pub fn direction(&self, instant: Instant) -> Vec3 {
        let (sin_ra, cos_ra) = self.right_ascension.sin_cos();
        let (sin_dec, cos_dec) = self.declination.sin_cos();
        let epoch = Vec3::new(cos_dec * cos_ra, cos_dec * sin_ra, sin_dec);
        if self.pm_ra_cosdec_mas_per_yr == 0.0 && self.pm_dec_mas_per_yr == 0.0 {
            return epoch;
        }
        let east = Vec3::new(-sin_ra, cos_ra, 0.0);
        let north = Vec3::new(-sin_dec * cos_ra, -sin_dec * sin_ra, cos_dec);
        let years = instant.tt_seconds() / JULIAN_YEAR_S;
        let moved = |mas_per_yr: f64| Angle::from_arcseconds(mas_per_yr * years / 1000.0).radians();
        (epoch + east * moved(self.pm_ra_cosdec_mas_per_yr) + north * moved(self.pm_dec_mas_per_yr)).unit()
    }
}

#[cfg(test)]
mod tests {
    use super::StarPlace;
    use crate::time::Instant;
    use crate::units::Angle;

    #[test]
    fn moves_in_a_straight_line() {
        // Meeus, Astronomical Algorithms, 2nd ed., example 21.b, p. 135: 2h 44m 11.986s, +49° 13' 42.48",
        // moving +0.03425s and -0.0895" a year, is at 41.054063°, +49.227750° on 2028 November 13.19, before
        // precession; its seconds of time have three decimals, 0.0075 arcseconds.
        let declination = Angle::from_degrees(49.0 + 13.0 / 60.0 + 42.48 / 3600.0);
        let star = StarPlace {
            right_ascension: Angle::from_hours(2.0 + 44.0 / 60.0 + 11.986 / 3600.0),
            declination,
            pm_ra_cosdec_mas_per_yr: 0.034_25 * 15_000.0 * declination.cos(),
            pm_dec_mas_per_yr: -89.5,
        };
        let at = Instant::J2000.plus_seconds((2_462_088.69 - 2_451_545.0) * 86_400.0);
        let (right_ascension, declination) = star.direction(at).spherical();
        assert!((right_ascension.degrees() - 41.054_063).abs() < 0.0075 / 3600.0);
        assert!((declination.degrees() - 49.227_750).abs() < 0.0075 / 3600.0);
    }
}
