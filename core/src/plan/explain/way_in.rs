//! The cheapest way in: where a target that is not in the order would come in at the least cost.

use std::cmp::Reverse;

use super::scene::Scene;
use crate::plan::draft::Way;
use crate::plan::timing::Stands;
use crate::plan::{RunningOrder, StopId, What, lead_s, merit};
use crate::rig::PortId;
use crate::time::{Instant, Interval};

/// Trials of a start that the moves refuse, before its place is given up.
const TRIALS: u32 = 3;

/// A place for a target in an order, in place of a stop or between two.
#[derive(Clone, Debug, PartialEq)]
pub struct WayIn {
    /// The stop that makes way; `None` where it fits between what there is.
    pub replaces: Option<StopId>,
    /// Through which port.
    pub port: PortId,
    /// When.
    pub interval: Interval,
    /// By how much the order would be worth more with it, in points; less than 0 where it costs.
    pub change: i64,
    /// The same as a share of what the order is worth.
    pub change_share: f64,
}

/// Room in the order, with a stop gone or not.
pub(super) struct Room<'s> {
    without: Option<StopId>,
    /// People's time, in minutes after doors open.
    from: f64,
    until: f64,
    /// When the telescope is done with what was shown before; `None` before the first.
    telescope_done: Option<f64>,
    stands: Stands<'s>,
    /// What is shown next.
    next: Option<(usize, usize, Interval)>,
}

/// A place to be tried, with the most that the order can be worth with it.
struct Place<'w> {
    room: usize,
    way: &'w Way<'w>,
    most: i64,
}

impl<'s> Scene<'s> {
    /// All room: between the stops, and where one that is not held in time would make way.
    pub(super) fn rooms(&self) -> Vec<Room<'s>> {
        let doors = self.prepared.doors;
        let minute = |at: Instant| at.minutes_since(doors.start());
        let stops: Vec<_> = self.stops().iter().filter(|stop| !stop.is_screen_talk()).collect();
        let next = |from: usize| {
            let mut later = stops[from.min(stops.len())..].iter();
            later.find_map(|stop| self.showing(stop).map(|(target, port)| (target, port, stop.interval)))
        };
        let starts = |at: usize| stops.get(at).map_or(doors.minutes(), |stop| minute(stop.start()));
        let (mut stands, mut telescope_done, mut from) = (Stands::default(), None, 0.0_f64);
        let mut rooms = Vec::new();
        for at in 0..=stops.len() {
            let mut room = |without, after: usize| {
                let until = starts(after).min(doors.minutes());
                if until >= from + 1.0 {
                    rooms.push(Room { without, from, until, telescope_done, stands, next: next(after) });
                }
            };
            room(None, at);
            let Some(stop) = stops.get(at) else { break };
            let shows = self.showing(stop);
            if shows.is_some() && !stop.held.time && !self.is_done(stop.id) {
                room(Some(stop.id), at + 1);
            }
            from = from.max(minute(stop.end()));
            if let Some((target, port)) = shows {
                let port = &self.materials.rig.ports[port].id;
                let moved = stands.go(self.materials, self.prepared, target, port, stop.interval);
                stands = moved.map_or(stands, |(_, after)| after);
                telescope_done = Some(minute(stop.end()));
            }
        }
        rooms
    }

    /// Room between the stops only.
    pub(super) fn gaps(&self) -> Vec<Room<'s>> {
        self.rooms().into_iter().filter(|room| room.without.is_none()).collect()
    }

    /// The order with a target brought in.
    pub(super) fn with_way(&self, target: usize, way: &WayIn) -> Option<RunningOrder> {
        let port = self.port(&way.port)?;
        let id = way.replaces.unwrap_or(self.next_id());
        let mut stop = self.stop(id, (target, port), way.interval);
        if let What::Show(show) = &mut stop.what {
            show.eyepiece = self.eyepiece((target, port), way.interval);
        }
        let kept = self.stops().iter().filter(|stop| Some(stop.id) != way.replaces);
        Some(RunningOrder::new(kept.cloned().chain([stop]).collect()))
    }

    /// The eyepiece that suits a target at the worst minute.
    fn eyepiece(&self, (target, port): (usize, usize), interval: Interval) -> Option<usize> {
        let id = &self.materials.rig.ports[port].id;
        let ranked = merit(self.prepared, self.materials, target, interval);
        let own = ranked.into_iter().find(|merit| &merit.choice.port == id)?;
        own.choice.field.eyepiece.map(|view| view.index)
    }

    /// The cheapest way in for a target from an instant on and from where the evening is picked up, by what the order is then worth; `None` where there is none
    /// with which every move still fits and as many minutes stay free as are wished, or as there are.
    pub(super) fn way_in(
        &self,
        rooms: &[Room<'s>],
        target: usize,
        not_before: Option<Instant>,
    ) -> Option<WayIn> {
        let ways = self.scales.ways(target);
        let from = not_before.map_or(self.earliest(), |at| at.max(self.earliest()));
        let earliest = from.minutes_since(self.prepared.doors.start());
        let mut places = Vec::new();
        for (position, room) in rooms.iter().enumerate() {
            let replaced = room.without.and_then(|id| self.stops().iter().find(|stop| stop.id == id));
            if replaced.is_some_and(|stop| stop.start() < from) {
                continue;
            }
            for way in &ways {
                let span = (room.from.max(earliest), room.until - f64::from(way.minutes));
                let Some(start) = best_start(way, span) else { continue };
                let weighed = self.scales.weigh((target, way.port), self.interval(start, way));
                places.push(Place {
                    room: position,
                    way,
                    most: self.worth_with(room.without, Some(weighed)),
                });
            }
        }
        places.sort_by_key(|place| Reverse(place.most));
        let mut best: Option<WayIn> = None;
        for place in places {
            let change = place.most - self.worth;
            if best.as_ref().is_some_and(|best| best.change >= change) {
                break;
            }
            let found = self.in_room(&rooms[place.room], target, place.way, earliest);
            if let Some(found) =
                found.filter(|found| best.as_ref().is_none_or(|best| found.change > best.change))
            {
                best = Some(found);
            }
        }
        best
    }

    /// The best start in a room that the moves really allow.
    fn in_room(&self, room: &Room<'s>, target: usize, way: &Way<'_>, earliest: f64) -> Option<WayIn> {
        let (mut first, mut last) = self.reach(room, target, way, room.from.max(earliest))?;
        for _ in 0..TRIALS {
            let start = best_start(way, (first, last))?;
            let interval = self.interval(start, way);
            let id = room.without.unwrap_or(self.next_id());
            let stop = self.stop(id, (target, way.port), interval);
            if let Some((_, free_minutes)) = self.made_with(room.without, &stop) {
                let wished = self.prepared.doors.minutes() * self.evening.programme.slack_percent / 100.0;
                if free_minutes < wished.min(self.free_minutes) - 0.01 {
                    return None;
                }
                let weighed = self.scales.weigh((target, way.port), interval);
                let change = self.worth_with(room.without, Some(weighed)) - self.worth;
                return Some(WayIn {
                    replaces: room.without,
                    port: self.materials.rig.ports[way.port].id.clone(),
                    interval,
                    change,
                    change_share: self.share(change),
                });
            }
            (first, last) = (first + 1.0, last - 1.0);
        }
        None
    }

    /// The first and last start that the moves before and after leave, in minutes after doors open.
    fn reach(&self, room: &Room<'s>, target: usize, way: &Way<'_>, from: f64) -> Option<(f64, f64)> {
        let port = &self.materials.rig.ports[way.port];
        let interval = self.interval(from.ceil() as i64, way);
        let (travel, after) = room.stands.go(self.materials, self.prepared, target, &port.id, interval)?;
        let minutes = |seconds: f64, port, target: usize| {
            (seconds + lead_s(port, self.materials.catalogue.targets[target].kind)) / 60.0
        };
        let ready = room.telescope_done.map(|done| done + minutes(travel.parts.total_s(), port, target));
        let first = ready.map_or(from, |ready| from.max(ready)).ceil();
        let mut last = room.until - f64::from(way.minutes);
        if let Some((next, next_port, interval)) = room.next {
            let next_port = &self.materials.rig.ports[next_port];
            let (travel, _) = after.go(self.materials, self.prepared, next, &next_port.id, interval)?;
            let start = interval.start().minutes_since(self.prepared.doors.start());
            let leave = start - minutes(travel.parts.total_s(), next_port, next);
            last = last.min(leave - f64::from(way.minutes));
        }
        (first <= last).then_some((first, last))
    }

    fn interval(&self, start: i64, way: &Way<'_>) -> Interval {
        let start = self.prepared.doors.start().plus_minutes(start as f64);
        Interval::new(start, start.plus_minutes(f64::from(way.minutes))).expect("a way lasts some minutes")
    }
}

/// The start in whole minutes from a first to a last at which a way counts most; the first of equals.
fn best_start(way: &Way<'_>, (first, last): (f64, f64)) -> Option<i64> {
    let (first, last) = (first.ceil() as i64, last.floor() as i64);
    let starts = (way.first_minute..).zip(way.points).filter(|(_, points)| **points > 0);
    let within = starts.filter(|(start, _)| (first..=last).contains(start));
    within.reduce(|one, other| if other.1 > one.1 { other } else { one }).map(|(start, _)| start)
}
