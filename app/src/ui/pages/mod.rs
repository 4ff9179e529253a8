//! The pages over the window: everything the evening is printed and sent as, chosen on the left, looked at on the right,
//! written from below. `list` chooses, `preview` shows a side as it will be printed, `foot` writes and tells how far it is,
//! `outcome` what came of it and what is to be printed; `words` has what only the pages say.

mod foot;
mod list;
mod outcome;
mod preview;
mod words;

use std::ops::RangeInclusive;

use egui::{Align, Context, Key, Label, Layout, Modifiers, Rect, ScrollArea, Ui, UiBuilder, vec2};
use evenfall_core::output::pdf::Paper;
use evenfall_core::plan::Severity;
use evenfall_core::sheet::wording::severity_word;

use super::dialogs::modal;
use super::parts::{part_name, toggle};
use super::theme::{SPACE, Tokens, WIDE};
use crate::state::{AppState, Command, PagesEdit, PagesStep};

pub use self::words::{PAGES, PAGES_HINT, PAGES_NAME};

/// Room left around them in the window.
const AROUND: f32 = 52.0;
/// They need no more than this.
const WIDEST: f32 = 1320.0;
/// What came of them needs no more than this.
const OUTCOME: f32 = 820.0;
/// Width of the list beside the preview.
const LIST: RangeInclusive<f32> = 472.0..=500.0;
/// Below this width the preview stands below the list.
const BESIDE: f32 = 820.0;
/// The most height of what is told before the pages are written.
const NOTES: f32 = 60.0;
/// Least height of a preview below the list.
const BELOW: f32 = 420.0;

/// Draws them.
pub fn show(context: &Context, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    if state.open().is_none() {
        return;
    }
    take_keys(context, state, commands);
    let modal = modal(context, "pages").show(context, |ui| {
        let room = context.content_rect().size() - vec2(AROUND, AROUND);
        if let PagesStep::Done(outcome) = &state.view.pages.step {
            ui.set_width(room.x.min(OUTCOME));
            ui.set_max_height(room.y);
            outcome::show(ui, state, outcome, tokens, commands);
        } else {
            ui.set_width(room.x.min(WIDEST));
            ui.set_height(room.y);
            choose(ui, state, tokens, commands);
        }
    });
    // A click beside them may be a slip.
    if modal.is_top_modal && context.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape)) {
        commands.push(Command::Dismiss);
    }
}

/// Keys that count wherever the keyboard is among the pages.
fn take_keys(context: &Context, state: &AppState, commands: &mut Vec<Command>) {
    if matches!(state.view.pages.step, PagesStep::Done(_)) {
        return;
    }
    for (key, sides) in [(Key::PageUp, -1), (Key::PageDown, 1)] {
        if context.input_mut(|input| input.consume_key(Modifiers::NONE, key)) {
            commands.push(Command::Pages(PagesEdit::Turn(sides)));
        }
    }
    if matches!(state.view.pages.step, PagesStep::Choosing)
        && context.input_mut(|input| input.consume_key(Modifiers::COMMAND, Key::Enter))
    {
        commands.push(Command::Pages(PagesEdit::Write));
    }
}

fn choose(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    // While a set is being written, what it is stays.
    let is_choosing = matches!(state.view.pages.step, PagesStep::Choosing);
    head(ui, state, is_choosing, commands);
    notes(ui, state);
    ui.add_space(SPACE);
    let room = ui.available_rect_before_wrap();
    let body = room.with_max_y((room.bottom() - foot::HEIGHT).max(room.top() + 60.0));
    let mut begun = None;
    if body.width() >= BESIDE {
        let list = body.with_max_x(body.left() + (0.42 * body.width()).clamp(*LIST.start(), *LIST.end()));
        let beside = body.with_min_x(list.right() + WIDE);
        within(ui, "list", list, |ui| {
            let area = ScrollArea::vertical().auto_shrink([false, false]);
            begun = area.show(ui, |ui| list::show(ui, state, is_choosing, tokens, commands)).inner;
        });
        within(ui, "preview", beside, |ui| preview::show(ui, state, tokens, commands));
    } else {
        within(ui, "both", body, |ui| {
            let area = ScrollArea::vertical().auto_shrink([false, false]);
            area.show(ui, |ui| {
                begun = list::show(ui, state, is_choosing, tokens, commands);
                ui.add_space(SPACE);
                let (rect, _) =
                    ui.allocate_exact_size(vec2(ui.available_width(), BELOW), egui::Sense::hover());
                within(ui, "preview", rect, |ui| preview::show(ui, state, tokens, commands));
            });
        });
    }
    within(ui, "foot", room.with_min_y(body.bottom() + SPACE), |ui| foot::show(ui, state, tokens, commands));
    // The foot has it only once something was asked or written there.
    if let Some(begun) = begun {
        begun.request_focus();
    }
}

/// What whoever writes the pages should know before; nothing for most evenings.
fn notes(ui: &mut Ui, state: &AppState) {
    if state.page_notes().is_empty() {
        return;
    }
    ui.add_space(SPACE);
    let area = ScrollArea::vertical().id_salt("notes").max_height(NOTES).auto_shrink([false, true]);
    area.show(ui, |ui| {
        for note in state.page_notes() {
            ui.add(Label::new(format!("{}: {note}", severity_word(Severity::Caution))).wrap());
        }
    });
}

/// Draws within a rectangle, whatever stands around it.
fn within(ui: &mut Ui, name: &str, rect: Rect, draw: impl FnOnce(&mut Ui)) {
    let mut inner = ui.new_child(UiBuilder::new().id_salt(name).max_rect(rect));
    inner.shrink_clip_rect(rect.expand(3.0));
    draw(&mut inner);
}

/// The name of the pages, what is chosen at once, and on which paper.
fn head(ui: &mut Ui, state: &AppState, is_choosing: bool, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        part_name(ui, words::TITLE);
        list::at_once(ui, state, is_choosing, commands);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            for paper in Paper::ALL.into_iter().rev() {
                let on = state.settings().pages.paper() == paper;
                if toggle(ui, words::paper(paper), on, is_choosing).clicked() {
                    commands.push(Command::Pages(PagesEdit::Paper(paper)));
                }
            }
            ui.label(words::PAPER);
        });
    });
}
