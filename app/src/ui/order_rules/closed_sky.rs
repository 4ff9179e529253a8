//! What is closed of the sky tonight: the parts, and how to close another one.

use chrono::NaiveTime;
use egui::{Align, Layout, TextWrapMode, Ui, vec2};
use evenfall_core::plan::ClosedSky;
use evenfall_core::sheet::closed_sky_words;
use evenfall_core::time::LocalNight;

use super::words;
use crate::state::{AppState, Command, OpenEvening};
use crate::ui::fields::{clock_field, sky_part_field, which_of_two};
use crate::ui::parts::{command_button, heading, quiet};
use crate::ui::theme::{ROW, SPACE, Tokens};

/// Width kept for the button at the end of a line.
const BUTTON: f32 = 92.0;

/// Draws it.
pub(super) fn show(
    ui: &mut Ui,
    state: &AppState,
    open: &OpenEvening,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    heading(ui, words::CLOSED_SKY);
    ui.label(quiet(tokens, words::CLOSED_SKY_HINT));
    let closed_sky = &open.document.evening.wishes.closed_sky;
    if closed_sky.is_empty() {
        ui.label(words::ALL_OPEN);
    }
    for (position, closed) in closed_sky.iter().enumerate() {
        ui.horizontal(|ui| {
            let width = (ui.available_width() - BUTTON - SPACE).max(60.0);
            ui.allocate_ui_with_layout(vec2(width, ROW), Layout::left_to_right(Align::Center), |ui| {
                ui.set_width(width);
                ui.style_mut().wrap_mode = Some(TextWrapMode::Wrap);
                ui.label(closed_sky_words(closed));
            });
            let name = words::open_again(closed);
            command_button(ui, state, commands, (words::OPEN_AGAIN, &name), Command::OpenSky(position));
        });
    }
    ui.add_space(SPACE);
    form(ui, state, open, tokens, commands);
}

/// What is about to be closed.
fn form(ui: &mut Ui, state: &AppState, open: &OpenEvening, tokens: &Tokens, commands: &mut Vec<Command>) {
    let before = state.view.rules.closing;
    let mut closing = before;
    if let Some(part) = sky_part_field(ui, words::PART_TO_CLOSE, closing.part) {
        closing.part = part;
    }
    let programme = &open.document.evening.programme;
    ui.horizontal(|ui| {
        time(ui, (words::SINCE, words::SINCE_CLOCK), &mut closing.since, programme.doors_open);
        ui.add_space(SPACE);
        time(ui, (words::UNTIL, words::UNTIL_CLOCK), &mut closing.until, programme.doors_close);
    });
    let night = &open.derived.prepared.night.local;
    let times = [
        (words::SINCE, closing.since, &mut closing.since_again),
        (words::UNTIL, closing.until, &mut closing.until_again),
    ];
    for (name, time, again) in times {
        if let Some(time) = time {
            ui.push_id(name, |ui| which_of_two(ui, night, (name, time), again));
        }
    }
    if closing != before {
        commands.push(Command::Closing(closing));
    }
    add(ui, state, closing.closed_sky(night), night, (tokens, commands));
}

fn add(
    ui: &mut Ui,
    state: &AppState,
    closed: ClosedSky,
    night: &LocalNight,
    (tokens, commands): (&Tokens, &mut Vec<Command>),
) {
    if !closed.fits(night) {
        ui.label(quiet(tokens, words::BACKWARDS));
    }
    let button = (words::CLOSE_PART, words::CLOSE_PART);
    command_button(ui, state, commands, button, Command::CloseSky(closed));
}

/// A clock time that may be left out.
fn time(ui: &mut Ui, (name, clock_name): (&str, &str), time: &mut Option<NaiveTime>, usual: NaiveTime) {
    let mut given = time.is_some();
    if ui.checkbox(&mut given, name).changed() {
        *time = given.then_some(usual);
    }
    if let Some(clock) = *time
        && let Some(changed) = clock_field(ui, clock_name, "", clock)
    {
        *time = Some(changed);
    }
}
