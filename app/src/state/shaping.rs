//! What an edit of the running order makes of the evening: the same for what is done and for what a drag would do.

use evenfall_core::plan::edit::{
    bring_on, change_port, close_up, hold, insert_entry, make_room, move_stop, remove, resize_stop, split,
    swap_understudy,
};
use evenfall_core::plan::{Evening, Held, Materials, PickUp, Prepared, Stop, StopId, What, against_ranking};
use evenfall_core::rig::PortId;
use evenfall_core::time::{Instant, Interval};

use super::{Command, Drag, Edge, OpenEvening, Trial};

/// Shortest stop that can be made by hand, in minutes.
pub(super) const SHORTEST_MINUTES: f64 = 1.0;

/// What an edit stands on.
#[derive(Clone, Copy)]
pub(super) struct Ground<'g> {
    pub(super) evening: &'g Evening,
    pub(super) prepared: &'g Prepared,
    pub(super) materials: Materials<'g>,
    pub(super) picked_up: Option<&'g PickUp>,
    /// Whether later stops move along.
    pub(super) ripple: bool,
}

impl<'g> Ground<'g> {
    pub(super) fn of(open: &'g OpenEvening, ripple: bool) -> Self {
        Self {
            evening: &open.document.evening,
            prepared: &open.derived.prepared,
            materials: open.document.stock.materials(),
            picked_up: open.picked_up.as_ref(),
            ripple,
        }
    }

    /// The evening after an edit, and the stop that it is about, if that is there then.
    pub(super) fn shaped(&self, command: &Command) -> (Evening, Option<StopId>) {
        let Self { evening, prepared, materials, .. } = self;
        match command {
            Command::Place { stop, start, port } => {
                let placed = self.placed(*stop, *start, port.as_ref());
                (self.with_room(placed, Some(*stop)), Some(*stop))
            }
            Command::SetEdge(stop, edge, at) => (self.with_edge(*stop, *edge, *at), Some(*stop)),
            Command::SetPort(stop, port) => {
                let changed = self.chosen_by_hand(evening, *stop, port);
                (self.with_room(changed, Some(*stop)), Some(*stop))
            }
            Command::SetHeld(stop, held) => (hold(evening, *stop, *held), Some(*stop)),
            Command::BringOn { target, start, port } => {
                let (changed, brought) = bring_on(evening, prepared, materials, target, *start);
                let changed = match (brought, port) {
                    (Some(stop), Some(port)) => self.chosen_by_hand(&changed, stop, port),
                    _ => changed,
                };
                (self.with_room(changed, brought), brought)
            }
            Command::SwapUnderstudy(stop) => {
                (swap_understudy(evening, prepared, materials, self.picked_up, *stop), Some(*stop))
            }
            Command::Insert(form) => {
                let Some(start) = form.instant(prepared) else { return (Evening::clone(evening), None) };
                let what = What::Entry { kind: form.kind, title: form.title(), cue: String::new() };
                let (changed, stop) = insert_entry(evening, what, start, form.minutes);
                (self.with_room(changed, Some(stop)), Some(stop))
            }
            Command::Split(stop, at) => split(evening, *stop, *at),
            _ => (Evening::clone(evening), None),
        }
    }

    /// The evening without a stop.
    pub(super) fn without(&self, stop: &Stop) -> Evening {
        let left = remove(self.evening, stop.id);
        if self.ripple { close_up(&left, self.prepared, &self.materials, stop.interval) } else { left }
    }

    fn with_room(&self, changed: Evening, stop: Option<StopId>) -> Evening {
        match stop.filter(|_| self.ripple) {
            Some(stop) => make_room(&changed, self.prepared, &self.materials, stop),
            None => changed,
        }
    }

    /// A stop put down at a time and on a port.
    fn placed(&self, id: StopId, start: Instant, port: Option<&PortId>) -> Evening {
        let evening = self.evening;
        let Some(stop) = evening.order.get(id) else { return evening.clone() };
        let moved = if stop.start() == start { evening.clone() } else { move_stop(evening, id, start) };
        match port.filter(|port| changes_port(stop, port)) {
            Some(port) => self.chosen_by_hand(&moved, id, port),
            None => moved,
        }
    }

    /// A stop with an edge somewhere else, but not past its other one. What it leaves is closed up.
    fn with_edge(&self, id: StopId, edge: Edge, at: Instant) -> Evening {
        let Some(stop) = self.evening.order.get(id) else { return self.evening.clone() };
        let (start, end) = match edge {
            Edge::Start => (at.min(stop.end().plus_minutes(-SHORTEST_MINUTES)), stop.end()),
            Edge::End => (stop.start(), at.max(stop.start().plus_minutes(SHORTEST_MINUTES))),
        };
        let Some(interval) = Interval::new(start, end) else { return self.evening.clone() };
        let changed = resize_stop(self.evening, id, interval);
        match Interval::new(end, stop.end()).filter(|gap| self.ripple && gap.minutes() >= 1.0) {
            Some(gap) => close_up(&changed, self.prepared, &self.materials, gap),
            None => self.with_room(changed, Some(id)),
        }
    }

    /// A stop on a port that was chosen by hand. Against the ranking it is held there, so that neither a new draft nor the
    /// file forgets the choice; the port that ranks first needs no holding.
    fn chosen_by_hand(&self, evening: &Evening, id: StopId, port: &PortId) -> Evening {
        let changed = change_port(evening, self.prepared, &self.materials, id, port);
        let Some(stop) = changed.order.get(id) else { return changed };
        let overrules = against_ranking(stop, self.prepared, &self.materials).is_some();
        hold(&changed, id, Held { port: overrules, ..stop.held })
    }
}

/// Whether a port is another than the one a stop is shown through.
pub(super) fn changes_port(stop: &Stop, port: &PortId) -> bool {
    stop.show().is_some_and(|show| show.port != *port)
}

/// The stops whose time differs, in the order of the second evening; those that only one of them has are left out.
pub(super) fn moved_stops(before: &Evening, after: &Evening) -> Vec<StopId> {
    let stops = after.order.stops().iter();
    let moved =
        stops.filter(|stop| before.order.get(stop.id).is_some_and(|before| before.interval != stop.interval));
    moved.map(|stop| stop.id).collect()
}

/// What would come of letting go of what is dragged; `None` where nothing would.
pub(super) fn trial(open: &OpenEvening, drag: &Drag, ripple: bool) -> Option<Trial> {
    let ground = Ground::of(open, ripple);
    let (evening, stop) = ground.shaped(&drag.command()?);
    let judged = open.derived.judge(&evening, &ground.materials);
    let mut moved = moved_stops(ground.evening, &evening);
    moved.retain(|other| Some(*other) != stop);
    Some(Trial { evening, judged, stop, moved })
}
