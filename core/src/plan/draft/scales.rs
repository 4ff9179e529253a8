//! What any stop counts in any order, by the measure of the draft: for whoever explains an order or changes it by hand.

use std::cell::OnceCell;
use std::cmp::Reverse;

use super::desk::Desk;
use super::layout::{Choice, FAINT, Layout, SCREEN, class};
use super::length::{offer_for, offers};
use super::worth::{TargetWorth, Worth};
use crate::arrange::{AnswerStop, Problem};
use crate::catalogue::Kind;
use crate::plan::{OrderRule, Stop};
use crate::time::{Instant, Interval};

/// A stop as it counts in an order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::plan) struct Weighed {
    /// Position of its target in the catalogue.
    pub(in crate::plan) target: usize,
    /// When it starts.
    pub(in crate::plan) start: Instant,
    /// What it is worth by itself, in points.
    pub(in crate::plan) points: i64,
    kind: Kind,
    class: usize,
}

impl Weighed {
    /// Whether it shows a faint smudge.
    pub(in crate::plan) const fn is_faint(&self) -> bool {
        self.class & FAINT > 0
    }

    /// Whether it is shown on a screen.
    pub(in crate::plan) const fn on_screen(&self) -> bool {
        self.class & SCREEN > 0
    }
}

/// What showing a target on a port over an interval counts by itself; 0 where the target may not be shown.
pub(super) fn weigh(
    desk: Desk<'_>,
    worth: &Worth<'_>,
    own: &TargetWorth,
    (target, port): (usize, usize),
    interval: Interval,
) -> Weighed {
    let offer = offer_for(desk, (target, port), interval.minutes());
    let start = desk.minute(interval.start()).round().max(0.0) as u32;
    let minute = start.min(desk.doors_minutes().saturating_sub(offer.minutes));
    Weighed {
        target,
        start: interval.start(),
        points: worth.points(own, &offer, minute, minute, true)[0],
        kind: desk.materials.catalogue.targets[target].kind,
        class: class(desk, (target, port)),
    }
}

/// What stops are worth together, in the order in which they are shown; a target counts once.
pub(super) fn total(problem: &Problem, stops: &[Weighed]) -> i64 {
    let (mut by_kind, mut last) = (Vec::with_capacity(stops.len()), problem.start.class);
    let mut lost = 0;
    for (position, stop) in stops.iter().enumerate() {
        if stops[..position].iter().any(|earlier| earlier.target == stop.target) {
            continue;
        }
        by_kind.push((stop.kind as usize, Reverse(stop.points)));
        lost += last.map_or(0, |last| problem.in_a_row[last][stop.class]);
        last = Some(stop.class);
    }
    by_kind.sort_unstable();
    let (mut rank, mut kind_before, mut sum) = (0, None, 0);
    for (kind, Reverse(points)) in by_kind {
        rank = if kind_before == Some(kind) { rank + 1 } else { 0 };
        kind_before = Some(kind);
        let factors = &problem.kinds[kind].factors;
        sum += points * factors[rank.min(factors.len() - 1)] / 1000;
    }
    sum - lost
}

/// A target on a port for some minutes, with its points by the minute after doors open at which it starts.
pub(in crate::plan) struct Way<'s> {
    /// Position of the port on the rig.
    pub(in crate::plan) port: usize,
    /// How long, in minutes.
    pub(in crate::plan) minutes: u32,
    /// The minute after doors open that the first of `points` belongs to.
    pub(in crate::plan) first_minute: i64,
    /// Points by itself; 0 where it may not start or shows poorly.
    pub(in crate::plan) points: &'s [u16],
}

/// The measure of a draft, applied to whatever is asked.
pub(in crate::plan) struct Scales<'s> {
    desk: Desk<'s>,
    layout: &'s Layout,
    worth: Worth<'s>,
    known: Vec<OnceCell<TargetWorth>>,
    /// Which target of the problem stands for one of the catalogue that is not fixed.
    laid: Vec<Option<usize>>,
}

impl<'s> Scales<'s> {
    pub(super) fn new(desk: Desk<'s>, layout: &'s Layout) -> Self {
        let known: Vec<OnceCell<TargetWorth>> =
            desk.prepared.tracks.iter().map(|_| OnceCell::new()).collect();
        let mut laid = vec![None; known.len()];
        for (own, target) in layout.problem.targets.iter().enumerate() {
            let first = target.options.first().map(|_| AnswerStop { target: own, option: 0, start: 0 });
            if let Some((Choice::Offer(offer), _)) = first.map(|first| layout.chosen(first)) {
                laid[offer.target] = Some(own);
            }
        }
        Self { desk, layout, worth: Worth::new(desk), known, laid }
    }

    fn target(&self, target: usize) -> &TargetWorth {
        self.known[target].get_or_init(|| self.worth.of(target))
    }

    /// What showing a target on a port over an interval counts by itself; 0 where the target may not be shown.
    pub(in crate::plan) fn weigh(&self, showing: (usize, usize), interval: Interval) -> Weighed {
        weigh(self.desk, &self.worth, self.target(showing.0), showing, interval)
    }

    /// A stop of an order as it counts; `None` for an entry and for what catalogue or rig don't have.
    pub(in crate::plan) fn weigh_stop(&self, stop: &Stop) -> Option<Weighed> {
        let showing = self.desk.showing(stop).filter(|_| self.layout.is_laid(self.desk, stop))?;
        Some(self.weigh(showing, stop.interval))
    }

    /// What stops are worth together, in the order in which they are shown; a target counts once.
    pub(in crate::plan) fn total(&self, stops: &[Weighed]) -> i64 {
        total(&self.layout.problem, stops)
    }

    /// The rules that speak for a target at a time, by itself or for what it is: those that make it count more there.
    pub(in crate::plan) fn favours(&self, target: usize, interval: Interval) -> Vec<OrderRule> {
        let (start, end) = (self.desk.minute(interval.start()), self.desk.minute(interval.end()));
        let favours = self.worth.favours(self.target(target), start, end);
        favours.into_iter().filter(|(_, more)| *more > 0.0).map(|(rule, _)| rule).collect()
    }

    /// The shortest stop in which the draft would show a target on a port, in minutes; `None` on a port out of service.
    pub(in crate::plan) fn shortest_minutes(&self, target: usize, port: usize) -> Option<u32> {
        let id = &self.desk.materials.catalogue.targets[target].id;
        let must_come = self.desk.evening.wishes.must_show.contains(id);
        let room_minutes = if must_come { 0.0 } else { self.layout.room_minutes };
        Some(offers(self.desk, target, port, room_minutes).first()?.minutes)
    }

    /// Every way in which the draft may lay a target that nothing held shows; none for one that it may not.
    pub(in crate::plan) fn ways(&self, target: usize) -> Vec<Way<'_>> {
        let Some(own) = self.laid[target] else { return Vec::new() };
        let options = self.layout.problem.targets[own].options.iter().enumerate();
        let ways = options.filter_map(|(option, showing)| {
            let answer = AnswerStop { target: own, option, start: showing.first_start };
            let (Choice::Offer(offer), first_minute) = self.layout.chosen(answer) else { return None };
            Some(Way { port: offer.port, minutes: offer.minutes, first_minute, points: &showing.values })
        });
        ways.collect()
    }
}
