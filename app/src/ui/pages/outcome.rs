//! What came of writing the pages: what was written and what was not, and what is to be printed of it for whom.

use egui::accesskit::Live;
use egui::{Grid, Label, ScrollArea, Ui};
use evenfall_core::output::Output;

use super::words;
use crate::state::{AppState, Command, PagesEdit, PagesOutcome};
use crate::ui::dialogs::begin_on;
use crate::ui::parts::{heading, part_name, quiet};
use crate::ui::theme::{ROW, SPACE, TIGHT, Tokens, WIDE};

/// Least width for what is printed in columns.
const COLUMNS: f32 = 700.0;
/// Height of title and buttons, and of the window around them.
const AROUND: f32 = 230.0;

/// Draws it; the keyboard starts on what closes it.
pub(super) fn show(
    ui: &mut Ui,
    state: &AppState,
    outcome: &PagesOutcome,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let PagesOutcome { folder, written, failed, not_tried, begun_anew } = outcome;
    part_name(ui, words::TITLE);
    let of = written.len() + failed.len() + not_tried.len();
    let folder = folder.display().to_string();
    let told = ui.add(Label::new(words::written(written.len(), of, &folder)).wrap());
    ui.ctx().accesskit_node_builder(told.id, |node| node.set_live(Live::Polite));
    let height = (ui.ctx().content_rect().height() - AROUND).max(ROW);
    let area = ScrollArea::vertical().auto_shrink([false, true]);
    let area = area.max_height(height).min_scrolled_height(height);
    area.show(ui, |ui| {
        if !failed.is_empty() {
            ui.add_space(SPACE);
            heading(ui, words::NOT_WRITTEN);
            ui.label(quiet(tokens, words::WHAT_NOW));
            // One reason may keep all of them back.
            let mut told: Vec<&str> = Vec::new();
            for (output, why) in failed {
                let is_new = !told.contains(&why.as_str());
                told.push(why);
                let name = words::about(*output).0;
                let line = if is_new { format!("{name}: {why}") } else { name.to_owned() };
                ui.add(Label::new(line).wrap());
            }
        }
        if !not_tried.is_empty() {
            ui.add_space(SPACE);
            heading(ui, words::STOPPED_BEFORE);
            let names: Vec<_> = not_tried.iter().map(|output| words::about(*output).0).collect();
            ui.add(Label::new(names.join(", ")).wrap());
        }
        for output in begun_anew {
            ui.add(Label::new(words::begun_anew(words::about(*output).0)).wrap());
        }
        ui.add_space(SPACE);
        to_print(ui, state, written, tokens);
    });
    ui.add_space(SPACE);
    ui.horizontal(|ui| {
        let close = ui.button(words::CLOSE);
        begin_on(&close);
        if close.clicked() {
            commands.push(Command::Dismiss);
        }
        if ui.button(words::BACK).clicked() {
            commands.push(Command::Pages(PagesEdit::Back));
        }
    });
}

/// How many copies of what for whom.
fn to_print(ui: &mut Ui, state: &AppState, written: &[Output], tokens: &Tokens) {
    let Some(open) = state.open() else { return };
    let choice = &state.settings().pages;
    let copies = |output: &Output| choice.copies(*output, &open.document.evening.house);
    let printed: Vec<_> = written.iter().filter(|output| copies(output) > 0).collect();
    if printed.is_empty() {
        return;
    }
    heading(ui, words::TO_PRINT);
    if ui.available_width() < COLUMNS {
        for output in printed {
            let (name, whom) = words::about(*output);
            ui.add(Label::new(format!("{} × {name}, {whom}", copies(output))).wrap());
        }
        return;
    }
    Grid::new("what is to be printed").num_columns(4).spacing([WIDE, TIGHT]).show(ui, |ui| {
        for output in printed {
            let (name, whom) = words::about(*output);
            ui.label(format!("{} ×", copies(output)));
            ui.label(name);
            ui.label(quiet(tokens, whom));
            ui.label(quiet(tokens, output.file_name(choice.paper())));
            ui.end_row();
        }
    });
}
