//! The question about the description of an evening of one's own that would be lost.

use egui::Context;

use super::{keep_keyboard, modal};
use crate::state::{Command, Then};
use crate::ui::file_words;
use crate::ui::parts::part_name;
use crate::ui::theme::SPACE;

const TITLE: &str = "Your own evening is not written yet";
const LOST: &str = "What you have typed for it would be lost.";
const BACK: &str = "Back to the page";
const LOSE: &str = "Throw it away";

/// Draws it; the keyboard starts on the answer that loses nothing.
pub(super) fn show(context: &Context, then: &Then, commands: &mut Vec<Command>) {
    let modal = modal(context, "own evening would be lost").show(context, |ui| {
        ui.set_width(440.0);
        part_name(ui, TITLE);
        ui.label(format!("{} {LOST}", file_words::unsaved_question(then)));
        ui.add_space(SPACE);
        ui.horizontal(|ui| {
            let back = ui.button(BACK);
            let lose = ui.button(LOSE);
            keep_keyboard(&back, &[&lose]);
            if back.clicked() {
                commands.push(Command::Dismiss);
            }
            if lose.clicked() {
                commands.push(Command::DiscardThen(then.clone()));
            }
        });
    });
    if modal.should_close() {
        commands.push(Command::Dismiss);
    }
}
