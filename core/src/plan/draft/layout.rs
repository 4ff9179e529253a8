//! The evening as a problem in whole numbers, and back from its answers to targets, ports and minutes.

use super::desk::Desk;
use super::frame::{Fixed, Frame, Wanted};
use super::given::{blocks, kinds, least_stops, pad_share, room_minutes};
use super::length::{Offer, offer_for, offers};
use super::moves;
use super::scales::{total, weigh};
use super::worth::{TargetWorth, Worth, is_faint};
use crate::arrange::{
    AnswerStop, MOST_VALUE, MOST_VALUE_STEPS, PROBLEM_FORMAT, Pin, Problem, ProblemTarget, RankBy,
    ShowingOption, Solver, Start, judge,
};
use crate::plan::beside::is_in_the_way;
use crate::plan::timing::Stands;
use crate::plan::{RunningOrder, Stop, StopId, lead_s, timings};

/// Positions of the targets are given once in so many minutes.
const POSITION_MINUTES: u32 = 5;
/// A screen after a screen loses so many times what an eyepiece after an eyepiece does: nobody looks through the
/// telescope. Common practice, no source.
const SCREEN_AFTER_SCREEN: f64 = 2.0;
/// Work of the solver to find whether wishes can be met together.
const WORK_ON_WISHES: u64 = 2_000;
/// Minutes of an evening for one stop, as far as a usual stop's worth is reckoned.
const USUAL_STOP_MINUTES: usize = 20;

/// A choice of the problem in the evening's terms.
#[derive(Clone, Copy, Debug)]
pub(super) enum Choice {
    /// The fixed stop of this position.
    Fixed(usize),
    /// Something to be laid out.
    Offer(Offer),
}

/// The problem and what its numbers mean.
pub(super) struct Layout {
    pub(super) problem: Problem,
    /// The minute after doors open, or before it if negative, of step 0.
    first_minute: i64,
    choices: Vec<Vec<Choice>>,
    /// Which target of the problem stands for a wanted one, by its position in the frame.
    pub(super) wanted: Vec<usize>,
    /// The stop of each block of the problem.
    entries: Vec<StopId>,
    /// What each minute of a stop takes in all, with the minutes kept free.
    pad_share: f64,
    /// The longest time there is for a stop, in minutes.
    pub(super) room_minutes: f64,
}

/// The most points of a stop that the solver takes in for an evening of so many steps.
fn most_points(steps: i64) -> i64 {
    (MOST_VALUE_STEPS / steps.max(1)).min(MOST_VALUE)
}

impl Layout {
    pub(super) fn new(desk: Desk<'_>, frame: &Frame, stands: Stands<'_>) -> Self {
        let (ports, port_change_s) = moves::ports(desk);
        let slew = moves::slew(desk);
        let doors_minutes = desk.doors_minutes();
        // Before the first target of all the telescope is made ready while people wait or doors are closed.
        let first_move_s = 36_000 / slew.rate1.min(slew.rate2).max(1)
            + slew.settle_s
            + ports.iter().map(|port| port.focus_s).max().unwrap_or(0)
            + port_change_s.iter().flatten().copied().max().unwrap_or(0)
            + 60;
        let in_good_time = stands.pointing.is_none() && !frame.picked_up;
        let lead_in = if in_good_time { first_move_s / 60 + 1 } else { 0 };
        let first_minute = i64::from(frame.from_minute) - lead_in;
        let pad_share = pad_share(desk, frame);
        let most_pad = 1 + (f64::from(doors_minutes) * pad_share).ceil() as i64;
        let steps = (i64::from(doors_minutes) - first_minute + most_pad).max(1);
        let done_until = frame.done.iter().filter(|stop| stop.show().is_some());
        let done_until = done_until.map(|stop| desk.minute(stop.end()).ceil() as i64 - first_minute).max();
        let (axis1, axis2) = moves::axes_at(desk, stands);
        let start = Start {
            step: done_until.unwrap_or(0).max(0),
            port: stands
                .port
                .and_then(|port| desk.port_index(port))
                .map_or(-1, |port| port.cast_signed() as i64),
            axis1: axis1.into(),
            axis2: axis2.into(),
            class: frame.done.iter().rev().find_map(|stop| desk.showing(stop)).map(|own| class(desk, own)),
        };
        let (entries, blocks) = blocks(desk, frame, first_minute).into_iter().unzip();
        let mut layout = Self {
            problem: Problem {
                format: PROBLEM_FORMAT.to_owned(),
                name: format!("{} {}", desk.evening.date, desk.evening.title),
                step_s: 60,
                steps,
                pos_every: i64::from(POSITION_MINUTES),
                ports,
                port_change_s,
                slew,
                start,
                kinds: kinds(desk, frame),
                blocks,
                targets: Vec::new(),
                pins: Vec::new(),
                excluded: Vec::new(),
                rank_by: RankBy::Value,
                max_port_changes: desk.evening.wishes.most_port_changes.map_or(steps, i64::from),
                min_stops: least_stops(desk, frame),
                in_a_row: Vec::new(),
            },
            first_minute,
            choices: Vec::new(),
            wanted: Vec::new(),
            entries,
            pad_share,
            room_minutes: room_minutes(desk, frame),
        };
        let worth = Worth::new(desk);
        layout.fix(desk, frame, &worth);
        layout.offer_wanted(desk, frame, &worth);
        layout.offer_others(desk, frame, &worth);
        layout.problem.in_a_row = layout.losses(desk);
        layout
    }

    /// The step of a minute after doors open.
    fn step(&self, minute: i64) -> i64 {
        minute - self.first_minute
    }

    /// What a choice of an answer is, and the minute after doors open at which it starts.
    pub(super) fn chosen(&self, stop: AnswerStop) -> (Choice, i64) {
        (self.choices[stop.target][stop.option], stop.start + self.first_minute)
    }

    /// The minutes that an offer takes with those kept free after it.
    fn padded(&self, offer: &Offer) -> i64 {
        i64::from(offer.minutes) + (f64::from(offer.minutes) * self.pad_share).ceil() as i64
    }

    /// Forgets how each target could be laid; what an order is worth does not depend on it.
    pub(super) fn forget_ways(&mut self) {
        self.problem.targets = Vec::new();
        self.choices = Vec::new();
    }

    /// Takes an option out of the problem, so many minutes around a start.
    pub(super) fn take_out(&mut self, stop: AnswerStop, minutes: i64) {
        let option = &mut self.problem.targets[stop.target].options[stop.option];
        let first = option.first_start;
        for (start, value) in (first..).zip(&mut option.values) {
            if (start - stop.start).abs() <= minutes {
                *value = 0;
            }
        }
    }

    /// The targets of the problem that stand for fixed stops.
    pub(super) fn fixed_targets(&self) -> impl Iterator<Item = usize> {
        let fixed = |choices: &Vec<Choice>| matches!(choices.first(), Some(Choice::Fixed(_)));
        let all = self.choices.iter().enumerate();
        all.filter(move |(_, choices)| fixed(choices)).map(|(target, _)| target)
    }

    /// Whether an order is found that shows all of some targets as they are wished, when nothing else is shown, and the
    /// entry of one stop is not there, if given.
    pub(super) fn can_all_be_shown(&self, targets: &[usize], without: Option<StopId>) -> bool {
        let mut problem = self.problem.clone();
        problem.excluded = (0..problem.targets.len()).filter(|target| !targets.contains(target)).collect();
        problem.pins.retain(|pin| targets.contains(&pin.target));
        problem.min_stops.fill(0);
        problem.max_port_changes = problem.steps;
        let blocks = self.entries.iter().zip(&self.problem.blocks);
        problem.blocks =
            blocks.filter(|(entry, _)| Some(**entry) != without).map(|(_, block)| block.clone()).collect();
        let Ok(mut solver) = Solver::new(&problem) else { return false };
        solver.advance(WORK_ON_WISHES);
        judge(&problem, &solver.answer().stops).broken.is_empty()
    }

    fn add_target(&mut self, desk: Desk<'_>, target: usize) -> usize {
        let positions = (self.problem.steps as u32).div_ceil(POSITION_MINUTES);
        let axes = (0..positions).map(|k| {
            let minute = self.first_minute + i64::from(k * POSITION_MINUTES);
            moves::axes(desk, target, desk.prepared.moment_index(desk.instant(minute as f64)))
        });
        let (axis1, axis2) = axes.unzip();
        let own = &desk.materials.catalogue.targets[target];
        self.problem.targets.push(ProblemTarget {
            name: own.id.0.clone(),
            kind: own.kind as usize,
            axis1,
            axis2,
            options: Vec::new(),
        });
        self.choices.push(Vec::new());
        self.choices.len() - 1
    }

    /// What is fixed and shows a target: a target of its own with one start, so that a second stop of the same target
    /// does not matter.
    fn fix(&mut self, desk: Desk<'_>, frame: &Frame, worth: &Worth<'_>) {
        for (position, Fixed { stop, showing }) in frame.fixed.iter().enumerate() {
            let Some((target, port)) = *showing else { continue };
            let at = self.add_target(desk, target);
            let (from, to) =
                (desk.minute(stop.start()).floor() as i64, desk.minute(stop.end()).ceil() as i64);
            let offer = offer_for(desk, (target, port), stop.interval.minutes());
            let start = u32::try_from(from).unwrap_or(0);
            let points = worth.points(&worth.of(target), &offer, start, start, true)[0].max(1);
            let step = self.step(from);
            self.add_option(
                desk,
                at,
                Choice::Fixed(position),
                (target, port),
                (to - from, step, vec![points]),
            );
            let pin = Pin { target: at, port: None, at: Some(step), tol: None };
            self.problem.pins.push(pin);
        }
    }

    fn offer_wanted(&mut self, desk: Desk<'_>, frame: &Frame, worth: &Worth<'_>) {
        let ports = desk.materials.rig.ports.len();
        for Wanted { target, port, .. } in &frame.wanted {
            let at = self.add_target(desk, *target);
            let own = worth.of(*target);
            for port in (0..ports).filter(|own| port.is_none_or(|port| port == *own)) {
                for offer in offers(desk, *target, port, 0.0) {
                    self.add_offer(desk, frame, (at, &own, true), offer, worth);
                }
            }
            self.problem.pins.push(Pin { target: at, port: None, at: None, tol: None });
            self.wanted.push(at);
        }
    }

    fn offer_others(&mut self, desk: Desk<'_>, frame: &Frame, worth: &Worth<'_>) {
        let ports = desk.materials.rig.ports.len();
        for target in 0..desk.materials.catalogue.targets.len() {
            let showable = desk.prepared.availability.get(target).is_some_and(|own| !own.showable.is_empty());
            let wanted = frame.wanted.iter().any(|wanted| wanted.target == target);
            if !showable || wanted || frame.excluded.contains(&target) {
                continue;
            }
            let own = worth.of(target);
            let at = self.add_target(desk, target);
            for port in 0..ports {
                for offer in offers(desk, target, port, self.room_minutes) {
                    self.add_offer(desk, frame, (at, &own, false), offer, worth);
                }
            }
            if self.choices[at].is_empty() {
                self.choices.pop();
                self.problem.targets.pop();
            } else {
                // Of thousands of targets, room to grow fills memory.
                self.choices[at].shrink_to_fit();
                self.problem.targets[at].options.shrink_to_fit();
            }
        }
    }

    /// Adds an offer, if it may start at any minute.
    fn add_offer(
        &mut self,
        desk: Desk<'_>,
        frame: &Frame,
        (at, own, wished): (usize, &TargetWorth, bool),
        offer: Offer,
        worth: &Worth<'_>,
    ) {
        let Some(last) = desk.doors_minutes().checked_sub(offer.minutes) else { return };
        if last < frame.from_minute {
            return;
        }
        let mut points = worth.points(own, &offer, frame.from_minute, last, wished);
        let port = &desk.materials.rig.ports[offer.port];
        for (start, points) in (frame.from_minute..).zip(&mut points).filter(|(_, points)| **points > 0) {
            let interval = offer.interval(desk, start);
            if frame.screen_talks.iter().any(|talk| is_in_the_way(talk, interval, port)) {
                *points = 0;
            }
        }
        if let Some(first) = points.iter().position(|points| *points > 0) {
            let start = self.step(i64::from(frame.from_minute)) + first.cast_signed() as i64;
            let timing = (self.padded(&offer), start, points.split_off(first));
            self.add_option(desk, at, Choice::Offer(offer), (offer.target, offer.port), timing);
        }
    }

    fn add_option(
        &mut self,
        desk: Desk<'_>,
        at: usize,
        choice: Choice,
        (target, port): (usize, usize),
        (duration, first_start, values): (i64, i64, Vec<i64>),
    ) {
        let kind = desk.materials.catalogue.targets[target].kind;
        let most = most_points(self.problem.steps);
        // Points are never negative, and `most` is what a problem may hold.
        let values = values.into_iter().map(|points| points.clamp(0, most) as u16).collect();
        self.choices[at].push(choice);
        self.problem.targets[at].options.push(ShowingOption {
            port,
            duration: duration.max(1),
            lead_s: lead_s(&desk.materials.rig.ports[port], kind).ceil() as i64,
            first_start: first_start.max(0),
            values,
            class: class(desk, (target, port)),
        });
    }

    /// What is lost when one class of stop follows another: a share of what a usual stop of the class is worth.
    fn losses(&self, desk: Desk<'_>) -> Vec<Vec<i64>> {
        let rules = &desk.evening.rules;
        let usual: Vec<f64> = (0..CLASSES).map(|class| self.usual_points(class)).collect();
        let loss = |before: usize, after: usize| {
            let faint = if before & after & FAINT > 0 { f64::from(rules.faint_apart) } else { 0.0 };
            let in_turn = match (before & SCREEN > 0, after & SCREEN > 0) {
                (true, true) => SCREEN_AFTER_SCREEN * f64::from(rules.in_turn),
                (false, false) => f64::from(rules.in_turn),
                _ => 0.0,
            };
            let loss = ((faint + in_turn).min(100.0) / 100.0 * usual[after]).round() as i64;
            loss.min(most_points(self.problem.steps))
        };
        (0..CLASSES).map(|before| (0..CLASSES).map(|after| loss(before, after)).collect()).collect()
    }

    /// What a usual stop of a class is worth: the mean of the best ones, as many as an evening holds.
    fn usual_points(&self, class: usize) -> f64 {
        let of_class = self.problem.targets.iter().filter_map(|target| {
            let options = target.options.iter().filter(|option| option.class == class);
            options.flat_map(|option| option.values.iter().copied()).max()
        });
        let mut best: Vec<u16> = of_class.collect();
        best.sort_unstable_by(|one, other| other.cmp(one));
        best.truncate((self.problem.steps as usize / USUAL_STOP_MINUTES).max(1));
        best.iter().map(|points| f64::from(*points)).sum::<f64>() / best.len().max(1) as f64
    }

    /// What an order is worth by the measure of the problem, drafted or made by hand; what the problem does not know
    /// counts nothing.
    pub(super) fn worth_of(&self, desk: Desk<'_>, order: &RunningOrder) -> i64 {
        let worth = Worth::new(desk);
        let stops = order.stops().iter().filter(|stop| self.is_laid(desk, stop));
        let weighed = stops.filter_map(|stop| {
            let showing = desk.showing(stop)?;
            Some(weigh(desk, &worth, &worth.of(showing.0), showing, stop.interval))
        });
        total(&self.problem, &weighed.collect::<Vec<_>>())
    }

    /// Whether an order leaves as much time free after each stop as the problem asks for.
    pub(super) fn keeps_time_to_spare(&self, desk: Desk<'_>, order: &RunningOrder) -> bool {
        let timings = timings(order, desk.prepared, desk.materials);
        let beside = |stop: &Stop| stop.is_screen_talk();
        let one_by_one = order.stops().iter().zip(&timings).filter(|(stop, _)| !beside(stop));
        let one_by_one: Vec<_> = one_by_one.collect();
        one_by_one.windows(2).all(|pair| {
            let [(stop, _), (next, timing)] = pair else { return true };
            let Some(showing) = desk.showing(stop).filter(|_| self.is_laid(desk, stop)) else { return true };
            let offer = offer_for(desk, showing, stop.interval.minutes());
            let asked = self.padded(&offer) - i64::from(offer.minutes);
            // A move that runs during an entry leaves all the time before the entry free.
            let gap = next.start().minutes_since(stop.end());
            let free = if next.show().is_some() { timing.free_minutes } else { gap };
            free + 1e-6 >= asked as f64
        })
    }

    /// Whether a stop belongs to what the problem lays out, not to what was done before.
    pub(super) fn is_laid(&self, desk: Desk<'_>, stop: &Stop) -> bool {
        let step = self.step(desk.minute(stop.start()).round() as i64);
        step >= self.problem.start.step
    }
}

/// Bits of a class.
pub(super) const FAINT: usize = 1;
pub(super) const SCREEN: usize = 2;
const CLASSES: usize = 4;

/// What a stop is to the one before and after it.
pub(super) fn class(desk: Desk<'_>, (target, port): (usize, usize)) -> usize {
    let faint = if is_faint(desk.materials.catalogue.targets[target].kind) { FAINT } else { 0 };
    let screen = if desk.materials.rig.ports[port].is_eyepiece() { 0 } else { SCREEN };
    faint | screen
}
