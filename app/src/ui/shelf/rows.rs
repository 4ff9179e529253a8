//! The list: only the rows that are seen are drawn, however many there are; keys walk through all of them.

use std::collections::BTreeSet;

use egui::{
    EventFilter, Id, Key, Memory, Modifiers, Rect, Role, ScrollArea, Ui, UiBuilder, accesskit, pos2, vec2,
};

use super::row::{ROW_HEIGHT, Shown, row_id};
use super::{row, words};
use crate::state::{AppState, Command, Focus, OpenEvening, ShelfList, ShelfRow};
use crate::ui::theme::Tokens;

/// Under this name the row that has the keyboard is remembered, so that it is not looked for among all.
const FOCUSED: &str = "focused row of the Shelf";

/// Draws the list and listens to it.
pub(super) fn show(
    ui: &mut Ui,
    state: &AppState,
    open: &OpenEvening,
    list: &ShelfList,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let targets = &open.document.stock.catalogue.targets;
    let area = ScrollArea::vertical().id_salt("rows of the Shelf").auto_shrink(false);
    area.show_viewport(ui, |ui, viewport| {
        let count = list.rows.len();
        let top = ui.max_rect().top();
        ui.set_height(ROW_HEIGHT * count as f32);
        let (left, width) = (ui.max_rect().left(), ui.available_width());
        let rect_of = |position: usize| {
            Rect::from_min_size(pos2(left, top + ROW_HEIGHT * position as f32), vec2(width, ROW_HEIGHT))
        };
        let first = (viewport.min.y / ROW_HEIGHT).floor().max(0.0) as usize;
        let last = ((viewport.max.y / ROW_HEIGHT).ceil().max(0.0) as usize).min(count);
        let wanted = match state.view.focus {
            Some(Focus::Row(target_index)) => Some(target_index),
            _ => None,
        };
        // The keyboard stays on its row though that is scrolled away, and goes to one that is not seen yet.
        let beyond: BTreeSet<usize> = [wanted, focused_row(ui, open)]
            .into_iter()
            .flatten()
            .filter_map(|target_index| list.rows.iter().position(|row| row.target_index == target_index))
            .filter(|position| !(first..last).contains(position))
            .collect();
        let builder = UiBuilder::new().accessibility_role(Role::ListBox);
        ui.scope_builder(builder, |ui| {
            ui.ctx().accesskit_node_builder(ui.unique_id(), |node| {
                let seen = ui.clip_rect();
                let [x0, y0, x1, y1] = [seen.left(), seen.top(), seen.right(), seen.bottom()].map(f64::from);
                node.set_bounds(accesskit::Rect { x0, y0, x1, y1 });
                node.set_label(words::LIST);
                node.set_size_of_set(count);
            });
            for position in (first..last).chain(beyond) {
                let own = &list.rows[position];
                let rect = rect_of(position);
                if wanted == Some(own.target_index) {
                    ui.scroll_to_rect(rect, None);
                }
                let shown = Shown { open, list, row: own, position, seen: (first..last).contains(&position) };
                row::show(ui, state, &shown, rect, tokens, commands);
                let id = row_id(&targets[own.target_index].id);
                if ui.memory(|memory| memory.has_focus(id)) {
                    ui.data_mut(|data| data.insert_temp(Id::unique(FOCUSED), own.target_index));
                    let page = ((viewport.height() / ROW_HEIGHT).floor() as usize).max(2) - 1;
                    walk(ui, &list.rows, position, page, (id, commands));
                }
            }
        });
    });
}

/// The target whose row has the keyboard, by its position in the catalogue.
fn focused_row(ui: &Ui, open: &OpenEvening) -> Option<usize> {
    let focused = ui.memory(Memory::focused)?;
    let known: usize = ui.data(|data| data.get_temp(Id::unique(FOCUSED)))?;
    let target = open.document.stock.catalogue.targets.get(known)?;
    (row_id(&target.id) == focused).then_some(known)
}

/// Keys that go from row to row.
fn walk(ui: &Ui, rows: &[ShelfRow], position: usize, page: usize, (id, commands): (Id, &mut Vec<Command>)) {
    let arrows = EventFilter { vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, arrows));
    let last = rows.len().saturating_sub(1);
    let ways = [
        (Key::ArrowDown, position + 1),
        (Key::ArrowUp, position.saturating_sub(1)),
        (Key::PageDown, position + page),
        (Key::PageUp, position.saturating_sub(page)),
        (Key::Home, 0),
        (Key::End, last),
    ];
    for (key, to) in ways {
        let pressed = ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
        if pressed && let Some(own) = rows.get(to.min(last)).filter(|_| to.min(last) != position) {
            commands.push(Command::WalkTo(own.target_index));
        }
    }
}
