//! First steps: the demonstration, an evening of one's own, or a file.

use egui::{Context, Label, Ui};

use super::{begin_on, modal, scrolled};
use crate::state::Command;
use crate::ui::parts::{part_name, quiet};
use crate::ui::theme::{SPACE, TIGHT, Tokens, WIDE};

const WIDTH: f32 = 520.0;
/// Room for its margins.
const AROUND: f32 = 60.0;

const TITLE: &str = "Welcome to Evenfall";
const INTRODUCTION: &str = "Evenfall prepares a public observing night: what to show, when, through which port, for this \
                            crowd under this Moon. It prints the run sheet for the people in the dark.";
const DEMO: &str = "Look at the demo evening";
const DEMO_HINT: &str =
    "An invented park with an invented telescope, laid out and ready to be changed. Nothing is written.";
const OWN: &str = "Make an evening of your own";
const OWN_HINT: &str = "Your site, your telescope and a first date on one page. About five minutes; every number can be changed later.";
const FILE: &str = "Open a file";
const FILE_HINT: &str = "An evening that you or a colleague has saved; its name ends in .evening.ron.";
const LATER: &str =
    "This page stays in the menu under First steps. F1 lists all keys, Ctrl + K finds every command.";

/// Draws them; the keyboard starts on the first.
pub(super) fn show(context: &Context, tokens: &Tokens, commands: &mut Vec<Command>) {
    let modal = modal(context, "first steps").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 60.0));
        scrolled(ui, AROUND, |ui| page_of(ui, tokens, commands));
    });
    if modal.should_close() {
        commands.push(Command::Dismiss);
    }
}

fn page_of(ui: &mut Ui, tokens: &Tokens, commands: &mut Vec<Command>) {
    part_name(ui, TITLE);
    ui.add(Label::new(INTRODUCTION).wrap());
    ui.add_space(WIDE);
    let ways = [
        (DEMO, DEMO_HINT, Command::Dismiss),
        (OWN, OWN_HINT, Command::AskOwn),
        (FILE, FILE_HINT, Command::Open),
    ];
    for (position, (name, hint, command)) in ways.into_iter().enumerate() {
        if way(ui, tokens, (name, hint), position == 0) {
            commands.push(Command::Dismiss);
            commands.push(command);
        }
        ui.add_space(SPACE);
    }
    ui.add(Label::new(quiet(tokens, LATER)).wrap());
    ui.add_space(TIGHT);
}

fn way(ui: &mut Ui, tokens: &Tokens, (name, hint): (&str, &str), first: bool) -> bool {
    let button = ui.button(name);
    ui.ctx().accesskit_node_builder(button.id, |node| node.set_description(hint));
    if first {
        begin_on(&button);
    }
    ui.add(Label::new(quiet(tokens, hint)).wrap());
    button.clicked()
}
