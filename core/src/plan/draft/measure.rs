//! What orders of an evening are worth where none is looked for; and an evening as the problem that both this and a draft
//! stand on.

use super::desk::Desk;
use super::frame::Frame;
use super::layout::Layout;
use super::pick_up::PickUp;
use super::scales::Scales;
use crate::plan::timing::Stands;
use crate::plan::{Evening, Materials, Prepared, RunningOrder, Stop};

/// What orders of an evening are worth, and how each target could be laid, where no order is looked for.
pub(in crate::plan) struct Measure<'d> {
    desk: Desk<'d>,
    layout: Layout,
}

impl<'d> Measure<'d> {
    /// The measure of a draft of this evening.
    ///
    /// * `pick_up`: where an evening that has begun is picked up again.
    pub(in crate::plan) fn new(
        evening: &'d Evening,
        prepared: &'d Prepared,
        materials: &'d Materials<'d>,
        pick_up: Option<&PickUp>,
    ) -> Self {
        let desk = Desk { evening, prepared, materials };
        let (_, _, layout) = as_problem(desk, pick_up);
        Self { desk, layout }
    }

    /// The same for orders alone: how each target could be laid is forgotten, which takes much memory for many targets.
    pub(in crate::plan) fn of_orders(mut self) -> Self {
        self.layout.forget_ways();
        self
    }

    /// What any order of the evening is worth, in points.
    pub(in crate::plan) fn worth_of(&self, order: &RunningOrder) -> i64 {
        self.layout.worth_of(self.desk, order)
    }

    /// The measure for whatever is asked of its evening.
    pub(in crate::plan) fn scales(&self) -> Scales<'_> {
        Scales::new(self.desk, &self.layout)
    }
}

/// An evening as a problem, with what stands in it and where the telescope stands when it begins.
pub(super) fn as_problem<'d>(desk: Desk<'d>, pick_up: Option<&PickUp>) -> (Frame, Stands<'d>, Layout) {
    let frame = Frame::new(desk, pick_up);
    let stands = stands_after(desk, desk.evening, &frame.done);
    let layout = Layout::new(desk, &frame, stands);
    (frame, stands, layout)
}

/// Where the telescope stands after what is done.
fn stands_after<'d>(desk: Desk<'d>, evening: &'d Evening, done: &[Stop]) -> Stands<'d> {
    let shown = evening.order.stops().iter().filter(|stop| done.iter().any(|own| own.id == stop.id));
    shown.fold(Stands::default(), |stands, stop| {
        let showing = desk.showing(stop).zip(stop.show());
        let moved = showing.and_then(|((target, _), show)| {
            stands.go(desk.materials, desk.prepared, target, &show.port, stop.interval)
        });
        moved.map_or(stands, |(_, after)| after)
    })
}
