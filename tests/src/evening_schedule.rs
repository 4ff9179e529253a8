//! The format evening-schedule/1 judged anew: written from the rules in `tests/data/arrange/README.md`, sharing nothing
//! with the core but them; and the best order of a tiny problem, by trying all.

use serde::Deserialize;

/// A problem, as far as its rules need it.
#[derive(Clone, Debug, Deserialize)]
pub struct Schedule {
    step_s: i64,
    steps: i64,
    pos_every: i64,
    ports: Vec<PortTimes>,
    port_change_s: Vec<Vec<i64>>,
    slew: SlewRates,
    start: Standing,
    kinds: Vec<KindFactors>,
    targets: Vec<Shown>,
    blocks: Vec<NoViewing>,
    pins: Vec<Must>,
    excluded: Vec<usize>,
    rank_by: String,
    max_port_changes: i64,
    min_stops: Vec<i64>,
    #[serde(default)]
    in_a_row: Vec<Vec<i64>>,
}

#[derive(Clone, Debug, Deserialize)]
struct PortTimes {
    focus_s: i64,
}

#[derive(Clone, Debug, Deserialize)]
struct SlewRates {
    rate1: i64,
    rate2: i64,
    wrap1: i64,
    settle_s: i64,
}

#[derive(Clone, Debug, Deserialize)]
struct Standing {
    step: i64,
    port: i64,
    axis1: i64,
    axis2: i64,
    #[serde(default)]
    class: Option<usize>,
}

#[derive(Clone, Debug, Deserialize)]
struct KindFactors {
    factors: Vec<i64>,
}

#[derive(Clone, Debug, Deserialize)]
struct Shown {
    kind: usize,
    axis1: Vec<i64>,
    axis2: Vec<i64>,
    options: Vec<Way>,
}

#[derive(Clone, Debug, Deserialize)]
struct Way {
    port: usize,
    dur: i64,
    lead_s: i64,
    t0: i64,
    v: Vec<i64>,
    #[serde(default)]
    class: usize,
}

#[derive(Clone, Debug, Deserialize)]
struct NoViewing {
    from: i64,
    to: i64,
}

#[derive(Clone, Debug, Deserialize)]
struct Must {
    target: usize,
    #[serde(default)]
    port: Option<i64>,
    #[serde(default)]
    at: Option<i64>,
    #[serde(default)]
    tol: Option<i64>,
}

/// A small count or index among the numbers of a problem.
fn index(index: usize) -> i64 {
    i64::try_from(index).expect("the lists of a problem are short")
}

/// A stop: target, option, start.
pub type Stop = (usize, usize, i64);

/// What the rules say of an order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Verdict {
    /// Its score in the format.
    pub score: i64,
    /// What is lost by what is shown in a row.
    pub loss: i64,
    /// Rules broken that no wish excuses, in words.
    pub hard: Vec<String>,
    /// Stops missing on ports, and pins not kept.
    pub wishes: i64,
}

impl Verdict {
    /// Its score less what is lost.
    pub const fn worth(&self) -> i64 {
        self.score - self.loss
    }
}

impl Schedule {
    /// Judges an order.
    pub fn judge(&self, order: &[Stop]) -> Verdict {
        let mut verdict = Verdict::default();
        let mut place = (self.start.axis1, self.start.axis2);
        let (mut from, mut port, mut free) = (None, self.start.port, self.start.step);
        let mut changes = 0;
        for (n, (i, j, start)) in order.iter().copied().enumerate() {
            let way = &self.targets[i].options[j];
            let end = start + way.dur;
            if order[..n].iter().any(|earlier| earlier.0 == i) {
                verdict.hard.push(format!("{i} twice"));
            }
            if self.excluded.contains(&i) {
                verdict.hard.push(format!("{i} is excluded"));
            }
            if self.value((i, j, start)) <= 0 || end > self.steps {
                verdict.hard.push(format!("{i} may not start at {start}"));
            }
            if self.blocks.iter().any(|block| start < block.to && block.from < end) {
                verdict.hard.push(format!("{i} at {start} overlaps a block"));
            }
            if let Some(target) = from {
                let target: &Shown = &self.targets[target];
                let k = (free / self.pos_every) as usize;
                place = (target.axis1[k], target.axis2[k]);
            }
            if start < free + self.overhead(place, port, (i, j), free) {
                verdict.hard.push(format!("{i} at {start} is not ready"));
            }
            changes += i64::from(port >= 0 && port != index(way.port));
            (from, port, free) = (Some(i), index(way.port), end);
        }
        if changes > self.max_port_changes {
            verdict.hard.push(format!("{changes} changes of port"));
        }
        for (port, least) in self.min_stops.iter().enumerate() {
            let stops = order.iter().filter(|(i, j, _)| self.targets[*i].options[*j].port == port).count();
            verdict.wishes += (least - index(stops)).max(0);
        }
        for pin in &self.pins {
            let kept = order.iter().any(|(i, j, start)| {
                *i == pin.target
                    && pin
                        .port
                        .is_none_or(|port| port < 0 || port == index(self.targets[*i].options[*j].port))
                    && pin.at.is_none_or(|at| (start - at).abs() <= pin.tol.unwrap_or(0))
            });
            verdict.wishes += i64::from(!kept);
        }
        verdict.score = self.score(order);
        verdict.loss = self.loss(order);
        verdict
    }

    fn value(&self, (i, j, start): Stop) -> i64 {
        let way = &self.targets[i].options[j];
        usize::try_from(start - way.t0).ok().and_then(|n| way.v.get(n)).copied().unwrap_or(0)
    }

    fn overhead(&self, place: (i64, i64), port: i64, (i, j): (usize, usize), leave: i64) -> i64 {
        let up = |a: i64, b: i64| (a + b - 1).div_euclid(b);
        let (target, way) = (&self.targets[i], &self.targets[i].options[j]);
        let k = (leave / self.pos_every) as usize;
        let mut turn = (place.0 - target.axis1[k]).abs();
        if self.slew.wrap1 != 0 {
            turn = turn.min(self.slew.wrap1 - turn);
        }
        let tilt = (place.1 - target.axis2[k]).abs();
        let mut seconds = up(turn, self.slew.rate1).max(up(tilt, self.slew.rate2));
        let mut focus = 0;
        if port >= 0 && port != index(way.port) {
            seconds = seconds.max(self.port_change_s[port as usize][way.port]);
            focus = self.ports[way.port].focus_s;
        }
        up(seconds + self.slew.settle_s + focus + way.lead_s, self.step_s)
    }

    fn score(&self, order: &[Stop]) -> i64 {
        let mut score = 0;
        for (kind, KindFactors { factors }) in self.kinds.iter().enumerate() {
            let of_kind = order.iter().filter(|stop| self.targets[stop.0].kind == kind);
            let mut values: Vec<i64> = of_kind.map(|stop| self.value(*stop)).collect();
            if self.rank_by == "value" {
                values.sort_unstable();
                values.reverse();
            }
            for (rank, value) in values.iter().enumerate() {
                score += value * factors.get(rank).or(factors.last()).expect("a kind has factors") / 1000;
            }
        }
        score
    }

    /// What is lost between each stop and the next, and before the first where something was shown earlier.
    fn loss(&self, order: &[Stop]) -> i64 {
        if self.in_a_row.is_empty() {
            return 0;
        }
        let of_stops = order.iter().map(|(i, j, _)| self.targets[*i].options[*j].class);
        let classes: Vec<usize> = self.start.class.into_iter().chain(of_stops).collect();
        classes.windows(2).map(|pair| self.in_a_row[pair[0]][pair[1]]).sum()
    }

    /// The best of all orders: fewest wishes broken, then the highest worth. Only for tiny problems.
    pub fn best_of_all(&self) -> Verdict {
        let mut best = self.judge(&[]);
        self.extend(&mut Vec::new(), &mut best);
        best
    }

    fn extend(&self, order: &mut Vec<Stop>, best: &mut Verdict) {
        for i in 0..self.targets.len() {
            for j in 0..self.targets[i].options.len() {
                let way = &self.targets[i].options[j];
                for start in way.t0..way.t0 + index(way.v.len()) {
                    order.push((i, j, start));
                    let verdict = self.judge(order);
                    if verdict.hard.is_empty() {
                        if (-verdict.wishes, verdict.worth()) > (-best.wishes, best.worth()) {
                            *best = verdict;
                        }
                        self.extend(order, best);
                    }
                    order.pop();
                }
            }
        }
    }
}
