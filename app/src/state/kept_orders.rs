//! Running orders kept beside the one that stands, such as for a cloudy sky: kept, switched to, forgotten.

use evenfall_core::plan::edit::{drop_version, keep_version, switch_version};

use super::edits::step;
use super::{AppState, Command, Dialog, Job, OrderFacts, StepName};

/// Does an edit of the orders that are kept.
pub(super) fn edit(state: &mut AppState, command: Command) {
    match command {
        Command::KeepOrder(name) => {
            let name = name.trim().to_owned();
            step(state, StepName::OrderKept(name.clone()), None, |evening, _, _| {
                keep_version(evening, &name)
            });
        }
        Command::SwitchOrder(name) => {
            // While doors are open what has been done stays, and so does where the evening was picked up.
            let now = state.now_in_doors();
            state.view.dialog = None;
            step(state, StepName::OrderSwitched(name.clone()), None, |evening, _, _| {
                switch_version(evening, &name, now)
            });
            if let Some(open) = &mut state.open {
                open.account = None;
                if now.is_none() {
                    open.picked_up = None;
                }
            }
        }
        Command::DropOrder(name) => {
            step(state, StepName::OrderDropped(name.clone()), None, |evening, _, _| {
                drop_version(evening, &name)
            });
        }
        _ => {}
    }
}

impl AppState {
    /// Whether the orders are still being compared.
    pub(super) fn is_comparing(&self) -> bool {
        self.compared_wanted() && self.compared.as_ref().is_none_or(|(about, _)| self.about() != Some(*about))
    }

    /// The running orders side by side: of a moment ago, while those on the Board and beside it are being compared.
    pub fn orders(&self) -> &[OrderFacts] {
        self.compared.as_ref().map_or(&[], |(_, orders)| orders)
    }

    /// Has the orders compared while their dialog is open, anew with every change of the evening behind it.
    pub(super) fn ask_to_compare(&mut self) {
        let Some(about) = self.about().filter(|_| self.compared_wanted()) else {
            self.compared = None;
            self.comparing = None;
            return;
        };
        let is_this = |other: (u64, u64)| other == about;
        if self.compared.as_ref().is_some_and(|(about, _)| is_this(*about))
            || self.comparing.is_some_and(|(_, about)| is_this(about))
        {
            return;
        }
        let ticket = self.new_ticket();
        let Some(open) = &self.open else { return };
        let asked = open.to_appraise(ticket, false);
        self.comparing = Some((ticket, about));
        self.ask(Job::Compare(asked));
    }

    /// Takes in how they compare; what came too late is dropped.
    pub(super) fn take_compared(&mut self, ticket: u64, orders: Vec<OrderFacts>) {
        if let Some((_, about)) = self.comparing.take_if(|(asked, _)| *asked == ticket) {
            self.compared = Some((about, orders));
        }
    }

    const fn compared_wanted(&self) -> bool {
        matches!(self.view.dialog, Some(Dialog::KeptOrders(_)))
    }

    /// The evening that is open and how often it has changed.
    fn about(&self) -> Option<(u64, u64)> {
        self.open.as_ref().map(|open| (open.number, open.derived.revision))
    }
}
