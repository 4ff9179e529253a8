//! The judge: what an order is worth and every rule it breaks, straight from the problem and apart from the solver.

use std::fmt;

use super::problem::{AnswerStop, Problem, RankBy};

/// A rule that an order breaks. `stop` is the index of the stop in the order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BrokenRule {
    /// The stop names a target or an option that is not there.
    NoSuchOption { stop: usize },
    /// The target has been shown before.
    ShownTwice { stop: usize },
    /// The target is never to be shown.
    Excluded { stop: usize },
    /// The target may not start then.
    NotAllowedThen { stop: usize },
    /// The stop ends after the evening.
    AfterTheEvening { stop: usize },
    /// The stop overlaps the time without viewing of this index.
    Overlaps { stop: usize, block: usize },
    /// The telescope is ready only at a later step.
    NotReady { stop: usize, ready: i64 },
    /// More changes of port than are allowed.
    TooManyChanges { changes: i64, most: i64 },
    /// Fewer stops on a port than are wanted.
    TooFewStops { port: usize, stops: i64, least: i64 },
    /// What the pin of this index wants is not shown at all.
    PinNotShown { pin: usize },
    /// It is shown on another port.
    PinOnOtherPort { pin: usize },
    /// It starts at another step.
    PinAtOtherTime { pin: usize, start: i64 },
}

impl BrokenRule {
    /// Whether it is a wish: one that the solver gives up where wishes contradict each other or can't be met.
    pub const fn is_wish(self) -> bool {
        matches!(
            self,
            Self::TooFewStops { .. }
                | Self::PinNotShown { .. }
                | Self::PinOnOtherPort { .. }
                | Self::PinAtOtherTime { .. }
        )
    }

    /// The rule in words, with the names that the problem gives.
    pub fn told<'a>(&'a self, problem: &'a Problem) -> impl fmt::Display + 'a {
        Told { rule: *self, problem }
    }
}

struct Told<'a> {
    rule: BrokenRule,
    problem: &'a Problem,
}

impl fmt::Display for Told<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let problem = self.problem;
        let pinned = |pin: usize| {
            let target = problem.pins[pin].target;
            format!("pins[{pin}]: target {target} ({})", problem.targets[target].name)
        };
        match self.rule {
            BrokenRule::NoSuchOption { stop } => write!(f, "stop {stop}: there is no such target or option"),
            BrokenRule::ShownTwice { stop } => write!(f, "stop {stop}: its target was shown before"),
            BrokenRule::Excluded { stop } => write!(f, "stop {stop}: its target is excluded"),
            BrokenRule::NotAllowedThen { stop } => write!(f, "stop {stop}: it may not start then"),
            BrokenRule::AfterTheEvening { stop } => write!(f, "stop {stop}: it ends after the evening"),
            BrokenRule::Overlaps { stop, block } => {
                write!(f, "stop {stop}: it overlaps {}", problem.blocks[block].name)
            }
            BrokenRule::NotReady { stop, ready } => {
                write!(f, "stop {stop}: the telescope is ready only at step {ready}")
            }
            BrokenRule::TooManyChanges { changes, most } => {
                write!(f, "max_port_changes: {changes} changes of port, {most} allowed")
            }
            BrokenRule::TooFewStops { port, stops, least } => write!(
                f,
                "min_stops[{port}]: {stops} stops on {}, at least {least} wanted",
                problem.ports[port].name
            ),
            BrokenRule::PinNotShown { pin } => write!(f, "{} is not shown", pinned(pin)),
            BrokenRule::PinOnOtherPort { pin } => write!(f, "{} is not on the port wanted", pinned(pin)),
            BrokenRule::PinAtOtherTime { pin, start } => {
                write!(f, "{} starts at step {start}, not when wanted", pinned(pin))
            }
        }
    }
}

/// What the judge finds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Judgement {
    /// The score of the order, broken rules or not, without what is lost in a row.
    pub score: i64,
    /// What is lost by what is shown in a row.
    pub loss: i64,
    /// Every rule that it breaks.
    pub broken: Vec<BrokenRule>,
}

/// Judges an order, its stops in order of time, against a problem whose [`Problem::check`] finds nothing.
pub fn judge(problem: &Problem, stops: &[AnswerStop]) -> Judgement {
    let mut broken = Vec::new();
    let mut shown: Vec<Option<AnswerStop>> = vec![None; problem.targets.len()];
    let mut by_kind: Vec<Vec<i64>> = vec![Vec::new(); problem.kinds.len()];
    let mut on_port = vec![0_i64; problem.ports.len()];
    let (mut free, mut from) = (problem.start.step, None);
    let mut port = usize::try_from(problem.start.port).ok();
    let (mut changes, mut loss) = (0, 0);
    let mut class = problem.start.class;
    for (n, stop) in stops.iter().enumerate() {
        let target = problem.targets.get(stop.target);
        let Some((target, option)) = target.and_then(|t| Some((t, t.options.get(stop.option)?))) else {
            broken.push(BrokenRule::NoSuchOption { stop: n });
            continue;
        };
        let end = stop.start.saturating_add(option.duration);
        if shown[stop.target].is_some() {
            broken.push(BrokenRule::ShownTwice { stop: n });
        }
        if problem.excluded.contains(&stop.target) {
            broken.push(BrokenRule::Excluded { stop: n });
        }
        let place = usize::try_from(stop.start.saturating_sub(option.first_start)).ok();
        let value = place.and_then(|place| option.values.get(place)).copied().map_or(0, i64::from);
        if value <= 0 {
            broken.push(BrokenRule::NotAllowedThen { stop: n });
        }
        if end > problem.steps {
            broken.push(BrokenRule::AfterTheEvening { stop: n });
        }
        let overlapped = problem.blocks.iter().enumerate().filter(|(_, b)| stop.start < b.to && end > b.from);
        broken.extend(overlapped.map(|(block, _)| BrokenRule::Overlaps { stop: n, block }));
        let ready = free.saturating_add(set_up_steps(problem, port, from, *stop, free));
        if stop.start < ready {
            broken.push(BrokenRule::NotReady { stop: n, ready });
        }
        changes += i64::from(port.is_some_and(|port| port != option.port));
        loss += class.map_or(0, |class| loss_in_a_row(problem, class, option.class));
        by_kind[target.kind].push(value);
        on_port[option.port] += 1;
        shown[stop.target] = Some(*stop);
        (free, from, port, class) = (end, Some(stop.target), Some(option.port), Some(option.class));
    }
    if changes > problem.max_port_changes {
        broken.push(BrokenRule::TooManyChanges { changes, most: problem.max_port_changes });
    }
    for (port, (stops, least)) in on_port.into_iter().zip(&problem.min_stops).enumerate() {
        if stops < *least {
            broken.push(BrokenRule::TooFewStops { port, stops, least: *least });
        }
    }
    for (pin, wish) in problem.pins.iter().enumerate() {
        let Some(stop) = shown[wish.target] else {
            broken.push(BrokenRule::PinNotShown { pin });
            continue;
        };
        if !wish.fits_port(problem.targets[stop.target].options[stop.option].port) {
            broken.push(BrokenRule::PinOnOtherPort { pin });
        }
        if !wish.fits_start(stop.start) {
            broken.push(BrokenRule::PinAtOtherTime { pin, start: stop.start });
        }
    }
    Judgement { score: worth(problem, by_kind), loss, broken }
}

fn loss_in_a_row(problem: &Problem, earlier: usize, later: usize) -> i64 {
    problem.in_a_row.get(earlier).map_or(0, |row| row[later])
}

/// Steps from leaving a target (`None`: where the telescope stood at first) with a port set to viewing at a stop.
fn set_up_steps(
    problem: &Problem,
    port: Option<usize>,
    from: Option<usize>,
    stop: AnswerStop,
    leave: i64,
) -> i64 {
    let target = &problem.targets[stop.target];
    let option = &target.options[stop.option];
    let at = usize::try_from(leave / problem.pos_every).unwrap_or(0).min(target.axis1.len() - 1);
    let (axis1, axis2) = from.map_or((problem.start.axis1, problem.start.axis2), |from| {
        let from = &problem.targets[from];
        let at = at.min(from.axis1.len() - 1);
        (from.axis1[at].into(), from.axis2[at].into())
    });
    let slew = &problem.slew;
    let mut distance1 = (axis1 - i64::from(target.axis1[at])).abs();
    if slew.wrap1 > 0 {
        distance1 = distance1.min((slew.wrap1 - distance1).max(0));
    }
    let distance2 = (axis2 - i64::from(target.axis2[at])).abs();
    let mut seconds = ceiling(distance1, slew.rate1).max(ceiling(distance2, slew.rate2));
    let mut focus_s = 0;
    if let Some(port) = port.filter(|port| *port != option.port) {
        seconds = seconds.max(problem.port_change_s[port][option.port]);
        focus_s = problem.ports[option.port].focus_s;
    }
    ceiling(seconds + slew.settle_s + focus_s + option.lead_s, problem.step_s)
}

const fn ceiling(dividend: i64, divisor: i64) -> i64 {
    (dividend + divisor - 1) / divisor
}

/// Each value times the factor of its rank within its kind.
fn worth(problem: &Problem, by_kind: Vec<Vec<i64>>) -> i64 {
    let mut sum = 0;
    for (kind, mut values) in problem.kinds.iter().zip(by_kind) {
        if problem.rank_by == RankBy::Value {
            values.sort_unstable_by(|a, b| b.cmp(a));
        }
        let last = kind.factors.len() - 1;
        sum += values.iter().enumerate().map(|(r, v)| v * kind.factors[r.min(last)] / 1000).sum::<i64>();
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::{BrokenRule, judge};
    use crate::arrange::problem::AnswerStop;
    use crate::arrange::sample;

    fn stop(target: usize, option: usize, start: i64) -> AnswerStop {
        AnswerStop { target, option, start }
    }

    #[test]
    fn a_worked_order_is_worth_what_the_rules_say() {
        let problem = sample::problem();
        // From (18000, 4500) to target 0 at (9000, 3000): 9000 / 300 = 30 s, 5 settling, 10 framing: 2 steps of 30 s.
        // To target 1 at (10000, 4000), port 0 to 1: selector 40 s, 5 settling, 20 focus, 10 framing: 3 steps.
        let judged = judge(&problem, &[stop(0, 0, 2), stop(1, 0, 15)]);
        assert_eq!(judged.broken, []);
        assert_eq!(judged.score, 500 + 300 * 700 / 1000);
        let early = judge(&problem, &[stop(0, 0, 1), stop(1, 0, 14)]);
        assert_eq!(early.broken, [BrokenRule::NotReady { stop: 0, ready: 2 }]);
    }

    #[test]
    fn what_follows_what_may_cost() {
        let mut problem = sample::problem();
        problem.in_a_row = vec![vec![7, 20], vec![300, 4]];
        problem.targets[1].options[0].class = 1;
        // Planet of class 0, galaxy of class 1, cluster of class 0, a block before the last: 20, then 300 are lost.
        let order = [stop(0, 0, 2), stop(1, 0, 15), stop(2, 1, 33)];
        let judged = judge(&problem, &order);
        assert_eq!((judged.score, judged.loss), (500 + 370 * 700 / 1000 + 300 * 500 / 1000, 320));
        assert_eq!(judged.broken, []);
        problem.start.class = Some(1);
        assert_eq!(judge(&problem, &order).loss, 620);
        problem.start.class = Some(0);
        assert_eq!(judge(&problem, &order).loss, 327);
        assert_eq!(judge(&problem, &[]).loss, 0);
    }

    #[test]
    fn each_broken_rule_is_named() {
        let mut problem = sample::problem();
        problem.max_port_changes = 0;
        problem.min_stops = vec![2, 0];
        problem.pins = serde_json::from_str(r#"[{"target": 2}, {"target": 0, "port": 1, "at": 9}]"#).unwrap();
        problem.excluded = vec![1];
        let judged = judge(&problem, &[stop(0, 0, 2), stop(1, 0, 15), stop(0, 7, 30), stop(0, 0, 99)]);
        let words: Vec<String> = judged.broken.iter().map(|rule| rule.told(&problem).to_string()).collect();
        for wanted in [
            "stop 1: its target is excluded",
            "stop 2: there is no such",
            "stop 3: its target was shown before",
            "stop 3: it may not start",
            "stop 3: it ends after",
            "max_port_changes: 2",
            "pins[0]: target 2 (cluster) is not shown",
            "pins[1]: target 0 (planet) is not on the port",
            "pins[1]: target 0 (planet) starts at step 99",
        ] {
            assert!(words.iter().any(|word| word.starts_with(wanted)), "{wanted}: {words:#?}");
        }
    }
}
