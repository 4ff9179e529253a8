//! The list of keys, from the table of commands.

use egui::{Context, Grid, Ui};

use super::{keep_keyboard, modal, scrolled};
use crate::state::Command;
use crate::ui::commands::{Group, MORE_KEYS, ROWS};
use crate::ui::parts::{heading, part_name, quiet};
use crate::ui::text;
use crate::ui::theme::{SPACE, Tokens};

const WIDTH: f32 = 780.0;
/// Room for all but the list.
const AROUND: f32 = 180.0;
/// Below this width the groups stand in one column.
const TWO_COLUMNS: f32 = 640.0;

/// Draws it.
pub(super) fn show(context: &Context, tokens: &Tokens, commands: &mut Vec<Command>) {
    let modal = modal(context, "list of keys").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 60.0));
        part_name(ui, text::KEYS);
        scrolled(ui, AROUND, |ui| {
            let columns: &[&[Group]] = if ui.available_width() >= TWO_COLUMNS {
                &[&[Group::Stop, Group::Shelf, Group::Card], &[Group::Evening, Group::Files, Group::Window]]
            } else {
                &[&Group::ALL]
            };
            ui.columns(columns.len(), |uis| {
                for (ui, groups) in uis.iter_mut().zip(columns) {
                    for group in *groups {
                        keys_of(ui, tokens, *group);
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

fn keys_of(ui: &mut Ui, tokens: &Tokens, group: Group) {
    ui.add_space(SPACE);
    heading(ui, group.words());
    let named = ROWS.iter().filter(|row| row.group == group && !row.keys.is_empty());
    let named = named.map(|row| (row.all_key_words(), row.words));
    let more = MORE_KEYS.iter().filter(|(other, ..)| *other == group);
    let more = more.map(|(_, keys, meaning)| ((*keys).to_owned(), *meaning));
    let grid = Grid::new(group.words());
    grid.num_columns(2).min_row_height(19.0).min_col_width(150.0).spacing([SPACE, 0.0]).show(ui, |ui| {
        ui.spacing_mut().interact_size.y = 19.0;
        for (keys, meaning) in named.chain(more) {
            ui.label(keys);
            ui.label(quiet(tokens, meaning));
            ui.end_row();
        }
    });
}
