//! Tonight's wishes: what must be shown, what is left out, which ports can't be used, and how the ports are used.

use egui::{Align, Context, Label, Layout, TextEdit, Ui, vec2};
use evenfall_core::catalogue::TargetId;
use evenfall_core::rig::Port;

use super::{begin_on, modal, scrolled};
use crate::state::{AppState, Command, LEAST_STOPS, OpenEvening, PORT_CHANGES, Wish, WishesForm, wish_for};
use crate::ui::escape::{cancel_button, gives_up};
use crate::ui::fields::count_field;
use crate::ui::leading_on::{ends_on, leads_on};
use crate::ui::parts::{command_button, fault_line, heading, named_button, part_name, quiet};
use crate::ui::theme::{ROW, SPACE, TIGHT, Tokens};

/// The command in full.
pub const WISHES_NAME: &str = "Tonight's wishes…";
/// What it is for.
pub const WISHES_HINT: &str =
    "What must be shown or is left out, ports out of service, changes of port, stops on each port";
/// Wishes that the target on the Card is shown, or no longer.
pub const MUST_SHOW_NAME: &str = "Must show it, or no longer";
/// Wishes that the target on the Card is not shown, or no longer.
pub const LEAVE_OUT_NAME: &str = "Leave it out, or no longer";
/// The first of these on a button.
pub const MUST_SHOW: &str = "Must show";
/// What it does.
pub const MUST_SHOW_HINT: &str =
    "Every draft shows this target if it can stand at all; an order without it has a Caution";
/// The second of these on a button.
pub const LEAVE_OUT: &str = "Leave out";
/// What it does.
pub const LEAVE_OUT_HINT: &str = "No draft shows this target tonight; a stop that does has a Caution";

const WIDTH: f32 = 500.0;
/// Width of the names of targets and ports.
const NAMES: f32 = 230.0;
/// Height of title and buttons.
const AROUND: f32 = 210.0;

const TITLE: &str = "Tonight's wishes";
const HINT: &str = "What a draft keeps to. What stands on the Board stays, and what goes against a wish is told. Draft anew to \
                    lay the evening out for them. To show something at a minute of your own, bring it on there and hold it.";
const NONE: &str = "None so far.";
const TAKE_OFF: &str = "Take off";
const FIND: &str = "Another target";
const FIND_HINT: &str = "Type some letters of any of its names";
const NOTHING: &str = "No target has such a name.";
const PORTS: &str = "Ports";
const OUT: &str = "Out of service";
const LEAST: &str = "stops at least";
const LIMIT: &str = "Limit the changes of port";
const CHANGES: &str = "Changes of port at most";
const SET: &str = "Set them";
const CANCEL: &str = "Cancel";

/// Draws the form; the keyboard starts where another target is typed.
pub(super) fn show(
    context: &Context,
    state: &AppState,
    form: &WishesForm,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let Some(open) = state.open() else { return };
    let modal = modal(context, "wishes").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 80.0));
        part_name(ui, TITLE);
        ui.add(Label::new(quiet(tokens, HINT)).wrap());
        ui.add_space(TIGHT);
        let mut changed = form.clone();
        scrolled(ui, AROUND, |ui| {
            another(ui, state, open, &mut changed);
            for (words, wish) in [(MUST_SHOW, Wish::MustShow), (LEAVE_OUT, Wish::LeaveOut)] {
                wished(ui, open, tokens, &mut changed, (words, wish));
            }
            ui.add_space(SPACE);
            heading(ui, PORTS);
            for port in &open.document.stock.rig.ports {
                port_line(ui, port, &mut changed);
            }
            port_changes(ui, &mut changed);
            for port in changed.ports_that_cannot() {
                let name = open.document.stock.rig.port(port).map_or(&*port.0, |port| &port.name);
                fault_line(ui, tokens, &format!("{name} is out of service, so no draft can give it stops."));
            }
        });
        ui.add_space(SPACE);
        let set = Command::SetWishes(changed.clone());
        if changed != *form {
            commands.push(Command::WishesForm(changed));
        }
        ui.horizontal(|ui| {
            let button = command_button(ui, state, commands, (SET, SET), set);
            let cancel = cancel_button(ui, CANCEL, true);
            ends_on(&[&button, &cancel]);
            cancel.clicked()
        })
        .inner
    });
    if gives_up(&modal) {
        commands.push(Command::Dismiss);
    }
}

/// A name, and what can be done with it.
fn line(ui: &mut Ui, name: &str, rest: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        ui.allocate_ui_with_layout(vec2(NAMES, ROW), Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(NAMES);
            ui.add(Label::new(name).truncate());
        });
        rest(ui);
    });
}

/// Finds a target and wishes something of it.
fn another(ui: &mut Ui, state: &AppState, open: &OpenEvening, form: &mut WishesForm) {
    ui.label(FIND);
    let field = TextEdit::singleline(&mut form.typed).desired_width(f32::INFINITY).min_size(vec2(0.0, ROW));
    let response = ui.add(field).on_hover_text(FIND_HINT);
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_label(FIND);
        node.set_description(FIND_HINT);
    });
    begin_on(&response);
    leads_on(&response);
    let found = state.targets_named(&form.typed);
    if found.is_empty() && !form.typed.trim().is_empty() {
        ui.label(NOTHING);
    }
    for target in found.iter().filter_map(|index| open.document.stock.catalogue.targets.get(*index)) {
        let stands = wish_for(form.wishes(), &target.id);
        let mut wished = None;
        line(ui, &target.name, |ui| {
            for (words, wish) in [(MUST_SHOW, Wish::MustShow), (LEAVE_OUT, Wish::LeaveOut)] {
                let name = format!("{words}: {}", target.name);
                let button = named_button(ui, words, &name, stands != Some(wish));
                ends_on(&[&button]);
                if button.clicked() {
                    wished = Some(wish);
                }
            }
        });
        if wished.is_some() {
            form.wish(&target.id, wished);
        }
    }
}

/// The targets of which something is wished.
fn wished(
    ui: &mut Ui,
    open: &OpenEvening,
    tokens: &Tokens,
    form: &mut WishesForm,
    (words, wish): (&str, Wish),
) {
    ui.add_space(SPACE);
    heading(ui, words);
    let wishes = form.wishes();
    let targets: Vec<TargetId> = match wish {
        Wish::MustShow => wishes.must_show.clone(),
        Wish::LeaveOut => wishes.leave_out.clone(),
    };
    if targets.is_empty() {
        ui.label(quiet(tokens, NONE));
    }
    for target in &targets {
        let title = open.target_name(target);
        line(ui, &title, |ui| {
            if named_button(ui, TAKE_OFF, &format!("{TAKE_OFF}: {title}"), true).clicked() {
                form.wish(target, None);
            }
        });
    }
}

/// A port: how many stops it has at least, and whether it can't be used tonight.
fn port_line(ui: &mut Ui, port: &Port, form: &mut WishesForm) {
    line(ui, &port.name, |ui| {
        let name = format!("{}: {LEAST}", port.name);
        if let Some(stops) = count_field(ui, (&name, "stops"), form.least_stops(&port.id), LEAST_STOPS) {
            form.set_least_stops(&port.id, stops);
        }
        ui.label(LEAST);
        let mut out = form.wishes().ports_out_of_service.contains(&port.id);
        let switch = ui.checkbox(&mut out, OUT);
        ui.ctx().accesskit_node_builder(switch.id, |node| node.set_label(format!("{OUT}: {}", port.name)));
        if switch.changed() {
            form.set_out_of_service(&port.id, out);
        }
    });
}

/// How often the port may change.
fn port_changes(ui: &mut Ui, form: &mut WishesForm) {
    ui.horizontal(|ui| {
        let most = form.wishes().most_port_changes;
        let mut limited = most.is_some();
        if ui.checkbox(&mut limited, LIMIT).changed() {
            form.limit_port_changes(limited);
        } else if let Some(most) = most
            && let Some(changed) = count_field(ui, (CHANGES, "changes"), most, PORT_CHANGES)
        {
            form.set_port_changes(changed);
        }
    });
}
