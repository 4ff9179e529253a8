//! A problem made ready for the solver: what may start when, and what each move takes, exactly as the rules say.

use super::divisor::Divisor;
use super::problem::{Pin, Problem, RankBy, ShowingOption};
use super::timing::Span;

/// No port is set.
pub(super) const NO_PORT: u32 = u32::MAX;

/// Steps in a stretch whose greatest value is kept: about a gap's play.
pub(super) const STRETCH: usize = 16;

/// One way to show a target: through one port, for so long. It fills a line of a processor's cache: the search reads
/// choices here and there.
#[derive(Clone, Debug)]
#[repr(align(64))]
pub(super) struct Choice {
    pub target: u32,
    pub option: u32,
    pub port: u32,
    pub kind: u32,
    /// Steps of viewing.
    pub duration: u32,
    /// Settling and lead: what follows every move, in seconds.
    after_s: u32,
    /// Steps that every move to it takes at least.
    pub least_move: u32,
    /// Refocusing after a change to this port, in seconds.
    focus_s: u32,
    /// First and last step at which it may start.
    pub first: u32,
    pub last: u32,
    /// Where its values stand, from `first` to `last`.
    row: u32,
    /// Its class, for what is lost in a row.
    class: u32,
    /// Shown so, a pin is kept.
    pub keeps_pin: bool,
    /// Shown so, a pin is broken.
    pub breaks_pin: bool,
    /// The greatest of its values.
    pub best: u32,
    /// Where the greatest of its values in each stretch stand.
    stretches: u32,
}

/// A stop: a choice and the step at which viewing starts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Stop {
    pub choice: u32,
    pub start: u32,
}

/// What an order is worth to the solver.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Standing {
    pub score: u32,
    /// What is lost in a row.
    pub loss: u32,
    /// Wishes broken: stops missing on ports, pins not kept.
    pub broken: u32,
    /// Changes of port beyond the limit.
    pub excess: u32,
}

impl Standing {
    /// Its score less what is lost.
    pub fn worth(self) -> i64 {
        i64::from(self.score) - i64::from(self.loss)
    }
}

#[derive(Clone, Debug)]
pub(super) struct Prepared {
    pub steps: u32,
    pub positions: u32,
    wrap1: u32,
    by_step: Divisor,
    by_rate1: Divisor,
    by_rate2: Divisor,
    by_position: Divisor,
    /// Axis 1 and 2 of each target at each position; the last of a row is the start.
    axes: Vec<(i32, i32)>,
    pub choices: Vec<Choice>,
    values: Vec<u16>,
    stretch_best: Vec<u16>,
    pub factors: Vec<Vec<u32>>,
    pub rank_by: RankBy,
    change_s: Vec<u32>,
    /// What is lost when one class follows another, a row for each and a last one for the start.
    losses: Vec<u32>,
    classes: u32,
    pub ports: u32,
    /// What stands on the sides of a whole order.
    pub open_until: Span,
    pub open_after: Span,
    pub start_step: u32,
    pub start_port: u32,
    pub targets: u32,
    pub max_changes: u32,
    pub min_stops: Vec<u32>,
    /// Targets with a pin that can be kept by itself.
    pub pinned: Vec<u32>,
}

impl Prepared {
    /// Makes a problem ready whose [`Problem::check`] finds nothing.
    pub fn new(problem: &Problem) -> Self {
        let positions = problem.positions();
        let mut axes = Vec::with_capacity(positions * (problem.targets.len() + 1));
        for k in 0..positions {
            axes.extend(problem.targets.iter().map(|t| (t.axis1[k], t.axis2[k])));
            axes.push((problem.start.axis1 as i32, problem.start.axis2 as i32));
        }
        let classes = problem.in_a_row.len().max(1);
        let mut losses: Vec<u32> = problem.in_a_row.iter().flatten().map(|loss| *loss as u32).collect();
        losses.resize(classes * classes, 0);
        match problem.start.class {
            Some(class) => losses.extend_from_within(class * classes..(class + 1) * classes),
            None => losses.resize(classes * (classes + 1), 0),
        }
        let mut pins_of: Vec<Vec<&Pin>> = vec![Vec::new(); problem.targets.len()];
        for pin in &problem.pins {
            pins_of[pin.target].push(pin);
        }
        let mut excluded = vec![false; problem.targets.len()];
        for target in &problem.excluded {
            excluded[*target] = true;
        }
        let mut prepared = Self {
            steps: problem.steps as u32,
            positions: positions as u32,
            wrap1: problem.slew.wrap1 as u32,
            by_step: Divisor::new(problem.step_s),
            by_rate1: Divisor::new(problem.slew.rate1),
            by_rate2: Divisor::new(problem.slew.rate2),
            by_position: Divisor::new(problem.pos_every),
            axes,
            choices: Vec::new(),
            values: Vec::new(),
            stretch_best: Vec::new(),
            factors: problem.kinds.iter().map(|k| k.factors.iter().map(|f| *f as u32).collect()).collect(),
            rank_by: problem.rank_by,
            change_s: problem.port_change_s.iter().flatten().map(|s| *s as u32).collect(),
            losses,
            classes: classes as u32,
            ports: problem.ports.len() as u32,
            open_until: Span::level(problem.start.step as u32, problem.start.step as u32, 0),
            open_after: Span::level(0, problem.steps as u32 + 1, 0),
            start_step: problem.start.step as u32,
            start_port: u32::try_from(problem.start.port).unwrap_or(NO_PORT),
            targets: problem.targets.len() as u32,
            max_changes: problem.max_port_changes as u32,
            min_stops: problem.min_stops.iter().map(|m| *m as u32).collect(),
            pinned: Vec::new(),
        };
        for (i, target) in problem.targets.iter().enumerate().filter(|(i, _)| !excluded[*i]) {
            let rows: Vec<Vec<u16>> = target.options.iter().map(|option| allowed(problem, option)).collect();
            let pins = kept_together(&pins_of[i], &target.options, &rows);
            prepared.pinned.extend((!pins.is_empty()).then_some(i as u32));
            for (j, row) in rows.iter().enumerate() {
                let port = target.options[j].port;
                let fits = |start: i64| pins.iter().all(|pin| pin.fits(port, start));
                let part = |kept: bool| -> Vec<u16> {
                    row.iter().zip(0..).map(|(v, t)| if fits(t) == kept { *v } else { 0 }).collect()
                };
                if pins.is_empty() {
                    prepared.add(problem, (i, j), row, (false, false));
                } else {
                    prepared.add(problem, (i, j), &part(true), (true, false));
                    prepared.add(problem, (i, j), &part(false), (false, true));
                }
            }
        }
        prepared
    }

    fn add(&mut self, problem: &Problem, (i, j): (usize, usize), row: &[u16], pin: (bool, bool)) {
        let first = row.iter().position(|v| *v > 0);
        let last = row.iter().rposition(|v| *v > 0);
        let (Some(first), Some(last)) = (first, last) else { return };
        let option = &problem.targets[i].options[j];
        self.choices.push(Choice {
            target: i as u32,
            option: j as u32,
            port: option.port as u32,
            kind: problem.targets[i].kind as u32,
            duration: option.duration as u32,
            after_s: (problem.slew.settle_s + option.lead_s) as u32,
            least_move: self.by_step.ceil((problem.slew.settle_s + option.lead_s) as u32),
            focus_s: problem.ports[option.port].focus_s as u32,
            first: first as u32,
            last: last as u32,
            row: self.values.len() as u32,
            class: option.class as u32,
            keeps_pin: pin.0,
            breaks_pin: pin.1,
            best: row.iter().copied().max().map_or(0, u32::from),
            stretches: self.stretch_best.len() as u32,
        });
        let row = &row[first..=last];
        self.values.extend_from_slice(row);
        self.stretch_best.extend(row.chunks(STRETCH).map(|part| part.iter().copied().max().unwrap_or(0)));
    }

    /// Value of a choice started at a step, 0 where it may not start.
    #[inline]
    pub fn value(&self, choice: usize, step: u32) -> u32 {
        let c = &self.choices[choice];
        if step < c.first || step > c.last {
            0
        } else {
            u32::from(self.values[(c.row + step - c.first) as usize])
        }
    }

    /// The values of a choice from its first to its last step.
    #[inline]
    pub fn row(&self, choice: usize) -> &[u16] {
        let c = &self.choices[choice];
        &self.values[c.row as usize..=(c.row + c.last - c.first) as usize]
    }

    /// The greatest value of a choice in each stretch from its first step on.
    pub fn stretches(&self, choice: &Choice) -> &[u16] {
        &self.stretch_best[choice.stretches as usize
            ..=choice.stretches as usize + (choice.last - choice.first) as usize / STRETCH]
    }

    /// At least the greatest value of a choice started from one step to another; both within its first and last.
    #[inline]
    pub fn best_between(&self, choice: &Choice, from: u32, to: u32) -> u32 {
        let stretch = |step: u32| choice.stretches as usize + (step - choice.first) as usize / STRETCH;
        self.stretch_best[stretch(from)..=stretch(to)].iter().copied().max().map_or(0, u32::from)
    }

    /// The first step from `step` on at which a choice may start.
    #[inline]
    pub fn next_start(&self, choice: usize, step: u32) -> Option<u32> {
        let c = &self.choices[choice];
        let from = step.max(c.first);
        let row = self.row(choice).get((from - c.first) as usize..)?;
        row.iter().position(|v| *v > 0).map(|n| from + n as u32)
    }

    /// The index of the positions that hold when something is left at a step.
    #[inline]
    pub fn position(&self, step: u32) -> u32 {
        self.by_position.floor(step).min(self.positions - 1)
    }

    /// The first step with a position.
    #[inline]
    pub fn position_start(&self, position: u32) -> u32 {
        position * self.by_position.number
    }

    /// Steps for which one position holds.
    #[inline]
    pub fn position_length(&self) -> u32 {
        self.by_position.number
    }

    /// Target and port at the end of a choice; for `None`, where the telescope stands at first.
    pub fn stands(&self, choice: Option<usize>) -> (u32, u32) {
        choice.map_or((self.targets, self.start_port), |c| (self.choices[c].target, self.choices[c].port))
    }

    /// A place with a port set, left at a position.
    #[inline]
    pub fn leaving(&self, target: u32, port: u32, position: u32) -> Leaving<'_> {
        let row = self.targets as usize + 1;
        let axes = &self.axes[position as usize * row..][..row];
        let ports = self.ports as usize;
        let change_s =
            if port == NO_PORT { &[][..] } else { &self.change_s[port as usize * ports..][..ports] };
        Leaving { prepared: self, axes, from: axes[target as usize], port, change_s }
    }

    /// Steps from leaving a place with a port set, at a position, to a choice ready for viewing.
    #[inline]
    pub fn move_steps(&self, from_target: u32, from_port: u32, to: &Choice, position: u32) -> u32 {
        self.leaving(from_target, from_port, position).steps(to)
    }

    /// Steps from a choice (`None` for the start) left at a step to another ready for viewing.
    #[inline]
    pub fn travel(&self, from: Option<usize>, to: usize, leave: u32) -> u32 {
        let (target, port) = self.stands(from);
        self.move_steps(target, port, &self.choices[to], self.position(leave))
    }

    /// 1 where the port changes between two choices, else 0.
    #[inline]
    pub fn changes(&self, from: Option<usize>, to: usize) -> u32 {
        let (_, port) = self.stands(from);
        u32::from(port != NO_PORT && port != self.choices[to].port)
    }

    /// How often the port changes from a choice (`None` for the start) along those that follow it.
    pub fn changes_along(&self, before: Option<usize>, choices: impl Iterator<Item = usize>) -> u32 {
        let mut from = before;
        let mut changes = 0;
        for c in choices {
            changes += self.changes(from, c);
            from = Some(c);
        }
        changes
    }

    /// What is lost when a choice is shown right after another (`None` for the start).
    #[inline]
    pub fn loss(&self, from: Option<usize>, to: usize) -> u32 {
        let row = from.map_or(self.classes, |c| self.choices[c].class);
        self.losses[(row * self.classes + self.choices[to].class) as usize]
    }

    /// The greatest loss of all.
    pub fn most_loss(&self) -> u32 {
        self.losses.iter().copied().max().unwrap_or(0)
    }

    /// The exact score of an order and the wishes it breaks.
    pub fn standing(&self, stops: &[Stop]) -> Standing {
        let mut by_kind: Vec<Vec<u32>> = vec![Vec::new(); self.factors.len()];
        let mut on_port = vec![0_u32; self.ports as usize];
        let (mut changes, mut pins, mut loss) = (0, 0, 0);
        let mut from = None;
        for stop in stops {
            let (c, choice) = (stop.choice as usize, &self.choices[stop.choice as usize]);
            by_kind[choice.kind as usize].push(self.value(c, stop.start));
            on_port[choice.port as usize] += 1;
            changes += self.changes(from, c);
            loss += self.loss(from, c);
            pins += u32::from(choice.keeps_pin);
            from = Some(c);
        }
        let mut score = 0;
        for (values, factors) in by_kind.iter_mut().zip(&self.factors) {
            if self.rank_by == RankBy::Value {
                values.sort_unstable_by(|a, b| b.cmp(a));
            }
            score += values
                .iter()
                .enumerate()
                .map(|(r, v)| v * factors[r.min(factors.len() - 1)] / 1000)
                .sum::<u32>();
        }
        let missing: u32 =
            on_port.iter().zip(&self.min_stops).map(|(n, least)| least.saturating_sub(*n)).sum();
        Standing {
            score,
            loss,
            broken: missing + self.pinned.len() as u32 - pins,
            excess: changes.saturating_sub(self.max_changes),
        }
    }
}

/// A place that is left: what all moves from there have in common.
#[derive(Clone, Copy)]
pub(super) struct Leaving<'p> {
    prepared: &'p Prepared,
    /// Where each target stands then.
    axes: &'p [(i32, i32)],
    from: (i32, i32),
    port: u32,
    /// Seconds of the selector to each port; nothing while none is set.
    change_s: &'p [u32],
}

impl Leaving<'_> {
    /// Whether the port changes on the way to a choice.
    #[inline]
    pub fn changes_port(self, to: &Choice) -> bool {
        self.port != NO_PORT && self.port != to.port
    }

    /// Steps until a choice is ready for viewing.
    #[inline]
    pub fn steps(self, to: &Choice) -> u32 {
        let prepared = self.prepared;
        let ((a1, a2), (b1, b2)) = (self.from, self.axes[to.target as usize]);
        let mut d1 = a1.abs_diff(b1);
        if prepared.wrap1 > 0 {
            d1 = d1.min(prepared.wrap1.saturating_sub(d1));
        }
        let mut seconds = prepared.by_rate1.ceil(d1).max(prepared.by_rate2.ceil(a2.abs_diff(b2)));
        let mut focus_s = 0;
        if self.port != to.port
            && let Some(change_s) = self.change_s.get(to.port as usize)
        {
            seconds = seconds.max(*change_s);
            focus_s = to.focus_s;
        }
        prepared.by_step.ceil(seconds + to.after_s + focus_s)
    }
}

/// Value of an option by the step at which it starts, 0 where the evening does not let it.
fn allowed(problem: &Problem, option: &ShowingOption) -> Vec<u16> {
    let mut row = vec![0; problem.steps as usize + 1];
    let from = option.first_start.max(problem.start.step);
    let values = option.values.get((from - option.first_start) as usize..).unwrap_or_default();
    let able = (problem.steps - option.duration + 1 - from).max(0) as usize;
    for (place, value) in row.iter_mut().skip(from as usize).zip(values).take(able) {
        *place = *value;
    }
    for block in &problem.blocks {
        // Overlapping: start < to and start + duration > from.
        let first = (block.from - option.duration + 1).clamp(0, problem.steps + 1);
        let end = block.to.clamp(first, problem.steps + 1);
        row[first as usize..end as usize].fill(0);
    }
    row
}

/// The pins of a target that can be kept together, the earlier ones of the list first.
fn kept_together<'p>(pins: &[&'p Pin], options: &[ShowingOption], rows: &[Vec<u16>]) -> Vec<&'p Pin> {
    let mut kept: Vec<&Pin> = Vec::new();
    for pin in pins {
        kept.push(pin);
        let possible = options.iter().zip(rows).any(|(option, row)| {
            let mut starts = row.iter().zip(0_i64..).filter(|(v, _)| **v > 0).map(|(_, t)| t);
            starts.any(|t| kept.iter().all(|pin| pin.fits(option.port, t)))
        });
        if !possible {
            kept.pop();
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::{Prepared, Stop};
    use crate::arrange::sample;

    #[test]
    fn a_pin_that_cannot_be_kept_leaves_its_target_free() {
        let mut problem = sample::problem();
        problem.pins =
            serde_json::from_str(r#"[{"target": 0, "at": 50}, {"target": 1, "at": 12, "tol": 1}]"#).unwrap();
        let prepared = Prepared::new(&problem);
        assert_eq!(prepared.pinned, [1]);
        let of_one: Vec<_> = prepared.choices.iter().filter(|c| c.target == 1).collect();
        assert_eq!((of_one[0].first, of_one[0].last, of_one[0].keeps_pin), (11, 13, true));
        assert!(of_one[1].breaks_pin && prepared.value(2, 12) == 0 && prepared.value(2, 15) == 300);
        let standing = prepared.standing(&[Stop { choice: 0, start: 2 }]);
        assert_eq!((standing.score, standing.broken, standing.excess), (500, 1, 0));
    }
}
