//! What is wrong with a problem as data, each fault told with its key, before anything is computed from it.

use std::fmt;
use std::ops::RangeInclusive;

use super::problem::{PROBLEM_FORMAT, Pin, Problem, ProblemTarget, ShowingOption};

/// The longest evening, in steps.
pub(super) const MOST_STEPS: i64 = 20_000;
/// The greatest value of a stop.
pub const MOST_VALUE: i64 = u16::MAX as i64;
/// The greatest product of steps and value: sums of a whole evening then fit 32 bits, finely scaled.
pub const MOST_VALUE_STEPS: i64 = 60_000_000;
/// The longest time of a single act, in seconds: more than two days.
const MOST_SECONDS: i64 = 200_000;
/// The fastest axis, in hundredths of a degree a second.
const MOST_RATE: i64 = 100_000;
/// Two turns of an axis, in hundredths of a degree.
const MOST_ANGLE: i64 = 72_000;
/// The most of anything that is counted.
const MOST_COUNT: i64 = 1_000_000;

/// Something wrong in a problem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProblemFault {
    /// Line and column, where the text itself can't be read.
    pub place: Option<(usize, usize)>,
    /// Which value, such as `targets[3].options[1].dur`.
    pub key: String,
    /// What was found.
    pub found: String,
    /// What was expected there.
    pub expected: String,
}

impl fmt::Display for ProblemFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some((line, column)) = self.place {
            write!(f, "{line}:{column}: ")?;
        }
        if !self.key.is_empty() {
            write!(f, "`{}`: ", self.key)?;
        }
        write!(f, "{}. {}", self.found, self.expected)
    }
}

#[derive(Default)]
struct Faults(Vec<ProblemFault>);

impl Faults {
    fn add(&mut self, key: String, found: impl Into<String>, expected: impl Into<String>) {
        self.0.push(ProblemFault { place: None, key, found: found.into(), expected: expected.into() });
    }

    fn within(&mut self, value: i64, range: RangeInclusive<i64>, key: impl FnOnce() -> String) {
        if !range.contains(&value) {
            self.add(
                key(),
                format!("found {value}"),
                format!("Give a whole number from {} to {}", range.start(), range.end()),
            );
        }
    }

    fn all_within<N: Copy + Into<i64>>(
        &mut self,
        values: &[N],
        range: &RangeInclusive<i64>,
        key: impl Fn(usize) -> String,
    ) {
        // Long lists are nearly always sound: told in one glance.
        if values.iter().fold(true, |sound, value| sound & range.contains(&(*value).into())) {
            return;
        }
        for (n, value) in values.iter().enumerate() {
            self.within((*value).into(), range.clone(), || key(n));
        }
    }

    fn index(&mut self, index: usize, count: usize, of: &str, key: impl FnOnce() -> String) {
        if index >= count {
            let expected = if count == 0 {
                format!("There are no {of} to name")
            } else {
                format!("Give the index of one of the {of}, 0 to {}", count - 1)
            };
            self.add(key(), format!("found {index}"), expected);
        }
    }

    fn length(&mut self, length: usize, wanted: usize, what: &str, key: impl FnOnce() -> String) {
        if length != wanted {
            self.add(key(), format!("holds {length} values"), format!("Give {wanted}, {what}"));
        }
    }
}

/// The last index of so many; -1 of none.
fn last_index(count: usize) -> i64 {
    i64::try_from(count).map_or(i64::MAX, |count| count - 1)
}

impl<A: Copy + Into<i64>, V: Copy + Into<i64>> Problem<A, V> {
    /// All that is wrong with the problem as data: ragged arrays, indices without an entry, numbers beyond reason.
    /// Wishes that can't be met are not faults: they are told with the answer.
    pub fn check(&self) -> Vec<ProblemFault> {
        let mut faults = Faults::default();
        if self.format != PROBLEM_FORMAT {
            faults.add(
                "format".to_owned(),
                format!("found {:?}", self.format),
                format!("This program reads {PROBLEM_FORMAT:?}"),
            );
        }
        faults.within(self.step_s, 1..=3600, || "step_s".to_owned());
        faults.within(self.steps, 0..=MOST_STEPS, || "steps".to_owned());
        faults.within(self.pos_every, 1..=MOST_STEPS, || "pos_every".to_owned());
        self.check_rig(&mut faults);
        for (n, kind) in self.kinds.iter().enumerate() {
            if kind.factors.is_empty() {
                faults.add(
                    format!("kinds[{n}].factors"),
                    "it is empty",
                    "Give at least one factor in thousandths",
                );
            }
            for (r, factor) in kind.factors.iter().enumerate() {
                faults.within(*factor, 0..=1000, || format!("kinds[{n}].factors[{r}]"));
            }
        }
        for (n, block) in self.blocks.iter().enumerate() {
            faults.within(block.from, -MOST_COUNT..=MOST_COUNT, || format!("blocks[{n}].from"));
            faults.within(block.to, block.from.clamp(-MOST_COUNT, MOST_COUNT)..=MOST_COUNT, || {
                format!("blocks[{n}].to")
            });
        }
        let least = self.positions();
        let holds = self.targets.iter().map(|target| target.axis1.len().min(target.axis2.len()));
        let all_short = self.targets.len() > 1 && holds.clone().all(|holds| holds < least);
        if let Some(most) = holds.max().filter(|_| all_short) {
            faults.add(
                "pos_every".to_owned(),
                format!(
                    "one position every {} steps makes {least} a target, and none holds more than {most}",
                    self.pos_every
                ),
                "Give the steps from one position to the next, or the positions that are missing",
            );
        }
        for (i, target) in self.targets.iter().enumerate() {
            self.check_target(i, target, if all_short { 0 } else { least }, &mut faults);
        }
        for (n, pin) in self.pins.iter().enumerate() {
            self.check_pin(n, pin, &mut faults);
        }
        for (n, target) in self.excluded.iter().enumerate() {
            faults.index(*target, self.targets.len(), "targets", || format!("excluded[{n}]"));
        }
        faults.within(self.max_port_changes, 0..=MOST_COUNT, || "max_port_changes".to_owned());
        self.check_in_a_row(&mut faults);
        faults.0
    }

    fn check_in_a_row(&self, faults: &mut Faults) {
        let classes = self.in_a_row.len();
        for (a, row) in self.in_a_row.iter().enumerate() {
            faults.length(row.len(), classes, "one for each class", || format!("in_a_row[{a}]"));
            for (b, loss) in row.iter().enumerate() {
                faults.within(*loss, 0..=self.most_value(), || format!("in_a_row[{a}][{b}]"));
            }
        }
        if let Some(class) = self.start.class {
            faults.index(class, classes.max(1), "classes of `in_a_row`", || "start.class".to_owned());
        }
    }

    /// The most that a stop may be worth, or be lost at one.
    fn most_value(&self) -> i64 {
        MOST_VALUE.min(MOST_VALUE_STEPS / self.steps.clamp(1, MOST_STEPS))
    }

    fn check_rig(&self, faults: &mut Faults) {
        let ports = self.ports.len();
        for (q, port) in self.ports.iter().enumerate() {
            faults.within(port.focus_s, 0..=MOST_SECONDS, || format!("ports[{q}].focus_s"));
        }
        faults.length(self.port_change_s.len(), ports, "a row for each port", || "port_change_s".to_owned());
        for (a, row) in self.port_change_s.iter().enumerate() {
            faults.length(row.len(), ports, "one for each port", || format!("port_change_s[{a}]"));
            for (b, seconds) in row.iter().enumerate() {
                faults.within(*seconds, 0..=MOST_SECONDS, || format!("port_change_s[{a}][{b}]"));
            }
        }
        faults.length(self.min_stops.len(), ports, "one for each port", || "min_stops".to_owned());
        for (q, least) in self.min_stops.iter().enumerate() {
            faults.within(*least, 0..=MOST_COUNT, || format!("min_stops[{q}]"));
        }
        faults.within(self.slew.rate1, 1..=MOST_RATE, || "slew.rate1".to_owned());
        faults.within(self.slew.rate2, 1..=MOST_RATE, || "slew.rate2".to_owned());
        faults.within(self.slew.wrap1, 0..=MOST_ANGLE, || "slew.wrap1".to_owned());
        faults.within(self.slew.settle_s, 0..=MOST_SECONDS, || "slew.settle_s".to_owned());
        faults.within(self.start.step, 0..=MOST_STEPS, || "start.step".to_owned());
        faults.within(self.start.port, -1..=last_index(ports), || "start.port".to_owned());
        faults.within(self.start.axis1, -MOST_ANGLE..=MOST_ANGLE, || "start.axis1".to_owned());
        faults.within(self.start.axis2, -MOST_ANGLE..=MOST_ANGLE, || "start.axis2".to_owned());
    }

    fn check_target(&self, i: usize, target: &ProblemTarget<A, V>, least: usize, faults: &mut Faults) {
        faults.index(target.kind, self.kinds.len(), "kinds", || format!("targets[{i}].kind"));
        for (key, axis) in [("axis1", &target.axis1), ("axis2", &target.axis2)] {
            if axis.len() < least {
                faults.add(
                    format!("targets[{i}].{key}"),
                    format!("holds {} values", axis.len()),
                    format!("Give {least}, one for every {} steps of the evening", self.pos_every),
                );
            }
            faults.all_within(axis, &(-MOST_ANGLE..=MOST_ANGLE), |k| format!("targets[{i}].{key}[{k}]"));
        }
        if target.axis1.len() != target.axis2.len() {
            faults.add(
                format!("targets[{i}].axis2"),
                format!("holds {} values", target.axis2.len()),
                format!("Give as many as `axis1` holds, {}", target.axis1.len()),
            );
        }
        for (j, option) in target.options.iter().enumerate() {
            self.check_option(i, j, option, faults);
        }
    }

    fn check_option(&self, i: usize, j: usize, option: &ShowingOption<V>, faults: &mut Faults) {
        let key = |part: &str| format!("targets[{i}].options[{j}].{part}");
        faults.index(option.port, self.ports.len(), "ports", || key("port"));
        faults.within(option.duration, 1..=MOST_COUNT, || key("dur"));
        faults.within(option.lead_s, 0..=MOST_SECONDS, || key("lead_s"));
        faults.within(option.first_start, 0..=MOST_COUNT, || key("t0"));
        let most = self.most_value();
        faults.index(option.class, self.in_a_row.len().max(1), "classes of `in_a_row`", || key("class"));
        faults.all_within(&option.values, &(0..=most), |n| key(&format!("v[{n}]")));
    }

    fn check_pin(&self, n: usize, pin: &Pin, faults: &mut Faults) {
        faults.index(pin.target, self.targets.len(), "targets", || format!("pins[{n}].target"));
        if let Some(port) = pin.port {
            faults.within(port, -1..=last_index(self.ports.len()), || format!("pins[{n}].port"));
        }
        if let Some(at) = pin.at {
            faults.within(at, -MOST_COUNT..=MOST_COUNT, || format!("pins[{n}].at"));
        }
        if let Some(tolerance) = pin.tol {
            faults.within(tolerance, 0..=MOST_COUNT, || format!("pins[{n}].tol"));
        }
    }

    /// How many positions of a target a whole evening asks for: nothing leaves for a stop at the last step.
    pub(super) fn positions(&self) -> usize {
        let every = self.pos_every.max(1);
        usize::try_from((self.steps.clamp(1, MOST_STEPS) - 1) / every + 1).unwrap_or(1)
    }
}
