//! What light does on its way: aberration, and bending by the Sun.

use crate::maths::Vec3;

/// Schwarzschild radius of the Sun in astronomical units, `2 G M / c^2`; value of ERFA's `ERFA_SRS`.
const SCHWARZSCHILD_RADIUS_AU: f64 = 1.974_125_743_36e-8;

/// Where the Sun and the observer stand to one another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct SunToObserver {
    /// Unit vector from the Sun to the observer.
    pub unit: Vec3,
    /// How strongly light is bent there: [`SCHWARZSCHILD_RADIUS_AU`] over their distance.
    bending: f64,
}

impl SunToObserver {
    /// From the direction and the distance.
    pub fn new(unit: Vec3, au: f64) -> Self {
        Self { unit, bending: SCHWARZSCHILD_RADIUS_AU / au }
    }
}

/// Least value of `q . (q + e)`: half the square of the angle from the Sun's centre, at 9 arcseconds.
const LEAST_OF_BENDING: f64 = 1e-9;

/// The direction `p` (unit, observer to source) as bent by the Sun, for a source seen from the Sun along `q`.
///
/// For a source without distance `q` is `p`. Within 9 arcseconds of the Sun's centre, behind its disc, where
/// there is nothing to see, the bending is held down so that it has no pole. Unit length but for the bending
/// squared.
///
/// Source: Klioner 2003, AJ 125, 1580, in the form of ERFA's `eraLd`.
#[inline]
pub(super) fn bent_by_the_sun(p: Vec3, q: Vec3, sun: SunToObserver) -> Vec3 {
    // p1 = p + (2 G M / c^2 em) (p x (e x q)) / (q . (q + e)), with p x (e x q) = e (p . q) - q (p . e)
    let e = sun.unit;
    let w = sun.bending / (q.dot(q) + q.dot(e)).max(LEAST_OF_BENDING);
    p + (e * p.dot(q) - q * p.dot(e)) * w
}

/// The direction `p` (unit) as seen by an observer who moves with `velocity` (in units of the speed of light);
/// `inverse_lorentz` is `sqrt(1 - v^2)`. Unit length where `p` has it.
///
/// Source: the Lorentz transformation, as in ERFA's `eraAb`; the Sun's potential is left out there, which
/// costs less than 1e-6 arcsecond.
#[inline]
pub(super) fn aberrated(p: Vec3, velocity: Vec3, inverse_lorentz: f64) -> Vec3 {
    // p1 = (p / gamma + (1 + p . v / (1 + 1 / gamma)) v) / (1 + p . v)
    let along = p.dot(velocity);
    (p * inverse_lorentz + velocity * (1.0 + along / (1.0 + inverse_lorentz))) * quotient(along)
}

/// `1 / (1 + s)` without a division: `s` is 1e-4 at most, what is left out of the series 1e-16.
#[inline]
pub(super) fn quotient(s: f64) -> f64 {
    // 1 - s + s^2 - s^3 = (1 - s) (1 + s^2)
    (1.0 - s) * (1.0 + s * s)
}

#[cfg(test)]
mod tests {
    use super::{SunToObserver, aberrated, bent_by_the_sun};
    use crate::maths::Vec3;

    #[test]
    fn bending_as_published() {
        // ERFA test value of eraLd, t_erfa_c; its mass of 0.00028574 Suns and its 8.91276983 au are made one
        // distance here, for a Sun at 8.91276983 / 0.00028574 au.
        let p = Vec3::new(-0.763_276_255, -0.608_633_767, -0.216_735_543);
        let q = Vec3::new(-0.763_276_255, -0.608_633_767, -0.216_735_543);
        let e = Vec3::new(0.767_004_21, 0.605_629_598, 0.211_937_094);
        let got = bent_by_the_sun(p, q, SunToObserver::new(e, 8.912_769_83 / 0.000_285_74));
        let want = Vec3::new(-0.763_276_254_896_816, -0.608_633_767_082_376_3, -0.216_735_543_132_054_7);
        assert!((got - want).length() < 1e-12, "got {got:?}");
    }

    #[test]
    fn aberration_as_published() {
        // ERFA test value of eraAb, t_erfa_c: s = 0.99980921395708788 au, 1/gamma = 0.99999999506209258.
        let p = Vec3::new(-0.763_219_685_467_379_5, -0.608_694_539_830_603_8, -0.216_764_085_806_398_8);
        let v = Vec3::new(2.104_401_889_365_379e-5, -8.910_892_330_442_932e-5, -3.863_371_479_771_657e-5);
        let got = aberrated(p, v, 0.999_999_995_062_092_6);
        let want = Vec3::new(-0.763_163_109_421_955_6, -0.608_755_308_250_559_1, -0.216_792_626_936_847_1);
        assert!((got - want).length() < 3e-12, "got {got:?}");
    }
}
