//! A draft under way: the solver driven, its answers laid out, what can't be laid taken out of the problem.

use std::cell::OnceCell;
use std::cmp::Reverse;

use super::desk::Desk;
use super::frame::Frame;
use super::given_up::{GivenUp, GivenUpWhy, Wish};
use super::layout::{Choice, Layout};
use super::measure::as_problem;
use super::pick_up::PickUp;
use super::scales::Scales;
use super::understudy;
use crate::arrange::{AnswerStop, Problem, Solver};
use crate::plan::timing::Stands;
use crate::plan::{Evening, Held, Materials, Prepared, Rule, RunningOrder, Stop, StopId};

/// Work between two looks at whether an answer can be laid.
const WORK_AT_ONCE: u64 = 4_000;
/// So often what could not be laid is taken out of the problem and the rest arranged anew.
const MOST_MENDINGS: u32 = 8;
/// Minutes on both sides of a start that could not be laid which are taken out with it.
const REFUSED_MINUTES: i64 = 5;

/// What a draft has come to.
#[derive(Clone, Debug, PartialEq)]
pub struct Drafted {
    /// The running order.
    pub order: RunningOrder,
    /// Wishes that could not be kept.
    pub given_up: Vec<GivenUp>,
    /// What it is worth, in points.
    pub worth: i64,
    /// No order that a draft can lay, keeping the wishes kept here, is worth more, in points: stops on whole minutes, of
    /// the lengths that are offered, with the minutes kept free after each. [`i64::MAX`] where nothing is known.
    pub most: i64,
}

impl Drafted {
    /// By how much a better draft could be better at most, as a share of this one; 0 when this is the best there is.
    pub fn gap(&self) -> f64 {
        (self.most - self.worth).max(0) as f64 / self.worth.max(1) as f64
    }
}

/// A draft under way: better the more effort it is given.
///
/// * A stop held in time stays as it is; one held only in its port keeps the port and may move. Fixed entries stand at
///   their clock time. Must-show targets come in.
/// * Wishes that can't be met or contradict each other are given up, as few as found, and told in
///   [`Drafted::given_up`].
/// * A stop counts by the target's appeal, its view at the worst minute, the share of the house it serves and the rules
///   of [`OrderRules`](crate::plan::OrderRules), and less for the same kind again.
/// * An eyepiece stop gets the time that serves everybody. Only where the longest room of the evening is too short for
///   that, or for a must-show target, it may get less, from 40 % on, and is then lengthened by free minutes beyond the
///   slack that is wished; the check tells with a Caution where it stays short.
/// * The draft never causes a Stopper: windows, limits, moves and the Sun's exclusion are kept.
pub struct Drafting<'d> {
    desk: Desk<'d>,
    frame: Frame,
    layout: Layout,
    stands: Stands<'d>,
    solver: Solver,
    /// The solver of the problem as it was before anything was taken out, for the bound.
    whole: Option<Solver>,
    mendings: u32,
    best: Option<Best>,
}

/// The best order so far.
struct Best {
    order: RunningOrder,
    worth: i64,
    /// What is fixed and stopped nevertheless, with the rule it broke.
    lost: Vec<(StopId, Rule)>,
    /// How many wishes it breaks.
    broken: usize,
    /// The same order with understudies, and what was given up; found when it is asked for.
    told: OnceCell<(RunningOrder, Vec<GivenUp>)>,
}

impl<'d> Drafting<'d> {
    /// Begins; the first order is there after the first [`Drafting::advance`], however little work that is given.
    ///
    /// * `pick_up`: where an evening that has begun is picked up again.
    pub fn new(
        evening: &'d Evening,
        prepared: &'d Prepared,
        materials: &'d Materials<'d>,
        pick_up: Option<&PickUp>,
    ) -> Self {
        let desk = Desk { evening, prepared, materials };
        let (frame, stands, layout) = as_problem(desk, pick_up);
        let solver = solver(&layout.problem);
        Self { desk, frame, layout, stands, solver, whole: None, mendings: 0, best: None }
    }

    /// The evening as a problem in whole numbers.
    pub const fn problem(&self) -> &Problem {
        &self.layout.problem
    }

    /// Looks for a better order for about so much work; whether it found one.
    pub fn advance(&mut self, work: u64) -> bool {
        let before = self.best.as_ref().map(|best| best.worth);
        let mut left = work;
        loop {
            let part = left.min(WORK_AT_ONCE);
            let found = self.solver.advance(part);
            left -= part;
            if found || self.best.is_none() {
                self.lay_out();
            }
            if left == 0 {
                return self.best.as_ref().map(|best| best.worth) != before;
            }
        }
    }

    /// Brings the bound down by about so much work; `false` once it can't come lower.
    pub fn advance_bound(&mut self, work: u64) -> bool {
        self.whole.as_mut().unwrap_or(&mut self.solver).advance_bound(work)
    }

    /// What it has come to.
    pub fn drafted(&self) -> Drafted {
        let Some(best) = &self.best else {
            return Drafted {
                order: RunningOrder::default(),
                given_up: Vec::new(),
                worth: 0,
                most: i64::MAX,
            };
        };
        let (order, given_up) = best.told.get_or_init(|| {
            let done: Vec<StopId> = self.frame.done.iter().map(|stop| stop.id).collect();
            let order = understudy::assign(self.desk, &self.scales(), &best.order, &done);
            (order, self.given_up(best))
        });
        let most = self.most(best).max(best.worth);
        Drafted { order: order.clone(), given_up: given_up.clone(), worth: best.worth, most }
    }

    /// The bound, where it holds for the wishes that an order keeps: the solver's is for those that its own answer keeps.
    fn most(&self, best: &Best) -> i64 {
        let answer = self.whole.as_ref().unwrap_or(&self.solver).answer();
        let shown = self.shown(&best.order);
        let lacks = self.layout.wanted.iter().zip(&self.frame.wanted).any(|(own, wanted)| {
            answer.stops.iter().any(|stop| stop.target == *own) && !shown.contains(&wanted.target)
        });
        let answered = answer
            .stops
            .iter()
            .map(|stop| self.layout.problem.targets[stop.target].options[stop.option].port);
        let fewer = self.missing_on_ports(&mut self.ports(&best.order))
            > self.missing_on_ports(&mut answered.into_iter());
        if lacks || fewer || !best.lost.is_empty() { i64::MAX } else { answer.bound }
    }

    /// What any order of the evening is worth by the same measure, in points.
    pub fn worth_of(&self, order: &RunningOrder) -> i64 {
        self.layout.worth_of(self.desk, order)
    }

    /// Whether an order leaves as much time free after each stop as a draft does, before the move to the next.
    pub fn keeps_time_to_spare(&self, order: &RunningOrder) -> bool {
        self.layout.keeps_time_to_spare(self.desk, order)
    }

    /// The order that it has come to, without understudies, and what that is worth.
    pub(in crate::plan) fn best_so_far(&self) -> (RunningOrder, i64) {
        self.best.as_ref().map(|best| (best.order.clone(), best.worth)).unwrap_or_default()
    }

    /// The measure of this draft, for whatever is asked of its evening.
    pub(in crate::plan) fn scales(&self) -> Scales<'_> {
        Scales::new(self.desk, &self.layout)
    }

    /// Lays the solver's answer out; what can't be laid is taken out of the problem, and the solver begins again.
    fn lay_out(&mut self) {
        loop {
            let answer = self.solver.answer();
            let laid = self.desk.lay(&self.frame, &self.layout, &answer.stops, self.stands);
            let refused = laid.refused;
            let (order, lost) = self.finished(laid.stops);
            let worth = self.layout.worth_of(self.desk, &order);
            let broken = self.broken(&order, &lost);
            let rank = |broken: usize, worth: i64| (Reverse(broken), worth);
            if self.best.as_ref().is_none_or(|best| rank(broken, worth) > rank(best.broken, best.worth)) {
                self.best = Some(Best { order, worth, lost, broken, told: OnceCell::new() });
            }
            if refused.is_empty() || self.mendings >= MOST_MENDINGS {
                return;
            }
            self.mendings += 1;
            if self.whole.is_none() {
                self.whole = Some(self.solver.clone());
            }
            for stop in refused {
                self.layout.take_out(stop, REFUSED_MINUTES);
            }
            self.solver = solver(&self.layout.problem);
            self.solver.advance(0);
        }
    }

    fn finished(&self, stops: Vec<Stop>) -> (RunningOrder, Vec<(StopId, Rule)>) {
        let is_held = |stop: &&Stop| stop.held != Held::default() || stop.show().is_none();
        let ids = |stops: &mut dyn Iterator<Item = &Stop>| stops.map(|stop| stop.id).collect::<Vec<StopId>>();
        let done = ids(&mut self.frame.done.iter());
        let fixed = ids(&mut self.frame.fixed.iter().map(|fixed| &fixed.stop));
        let (stops, lost) = self.desk.without_stoppers(stops, &fixed, &done);
        let mut kept = ids(&mut stops.iter().filter(is_held));
        kept.extend(fixed.into_iter().chain(done));
        (RunningOrder::new(self.desk.lengthened(stops, &kept)), lost)
    }

    /// How many wishes an order breaks.
    fn broken(&self, order: &RunningOrder, lost: &[(StopId, Rule)]) -> usize {
        let shown = self.shown(order);
        let wanted = self.frame.wanted.iter().filter(|wanted| !shown.contains(&wanted.target));
        lost.len() + wanted.count() + self.missing_on_ports(&mut self.ports(order))
    }

    /// Targets that an order shows, by their positions in the catalogue.
    fn shown(&self, order: &RunningOrder) -> Vec<usize> {
        order.stops().iter().filter_map(|stop| Some(self.desk.showing(stop)?.0)).collect()
    }

    /// The ports of an order's stops, what is done apart, by their positions on the rig.
    fn ports(&self, order: &RunningOrder) -> impl Iterator<Item = usize> {
        let open = order.stops().iter().filter(|stop| self.frame.done.iter().all(|done| done.id != stop.id));
        open.filter_map(|stop| Some(self.desk.showing(stop)?.1))
    }

    /// How many stops are missing on ports that are to have more.
    fn missing_on_ports(&self, ports: &mut dyn Iterator<Item = usize>) -> usize {
        let mut missing: Vec<i64> = self.layout.problem.min_stops.clone();
        for port in ports {
            missing[port] -= 1;
        }
        missing.into_iter().map(|stops| usize::try_from(stops).unwrap_or(0)).sum()
    }

    /// The wishes that an order does not keep.
    fn given_up(&self, best: &Best) -> Vec<GivenUp> {
        let mut given_up = self.frame.given_up.clone();
        let shown = |target: usize| {
            let mut stops = best.order.stops().iter();
            stops.any(|stop| self.desk.showing(stop).is_some_and(|showing| showing.0 == target))
        };
        for (position, wanted) in self.frame.wanted.iter().enumerate() {
            if !shown(wanted.target) {
                let why = self.why_given_up(position);
                given_up.push(GivenUp { wish: wanted.wish.clone(), why });
            }
        }
        for (stop, rule) in &best.lost {
            let fixed = self.frame.fixed.iter().map(|fixed| &fixed.stop).chain(&self.frame.screen_talks);
            let wishes = fixed.filter(|fixed| fixed.id == *stop).cloned().map(Wish::Stop);
            given_up.extend(wishes.map(|wish| GivenUp { wish, why: GivenUpWhy::Rule(rule.clone()) }));
        }
        given_up
    }

    /// Why a wanted target is not shown: it never could be, an entry takes its time, or what else is wished leaves it no
    /// place that was found.
    fn why_given_up(&self, wanted: usize) -> GivenUpWhy {
        let own = self.layout.wanted[wanted];
        if self.layout.problem.targets[own].options.is_empty() {
            return GivenUpWhy::Never;
        }
        if !self.layout.can_all_be_shown(&[own], None) {
            let entries =
                self.frame.fixed.iter().map(|fixed| &fixed.stop).filter(|stop| stop.show().is_none());
            let in_the_way = entries.filter(|entry| self.layout.can_all_be_shown(&[own], Some(entry.id)));
            let in_the_way: Vec<Wish> = in_the_way.cloned().map(Wish::Stop).collect();
            return if in_the_way.is_empty() { GivenUpWhy::Never } else { GivenUpWhy::Against(in_the_way) };
        }
        // Left out one by one: what it finds no place without does not matter.
        let fixed = self.layout.fixed_targets();
        let mut against: Vec<usize> =
            self.layout.wanted.iter().copied().filter(|other| *other != own).chain(fixed).collect();
        let everything: Vec<usize> = against.iter().copied().chain([own]).collect();
        if self.layout.can_all_be_shown(&everything, None) {
            return GivenUpWhy::Moves;
        }
        let mut position = 0;
        while position < against.len() {
            let left_out = against.remove(position);
            let with: Vec<usize> = against.iter().copied().chain([own]).collect();
            if self.layout.can_all_be_shown(&with, None) {
                against.insert(position, left_out);
                position += 1;
            }
        }
        GivenUpWhy::Against(against.into_iter().filter_map(|target| self.wish_of(target)).collect())
    }

    /// The wish that a target of the problem stands for.
    fn wish_of(&self, target: usize) -> Option<Wish> {
        if let Some(position) = self.layout.wanted.iter().position(|wanted| *wanted == target) {
            return Some(self.frame.wanted[position].wish.clone());
        }
        match self.layout.chosen(AnswerStop { target, option: 0, start: 0 }).0 {
            Choice::Fixed(position) => Some(Wish::Stop(self.frame.fixed[position].stop.clone())),
            Choice::Offer(_) => None,
        }
    }
}

fn solver(problem: &Problem) -> Solver {
    Solver::new(problem).expect("an evening makes a sound problem")
}
