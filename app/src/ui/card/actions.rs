//! What can be done with the thing on the Card.

use egui::Ui;
use evenfall_core::plan::Held;

use super::Subject;
use crate::state::{AppState, Command, Selected};
use crate::ui::parts::{command_button, toggle};
use crate::ui::text;

/// Draws the buttons.
pub(super) fn show(ui: &mut Ui, state: &AppState, subject: &Subject<'_>, commands: &mut Vec<Command>) {
    ui.horizontal_wrapped(|ui| match (subject.stop, subject.target) {
        (Some(stop), _) => {
            let settled = Command::SetHeld(stop.id, stop.held).allowed(state);
            if toggle(ui, text::HOLD_TIME, stop.held.time, settled).clicked() {
                commands.push(Command::SetHeld(stop.id, Held { time: !stop.held.time, ..stop.held }));
            }
            if stop.show().is_some() && toggle(ui, text::HOLD_PORT, stop.held.port, settled).clicked() {
                commands.push(Command::SetHeld(stop.id, Held { port: !stop.held.port, ..stop.held }));
            }
            if ui.add_enabled(settled, egui::Button::new(text::REMOVE)).clicked() {
                commands.push(Command::Select(Some(Selected::Stop(stop.id))));
                commands.push(Command::Remove);
            }
        }
        (None, Some((_, target))) => {
            let command = Command::BringOn { target: target.id.clone(), start: None, port: None };
            command_button(ui, state, commands, (text::BRING_ON, text::BRING_ON), command);
        }
        (None, None) => {}
    });
    if let Some(stop) = subject.stop
        && let Some(show) = stop.show()
    {
        ui.horizontal_wrapped(|ui| {
            let catalogue = &subject.open.document.stock.catalogue;
            let understudy = show.understudy.as_ref();
            let name = understudy.map_or(text::NO_UNDERSTUDY, |id| {
                catalogue.get(id).map_or(id.0.as_str(), |target| target.name.as_str())
            });
            ui.label(format!("{}: {name}", text::UNDERSTUDY));
            if understudy.is_some() {
                let command = Command::SwapUnderstudy(stop.id);
                command_button(ui, state, commands, (text::SWAP, text::SWAP_HINT), command);
            }
        });
    }
}
