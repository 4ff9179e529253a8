//! A first running order that never lays out something impossible; same input, same answer.
//!
//! Read `frame` (what stands before anything is drafted: programme, held stops, must-show targets), `menu` (what could
//! be shown from when), `search` (the best way through the evening) and `understudy`.

mod frame;
mod menu;
mod search;
#[cfg(test)]
mod tests;
mod understudy;

use super::check::{POOR_VIEW, check};
use super::slew::slew_near_sun;
use super::timing::{Stands, moves_still_fit};
use super::{
    Evening, Held, Materials, Prepared, Rule, RunningOrder, Severity, Show, Stop, StopId, What, free_minutes,
    in_each_others_way, lead_s, merit, needed_minutes, timings,
};
use crate::catalogue::TargetId;
use crate::time::{Instant, Interval};
use frame::Frame;
use menu::Menu;
use search::Laid;

/// Drafts the evening anew: held stops and the programme's fixed entries stay, everything else is laid out again.
///
/// * A stop held in time stays as it is; one held only in its port keeps the port and may move. Fixed entries stand at
///   their clock time. Must-show targets are placed first, each at its best time that fits, the scarcest first.
/// * The rest is filled by a search over the evening, minute by minute, that keeps the best few ways to stand at each
///   minute. A stop counts by the target's appeal, its view at the worst minute, the share of the house it serves, and
///   less for the same kind again and for two stops of the same sort (eyepiece, screen) in a row.
/// * An eyepiece stop gets the time that serves everybody. Only where the longest room of the evening is too short for
///   that, or a must-show target finds no other place, it may get less, from 40 % on, and is then lengthened by free
///   minutes beyond the slack that is wished; the check tells with a Caution where it stays short.
/// * Nothing drafted causes a Stopper: windows, limits, moves and the Sun's exclusion are kept, and what the check would
///   stop is taken out again. Only what the user holds may still be wrong, or what only the user can mend.
pub fn draft(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> RunningOrder {
    let desk = Desk { evening, prepared, materials };
    let frame = Frame::new(desk);
    let menu = Menu::new(desk, &frame);
    let laid = search::search(desk, &frame, &menu);
    let mut ids = Identities::new(&evening.order, &frame);
    let mut stops: Vec<Stop> = frame.fixed.iter().map(|fixed| fixed.stop.clone()).collect();
    stops.extend(frame.screen_talks.iter().cloned());
    let is_held = |stop: &&Stop| stop.held != Held::default() || stop.show().is_none();
    let held: Vec<StopId> = stops.iter().filter(is_held).map(|stop| stop.id).collect();
    for showing in &laid {
        stops.extend(desk.stop(showing, &mut ids));
    }
    let mut order = desk.lengthened(desk.without_stoppers(stops, &held), &held);
    understudy::assign(desk, &mut order, &held);
    RunningOrder::new(order)
}

/// What every part of the draft works from.
#[derive(Clone, Copy)]
struct Desk<'d> {
    evening: &'d Evening,
    prepared: &'d Prepared,
    materials: &'d Materials<'d>,
}

impl<'d> Desk<'d> {
    /// The instant of a minute after doors open.
    fn instant(self, minute: f64) -> Instant {
        self.prepared.doors.start().plus_minutes(minute)
    }

    /// Minutes from doors open to an instant.
    fn minute(self, instant: Instant) -> f64 {
        instant.minutes_since(self.prepared.doors.start())
    }

    /// Whether a port can be used tonight.
    fn in_service(self, port: usize) -> bool {
        let id = &self.materials.rig.ports[port].id;
        !self.evening.wishes.ports_out_of_service.contains(id)
            && !self.prepared.ports_out_of_service.contains(id)
    }

    /// Minutes that a move and the framing after it take, and where the telescope then stands; `None` where the way
    /// leads too near the Sun, the cables end or the mount would flip while the target is shown.
    fn approach(
        self,
        from: Stands<'d>,
        target: usize,
        port: usize,
        interval: Interval,
    ) -> Option<(f64, Stands<'d>)> {
        let rig = self.materials.rig;
        let port = &rig.ports[port];
        let (travel, after) = from.go(self.materials, self.prepared, target, &port.id, interval)?;
        let seconds = travel.parts.total_s() + lead_s(port, self.materials.catalogue.targets[target].kind);
        if let Some(pointing) = from.pointing {
            let leave = interval.start().plus_seconds(-seconds);
            if slew_near_sun(self.materials, self.prepared, (pointing, travel.end), leave).is_some() {
                return None;
            }
        }
        let reached = after.pointing.is_none_or(|at| rig.mount.cables_reach(at.cable_azimuth));
        let flips = after.pointing.is_some_and(|at| at.pier != travel.end.pier);
        (reached && !flips).then_some((seconds / 60.0, after))
    }

    /// The stop of something laid out, with the field that suits the target at the worst minute.
    fn stop(self, laid: &Laid, ids: &mut Identities) -> Option<Stop> {
        let start = self.instant(f64::from(laid.start));
        let interval = Interval::new(start, start.plus_minutes(f64::from(laid.offer.minutes)))?;
        let target = &self.materials.catalogue.targets[laid.offer.target];
        let port = &self.materials.rig.ports[laid.offer.port].id;
        let choice = merit(self.prepared, self.materials, laid.offer.target, interval)
            .into_iter()
            .map(|merit| merit.choice)
            .find(|choice| &choice.port == port)?;
        let eyepiece = choice.field.eyepiece.map(|view| view.index);
        let show = Show { target: target.id.clone(), port: port.clone(), eyepiece, understudy: None };
        let id = ids.for_target(&target.id);
        Some(Stop { id, what: What::Show(show), interval, held: Held::default() })
    }

    /// The stops, with those too short for everybody lengthened as far as the slack that is wished, the sky and the
    /// moves after them allow.
    fn lengthened(self, mut stops: Vec<Stop>, fixed: &[StopId]) -> Vec<Stop> {
        for index in 0..stops.len() {
            if fixed.contains(&stops[index].id) {
                continue;
            }
            while let Some(longer) = self.a_minute_longer(&stops, index) {
                stops[index].interval = longer;
            }
        }
        stops
    }

    /// The interval of a stop with one minute more, if it is too short and nothing forbids it.
    fn a_minute_longer(self, stops: &[Stop], index: usize) -> Option<Interval> {
        let (prepared, materials) = (self.prepared, self.materials);
        let (stop, show) = (&stops[index], stops[index].show()?);
        let target = materials.target_index(&show.target)?;
        let port = materials.rig.ports.iter().position(|port| port.id == show.port)?;
        let needed_minutes =
            needed_minutes(&self.evening.house, prepared, materials, target, &materials.rig.ports[port]);
        let longer = Interval::new(stop.start(), stop.end().plus_minutes(1.0))?;
        let (first, last) = (prepared.moment_index(longer.start()), prepared.moment_index(longer.end()));
        let own = Stop { interval: longer, ..stop.clone() };
        let in_the_way = |other: &Stop| in_each_others_way(other, &own, materials.rig);
        let shared = stops.iter().any(|other| other.id != stop.id && in_the_way(other));
        if stop.interval.minutes() >= needed_minutes
            || shared
            || !prepared.doors.covers(longer)
            || !prepared.availability.get(target)?.allowed.covers(longer)
            || prepared.views.worst(target, port, first, last) < POOR_VIEW
        {
            return None;
        }
        let before = RunningOrder::new(stops.to_vec());
        let mut changed = stops.to_vec();
        changed[index].interval = longer;
        let after = RunningOrder::new(changed);
        let free = free_minutes(&after, &timings(&after, prepared, materials), prepared.doors);
        let wished = prepared.doors.minutes() * self.evening.programme.slack_percent / 100.0;
        (free >= wished && moves_still_fit(&before, &after, prepared, materials)).then_some(longer)
    }

    /// The stops that the check lets stand: whatever is drafted and stopped, or makes a fixed stop impossible, goes.
    fn without_stoppers(self, mut stops: Vec<Stop>, fixed: &[StopId]) -> Vec<Stop> {
        loop {
            let mut trial = self.evening.clone();
            trial.order = RunningOrder::new(stops.clone());
            let ordered = trial.order.stops();
            let culprit = check(&trial, self.prepared, self.materials)
                .iter()
                .filter(|finding| finding.severity == Severity::Stopper)
                .filter_map(|finding| Some((finding.stop?, &finding.rule)))
                .find_map(|(id, rule)| {
                    if !fixed.contains(&id) {
                        return Some(id);
                    }
                    let before = match rule {
                        Rule::Overlap { with } => Some(*with),
                        Rule::MoveDoesNotFit { .. } | Rule::SlewNearSun { .. } | Rule::CablesEnd { .. } => {
                            let at = ordered.iter().position(|stop| stop.id == id)?;
                            ordered[..at].iter().rev().find(|stop| stop.show().is_some()).map(|stop| stop.id)
                        }
                        _ => None,
                    };
                    before.filter(|id| !fixed.contains(id))
                });
            match culprit {
                Some(id) => stops.retain(|stop| stop.id != id),
                None => return stops,
            }
        }
    }
}

/// Identities for drafted stops: a target that had a stop keeps its identity, others get new ones.
struct Identities {
    known: Vec<(TargetId, StopId)>,
    next: u32,
}

impl Identities {
    fn new(order: &RunningOrder, frame: &Frame) -> Self {
        let fixed = frame.fixed.iter().map(|fixed| &fixed.stop);
        let taken: Vec<StopId> = fixed.chain(&frame.screen_talks).map(|stop| stop.id).collect();
        let known = order
            .stops()
            .iter()
            .filter(|stop| !taken.contains(&stop.id))
            .filter_map(|stop| Some((stop.show()?.target.clone(), stop.id)))
            .collect();
        let highest = taken.iter().map(|id| id.0 + 1).max().unwrap_or(1);
        Self { known, next: order.next_id().0.max(highest) }
    }

    fn for_target(&mut self, target: &TargetId) -> StopId {
        if let Some(position) = self.known.iter().position(|known| &known.0 == target) {
            return self.known.swap_remove(position).1;
        }
        self.next += 1;
        StopId(self.next - 1)
    }
}
