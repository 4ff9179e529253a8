//! What would change with a port more or less, doors open longer, more visitors, or without a hold: orders drafted anew
//! and compared.

use std::cmp::Reverse;

use super::held_price::HeldPrice;
use super::longer::longer;
use super::scene::Scene;
use crate::catalogue::Kind;
use crate::plan::draft::Drafting;
use crate::plan::edit::hold;
use crate::plan::prepare_again::with_ports;
use crate::plan::{
    EntryKind, Evening, Held, Materials, OrderDifference, Prepared, RunningOrder, Severity, Stop, What, check,
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

/// Something else than as it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// A port that is out of service is back.
    PortBack(PortId),
    /// A port that is in service is not.
    WithoutPort(PortId),
    /// Doors, and the closing with them, so many minutes later.
    DoorsLonger(u32),
    /// So many visitors more.
    MoreVisitors(u32),
}

/// What a change would do.
#[derive(Clone, Debug, PartialEq)]
pub struct WhatIf {
    /// The change.
    pub change: Change,
    /// What the best order found is worth as things are, in points.
    pub before: i64,
    /// What the best order found is worth with the change, in points.
    pub after: i64,
    /// By what share that is more; less than 0 where it is less.
    pub gain_share: f64,
    /// What comes, goes and moves.
    pub difference: OrderDifference,
    /// The order with the change, without understudies.
    pub order: RunningOrder,
}

/// The prices of what is held and what would change, from the draft of the evening as it is.
pub(super) fn compare(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    drafting: Drafting<'_>,
) -> (Vec<HeldPrice>, Vec<WhatIf>) {
    let order = drafted(&narrowed(evening, &evening.order, prepared, materials), prepared, materials);
    let mut now = Best { worth: drafting.worth_of(&order), order };
    let own = drafting.worth_of(&evening.order);
    let is_stopped = || {
        let findings = check(evening, prepared, materials);
        findings.iter().any(|finding| finding.severity == Severity::Stopper)
    };
    if own >= now.worth && !is_stopped() {
        now = Best { worth: own, order: evening.order.clone() };
    }
    let mut compared = Compared { evening, prepared, materials, now, drafting };
    (compared.held(), compared.what_ifs())
}

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

struct Compared<'c> {
    evening: &'c Evening,
    prepared: &'c Prepared,
    materials: &'c Materials<'c>,
    now: Best,
    drafting: Drafting<'c>,
}

impl Compared<'_> {
    fn held(&self) -> Vec<HeldPrice> {
        let stops = self.evening.order.stops().iter().filter(|stop| stop.held != Held::default());
        let prices = stops.map(|stop| {
            let freed = hold(self.evening, stop.id, Held::default());
            let free = self.now.clone().or(self.found(&freed, self.prepared, &self.drafting));
            HeldPrice {
                stop: stop.id,
                held: self.now.worth,
                free: free.worth,
                cost_share: share(free.worth - self.now.worth, self.now.worth),
                difference: OrderDifference::between(&self.now.order, &free.order),
                order: free.order,
            }
        });
        prices.collect()
    }

    fn what_ifs(&mut self) -> Vec<WhatIf> {
        let ports = self.materials.rig.ports.iter().map(|port| &port.id);
        let out = &self.evening.wishes.ports_out_of_service;
        let mut all: Vec<(Change, Best)> = Vec::new();
        if out.is_empty() {
            all.extend(ports.map(|port| (Change::WithoutPort(port.clone()), self.without_port(port))));
            // Whatever can be shown without a port can be shown with it.
            self.now = all.iter().fold(self.now.clone(), |now, (_, found)| now.or(found.clone()));
        } else {
            let back = ports.filter(|port| out.contains(port));
            all.extend(back.map(|port| (Change::PortBack(port.clone()), self.port_back(port))));
        }
        let later = longer(self.evening, self.prepared, self.materials, LONGER_MINUTES);
        let later = later.map(|(evening, prepared)| {
            self.found(&evening, &prepared, &Drafting::new(&evening, &prepared, self.materials, None))
        });
        all.extend(later.map(|found| (Change::DoorsLonger(LONGER_MINUTES), found)));
        let mut crowd = self.evening.clone();
        crowd.house.visitors += MORE_VISITORS;
        // The order of now would leave some without a look, which no draft does where it can be helped.
        let order = drafted(&self.narrowed(&crowd, self.prepared), self.prepared, self.materials);
        let worth = Drafting::new(&crowd, self.prepared, self.materials, None).worth_of(&order);
        all.push((Change::MoreVisitors(MORE_VISITORS), Best { order, worth }));
        all.into_iter().map(|(change, found)| self.compared(change, found)).collect()
    }

    fn without_port(&self, port: &PortId) -> Best {
        let mut evening = self.evening.clone();
        evening.wishes.ports_out_of_service.push(port.clone());
        self.found(&evening, self.prepared, &self.drafting)
    }

    fn port_back(&self, port: &PortId) -> Best {
        let mut evening = self.evening.clone();
        evening.wishes.ports_out_of_service.retain(|out| out != port);
        let out = evening.wishes.ports_out_of_service.clone();
        let prepared = with_ports(self.prepared, self.materials, out);
        self.found(&evening, &prepared, &Drafting::new(&evening, &prepared, self.materials, None))
    }

    fn narrowed(&self, evening: &Evening, prepared: &Prepared) -> Evening {
        narrowed(evening, &self.now.order, prepared, self.materials)
    }

    /// The best order found for another evening with the same visitors: drafted, or the one of now with what becomes
    /// impossible gone and the gaps filled.
    ///
    /// * `measure`: by whose points.
    fn found(&self, evening: &Evening, prepared: &Prepared, measure: &Drafting<'_>) -> Best {
        let narrowed = self.narrowed(evening, prepared);
        let mut drafting = Drafting::new(&narrowed, prepared, self.materials, None);
        drafting.advance(WORK);
        let of = |order: RunningOrder| Best { worth: measure.worth_of(&order), order };
        of(drafting.best_so_far().0).or(of(self.adapted(&narrowed, prepared, &drafting)))
    }

    fn adapted(&self, evening: &Evening, prepared: &Prepared, drafting: &Drafting<'_>) -> RunningOrder {
        let scales = drafting.scales();
        let later_s = prepared.doors.end().seconds_since(self.prepared.doors.end());
        let out = &evening.wishes.ports_out_of_service;
        let kept = self.now.order.stops().iter();
        let kept = kept.filter(|stop| stop.show().is_none_or(|show| !out.contains(&show.port)));
        let mut order = RunningOrder::new(kept.map(|stop| closed_later(stop, later_s)).collect());
        for _ in 0..MOST_FILLS {
            let scene = Scene::of(evening, &order, prepared, self.materials, &scales);
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

    fn compared(&self, change: Change, found: Best) -> WhatIf {
        let before = self.now.worth;
        WhatIf {
            change,
            before,
            after: found.worth,
            gain_share: share(found.worth - before, before),
            difference: OrderDifference::between(&self.now.order, &found.order),
            order: found.order,
        }
    }
}

/// The order drafted for an evening in some milliseconds.
fn drafted(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> RunningOrder {
    let mut drafting = Drafting::new(evening, prepared, materials, None);
    drafting.advance(WORK);
    drafting.best_so_far().0
}

/// The evening with everything left out but what an order shows, what must be shown, and the best of each kind by appeal
/// and view.
fn narrowed(
    evening: &Evening,
    order: &RunningOrder,
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
        let shown = order.stops().iter().any(|stop| stop.show().is_some_and(|show| &show.target == id));
        if *count > MOST_OF_A_KIND && !shown && !evening.wishes.must_show.contains(id) {
            narrowed.wishes.leave_out.push(id.clone());
        }
    }
    narrowed
}

fn share(points: i64, of: i64) -> f64 {
    points as f64 / of.max(1) as f64
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
