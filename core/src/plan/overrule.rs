//! Ports chosen by hand against the ranking, and what speaks against them.

use super::{Materials, PortMinute, Prepared, RunningOrder, Stop, StopId, merit, port_minute};
use crate::rig::PortId;
use crate::units::Fraction;

/// Two views closer than this are as good as one another. Common practice, no source: a hundredth of the best view is
/// less than anyone sees.
const ALIKE: f64 = 0.01;

/// A stop held on a port although another one shows its target better.
#[derive(Clone, Debug, PartialEq)]
pub struct Overruled {
    /// The stop.
    pub stop: StopId,
    /// The port it is held on, and the view there at the worst minute of the stop: 0 where it shows nothing.
    pub chosen: (PortId, Fraction),
    /// The port that ranks first over the stop, and the view there.
    pub better: (PortId, Fraction),
    /// The chosen port in the middle of the stop, with what holds it back; `None` below the horizon.
    pub minute: Option<PortMinute>,
}

/// Every stop that is held on a port against the ranking over its own time, in order.
pub fn overruled(order: &RunningOrder, prepared: &Prepared, materials: &Materials<'_>) -> Vec<Overruled> {
    let held = order.stops().iter().filter(|stop| stop.held.port);
    held.filter_map(|stop| against_ranking(stop, prepared, materials)).collect()
}

/// What speaks against the port of a stop, held or not; `None` where no other one shows its target better.
pub fn against_ranking(stop: &Stop, prepared: &Prepared, materials: &Materials<'_>) -> Option<Overruled> {
    let show = stop.show()?;
    let index = materials.target_index(&show.target)?;
    let ranked = merit(prepared, materials, index, stop.interval);
    let best = ranked.first()?;
    let own = ranked.iter().find(|merit| merit.choice.port == show.port);
    let view = own.map_or(Fraction::ZERO, |merit| merit.view);
    if best.view.value() - view.value() < ALIKE {
        return None;
    }
    let middle = stop.start().plus_seconds(stop.interval.seconds() / 2.0);
    Some(Overruled {
        stop: stop.id,
        chosen: (show.port.clone(), view),
        better: (best.choice.port.clone(), best.view),
        minute: port_minute(prepared, materials, index, &show.port, middle),
    })
}

#[cfg(test)]
mod tests {
    use super::overruled;
    use crate::plan::edit::{change_port, hold};
    use crate::plan::invented::{Invented, march_evening};
    use crate::plan::{Held, draft, merit};

    #[test]
    fn only_a_held_port_that_ranks_lower_is_overruling() {
        let invented = Invented::new(12);
        let mut evening = march_evening();
        let prepared = invented.prepare(&evening);
        let materials = invented.materials();
        evening.order = draft(&evening, &prepared, &materials);
        assert!(
            overruled(&evening.order, &prepared, &materials)
                .iter()
                .all(|one| { evening.order.get(one.stop).is_some_and(|stop| stop.held.port) })
        );
        let shown = evening.order.stops().iter().find(|stop| stop.show().is_some()).unwrap();
        let (id, target) = (shown.id, shown.show().unwrap().target.clone());
        for port in &materials.rig.ports {
            let changed = change_port(&evening, &prepared, &materials, id, &port.id);
            let found = overruled(&changed.order, &prepared, &materials);
            assert!(found.iter().all(|one| one.stop != id), "it is not held");
            let held = hold(&changed, id, Held { time: false, port: true });
            let interval = held.order.get(id).unwrap().interval;
            let index = materials.target_index(&target).unwrap();
            let ranked = merit(&prepared, &materials, index, interval);
            let found = overruled(&held.order, &prepared, &materials);
            let own = found.iter().find(|one| one.stop == id);
            let best = &ranked[0];
            let view =
                ranked.iter().find(|one| one.choice.port == port.id).map_or(0.0, |one| one.view.value());
            assert_eq!(own.is_some(), best.view.value() - view >= 0.01, "{}", port.id);
            if let Some(own) = own {
                assert_eq!(own.better, (best.choice.port.clone(), best.view));
                assert!(own.chosen.1 < own.better.1);
            }
        }
    }
}
