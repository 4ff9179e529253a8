//! A path to type, where the desktop offers no file dialog.

use std::path::PathBuf;

use egui::{Context, Key, TextEdit, vec2};

use super::{keep_keyboard, modal};
use crate::state::{Command, PathUse};
use crate::ui::file_words;
use crate::ui::parts::{part_name, quiet};
use crate::ui::text;
use crate::ui::theme::{ROW, SPACE, Tokens};

/// Draws it.
pub(super) fn show(
    context: &Context,
    purpose: PathUse,
    typed: &str,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let modal = modal(context, "path").show(context, |ui| {
        ui.set_width(560.0);
        part_name(ui, file_words::path_title(purpose));
        ui.label(quiet(tokens, file_words::PATH_HINT));
        let mut path = typed.to_owned();
        let field = TextEdit::singleline(&mut path).desired_width(f32::INFINITY).min_size(vec2(0.0, ROW));
        let response = ui.add(field);
        ui.ctx().accesskit_node_builder(response.id, |node| {
            node.set_label(file_words::PATH);
            node.set_description(file_words::PATH_HINT);
        });
        if response.changed() {
            commands.push(Command::PathText(path.clone()));
        }
        let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        ui.add_space(SPACE);
        ui.horizontal(|ui| {
            let go = ui.button(file_words::path_go(purpose));
            let stay = ui.button(text::CLOSE);
            if !entered {
                keep_keyboard(&response, &[&go, &stay]);
            }
            if (go.clicked() || entered) && !path.trim().is_empty() {
                commands.push(Command::UsePath(purpose, PathBuf::from(path.trim())));
            }
            if stay.clicked() {
                commands.push(Command::Dismiss);
            }
        });
    });
    if modal.should_close() {
        commands.push(Command::Dismiss);
    }
}
