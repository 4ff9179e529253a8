//! Why a stop stands where it does: why this target, why now, why through this port, and for how many.

use super::scene::Scene;
use super::understudy::Understudy;
use crate::catalogue::TargetId;
use crate::plan::check::POOR_VIEW;
use crate::plan::draft::Weighed;
use crate::plan::{Limit, OrderRule, Stop, StopId, WhyNot, why_not_now};
use crate::rig::PortId;
use crate::time::{Instant, Interval};
use crate::units::Fraction;

/// A target that can be shown for no longer than so many minutes more than its stop has no other time.
const HARDLY_LONGER_MINUTES: f64 = 15.0;
/// What can be shown for no more than so many minutes after its stop goes soon.
const SOON_MINUTES: f64 = 60.0;
/// A view of at least this share of the best one is as good.
const AS_GOOD: f64 = 0.95;
/// A time at which a stop counts so many times as much is a better one.
const CLEARLY_BETTER: f64 = 1.05;

/// Why a stop is as it is.
#[derive(Clone, Debug, PartialEq)]
pub struct StopReason {
    /// The stop.
    pub stop: StopId,
    /// What the evening is worth more with it than without, in points.
    pub adds: i64,
    /// The same as a share of what the order is worth.
    pub adds_share: f64,
    /// The best that could stand there instead and serve nearly as many; `None` where nothing else could.
    pub rival: Option<Rival>,
    /// What speaks for its time, the strongest first; empty where it could as well stand at another.
    pub now: Vec<WhyNow>,
    /// Why through this port.
    pub port: WhyPort,
    /// For whom.
    pub people: People,
    /// What could best stand in for it.
    pub understudy: Option<Understudy>,
}

/// A target that could stand at a stop's time in its place, moves and all.
#[derive(Clone, Debug, PartialEq)]
pub struct Rival {
    /// Which.
    pub target: TargetId,
    /// Through which port.
    pub port: PortId,
    /// What the evening would be worth more with it there than with nothing, in points.
    pub adds: i64,
    /// The same as a share of what the order is worth.
    pub adds_share: f64,
    /// By what share the stop adds more than this would; less than 0 where this would add more.
    pub beaten_by: f64,
}

/// What speaks for a stop's time.
#[derive(Clone, Debug, PartialEq)]
pub enum WhyNow {
    /// The user holds it there.
    Held,
    /// It shows at hardly any other time of the evening.
    OnlyTime {
        /// From the first to the last minute at which a port in service shows it no worse than poorly.
        window: Interval,
    },
    /// It can't be shown much longer after it.
    BeforeItGoes {
        /// The last minute at which it may be shown.
        last: Instant,
        /// What then forbids it.
        limit: Limit,
    },
    /// At no time while doors are open is its view through this port noticeably better for as long.
    NearBest,
    /// One of the trade's rules speaks for this time, and is switched on.
    Rule(OrderRule),
    /// It would count more at another time, which another stop takes.
    BestTaken {
        /// The start at which it would count most.
        at: Instant,
        /// The stop that stands there.
        by: StopId,
        /// By what share it would count more.
        more: f64,
    },
}

/// Why a stop is shown through its port.
#[derive(Clone, Debug, PartialEq)]
pub struct WhyPort {
    /// The port.
    pub port: PortId,
    /// Whether the user holds it.
    pub held: bool,
    /// Whether visitors look with their own eyes.
    pub own_eye: bool,
    /// The view through it at the worst minute.
    pub view: Fraction,
    /// The best other port for the same minutes; `None` where no other could show it then to nearly as many.
    pub other: Option<OtherPort>,
}

/// Another port through which a stop could be shown.
#[derive(Clone, Debug, PartialEq)]
pub struct OtherPort {
    /// Which.
    pub port: PortId,
    /// The view through it at the worst minute.
    pub view: Fraction,
    /// By how much the order would be worth more with it, in points; mostly less than 0.
    pub change: i64,
    /// The same as a share of what the order is worth.
    pub change_share: f64,
}

/// Who sees a stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct People {
    /// How many visitors look.
    pub looking: u32,
    /// How many take part: at an eyepiece all but those who skip it.
    pub of: u32,
    /// How long the stop is, in minutes.
    pub minutes: f64,
    /// Whether they look all together, at a screen.
    pub together: bool,
}

/// Reasons of all stops that show something known and are not done.
pub(super) fn all(scene: &Scene<'_>) -> Vec<StopReason> {
    let open = scene.stops().iter().filter(|stop| !scene.is_done(stop.id));
    open.filter_map(|stop| scene.reason(stop)).collect()
}

impl Scene<'_> {
    fn reason(&self, stop: &Stop) -> Option<StopReason> {
        let (target, port) = self.showing(stop)?;
        let without = self.worth_with(Some(stop.id), None);
        let adds = self.worth - without;
        let candidates = self.candidates(stop);
        let rival = self.first_legal(stop, candidates.iter().copied()).map(|rival| {
            let rival_adds = rival.worth - without;
            Rival {
                target: self.materials.catalogue.targets[rival.target].id.clone(),
                port: self.materials.rig.ports[rival.port].id.clone(),
                adds: rival_adds,
                adds_share: self.share(rival_adds),
                beaten_by: more_than(adds, rival_adds),
            }
        });
        let others = self.stops().iter().filter(|other| other.id != stop.id);
        let used: Vec<TargetId> = others.filter_map(|other| other.show()?.understudy.clone()).collect();
        Some(StopReason {
            stop: stop.id,
            adds,
            adds_share: self.share(adds),
            rival,
            now: self.why_now(stop, (target, port)),
            port: self.why_port(stop, (target, port)),
            people: self.people(stop, (target, port)),
            understudy: self.understudy_of(stop, &candidates, &used),
        })
    }

    fn why_port(&self, stop: &Stop, (target, port): (usize, usize)) -> WhyPort {
        let others = self.on_each_port(stop, target).into_iter().filter(|other| other.port != port);
        let other = self.first_legal(stop, others);
        let ports = &self.materials.rig.ports;
        let view = |port: usize| Fraction::clamped(self.view((target, port), stop.interval));
        WhyPort {
            port: ports[port].id.clone(),
            held: stop.held.port,
            own_eye: ports[port].is_eyepiece(),
            view: view(port),
            other: other.map(|other| OtherPort {
                port: ports[other.port].id.clone(),
                view: view(other.port),
                change: other.worth - self.worth,
                change_share: self.share(other.worth - self.worth),
            }),
        }
    }

    fn people(&self, stop: &Stop, (target, port): (usize, usize)) -> People {
        let house = &self.evening.house;
        let together = !self.materials.rig.ports[port].is_eyepiece();
        // Nobody skips what is on a screen for all.
        let share = if together { 1.0 } else { house.share_taking_part() };
        let all = f64::from(house.visitors) * share;
        let served = if together { 1.0 } else { self.served((target, port), stop.interval) };
        People {
            looking: (all * served).round() as u32,
            of: all.round() as u32,
            minutes: stop.interval.minutes(),
            together,
        }
    }

    fn why_now(&self, stop: &Stop, showing: (usize, usize)) -> Vec<WhyNow> {
        let mut now = Vec::new();
        if stop.held.time {
            now.push(WhyNow::Held);
        }
        if let Some(window) = self.only_time(stop, showing.0) {
            now.push(WhyNow::OnlyTime { window });
        }
        if let Some((last, limit)) = self.goes_soon(stop, showing.0) {
            now.push(WhyNow::BeforeItGoes { last, limit });
        }
        now.extend(self.rules_for(stop, showing).into_iter().map(WhyNow::Rule));
        if self.is_near_best(stop, showing) {
            now.push(WhyNow::NearBest);
        }
        now.extend(self.best_taken(stop, showing));
        now
    }

    /// From the first to the last minute at which a port in service shows a target no worse than poorly, if those
    /// minutes are hardly more than its stop has.
    fn only_time(&self, stop: &Stop, target: usize) -> Option<Interval> {
        let prepared = self.prepared;
        let runs = prepared.availability[target].showable.as_slice();
        let moments = runs.iter().flat_map(|run| {
            let (first, last) = (prepared.moment_index(run.start()), prepared.moment_index(run.end()));
            first..=last
        });
        let shows = |moment: &usize| {
            let at = prepared.moments[*moment].instant;
            let minute = Interval::new(at, at);
            minute
                .is_some_and(|minute| self.ports().any(|port| self.view((target, port), minute) >= POOR_VIEW))
        };
        let shown: Vec<usize> = moments.filter(shows).collect();
        let (first, last) = (*shown.first()?, *shown.last()?);
        let window = Interval::new(prepared.moments[first].instant, prepared.moments[last].instant)?;
        let hardly_longer = window.minutes() <= stop.interval.minutes() + HARDLY_LONGER_MINUTES;
        (hardly_longer && window.covers(stop.interval)).then_some(window)
    }

    /// The last minute at which a target may be shown and what then forbids it, if that is soon after its stop and before
    /// doors close.
    fn goes_soon(&self, stop: &Stop, target: usize) -> Option<(Instant, Limit)> {
        let runs = self.prepared.availability[target].allowed.as_slice();
        let run = runs.iter().find(|run| run.covers(stop.interval))?;
        let soon = run.end().minutes_since(stop.end()) <= SOON_MINUTES;
        let is_last = runs.last() == Some(run);
        let after = run.end().plus_minutes(1.0);
        if !soon || !is_last || after > self.prepared.doors.end() {
            return None;
        }
        match why_not_now(self.prepared, self.materials, target, after) {
            Some(WhyNot::Limit { limit, .. }) => Some((run.end(), limit)),
            _ => None,
        }
    }

    /// Whether the view at the worst minute is about as good as it ever is for as long on the same port.
    fn is_near_best(&self, stop: &Stop, showing: (usize, usize)) -> bool {
        let view = self.view(showing, stop.interval);
        let open = self.prepared.doors.start();
        let best = self.best_start(stop, open, |interval| self.view(showing, interval));
        view > 0.0 && best.is_some_and(|(_, best)| view >= AS_GOOD * best)
    }

    /// The rules that are switched on and speak for a stop where it stands.
    fn rules_for(&self, stop: &Stop, (target, port): (usize, usize)) -> Vec<OrderRule> {
        let rules = &self.evening.rules;
        let favours = self.scales.favours(target, stop.interval).into_iter();
        // Nearly everything will set some time: only what goes before all that follow goes first.
        let mut found: Vec<OrderRule> = favours.filter(|rule| *rule != OrderRule::SetsFirst).collect();
        let position = self.stops().iter().position(|own| own.id == stop.id);
        let (before, after) = self.stops().split_at(position.unwrap_or(0));
        let last = |target: usize| {
            self.prepared.availability[target].showable.as_slice().last().map(|run| run.end())
        };
        let mut follow = after.iter().skip(1).filter_map(|stop| self.showing(stop)).peekable();
        let follows = follow.peek().is_some();
        let goes_first = last(target).is_some_and(|own| own < self.prepared.doors.end())
            && follow.all(|(other, _)| last(other) > last(target));
        if rules.sets_first > 0 && follows && goes_first {
            found.push(OrderRule::SetsFirst);
        }
        let own = self.scales.weigh((target, port), stop.interval);
        let weighed = |(target, port)| self.scales.weigh((target, port), stop.interval);
        let others = |stops: &[Stop]| {
            stops.iter().filter_map(|stop| self.showing(stop)).map(weighed).collect::<Vec<_>>()
        };
        let (before, after) = (others(before), others(&after[after.len().min(1)..]));
        let beside: Vec<_> = before.last().into_iter().chain(after.first()).collect();
        let faint_elsewhere = before.iter().chain(&after).any(Weighed::is_faint);
        if rules.faint_apart > 0
            && own.is_faint()
            && faint_elsewhere
            && beside.iter().all(|other| !other.is_faint())
        {
            found.push(OrderRule::FaintApart);
        }
        let in_turn = before.last().is_some_and(|other| other.on_screen() != own.on_screen());
        if rules.in_turn > 0 && in_turn {
            found.push(OrderRule::InTurn);
        }
        found
    }

    /// The start from an instant on at which something is most for a stop of this length where it may be shown, and how
    /// much; the first of equals.
    fn best_start(&self, stop: &Stop, from: Instant, of: impl Fn(Interval) -> f64) -> Option<(Instant, f64)> {
        let (target, _) = self.showing(stop)?;
        let prepared = self.prepared;
        let length_s = stop.interval.seconds();
        let starts = (0..=prepared.doors.minutes() as u32).filter_map(|minute| {
            let start = prepared.doors.start().plus_minutes(f64::from(minute));
            let interval = Interval::new(start, start.plus_seconds(length_s))?;
            let may = start >= from && prepared.availability[target].allowed.covers(interval);
            may.then(|| (start, of(interval)))
        });
        starts.reduce(|one, other| if other.1 > one.1 { other } else { one })
    }

    /// The time at which a stop would count clearly more, if another stop stands there.
    fn best_taken(&self, stop: &Stop, showing: (usize, usize)) -> Option<WhyNow> {
        let points = |interval| self.scales.weigh(showing, interval).points as f64;
        let own = points(stop.interval);
        let (at, most) = self.best_start(stop, self.earliest(), points)?;
        if own <= 0.0 || most < CLEARLY_BETTER * own {
            return None;
        }
        let interval = Interval::new(at, at.plus_seconds(stop.interval.seconds()))?;
        let others = self.stops().iter().filter(|other| other.id != stop.id && !other.is_screen_talk());
        // The order stands in order of time: the first that is in the way.
        let mut in_the_way = others.filter(|other| other.interval.overlaps(interval));
        let by = in_the_way.next()?.id;
        Some(WhyNow::BestTaken { at, by, more: most / own - 1.0 })
    }
}

/// By what share one number of points is more than another; infinite where the other is nothing.
pub(super) fn more_than(points: i64, other: i64) -> f64 {
    if other > 0 { points as f64 / other as f64 - 1.0 } else { f64::INFINITY }
}
