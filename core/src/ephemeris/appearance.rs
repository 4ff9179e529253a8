//! Diameter, phase, illuminated part and magnitude of a body from vectors.

use super::Body;
use crate::maths::Vec3;
use crate::time::Instant;
use crate::units::{Angle, Fraction, Magnitude};

/// How a body looks from a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Appearance {
    /// Apparent diameter (equatorial).
    pub diameter: Angle,
    /// The angle at the body between Sun and observer; `None` for the Sun.
    pub phase_angle: Option<Angle>,
    /// The lit share of the disc; `None` for the Sun.
    pub illuminated: Option<Fraction>,
    /// Visual magnitude; `None` where no published formula holds.
    pub magnitude: Option<Magnitude>,
}

impl Appearance {
    /// The light of what has no disc of its own, such as a comet: its diameter is 0.
    pub const fn of_light(magnitude: Magnitude) -> Self {
        Self { diameter: Angle::ZERO, phase_angle: None, illuminated: None, magnitude: Some(magnitude) }
    }

    /// Whether it has a disc.
    pub fn has_disc(&self) -> bool {
        self.diameter > Angle::ZERO
    }
}

/// The appearance of `body` at an instant (which matters to Neptune alone: it brightened from 1980 to 2000).
///
/// * `from_observer_km`: observer to body at the time the light left;
/// * `from_sun_km`: Sun to body at that same time (null vector for the Sun).
///
/// Magnitudes: Mallama and Hilton 2018, Astronomy and Computing 25, 10, planet by planet; the Sun and the
/// Moon have none there. Mars without its terms of rotation and season (0.1 magnitude), Saturn with its
/// rings.
pub fn appearance(body: Body, instant: Instant, from_observer_km: Vec3, from_sun_km: Vec3) -> Appearance {
    // 2 asin(R / d): the angle between the two tangents.
    let diameter = Angle::from_radians(2.0 * (body.radius_km() / from_observer_km.length()).asin());
    if body == Body::Sun {
        return Appearance { diameter, phase_angle: None, illuminated: None, magnitude: None };
    }
    let phase_angle = from_sun_km.angle_to(from_observer_km);
    // k = (1 + cos i) / 2
    let illuminated = Fraction::clamped(f64::midpoint(1.0, phase_angle.cos()));
    let view = View { body_from_observer: from_observer_km.unit(), body_from_sun: from_sun_km.unit() };
    let at_unit_distance = magnitude_at_1_au(body, instant, phase_angle.degrees(), view);
    // 5 log10(r Delta), both in astronomical units
    let distances = 5.0 * (from_sun_km.length() / AU_KM * (from_observer_km.length() / AU_KM)).log10();
    Appearance {
        diameter,
        phase_angle: Some(phase_angle),
        illuminated: Some(illuminated),
        magnitude: at_unit_distance.map(|magnitude| Magnitude(magnitude + distances)),
    }
}

/// Speed of light in kilometres a second, exact (SI).
pub(crate) const SPEED_OF_LIGHT_KM_PER_S: f64 = 299_792.458;

/// Astronomical unit in kilometres, exact (IAU 2012 resolution B2).
pub const AU_KM: f64 = 149_597_870.7;

/// Unit vectors on ICRS axes.
#[derive(Clone, Copy, Debug)]
struct View {
    body_from_observer: Vec3,
    body_from_sun: Vec3,
}

impl View {
    /// Latitudes on the body, above its equator, under the observer and under the Sun.
    fn sub_latitudes(self, pole: Vec3) -> (Angle, Angle) {
        let latitude = |towards: Vec3| Angle::from_radians((-pole.dot(towards)).clamp(-1.0, 1.0).asin());
        (latitude(self.body_from_observer), latitude(self.body_from_sun))
    }
}

/// Magnitude at 1 au from Sun and observer by the phase angle in degrees, in the paper's own coefficients.
fn magnitude_at_1_au(body: Body, instant: Instant, alpha: f64, view: View) -> Option<f64> {
    match body {
        Body::Sun | Body::Moon => None,
        Body::Mercury => Some(polynomial(
            alpha,
            &[-0.613, 6.3280e-2, -1.6336e-3, 3.3644e-5, -3.4265e-7, 1.6893e-9, -3.0334e-12],
        )),
        Body::Venus if alpha < 163.7 => {
            Some(polynomial(alpha, &[-4.384, -1.044e-3, 3.687e-4, -2.814e-6, 8.938e-9]))
        }
        Body::Venus => Some(polynomial(alpha, &[236.058_28, -2.819_14, 8.390_34e-3])),
        Body::Mars => (alpha <= 50.0).then(|| polynomial(alpha, &[-1.601, 2.267e-2, -1.302e-4])),
        Body::Jupiter => (alpha <= 12.0).then(|| polynomial(alpha, &[-9.395, -3.7e-4, 6.16e-4])),
        Body::Saturn => {
            let (observer, sun) = view.sub_latitudes(pole(40.589, 83.537));
            saturn(alpha, observer, sun)
        }
        Body::Uranus => {
            let (observer, sun) = view.sub_latitudes(pole(257.311, -15.175));
            uranus(alpha, observer, sun)
        }
        Body::Neptune => neptune(alpha, 2000.0 + 100.0 * instant.tt_centuries()),
    }
}

/// With rings; within 27 degrees of ring tilt and 6.5 degrees of phase.
fn saturn(alpha: f64, observer: Angle, sun: Angle) -> Option<f64> {
    // beta = sqrt(B B'), 0 where the Sun lights the far side of the rings
    let beta = Angle::from_radians((observer.radians() * sun.radians()).max(0.0).sqrt());
    (alpha <= 6.5 && beta.degrees() <= 27.0)
        .then(|| -8.914 - 1.825 * beta.sin() + 0.026 * alpha - 0.378 * beta.sin() * (-2.25 * alpha).exp())
}

/// By the mean size of the two latitudes, planetocentric as in the reference tables; the paper's
/// planetographic ones would change it by 0.0011 magnitude at most. Up to 3.1 degrees of phase, all that the
/// Earth ever sees, the paper finds no effect of phase.
fn uranus(alpha: f64, observer: Angle, sun: Angle) -> Option<f64> {
    let phi = f64::midpoint(observer.abs().degrees(), sun.abs().degrees());
    let full = -7.110 - 8.4e-4 * phi;
    if alpha <= 3.1 {
        Some(full)
    } else {
        (alpha <= 154.0).then(|| full + polynomial(alpha, &[0.0, 6.587e-3, 1.045e-4]))
    }
}

/// By the decimal year. The paper has terms of phase from 1.9 degrees on, and only after 2000.
fn neptune(alpha: f64, year: f64) -> Option<f64> {
    let full = (-6.89 - 0.0054 * (year - 1980.0)).clamp(-7.00, -6.89);
    if alpha <= 1.9 {
        Some(full)
    } else {
        (year > 2000.0 && alpha <= 133.0).then(|| full + polynomial(alpha, &[0.0, 7.944e-3, 9.617e-5]))
    }
}

/// North pole by right ascension and declination in degrees at J2000.0: Archinal et al. 2018, Celestial
/// Mechanics and Dynamical Astronomy 130, 22, table 1. Saturn's moves by 0.04 degrees a century: 0.001
/// magnitude.
fn pole(right_ascension_deg: f64, declination_deg: f64) -> Vec3 {
    Vec3::from_spherical(Angle::from_degrees(right_ascension_deg), Angle::from_degrees(declination_deg))
}

fn polynomial(x: f64, coefficients: &[f64]) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, coefficient| sum * x + coefficient)
}

#[cfg(test)]
mod tests {
    use super::{AU_KM, appearance, neptune, saturn, uranus};
    use crate::ephemeris::Body;
    use crate::maths::Vec3;
    use crate::time::Instant;
    use crate::units::Angle;

    fn degrees(value: f64) -> Angle {
        Angle::from_degrees(value)
    }

    #[test]
    fn magnitudes_as_published() {
        // Mallama and Hilton 2018, test data of the paper: r and Delta in au, phase angle, V. Mars is -2.862
        // there; -2.935 is the same formula without its terms of rotation and season.
        for (body, r, delta, alpha, want) in [
            (Body::Mercury, 0.310_295_423_552, 1.321_826_436_257_54, 1.1677, -2.477),
            (Body::Mercury, 0.413_629_222_334, 0.926_448_087_186_13, 90.1662, 0.181),
            (Body::Venus, 0.722_722_540_169, 1.716_074_895_540_51, 1.3232, -3.917),
            (Body::Venus, 0.721_480_714_554, 0.377_625_112_062_78, 124.1348, -4.916),
            (Body::Mars, 1.381_191_244_505, 0.372_743_810_979_11, 4.8948, -2.935),
            (Body::Jupiter, 4.957_681_473_205, 3.953_930_781_360_13, 0.3431, -2.934),
        ] {
            let (sin_alpha, cos_alpha) = degrees(alpha).sin_cos();
            let from_observer = Vec3::new(1.0, 0.0, 0.0) * (delta * AU_KM);
            let from_sun = Vec3::new(cos_alpha, sin_alpha, 0.0) * (r * AU_KM);
            let got = appearance(body, Instant::J2000, from_observer, from_sun).magnitude.unwrap().0;
            assert!((got - want).abs() < 0.0006, "{}: got {got}, want {want}", body.name());
        }
    }

    #[test]
    fn outer_planets_as_published() {
        // The same test data: Saturn B -26.22, B' -26.33; Uranus latitudes -20.29, -20.28; Neptune in 1990.3.
        let distances = |r: f64, delta: f64| 5.0 * (r * delta).log10();
        let got = saturn(0.1055, degrees(-26.22), degrees(-26.33)).unwrap()
            + distances(9.014_989_659_493, 8.031_604_705_468_89);
        assert!((got + 0.552).abs() < 0.0006, "Saturn: got {got}");
        let got = uranus(0.0410, degrees(-20.29), degrees(-20.28)).unwrap()
            + distances(18.321_003_215_845, 17.322_972_852_510_8);
        assert!((got - 5.381).abs() < 0.0006, "Uranus: got {got}");
        let got = neptune(1.7741, 1990.3).unwrap() + distances(30.207_767_693_725, 29.817_237_085_753);
        assert!((got - 7.827).abs() < 0.0006, "Neptune: got {got}");
    }

    #[test]
    fn rings_lit_from_behind_add_nothing_and_wide_open_ones_have_no_formula() {
        assert_eq!(saturn(1.0, degrees(1.0), degrees(-0.5)), saturn(1.0, degrees(0.0), degrees(0.0)));
        assert_eq!(saturn(1.0, degrees(28.0), degrees(27.5)), None);
    }

    #[test]
    fn moon_of_a_book_example() {
        // Meeus, Astronomical Algorithms, 2nd ed., example 48.a, p. 347: phase angle 69.0756°, 0.6786 lit.
        let (sin_i, cos_i) = degrees(69.0756).sin_cos();
        let moon = appearance(
            Body::Moon,
            Instant::J2000,
            Vec3::new(368_410.0, 0.0, 0.0),
            Vec3::new(cos_i, sin_i, 0.0) * AU_KM,
        );
        assert!((moon.illuminated.unwrap().value() - 0.6786).abs() < 0.000_05);
        assert!((moon.phase_angle.unwrap().degrees() - 69.0756).abs() < 1e-9);
        assert_eq!(moon.magnitude, None);
    }
}
