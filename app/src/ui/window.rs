//! One frame of the window: what the state is, drawn; what the user wants, applied at the end.

use std::hint::black_box;
use std::mem::replace;
use std::path::PathBuf;

use egui::{
    Align2, CentralPanel, Context, Frame, Id, LayerId, Margin, Memory, Order, Panel, Popup, Rect, Role,
    Stroke, StrokeKind, Ui, UiBuilder, WidgetInfo, accesskit_root_id, vec2,
};

use super::keys::{self, KeyboardOn};
use super::parts::toggle;
use super::theme::{self, CORNER, HAIR, HEADING, ONE_PART, SPACE, TWO_SIDES, Tokens, WIDE, semibold};
use super::{board, card, dialogs, escape, order_rules, reading_order, shelf, status_bar, text, top_bar};
use crate::state::{AppState, Command, Dialog, Palette, PathUse, Selected, Side, apply};

/// Below this width of the window Shelf and Card become narrower.
const ROOMY: f32 = 1180.0;
const NARROW_CARD: f32 = 302.0;
/// Height of the status bar.
const FOOT: f32 = 34.0;

/// What a frame takes for its shapes and meshes is well within this, in bytes.
const FRAME_MEMORY: usize = 4 << 20;

/// Prepares a context: fonts and the day palette. The size of the text is a command like any other.
pub fn set_up(context: &Context) {
    // Each frame gives back all it took. The C library hands free memory to the system where that is more than twice the
    // largest block ever given back, to fetch it page by page in the next frame, which took a third of the time of one:
    // so one block as large as that is given back once. It is never written to, so it takes no memory (mallopt(3),
    // M_TRIM_THRESHOLD, "dynamic mmap threshold").
    drop(black_box(Vec::<u8>::with_capacity(FRAME_MEMORY)));
    context.options_mut(|options| options.zoom_with_keyboard = false);
    theme::install_fonts(context);
    theme::put_on(context, Palette::Day);
}

/// Draws a frame and does what the user wants.
pub fn show(ui: &mut Ui, state: &mut AppState) {
    state.take_answers();
    state.list_shelf();
    wear(ui, state.view.palette);
    ui.ctx().set_zoom_factor(f32::from(state.settings().text_percent) / 100.0);
    let tokens = Tokens::of(state.view.palette);
    let mut commands = Vec::new();
    keys::read(ui.ctx(), keyboard(ui.ctx(), state), &mut commands);
    name_window(ui.ctx(), state);
    take_dropped(ui.ctx(), &mut commands);
    let bar = |fill, margin| Frame::new().fill(fill).inner_margin(Margin::symmetric(WIDE as i8, margin));
    let part = |fill| Frame::new().fill(fill).inner_margin(Margin::symmetric(WIDE as i8, SPACE as i8));
    let width = ui.available_width();
    let roomy = width >= ROOMY;
    // The foot has its place first, but is drawn and read out last.
    let whole = ui.available_rect_before_wrap();
    let (above, foot) = whole.split_top_bottom_at_y(whole.bottom() - FOOT);
    let page = &mut ui.new_child(UiBuilder::new().id_salt("page").max_rect(above));
    Panel::top("top bar").exact_size(44.0).frame(bar(tokens.panel, 6)).show(page, |ui| {
        top_bar::show(ui, state, &mut commands);
    });
    let side = |panel: Panel, width: f32| panel.exact_size(width).frame(part(tokens.panel)).resizable(false);
    if width >= TWO_SIDES {
        side(Panel::left("shelf"), if roomy { 262.0 } else { 220.0 }).show(page, |ui| {
            shelf::show(ui, state, tokens, &mut commands);
        });
        side(Panel::right("card"), if roomy { 330.0 } else { NARROW_CARD }).show(page, |ui| {
            right_part(ui, state, tokens, &mut commands);
        });
    } else if width >= ONE_PART && state.view.side != Side::Board {
        side(Panel::right("side"), NARROW_CARD).show(page, |ui| {
            part_switch(ui, state, &mut commands);
            one_side(ui, state, tokens, &mut commands);
        });
    }
    CentralPanel::default().frame(part(tokens.ground).stroke(Stroke::NONE)).show(page, |ui| {
        let board_alone = width >= TWO_SIDES || state.view.side == Side::Board;
        if width < TWO_SIDES && (width < ONE_PART || state.view.side == Side::Board) {
            part_switch(ui, state, &mut commands);
        }
        if width >= ONE_PART || board_alone {
            board::show(ui, state, tokens, &mut commands);
        } else {
            one_side(ui, state, tokens, &mut commands);
            // There is no Board to put it down on.
            commands.retain(|command| !matches!(command, Command::Dragging(Some(_))));
            if state.view.drag.is_some() {
                commands.push(Command::Dragging(None));
            }
        }
    });
    let mut below = ui.new_child(UiBuilder::new().id_salt("status bar").max_rect(foot));
    CentralPanel::default().frame(bar(tokens.panel, 2)).show(&mut below, |ui| {
        status_bar::show(ui, state, tokens, &mut commands);
    });
    ui.painter().hline(foot.x_range(), foot.top(), Stroke::new(HAIR, tokens.hair));
    escape::watch(ui.ctx(), state);
    dialogs::show(ui.ctx(), state, tokens, &mut commands);
    show_hovering_files(ui.ctx(), tokens);
    show_focus(ui.ctx(), tokens);
    reading_order::apply(ui.ctx(), state.open());
    state.view.focus = None;
    if width < ONE_PART && commands.contains(&Command::ToggleSky) {
        commands.push(Command::ShowSide(Side::Board));
    }
    if !commands.is_empty() {
        ui.ctx().request_repaint();
    }
    // What opens over a part takes the pointer off it, and its tooltip away, a frame later.
    let over = Id::unique("something over the window");
    let is_over = state.view.dialog.is_some();
    let was_over = ui.data_mut(|data| replace(data.get_temp_mut_or_default::<bool>(over), is_over));
    if was_over != is_over {
        ui.ctx().request_repaint();
    }
    if let Some(focus) = escape::keep_keyboard(ui.ctx(), state, (is_over, was_over)) {
        state.view.focus = Some(focus);
        ui.ctx().request_repaint();
    }
    for command in commands {
        if command == Command::ToBoard && width < ONE_PART {
            apply(state, Command::ShowSide(Side::Board));
        }
        apply(state, command);
    }
}

/// How to get from one part to another where not all have room.
fn part_switch(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) {
    let parts = [
        (Side::Shelf, text::SHELF, text::TO_SHELF),
        (Side::Board, text::BOARD, text::TO_BOARD),
        (Side::Card, text::CARD, text::TO_CARD),
    ];
    ui.horizontal(|ui| {
        for (side, word, name) in parts {
            let on = state.view.side == side;
            let button = toggle(ui, word, on, true).on_hover_text(name);
            button.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, on, name));
            if button.clicked() {
                commands.push(Command::ShowSide(side));
            }
        }
    });
}

/// Shelf or Card.
fn one_side(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    match state.view.side {
        Side::Shelf => shelf::show(ui, state, tokens, commands),
        Side::Card | Side::Board => right_part(ui, state, tokens, commands),
    }
}

/// Files dropped on the window. On Wayland none arrive: the button beside opens them as well.
fn take_dropped(context: &Context, commands: &mut Vec<Command>) {
    let paths: Vec<PathBuf> =
        context.input(|input| input.raw.dropped_files.iter().map(|file| file.path().to_owned()).collect());
    if !paths.is_empty() {
        commands.push(Command::Dropped(paths));
    }
}

/// Says over the window what becomes of files that are held over it.
fn show_hovering_files(context: &Context, tokens: &Tokens) {
    if context.input(|input| input.raw.hovered_files.is_empty()) {
        return;
    }
    let painter = context.layer_painter(LayerId::new(Order::Foreground, Id::unique("files over the window")));
    let words = painter.layout_no_wrap(text::LET_GO.to_owned(), semibold(HEADING), tokens.ink);
    let frame = Rect::from_center_size(context.content_rect().center(), words.size() + vec2(40.0, 28.0));
    painter.rect(frame, CORNER, tokens.raised, Stroke::new(2.0, tokens.accent), StrokeKind::Inside);
    painter.galley(Align2::CENTER_CENTER.align_size_within_rect(words.size(), frame).min, words, tokens.ink);
}

/// A ring around what the keyboard is on, the same everywhere (WCAG 2.2, success criteria 2.4.7 and 2.4.11).
fn show_focus(context: &Context, tokens: &Tokens) {
    let focused = context.memory(Memory::focused).and_then(|id| context.read_response(id));
    let Some(focused) = focused else { return };
    let ring = focused.rect.intersect(focused.interact_rect.expand(1.0)).expand(1.0);
    if ring.is_positive() {
        let layer = LayerId::new(Order::Tooltip, Id::unique("keyboard ring"));
        let painter = context.layer_painter(layer);
        // A dark line within a light one stands out on any ground.
        painter.rect_stroke(ring.expand(1.0), CORNER, Stroke::new(1.0, tokens.raised), StrokeKind::Outside);
        painter.rect_stroke(ring, CORNER, Stroke::new(2.0, tokens.accent), StrokeKind::Middle);
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
        Some(open) => {
            let document = &open.document;
            text::window_title(&document.evening.title, document.path.as_deref(), document.is_dirty())
        }
        None => text::PROGRAM.to_owned(),
    }
}

/// Asks for a wanted path inside the window, where the desktop has no dialog.
pub fn ask_inside(state: &mut AppState) {
    if state.view.wants_path == Some(PathUse::Folder) {
        state.view.wants_path = None;
        state.type_folder();
    } else if let Some(purpose) = state.view.wants_path.take() {
        let text = state.suggested_path(purpose).display().to_string();
        state.view.dialog = Some(Dialog::Path { purpose, text });
    }
}
