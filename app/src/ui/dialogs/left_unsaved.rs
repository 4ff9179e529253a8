//! What windows that were killed had not saved.

use std::path::Path;

use chrono_tz::Tz;
use egui::{Context, Label, RichText};

use super::earlier::saved_words;
use super::{begin_on, modal, scrolled};
use crate::state::{AppState, Command, LeftUnsaved, OpenEvening};
use crate::ui::parts::{command_button, part_name, quiet};
use crate::ui::theme::{BODY, SPACE, Tokens, semibold};

const WIDTH: f32 = 560.0;
/// Room for all but the list.
const AROUND: f32 = 160.0;

/// The command.
pub const LEFT_NAME: &str = "What was not saved…";
/// More about it.
pub const LEFT_HINT: &str = "Changes that a window had not saved when it ended without being closed";
const TITLE: &str = "Evenfall ended before this was saved";
const TAKE_UP: &str = "Go on with it";
const FORGET: &str = "Throw it away…";
const SURELY: &str = "Throw it away for good";
const KEEP: &str = "Keep it";
const LATER: &str = "Later";
const NEVER_SAVED: &str = "never saved";
const DAMAGED: &str = "Notes that can't be read";

/// Draws it; the keyboard starts on the answer that loses nothing.
pub(super) fn show(
    context: &Context,
    state: &AppState,
    asked: Option<&Path>,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let zone = state.open().map_or(Tz::UTC, OpenEvening::zone);
    // Another dialog once it asks: the keyboard then starts on the answer that keeps.
    let name = if asked.is_some() { "thrown away for good" } else { "left unsaved" };
    let modal = modal(context, name).show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 60.0));
        part_name(ui, TITLE);
        let mut first = None;
        scrolled(ui, AROUND, |ui| {
            for left in state.left_unsaved() {
                ui.add_space(SPACE);
                let title = title(left);
                ui.label(RichText::new(title).font(semibold(BODY)));
                let file = left
                    .file
                    .as_ref()
                    .map_or_else(|| NEVER_SAVED.to_owned(), |file| file.display().to_string());
                let noted = saved_words(left.noted, zone);
                ui.add(Label::new(quiet(tokens, format!("{noted} · {file}"))).wrap());
                let is_asked = asked == Some(left.path.as_path());
                let (first_answer, second) = if is_asked {
                    ((KEEP, Command::ShowLeft), (SURELY, Command::ForgetLeft(left.clone())))
                } else {
                    ((TAKE_UP, Command::TakeUp(left.clone())), (FORGET, Command::AskForget(left.clone())))
                };
                ui.horizontal(|ui| {
                    for (label, command) in [first_answer, second] {
                        let name = format!("{}: {title}", label.trim_end_matches('…'));
                        let button = command_button(ui, state, commands, (label, &name), command);
                        if is_asked || asked.is_none() {
                            first.get_or_insert(button);
                        }
                    }
                });
            }
        });
        ui.add_space(SPACE);
        let later = ui.button(LATER);
        begin_on(first.as_ref().unwrap_or(&later));
        later.clicked()
    });
    if modal.inner || modal.should_close() {
        commands.push(Command::Dismiss);
    }
}

const fn title(left: &LeftUnsaved) -> &str {
    if left.title.is_empty() { DAMAGED } else { left.title.as_str() }
}
