//! A path to type, where the desktop offers no file dialog.

use std::ops::Range;
use std::path::{MAIN_SEPARATOR, PathBuf};

use egui::text::{CCursor, CCursorRange};
use egui::text_edit::TextEditState;
use egui::{Context, Key, Response, TextEdit, vec2};

use super::{begin_on, keep_keyboard, modal};
use crate::state::{Command, PathUse};
use crate::ui::file_words;
use crate::ui::parts::{part_name, quiet};
use crate::ui::text;
use crate::ui::theme::{ROW, SPACE, Tokens};

/// What typing takes the place of at first, in letters: all of a path that is looked for, of one that is written the file's name
/// without its ending.
fn chosen_at_first(purpose: PathUse, typed: &str) -> Range<usize> {
    let length = typed.chars().count();
    if !matches!(purpose, PathUse::Save | PathUse::NewPart(_) | PathUse::ExportProblem) {
        return 0..length;
    }
    let name = typed.rsplit(MAIN_SEPARATOR).next().unwrap_or(typed);
    let start = length - name.chars().count();
    start..start + name.split('.').next().unwrap_or(name).chars().count()
}

fn select(field: &Response, letters: Range<usize>) {
    let mut state = TextEditState::load(&field.ctx, field.id).unwrap_or_default();
    let [start, end] = [letters.start, letters.end].map(CCursor::new);
    state.cursor.set_char_range(Some(CCursorRange::two(start, end)));
    state.store(&field.ctx, field.id);
}

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
        if begin_on(&response) {
            select(&response, chosen_at_first(purpose, typed));
        }
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

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::chosen_at_first;
    use crate::state::{Part, PathUse};

    #[test]
    fn typing_takes_the_place_of_a_path_or_of_the_name_in_it() {
        assert_eq!(chosen_at_first(PathUse::List, "nights/my-list.csv"), 0..18);
        assert_eq!(chosen_at_first(PathUse::Save, "my.evening.ron"), 0..2);
        let site = Path::new("nights").join("otter.site.ron").display().to_string();
        assert_eq!(chosen_at_first(PathUse::NewPart(Part::Site), &site), 7..12);
    }
}
