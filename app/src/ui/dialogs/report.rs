//! What went wrong with files: each fault with its place and what to do.

use egui::{Context, Label};

use super::{keep_keyboard, modal, scrolled};
use crate::state::{Command, Report};
use crate::ui::file_words;
use crate::ui::parts::{part_name, quiet};
use crate::ui::text;
use crate::ui::theme::{SPACE, Tokens};

const WIDTH: f32 = 680.0;
/// Room for all but the list.
const AROUND: f32 = 220.0;

/// Draws them.
pub(super) fn show(
    context: &Context,
    about: Report,
    lines: &[String],
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let modal = modal(context, "report").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 80.0));
        let (title, what_now) = file_words::report(about);
        part_name(ui, title);
        ui.label(quiet(tokens, what_now));
        ui.add_space(SPACE);
        scrolled(ui, AROUND, |ui| {
            for line in lines {
                ui.add(Label::new(line).wrap());
                ui.add_space(SPACE / 2.0);
            }
        });
        ui.add_space(SPACE);
        let button = ui.button(text::CLOSE);
        keep_keyboard(&button, &[]);
        button.clicked()
    });
    if modal.inner || modal.should_close() {
        commands.push(Command::Dismiss);
    }
}
