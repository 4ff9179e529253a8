//! What is asked before an interval, a talk or a talk at the screen is inserted.

use egui::{Context, Key, TextEdit, Ui, vec2};
use evenfall_core::sheet::numbers;

use super::{begin_on, modal};
use crate::state::{AppState, Command, INSERT_MINUTES, InsertForm, OpenEvening, usual_title};
use crate::ui::escape::{cancel_button, gives_up};
use crate::ui::fields::{clock_field, minutes_field, which_of_two};
use crate::ui::parts::{caution_line, command_button, named_button, part_name, quiet};
use crate::ui::shaping_words::kind_words;
use crate::ui::theme::{ROW, SPACE, TIGHT, Tokens};

const WIDTH: f32 = 420.0;

const TITLE: &str = "Insert";
const HINT: &str = "Something without the telescope. It is held at its minute; a talk at the screen may run beside the \
                    line at the eyepiece.";
const CALLED: &str = "Title";
const CALLED_HINT: &str = "What the run sheet calls it; left empty, its usual name";
const FROM: &str = "From";
const FROM_CLOCK: &str = "From which minute";
const FOR: &str = "for";
const MINUTES: &str = "Minutes";
const SHARES_TIME: &str = "that time is taken, so one of the two must move.";
const MOVES_ALONG: &str = "it moves along, unless it is held.";
const NEXT_FREE: &str = "Next free minute";
const GO: &str = "Insert";
const CANCEL: &str = "Cancel";

/// Draws the form; the keyboard starts in the title, where Enter inserts.
pub(super) fn show(
    context: &Context,
    state: &AppState,
    form: &InsertForm,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let Some(open) = state.open() else { return };
    let modal = modal(context, "insert").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 80.0));
        part_name(ui, TITLE);
        ui.label(quiet(tokens, HINT));
        ui.add_space(SPACE);
        let (mut changed, entered) = questions(ui, open, form);
        in_the_way(ui, state, open, tokens, &mut changed);
        let insert = Command::Insert(changed.clone());
        if changed != *form {
            commands.push(Command::InsertForm(changed));
        }
        ui.add_space(SPACE);
        ui.horizontal(|ui| {
            command_button(ui, state, commands, (GO, GO), insert.clone());
            if entered && insert.allowed(state) {
                commands.push(insert);
            }
            cancel_button(ui, CANCEL, true).clicked()
        })
        .inner
    });
    if gives_up(&modal) {
        commands.push(Command::Dismiss);
    }
}

/// What stands there already, and the next minute at which nothing does.
fn in_the_way(ui: &mut Ui, state: &AppState, open: &OpenEvening, tokens: &Tokens, form: &mut InsertForm) {
    let (evening, prepared) = (&open.document.evening, &open.derived.prepared);
    let rig = &open.document.stock.rig;
    let others = form.in_its_way(evening, prepared, rig);
    let Some(first) = others.first() else { return };
    let night = &prepared.night.local;
    let more = if others.len() > 1 { format!(" and {} more", others.len() - 1) } else { String::new() };
    let what = format!("{}, {}{more}", open.title(first), numbers::clock_span(night, first.interval));
    let then = if state.view.ripple { MOVES_ALONG } else { SHARES_TIME };
    caution_line(ui, tokens, &format!("{what}: {then}"));
    if let Some(free) = form.next_free(evening, prepared, rig) {
        let words = format!("{NEXT_FREE}: {}", free.at.format("%H:%M"));
        if named_button(ui, &words, &words, true).clicked() {
            *form = free;
        }
    }
}

/// The questions: the answers as they are then, and whether Enter was pressed in the title.
fn questions(ui: &mut Ui, open: &OpenEvening, form: &InsertForm) -> (InsertForm, bool) {
    let prepared = &open.derived.prepared;
    let mut changed = form.clone();
    ui.horizontal_wrapped(|ui| {
        for kind in InsertForm::KINDS {
            ui.radio_value(&mut changed.kind, kind, kind_words(kind));
        }
    });
    ui.add_space(TIGHT);
    ui.label(CALLED);
    let field = TextEdit::singleline(&mut changed.typed)
        .hint_text(usual_title(changed.kind))
        .desired_width(f32::INFINITY)
        .min_size(vec2(0.0, ROW));
    let response = ui.add(field);
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_label(CALLED);
        node.set_description(CALLED_HINT);
    });
    begin_on(&response);
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    ui.add_space(TIGHT);
    ui.horizontal(|ui| {
        ui.label(FROM);
        if let Some(at) = clock_field(ui, FROM_CLOCK, "", form.at) {
            changed.at = at;
        }
        ui.label(FOR);
        if let Some(minutes) = minutes_field(ui, MINUTES, form.minutes, INSERT_MINUTES) {
            changed.minutes = minutes;
        }
    });
    which_of_two(ui, &prepared.night.local, ("", changed.at), &mut changed.again);
    if changed.instant(prepared).is_none() {
        let span = numbers::clock_span(&prepared.night.local, prepared.span);
        ui.label(format!("This night runs from {span}: choose a minute of it."));
    }
    (changed, entered)
}
