//! The top bar: the evening's menu, its title and date, undo and redo, draft, print, palette, keys.

use egui::{Align, Align2, Button, Key, Layout, RichText, Role, TextEdit, Ui, WidgetInfo, vec2};
use evenfall_core::output::pdf::Paper;

use super::order_rules::words;
use super::parts::{command_button, toggle};
use super::step_words::step_words;
use super::theme::{HEADING, ROW, TWO_SIDES, semibold};
use super::{shaping_words, text};
use crate::state::{AppState, Command, Focus, Notice, Palette};

/// Draws the top bar.
pub fn show(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) {
    ui.horizontal_centered(|ui| {
        menu(ui, state, commands);
        date_controls(ui, state, commands);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            command_button(ui, state, commands, ("?", text::KEYS), Command::ShowKeys);
            let red = state.view.palette == Palette::RedLamp;
            if toggle(ui, text::RED_LAMP, red, true).on_hover_text(text::RED_LAMP_HINT).clicked() {
                commands.push(Command::TogglePalette);
            }
            // Where there is no room for it, the menu has it.
            if ui.ctx().content_rect().width() >= TWO_SIDES {
                let export = Command::Export(Paper::A4);
                command_button(ui, state, commands, (text::RUN_SHEET, text::RUN_SHEET), export);
            }
            command_button(ui, state, commands, (text::SAVE, text::SAVE), Command::Save);
            command_button(ui, state, commands, (text::DRAFT, text::DRAFT), Command::DraftAnew)
                .on_hover_text(text::DRAFT_HINT);
            if state.now_in_doors().is_some() {
                command_button(ui, state, commands, (text::PICK_UP_NOW, text::PICK_UP), Command::AskPickUp);
            }
            rules_button(ui, state, commands);
            let (undo, redo) = names(state);
            command_button(ui, state, commands, (text::REDO, &redo), Command::Redo);
            command_button(ui, state, commands, (text::UNDO, &undo), Command::Undo);
            title(ui, state);
        });
    });
}

/// Opens and closes the order rules.
fn rules_button(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) {
    let (open, known) = (state.view.rules.open, state.open().is_some());
    let button = toggle(ui, words::RULES, open, known).on_hover_text(words::HINT);
    button.widget_info(|| WidgetInfo::selected(Role::CheckBox, known, open, words::ORDER_RULES));
    if button.clicked() {
        commands.push(Command::ToggleRules);
    }
}

fn title(ui: &mut Ui, state: &AppState) {
    let Some(open) = state.open() else { return };
    let words = open.document.evening.title.as_str();
    ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
        if ui.available_width() > 90.0 {
            let label = egui::Label::new(RichText::new(words).font(semibold(HEADING))).truncate();
            ui.add(label).on_hover_text(words);
        }
    });
}

/// Undo and redo with what they would do.
fn names(state: &AppState) -> (String, String) {
    let Some(open) = state.open() else { return (text::UNDO.to_owned(), text::REDO.to_owned()) };
    let night = &open.derived.prepared.night.local;
    let rig = &open.document.stock.rig;
    let named = |word: &str, name: Option<_>| match name {
        Some(name) => format!("{word}: {}", step_words(name, night, rig)),
        None => word.to_owned(),
    };
    (named(text::UNDO, open.history.undo_name()), named(text::REDO, open.history.redo_name()))
}

fn menu(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) {
    let entries = [
        (text::OPEN, "Ctrl O", Command::Open),
        (text::SAVE, "Ctrl S", Command::Save),
        (text::SAVE_AS, "Ctrl Shift S", Command::SaveAs),
        (text::EXPORT_A4, "Ctrl P", Command::Export(Paper::A4)),
        (text::EXPORT_LETTER, "Ctrl Shift P", Command::Export(Paper::Letter)),
        (shaping_words::INSERT_NAME, "I", Command::AskInsert),
        (shaping_words::SPLIT_NAME, "S", Command::SplitSelected),
        (shaping_words::RIPPLE, "M", Command::ToggleRipple),
        (words::ORDER_RULES, "O", Command::ToggleRules),
        (text::PICK_UP, "P", Command::AskPickUp),
        (text::KEPT_ORDERS, "V", Command::ShowOrders),
        (text::EXPORT_PROBLEM, "Ctrl Shift E", Command::ExportProblem),
        (text::KEYS, "F1", Command::ShowKeys),
        (text::QUIT, "Ctrl Q", Command::Close),
    ];
    ui.menu_button(text::EVENING_MENU, |ui| {
        ui.set_min_width(230.0);
        for (label, keys, command) in entries {
            let allowed = command.allowed(state);
            let button = Button::new(label).shortcut_text(keys).frame(false);
            let response = ui.add_enabled(allowed, button.min_size(vec2(230.0, ROW)));
            response.widget_info(|| WidgetInfo::labeled(Role::MenuItem, allowed, label));
            if response.clicked() {
                commands.push(command);
                ui.close();
            }
        }
    });
}

fn date_controls(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) {
    let Some(date) = state.date() else { return };
    command_button(ui, state, commands, ("←", text::DAY_BEFORE), Command::ShiftDate(-1));
    let typed = state.view.date_text.as_ref();
    let mut words = typed.cloned().unwrap_or_else(|| text::date(date));
    let field = TextEdit::singleline(&mut words)
        .hint_text(text::DATE_FORM)
        .desired_width(150.0)
        .min_size(vec2(0.0, ROW))
        .align(Align2::LEFT_CENTER);
    let response = ui.add(field).on_hover_text(text::DATE_HINT);
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_label(text::DATE);
        node.set_description(text::DATE_HINT);
    });
    let called = state.view.focus == Some(Focus::Date);
    if called {
        response.request_focus();
        commands.push(Command::DateText(Some(String::new())));
    }
    if response.changed() {
        commands.push(Command::DateText(Some(words.clone())));
    }
    if response.lost_focus() && !called {
        let entered = ui.input(|input| input.key_pressed(Key::Enter));
        match text::parse_date(&words) {
            Some(date) if entered => commands.push(Command::SetDate(date)),
            None if entered && !words.is_empty() => {
                commands.push(Command::Tell(Notice::Trouble(text::not_a_date(&words))));
                commands.push(Command::DateText(None));
            }
            _ => commands.push(Command::DateText(None)),
        }
    }
    command_button(ui, state, commands, ("→", text::DAY_AFTER), Command::ShiftDate(1));
}
