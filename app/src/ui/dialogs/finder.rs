//! A command found by typing a few letters of it: what can be done, with its key, and why some of it can't be done now.

use egui::{Button, Context, Key, Label, RichText, Role, TextEdit, Ui, WidgetInfo, vec2};

use super::{begin_on, modal, scrolled};
use crate::state::{AppState, Command};
use crate::ui::commands::{ROWS, Row, name_now, why_not};
use crate::ui::parts::{part_name, quiet};
use crate::ui::text;
use crate::ui::theme::{ROW, SPACE, TIGHT, Tokens};

const WIDTH: f32 = 560.0;
/// Height of title, field and button.
const AROUND: f32 = 200.0;

const TITLE: &str = "Find a command";
const FIELD: &str = "Part of its name";
const FIELD_HINT: &str =
    "Type a few letters; Enter does the first that can be done. Down and Up walk the list.";
const NONE_FOUND: &str = "No command has these letters.";

/// Draws it; the keyboard starts in the field.
pub(super) fn show(
    context: &Context,
    state: &AppState,
    typed: &str,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let modal = modal(context, "command finder").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 60.0));
        part_name(ui, TITLE);
        ui.add(Label::new(quiet(tokens, FIELD_HINT)).wrap());
        let mut words = typed.to_owned();
        let field = TextEdit::singleline(&mut words).desired_width(f32::INFINITY).min_size(vec2(0.0, ROW));
        let field = ui.add(field);
        ui.ctx().accesskit_node_builder(field.id, |node| {
            node.set_label(FIELD);
            node.set_description(FIELD_HINT);
        });
        begin_on(&field);
        let down = field.has_focus() && ui.input(|input| input.key_pressed(Key::ArrowDown));
        if field.changed() {
            commands.push(Command::FinderText(words.clone()));
        }
        let entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        ui.add_space(TIGHT);
        let found = found(&words, &state.settings().found);
        if found.is_empty() {
            ui.label(quiet(tokens, NONE_FOUND));
        }
        let mut chosen = None;
        scrolled(ui, AROUND, |ui| {
            let mut first = down;
            for row in &found {
                let line = line(ui, state, row);
                if first && line.enabled() {
                    line.request_focus();
                    first = false;
                }
                if line.clicked() {
                    chosen = Some(*row);
                }
            }
        });
        if entered {
            chosen = found.into_iter().find(|row| (row.make)().allowed(state));
        }
        if let Some(row) = chosen {
            commands.push(Command::Dismiss);
            commands.push(Command::Found(row.words.to_owned()));
            commands.push((row.make)());
        }
        ui.add_space(SPACE);
        ui.button(text::CLOSE).clicked()
    });
    if modal.inner || modal.should_close() {
        commands.push(Command::Dismiss);
    }
}

/// A command: its name, its key, and in their place why it can't be done now.
fn line(ui: &mut Ui, state: &AppState, row: &Row) -> egui::Response {
    let command = (row.make)();
    let (name, why) = (name_now(row, state), why_not(state, &command));
    let right = why.map_or_else(|| row.key_words(), str::to_owned);
    let button = Button::new(&name).right_text(RichText::new(&right)).frame_when_inactive(false).truncate();
    let line = ui.add_enabled(why.is_none(), button.min_size(vec2(ui.available_width(), ROW)));
    let spoken = match (&right, why) {
        (right, _) if right.is_empty() => name,
        (right, Some(_)) => format!("{name}, not now: {right}"),
        (right, None) => format!("{name}, {right}"),
    };
    line.widget_info(|| WidgetInfo::labeled(Role::MenuItem, why.is_none(), &spoken));
    if line.has_focus() {
        line.scroll_to_me(None);
    }
    if row.hint.is_empty() { line } else { line.on_hover_text(row.hint).on_disabled_hover_text(row.hint) }
}

/// The commands that have all words typed, those used lately first, then those whose name begins so.
fn found(typed: &str, lately: &[String]) -> Vec<&'static Row> {
    let wanted: Vec<String> = typed.split_whitespace().map(str::to_lowercase).collect();
    let has = |row: &&Row| {
        let words = format!("{} {} {}", row.words, row.hint, row.group.words()).to_lowercase();
        wanted.iter().all(|part| words.contains(part))
    };
    let in_name = |row: &Row| wanted.iter().all(|part| row.words.to_lowercase().contains(part));
    let place = |row: &&Row| {
        let used = lately.iter().position(|name| name == row.words).unwrap_or(usize::MAX);
        let begins = wanted.first().is_some_and(|part| row.words.to_lowercase().starts_with(part));
        (!in_name(row), used, !begins)
    };
    let mut rows: Vec<_> = ROWS.iter().filter(has).collect();
    rows.sort_by_key(place);
    rows
}

#[cfg(test)]
mod tests {
    use super::found;
    use crate::ui::commands::ROWS;

    #[test]
    fn commands_are_found_by_parts_of_their_words_and_the_last_used_come_first() {
        let names = |typed: &str, lately: &[&str]| -> Vec<&str> {
            let lately: Vec<String> = lately.iter().map(|name| (*name).to_owned()).collect();
            found(typed, &lately).iter().map(|row| row.words).collect()
        };
        assert_eq!(names("", &[]).len(), ROWS.len());
        assert_eq!(names("", &["Quit", "Red lamp"])[..2], ["Quit", "Red lamp"]);
        assert_eq!(names("lamp red", &[]), ["Red lamp"]);
        assert_eq!(names("SAVE", &[])[..2], ["Save", "Save as…"]);
        assert!(names("no such thing", &[]).is_empty());
    }
}
