//! The Shelf: every target with its best time, port and view through the evening, or the one reason why not.
//!
//! What is listed is found by the state when something has changed; here it is drawn. Read `filters` (what is searched
//! for, left out and sorted by), `rows` (the list, of which only what is seen is drawn), `row` (one target) and `curve`.

mod curve;
mod filters;
mod row;
mod rows;
mod words;

use egui::{Align, Button, Layout, Ui, vec2};

use super::commands::{row_of, why_not};
use super::parts::{part_name, quiet};
use super::text;
use super::theme::{ROW, Tokens};
use crate::state::{AppState, Command};

pub(super) use row::row_id;
pub(super) use words::SEARCH;

/// Draws the Shelf.
pub fn show(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        part_name(ui, text::SHELF);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| add(ui, state, commands));
    });
    let leave_down = filters::show(ui, state, tokens, commands);
    let Some(open) = state.open() else { return };
    let list = state.shelf_list();
    if leave_down && let Some(first) = list.rows.first() {
        commands.push(Command::WalkTo(first.target_index));
    }
    if list.rows.is_empty() {
        let nothing = open.document.stock.catalogue.targets.is_empty();
        let searched = !state.view.search.trim().is_empty();
        if let Some(why) = filters::why_nothing(state, nothing, searched) {
            ui.label(quiet(tokens, why));
        }
    }
    rows::show(ui, state, open, list, tokens, commands);
}

/// What can be added to the catalogue.
fn add(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) {
    let menu = ui.menu_button(words::ADD, |ui| {
        for command in [Command::AskNewTarget, Command::AskList, Command::AskTarget] {
            let Some(row) = row_of(&command) else { continue };
            let button = Button::new(row.words).right_text(row.key_words()).min_size(vec2(0.0, ROW));
            let entry = ui.add_enabled(command.allowed(state), button);
            let entry =
                entry.on_hover_text(row.hint).on_disabled_hover_text(why_not(state, &command).unwrap_or(""));
            if entry.clicked() {
                commands.push(command);
            }
        }
    });
    menu.response.on_hover_text(words::ADD_HINT);
}
