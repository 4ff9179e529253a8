//! Every change of sign of a smooth function on an interval, through its polynomial in Bernstein's form.
//!
//! A polynomial's Bernstein coefficients change sign at least as often as the polynomial does, and as often
//! as it does when the interval is short enough (Descartes' rule of signs; Farouki 2012, *The Bernstein
//! polynomial basis: a centennial retrospective*, Computer Aided Geometric Design 29, 379). No change: no
//! root. One: one root. More: halve and ask again. So nothing is missed, wherever the roots lie.

/// Degree of the polynomial.
const DEGREE: usize = 16;

/// Values that a [`Bernstein`] is made from.
pub const BERNSTEIN_POINTS: usize = DEGREE + 1;

/// Where those values are taken, on an interval from 0 to 1, both ends included: `sin^2(pi k / 32)`, where
/// Chebyshev's polynomial of degree 16 has its extremes.
pub const BERNSTEIN_NODES: [f64; BERNSTEIN_POINTS] = [
    0.0,
    0.009_607_359_798_384_776,
    0.038_060_233_744_356_624,
    0.084_265_193_848_727_38,
    0.146_446_609_406_726_24,
    0.222_214_883_490_198_88,
    0.308_658_283_817_455_14,
    0.402_454_838_991_935_85,
    0.5,
    0.597_545_161_008_064_1,
    0.691_341_716_182_544_9,
    0.777_785_116_509_801_1,
    0.853_553_390_593_273_7,
    0.915_734_806_151_272_7,
    0.961_939_766_255_643_4,
    0.990_392_640_201_615_2,
    1.0,
];

/// The polynomial of degree 16 through a function's values at [`BERNSTEIN_NODES`].
///
/// A turn of the sky, `cos(2 pi t)` over an interval of 1.05 turns, is met within 1e-10 (the coefficients of
/// its Chebyshev series are Bessel functions; the first one left out is `2 J_17(3.3)` = 3e-11).
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
    /// By way of Chebyshev's polynomials, whose coefficients shrink where their Bernstein coefficients grow:
    /// 1e-15 is lost, where the straight way would lose 1e-12.
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
        self.at_with_slope(x).0
    }

    /// Its value and its slope in units a length of the interval.
    fn at_with_slope(&self, x: f64) -> (f64, f64) {
        // (1-x)^n sum of binomial(n,i) b_i (x/(1-x))^i, read from the nearer end; the slope alike, of degree
        // n - 1 with n (b_(i+1) - b_i)
        let from_end = x > 0.5;
        let (near, far) = if from_end { (1.0 - x, x) } else { (x, 1.0 - x) };
        let ratio = near / far;
        let place = |i: usize| if from_end { DEGREE - i } else { i };
        let sign = if from_end { -1.0 } else { 1.0 };
        let (mut value, mut slope) = (self.0[place(DEGREE)], 0.0);
        for i in (0..DEGREE).rev() {
            let (here, beyond) = (self.0[place(i)], self.0[place(i + 1)]);
            value = value * ratio + here * BINOMIALS[i];
            // binomial(15, i) = binomial(16, i) (16 - i) / 16
            slope = slope * ratio + (beyond - here) * (BINOMIALS[i] * (DEGREE - i) as f64);
        }
        let square = far * far;
        // far^15, one less than the degree
        let power = square.powi(7) * far;
        (value * power * far, sign * slope * power)
    }

    /// Its slope in units a length of the interval.
    #[must_use]
    pub fn slope(&self) -> Self {
        // Degree 15 with n (b_(i+1) - b_i), raised to degree 16.
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
    /// What only touches zero does not change sign. A zero at the very end belongs to what follows, one at
    /// the very start to this interval: intervals that touch share no change and lose none.
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
                    let root = part.only_root(tolerance / length);
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

    /// The root between 0 and 1 where there is only one: Newton's rule, held between two ends of opposite
    /// sign.
    fn only_root(&self, tolerance: f64) -> f64 {
        let (first, last) = (self.0[0], self.0[DEGREE]);
        let (mut low, mut high) = (0.0, 1.0);
        let mut x = first / (first - last);
        // Halving alone would need 60 steps to the last bit.
        for _ in 0..120 {
            let (value, slope) = self.at_with_slope(x);
            if (value > 0.0) == (first > 0.0) {
                low = x;
            } else {
                high = x;
            }
            let step = value / slope;
            if step.abs() <= tolerance || high - low <= tolerance {
                break;
            }
            let newton = x - step;
            x = if low < newton && newton < high { newton } else { f64::midpoint(low, high) };
        }
        x
    }

    /// How often neighbouring coefficients differ in sign, zeros left out.
    fn variations(&self) -> usize {
        let mut count = 0;
        let mut last_is_above = self.0[0] > 0.0;
        for coefficient in self.0 {
            let is_above = if coefficient == 0.0 { last_is_above } else { coefficient > 0.0 };
            count += usize::from(is_above != last_is_above);
            last_is_above = is_above;
        }
        count
    }

    /// The same polynomial on both halves of the interval (de Casteljau's construction, all at once); between
    /// them it is never exactly 0, so that a root on the seam is in one of them.
    fn halves(&self) -> (Self, Self) {
        // left_i = sum of binomial(i,j) / 2^i b_j, right the same read backwards
        let (mut left, mut right) = ([0.0; BERNSTEIN_POINTS], [0.0; BERNSTEIN_POINTS]);
        for (j, column) in HALVING.iter().enumerate() {
            for (i, weight) in column.iter().enumerate() {
                left[i] += weight * self.0[j];
                right[i] += weight * self.0[DEGREE - j];
            }
        }
        right.reverse();
        // Both sums are of the same numbers, but added in another order.
        left[DEGREE] = right[0];
        if right[0] == 0.0 {
            // A root on the seam: it counts with what follows, so the left half changes sign if at all.
            let next = right.iter().copied().find(|b| *b != 0.0).unwrap_or(0.0);
            let side = f64::MIN_POSITIVE.copysign(next);
            (left[DEGREE], right[0]) = (side, side);
        }
        (Self(left), Self(right))
    }
}

/// `binomial(16, i)`.
const BINOMIALS: [f64; BERNSTEIN_POINTS] = {
    let mut row = [1.0; BERNSTEIN_POINTS];
    let mut i = 1;
    while i <= DEGREE {
        row[i] = row[i - 1] * (DEGREE + 1 - i) as f64 / i as f64;
        i += 1;
    }
    row
};

/// Column j holds `binomial(i, j) / 2^i` for each i.
const HALVING: [[f64; BERNSTEIN_POINTS]; BERNSTEIN_POINTS] = {
    let mut columns = [[0.0; BERNSTEIN_POINTS]; BERNSTEIN_POINTS];
    columns[0][0] = 1.0;
    let mut i = 1;
    while i <= DEGREE {
        columns[0][i] = 0.5 * columns[0][i - 1];
        let mut j = 1;
        while j <= i {
            columns[j][i] = 0.5 * (columns[j][i - 1] + columns[j - 1][i - 1]);
            j += 1;
        }
        i += 1;
    }
    columns
};

/// Row k gives the size of Chebyshev's polynomial `T_k` in a function from its values at the nodes: `2/n
/// sum'' (-1)^k cos(pi k j / n) f_j`, the first and last term of the sum halved, and so the first and last
/// row.
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

/// Row k holds the Bernstein coefficients of degree 16 of Chebyshev's polynomial `T_k`, moved to 0 to 1:
/// those of its own degree, `(-1)^(k-j) binomial(2k, 2j) / binomial(k, j)` (Rababah 2003, Computational
/// Methods in Applied Mathematics 3, 608), raised degree by degree.
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
            assert!((polynomial.at(x) - turn(x)).abs() < 1e-10, "at {x}");
            let want = -TAU * turns * (TAU * turns * x + 0.7).sin();
            assert!((slope.at(x) - want).abs() < 2e-8, "slope at {x}");
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
                assert!(((found[1].at - found[0].at) * day_s - 2.0).abs() < 0.01, "{found:?}");
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
        assert_eq!(changes(|x| -(x * x) - 1e-13), []);
    }

    #[test]
    fn a_change_at_the_seam_of_two_intervals_is_in_the_second() {
        let line = |x: f64| x - 1.0;
        assert_eq!(changes(line), []);
        for upwards in [true, false] {
            let found = changes(|x| if upwards { line(x + 1.0) } else { -line(x + 1.0) });
            assert_eq!(found.len(), 1);
            assert!(found[0].at < 1e-10 && found[0].upwards == upwards, "{found:?}");
        }
        // At a seam of the search itself: found once.
        assert_eq!(changes(|x| x - 0.5).len(), 1);
        assert_eq!(changes(|x| 0.25 - x).len(), 1);
    }
}
