//! The Shelf: every target with its best time, port and view through the evening, or the one reason why not.
//!
//! What is listed is found by the state when something has changed; here it is drawn. Read `filters` (what is searched
//! for, left out and sorted by), `rows` (the list, of which only what is seen is drawn), `row` (one target) and `curve`.

mod curve;
mod filters;
mod row;
mod rows;
mod words;

use egui::Ui;

use super::parts::{part_name, quiet};
use super::text;
use super::theme::Tokens;
use crate::state::{AppState, Command};

pub use row::row_id;
pub(super) use words::SEARCH;

/// Draws the Shelf.
pub fn show(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    part_name(ui, text::SHELF);
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
