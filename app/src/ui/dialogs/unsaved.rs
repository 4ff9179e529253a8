//! The question about changes that are not saved.

use egui::Context;

use super::{keep_keyboard, modal};
use crate::state::{AppState, Command, Then};
use crate::ui::file_words;
use crate::ui::parts::part_name;
use crate::ui::theme::SPACE;

/// Draws it; the keyboard starts on the answer that loses nothing.
pub(super) fn show(context: &Context, state: &AppState, then: &Then, commands: &mut Vec<Command>) {
    let modal = modal(context, "unsaved changes").show(context, |ui| {
        ui.set_width(440.0);
        part_name(ui, file_words::UNSAVED_TITLE);
        ui.label(file_words::unsaved_question(then));
        if let Some(open) = state.open() {
            let (evening, parts) = open.document.not_saved();
            ui.label(file_words::not_saved(evening, &parts));
        }
        ui.add_space(SPACE);
        ui.horizontal(|ui| {
            let save = ui.button(file_words::UNSAVED_SAVE);
            let discard = ui.button(file_words::UNSAVED_DISCARD);
            let stay = ui.button(file_words::STAY);
            keep_keyboard(&save, &[&discard, &stay]);
            if save.clicked() {
                commands.push(Command::SaveThen(then.clone()));
            }
            if discard.clicked() {
                commands.push(Command::DiscardThen(then.clone()));
            }
            if stay.clicked() {
                commands.push(Command::Dismiss);
            }
        });
    });
    if modal.should_close() {
        commands.push(Command::Dismiss);
    }
}
