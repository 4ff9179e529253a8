//! The list of keys.

use egui::{Context, Grid, Id, Modal, ScrollArea};

use super::keep_keyboard;
use crate::state::Command;
use crate::ui::parts::{heading, part_name, quiet};
use crate::ui::text;
use crate::ui::theme::{SPACE, Tokens};

/// Draws it.
pub(super) fn show(context: &Context, tokens: &Tokens, commands: &mut Vec<Command>) {
    let modal = Modal::new(Id::unique("list of keys")).show(context, |ui| {
        ui.set_width(520.0);
        part_name(ui, text::KEYS);
        let height = (ui.ctx().content_rect().height() - 180.0).max(160.0);
        ScrollArea::vertical().max_height(height).show(ui, |ui| {
            for (group, keys) in text::KEY_LIST {
                ui.add_space(SPACE);
                heading(ui, group);
                Grid::new(group).num_columns(2).min_col_width(190.0).spacing([16.0, 0.0]).show(ui, |ui| {
                    ui.spacing_mut().interact_size.y = 19.0;
                    for (key, meaning) in keys {
                        ui.label(*key);
                        ui.label(quiet(tokens, *meaning));
                        ui.end_row();
                    }
                });
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
