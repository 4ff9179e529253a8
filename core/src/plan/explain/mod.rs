//! Why a running order is as it is, whoever made it, and what would change it: as values, worded elsewhere.
//!
//! Read `scene` (the order as it counts), `stop_reason` (why this, now, through this port, for whom), `understudy` (what
//! could stand in), `best_hour`, `way_in` and `not_shown` (why not that one), `held_price`, `what_if` and `comparing` (what a hold,
//! a port, an hour or more visitors change), `request` (can I see it?).
//!
//! Everything is measured in the points of the draft ([`Drafting::worth_of`](crate::plan::Drafting::worth_of)): what the
//! user sees is a share of the evening.

mod best_hour;
mod comparing;
mod held_price;
mod longer;
mod not_shown;
mod request;
mod scene;
mod stop_reason;
#[cfg(test)]
mod tests;
mod understudy;
mod way_in;
mod what_if;

use super::draft::{Measure, PickUp};
use super::{Evening, Materials, Prepared, StopId};
use crate::catalogue::TargetId;
pub use best_hour::BestHour;
pub use comparing::{Compared, Comparing};
pub use held_price::HeldPrice;
pub use not_shown::{NotShown, NotShownWhy};
pub use request::{RequestAnswer, RequestWhen, when_could_be_shown};
pub(super) use scene::Scene;
pub use stop_reason::{OtherPort, People, Rival, StopReason, WhyNow, WhyPort};
pub use understudy::Understudy;
pub use way_in::WayIn;
pub use what_if::{Change, WhatIf};

/// Everything explained about an order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Explained {
    /// What the order is worth, in points.
    pub worth: i64,
    /// Every stop that shows a target of the catalogue through a port of the rig, in the order of the evening;
    /// none that is done where the evening is picked up.
    pub stops: Vec<StopReason>,
    /// Every target that no stop shows, in the order of the catalogue.
    pub not_shown: Vec<NotShown>,
    /// What each stop that is held costs, in the order of the evening.
    pub held: Vec<HeldPrice>,
    /// What would change with something else.
    pub what_ifs: Vec<WhatIf>,
}

impl Explained {
    /// Takes in what was compared.
    pub fn take(&mut self, compared: Compared) {
        match compared {
            Compared::Held(price) => self.held.push(price),
            Compared::WhatIf(what_if) => self.what_ifs.push(what_if),
        }
    }
}

/// Explains the running order of an evening, drafted or made by hand.
///
/// It takes some tens of milliseconds; [`explain_order`] takes a fraction of that and leaves out `held` and `what_ifs`,
/// for which orders are drafted anew. Those come one by one from [`Comparing`].
///
/// * `pick_up`: where an evening that has begun is picked up again; nothing is offered before, and what is done stays.
pub fn explain(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    pick_up: Option<&PickUp>,
) -> Explained {
    let mut explained = explain_order(evening, prepared, materials, pick_up);
    Comparing::new(evening, prepared, materials, pick_up).for_each(|compared| explained.take(compared));
    explained
}

/// As [`explain`], without the price of what is held and without what would change it.
pub fn explain_order(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    pick_up: Option<&PickUp>,
) -> Explained {
    let measure = Measure::new(evening, prepared, materials, pick_up);
    let scales = measure.scales();
    let scene = Scene::new(evening, prepared, materials, &scales).picked_up(pick_up);
    Explained {
        worth: scene.worth,
        stops: stop_reason::all(&scene),
        not_shown: not_shown::all(&scene),
        ..Explained::default()
    }
}

/// The best understudy for every stop that shows a target and has none of its own, each given once; a stop for which nothing
/// could stand in is left out. Nothing is worked out where all have one.
pub fn understudies(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
) -> Vec<(StopId, TargetId)> {
    let shows = || evening.order.stops().iter().filter_map(|stop| Some((stop, stop.show()?)));
    if shows().all(|(_, show)| show.understudy.is_some()) {
        return Vec::new();
    }
    let measure = Measure::new(evening, prepared, materials, None);
    let scales = measure.scales();
    let scene = Scene::new(evening, prepared, materials, &scales);
    let mut used: Vec<TargetId> = shows().filter_map(|(_, show)| show.understudy.clone()).collect();
    let mut found = Vec::new();
    for (stop, _) in shows().filter(|(_, show)| show.understudy.is_none()) {
        if let Some(understudy) = scene.understudy(stop, &used) {
            used.push(understudy.target.clone());
            found.push((stop.id, understudy.target));
        }
    }
    found
}
