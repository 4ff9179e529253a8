//! The running orders of the evening: which one stands, which are kept beside it, all of them side by side.

use egui::{Context, Grid, Key, Label, RichText, ScrollArea, TextEdit, Ui, vec2};
use evenfall_core::plan::{LONGEST_VERSION_NAME, Stop, What};
use evenfall_core::sheet::{Names, difference_phrase, numbers, port_letter};

use super::{begin_on, modal};
use crate::state::{AppState, Command, OpenEvening, OrderFacts};
use crate::ui::parts::{command_button, heading, part_name, quiet};
use crate::ui::text;
use crate::ui::theme::{BODY, ROW, SPACE, TIGHT, Tokens, semibold};

const WIDTH: f32 = 460.0;
/// Width of an order beside others.
const COLUMN: f32 = 220.0;
/// Height of all but the stops.
const AROUND: f32 = 460.0;

const TITLE: &str = "Running orders";
const HINT: &str = "Keep an order beside the one on the Board, such as for a cloudy sky, and switch when it is needed. \
                    While doors are open what has been shown stays.";
const NONE_KEPT: &str = "None is kept yet.";
const NAME: &str = "Keep this one as";
const KEEP: &str = "Keep";
const SWITCH: &str = "Switch to it";
const FORGET: &str = "Forget";
const ON_THE_BOARD: &str = "On the Board";
/// Names that are offered.
const USUAL_NAMES: [&str; 3] = ["Clear", "Patchy", "Cloud"];

/// Draws them; the keyboard starts in the field of the name.
pub(super) fn show(
    context: &Context,
    state: &AppState,
    typed: &str,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let Some(open) = state.open() else { return };
    let orders = state.orders();
    let modal = modal(context, "running orders").show(context, |ui| {
        let room = context.content_rect().size() - vec2(80.0, 0.0);
        ui.set_width(WIDTH.max(orders.len() as f32 * (COLUMN + SPACE)).min(room.x));
        part_name(ui, TITLE);
        ui.label(quiet(tokens, HINT));
        ui.add_space(SPACE);
        if open.document.evening.versions.is_empty() {
            ui.label(quiet(tokens, NONE_KEPT));
        } else {
            // As high as its content at once: the orders come in a moment after the dialog.
            ScrollArea::horizontal().min_scrolled_height(room.y).show(ui, |ui| {
                ui.horizontal_top(|ui| {
                    for facts in orders {
                        let stops = (room.y - AROUND).max(80.0);
                        column(ui, state, open, (facts, stops), tokens, commands);
                    }
                });
            });
        }
        ui.add_space(SPACE);
        keep(ui, state, open, typed, commands);
    });
    if modal.should_close() {
        commands.push(Command::Dismiss);
    }
}

/// One order: its name, what it is worth, what differs, its stops, and what can be done.
fn column(
    ui: &mut Ui,
    state: &AppState,
    open: &OpenEvening,
    (facts, stops_height): (&OrderFacts, f32),
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    ui.vertical(|ui| {
        ui.set_width(COLUMN);
        let title = match (facts.stands, facts.name.is_empty()) {
            (true, true) => ON_THE_BOARD.to_owned(),
            (true, false) => format!("{ON_THE_BOARD}: {}", facts.name),
            (false, _) => facts.name.clone(),
        };
        heading(ui, &title);
        for line in fact_lines(open, facts) {
            ui.add(Label::new(line).wrap());
        }
        if !facts.stands {
            ui.horizontal(|ui| {
                let switch = format!("Switch to {}", facts.name);
                let to = Command::SwitchOrder(facts.name.clone());
                command_button(ui, state, commands, (SWITCH, &switch), to);
                let forget = format!("{FORGET} {}", facts.name);
                let drop = Command::DropOrder(facts.name.clone());
                command_button(ui, state, commands, (FORGET, &forget), drop);
            });
        }
        ui.add_space(TIGHT);
        let area = ScrollArea::vertical()
            .id_salt(&title)
            .max_height(stops_height)
            .min_scrolled_height(stops_height)
            .auto_shrink([false, true]);
        area.show(ui, |ui| {
            Grid::new(("stops of", &title)).num_columns(3).spacing(vec2(SPACE, 1.0)).show(ui, |ui| {
                for stop in facts.order.stops() {
                    stop_row(ui, open, facts, stop, tokens);
                }
            });
        });
    });
}

/// What an order is worth and what differs, in words.
fn fact_lines(open: &OpenEvening, facts: &OrderFacts) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(percent) = facts.worth_percent.filter(|_| !facts.stands) {
        lines.push(format!("Worth {} of the one on the Board", numbers::percent_of(percent)));
    }
    let shows = facts.order.stops().iter().filter(|stop| stop.show().is_some()).count();
    lines.push(format!(
        "{}, {} free, longest wait {}",
        numbers::count(shows, "target", "targets"),
        numbers::minutes(facts.free_minutes),
        numbers::minutes(facts.longest_wait_minutes),
    ));
    lines.push(text::findings(facts.stoppers, facts.cautions));
    if !facts.stands {
        let materials = open.document.stock.materials();
        let names = Names::new(&open.document.evening, &open.derived.prepared, &materials);
        let phrase = difference_phrase(&names, &facts.difference);
        lines.push(if phrase.is_empty() { "The same targets and times".to_owned() } else { phrase });
    }
    lines
}

/// When, through which port, what; a target that the Board does not show so stands out by its weight.
fn stop_row(ui: &mut Ui, open: &OpenEvening, facts: &OrderFacts, stop: &Stop, tokens: &Tokens) {
    let night = &open.derived.prepared.night.local;
    ui.label(text::clock(night, stop.start()));
    let (letter, differs) = match &stop.what {
        What::Show(show) => {
            let position = open.document.stock.rig.ports.iter().position(|port| port.id == show.port);
            let difference = &facts.difference;
            let differs = difference.came.contains(&show.target) || difference.moved.contains(&show.target);
            (position.map_or_else(String::new, port_letter), differs)
        }
        What::Entry { .. } => (String::new(), false),
    };
    ui.label(quiet(tokens, letter));
    let title = open.title(stop);
    let title = if differs { RichText::new(title).font(semibold(BODY)) } else { RichText::new(title) };
    ui.add(Label::new(title).truncate());
    ui.end_row();
}

/// The field of the name under which the order on the Board is kept, and names that are offered.
fn keep(ui: &mut Ui, state: &AppState, open: &OpenEvening, typed: &str, commands: &mut Vec<Command>) {
    ui.label(NAME);
    let mut name = typed.to_owned();
    let response =
        ui.add(TextEdit::singleline(&mut name).desired_width(f32::INFINITY).min_size(vec2(0.0, ROW)));
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_label(NAME);
        node.set_description(format!("A name such as Cloudy, up to {LONGEST_VERSION_NAME} characters"));
    });
    begin_on(&response);
    if response.changed() {
        commands.push(Command::OrderName(name.clone()));
    }
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    ui.add_space(TIGHT);
    ui.horizontal(|ui| {
        let keep = Command::KeepOrder(name.clone());
        command_button(ui, state, commands, (KEEP, KEEP), keep.clone());
        if entered && keep.allowed(state) {
            commands.push(keep);
        }
        let evening = &open.document.evening;
        let is_free = |name: &str| {
            evening.version != name && evening.versions.iter().all(|version| version.name != name)
        };
        for usual in USUAL_NAMES.into_iter().filter(|name| is_free(name)) {
            let label = format!("Call it {usual}");
            let words = format!("…as {usual}");
            command_button(ui, state, commands, (&words, &label), Command::OrderName(usual.to_owned()));
        }
        if ui.button(text::CLOSE).clicked() {
            commands.push(Command::Dismiss);
        }
    });
}
