//! What is asked about tonight's wishes: targets that must be shown or are left out, ports out of service, how often the port
//! may change and how many stops each port has at least.

use std::sync::Arc;

use evenfall_core::catalogue::TargetId;
use evenfall_core::plan::{Evening, Wishes};
use evenfall_core::rig::PortId;

use super::app_state::AfterLayOut;
use super::edits::step;
use super::{AppState, Dialog, Selected, StepName};

/// Changes of port that an evening can be limited to, least and most.
pub const PORT_CHANGES: (u32, u32) = (0, 200);
/// Stops that a port can be asked to have, least and most.
pub const LEAST_STOPS: (u32, u32) = (0, 60);
/// Changes of port to begin with when they are first limited.
const USUAL_PORT_CHANGES: u32 = 10;
/// Targets offered for what is typed, at most.
const MOST_OFFERED: usize = 5;

/// What is wished of a target.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// It must be shown.
    MustShow,
    /// It is not to be shown tonight.
    LeaveOut,
}

/// The answers so far.
#[derive(Clone, Debug, PartialEq)]
pub struct WishesForm {
    /// The wishes, but for the closed sky, which stands under the rules.
    wishes: Wishes,
    /// The target that is looked for, as it is being typed.
    pub typed: String,
}

impl WishesForm {
    /// What stands in an evening.
    pub(super) fn new(evening: &Evening) -> Self {
        Self { wishes: evening.wishes.clone(), typed: String::new() }
    }

    /// The wishes as they are answered.
    pub const fn wishes(&self) -> &Wishes {
        &self.wishes
    }

    /// Wishes something of a target, in place of what was wished of it before; nothing for `None`.
    pub fn wish(&mut self, target: &TargetId, wish: Option<Wish>) {
        wish_of(&mut self.wishes, target, wish);
    }

    /// Puts a port out of service, or in service again.
    pub fn set_out_of_service(&mut self, port: &PortId, out: bool) {
        let ports = &mut self.wishes.ports_out_of_service;
        ports.retain(|own| own != port);
        if out {
            ports.push(port.clone());
        }
    }

    /// The least stops on a port.
    pub fn least_stops(&self, port: &PortId) -> u32 {
        self.wishes.least_stops.iter().find(|(own, _)| own == port).map_or(0, |(_, stops)| *stops)
    }

    /// Asks for so many stops on a port at least.
    pub fn set_least_stops(&mut self, port: &PortId, stops: u32) {
        let all = &mut self.wishes.least_stops;
        match all.iter_mut().find(|(own, _)| own == port) {
            Some(own) => own.1 = stops,
            None => all.push((port.clone(), stops)),
        }
        all.retain(|(_, stops)| *stops > 0);
    }

    /// Limits the changes of port, or no longer.
    pub fn limit_port_changes(&mut self, limited: bool) {
        self.wishes.most_port_changes = limited.then_some(USUAL_PORT_CHANGES);
    }

    /// Allows so many changes of port.
    pub const fn set_port_changes(&mut self, most: u32) {
        self.wishes.most_port_changes = Some(most);
    }

    /// Ports that are out of service and yet are to have stops.
    pub fn ports_that_cannot(&self) -> impl Iterator<Item = &PortId> {
        let Wishes { ports_out_of_service: out, least_stops, .. } = &self.wishes;
        least_stops.iter().map(|(port, _)| port).filter(move |port| out.contains(port))
    }
}

/// What is wished of a target.
pub fn wish_for(wishes: &Wishes, target: &TargetId) -> Option<Wish> {
    if wishes.must_show.contains(target) {
        Some(Wish::MustShow)
    } else {
        wishes.leave_out.contains(target).then_some(Wish::LeaveOut)
    }
}

fn wish_of(wishes: &mut Wishes, target: &TargetId, wish: Option<Wish>) {
    for (own, list) in [(Wish::MustShow, &mut wishes.must_show), (Wish::LeaveOut, &mut wishes.leave_out)] {
        if wish != Some(own) {
            list.retain(|other| other != target);
        } else if !list.contains(target) {
            list.push(target.clone());
        }
    }
}

impl AppState {
    /// The target that the Card tells about.
    pub fn target_on_card(&self) -> Option<&TargetId> {
        match self.view.selected.as_ref()? {
            Selected::Stop(_) => self.selected_stop()?.show().map(|show| &show.target),
            Selected::Target(target) => Some(target),
        }
    }

    /// The first targets, by their positions, that have a name like this one.
    pub fn targets_named(&self, typed: &str) -> Vec<usize> {
        if typed.trim().is_empty() {
            return Vec::new();
        }
        let mut hits = self.shelf_list().named(typed);
        hits.truncate(MOST_OFFERED);
        hits
    }
}

/// Asks about the wishes.
pub(super) fn ask(state: &mut AppState) {
    let Some(open) = &state.open else { return };
    state.view.dialog = Some(Dialog::Wishes(WishesForm::new(&open.document.evening)));
}

/// Takes the answers as one step, once the evening is computed for them. The running order stays as it is.
pub(super) fn set(state: &mut AppState, form: &WishesForm) {
    state.view.dialog = None;
    let Some(open) = &state.open else { return };
    let before = &open.document.evening;
    let closed_sky = before.wishes.closed_sky.clone();
    let wishes = Wishes { closed_sky, ..form.wishes.clone() };
    if wishes == before.wishes {
        return;
    }
    let after = Evening { wishes, ..before.clone() };
    let stock = Arc::clone(&open.document.stock);
    let step = AfterLayOut::Step(StepName::WishesSet, open.picked_up.clone());
    state.lay_out(after, stock, None, step);
}

/// Wishes something of the target on the Card, or takes that wish back.
pub(super) fn toggle(state: &mut AppState, wish: Wish) {
    let Some((open, target)) = state.open().zip(state.target_on_card()) else { return };
    let (target, title) = (target.clone(), open.target_name(target));
    let stands = wish_for(&open.document.evening.wishes, &target) == Some(wish);
    let wished = (!stands).then_some(wish);
    let name = match wished {
        Some(Wish::MustShow) => StepName::MustShow { title },
        Some(Wish::LeaveOut) => StepName::LeftOut { title },
        None => StepName::WishTakenBack { title },
    };
    step(state, name, None, |evening, _, _| {
        let mut changed = evening.clone();
        wish_of(&mut changed.wishes, &target, wished);
        changed
    });
}

#[cfg(test)]
mod tests {
    use evenfall_core::catalogue::TargetId;
    use evenfall_core::rig::PortId;

    use super::{Wish, WishesForm, wish_for};
    use crate::shell::Machine;
    use crate::state::Outside;

    #[test]
    fn a_target_has_one_wish_and_a_port_one_number() {
        let evening = Machine.demo().unwrap().evening;
        let mut form = WishesForm::new(&evening);
        let target = TargetId("lantern-drift".into());
        form.wish(&target, Some(Wish::LeaveOut));
        form.wish(&target, Some(Wish::MustShow));
        form.wish(&target, Some(Wish::MustShow));
        let wishes = form.wishes();
        assert_eq!((wishes.must_show.len(), wishes.leave_out.len()), (1, 0));
        assert_eq!(wish_for(wishes, &target), Some(Wish::MustShow));
        form.wish(&target, None);
        assert_eq!(wish_for(form.wishes(), &target), None);
        let port = PortId("eyepiece".into());
        form.set_least_stops(&port, 3);
        form.set_least_stops(&port, 2);
        assert_eq!((form.least_stops(&port), form.wishes().least_stops.len()), (2, 1));
        form.set_out_of_service(&port, true);
        assert_eq!(form.ports_that_cannot().collect::<Vec<_>>(), [&port]);
        form.set_least_stops(&port, 0);
        form.set_out_of_service(&port, false);
        assert_eq!(*form.wishes(), evening.wishes);
    }
}
