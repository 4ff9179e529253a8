//! What is asked before an evening that has begun is picked up.

use egui::{Button, Context, TextWrapMode, Ui};
use evenfall_core::plan::Stop;
use evenfall_core::sheet::numbers;

use super::{begin_on, modal, scrolled};
use crate::state::{AppState, Command, MOST_VISITORS, OpenEvening, PickUpForm, SkyPart};
use crate::ui::fields::{clock_field, people_field, sky_part_field, which_of_two};
use crate::ui::parts::{heading, part_name, quiet};
use crate::ui::text;
use crate::ui::theme::{SPACE, TIGHT, Tokens};

const WIDTH: f32 = 460.0;
/// Height of title and buttons.
const AROUND: f32 = 190.0;

const TITLE: &str = "Pick up from here";
const HINT: &str =
    "What was shown stays as it is. The rest of the evening is laid out anew; Undo brings it all back.";
const FROM: &str = "From";
const FROM_CLOCK: &str = "From which minute";
const SHOWN: &str = "Shown, or being shown";
const NONE_BEGUN: &str = "Nothing should have begun by then.";
const NONE_SHOWN: &str = "None of these: we start late";
const HOUSE: &str = "Visitors still here";
const OUT_OF_SERVICE: &str = "Out of service from now on";
const CLOUD: &str = "A part of the sky has closed";
const CLOSED_PART: &str = "Closed part";
const GO: &str = "Lay out the rest";
const CANCEL: &str = "Cancel";

/// Draws the form; the keyboard starts on the button that goes ahead.
pub(super) fn show(
    context: &Context,
    state: &AppState,
    form: &PickUpForm,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let Some(open) = state.open() else { return };
    let at = form.instant(&open.derived.prepared);
    let modal = modal(context, "pick up from here").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 80.0));
        part_name(ui, TITLE);
        ui.label(quiet(tokens, HINT));
        ui.add_space(TIGHT);
        // As high as its content at once: the number of stops changes with the minute.
        scrolled(ui, AROUND, |ui| {
            commands.extend(questions(ui, open, form, tokens).map(Command::PickUpForm));
        });
        ui.add_space(SPACE);
        ui.horizontal(|ui| {
            let go = ui.add_enabled(at.is_some(), Button::new(GO));
            begin_on(&go);
            if go.clicked() {
                commands.push(Command::PickUp(form.clone()));
            }
            ui.button(CANCEL).clicked()
        })
        .inner
    });
    if modal.inner || modal.should_close() {
        commands.push(Command::Dismiss);
    }
}

/// The questions; the answers if one was changed.
fn questions(ui: &mut Ui, open: &OpenEvening, form: &PickUpForm, tokens: &Tokens) -> Option<PickUpForm> {
    let prepared = &open.derived.prepared;
    let mut changed = form.clone();
    ui.horizontal(|ui| {
        ui.label(FROM);
        if let Some(at) = clock_field(ui, FROM_CLOCK, "", form.at) {
            changed.at = at;
        }
        for (label, minutes) in [("5 min earlier", -5.0), ("5 min later", 5.0)] {
            if ui.button(label).clicked() {
                changed = form.shifted(prepared, minutes);
            }
        }
    });
    which_of_two(ui, &prepared.night.local, ("", form.at), &mut changed.again);
    if form.instant(prepared).is_none() {
        let doors = numbers::clock_span(&prepared.night.local, prepared.doors);
        ui.label(format!("Doors are open {doors}: pick up between them."));
    }
    shown(ui, open, form, &mut changed, tokens);
    ui.add_space(SPACE);
    ui.horizontal(|ui| {
        ui.label(HOUSE);
        if let Some(visitors) = people_field(ui, HOUSE, form.visitors, MOST_VISITORS) {
            changed.visitors = visitors;
        }
    });
    ui.add_space(SPACE);
    heading(ui, OUT_OF_SERVICE);
    ui.horizontal_wrapped(|ui| {
        for port in &open.document.stock.rig.ports {
            let mut out = form.ports_out_of_service.contains(&port.id);
            if ui.checkbox(&mut out, port.name.as_str()).changed() {
                changed.ports_out_of_service.retain(|id| *id != port.id);
                changed.ports_out_of_service.extend(out.then(|| port.id.clone()));
            }
        }
    });
    ui.add_space(SPACE);
    let mut closed = form.closed.is_some();
    if ui.checkbox(&mut closed, CLOUD).changed() {
        changed.closed = closed.then(SkyPart::default);
    }
    if let Some(part) = form.closed
        && let Some(part) = sky_part_field(ui, CLOSED_PART, part)
    {
        changed.closed = Some(part);
    }
    (changed != *form).then_some(changed)
}

/// The stops that should have begun, and those ticked off before their time, each with whether it was shown.
fn shown(ui: &mut Ui, open: &OpenEvening, form: &PickUpForm, changed: &mut PickUpForm, tokens: &Tokens) {
    ui.add_space(SPACE);
    heading(ui, SHOWN);
    let asked_about = form.asked_about(&open.document.evening, &open.derived.prepared);
    if asked_about.is_empty() {
        ui.label(quiet(tokens, NONE_BEGUN));
        return;
    }
    let night = &open.derived.prepared.night.local;
    let label = |stop: &Stop| format!("{}  {}", text::clock(night, stop.start()), open.title(stop));
    ui.style_mut().wrap_mode = Some(TextWrapMode::Truncate);
    for stop in &asked_about {
        let mut was_shown = !form.not_shown.contains(&stop.id);
        if ui.checkbox(&mut was_shown, label(stop)).changed() {
            changed.not_shown.retain(|id| *id != stop.id);
            changed.not_shown.extend((!was_shown).then_some(stop.id));
        }
    }
    if ui.button(NONE_SHOWN).clicked() {
        changed.not_shown = asked_about.iter().map(|stop| stop.id).collect();
    }
}
