//! Faults of the files of an evening: each with its place and what to do.

use egui::{Context, Label, ScrollArea};

use super::{keep_keyboard, modal};
use crate::state::Command;
use crate::ui::parts::{part_name, quiet};
use crate::ui::text;
use crate::ui::theme::{SPACE, Tokens};

const WIDTH: f32 = 680.0;

/// Draws them.
pub(super) fn show(
    context: &Context,
    opened: bool,
    lines: &[String],
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let modal = modal(context, "faults").show(context, |ui| {
        ui.set_width(WIDTH);
        part_name(ui, if opened { text::OPENED_IN_PART } else { text::NOT_OPENED });
        ui.label(quiet(tokens, if opened { text::LEFT_OUT } else { text::MEND_FIRST }));
        ui.add_space(SPACE);
        let height = (ui.ctx().content_rect().height() - 220.0).max(120.0);
        ScrollArea::vertical().auto_shrink([false, true]).max_height(height).show(ui, |ui| {
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
