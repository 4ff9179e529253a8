//! House and doors: what the evening is called, when doors open and close, who is expected, how long a look takes; when they come
//! and go, and how long a look at each kind takes, is drawn by `crowd`.

use egui::{Align, Context, Key, Label, Layout, TextEdit, Ui, vec2};
use evenfall_core::plan::LeavingFault;

use super::{begin_on, crowd, modal, scrolled};
use crate::state::{
    AppState, Command, CrowdWay, HouseFault, HouseForm, LOOK_SECONDS, MOST_VISITORS, SCREEN_MINUTES,
};
use crate::ui::escape::{cancel_button, gives_up};
use crate::ui::fields::{clock_field, minutes_field, people_field, percent_field, seconds_field};
use crate::ui::leading_on::{ends_on, leads_on};
use crate::ui::parts::{command_button, fault_line, heading, part_name, quiet};
use crate::ui::theme::{ROW, SPACE, TIGHT, Tokens};

/// The command in full.
pub const HOUSE_NAME: &str = "House and doors…";
/// What it is for.
pub const HOUSE_HINT: &str =
    "The evening's title, when doors open and close, who comes, when they come and go, how long a look takes";

const WIDTH: f32 = 480.0;
/// Width of the names of the fields.
const NAMES: f32 = 190.0;
/// Height of title and buttons.
const AROUND: f32 = 210.0;

const TITLE: &str = "House and doors";
const HINT: &str = "What stands on the Board stays; what no longer fits is told. Draft anew to lay the evening out for it. \
                    Bedtime, slack and the order's rules stand under Rules.";
const CALLED: &str = "Title of the evening";
const CALLED_HINT: &str = "As it stands on every page; up to 60 characters";
const DOORS: &str = "Doors";
const OPEN: &str = "Doors open";
const CLOSE: &str = "Doors close";
const CLOSE_HINT: &str = "A time before noon lies after midnight";
const HOUSE: &str = "House";
const VISITORS: &str = "Visitors expected";
const CHILDREN: &str = "Children among them";
const SEATED: &str = "Seated at the eyepiece";
const LOOKS: &str = "Looks";
const LOOK: &str = "One look at the eyepiece";
const LOOK_HINT: &str = "At a planet; other kinds take less or more in the usual proportion";
const SKIP: &str = "Skip any one stop";
const SKIP_HINT: &str = "Share of the visitors who pass a stop by";
const SCREEN: &str = "A group at the screen";
const SET: &str = "Set it";
const CANCEL: &str = "Cancel";

fn fault_words(fault: HouseFault) -> String {
    let words = match fault {
        HouseFault::PartBackwards(way, part) => {
            return format!(
                "{}, part {}: its last visitor would be there before its first.",
                crowd::way_words(way),
                part + 1
            );
        }
        HouseFault::Leaving(LeavingFault::MoreThanAll { percent }) => {
            return format!(
                "{percent:.0}% of the visitors go in all: 100% at most, the rest stays to the end."
            );
        }
        HouseFault::Leaving(LeavingFault::BeforeComing { minute, left_percent, come_percent, .. }) => {
            return format!(
                "{left_percent:.0}% have gone by {minute:.0} min after doors open, when {come_percent:.0}% have come: let them \
                 go later."
            );
        }
        HouseFault::NoTitle => "The evening needs a title.",
        HouseFault::LongTitle => "The title is longer than 60 characters.",
        HouseFault::Doors => "Doors must close at least ten minutes after they open, within noon to noon.",
        HouseFault::Children => "There are more children than visitors: count them among the visitors.",
        HouseFault::Seated => "More look seated than come: count them among the visitors.",
    };
    words.to_owned()
}

/// Draws the form; the keyboard starts in the title, where Enter takes the answers.
pub(super) fn show(
    context: &Context,
    state: &AppState,
    form: &HouseForm,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let modal = modal(context, "house and doors").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 80.0));
        part_name(ui, TITLE);
        ui.add(Label::new(quiet(tokens, HINT)).wrap());
        ui.add_space(TIGHT);
        let mut changed = form.clone();
        let entered = scrolled(ui, AROUND, |ui| {
            let entered = title(ui, &mut changed);
            doors(ui, &mut changed);
            house(ui, &mut changed);
            for way in [CrowdWay::Coming, CrowdWay::Going] {
                crowd::coming_or_going(ui, &mut changed, way);
            }
            looks(ui, &mut changed);
            crowd::looks_by_kind(ui, &mut changed);
            entered
        });
        ui.add_space(TIGHT);
        for fault in changed.faults() {
            fault_line(ui, tokens, &fault_words(fault));
        }
        let set = Command::SetHouse(changed.clone());
        if changed != *form {
            commands.push(Command::HouseForm(changed));
        }
        ui.horizontal(|ui| {
            let button = command_button(ui, state, commands, (SET, SET), set.clone());
            if entered && set.allowed(state) {
                commands.push(set);
            }
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

/// A question: its name, and its field beside it.
pub(super) fn question<T>(ui: &mut Ui, name: &str, field: impl FnOnce(&mut Ui) -> T) -> T {
    ui.horizontal(|ui| {
        ui.allocate_ui_with_layout(vec2(NAMES, ROW), Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(NAMES);
            ui.label(name);
        });
        field(ui)
    })
    .inner
}

/// The title; whether Enter was pressed in it.
fn title(ui: &mut Ui, form: &mut HouseForm) -> bool {
    ui.label(CALLED);
    let field = TextEdit::singleline(&mut form.title).desired_width(f32::INFINITY).min_size(vec2(0.0, ROW));
    let response = ui.add(field).on_hover_text(CALLED_HINT);
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_label(CALLED);
        node.set_description(CALLED_HINT);
    });
    begin_on(&response);
    leads_on(&response);
    response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter))
}

fn doors(ui: &mut Ui, form: &mut HouseForm) {
    ui.add_space(SPACE);
    heading(ui, DOORS);
    for (name, hint, time) in [(OPEN, "", &mut form.doors_open), (CLOSE, CLOSE_HINT, &mut form.doors_close)] {
        if let Some(changed) = question(ui, name, |ui| clock_field(ui, name, hint, *time)) {
            *time = changed;
        }
    }
}

fn house(ui: &mut Ui, form: &mut HouseForm) {
    ui.add_space(SPACE);
    heading(ui, HOUSE);
    let rows = [(VISITORS, &mut form.visitors), (CHILDREN, &mut form.children), (SEATED, &mut form.seated)];
    for (name, people) in rows {
        if let Some(changed) = question(ui, name, |ui| people_field(ui, name, *people, MOST_VISITORS)) {
            *people = changed;
        }
    }
}

fn looks(ui: &mut Ui, form: &mut HouseForm) {
    ui.add_space(SPACE);
    heading(ui, LOOKS);
    if let Some(seconds) =
        question(ui, LOOK, |ui| seconds_field(ui, (LOOK, LOOK_HINT), form.look_seconds, LOOK_SECONDS))
    {
        form.look_seconds = seconds;
    }
    if let Some(percent) =
        question(ui, SKIP, |ui| percent_field(ui, SKIP, SKIP_HINT, form.skip_percent, 100.0))
    {
        form.skip_percent = percent;
    }
    if let Some(minutes) =
        question(ui, SCREEN, |ui| minutes_field(ui, SCREEN, form.screen_minutes, SCREEN_MINUTES))
    {
        form.screen_minutes = minutes;
    }
}
