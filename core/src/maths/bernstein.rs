//! Every change of sign of a smooth function on an interval, through its polynomial in Bernstein's form.
//!
//! A polynomial's Bernstein coefficients change sign at least as often as the polynomial does, and as often
//! as it does when the interval is short enough (Descartes' rule of signs; Farouki 2012, *The Bernstein
//! polynomial basis: a centennial retrospective*, Computer Aided Geometric Design 29, 379). No change: no
//! root. One: one root. Two, and a value of the other sign between them: two roots. Else: halve and ask
//! again. So nothing is missed, wherever the roots lie.

/// Degree of the polynomial.
const DEGREE: usize = 16;
const MIDDLE: usize = DEGREE / 2;

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

/// A stretch of the interval on which the polynomial changes its sign once: [`Bernstein::root`] tells where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SignChange {
    low: f64,
    high: f64,
    /// Where the coefficients change sign: near the root.
    about: f64,
    /// From below zero to above.
    pub upwards: bool,
}

impl Bernstein {
    /// Through these values; at both ends exactly.
    ///
    /// By way of Chebyshev's polynomials, whose coefficients shrink where their Bernstein coefficients grow:
    /// 1e-15 is lost, where the straight way would lose 1e-12. They are even or odd about the middle of the
    /// interval, and so each kind is made from sums or differences of values that mirror one another.
    pub fn through(values: &[f64; BERNSTEIN_POINTS]) -> Self {
        let mut sizes = [0.0; BERNSTEIN_POINTS];
        for j in 0..=MIDDLE {
            let mirrored = if j < MIDDLE { values[DEGREE - j] } else { 0.0 };
            let folded = [values[j] + mirrored, values[j] - mirrored];
            for (k, size) in sizes.iter_mut().enumerate() {
                *size += TO_CHEBYSHEV[j][k] * folded[k % 2];
            }
        }
        let mut folded = [[0.0; MIDDLE + 1]; 2];
        for (k, size) in sizes.iter().enumerate() {
            for (coefficient, part) in folded[k % 2].iter_mut().zip(&CHEBYSHEV_AS_BERNSTEIN[k]) {
                *coefficient += size * part;
            }
        }
        let mut coefficients = [0.0; BERNSTEIN_POINTS];
        for (i, (even, odd)) in folded[0].iter().zip(folded[1]).enumerate() {
            coefficients[DEGREE - i] = even - odd;
            coefficients[i] = even + odd;
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
        let mut b = self.0;
        let from_end = x > 0.5;
        if from_end {
            b.reverse();
        }
        let (near, far) = if from_end { (1.0 - x, x) } else { (x, 1.0 - x) };
        let ratio = near / far;
        // Even and odd powers apart: half as many steps wait for one another.
        let square = ratio * ratio;
        let step = |i: usize| (b[i + 1] - b[i]) * SLOPE_BINOMIALS[i];
        let (mut value, mut value_odd, mut slope, mut slope_odd) = (b[DEGREE], 0.0, 0.0, 0.0);
        for i in (0..DEGREE).step_by(2).rev() {
            value = value * square + b[i] * BINOMIALS[i];
            value_odd = value_odd * square + b[i + 1] * BINOMIALS[i + 1];
            slope = slope * square + step(i);
            slope_odd = slope_odd * square + step(i + 1);
        }
        // far^15, one less than the degree
        let far_square = far * far;
        let power = far_square.powi(7) * far;
        let slope = (slope + ratio * slope_odd) * power;
        ((value + ratio * value_odd) * (power * far), if from_end { -slope } else { slope })
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

    /// All its changes of sign, in order. Pairs nearer to one another than `finest` (in lengths of the interval)
    /// are no change.
    ///
    /// What only touches zero does not change sign. A zero at the very end belongs to what follows, one at
    /// the very start to this interval: intervals that touch share no change and lose none.
    pub fn sign_changes(&self, finest: f64) -> Vec<SignChange> {
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
        Self(own).find_changes(0.0, 1.0, finest, &mut changes);
        changes
    }

    /// Adds the changes of this part of the whole, which begins at `start` and has that `length`.
    fn find_changes(&self, start: f64, length: f64, finest: f64, changes: &mut Vec<SignChange>) {
        let (ends_above, variations) = (self.0[DEGREE] > 0.0, self.variations());
        let mut add = |from: f64, to: f64, about: f64, upwards: bool| {
            let [low, high, about] = [from, to, about].map(|x| start + x * length);
            changes.push(SignChange { low, high, about, upwards });
        };
        match variations.count {
            0 => {}
            1 => add(0.0, 1.0, variations.about[0], ends_above),
            count if length <= finest => {
                if count % 2 == 1 {
                    add(0.0, 1.0, 0.5, ends_above);
                }
            }
            count => {
                let between = self.furthest_on_side(!ends_above);
                let value = self.at(between);
                if count == 2 && value != 0.0 && (value > 0.0) != ends_above {
                    add(0.0, between, variations.about[0], !ends_above);
                    add(between, 1.0, variations.about[1], ends_above);
                } else {
                    let half = length / 2.0;
                    let (one, other) = self.halves();
                    one.find_changes(start, half, finest, changes);
                    other.find_changes(start + half, half, finest, changes);
                }
            }
        }
    }

    /// The root on a stretch where there is only one, within `tolerance` (in lengths of the interval): Newton's
    /// rule, held between two ends of opposite sign.
    pub fn root(&self, change: &SignChange, tolerance: f64) -> f64 {
        let SignChange { mut low, mut high, about, upwards } = *change;
        let bend = self.greatest_bend();
        let mut x = if low < about && about < high { about } else { f64::midpoint(low, high) };
        // Halving alone would need 60 steps to the last bit.
        for _ in 0..120 {
            if high - low <= tolerance {
                break;
            }
            let (value, slope) = self.at_with_slope(x);
            if (value > 0.0) == upwards {
                high = x;
            } else {
                low = x;
            }
            let step = value / slope;
            let newton = x - step;
            if !(low <= newton && newton <= high) {
                x = f64::midpoint(low, high);
                continue;
            }
            x = newton;
            // The step leads from e_k to e_(k+1) = f'' e_k^2 / (2 f'), and e_k is at most twice the step.
            if 2.0 * bend * step * step <= tolerance * slope.abs() {
                break;
            }
        }
        x
    }

    /// What its second derivative can't exceed: n (n - 1) times the largest second difference.
    fn greatest_bend(&self) -> f64 {
        let differences = self.0.windows(3).map(|three| (three[0] - 2.0 * three[1] + three[2]).abs());
        (DEGREE * (DEGREE - 1)) as f64 * differences.fold(0.0, f64::max)
    }

    /// Where neighbouring coefficients differ in sign, zeros left out.
    fn variations(&self) -> Variations {
        let mut variations = Variations { count: 0, about: [0.5; 2] };
        let mut last_is_above = self.0[0] > 0.0;
        for (i, pair) in self.0.windows(2).enumerate() {
            let is_above = if pair[1] == 0.0 { last_is_above } else { pair[1] > 0.0 };
            if is_above != last_is_above {
                if let Some(about) = variations.about.get_mut(variations.count) {
                    // The coefficients stand above evenly spaced places, joined by straight lines.
                    *about = (i as f64 + pair[0] / (pair[0] - pair[1])) / DEGREE as f64;
                }
                variations.count += 1;
            }
            last_is_above = is_above;
        }
        variations
    }

    /// Above which place the coefficient stands that is furthest above zero, or below.
    fn furthest_on_side(&self, above: bool) -> f64 {
        let turned = |b: f64| if above { b } else { -b };
        let furthest = (1..DEGREE).max_by(|i, j| turned(self.0[*i]).total_cmp(&turned(self.0[*j])));
        furthest.unwrap_or(DEGREE / 2) as f64 / DEGREE as f64
    }

    /// The same polynomial on both halves of the interval (de Casteljau's construction, all at once); between
    /// them it is never exactly 0, so that a root on the seam is in one of them.
    fn halves(&self) -> (Self, Self) {
        // left_i = sum of binomial(i,j) / 2^i b_j, right the same read backwards
        let (mut left, mut right) = ([0.0; BERNSTEIN_POINTS], [0.0; BERNSTEIN_POINTS]);
        for (j, column) in HALVING.iter().enumerate() {
            for (i, weight) in column.iter().enumerate().skip(j) {
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

/// How the coefficients of a part change sign.
struct Variations {
    /// How often.
    count: usize,
    /// About where, the first two times, from 0 to 1.
    about: [f64; 2],
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

/// `binomial(15, i) * 16`, which is `binomial(16, i) (16 - i)`.
const SLOPE_BINOMIALS: [f64; DEGREE] = {
    let mut row = [0.0; DEGREE];
    let mut i = 0;
    while i < DEGREE {
        row[i] = BINOMIALS[i] * (DEGREE - i) as f64;
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

/// Row j gives the share of a function's value at node j in the size of each Chebyshev polynomial `T_k`: `2/n
/// sum'' (-1)^k cos(pi k j / n) f_j`, the first and last term of the sum halved, and so the first and last
/// size.
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
            rows[j][k] = weight;
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

    /// Where it changes its sign, and whether upwards.
    fn changes(f: impl Fn(f64) -> f64) -> Vec<(f64, bool)> {
        let polynomial = of(f);
        let at = |change: &SignChange| (polynomial.root(change, 1e-10), change.upwards);
        polynomial.sign_changes(1e-10).iter().map(at).collect()
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
        let at: Vec<f64> = found.iter().map(|one| one.0).collect();
        assert_eq!(found.len(), 2);
        assert!((at[0] - 0.25).abs() < 1e-10 && (at[1] - 0.75).abs() < 1e-10, "{at:?}");
        assert_eq!([found[0].1, found[1].1], [false, true]);
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
                assert!(((found[1].0 - found[0].0) * day_s - 2.0).abs() < 0.01, "{found:?}");
                assert_eq!(found[0].1, turned > 0.0);
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
            assert!(found[0].0 < 1e-10 && found[0].1 == upwards, "{found:?}");
        }
        // At a seam of the search itself: found once.
        assert_eq!(changes(|x| x - 0.5).len(), 1);
        assert_eq!(changes(|x| 0.25 - x).len(), 1);
    }
}
