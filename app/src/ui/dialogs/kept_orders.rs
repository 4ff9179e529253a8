//! The running orders of the evening: which one stands, which are kept beside it.

use egui::{Align, Context, Key, Label, Layout, TextEdit, Ui, vec2};
use evenfall_core::plan::LONGEST_VERSION_NAME;

use super::{begin_on, modal};
use crate::state::{AppState, Command, OpenEvening};
use crate::ui::parts::{command_button, heading, part_name, quiet};
use crate::ui::text;
use crate::ui::theme::{ROW, SPACE, TIGHT, Tokens};

const WIDTH: f32 = 460.0;

const TITLE: &str = "Running orders";
const HINT: &str = "Keep an order beside the one on the Board, such as for a cloudy sky, and switch when it is needed. \
                    While doors are open what has been shown stays.";
const KEPT: &str = "Kept";
const NONE_KEPT: &str = "None is kept yet.";
const NAME: &str = "Keep this one as";
const KEEP: &str = "Keep";
const SWITCH: &str = "Switch to it";
const FORGET: &str = "Forget";

/// Draws them; the keyboard starts in the field of the name.
pub(super) fn show(
    context: &Context,
    state: &AppState,
    typed: &str,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let Some(open) = state.open() else { return };
    let modal = modal(context, "running orders").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 80.0));
        part_name(ui, TITLE);
        ui.label(quiet(tokens, HINT));
        ui.add_space(SPACE);
        if !open.document.evening.version.is_empty() {
            ui.label(format!("On the Board: {}", open.document.evening.version));
        }
        kept(ui, state, open, tokens, commands);
        ui.add_space(SPACE);
        keep(ui, state, typed, commands);
    });
    if modal.should_close() {
        commands.push(Command::Dismiss);
    }
}

/// Those that are kept, each with what can be done.
fn kept(ui: &mut Ui, state: &AppState, open: &OpenEvening, tokens: &Tokens, commands: &mut Vec<Command>) {
    heading(ui, KEPT);
    let versions = &open.document.evening.versions;
    if versions.is_empty() {
        ui.label(quiet(tokens, NONE_KEPT));
    }
    for version in versions {
        ui.horizontal(|ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let forget = format!("{FORGET} {}", version.name);
                let drop = Command::DropOrder(version.name.clone());
                command_button(ui, state, commands, (FORGET, &forget), drop);
                let switch = format!("Switch to {}", version.name);
                let to = Command::SwitchOrder(version.name.clone());
                command_button(ui, state, commands, (SWITCH, &switch), to);
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    ui.add(Label::new(&version.name).truncate());
                });
            });
        });
    }
}

/// The field of the name under which the order on the Board is kept.
fn keep(ui: &mut Ui, state: &AppState, typed: &str, commands: &mut Vec<Command>) {
    ui.label(NAME);
    let mut name = typed.to_owned();
    let response =
        ui.add(TextEdit::singleline(&mut name).desired_width(f32::INFINITY).min_size(vec2(0.0, ROW)));
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_label(NAME);
        node.set_description(format!("A name such as Cloudy, up to {LONGEST_VERSION_NAME} characters"));
    });
    begin_on(&response);
    if response.changed() {
        commands.push(Command::OrderName(name.clone()));
    }
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    ui.add_space(TIGHT);
    ui.horizontal(|ui| {
        let keep = Command::KeepOrder(name.clone());
        command_button(ui, state, commands, (KEEP, KEEP), keep.clone());
        let close = ui.button(text::CLOSE);
        if entered && keep.allowed(state) {
            commands.push(keep);
        }
        if close.clicked() {
            commands.push(Command::Dismiss);
        }
    });
}
