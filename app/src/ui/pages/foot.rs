//! Below the pages: the folder, and what writes, asks about files that are there, or tells how far the writing is.

use std::mem::discriminant;
use std::sync::atomic::Ordering;

use egui::accesskit::Live;
use egui::{Button, Key, Label, ProgressBar, TextEdit, Ui, vec2};

use super::words;
use crate::state::{AppState, Command, Focus, PagesEdit, PagesStep};
use crate::ui::dialogs::{begin_on, keep_keyboard};
use crate::ui::parts::{command_button, quiet};
use crate::ui::theme::{ROW, TIGHT, Tokens};

/// Its height.
pub(super) const HEIGHT: f32 = 2.0 * ROW + 18.0;
/// Width of the button beside the folder.
const CHOOSE: f32 = 84.0;
/// Width of what tells how far the writing is.
const BAR: f32 = 160.0;
/// Least width that leaves room to say what is printed in all.
const ROOMY: f32 = 220.0;

/// Draws it.
pub(super) fn show(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    let step = &state.view.pages.step;
    let is_choosing = matches!(step, PagesStep::Choosing);
    ui.add_enabled_ui(is_choosing, |ui| folder(ui, state, commands));
    ui.add_space(TIGHT);
    // What has the keyboard in one step is nothing to the next.
    ui.push_id(discriminant(step), |ui| {
        ui.horizontal(|ui| match step {
            PagesStep::Choosing | PagesStep::Done(_) => go(ui, state, tokens, commands),
            PagesStep::Asking(names) => ask(ui, state, names, commands),
            PagesStep::Writing { .. } => tell(ui, step, commands),
        });
    });
}

fn folder(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        ui.label(words::FOLDER);
        let mut typed = state.view.pages.folder.clone();
        let width = ui.available_width() - CHOOSE - 2.0 * TIGHT;
        let field = TextEdit::singleline(&mut typed).desired_width(width).min_size(vec2(0.0, ROW));
        let field = ui.add(field).on_hover_text(words::FOLDER_HINT);
        ui.ctx().accesskit_node_builder(field.id, |node| {
            node.set_label(words::FOLDER);
            node.set_description(words::FOLDER_HINT);
        });
        if state.view.focus == Some(Focus::Folder) {
            field.request_focus();
        }
        if field.changed() {
            commands.push(Command::Pages(PagesEdit::Folder(typed)));
        }
        if field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
            commands.push(Command::Pages(PagesEdit::Write));
        }
        let names = (words::CHOOSE, words::CHOOSE_NAME);
        command_button(ui, state, commands, names, Command::Pages(PagesEdit::ChooseFolder));
    });
}

fn go(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    let write = words::write(state.settings().pages.included().len());
    let write = command_button(ui, state, commands, (&write, &write), Command::Pages(PagesEdit::Write));
    begin_on(&write);
    if ui.button(words::CLOSE).clicked() {
        commands.push(Command::Dismiss);
    }
    if ui.available_width() >= ROOMY {
        ui.label(quiet(tokens, in_all(state)));
    }
}

/// What is printed in all.
fn in_all(state: &AppState) -> String {
    let Some(open) = state.open() else { return String::new() };
    let choice = &state.settings().pages;
    let house = &open.document.evening.house;
    let mut copies = 0;
    let mut sides = Some(0);
    for output in choice.included() {
        let own = choice.copies(output, house);
        let count = state.sides(output).and_then(|sides| sides.as_ref().ok()).map(|sides| sides.len());
        let more = if own == 0 { Some(0) } else { count.map(|count| count * own as usize) };
        copies += own;
        sides = sides.zip(more).map(|(before, more)| before + more);
    }
    words::in_all(copies, sides)
}

/// Files are there already; the keyboard starts on the answer that loses nothing.
fn ask(ui: &mut Ui, state: &AppState, names: &[String], commands: &mut Vec<Command>) {
    let question = ui.label(words::in_the_way(names)).on_hover_text(names.join("\n"));
    ui.ctx().accesskit_node_builder(question.id, |node| node.set_live(Live::Polite));
    let replace = words::replace(names.len());
    let replace =
        command_button(ui, state, commands, (&replace, &replace), Command::Pages(PagesEdit::Replace));
    let keep = ui.button(words::KEEP);
    keep_keyboard(&keep, &[&replace]);
    if keep.clicked() {
        commands.push(Command::Pages(PagesEdit::Back));
    }
}

/// How far the writing is.
fn tell(ui: &mut Ui, step: &PagesStep, commands: &mut Vec<Command>) {
    let PagesStep::Writing { outputs, done, stop, .. } = step else { return };
    let Some(output) = outputs.get(*done) else { return };
    let words = words::progress(*done, outputs.len(), words::about(*output).0);
    let share = *done as f32 / outputs.len() as f32;
    ui.add(ProgressBar::new(share).desired_width(BAR).desired_height(ROW));
    let is_stopping = stop.load(Ordering::Relaxed);
    let cancel = ui.add_enabled(!is_stopping, Button::new(words::CANCEL)).on_hover_text(words::CANCEL_NAME);
    keep_keyboard(&cancel, &[]);
    if cancel.clicked() {
        commands.push(Command::Pages(PagesEdit::Cancel));
    }
    let words = if is_stopping { words::STOPPING.to_owned() } else { words };
    let told = ui.add(Label::new(words).truncate());
    ui.ctx().accesskit_node_builder(told.id, |node| node.set_live(Live::Polite));
}
