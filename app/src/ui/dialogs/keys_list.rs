//! The list of keys.

use egui::{Context, Grid, ScrollArea, Ui};

use super::{keep_keyboard, modal};
use crate::state::Command;
use crate::ui::parts::{heading, part_name, quiet};
use crate::ui::text;
use crate::ui::theme::{SPACE, Tokens};

const WIDTH: f32 = 740.0;

/// Draws it.
pub(super) fn show(context: &Context, tokens: &Tokens, commands: &mut Vec<Command>) {
    let modal = modal(context, "list of keys").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 80.0));
        part_name(ui, text::KEYS);
        let height = (ui.ctx().content_rect().height() - 180.0).max(160.0);
        ScrollArea::vertical().auto_shrink([false, true]).max_height(height).show(ui, |ui| {
            let [stop, shelf, card, evening] = text::KEY_LIST;
            ui.columns(2, |columns| {
                for (column, groups) in columns.iter_mut().zip([vec![stop, shelf, card], vec![evening]]) {
                    for (name, keys) in groups {
                        group(column, tokens, name, keys);
                    }
                }
            });
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

fn group(ui: &mut Ui, tokens: &Tokens, name: &str, keys: &[(&str, &str)]) {
    ui.add_space(SPACE);
    heading(ui, name);
    let grid = Grid::new(name).num_columns(2).min_row_height(19.0).min_col_width(150.0).spacing([SPACE, 0.0]);
    grid.show(ui, |ui| {
        ui.spacing_mut().interact_size.y = 19.0;
        for (key, meaning) in keys {
            ui.label(*key);
            ui.label(quiet(tokens, *meaning));
            ui.end_row();
        }
    });
}
