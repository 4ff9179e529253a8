//! Two bodies from perihelion: ellipse, parabola and hyperbola by one formula, without a case for each.

/// A place in the plane of the orbit, from the Sun: along perihelion, and a quarter of a turn on, the way it moves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct InPlane {
    pub along_perihelion: f64,
    pub ahead: f64,
}

/// Where a body stands a time after its perihelion (before it: negative), in the unit of `q`.
///
/// `mu` in cubes of that unit over squares of that of time, `q > 0`, `e >= 0`. `None` where the numbers leave what a
/// float can hold.
///
/// Source: Danby 1992, Fundamentals of Celestial Mechanics, 2nd ed., sections 6.9 and 6.10: Kepler's equation in the
/// universal variable `s` with Stumpff's functions, here from perihelion, where `r . v = 0`.
pub(super) fn from_perihelion(mu: f64, q: f64, e: f64, time: f64) -> Option<InPlane> {
    // alpha = mu (1 - e) / q: above 0 for an ellipse, 0 for a parabola, below for a hyperbola
    let alpha = mu * (1.0 - e) / q;
    let time = within_a_period(mu, alpha, time);
    // t = q s + mu e s^3 c3(alpha s^2), and dt/ds = r = q + mu e s^2 c2(alpha s^2)
    let time_and_radius = |s: f64| {
        let (c2, c3) = stumpff(alpha * s * s);
        (q * s + mu * e * s * s * s * c3, q + mu * e * s * s * c2)
    };
    // r is never below q, so s lies between 0 and t / q.
    let wanted = time.abs();
    let (mut low, mut high) = (0.0, wanted / q);
    // A start: the parabola's s, which is that of small s for all.
    let mut s = high.min((6.0 * wanted / (mu * e.max(0.1))).cbrt());
    for _ in 0..MOST_STEPS {
        let (reached, radius) = time_and_radius(s);
        if reached > wanted || reached.is_nan() {
            high = s;
        } else {
            low = s;
        }
        let newton = s - (reached - wanted) / radius;
        // A step of Newton's that leaves the bracket, or is none, is halved instead.
        let next = if newton > low && newton < high { newton } else { f64::midpoint(low, high) };
        let settled = (next - s).abs() <= 2.0 * f64::EPSILON * next.abs();
        s = next;
        if settled {
            break;
        }
    }
    let s = s.copysign(time);
    let (c2, c3) = stumpff(alpha * s * s);
    // f = 1 - (mu / q) s^2 c2, g = t - mu s^3 c3; at perihelion r = q, v = sqrt(mu (1 + e) / q)
    let f = 1.0 - mu / q * s * s * c2;
    let g = q * s + mu * (e - 1.0) * s * s * s * c3;
    let place = InPlane { along_perihelion: q * f, ahead: (mu * (1.0 + e) / q).sqrt() * g };
    (place.along_perihelion.is_finite() && place.ahead.is_finite()).then_some(place)
}

/// Newton's rule needs a few; halving alone gets through a float's digits in these.
const MOST_STEPS: usize = 200;

/// The time within half a period of perihelion, for an ellipse.
fn within_a_period(mu: f64, alpha: f64, time: f64) -> f64 {
    if alpha <= 0.0 {
        return time;
    }
    // P = 2 pi sqrt(a^3 / mu), a = mu / alpha
    let period = std::f64::consts::TAU * mu / alpha.powf(1.5);
    if period.is_finite() { time - period * (time / period).round() } else { time }
}

/// Stumpff's functions c2 and c3: `c_k(x) = 1/k! - x/(k+2)! + x^2/(k+4)! - ...`.
///
/// Source: Danby 1992, section 6.9.
fn stumpff(x: f64) -> (f64, f64) {
    if x.abs() < 1.0 {
        // Terms up to x^9/21!, 1e-20.
        let (mut c2, mut c3) = (0.0, 0.0);
        let (mut term2, mut term3) = (0.5, 1.0 / 6.0);
        for step in 1..=10 {
            c2 += term2;
            c3 += term3;
            let k = f64::from(2 * step);
            term2 *= -x / ((k + 1.0) * (k + 2.0));
            term3 *= -x / ((k + 2.0) * (k + 3.0));
        }
        return (c2, c3);
    }
    let root = x.abs().sqrt();
    if x > 0.0 {
        // c2 = (1 - cos sqrt x) / x, c3 = (sqrt x - sin sqrt x) / sqrt x^3
        ((1.0 - root.cos()) / x, (root - root.sin()) / (x * root))
    } else {
        // c2 = (cosh sqrt -x - 1) / -x, c3 = (sinh sqrt -x - sqrt -x) / sqrt(-x)^3
        ((root.cosh() - 1.0) / -x, (root.sinh() - root) / (-x * root))
    }
}

#[cfg(test)]
mod tests {
    use super::{from_perihelion, stumpff};

    /// Gauss's constant squared: the Sun's pull in astronomical units and days.
    const MU: f64 = 0.017_202_098_95 * 0.017_202_098_95;

    #[test]
    fn a_near_parabola_as_published() {
        // Meeus, Astronomical Algorithms, 2nd ed., chapter 35, p. 247, the first rows of the table: q = 0.921326,
        // e = 1.00000, t = 138.4783 days: v = 102.74426 degrees, r = 2.364192; q = 0.1, e = 0.987, t = 254.9:
        // v = 164.50029, r = 4.063777; from memory.
        for (q, e, days, anomaly_deg, radius) in
            [(0.921_326, 1.0, 138.4783, 102.744_26, 2.364_192), (0.1, 0.987, 254.9, 164.500_29, 4.063_777)]
        {
            let place = from_perihelion(MU, q, e, days).unwrap();
            let got = place.ahead.atan2(place.along_perihelion).to_degrees();
            let length = place.ahead.hypot(place.along_perihelion);
            assert!((got - anomaly_deg).abs() < 2e-5, "{q} {e}: {got}");
            assert!((length - radius).abs() < 2e-6, "{q} {e}: {length}");
        }
    }

    #[test]
    fn every_shape_obeys_keplers_equation() {
        // Classic forms, not the universal one: M = E - e sin E, M = e sinh F - F, Barker's equation.
        for days in [-4000.0, -300.0, -1.0, 1e-6, 2.0, 77.0, 1234.0, 90_000.0] {
            let q: f64 = 0.7;
            for e in [0.0_f64, 0.3, 0.99, 0.999, 1.0, 1.001, 1.2, 6.0] {
                let place = from_perihelion(MU, q, e, days).unwrap();
                let radius = place.ahead.hypot(place.along_perihelion);
                let time = if e == 1.0 {
                    // t = sqrt(2 q^3 / mu) (w + w^3 / 3), w = tan(v / 2)
                    let w = place.ahead / (radius + place.along_perihelion);
                    (2.0 * q.powi(3) / MU).sqrt() * (w + w.powi(3) / 3.0)
                } else if e < 1.0 {
                    let a = q / (1.0 - e);
                    let sine = place.ahead / (a * (1.0 - e * e).sqrt());
                    let anomaly = sine.atan2(place.along_perihelion / a + e);
                    (anomaly - e * anomaly.sin()) * (a.powi(3) / MU).sqrt()
                } else {
                    let a = q / (e - 1.0);
                    let anomaly = (place.ahead / (a * (e * e - 1.0).sqrt())).asinh();
                    (e * anomaly.sinh() - anomaly) * (a.powi(3) / MU).sqrt()
                };
                let period = std::f64::consts::TAU * ((q / (1.0 - e)).powi(3) / MU).sqrt();
                let mut off = time - days;
                if e < 1.0 {
                    off -= period * (off / period).round();
                }
                assert!(off.abs() <= 1e-8 * days.abs().max(1.0), "{e} {days}: off by {off}");
            }
        }
    }

    #[test]
    fn next_to_the_parabola_nothing_jumps() {
        // Where the classic forms lose their digits: to the first order the parabola is the mean of its two neighbours, and
        // what is left goes with the square of (e - 1) r / q.
        for days in [-4000.0, -300.0, -1.0, 1e-6, 2.0, 77.0, 1234.0, 90_000.0] {
            let place = |e: f64| from_perihelion(MU, 0.7, e, days).unwrap();
            let (inside, parabola, outside) = (place(1.0 - 1e-7), place(1.0), place(1.0 + 1e-7));
            let radius = parabola.ahead.hypot(parabola.along_perihelion);
            let along = f64::midpoint(inside.along_perihelion, outside.along_perihelion);
            let ahead = f64::midpoint(inside.ahead, outside.ahead);
            let off = (along - parabola.along_perihelion).hypot(ahead - parabola.ahead);
            let second_order = (1e-7 * radius / 0.7).powi(2);
            assert!(off <= radius * (1e-13 + second_order), "{days}: off by {off} of {radius}");
        }
    }

    #[test]
    fn stumpffs_functions_meet_where_their_forms_change() {
        for x in [1.0, -1.0] {
            let (inside, outside) = (stumpff(x * (1.0 - 1e-15)), stumpff(x));
            assert!((inside.0 - outside.0).abs() < 1e-14 && (inside.1 - outside.1).abs() < 1e-14, "{x}");
        }
        assert_eq!(stumpff(0.0), (0.5, 1.0 / 6.0));
    }

    #[test]
    fn absurd_numbers_give_an_answer_or_none() {
        let at_perihelion = from_perihelion(MU, 1e6, 0.0, 0.0).unwrap();
        assert_eq!((at_perihelion.along_perihelion, at_perihelion.ahead), (1e6, 0.0));
        for time in [0.0, 1e300, -1e300, f64::NAN] {
            for (q, e) in [(1e-9, 1e6), (1e6, 0.0), (1e-300, 1.0), (0.5, 1e300)] {
                if let Some(place) = from_perihelion(MU, q, e, time) {
                    assert!(place.ahead.is_finite() && place.along_perihelion.is_finite());
                }
            }
        }
    }
}
