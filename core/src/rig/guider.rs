//! Whether a guider helps: how many stars it may expect in its field.

use crate::maths::Vec3;
use crate::units::{Angle, Magnitude};

/// A guider.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Guider {
    /// Width and height of its field.
    pub field: (Angle, Angle),
    /// Faintest star that it can follow.
    pub limiting_magnitude: Magnitude,
}

/// Advice on the guider.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum GuiderAdvice {
    /// Off: the target moves against the stars or drowns them, as Moon and planets do.
    Off,
    /// So few stars that it may find none.
    Sparse(GuideStars),
    /// On: enough stars.
    On(GuideStars),
}

/// The stars that a guider may expect in its field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GuideStars {
    /// How many, on average over such fields.
    pub expected: f64,
    /// Whether there are at least as many: true in the Milky Way, for which the counts are not made.
    pub at_least: bool,
    /// How likely there is none.
    pub none_chance: f64,
}

/// Fields with fewer stars than this are sparse: one in twenty has none.
const SPARSE: f64 = 3.0;
/// The galactic latitude down to which the star counts hold.
const LOWEST_LATITUDE: Angle = Angle::from_degrees(20.0);

/// Advice on a guider for a target that moves with the stars, at a right ascension and declination (ICRS; those of
/// date differ by less than the counts can tell).
pub fn guider_advice(guider: &Guider, right_ascension: Angle, declination: Angle) -> GuiderAdvice {
    let (longitude, latitude) = galactic(right_ascension, declination);
    let area_deg2 = guider.field.0.degrees() * guider.field.1.degrees();
    let expected = area_deg2 * stars_per_square_degree(longitude, latitude, guider.limiting_magnitude);
    let stars = GuideStars {
        expected,
        at_least: latitude.abs() < LOWEST_LATITUDE,
        // Poisson: e^-n
        none_chance: (-expected).exp(),
    };
    if expected < SPARSE { GuiderAdvice::Sparse(stars) } else { GuiderAdvice::On(stars) }
}

/// Galactic longitude, from 0 to a full turn, and latitude of a place in the sky.
///
/// Source: pole at 192.85948, 27.12825 degrees, which has the celestial pole at longitude 122.93192: The Hipparcos and
/// Tycho Catalogues, ESA SP-1200, volume 1, section 1.5.3.
pub fn galactic(right_ascension: Angle, declination: Angle) -> (Angle, Angle) {
    let pole = (Angle::from_degrees(192.859_48), Angle::from_degrees(27.128_25));
    let towards = Vec3::from_spherical(right_ascension - pole.0, declination);
    let (sin_d, cos_d) = pole.1.sin_cos();
    let sin_b = towards.z * sin_d + towards.x * cos_d;
    // From the galactic pole the celestial pole stands in the direction `north`, and east is to the left of it.
    let (north, east) = (towards.z * cos_d - towards.x * sin_d, towards.y);
    let longitude = Angle::from_degrees(122.931_92) - Angle::from_radians(east.atan2(north));
    (longitude.wrapped(), Angle::from_radians(sin_b.atan2(north.hypot(east))))
}

/// How many stars brighter than a visual magnitude stand in a square degree, on average. Below 20 degrees of galactic
/// latitude the count of 20 degrees stands, which is too low. Within 15 % of the model that it approximates, for
/// magnitudes 5 to 30; single fields differ by far more.
///
/// Source: Bahcall & Soneira 1980, `ApJS` 44, 73, equation B1 for integrated counts in V; its constants read from two
/// independent transcriptions in public code, which agree.
pub fn stars_per_square_degree(longitude: Angle, latitude: Angle, brighter_than: Magnitude) -> f64 {
    let b = latitude.abs().max(LOWEST_LATITUDE);
    let m = brighter_than.0;
    let (sin_b, cos_b_cos_l) = (b.sin(), b.cos() * longitude.cos());
    let beyond_12 = (m - 12.0).clamp(0.0, 8.0);
    let (mu, gamma) = (0.03 + 0.0075 * beyond_12, 0.36 - 0.04 * beyond_12);
    let sigma = 1.45 - 0.20 * cos_b_cos_l;
    // C1 10^(beta (m - m*)) / (1 + 10^(alpha (m - m*)))^delta / (sin b (1 - mu cot b cos l))^(3 - 5 gamma)
    let disc = 925.0 * 10_f64.powf(0.035 * (m - 15.75))
        / (1.0 + 10_f64.powf(-0.132 * (m - 15.75))).powi(3)
        / (sin_b - mu * cos_b_cos_l).powf(3.0 - 5.0 * gamma);
    // C2 10^(eta (m - m')) / (1 + 10^(kappa (m - m')))^lambda / (1 - cos b cos l)^sigma
    let halo = 1050.0 * 10_f64.powf(0.087 * (m - 17.5))
        / (1.0 + 10_f64.powf(-0.180 * (m - 17.5))).powf(2.5)
        / (1.0 - cos_b_cos_l).powf(sigma);
    disc + halo
}

#[cfg(test)]
mod tests {
    use super::{Guider, GuiderAdvice, galactic, guider_advice, stars_per_square_degree};
    use crate::units::{Angle, Magnitude};

    const fn degrees(value: f64) -> Angle {
        Angle::from_degrees(value)
    }

    #[test]
    fn galactic_coordinates_as_published() {
        // ERFA test values of eraIcrs2g, t_erfa_c, which takes the same pole.
        let (longitude, latitude) = galactic(
            Angle::from_radians(5.933_807_430_222_719),
            Angle::from_radians(-1.178_487_061_357_994_4),
        );
        assert!((longitude.radians() - 5.585_053_606_381_854).abs() < 1e-12, "got {}", longitude.radians());
        assert!(
            (latitude.radians() + std::f64::consts::FRAC_PI_4).abs() < 1e-12,
            "got {}",
            latitude.radians()
        );
    }

    #[test]
    fn counts_of_a_whole_sky_survey() {
        // Hoeg et al. 2000, A&A 355, L27, figure 1: 25 stars a square degree at the galactic poles, 150 in the plane, of
        // a catalogue that is complete to about V = 11.0 and ends near 11.5.
        let at = |b: f64, m: f64| stars_per_square_degree(degrees(90.0), degrees(b), Magnitude(m));
        assert!(at(90.0, 11.0) < 25.0 && at(90.0, 12.0) > 25.0, "got {} {}", at(90.0, 11.0), at(90.0, 12.0));
        assert!(at(-90.0, 12.0) == at(90.0, 12.0));
        assert!(at(0.0, 11.5) < 150.0 && at(0.0, 11.5) > at(90.0, 11.5));
        assert!(at(5.0, 11.5) == at(20.0, 11.5));
    }

    #[test]
    fn a_small_guider_at_the_pole_is_sparse_and_a_wide_one_in_the_milky_way_is_not() {
        let guider = |arcmin: f64, magnitude: f64| Guider {
            field: (Angle::from_arcminutes(arcmin), Angle::from_arcminutes(arcmin)),
            limiting_magnitude: Magnitude(magnitude),
        };
        let GuiderAdvice::Sparse(stars) = guider_advice(&guider(8.0, 12.0), degrees(192.86), degrees(27.13))
        else {
            panic!("it is sparse")
        };
        assert!(stars.expected < 1.0 && !stars.at_least);
        // e^-0.5 = 0.61: at half a star on average, none in six fields of ten.
        assert!(stars.none_chance > 0.36 && stars.none_chance < 1.0);
        // Towards galactic longitude 123 in the plane.
        let GuiderAdvice::On(stars) = guider_advice(&guider(40.0, 13.0), degrees(12.85), degrees(62.87))
        else {
            panic!("there are stars enough")
        };
        assert!(stars.at_least && stars.expected > 3.0);
    }
}
