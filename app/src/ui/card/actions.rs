//! What can be done with the thing on the Card.

use egui::Ui;
use evenfall_core::plan::Held;

use super::{Subject, reasons};
use crate::state::{AppState, Command, Selected, Wish, wish_for};
use crate::ui::commands::tooltip;
use crate::ui::dialogs::wishes;
use crate::ui::parts::{command_button, toggle};
use crate::ui::{shaping_words, target_editor, text};

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
            if state.selected_stop().is_some_and(|selected| selected.id == stop.id) {
                let names = (shaping_words::SPLIT, shaping_words::SPLIT_NAME);
                command_button(ui, state, commands, names, Command::SplitSelected);
                let names = (shaping_words::INSERT, shaping_words::INSERT_NAME);
                command_button(ui, state, commands, names, Command::AskInsert);
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
    if let Some((_, target)) = subject.target {
        ui.horizontal_wrapped(|ui| {
            let stands = state.open().and_then(|open| wish_for(&open.document.evening.wishes, &target.id));
            for (words, wish) in [(wishes::MUST_SHOW, Wish::MustShow), (wishes::LEAVE_OUT, Wish::LeaveOut)] {
                let command = Command::ToggleWish(wish);
                let switch = toggle(ui, words, stands == Some(wish), command.allowed(state));
                if switch.on_hover_text(tooltip(words, &command)).clicked() {
                    commands.push(command);
                }
            }
            let names = (target_editor::CHANGE, target_editor::CHANGE_NAME);
            command_button(ui, state, commands, names, Command::AskTarget);
        });
    }
    if let Some(stop) = subject.stop {
        reasons::understudy(ui, state, subject, stop, commands);
    }
}
