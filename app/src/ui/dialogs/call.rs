//! Go or no-go: what is decided, when and by whom; the hours of call and crew; the next dates for visitors.

use chrono::TimeDelta;
use egui::{Context, Label, TextEdit, Ui, vec2};
use evenfall_core::plan::{Call, Decision, LONGEST_DATE, MOST_DATES, MOST_MINUTES_BEFORE_DOORS};
use evenfall_core::sheet::numbers;

use super::{begin_on, modal, scrolled};
use crate::state::{AppState, CallForm, Command, OpenEvening};
use crate::ui::escape::{cancel_button, gives_up};
use crate::ui::fields::{clock_field, minutes_field};
use crate::ui::parts::{command_button, heading, part_name, quiet};
use crate::ui::theme::{ROW, SPACE, TIGHT, Tokens};

/// The command in full.
pub const CALL_NAME: &str = "Go or no-go…";
/// What it is for.
pub const CALL_HINT: &str =
    "Note the decision, the hours of call and crew, and the next dates; pages and calendars follow";

const WIDTH: f32 = 480.0;
/// Height of title and buttons.
const AROUND: f32 = 190.0;
/// Lines of next dates that are seen at once.
const DATES_SEEN: usize = 4;

const TITLE: &str = "Go or no-go";
const HINT: &str = "Whoever is named as night lead decides, by the site's limits on the Call card. Pages and calendars follow \
                    at once; Undo takes it back.";
const OPEN: &str = "Not decided yet";
const GO: &str = "Go";
const NO_GO: &str = "No-go";
const AT: &str = "at";
const AT_CLOCK: &str = "Decided at";
const BY: &str = "by";
const BY_NAME: &str = "Decided by";
const BY_HINT: &str = "Who decided, as it stands on the pages; up to 60 characters";
const HOURS: &str = "Before doors";
const DECIDE: &str = "The call, minutes before doors open";
const CREW: &str = "The crew there, minutes before doors open";
const DATES: &str = "Next dates for visitors";
const SET: &str = "Note it";
const CANCEL: &str = "Cancel";

/// The decision in few words, once there is one: `Go at 16:30, Sam`.
pub fn decided_words(call: &Call) -> Option<String> {
    let word = match call.decision {
        Decision::Open => return None,
        Decision::Go => GO,
        Decision::NoGo => NO_GO,
    };
    let at = call.decided_at.map_or_else(String::new, |at| format!(" {AT} {}", at.format("%H:%M")));
    let by = if call.decided_by.is_empty() { String::new() } else { format!(", {}", call.decided_by) };
    Some(format!("{word}{at}{by}"))
}

/// Draws the form; the keyboard starts on what is decided.
pub(super) fn show(
    context: &Context,
    state: &AppState,
    form: &CallForm,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let Some(open) = state.open() else { return };
    let modal = modal(context, "call").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 80.0));
        part_name(ui, TITLE);
        ui.add(Label::new(quiet(tokens, HINT)).wrap());
        ui.add_space(TIGHT);
        let mut changed = form.clone();
        scrolled(ui, AROUND, |ui| {
            decision(ui, &mut changed);
            ui.add_space(SPACE);
            hours(ui, open, &mut changed);
            ui.add_space(SPACE);
            dates(ui, &mut changed, tokens);
        });
        let set = Command::SetCall(changed.clone());
        if changed != *form {
            commands.push(Command::CallForm(changed));
        }
        ui.add_space(SPACE);
        ui.horizontal(|ui| {
            command_button(ui, state, commands, (SET, SET), set);
            cancel_button(ui, CANCEL, true).clicked()
        })
        .inner
    });
    if gives_up(&modal) {
        commands.push(Command::Dismiss);
    }
}

fn decision(ui: &mut Ui, form: &mut CallForm) {
    ui.horizontal_wrapped(|ui| {
        let choices = [(Decision::Open, OPEN), (Decision::Go, GO), (Decision::NoGo, NO_GO)];
        for (decision, words) in choices {
            let choice = ui.radio_value(&mut form.decision, decision, words);
            if form.decision == decision {
                begin_on(&choice);
            }
        }
    });
    ui.add_enabled_ui(form.decision != Decision::Open, |ui| {
        ui.horizontal(|ui| {
            ui.label(AT);
            if let Some(at) = clock_field(ui, AT_CLOCK, "", form.at) {
                form.at = at;
            }
            ui.label(BY);
            let name = TextEdit::singleline(&mut form.by).desired_width(f32::INFINITY);
            let name = ui.add(name.min_size(vec2(0.0, ROW)));
            ui.ctx().accesskit_node_builder(name.id, |node| {
                node.set_label(BY_NAME);
                node.set_description(BY_HINT);
            });
        });
    });
}

fn hours(ui: &mut Ui, open: &OpenEvening, form: &mut CallForm) {
    heading(ui, HOURS);
    let doors = open.derived.prepared.doors.start();
    let night = &open.derived.prepared.night.local;
    let rows =
        [("Go or no-go", DECIDE, &mut form.decide_before), ("The crew comes", CREW, &mut form.crew_before)];
    for (label, name, minutes) in rows {
        ui.horizontal(|ui| {
            ui.label(label);
            if let Some(changed) = minutes_field(ui, name, *minutes, (0, MOST_MINUTES_BEFORE_DOORS)) {
                *minutes = changed;
            }
            let at = doors.to_utc() - TimeDelta::minutes(i64::from(*minutes));
            let at = at.with_timezone(&night.zone());
            ui.label(format!("before doors open: {}", numbers::clock(at)));
        });
    }
}

fn dates(ui: &mut Ui, form: &mut CallForm, tokens: &Tokens) {
    heading(ui, DATES);
    let hint = format!(
        "One a line, as it stands on the handbill; up to {MOST_DATES} lines of {LONGEST_DATE} characters."
    );
    let dates = TextEdit::multiline(&mut form.dates).desired_width(f32::INFINITY).desired_rows(DATES_SEEN);
    let dates = ui.add(dates);
    ui.ctx().accesskit_node_builder(dates.id, |node| {
        node.set_label(DATES);
        node.set_description(hint.as_str());
    });
    ui.add(Label::new(quiet(tokens, &hint)).wrap());
    if form.has_too_much() {
        ui.add(Label::new("What goes beyond that is left out.").wrap());
    }
}
