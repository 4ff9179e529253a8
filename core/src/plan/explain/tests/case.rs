//! A random evening with its order, for whatever is claimed of it.

use crate::plan::check::POOR_VIEW;
use crate::plan::explain::{Explained, explain};
use crate::plan::invented::{Invented, Seed, any_evening};
use crate::plan::views::CELL_MINUTES;
use crate::plan::{
    Drafting, Evening, Held, Materials, Prepared, Rule, RunningOrder, Severity, Show, Stop, StopId, What,
    check, draft, edit, needed_minutes,
};
use crate::rig::{Port, PortId};
use crate::time::Interval;
use crate::units::Angle;

/// A random evening with its order, explained.
pub(super) struct Case {
    pub(super) invented: Invented,
    pub(super) evening: Evening,
    pub(super) prepared: Prepared,
}

impl Case {
    /// Out of several climates and latitudes; every third order is changed by hand.
    pub(super) fn of(round: u64) -> Self {
        let mut invented = Invented::new(round);
        invented.set_latitude(Angle::from_degrees([55.1, 28.0, -43.5, 66.0][round as usize % 4]));
        let mut seed = Seed(77 + round);
        let mut evening = any_evening(&mut seed);
        evening.house.children = evening.house.children.max(5);
        if round % 4 == 1 {
            evening.wishes.ports_out_of_service.push(PortId("eyepiece".to_owned()));
        }
        let prepared = invented.prepare(&evening);
        evening.order = draft(&evening, &prepared, &invented.materials());
        if round % 3 == 2 {
            let shows: Vec<&Stop> =
                evening.order.stops().iter().filter(|stop| stop.show().is_some()).collect();
            if let [first, .., last] = shows[..] {
                let (first, last) = (first.id, last.id);
                evening = edit::hold(&edit::remove(&evening, first), last, Held { time: true, port: true });
            }
        }
        Self { invented, evening, prepared }
    }

    pub(super) fn materials(&self) -> Materials<'_> {
        self.invented.materials()
    }

    pub(super) fn explained(&self) -> Explained {
        explain(&self.evening, &self.prepared, &self.materials(), None)
    }

    /// What an order is worth, by the draft of the evening.
    pub(super) fn measure(&self, of: impl FnOnce(&dyn Fn(&RunningOrder) -> i64)) {
        let materials = self.materials();
        let drafting = Drafting::new(&self.evening, &self.prepared, &materials, None);
        of(&|order| drafting.worth_of(order));
    }

    pub(super) fn stoppers(&self, evening: &Evening) -> usize {
        let findings = check(evening, &self.prepared, &self.materials());
        let grave = |severity| severity == Severity::Stopper;
        findings
            .iter()
            .filter(|found| grave(found.severity) || matches!(found.rule, Rule::FlipInside { .. }))
            .count()
    }

    pub(super) fn with(&self, stops: Vec<Stop>) -> Evening {
        Evening { order: RunningOrder::new(stops), ..self.evening.clone() }
    }

    /// The order with a stop replaced, or one more.
    pub(super) fn replaced(
        &self,
        replaced: Option<StopId>,
        show: (usize, &PortId),
        interval: Interval,
    ) -> Evening {
        let kept = self.evening.order.stops().iter().filter(|stop| Some(stop.id) != replaced);
        let target = self.materials().catalogue.targets[show.0].id.clone();
        let what = What::Show(Show { target, port: show.1.clone(), eyepiece: None, understudy: None });
        let id = replaced.unwrap_or(self.evening.order.next_id());
        self.with(kept.cloned().chain([Stop { id, what, interval, held: Held::default() }]).collect())
    }

    pub(super) fn without(&self, stop: StopId) -> RunningOrder {
        edit::remove(&self.evening, stop).order
    }

    pub(super) fn stop(&self, id: StopId) -> &Stop {
        self.evening.order.get(id).expect("a stop of the order")
    }

    pub(super) fn shown(&self, target: usize) -> bool {
        let id = &self.materials().catalogue.targets[target].id;
        self.evening.order.stops().iter().any(|stop| stop.show().is_some_and(|show| &show.target == id))
    }

    pub(super) fn index(&self, stop: &Stop) -> usize {
        self.materials().target_index(&stop.show().expect("it shows").target).expect("it is known")
    }

    pub(super) fn port(&self, port: &PortId) -> usize {
        self.materials().rig.ports.iter().position(|own| &own.id == port).expect("it is known")
    }

    /// The worst view over an interval, cell by cell of the grid.
    pub(super) fn worst(&self, target: usize, port: usize, interval: Interval) -> f64 {
        let (first, last) =
            (self.prepared.moment_index(interval.start()), self.prepared.moment_index(interval.end()));
        let views = (first..=last).map(|moment| self.prepared.views.get(target, moment / CELL_MINUTES, port));
        views.fold(1.0, f64::min)
    }

    pub(super) fn needed(&self, target: usize, port: &Port) -> f64 {
        needed_minutes(&self.evening.house, &self.prepared, &self.materials(), target, port)
    }

    pub(super) fn may_be_shown(&self, target: usize, port: &PortId, interval: Interval) -> bool {
        self.prepared.availability[target].allowed.covers(interval)
            && self.worst(target, self.port(port), interval) >= POOR_VIEW
            && !self.evening.wishes.ports_out_of_service.contains(port)
    }
}

pub(super) fn close(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-9
}
