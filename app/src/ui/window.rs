//! One frame of the window: what the state is, drawn; what the user wants, applied at the end.

use egui::{CentralPanel, Context, Frame, Id, Margin, Memory, Panel, Popup, Stroke, Ui, accesskit_root_id};

use super::keys::{self, KeyboardOn};
use super::parts::toggle;
use super::theme::{self, SPACE, TWO_SIDES, Tokens, WIDE};
use super::{board, card, dialogs, order_rules, shelf, status_bar, text, top_bar};
use crate::state::{AppState, Command, Dialog, Palette, Selected, Side, apply};

/// Below this width of the window Shelf and Card become narrower.
const ROOMY: f32 = 1180.0;
const NARROW_CARD: f32 = 302.0;

/// Prepares a context: fonts and the day palette.
pub fn set_up(context: &Context) {
    theme::install_fonts(context);
    theme::put_on(context, Palette::Day);
}

/// Draws a frame and does what the user wants.
pub fn show(ui: &mut Ui, state: &mut AppState) {
    state.take_answers();
    state.list_shelf();
    wear(ui, state.view.palette);
    let tokens = Tokens::of(state.view.palette);
    let mut commands = Vec::new();
    keys::read(ui.ctx(), keyboard(ui.ctx(), state), &mut commands);
    name_window(ui.ctx(), state);
    let bar = |fill| Frame::new().fill(fill).inner_margin(Margin::symmetric(WIDE as i8, 6));
    let part = |fill| Frame::new().fill(fill).inner_margin(Margin::symmetric(WIDE as i8, SPACE as i8));
    let width = ui.available_width();
    let roomy = width >= ROOMY;
    Panel::top("top bar").exact_size(44.0).frame(bar(tokens.panel)).show(ui, |ui| {
        top_bar::show(ui, state, &mut commands);
    });
    Panel::bottom("status bar").exact_size(34.0).frame(bar(tokens.panel)).show(ui, |ui| {
        status_bar::show(ui, state, tokens, &mut commands);
    });
    let side = |panel: Panel, width: f32| panel.exact_size(width).frame(part(tokens.panel)).resizable(false);
    if width >= TWO_SIDES {
        side(Panel::left("shelf"), if roomy { 262.0 } else { 220.0 }).show(ui, |ui| {
            shelf::show(ui, state, tokens, &mut commands);
        });
        side(Panel::right("card"), if roomy { 330.0 } else { NARROW_CARD }).show(ui, |ui| {
            right_part(ui, state, tokens, &mut commands);
        });
    } else {
        side(Panel::right("side"), NARROW_CARD).show(ui, |ui| {
            one_side(ui, state, tokens, &mut commands);
        });
    }
    CentralPanel::default().frame(part(tokens.ground).stroke(Stroke::NONE)).show(ui, |ui| {
        board::show(ui, state, tokens, &mut commands);
    });
    dialogs::show(ui.ctx(), state, tokens, &mut commands);
    state.view.focus = None;
    if !commands.is_empty() {
        ui.ctx().request_repaint();
    }
    for command in commands {
        apply(state, command);
    }
}

/// Shelf or Card, and how to get to the other.
fn one_side(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        for (side, name) in [(Side::Shelf, text::TO_SHELF), (Side::Card, text::TO_CARD)] {
            if toggle(ui, name, state.view.side == side, true).clicked() {
                commands.push(Command::ShowSide(side));
            }
        }
    });
    match state.view.side {
        Side::Shelf => shelf::show(ui, state, tokens, commands),
        Side::Card => right_part(ui, state, tokens, commands),
    }
}

/// The Card, or the order rules in its place.
fn right_part(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    if state.view.rules.open {
        order_rules::show(ui, state, tokens, commands);
    } else {
        card::show(ui, state, tokens, commands);
    }
}

/// Puts the palette on when it has changed.
fn wear(ui: &mut Ui, palette: Palette) {
    let id = Id::unique("palette worn");
    let worn = ui.data(|data| data.get_temp::<Palette>(id));
    if worn != Some(palette) {
        ui.data_mut(|data| data.insert_temp(id, palette));
        theme::put_on(ui.ctx(), palette);
        let style = ui.ctx().global_style();
        ui.set_style(style);
    }
}

fn keyboard(context: &Context, state: &AppState) -> KeyboardOn {
    if state.view.dialog.is_some() || Popup::is_any_open(context) {
        return KeyboardOn::Dialog;
    }
    if context.text_edit_focused() {
        return KeyboardOn::Text;
    }
    match (context.memory(Memory::focused), &state.view.selected) {
        (None, _) => KeyboardOn::Board,
        (Some(id), Some(Selected::Stop(stop))) if id == board::stop_widget_id(*stop) => KeyboardOn::Board,
        (Some(id), Some(Selected::Target(target))) if id == shelf::row_id(target) => KeyboardOn::Shelf,
        _ => KeyboardOn::Elsewhere,
    }
}

/// The window's name for a screen reader.
fn name_window(context: &Context, state: &AppState) {
    let title = window_title(state);
    context.accesskit_node_builder(accesskit_root_id(), |node| node.set_label(title));
}

/// The window's name: the evening's title and the program's.
pub fn window_title(state: &AppState) -> String {
    match state.open() {
        Some(open) => format!("{} – {}", open.document.evening.title, text::PROGRAM),
        None => text::PROGRAM.to_owned(),
    }
}

/// Asks for a wanted path inside the window, where the desktop has no dialog.
pub fn ask_inside(state: &mut AppState) {
    if let Some(purpose) = state.view.wants_path.take() {
        let text = state.suggested_path(purpose).display().to_string();
        state.view.dialog = Some(Dialog::Path { purpose, text });
    }
}
