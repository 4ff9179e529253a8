//! What would change with a port more or less, doors open longer, more visitors, or without a hold: orders drafted anew
//! and compared.

use super::held_price::HeldPrice;
use super::longer::longer;
use crate::plan::draft::Drafting;
use crate::plan::edit::hold;
use crate::plan::prepare_again::with_ports;
use crate::plan::{Evening, Held, Materials, OrderDifference, Prepared, RunningOrder, Severity, check};
use crate::rig::PortId;

/// Work of the solver for each order that is drafted: some milliseconds.
const WORK: u64 = 3_000;
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
}

/// The prices of what is held and what would change, from the draft of the evening as it is.
pub(super) fn compare(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    mut drafting: Drafting<'_>,
) -> (Vec<HeldPrice>, Vec<WhatIf>) {
    drafting.advance(WORK);
    let drafted = drafting.drafted();
    let mut now = Best { worth: drafted.worth, order: drafted.order };
    let own = drafting.worth_of(&evening.order);
    let is_stopped = || {
        let findings = check(evening, prepared, materials);
        findings.iter().any(|finding| finding.severity == Severity::Stopper)
    };
    if own >= now.worth && !is_stopped() {
        now = Best { worth: own, order: evening.order.clone() };
    }
    let with = Compared { evening, prepared, materials, now, drafting };
    (with.held(), with.what_ifs())
}

/// An order and what it is worth.
struct Best {
    order: RunningOrder,
    worth: i64,
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
            let found = draft_of(&freed, self.prepared, self.materials);
            let free = self.drafting.worth_of(&found.order).max(self.now.worth);
            let better = free > self.now.worth;
            let difference = OrderDifference::between(&self.now.order, &found.order);
            HeldPrice {
                stop: stop.id,
                held: self.now.worth,
                free,
                cost_share: (free - self.now.worth) as f64 / self.now.worth.max(1) as f64,
                difference: if better { difference } else { OrderDifference::default() },
            }
        });
        prices.collect()
    }

    fn what_ifs(&self) -> Vec<WhatIf> {
        let ports = self.materials.rig.ports.iter().map(|port| &port.id);
        let out = &self.evening.wishes.ports_out_of_service;
        let mut all: Vec<WhatIf> = if out.is_empty() {
            ports.map(|port| self.without_port(port)).collect()
        } else {
            ports.filter(|port| out.contains(port)).map(|port| self.port_back(port)).collect()
        };
        if let Some((evening, prepared)) = longer(self.evening, self.prepared, self.materials, LONGER_MINUTES)
        {
            let found = draft_of(&evening, &prepared, self.materials);
            all.push(self.compared(Change::DoorsLonger(LONGER_MINUTES), found.worth, &found.order));
        }
        let mut crowd = self.evening.clone();
        crowd.house.visitors += MORE_VISITORS;
        let found = draft_of(&crowd, self.prepared, self.materials);
        all.push(self.compared(Change::MoreVisitors(MORE_VISITORS), found.worth, &found.order));
        all
    }

    fn without_port(&self, port: &PortId) -> WhatIf {
        let mut evening = self.evening.clone();
        evening.wishes.ports_out_of_service.push(port.clone());
        let found = draft_of(&evening, self.prepared, self.materials);
        let worth = self.drafting.worth_of(&found.order);
        self.compared(Change::WithoutPort(port.clone()), worth, &found.order)
    }

    fn port_back(&self, port: &PortId) -> WhatIf {
        let mut evening = self.evening.clone();
        evening.wishes.ports_out_of_service.retain(|out| out != port);
        let out = evening.wishes.ports_out_of_service.clone();
        let prepared = with_ports(self.prepared, self.materials, out);
        let found = draft_of(&evening, &prepared, self.materials);
        self.compared(Change::PortBack(port.clone()), found.worth, &found.order)
    }

    fn compared(&self, change: Change, after: i64, order: &RunningOrder) -> WhatIf {
        let before = self.now.worth;
        WhatIf {
            change,
            before,
            after,
            gain_share: (after - before) as f64 / before.max(1) as f64,
            difference: OrderDifference::between(&self.now.order, order),
        }
    }
}

fn draft_of(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> Best {
    let mut drafting = Drafting::new(evening, prepared, materials, None);
    drafting.advance(WORK);
    let drafted = drafting.drafted();
    Best { order: drafted.order, worth: drafted.worth }
}
