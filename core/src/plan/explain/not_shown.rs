//! Why a target is not in the order: the one reason, and the best hour it could have.

use super::best_hour::{BestHour, best_hour, best_moment};
use super::scene::Scene;
use super::stop_reason::more_than;
use super::way_in::{Room, WayIn};
use crate::assign::rank_ports;
use crate::catalogue::TargetId;
use crate::plan::beside::is_in_the_way;
use crate::plan::check::POOR_VIEW;
use crate::plan::limits::lowest_altitude;
use crate::plan::views::CELL_MINUTES;
use crate::plan::{Better, Limit, Materials, Prepared, StopId, What, WhyNot, when_better, why_not_now};
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
    /// From when it could come in: when doors open, or where the evening is picked up.
    pub earliest: Instant,
}

impl NotShown {
    /// Where no port shows it within doors: from when it is better, as far as the sky was prepared. Worked out when it is
    /// asked for: most of a large catalogue is never asked about.
    pub fn later(&self, prepared: &Prepared, materials: &Materials<'_>) -> Option<Better> {
        let target = materials.target_index(&self.target).filter(|_| self.best.is_none())?;
        when_better(prepared, materials, target, self.earliest)
    }
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
    /// A port shows it well enough for long enough, but only while an entry needs its screen.
    EntryInTheWay {
        /// Which entry.
        entry: String,
        /// When that is.
        interval: Interval,
        /// The port.
        port: PortId,
    },
    /// No port shows it any more; for an evening that is picked up again.
    Gone {
        /// The last minute at which one did.
        last: Instant,
    },
    /// It counts nothing, its appeal is so little.
    NoAppeal,
    /// It shows well enough, but for less time than a stop needs.
    TooShort {
        /// The port for which it is least so.
        port: PortId,
        /// The longest time in which that shows it, in minutes.
        minutes: f64,
        /// The shortest stop in which a draft would show it there, in minutes.
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
    /// There is room for it, but the evening would lose by it, for it would stand beside what is too much like it.
    TooAlike {
        /// How it could come in.
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
        NotShown {
            target: self.materials.catalogue.targets[target].id.clone(),
            why: self.why_not_shown(target, rooms),
            best,
            earliest: self.earliest(),
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
            None if way.change < 0 => NotShownWhy::TooAlike { way },
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
        let doors = prepared.doors;
        let moments = prepared.moments.iter().enumerate();
        let within = moments.filter(|(_, moment)| (doors.start()..=doors.end()).contains(&moment.instant));
        let within =
            within.filter_map(|(minute, moment)| Some((moment, prepared.sample_at(target, minute)?)));
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
        if let Some(why) = self.out_of_service(target).or_else(|| self.gone(target)) {
            return why;
        }
        let (at, view) = self.best_view(target);
        if view >= POOR_VIEW {
            return self.never_long_enough(target);
        }
        NotShownWhy::PoorView { why: why_not_now(self.prepared, self.materials, target, at), at }
    }

    /// That no port shows a target any more from where the evening is picked up.
    fn gone(&self, target: usize) -> Option<NotShownWhy> {
        let last = self.prepared.availability[target].showable.as_slice().last()?.end();
        (last < self.earliest()).then_some(NotShownWhy::Gone { last })
    }

    /// The best view of a target through a port in service within doors, and when; where none shows it, nothing in the middle
    /// of the longest time at which it may be shown.
    fn best_view(&self, target: usize) -> (Instant, f64) {
        if let Some(best) = best_moment(self, target) {
            let at = self.prepared.moments[best].instant;
            let moment = Interval::new(at, at);
            let view = |port| moment.map_or(0.0, |moment| self.view((target, port), moment));
            return (at, self.ports().map(view).fold(0.0, f64::max));
        }
        let runs = self.prepared.availability[target].allowed.as_slice().iter();
        let longest = runs.max_by(|one, other| one.minutes().total_cmp(&other.minutes()));
        let middle = |run: &Interval| run.start().plus_minutes(run.minutes() / 2.0);
        (longest.map_or(self.prepared.doors.start(), middle), 0.0)
    }

    /// What keeps every port in service from showing a target for as long as a stop there needs.
    fn never_long_enough(&self, target: usize) -> NotShownWhy {
        let on_port = |port: usize| {
            let needed = f64::from(self.scales.shortest_minutes(target, port)?);
            Some((port, self.longest_showing(target, port)?, needed))
        };
        let share = |(_, showing, needed): &(usize, Interval, f64)| showing.minutes() / needed;
        let nearest = self
            .ports()
            .filter_map(on_port)
            .reduce(|one, other| if share(&other) > share(&one) { other } else { one });
        let Some((port, showing, needed_minutes)) = nearest else {
            return NotShownWhy::Limit(Limit::NoPort);
        };
        // The showing begins and ends on a minute; half of one undoes what the arithmetic of instants leaves.
        if showing.minutes() + 0.5 < needed_minutes {
            let port = self.materials.rig.ports[port].id.clone();
            return NotShownWhy::TooShort { port, minutes: showing.minutes(), needed_minutes };
        }
        self.entry_in_the_way(port, showing).unwrap_or(NotShownWhy::NoAppeal)
    }

    /// The entry that takes most of the time in which a port would show something.
    fn entry_in_the_way(&self, port: usize, showing: Interval) -> Option<NotShownWhy> {
        let port = &self.materials.rig.ports[port];
        let entries = self.stops().iter().filter_map(|stop| match &stop.what {
            What::Entry { title, .. } if is_in_the_way(stop, showing, port) => {
                Some((title, stop.interval, stop.interval.intersection(showing)?.seconds()))
            }
            _ => None,
        });
        let (entry, interval, _) = entries.max_by(|one, other| one.2.total_cmp(&other.2))?;
        Some(NotShownWhy::EntryInTheWay { entry: entry.clone(), interval, port: port.id.clone() })
    }

    /// The longest time from the earliest on for which a port shows a target no worse than poorly.
    fn longest_showing(&self, target: usize, port: usize) -> Option<Interval> {
        let (prepared, earliest) = (self.prepared, self.earliest());
        let mut longest: Option<Interval> = None;
        for run in prepared.availability[target].allowed.as_slice() {
            let (first, last) = (prepared.moment_index(run.start()), prepared.moment_index(run.end()));
            let mut since: Option<Instant> = None;
            for moment in first..=last {
                let at = prepared.moments[moment].instant;
                let shows = prepared.views.get(target, moment / CELL_MINUTES, port) >= POOR_VIEW;
                since = if shows && at >= earliest { since.or(Some(at)) } else { None };
                let showing = since.and_then(|since| Interval::new(since, at));
                if let Some(showing) = showing
                    && longest.is_none_or(|longest| showing.minutes() > longest.minutes())
                {
                    longest = Some(showing);
                }
            }
        }
        longest
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
