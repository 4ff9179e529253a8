//! Running orders kept beside the one that stands, such as for a cloudy sky: kept, switched to, forgotten.

use evenfall_core::plan::edit::{drop_version, keep_version, switch_version};

use super::edits::step;
use super::{AppState, Command, OrderFacts, StepName};

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
    compare(state);
}

/// Compares the orders, for their dialog.
pub(super) fn compare(state: &mut AppState) {
    state.view.orders = state.open.as_ref().map_or_else(Vec::new, OrderFacts::all);
}
