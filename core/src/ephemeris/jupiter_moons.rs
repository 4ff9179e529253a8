//! Jupiter's four large moons about its centre, and that centre from the barycentre of its system.

use std::f64::consts::TAU;

use super::AU_KM;
use super::jupiter_moons_series::{SERIES, Series, TO_J2000, Term};
use crate::maths::{Mat3, Vec3};
use crate::time::Instant;

/// One of the four moons that Galilei saw, from the innermost outwards.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum JupiterMoon {
    /// I, nearest to Jupiter, round it in 1.77 days.
    Io,
    /// II, in 3.55 days.
    Europa,
    /// III, in 7.16 days.
    Ganymede,
    /// IV, in 16.7 days.
    Callisto,
}

impl JupiterMoon {
    /// All four, from the innermost outwards.
    pub const ALL: [Self; 4] = [Self::Io, Self::Europa, Self::Ganymede, Self::Callisto];

    /// Its English name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Io => "Io",
            Self::Europa => "Europa",
            Self::Ganymede => "Ganymede",
            Self::Callisto => "Callisto",
        }
    }

    /// From Jupiter's centre to the moon in kilometres at an instant, geometric, on the axes of the mean
    /// equator of J2000.0, which differ from those of the ICRS by less than a kilometre out here.
    ///
    /// Theory L1.2 (Lainey, Duriez and Vienne 2006, Astronomy and Astrophysics 456, 783), fitted to
    /// observations of 1891 to 2003, in its largest terms: within 500 km of the whole series and 650 km of
    /// JPL's JUP365 (0.22 arcseconds from the Earth at most), as `tests/reference/jupiter_moons.rs` holds.
    pub fn from_jupiter_km(self, instant: Instant) -> Vec3 {
        // Days of TT since 1950 January 1, 0h, the epoch of the theory.
        let days = instant.tt_seconds() / 86_400.0 + 18_262.5;
        Mat3(TO_J2000) * Elements::at(&SERIES[self as usize], days).place_au() * AU_KM
    }

    /// Mass times the constant of gravitation, km^3 / s^2: JPL's JUP365, as in its table of masses of 2021
    /// (`gm_Horizons.pck` 4.0).
    const fn gm_km3_per_s2(self) -> f64 {
        match self {
            Self::Io => 5_959.915_466_180_539,
            Self::Europa => 3_202.712_099_607_295,
            Self::Ganymede => 9_887.832_752_719_638,
            Self::Callisto => 7_179.283_402_579_837,
        }
    }
}

/// From the barycentre of Jupiter's system, which is what the ephemeris gives, to the centre of Jupiter, in
/// kilometres on ICRS axes: up to 220 km, or 0.07 arcseconds from the Earth.
///
/// Geometric, so for what is seen the instant is when the light left. Jupiter's other moons (together less
/// than 0.4 km^3 / s^2) would move it by a metre.
pub fn jupiter_centre_from_barycentre_km(instant: Instant) -> Vec3 {
    // Of the system: JPL DE440 (Park et al. 2021, AJ 161, 105).
    const SYSTEM_GM_KM3_PER_S2: f64 = 126_712_764.1;
    // - sum(G m r) / G M, r from the centre, M with the moons in it
    JupiterMoon::ALL.iter().fold(Vec3::default(), |sum, moon| {
        sum - moon.from_jupiter_km(instant) * (moon.gm_km3_per_s2() / SYSTEM_GM_KM3_PER_S2)
    })
}

/// Elements of an orbit in the variables of the theory, which have no pole at circles and flat orbits.
#[derive(Clone, Copy, Debug)]
struct Elements {
    semi_major_axis_au: f64,
    /// In radians, from 0 to a full turn.
    mean_longitude: f64,
    /// Eccentricity along the axes: `e cos pi`, `e sin pi`.
    k: f64,
    h: f64,
    /// Inclination along the axes: `sin(i / 2) cos node`, `sin(i / 2) sin node`.
    q: f64,
    p: f64,
}

impl Elements {
    fn at(series: &Series, days: f64) -> Self {
        let sum = |terms: &[Term]| {
            terms.iter().fold((0.0, 0.0), |(cosines, sines), (amplitude, phase, frequency)| {
                let (sine, cosine) = (phase + frequency * days).sin_cos();
                (cosines + amplitude * cosine, sines + amplitude * sine)
            })
        };
        let (start, motion) = series.mean_longitude;
        let (k, h) = sum(series.eccentricity);
        let (q, p) = sum(series.inclination);
        Self {
            semi_major_axis_au: sum(series.semi_major_axis_au).0,
            mean_longitude: (start + motion * days + sum(series.longitude).1).rem_euclid(TAU),
            k,
            h,
            q,
            p,
        }
    }

    /// In the variables of Lainey, Duriez and Vienne 2004, Astronomy and Astrophysics 420, 1171.
    fn place_au(self) -> Vec3 {
        let Self { semi_major_axis_au: a, k, h, q, p, .. } = self;
        let (sine, cosine) = self.eccentric_longitude().sin_cos();
        // x = a (cos F - k - psi h (F - L)), y = a (sin F - h - psi k (F - L)), F - L = k sin F - h cos F
        let ahead = k * sine - h * cosine;
        let psi = 1.0 / (1.0 + (1.0 - k * k - h * h).sqrt());
        let x = a * (cosine - k + psi * h * ahead);
        let y = a * (sine - h - psi * k * ahead);
        // Out of the plane of the orbit by the inclination.
        let tilt = 2.0 * (1.0 - q * q - p * p).sqrt();
        Vec3::new(
            x * (1.0 - 2.0 * p * p) + y * 2.0 * p * q,
            x * 2.0 * p * q + y * (1.0 - 2.0 * q * q),
            (q * y - p * x) * tilt,
        )
    }

    /// Root F of Kepler's equation `L = F - k sin F + h cos F` by Newton's rule. The first guess is off by
    /// the eccentricity squared, 1e-4, and each step squares that and takes a hundredth of it.
    fn eccentric_longitude(self) -> f64 {
        let Self { mean_longitude, k, h, .. } = self;
        let mut f = mean_longitude + k * mean_longitude.sin() - h * mean_longitude.cos();
        for _ in 0..3 {
            let (sine, cosine) = f.sin_cos();
            f += (mean_longitude - f + k * sine - h * cosine) / (1.0 - k * cosine - h * sine);
        }
        f
    }
}

#[cfg(test)]
mod tests {
    use super::{Elements, JupiterMoon, SERIES, jupiter_centre_from_barycentre_km};
    use crate::maths::Vec3;
    use crate::time::Instant;

    #[test]
    fn keplers_equation_is_solved() {
        for series in &SERIES {
            for days in (0..50).map(|step| 700.3 * f64::from(step)) {
                let elements = Elements::at(series, days);
                let f = elements.eccentric_longitude();
                let left = f - elements.k * f.sin() + elements.h * f.cos() - elements.mean_longitude;
                assert!(left.abs() < 4e-15, "{left}");
            }
        }
    }

    #[test]
    fn masses_balance_about_the_barycentre() {
        // Jupiter (599: 126 686 531.9 km^3/s^2, gm_Horizons.pck 4.0) and its moons weigh up about the
        // barycentre; the smaller moons and the difference of the sets leave 0.1 km^3/s^2.
        let centre = jupiter_centre_from_barycentre_km(Instant::J2000);
        let sum = JupiterMoon::ALL.iter().fold(centre * 126_686_531.900_370_4, |sum, moon| {
            sum + (centre + moon.from_jupiter_km(Instant::J2000)) * moon.gm_km3_per_s2()
        });
        assert!((sum * (1.0 / 126_712_764.1)).length() < 0.001, "{sum:?}");
        assert!(centre != Vec3::default());
    }
}
