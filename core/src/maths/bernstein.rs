//! Every change of sign of a smooth function on an interval, through its polynomial in Bernstein's form.
//!
//! A polynomial's Bernstein coefficients change sign at least as often as the polynomial does, and as often
//! as it does when the interval is short enough (Descartes' rule of signs; Farouki 2012, *The Bernstein
//! polynomial basis: a centennial retrospective*, Computer Aided Geometric Design 29, 379). No change: no root. One:
//! one root. More: halve and ask again. So nothing is missed, wherever the roots lie.

use super::bracketed_root;

/// Degree of the polynomial.
const DEGREE: usize = 18;

/// Values that a [`Bernstein`] is made from.
pub const BERNSTEIN_POINTS: usize = DEGREE + 1;

/// Where those values are taken, on an interval from 0 to 1, both ends included: `sin^2(pi k / 36)`, where
/// Chebyshev's polynomial of degree 18 has its extremes.
pub const BERNSTEIN_NODES: [f64; BERNSTEIN_POINTS] = [
    0.0,
    0.007_596_123_493_895_97,
    0.030_153_689_607_045_807,
    0.066_987_298_107_780_67,
    0.116_977_778_440_510_98,
    0.178_606_195_156_730_35,
    0.25,
    0.328_989_928_337_165_6,
    0.413_175_911_166_534_85,
    0.5,
    0.586_824_088_833_465_2,
    0.671_010_071_662_834_3,
    0.75,
    0.821_393_804_843_269_6,
    0.883_022_221_559_489_1,
    0.933_012_701_892_219_3,
    0.969_846_310_392_954_2,
    0.992_403_876_506_104_1,
    1.0,
];

/// The polynomial of degree 18 through a function's values at [`BERNSTEIN_NODES`].
///
/// A turn of the sky, `cos(2 pi t)` over an interval of 1.05 turns, is met within 1e-12 (the coefficients of its
/// Chebyshev series are Bessel functions; the first one left out is `2 J_19(3.3)` = 2e-13).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bernstein([f64; BERNSTEIN_POINTS]);

/// Where a function changes its sign.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SignChange {
    /// From 0 to 1 on the interval.
    pub at: f64,
    /// From below zero to above.
    pub upwards: bool,
}

impl Bernstein {
    /// Through these values; at both ends exactly.
    ///
    /// By way of Chebyshev's polynomials, whose coefficients shrink where their Bernstein coefficients grow: 1e-15 is
    /// lost, where the straight way would lose 1e-12.
    pub fn through(values: &[f64; BERNSTEIN_POINTS]) -> Self {
        let mut coefficients = [0.0; BERNSTEIN_POINTS];
        for (to_chebyshev, bernstein) in TO_CHEBYSHEV.iter().zip(&CHEBYSHEV_AS_BERNSTEIN) {
            let size: f64 = to_chebyshev.iter().zip(values).map(|(weight, value)| weight * value).sum();
            for (coefficient, part) in coefficients.iter_mut().zip(bernstein) {
                *coefficient += size * part;
            }
        }
        coefficients[0] = values[0];
        coefficients[DEGREE] = values[DEGREE];
        Self(coefficients)
    }

    /// The same less a constant.
    #[must_use]
    pub fn less(mut self, constant: f64) -> Self {
        for coefficient in &mut self.0 {
            *coefficient -= constant;
        }
        self
    }

    /// Its value, from 0 to 1 on the interval.
    pub fn at(&self, x: f64) -> f64 {
        // (1-x)^n sum of binomial(n,i) b_i (x/(1-x))^i, from the nearer end
        let from_end = x > 0.5;
        let (near, far) = if from_end { (1.0 - x, x) } else { (x, 1.0 - x) };
        let ratio = near / far;
        let term = |sum: f64, (coefficient, binomial): (&f64, &f64)| sum * ratio + coefficient * binomial;
        let pairs = self.0.iter().zip(&BINOMIALS);
        let sum = if from_end { pairs.fold(0.0, term) } else { pairs.rev().fold(0.0, term) };
        sum * far.powi(DEGREE as i32)
    }

    /// Its slope in units a length of the interval.
    #[must_use]
    pub fn slope(&self) -> Self {
        // Degree 17 with n (b_(i+1) - b_i), raised to degree 18.
        let n = DEGREE as f64;
        let step = |i: usize| n * (self.0[i + 1] - self.0[i]);
        let mut raised = [0.0; BERNSTEIN_POINTS];
        for (i, coefficient) in raised.iter_mut().enumerate() {
            let share = i as f64 / n;
            let before = if i > 0 { share * step(i - 1) } else { 0.0 };
            let after = if i < DEGREE { (1.0 - share) * step(i) } else { 0.0 };
            *coefficient = before + after;
        }
        Self(raised)
    }

    /// All its changes of sign, in order, each within `tolerance` of where it is (both in lengths of the
    /// interval). Pairs nearer to one another than that are no change.
    ///
    /// What only touches zero does not change sign. A zero at the very end belongs to what follows, one at the
    /// very start to this interval: intervals that touch share no change and lose none.
    pub fn sign_changes(&self, tolerance: f64) -> Vec<SignChange> {
        let mut own = self.0;
        let Some(first) = own.iter().copied().find(|b| *b != 0.0) else { return Vec::new() };
        if own[0] == 0.0 {
            own[0] = -f64::MIN_POSITIVE.copysign(first);
        }
        if own[DEGREE] == 0.0 {
            let last = own.iter().rev().copied().find(|b| *b != 0.0).unwrap_or(first);
            own[DEGREE] = f64::MIN_POSITIVE.copysign(last);
        }
        let mut changes = Vec::new();
        // What is still to be looked at, the leftmost last: coefficients, start, length.
        let mut open = vec![(Self(own), 0.0, 1.0)];
        while let Some((part, start, length)) = open.pop() {
            let (left, right) = (part.0[0], part.0[DEGREE]);
            match part.variations() {
                0 => {}
                1 => {
                    let root = bracketed_root(|x| part.at(x), 0.0, 1.0, tolerance / length).unwrap_or(0.5);
                    changes.push(SignChange { at: start + root * length, upwards: right > 0.0 });
                }
                _ if length <= tolerance => {
                    if (left > 0.0) != (right > 0.0) {
                        changes.push(SignChange { at: start + length / 2.0, upwards: right > 0.0 });
                    }
                }
                _ => {
                    let half = length / 2.0;
                    let (one, other) = part.halves();
                    open.push((other, start + half, half));
                    open.push((one, start, half));
                }
            }
        }
        changes
    }

    /// How often neighbouring coefficients differ in sign, zeros left out.
    fn variations(&self) -> usize {
        let mut count = 0;
        let mut last = self.0[0];
        for coefficient in self.0 {
            if coefficient != 0.0 {
                count += usize::from((coefficient > 0.0) != (last > 0.0));
                last = coefficient;
            }
        }
        count
    }

    /// The same polynomial on both halves of the interval (de Casteljau's construction).
    fn halves(&self) -> (Self, Self) {
        let (mut left, mut right) = (self.0, self.0);
        for level in 1..=DEGREE {
            for i in 0..=DEGREE - level {
                right[i] = f64::midpoint(right[i], right[i + 1]);
            }
            left[level] = right[0];
        }
        if right[0] == 0.0 {
            // A root on the seam: it counts with what follows, so the left half changes sign if at all.
            let next = right.iter().copied().find(|b| *b != 0.0).unwrap_or(0.0);
            let side = f64::MIN_POSITIVE.copysign(next);
            (left[DEGREE], right[0]) = (side, side);
        }
        (Self(left), Self(right))
    }
}

/// `binomial(18, i)`.
const BINOMIALS: [f64; BERNSTEIN_POINTS] = {
    let mut row = [1.0; BERNSTEIN_POINTS];
    let mut i = 1;
    while i <= DEGREE {
        row[i] = row[i - 1] * (DEGREE + 1 - i) as f64 / i as f64;
        i += 1;
    }
    row
};

/// Row k gives the size of Chebyshev's polynomial T_k in a function from its values at the nodes:
/// `2/n sum'' (-1)^k cos(pi k j / n) f_j`, the first and last term of the sum halved, and so the first and last row.
const TO_CHEBYSHEV: [[f64; BERNSTEIN_POINTS]; BERNSTEIN_POINTS] = {
    let mut rows = [[0.0; BERNSTEIN_POINTS]; BERNSTEIN_POINTS];
    let mut k = 0;
    while k <= DEGREE {
        let mut j = 0;
        while j <= DEGREE {
            let turn = (k * j) % (2 * DEGREE);
            let folded = if turn > DEGREE { 2 * DEGREE - turn } else { turn };
            // cos(pi m / n) = 1 - 2 sin^2(pi m / 2n)
            let mut weight = (1.0 - 2.0 * BERNSTEIN_NODES[folded]) * 2.0 / DEGREE as f64;
            if k % 2 == 1 {
                weight = -weight;
            }
            if j == 0 || j == DEGREE {
                weight *= 0.5;
            }
            if k == 0 || k == DEGREE {
                weight *= 0.5;
            }
            rows[k][j] = weight;
            j += 1;
        }
        k += 1;
    }
    rows
};

/// Row k holds the Bernstein coefficients of degree 18 of Chebyshev's polynomial T_k, moved to 0 to 1: those of its
/// own degree, `(-1)^(k-j) binomial(2k, 2j) / binomial(k, j)` (Rababah 2003, Computational Methods in Applied
/// Mathematics 3, 608), raised degree by degree.
const CHEBYSHEV_AS_BERNSTEIN: [[f64; BERNSTEIN_POINTS]; BERNSTEIN_POINTS] = {
    let mut rows = [[0.0; BERNSTEIN_POINTS]; BERNSTEIN_POINTS];
    let mut k = 0;
    while k <= DEGREE {
        let mut size = 1.0;
        let mut j = 0;
        while j <= k {
            rows[k][j] = if (k - j) % 2 == 0 { size } else { -size };
            // The ratio of two neighbours, both binomials together.
            size *= (2.0 * (k as f64 - j as f64) - 1.0) / (2 * j + 1) as f64;
            j += 1;
        }
        let mut degree = k;
        while degree < DEGREE {
            degree += 1;
            let mut i = degree;
            while i > 0 {
                let share = i as f64 / degree as f64;
                rows[k][i] = share * rows[k][i - 1] + (1.0 - share) * rows[k][i];
                i -= 1;
            }
        }
        k += 1;
    }
    rows
};

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use super::{BERNSTEIN_NODES, Bernstein, SignChange};

    fn of(f: impl Fn(f64) -> f64) -> Bernstein {
        Bernstein::through(&BERNSTEIN_NODES.map(f))
    }

    fn changes(f: impl Fn(f64) -> f64) -> Vec<SignChange> {
        of(f).sign_changes(1e-10)
    }

    #[test]
    fn a_turn_of_the_sky_is_met_and_so_is_its_slope() {
        let turns = 25.0 / 24.0;
        let turn = |x: f64| (TAU * turns * x + 0.7).cos();
        let polynomial = of(turn);
        let slope = polynomial.slope();
        for step in 0..=1000 {
            let x = f64::from(step) / 1000.0;
            assert!((polynomial.at(x) - turn(x)).abs() < 1e-12, "at {x}");
            let want = -TAU * turns * (TAU * turns * x + 0.7).sin();
            assert!((slope.at(x) - want).abs() < 1e-10, "slope at {x}");
        }
    }

    #[test]
    fn roots_are_where_they_are() {
        // Zeros of the cosine: (k + 1/2) pi.
        let found = changes(|x| (TAU * x).cos());
        let at: Vec<f64> = found.iter().map(|one| one.at).collect();
        assert_eq!(found.len(), 2);
        assert!((at[0] - 0.25).abs() < 1e-10 && (at[1] - 0.75).abs() < 1e-10, "{at:?}");
        assert_eq!([found[0].upwards, found[1].upwards], [false, true]);
    }

    #[test]
    fn a_pair_close_together_is_found() {
        // A limb that skims a threshold for 2 s of a day: half a second of the apex decides.
        let day_s = 86_400.0;
        for apex in [0.001, 0.123_456, 0.5, 0.75, 0.9999] {
            let skim = |x: f64| (TAU * (x - apex)).cos() - (TAU * (1.0 / day_s)).cos();
            for turned in [1.0, -1.0] {
                let found = changes(|x| turned * skim(x));
                assert_eq!(found.len(), 2, "apex {apex}");
                assert!(((found[1].at - found[0].at) * day_s - 2.0).abs() < 1e-3, "{found:?}");
                assert_eq!(found[0].upwards, turned > 0.0);
            }
        }
    }

    #[test]
    fn what_only_touches_is_no_change() {
        // By as little as 1e-13: a ten millionth of an arcsecond.
        assert_eq!(changes(|x| (x - 0.4) * (x - 0.4) + 1e-13), []);
        assert_eq!(changes(|x| -(x - 0.4) * (x - 0.4) - 1e-13), []);
        assert_eq!(changes(|_| 0.0), []);
        assert_eq!(changes(|x| x * x), [SignChange { at: 0.0, upwards: true }], "it may come from below");
    }

    #[test]
    fn a_change_at_the_seam_of_two_intervals_is_in_the_second() {
        let line = |x: f64| x - 1.0;
        assert_eq!(changes(line), []);
        assert_eq!(changes(|x| line(x + 1.0)), [SignChange { at: 0.0, upwards: true }]);
        assert_eq!(changes(|x| -line(x + 1.0)), [SignChange { at: 0.0, upwards: false }]);
        // At a seam of the search itself: found once.
        assert_eq!(changes(|x| x - 0.5).len(), 1);
        assert_eq!(changes(|x| 0.25 - x).len(), 1);
    }
}
