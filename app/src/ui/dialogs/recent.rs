//! The evenings opened or saved lately, the last one first.

use std::path::Path;

use egui::{Button, Context, Label, RichText, Role, Ui, WidgetInfo, vec2};

use super::{begin_on, modal, scrolled};
use crate::state::{AppState, Command};
use crate::ui::parts::{part_name, quiet};
use crate::ui::text;
use crate::ui::theme::{ROW, SPACE, Tokens};

const WIDTH: f32 = 560.0;

const TITLE: &str = "Recent evenings";
const NONE: &str = "None was opened or saved yet.";
const GONE: &str = "gone";

/// Draws them; the keyboard starts on the first that is there.
pub(super) fn show(context: &Context, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    let modal = modal(context, "recent evenings").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 60.0));
        part_name(ui, TITLE);
        let recent = &state.settings().recent;
        if recent.is_empty() {
            ui.label(quiet(tokens, NONE));
        }
        let mut first = None;
        scrolled(ui, 160.0, |ui| {
            for path in recent {
                let gone = state.is_gone(path);
                let line = line(ui, tokens, path, gone);
                if line.clicked() {
                    commands.push(Command::OpenThis(path.clone()));
                }
                if !gone {
                    first.get_or_insert(line);
                }
            }
        });
        ui.add_space(SPACE);
        let close = ui.button(text::CLOSE);
        begin_on(first.as_ref().unwrap_or(&close));
        close.clicked()
    });
    if modal.inner || modal.should_close() {
        commands.push(Command::Dismiss);
    }
}

/// An evening by its name, and the folder below.
fn line(ui: &mut Ui, tokens: &Tokens, path: &Path, gone: bool) -> egui::Response {
    let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
    let folder = path.parent().unwrap_or(Path::new("")).display().to_string();
    let right = if gone { GONE } else { "" };
    let button =
        Button::new(name.as_ref()).right_text(RichText::new(right)).frame_when_inactive(false).truncate();
    let line = ui.add_enabled(!gone, button.min_size(vec2(ui.available_width(), ROW)));
    let spoken = if gone { format!("{name}, {GONE}, in {folder}") } else { format!("{name}, in {folder}") };
    line.widget_info(|| WidgetInfo::labeled(Role::Button, !gone, &spoken));
    ui.add(Label::new(quiet(tokens, folder)).truncate());
    line
}
