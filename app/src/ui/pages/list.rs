//! What can be written: a box to include it, its name and for whom it is, how many copies, how many sides.

use egui::{Align2, Button, Checkbox, EventFilter, Key, Response, Role, Sense, Ui, WidgetInfo, pos2, vec2};
use evenfall_core::output::Output;

use super::words;
use crate::state::{AppState, Command, MOST_COPIES, PagesEdit};
use crate::ui::dialogs::begin_on;
use crate::ui::fields::copies_field;
use crate::ui::parts::{one_line, small};
use crate::ui::theme::{BODY, CORNER, HEAVY, ROW, SMALL, SPACE, TIGHT, Tokens, regular, semibold};

/// Height of a row.
const HEIGHT: f32 = 40.0;
/// Width of the box, of what sets the copies, and of the number of sides.
const BOX: f32 = ROW;
const COPIES: f32 = 128.0;
const SIDES: f32 = 58.0;

/// Draws them; the keyboard starts on the one that is looked at, which is given back in the frame in which it does.
pub(super) fn show(
    ui: &mut Ui,
    state: &AppState,
    enabled: bool,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) -> Option<Response> {
    let mut rows = Vec::new();
    ui.spacing_mut().item_spacing.y = 2.0;
    for output in Output::ALL {
        let response = row(ui, state, output, enabled, tokens, commands);
        rows.push((output, response));
    }
    let shown = rows.iter().find(|(output, _)| *output == state.view.pages.shown);
    let begun = shown.map(|(_, row)| row.clone()).filter(begin_on);
    walk(ui, state, &rows, commands);
    begun
}

/// All of it or nothing, and the usual copies.
pub(super) fn at_once(ui: &mut Ui, state: &AppState, enabled: bool, commands: &mut Vec<Command>) {
    for (label, name, includes) in
        [(words::ALL, words::ALL_NAME, true), (words::NONE, words::NONE_NAME, false)]
    {
        let button = ui.add_enabled(enabled, Button::new(label)).on_hover_text(name);
        button.widget_info(|| WidgetInfo::labeled(Role::Button, enabled, name));
        if button.clicked() {
            commands.push(Command::Pages(PagesEdit::IncludeAll(includes)));
        }
    }
    let has_own = state.settings().pages.has_own_copies();
    let usual = ui.add_enabled(enabled && has_own, Button::new(words::USUAL_COPIES));
    if usual.on_hover_text(words::USUAL_COPIES_HINT).clicked() {
        commands.push(Command::Pages(PagesEdit::UsualCopies));
    }
}

fn row(
    ui: &mut Ui,
    state: &AppState,
    output: Output,
    enabled: bool,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) -> Response {
    let (name, _) = words::about(output);
    let includes = state.settings().pages.includes(output);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = TIGHT;
        ui.add_enabled_ui(enabled, |ui| {
            let mut ticked = includes;
            let tick = ui.add_sized(vec2(BOX, HEIGHT), Checkbox::without_text(&mut ticked));
            let spoken = format!("Write {name}");
            tick.widget_info(|| WidgetInfo::selected(Role::CheckBox, enabled, includes, &spoken));
            if tick.clicked() {
                commands.push(Command::Pages(PagesEdit::Include(output, ticked)));
            }
        });
        let width = ui.available_width() - COPIES - SIDES - 2.0 * TIGHT;
        let shows = name_button(ui, state, output, width.max(120.0), tokens, commands);
        let (space, _) = ui.allocate_exact_size(vec2(SIDES, HEIGHT), Sense::hover());
        if let Some(Ok(sides)) = state.sides(output) {
            let at = pos2(space.right() - TIGHT, space.center().y);
            small(ui.painter(), at, Align2::RIGHT_CENTER, words::sides(sides.len()), tokens.quiet);
        }
        if output.is_page() {
            ui.add_enabled_ui(enabled && includes, |ui| copies(ui, state, output, name, commands));
        }
        shows
    })
    .inner
}

/// The name, with for whom it is below it.
fn name_button(
    ui: &mut Ui,
    state: &AppState,
    output: Output,
    width: f32,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) -> Response {
    let (name, whom) = words::about(output);
    let shown = state.view.pages.shown == output;
    let (rect, response) = ui.allocate_exact_size(vec2(width, HEIGHT), Sense::click());
    let count = state.sides(output).and_then(|sides| sides.as_ref().ok()).map(|sides| sides.len());
    let sides = count.map_or_else(String::new, |count| format!(", {}", words::sides(count)));
    let spoken = format!("{name}, {whom}{sides}");
    response.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, shown, &spoken));
    let painter = ui.painter();
    if shown {
        painter.rect_filled(rect, CORNER, tokens.accent_soft);
        painter.rect_filled(rect.with_max_x(rect.left() + HEAVY), 0.0, tokens.accent);
    } else if response.hovered() {
        painter.rect_filled(rect, CORNER, tokens.button_hover);
    }
    let room = width - 2.0 * SPACE;
    let font = if shown { semibold(BODY) } else { regular(BODY) };
    let line = one_line(painter, name, font, tokens.ink, room);
    painter.galley(pos2(rect.left() + SPACE, rect.top() + 2.0), line, tokens.ink);
    // On what is filled the quieter ink is too quiet.
    let ink = if shown { tokens.ink } else { tokens.quiet };
    let line = one_line(painter, whom, regular(SMALL), ink, room);
    painter.galley(pos2(rect.left() + SPACE, rect.top() + 21.0), line, ink);
    if response.clicked() {
        commands.push(Command::Pages(PagesEdit::Show(output)));
    }
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    response
}

/// Up and down go from name to name, and look at each; Tab only passes by.
fn walk(ui: &Ui, state: &AppState, rows: &[(Output, Response)], commands: &mut Vec<Command>) {
    let Some(at) = rows.iter().position(|(_, row)| row.has_focus()) else { return };
    let filter = EventFilter { vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(rows[at].1.id, filter));
    let (up, down, home, end) = ui.input(|input| {
        let pressed = |key| input.key_pressed(key);
        (pressed(Key::ArrowUp), pressed(Key::ArrowDown), pressed(Key::Home), pressed(Key::End))
    });
    let last = rows.len() - 1;
    let to = match (up, down, home, end) {
        (true, ..) => at.saturating_sub(1),
        (_, true, ..) => (at + 1).min(last),
        (_, _, true, _) => 0,
        (.., true) => last,
        _ => at,
    };
    let (output, row) = &rows[to];
    if to != at {
        row.request_focus();
        row.scroll_to_me(None);
        if state.view.pages.shown != *output {
            commands.push(Command::Pages(PagesEdit::Show(*output)));
        }
    }
}

/// How many copies, with a button for one less and one more.
fn copies(ui: &mut Ui, state: &AppState, output: Output, name: &str, commands: &mut Vec<Command>) {
    let Some(open) = state.open() else { return };
    let now = state.settings().pages.copies(output, &open.document.evening.house);
    let step = |ui: &mut Ui, sign: &str, spoken: String, to: Option<u32>| {
        let button = ui.add_enabled(to.is_some(), Button::new(sign).min_size(vec2(ROW, ROW)));
        button.widget_info(|| WidgetInfo::labeled(Role::Button, to.is_some(), &spoken));
        if button.on_hover_text(&spoken).clicked() { to } else { None }
    };
    let fewer = step(ui, "−", format!("One copy less of {name}"), now.checked_sub(1));
    let typed = copies_field(ui, &format!("Copies of {name}"), now, MOST_COPIES);
    let more = Some(now + 1).filter(|more| *more <= MOST_COPIES);
    let more = step(ui, "+", format!("One copy more of {name}"), more);
    if let Some(copies) = fewer.or(typed).or(more) {
        commands.push(Command::Pages(PagesEdit::Copies(output, copies)));
    }
}
