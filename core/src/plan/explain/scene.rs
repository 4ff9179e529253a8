//! The order as it counts, and every change of one stop of it: what it would be worth, and whether it could be made.

use crate::plan::beside::is_in_the_way;
use crate::plan::check::POOR_VIEW;
use crate::plan::draft::{Scales, Weighed};
use crate::plan::timing::{Leg, legs};
use crate::plan::{
    Evening, Held, Materials, PickUp, Prepared, RunningOrder, Show, Stop, StopId, StopTiming, What,
    free_minutes,
};
use crate::rig::PortId;
use crate::time::{Instant, Interval};

/// An order with its measure.
pub(in crate::plan) struct Scene<'s> {
    pub(in crate::plan) evening: &'s Evening,
    pub(in crate::plan) prepared: &'s Prepared,
    pub(in crate::plan) materials: &'s Materials<'s>,
    pub(in crate::plan) scales: &'s Scales<'s>,
    order: &'s RunningOrder,
    pick_up: Option<&'s PickUp>,
    /// The stops that count, in order.
    counted: Vec<(StopId, Weighed)>,
    /// Stops to which the move can't be made as the order is.
    misfits: Vec<StopId>,
    /// Minutes that the order leaves free.
    pub(super) free_minutes: f64,
    /// What the order is worth, in points.
    pub(in crate::plan) worth: i64,
}

impl<'s> Scene<'s> {
    pub(in crate::plan) fn new(
        evening: &'s Evening,
        prepared: &'s Prepared,
        materials: &'s Materials<'s>,
        scales: &'s Scales<'s>,
    ) -> Self {
        Self::of(evening, &evening.order, prepared, materials, scales)
    }

    /// Of another order than that of the evening.
    pub(in crate::plan) fn of(
        evening: &'s Evening,
        order: &'s RunningOrder,
        prepared: &'s Prepared,
        materials: &'s Materials<'s>,
        scales: &'s Scales<'s>,
    ) -> Self {
        let counted = order.stops().iter().filter_map(|stop| Some((stop.id, scales.weigh_stop(stop)?)));
        let mut scene = Self {
            evening,
            prepared,
            materials,
            scales,
            order,
            pick_up: None,
            counted: counted.collect(),
            misfits: Vec::new(),
            free_minutes: 0.0,
            worth: 0,
        };
        let legs = legs(order, prepared, materials);
        let misfits = legs.iter().filter(|leg| !leg.can_be_made(prepared, materials));
        scene.misfits = misfits.map(|leg| leg.timing.stop).collect();
        let timings: Vec<StopTiming> = legs.iter().map(|leg| leg.timing).collect();
        scene.free_minutes = free_minutes(order, &timings, prepared.doors);
        scene.worth = scene.worth_with(None, None);
        scene
    }

    /// Of an evening that has begun and is picked up again.
    pub(super) const fn picked_up(mut self, pick_up: Option<&'s PickUp>) -> Self {
        self.pick_up = pick_up;
        self
    }

    /// From when anything may come in: when doors open, or where the evening is picked up.
    pub(super) fn earliest(&self) -> Instant {
        let open = self.prepared.doors.start();
        self.pick_up.map_or(open, |pick_up| pick_up.at.max(open))
    }

    /// Whether a stop was shown, or is being shown, where the evening is picked up.
    pub(super) fn is_done(&self, stop: StopId) -> bool {
        self.pick_up.is_some_and(|pick_up| pick_up.done.contains(&stop))
    }

    /// The stops of the order.
    pub(in crate::plan) fn stops(&self) -> &'s [Stop] {
        self.order.stops()
    }

    /// An identity that no stop has.
    pub(super) fn next_id(&self) -> StopId {
        self.order.next_id()
    }

    /// Target and port of a stop by position; `None` for an entry and for what catalogue or rig don't have.
    pub(super) fn showing(&self, stop: &Stop) -> Option<(usize, usize)> {
        let show = stop.show()?;
        Some((self.materials.target_index(&show.target)?, self.port(&show.port)?))
    }

    /// Position of a port on the rig.
    pub(super) fn port(&self, id: &PortId) -> Option<usize> {
        self.materials.rig.ports.iter().position(|port| &port.id == id)
    }

    /// Ports in service, by their positions.
    pub(super) fn ports(&self) -> impl Iterator<Item = usize> + use<'s> {
        let (wished, prepared) =
            (&self.evening.wishes.ports_out_of_service, &self.prepared.ports_out_of_service);
        let ports = self.materials.rig.ports.iter().enumerate();
        ports
            .filter(move |(_, port)| !wished.contains(&port.id) && !prepared.contains(&port.id))
            .map(|(position, _)| position)
    }

    /// Whether a stop of the order shows a target.
    pub(super) fn is_shown(&self, target: usize) -> bool {
        let id = &self.materials.catalogue.targets[target].id;
        self.stops().iter().any(|stop| stop.show().is_some_and(|show| &show.target == id))
    }

    /// What the order would be worth without a stop, with another, or both, in points.
    pub(super) fn worth_with(&self, without: Option<StopId>, with: Option<Weighed>) -> i64 {
        let kept = self.counted.iter().filter(|(id, _)| Some(*id) != without).map(|(_, weighed)| *weighed);
        let mut stops: Vec<Weighed> = kept.collect();
        if let Some(with) = with {
            let at = stops.partition_point(|stop| stop.start <= with.start);
            stops.insert(at, with);
        }
        self.scales.total(&stops)
    }

    /// The worst view of a target on a port over an interval.
    pub(super) fn view(&self, (target, port): (usize, usize), interval: Interval) -> f64 {
        let (first, last) =
            (self.prepared.moment_index(interval.start()), self.prepared.moment_index(interval.end()));
        self.prepared.views.worst(target, port, first, last)
    }

    /// Whether a target may be shown throughout an interval, within doors, and a port shows it no worse than poorly.
    pub(super) fn can_show(&self, showing: (usize, usize), interval: Interval) -> bool {
        self.prepared.availability[showing.0].allowed.covers(interval)
            && self.view(showing, interval) >= POOR_VIEW
    }

    /// The order with a stop more, in place of another or not, if it could be made: nothing in its way, and every move fits
    /// that fits now. With the minutes that it leaves free.
    pub(super) fn made_with(&self, without: Option<StopId>, with: &Stop) -> Option<(RunningOrder, f64)> {
        let kept = self.stops().iter().filter(|stop| Some(stop.id) != without);
        let port = self.materials.rig.port(&with.show()?.port)?;
        if kept.clone().any(|other| is_in_the_way(other, with.interval, port)) {
            return None;
        }
        let after = RunningOrder::new(kept.cloned().chain([with.clone()]).collect());
        let legs = legs(&after, self.prepared, self.materials);
        let fits = |leg: &Leg| {
            leg.can_be_made(self.prepared, self.materials)
                || (leg.timing.stop != with.id && self.misfits.contains(&leg.timing.stop))
        };
        if !legs.iter().all(fits) {
            return None;
        }
        let timings: Vec<StopTiming> = legs.into_iter().map(|leg| leg.timing).collect();
        let free = free_minutes(&after, &timings, self.prepared.doors);
        Some((after, free))
    }

    /// Points as a share of what the order is worth.
    pub(super) fn share(&self, points: i64) -> f64 {
        share(points, self.worth)
    }

    /// A stop that shows a target on a port over an interval.
    pub(super) fn stop(&self, id: StopId, (target, port): (usize, usize), interval: Interval) -> Stop {
        let show = Show {
            target: self.materials.catalogue.targets[target].id.clone(),
            port: self.materials.rig.ports[port].id.clone(),
            eyepiece: None,
            understudy: None,
        };
        Stop { id, what: What::Show(show), interval, held: Held::default() }
    }
}

/// Some points as a share of others; 1 or -1 of nothing.
pub(super) fn share(points: i64, of: i64) -> f64 {
    if of > 0 { points as f64 / of as f64 } else { points.signum() as f64 }
}
