//! Why a target is not in the order: the one reason, and the best hour it could have.

use super::best_hour::{BestHour, best_hour};
use super::scene::Scene;
use super::stop_reason::more_than;
use super::way_in::{Room, WayIn};
use crate::assign::rank_ports;
use crate::catalogue::TargetId;
use crate::plan::check::POOR_VIEW;
use crate::plan::limits::lowest_altitude;
use crate::plan::views::CELL_MINUTES;
use crate::plan::{Better, Limit, StopId, WhyNot, needed_minutes, when_better, why_not_now};
use crate::rig::PortId;
use crate::time::{Instant, Interval};
use crate::units::{Angle, Fraction};

/// Minutes between two looks at what a port out of service would show.
const LOOK_MINUTES: usize = 15;

/// A target that no stop shows.
#[derive(Clone, Debug, PartialEq)]
pub struct NotShown {
    /// Which.
    pub target: TargetId,
    /// Why.
    pub why: NotShownWhy,
    /// The best hour it could have within doors; `None` where no port shows it at all.
    pub best: Option<BestHour>,
    /// Where no port shows it within doors: from when it is better, as far as the sky was prepared.
    pub later: Option<Better>,
}

/// The one reason for which a target is not in the order.
#[derive(Clone, Debug, PartialEq)]
pub enum NotShownWhy {
    /// The user wants it left out.
    LeftOut,
    /// Below the horizon as long as doors are open.
    NeverUp {
        /// The highest it stands, refraction in; below 0.
        highest: Angle,
        /// When.
        at: Instant,
    },
    /// Never high enough while doors are open, or only when something else forbids it.
    TooLow {
        /// The highest it stands while it is too low, refraction in.
        highest: Angle,
        /// When.
        at: Instant,
        /// What is needed in its direction then.
        needed: Angle,
        /// What forbids it at other times.
        else_limit: Option<Limit>,
    },
    /// Something else forbids it, mostly this.
    Limit(Limit),
    /// Only a port that is out of service would show it.
    OutOfService {
        /// The one that would show it best.
        port: PortId,
        /// What it would show.
        view: Fraction,
        /// When.
        at: Instant,
    },
    /// No port in service shows it, or none but poorly, even at its best.
    PoorView {
        /// What holds its best port back then, if anything is known; with what that port shows.
        why: Option<WhyNot>,
        /// When.
        at: Instant,
    },
    /// It shows well enough, but for less time than a stop needs.
    TooShort {
        /// The port for which it is least so.
        port: PortId,
        /// The longest time in which that shows it, in minutes.
        minutes: f64,
        /// What a stop on that port needs, in minutes.
        needed_minutes: f64,
    },
    /// Another stop is worth more to the evening.
    Beaten {
        /// By which.
        by: StopId,
        /// By what share that stop adds more than this target would in its place; infinite where it would add nothing.
        more: f64,
        /// The cheapest way in.
        way: WayIn,
    },
    /// It could come in and the evening would be worth no less.
    Welcome {
        /// How.
        way: WayIn,
    },
    /// No stop can make way for it: what is held and fixed, the moves and the minutes kept free leave it no room.
    NoRoom {
        /// The shortest stop in which it would be shown, in minutes.
        needed_minutes: f64,
    },
}

/// Every target that no stop shows.
pub(super) fn all(scene: &Scene<'_>) -> Vec<NotShown> {
    let targets = 0..scene.materials.catalogue.targets.len();
    let rooms = scene.rooms();
    targets.filter(|target| !scene.is_shown(*target)).map(|target| scene.not_shown(target, &rooms)).collect()
}

impl<'s> Scene<'s> {
    pub(super) fn not_shown(&self, target: usize, rooms: &[Room<'s>]) -> NotShown {
        let best = best_hour(self, target);
        let later = if best.is_none() {
            when_better(self.prepared, self.materials, target, self.prepared.doors.start())
        } else {
            None
        };
        NotShown {
            target: self.materials.catalogue.targets[target].id.clone(),
            why: self.why_not_shown(target, rooms),
            best,
            later,
        }
    }

    fn why_not_shown(&self, target: usize, rooms: &[Room<'s>]) -> NotShownWhy {
        let id = &self.materials.catalogue.targets[target].id;
        if self.evening.wishes.leave_out.contains(id) {
            return NotShownWhy::LeftOut;
        }
        if self.prepared.availability[target].allowed.is_empty() {
            return self.forbidden(target);
        }
        if self.scales.ways(target).is_empty() {
            return self.unshowable(target);
        }
        let Some(way) = self.way_in(rooms, target, None) else {
            let needed_minutes = self.least_minutes(target);
            return NotShownWhy::NoRoom { needed_minutes };
        };
        match way.replaces {
            Some(by) if way.change < 0 => {
                let without = self.worth_with(Some(by), None);
                let more = more_than(self.worth - without, self.worth + way.change - without);
                NotShownWhy::Beaten { by, more, way }
            }
            _ => NotShownWhy::Welcome { way },
        }
    }

    /// Why nothing allows a target within doors.
    fn forbidden(&self, target: usize) -> NotShownWhy {
        let prepared = self.prepared;
        let limits = &prepared.availability[target].limits;
        let Some(first) = limits.first().copied() else { return NotShownWhy::Limit(Limit::NoPort) };
        if !matches!(first, Limit::Horizon | Limit::MountLow) {
            return NotShownWhy::Limit(first);
        }
        let minutes = prepared.moments.iter().zip(&prepared.tracks[target].samples);
        let doors = prepared.doors;
        let within = minutes.filter(|(moment, _)| (doors.start()..=doors.end()).contains(&moment.instant));
        let low = within
            .map(|(moment, sample)| (moment.instant, sample, lowest_altitude(self.materials, sample.azimuth)))
            .filter(|(_, sample, needed)| sample.altitude < *needed);
        let highest = low.reduce(|one, other| if other.1.altitude > one.1.altitude { other } else { one });
        let Some((at, sample, needed)) = highest else { return NotShownWhy::Limit(first) };
        let highest = sample.altitude;
        let is_low = |limit: &&Limit| matches!(limit, Limit::Horizon | Limit::MountLow);
        let else_limit = limits.iter().find(|limit| !is_low(limit)).copied();
        if highest < Angle::ZERO && else_limit.is_none() {
            NotShownWhy::NeverUp { highest, at }
        } else {
            NotShownWhy::TooLow { highest, at, needed, else_limit }
        }
    }

    /// Why the draft has no way to lay a target that may be shown.
    fn unshowable(&self, target: usize) -> NotShownWhy {
        if let Some(why) = self.out_of_service(target) {
            return why;
        }
        let (at, view) = self.best_view(target);
        if view >= POOR_VIEW {
            return self.too_short(target);
        }
        NotShownWhy::PoorView { why: why_not_now(self.prepared, self.materials, target, at), at }
    }

    /// The best view of a target through a port in service within doors, and when; where none shows it, nothing in the middle
    /// of the longest time at which it may be shown.
    fn best_view(&self, target: usize) -> (Instant, f64) {
        let own = &self.prepared.availability[target];
        let runs = own.allowed.as_slice().iter();
        let longest = runs.max_by(|one, other| one.minutes().total_cmp(&other.minutes()));
        let middle =
            longest.map_or(self.prepared.doors.start(), |run| run.start().plus_minutes(run.minutes() / 2.0));
        own.best.map_or((middle, 0.0), |(at, _)| {
            let moment = Interval::new(at, at);
            let view = |port| moment.map_or(0.0, |moment| self.view((target, port), moment));
            (at, self.ports().map(view).fold(0.0, f64::max))
        })
    }

    /// The port in service that comes nearest to showing a target for as long as a stop there needs.
    fn too_short(&self, target: usize) -> NotShownWhy {
        let house = &self.evening.house;
        let on_port = |port: usize| {
            let own = &self.materials.rig.ports[port];
            let needed = needed_minutes(house, self.prepared, self.materials, target, own);
            (port, self.longest_minutes(target, port), needed)
        };
        let nearest = self
            .ports()
            .map(on_port)
            .reduce(|one, other| if other.1 / other.2 > one.1 / one.2 { other } else { one });
        nearest.map_or(NotShownWhy::Limit(Limit::NoPort), |(port, minutes, needed_minutes)| {
            let port = self.materials.rig.ports[port].id.clone();
            NotShownWhy::TooShort { port, minutes, needed_minutes }
        })
    }

    /// The longest time for which a port shows a target no worse than poorly, in minutes.
    fn longest_minutes(&self, target: usize, port: usize) -> f64 {
        let prepared = self.prepared;
        let mut longest = 0_usize;
        for run in prepared.availability[target].allowed.as_slice() {
            let (first, last) = (prepared.moment_index(run.start()), prepared.moment_index(run.end()));
            let mut since = 0_usize;
            for moment in first..=last {
                let shows = prepared.views.get(target, moment / CELL_MINUTES, port) >= POOR_VIEW;
                since = if shows { since + 1 } else { 0 };
                longest = longest.max(since);
            }
        }
        longest.saturating_sub(1) as f64
    }

    /// The shortest stop in which the draft would show a target, in minutes.
    fn least_minutes(&self, target: usize) -> f64 {
        let ways = self.scales.ways(target);
        ways.iter().map(|way| f64::from(way.minutes)).fold(f64::INFINITY, f64::min)
    }

    /// The port out of service that would show a target best, if it would show it no worse than poorly.
    fn out_of_service(&self, target: usize) -> Option<NotShownWhy> {
        let (materials, prepared) = (self.materials, self.prepared);
        let in_service: Vec<usize> = self.ports().collect();
        if in_service.len() == materials.rig.ports.len() {
            return None;
        }
        let own = &materials.catalogue.targets[target];
        let runs = prepared.availability[target].allowed.as_slice().iter();
        let moments = runs.flat_map(|run| {
            (prepared.moment_index(run.start())..=prepared.moment_index(run.end())).step_by(LOOK_MINUTES)
        });
        let seen = moments.filter_map(|moment| {
            let showing = prepared.showing(materials, target, moment)?;
            let ranked = rank_ports(own, materials.rig, &showing, &[]);
            let out = ranked
                .into_iter()
                .find(|choice| self.port(&choice.port).is_some_and(|port| !in_service.contains(&port)))?;
            Some((out.view, out.port, prepared.moments[moment].instant))
        });
        let best = seen.reduce(|one, other| if other.0 > one.0 { other } else { one });
        let (view, port, at) = best.filter(|best| best.0.value() >= POOR_VIEW)?;
        Some(NotShownWhy::OutOfService { port, view, at })
    }
}
