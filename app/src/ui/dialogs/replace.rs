//! The question about a file that is there already.

use std::path::Path;

use egui::{Context, Label};

use super::{keep_keyboard, modal};
use crate::state::{Command, PathUse};
use crate::ui::file_words;
use crate::ui::parts::part_name;
use crate::ui::theme::SPACE;

/// Draws it; the keyboard starts on the answer that loses nothing.
pub(super) fn show(context: &Context, purpose: PathUse, path: &Path, commands: &mut Vec<Command>) {
    let modal = modal(context, "file in the way").show(context, |ui| {
        ui.set_width(440.0);
        part_name(ui, file_words::REPLACE_TITLE);
        ui.add(Label::new(file_words::replace_question(path)).wrap());
        ui.add_space(SPACE);
        ui.horizontal(|ui| {
            let replace = ui.button(file_words::REPLACE);
            let stay = ui.button(file_words::STAY);
            keep_keyboard(&stay, &[&replace]);
            if replace.clicked() {
                commands.push(Command::Replace(purpose, path.to_owned()));
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
