//! What holds cost and what would change, one by one: orders drafted anew and compared with the order as it stands.

use std::cmp::Reverse;
use std::collections::VecDeque;

use super::held_price::HeldPrice;
use super::longer::longer;
use super::scene::{Scene, share};
use super::what_if::{Change, WhatIf};
use crate::catalogue::Kind;
use crate::plan::draft::{Drafting, Measure, PickUp};
use crate::plan::edit::hold;
use crate::plan::prepare_again::with_ports;
use crate::plan::{
    EntryKind, Evening, Held, Materials, OrderDifference, Prepared, RunningOrder, Severity, Stop, StopId,
    What, check,
};
use crate::rig::PortId;
use crate::time::{Instant, Interval};

/// Work of the solver for each order that is drafted: some milliseconds.
const WORK: u64 = 4_000;
/// So many targets of each kind are drafted from beside those of the order, the best ones: with fewer of them the solver
/// finds in a few milliseconds what it finds in many with all.
const MOST_OF_A_KIND: usize = 4;
/// So many targets are brought into the gaps of an order that goes on as well as it can.
const MOST_FILLS: usize = 4;
/// Doors open so much longer, in minutes.
const LONGER_MINUTES: u32 = 60;
/// So many visitors more.
const MORE_VISITORS: u32 = 20;

/// An order and what it is worth.
#[derive(Clone)]
struct Best {
    order: RunningOrder,
    worth: i64,
}

impl Best {
    fn or(self, other: Self) -> Self {
        if other.worth > self.worth { other } else { self }
    }
}

/// What is compared.
enum Asked {
    Hold(StopId),
    Change(Change),
}

/// One thing compared.
#[derive(Clone, Debug, PartialEq)]
pub enum Compared {
    /// What a hold costs.
    Held(HeldPrice),
    /// What would change.
    WhatIf(WhatIf),
}

/// The prices of what is held and what would change: each is found when it is asked for, in some milliseconds.
///
/// First what is held and not done, in the order of the evening; then the ports, doors and visitors.
pub struct Comparing<'c> {
    evening: &'c Evening,
    prepared: &'c Prepared,
    materials: &'c Materials<'c>,
    pick_up: Option<&'c PickUp>,
    measure: Measure<'c>,
    /// What the order as it stands is worth.
    before: i64,
    /// The best order found as things are.
    now: Best,
    asked: VecDeque<Asked>,
}

impl<'c> Comparing<'c> {
    /// Begins, from the order as it stands.
    ///
    /// * `pick_up`: where an evening that has begun is picked up again; what is done stays.
    pub fn new(
        evening: &'c Evening,
        prepared: &'c Prepared,
        materials: &'c Materials<'c>,
        pick_up: Option<&'c PickUp>,
    ) -> Self {
        let measure = Measure::new(evening, prepared, materials, pick_up).of_orders();
        let before = measure.worth_of(&evening.order);
        let own = Best { worth: before, order: evening.order.clone() };
        let mut comparing = Self {
            evening,
            prepared,
            materials,
            pick_up,
            measure,
            before,
            now: own.clone(),
            asked: VecDeque::new(),
        };
        let order = comparing.drafted(&comparing.narrowed(evening, prepared), prepared);
        let drafted = Best { worth: comparing.measure.worth_of(&order), order };
        comparing.now = if comparing.is_stopped() { drafted } else { own.or(drafted) };
        comparing.asked = comparing.everything();
        comparing
    }

    fn everything(&self) -> VecDeque<Asked> {
        let stops = self.evening.order.stops().iter();
        let held = stops.filter(|stop| stop.held != Held::default() && !self.is_done(stop.id));
        let held = held.map(|stop| Asked::Hold(stop.id));
        let ports = self.materials.rig.ports.iter().map(|port| port.id.clone());
        let out = &self.evening.wishes.ports_out_of_service;
        let ports: Vec<Change> = if out.is_empty() {
            ports.map(Change::WithoutPort).collect()
        } else {
            ports.filter(|port| out.contains(port)).map(Change::PortBack).collect()
        };
        let others = [Change::DoorsLonger(LONGER_MINUTES), Change::MoreVisitors(MORE_VISITORS)];
        held.chain(ports.into_iter().chain(others).map(Asked::Change)).collect()
    }

    fn is_done(&self, stop: StopId) -> bool {
        self.pick_up.is_some_and(|pick_up| pick_up.done.contains(&stop))
    }

    /// Whether the order as it stands has a Stopper in what is not done.
    fn is_stopped(&self) -> bool {
        let findings = check(self.evening, self.prepared, self.materials);
        let open = findings.iter().filter(|finding| finding.stop.is_none_or(|stop| !self.is_done(stop)));
        open.filter(|finding| finding.severity == Severity::Stopper).count() > 0
    }

    fn held(&self, stop: StopId) -> HeldPrice {
        let freed = hold(self.evening, stop, Held::default());
        let free = self.now.clone().or(self.found(&freed, self.prepared, &self.measure));
        HeldPrice {
            stop,
            held: self.now.worth,
            free: free.worth,
            cost_share: share(free.worth - self.now.worth, self.now.worth),
            difference: OrderDifference::between(&self.evening.order, &free.order),
            order: free.order,
        }
    }

    /// What a change would do; `None` where there is no such evening.
    fn changed(&mut self, change: Change) -> Option<WhatIf> {
        let found = match &change {
            Change::WithoutPort(port) => self.without_port(port),
            Change::PortBack(port) => self.port_back(port),
            Change::DoorsLonger(minutes) => self.doors_longer(*minutes)?,
            Change::MoreVisitors(more) => self.more_visitors(*more),
        };
        if matches!(change, Change::WithoutPort(_)) {
            // Whatever can be shown without a port can be shown with it.
            self.now = self.now.clone().or(found.clone());
        }
        let (before, redraft) = (self.before, self.now.worth);
        let best = before.max(redraft);
        Some(WhatIf {
            change,
            before,
            redraft,
            after: found.worth,
            gain_share: share(found.worth - before, best),
            redraft_share: share(redraft - before, best),
            difference: OrderDifference::between(&self.evening.order, &found.order),
            order: found.order,
        })
    }

    fn without_port(&self, port: &PortId) -> Best {
        let mut evening = self.evening.clone();
        evening.wishes.ports_out_of_service.push(port.clone());
        self.found(&evening, self.prepared, &self.measure)
    }

    fn port_back(&self, port: &PortId) -> Best {
        let mut evening = self.evening.clone();
        evening.wishes.ports_out_of_service.retain(|out| out != port);
        let out = evening.wishes.ports_out_of_service.clone();
        let prepared = with_ports(self.prepared, self.materials, out);
        self.found(&evening, &prepared, &self.measure(&evening, &prepared))
    }

    fn doors_longer(&self, minutes: u32) -> Option<Best> {
        let (evening, prepared) = longer(self.evening, self.prepared, self.materials, minutes)?;
        Some(self.found(&evening, &prepared, &self.measure(&evening, &prepared)))
    }

    fn more_visitors(&self, more: u32) -> Best {
        let mut crowd = self.evening.clone();
        crowd.house.visitors += more;
        // The order of now would leave some without a look, which no draft does where it can be helped.
        let order = self.drafted(&self.narrowed(&crowd, self.prepared), self.prepared);
        let worth = self.measure(&crowd, self.prepared).worth_of(&order);
        Best { order, worth }
    }

    fn drafting<'d>(&self, evening: &'d Evening, prepared: &'d Prepared) -> Drafting<'d>
    where
        'c: 'd,
    {
        Drafting::new(evening, prepared, self.materials, self.pick_up)
    }

    fn measure<'d>(&self, evening: &'d Evening, prepared: &'d Prepared) -> Measure<'d>
    where
        'c: 'd,
    {
        Measure::new(evening, prepared, self.materials, self.pick_up).of_orders()
    }

    /// The order drafted for an evening in some milliseconds.
    fn drafted(&self, evening: &Evening, prepared: &Prepared) -> RunningOrder {
        let mut drafting = self.drafting(evening, prepared);
        drafting.advance(WORK);
        drafting.best_so_far().0
    }

    fn narrowed(&self, evening: &Evening, prepared: &Prepared) -> Evening {
        narrowed(evening, [&self.evening.order, &self.now.order], prepared, self.materials)
    }

    /// The best order found for another evening with the same visitors: drafted, or the best of now with what becomes
    /// impossible gone and the gaps filled.
    ///
    /// * `measure`: by whose points.
    fn found(&self, evening: &Evening, prepared: &Prepared, measure: &Measure<'_>) -> Best {
        let narrowed = self.narrowed(evening, prepared);
        let mut drafting = self.drafting(&narrowed, prepared);
        drafting.advance(WORK);
        let of = |order: RunningOrder| Best { worth: measure.worth_of(&order), order };
        of(drafting.best_so_far().0).or(of(self.adapted(&narrowed, prepared, &drafting)))
    }

    fn adapted(&self, evening: &Evening, prepared: &Prepared, drafting: &Drafting<'_>) -> RunningOrder {
        let scales = drafting.scales();
        let later_s = prepared.doors.end().seconds_since(self.prepared.doors.end());
        let out = &evening.wishes.ports_out_of_service;
        let kept = self.now.order.stops().iter();
        let kept = kept
            .filter(|stop| self.is_done(stop.id) || stop.show().is_none_or(|show| !out.contains(&show.port)));
        let mut order = RunningOrder::new(kept.map(|stop| closed_later(stop, later_s)).collect());
        for _ in 0..MOST_FILLS {
            let scene = Scene::of(evening, &order, prepared, self.materials, &scales).picked_up(self.pick_up);
            let gaps = scene.gaps();
            let targets = (0..prepared.tracks.len()).filter(|target| !scene.is_shown(*target));
            let ways = targets.filter_map(|target| Some((target, scene.way_in(&gaps, target, None)?)));
            let best = ways.max_by_key(|(target, way)| (way.change, Reverse(*target)));
            let filled = best.filter(|(_, way)| way.change > 0);
            let Some(filled) = filled.and_then(|(target, way)| scene.with_way(target, &way)) else { break };
            order = filled;
        }
        order
    }
}

impl Iterator for Comparing<'_> {
    type Item = Compared;

    fn next(&mut self) -> Option<Compared> {
        loop {
            match self.asked.pop_front()? {
                Asked::Hold(stop) => return Some(Compared::Held(self.held(stop))),
                Asked::Change(change) => {
                    if let Some(what_if) = self.changed(change) {
                        return Some(Compared::WhatIf(what_if));
                    }
                }
            }
        }
    }
}

/// The evening with everything left out but what some orders show, what must be shown, and the best of each kind by appeal
/// and view.
fn narrowed(
    evening: &Evening,
    orders: [&RunningOrder; 2],
    prepared: &Prepared,
    materials: &Materials<'_>,
) -> Evening {
    let targets = &materials.catalogue.targets;
    let worth = |target: usize| prepared.availability[target].best.map_or(0.0, |best| best.1.value());
    let mut best_first: Vec<usize> = (0..targets.len()).collect();
    best_first.sort_by(|one, other| worth(*other).total_cmp(&worth(*one)));
    let mut of_kind = [0; Kind::ALL.len()];
    let mut narrowed = evening.clone();
    for target in best_first {
        let id = &targets[target].id;
        let count = &mut of_kind[targets[target].kind as usize];
        *count += 1;
        let mut stops = orders.into_iter().flat_map(RunningOrder::stops);
        let shown = stops.any(|stop| stop.show().is_some_and(|show| &show.target == id));
        if *count > MOST_OF_A_KIND && !shown && !evening.wishes.must_show.contains(id) {
            narrowed.wishes.leave_out.push(id.clone());
        }
    }
    narrowed
}

/// A stop of an evening whose doors close so much later: the closing goes with them unless it is held.
fn closed_later(stop: &Stop, later_s: f64) -> Stop {
    let is_closing = matches!(stop.what, What::Entry { kind: EntryKind::Closing, .. });
    let mut stop = stop.clone();
    if is_closing && !stop.held.time {
        let later = |at: Instant| at.plus_seconds(later_s);
        stop.interval = Interval::new(later(stop.start()), later(stop.end())).unwrap_or(stop.interval);
    }
    stop
}
