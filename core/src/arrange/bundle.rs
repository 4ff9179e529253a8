//! Moves the prices to where their bound is least: a proximal bundle method.
//!
//! Each order found tells how the bound leans over all prices; the next prices are the best for what is known, not far
//! from the best so far (Kiwiel 1990, *Proximity control in bundle methods for convex nondifferentiable minimization*,
//! Mathematical Programming 46, 105; Lemaréchal 2001, *Lagrangian relaxation*, Lecture Notes in Computer Science 2241,
//! 112).

use super::prepared::Stop;

/// Most planes kept, and for how many turns one without weight is.
const MOST_PLANES: usize = 60;
const IDLE_TURNS: u32 = 12;
/// A bound that falls by this share of what the planes promise moves the centre.
const SERIOUS: f64 = 0.1;
/// A fall of which less than this share of the gap was promised asks for more.
const TIMID: f64 = 0.2;
/// The first step goes so many times as far as would close the gap on a straight slope.
const FIRST_REACH: f64 = 4.0;
/// Settled prices promise nothing however far one goes: at least so many times as far as that.
const FARTHEST: f64 = 4.0;
/// How often one way is halved at a time.
const MOST_HALVINGS: u32 = 8;
/// Rounds in which the planes are weighed, and the share of what is promised at which that is exact enough.
const MOST_ROUNDS: u32 = 200;
const EXACT: f64 = 0.02;
/// Products in a unit of work.
const COUNTS_A_UNIT: u64 = 1000;

/// A plane that the bound stands nowhere below: `height + slope * prices`.
#[derive(Clone, Debug)]
struct Plane {
    height: f64,
    slope: Vec<f64>,
    /// Its part in the next prices.
    weight: f64,
    /// Times in a row that it had none.
    idle: u32,
    /// The order that gave it.
    stops: Vec<Stop>,
}

impl Plane {
    fn at(&self, prices: &[f64]) -> f64 {
        self.height + product(&self.slope, prices)
    }
}

/// What an order says of the bound: its priced worth with what the prices give back, how often it uses each thing priced
/// beyond what it may, and its stops.
#[derive(Clone, Debug)]
pub(super) struct Lean {
    pub worth: i64,
    pub overuse: Vec<i32>,
    pub stops: Vec<Stop>,
}

/// Planes, the best prices so far and how far to go from them.
#[derive(Clone, Debug)]
pub(super) struct Bundle {
    planes: Vec<Plane>,
    /// Prices that may fall below nothing; none leaves `most` on either side.
    signed: Vec<bool>,
    most: f64,
    centre: Vec<f64>,
    /// The bound at the centre.
    least: f64,
    /// How far to go for a slope.
    reach: f64,
    first_reach: f64,
    /// How much the planes promise that the bound falls at the next prices.
    promised: f64,
    disappointed: u32,
    next: Vec<f64>,
    /// Units of work done.
    pub work: u64,
    products: u64,
}

impl Bundle {
    /// Starts at prices that nothing is known of.
    pub fn new(prices: &[i32], signed: Vec<bool>, most: i32) -> Self {
        let centre = exact(prices);
        Self {
            planes: Vec::new(),
            signed,
            most: f64::from(most),
            next: centre.clone(),
            centre,
            least: f64::INFINITY,
            reach: 0.0,
            first_reach: 0.0,
            promised: 0.0,
            disappointed: 0,
            work: 0,
            products: 0,
        }
    }

    /// The bound at the best prices so far.
    pub fn least(&self) -> f64 {
        self.least
    }

    /// How much lower the planes let the bound be at the next prices.
    pub fn promised(&self) -> f64 {
        self.promised
    }

    /// The most that the planes say at some prices.
    pub fn says(&self, prices: &[i32]) -> f64 {
        let prices = exact(prices);
        self.planes.iter().map(|plane| plane.at(&prices)).fold(f64::NEG_INFINITY, f64::max)
    }

    /// The orders that lead to the next prices, each with its part in them.
    pub fn leading(&self) -> impl Iterator<Item = (f64, &[Stop])> {
        let leading = self.planes.iter().filter(|plane| plane.weight > 0.0);
        leading.map(|plane| (plane.weight, plane.stops.as_slice()))
    }

    /// The best prices so far.
    pub fn centre(&self) -> Vec<i32> {
        self.centre.iter().map(|price| price.round() as i32).collect()
    }

    /// A start for fewer orders, from the best prices so far and what leads on from there.
    pub fn part(&self, allowed: impl Fn(&[Stop]) -> bool) -> Self {
        let leads = |plane: &&Plane| plane.weight > 0.0 && allowed(&plane.stops);
        let planes = self.planes.iter().filter(leads).cloned().collect();
        let mut part = Self {
            planes,
            signed: self.signed.clone(),
            centre: self.centre.clone(),
            next: self.centre.clone(),
            least: f64::INFINITY,
            work: 0,
            ..*self
        };
        part.share_weights();
        part
    }

    /// Goes less far.
    pub fn shorten(&mut self) {
        self.reach *= 0.5;
    }

    /// Keeps the planes, but takes the bound at the next prices as the first.
    pub fn start_again(&mut self) {
        self.least = f64::INFINITY;
    }

    /// Keeps the planes that are at the centre not less than a floor and come of orders still allowed.
    pub fn retain(&mut self, floor: f64, allowed: impl Fn(&[Stop]) -> bool) {
        let centre = &self.centre;
        self.planes.retain(|plane| plane.at(centre) >= floor && allowed(&plane.stops));
        self.share_weights();
    }

    /// Takes in the bound at some prices and an order there; `gap` is how far it may yet fall.
    pub fn take(&mut self, prices: &[i32], bound: i64, lean: Lean, gap: f64) {
        let (bound, at) = (bound as f64, exact(prices));
        let slope: Vec<f64> = lean.overuse.iter().map(|n| -f64::from(*n)).collect();
        let plane = Plane {
            height: lean.worth as f64 - product(&slope, &at),
            slope,
            weight: 0.0,
            idle: 0,
            stops: lean.stops,
        };
        let fall = self.least - bound;
        if self.least.is_finite() {
            self.adjust(fall, self.least - plane.at(&self.centre), gap);
        }
        if !self.least.is_finite() || fall > 0.0 && fall >= SERIOUS * self.promised {
            self.least = bound;
            self.centre = at;
            self.disappointed = 0;
        }
        if self.first_reach <= 0.0 {
            self.first_reach = FIRST_REACH * gap.max(1.0) / product(&plane.slope, &plane.slope).max(1.0);
            self.reach = self.first_reach;
        }
        self.add(plane);
    }

    /// Goes farther where the planes proved right or promised little, less far where the new one is far below the bound at the centre.
    fn adjust(&mut self, fall: f64, below: f64, gap: f64) {
        let timid = self.promised < TIMID * gap && fall >= SERIOUS * self.promised;
        if fall >= 0.3 * self.promised || timid {
            self.reach *= 2.0;
        } else if fall < -self.promised {
            self.reach *= 0.5;
        } else if fall < SERIOUS * self.promised {
            self.disappointed += 1;
            if below > self.promised && self.disappointed > 2 {
                self.reach *= 0.7;
                self.disappointed = 0;
            }
        }
    }

    fn add(&mut self, plane: Plane) {
        self.planes.retain(|p| p.weight > 0.0 || p.idle < IDLE_TURNS);
        if self.planes.len() >= MOST_PLANES {
            let lightest = (0..self.planes.len())
                .min_by(|a, b| self.planes[*a].weight.total_cmp(&self.planes[*b].weight));
            if let Some(i) = lightest {
                self.planes.swap_remove(i);
            }
        }
        self.planes.push(plane);
        self.share_weights();
    }

    fn share_weights(&mut self) {
        let sum: f64 = self.planes.iter().map(|plane| plane.weight).sum();
        if sum > 0.0 {
            self.planes.iter_mut().for_each(|plane| plane.weight /= sum);
        } else if let Some(last) = self.planes.last_mut() {
            last.weight = 1.0;
        }
    }

    /// Writes the prices to go on with. Where the planes promise less than `nothing`, that may be for want of reach;
    /// more than `most` is not to be believed.
    pub fn go_on(&mut self, prices: &mut [i32], nothing: f64, most: f64) {
        self.weigh();
        for _ in 0..MOST_HALVINGS {
            if self.promised > most {
                self.reach *= 0.5;
                self.weigh();
            }
        }
        while self.promised < nothing && self.reach < FARTHEST * self.first_reach {
            self.reach *= 4.0;
            self.weigh();
        }
        for (price, next) in prices.iter_mut().zip(&self.next) {
            *price = next.round() as i32;
        }
        for plane in &mut self.planes {
            plane.idle = if plane.weight > 0.0 { 0 } else { plane.idle + 1 };
        }
    }

    fn next_price(&self, i: usize, slope: f64) -> f64 {
        let floor = if self.signed[i] { -self.most } else { 0.0 };
        (self.centre[i] - self.reach * slope).clamp(floor, self.most)
    }

    /// Weighs the planes so that the prices they lead to are the lowest point of all of them, with the square of the
    /// way from the centre added: round by round, weight goes from the plane lowest there to the highest, as far as
    /// that is a gain (on the dual of the quadratic programme).
    fn weigh(&mut self) {
        let Some((first, rest)) = self.planes.split_first() else { return };
        let differ: Vec<usize> = (0..self.centre.len())
            .filter(|i| rest.iter().any(|plane| plane.slope[*i] != first.slope[*i]))
            .collect();
        let mut heights: Vec<f64> = self.planes.iter().map(|plane| plane.height).collect();
        let mut same = 0.0;
        for i in 0..self.centre.len() {
            self.next[i] = self.next_price(i, first.slope[i]);
            same += first.slope[i] * self.next[i];
        }
        same -= differ.iter().map(|i| first.slope[*i] * self.next[*i]).sum::<f64>();
        for height in &mut heights {
            *height += same;
        }
        let slopes: Vec<Vec<f64>> =
            self.planes.iter().map(|plane| differ.iter().map(|i| plane.slope[*i]).collect()).collect();
        let mut weights: Vec<f64> = self.planes.iter().map(|plane| plane.weight).collect();
        let mut slope = vec![0.0; differ.len()];
        for (weight, row) in weights.iter().zip(&slopes) {
            slope.iter_mut().zip(row).for_each(|(sum, s)| *sum += weight * s);
        }
        let mut next = vec![0.0; differ.len()];
        let mut levels = vec![0.0; slopes.len()];
        for _ in 0..MOST_ROUNDS {
            self.products += (slopes.len() * differ.len()) as u64;
            for (k, i) in differ.iter().enumerate() {
                next[k] = self.next_price(*i, slope[k]);
            }
            for ((level, row), height) in levels.iter_mut().zip(&slopes).zip(&heights) {
                *level = height + product(row, &next);
            }
            let high = (1..levels.len()).fold(0, |high, i| if levels[i] > levels[high] { i } else { high });
            let weighty = (0..levels.len()).filter(|i| weights[*i] > 0.0);
            let low =
                weighty.fold(high, |low, i| if levels[i] < levels[low] || low == high { i } else { low });
            let mean = product(&weights, &levels);
            self.promised = self.least - levels[high];
            if levels[high] - mean <= EXACT * self.promised.max(1.0) || low == high {
                break;
            }
            let square: f64 = slopes[high].iter().zip(&slopes[low]).map(|(a, b)| (a - b) * (a - b)).sum();
            let part = ((levels[high] - levels[low]) / (self.reach * square).max(f64::MIN_POSITIVE))
                .min(weights[low]);
            weights[low] = if part < weights[low] { weights[low] - part } else { 0.0 };
            weights[high] += part;
            for (k, sum) in slope.iter_mut().enumerate() {
                *sum += part * (slopes[high][k] - slopes[low][k]);
            }
        }
        for (k, i) in differ.iter().enumerate() {
            self.next[*i] = next[k];
        }
        for (plane, weight) in self.planes.iter_mut().zip(weights) {
            plane.weight = weight;
        }
        self.work += 1 + self.products / COUNTS_A_UNIT;
        self.products %= COUNTS_A_UNIT;
    }
}

fn exact(prices: &[i32]) -> Vec<f64> {
    prices.iter().map(|price| f64::from(*price)).collect()
}

fn product(a: &[f64], b: &[f64]) -> f64 {
    // Four sums side by side.
    let mut sums = [0.0; 4];
    let (a4, b4) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = a4.remainder().iter().zip(b4.remainder()).map(|(a, b)| a * b).sum();
    for (a, b) in a4.zip(b4) {
        for i in 0..4 {
            sums[i] += a[i] * b[i];
        }
    }
    sums.iter().sum::<f64>() + rest
}
