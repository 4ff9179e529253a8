//! The page of the site: its numbers and words on the left, its horizon on a ring on the right.

mod compass;
mod ring;

use egui::accesskit::Live;
use egui::{Button, Context, Label, Ui};

use super::dialogs::begin_on;
use super::parts::{heading, quiet};
use super::place_fields::{list, page, question, remove_button};
use super::theme::{SPACE, Tokens};
use crate::state::{AppState, Command, PathUse, PlaceEdit, PlaceForm};

/// The command.
pub const SITE_NAME: &str = "Site and horizon…";
/// What it is for.
pub const SITE_HINT: &str =
    "Place, zone, darkness, air, weather limits, words for visitors, and the horizon on a ring";

const PLACE: [&str; 6] = ["name", "latitude_deg", "longitude_deg", "elevation_m", "time_zone", "park_closes"];
const SKY: [&str; 5] = [
    "zenith_brightness_mag_arcsec2",
    "extinction_mag_per_airmass",
    "seeing_arcsec",
    "air.pressure_hpa",
    "air.temperature_c",
];
const LIMITS: [&str; 4] = [
    "sun_exclusion_deg",
    "weather_limits.wind_km_h",
    "weather_limits.humidity_percent",
    "weather_limits.cloud_percent",
];
const TOWN: [&str; 3] = ["azimuth_deg", "half_width_deg", "brightening_mag"];

/// Draws it; the keyboard starts in the name.
pub fn show(
    context: &Context,
    state: &AppState,
    form: &PlaceForm,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    page(
        context,
        state,
        form,
        tokens,
        commands,
        |ui, commands| fields(ui, form, tokens, commands),
        |ui, commands| horizon(ui, state, form, tokens, commands),
    );
}

fn fields(ui: &mut Ui, form: &PlaceForm, tokens: &Tokens, commands: &mut Vec<Command>) {
    heading(ui, "Place and clock");
    for name in PLACE {
        let field = question(ui, form, (name, ""), tokens, commands);
        if let Some(field) = field.filter(|_| name == PLACE[0]) {
            begin_on(&field);
        }
    }
    ui.add_space(SPACE);
    heading(ui, "Sky and air");
    for name in SKY {
        question(ui, form, (name, ""), tokens, commands);
    }
    for town in 0..form.entries("light_domes") {
        let entry = format!("light_domes[{town}]");
        let whose = format!("Town {}", town + 1);
        ui.horizontal(|ui| {
            ui.label(&whose);
            remove_button(ui, &entry, &format!("Remove town {}", town + 1), commands);
        });
        for key in TOWN {
            question(ui, form, (&format!("{entry}.{key}"), &whose), tokens, commands);
        }
    }
    if ui.button("Add a town").clicked() {
        commands.push(Command::EditPlace(PlaceEdit::Add("light_domes", form.entries("light_domes"))));
    }
    ui.add_space(SPACE);
    heading(ui, "Limits");
    for name in LIMITS {
        question(ui, form, (name, ""), tokens, commands);
    }
    ui.add_space(SPACE);
    heading(ui, "The site's own cautions");
    list(ui, form, ("cautions", "Add a caution"), tokens, commands);
    ui.add_space(SPACE);
    heading(ui, "For visitors");
    question(ui, form, ("visitors.contact", ""), tokens, commands);
    list(ui, form, ("visitors.lines", "Add a line for visitors"), tokens, commands);
}

fn horizon(ui: &mut Ui, state: &AppState, form: &PlaceForm, tokens: &Tokens, commands: &mut Vec<Command>) {
    heading(ui, "Horizon");
    ring::show(ui, state, form, tokens, commands);
    ui.horizontal_wrapped(|ui| {
        if ui.button("Insert corner").clicked() {
            commands.push(Command::EditPlace(PlaceEdit::InsertCorner(form.corner)));
        }
        if ui.add_enabled(form.entries("horizon") > 0, Button::new("Remove corner")).clicked() {
            commands.push(Command::EditPlace(PlaceEdit::RemoveCorner(form.corner)));
        }
        if ui.button("Read from text…").on_hover_text(ring::TEXT_HINT).clicked() {
            commands.push(Command::AskPath(PathUse::HorizonText));
        }
        if form.has_former_horizon() && ui.button("Former horizon").clicked() {
            commands.push(Command::EditPlace(PlaceEdit::FormerHorizon));
        }
    });
    let corner = form.corners().into_iter().position(|corner| corner.position == form.corner);
    if let Some(number) = corner {
        // The same names for every corner: Tab walks through all of them before it comes here.
        ui.label(format!("Corner {} of {}", number + 1, form.entries("horizon")));
        for of_pair in ["0", "1"] {
            question(ui, form, (&format!("horizon[{}]/{of_pair}", form.corner), "Corner"), tokens, commands);
        }
    }
    ui.add(Label::new(quiet(tokens, ring::HINT)).wrap());
    for (position, line) in form.told.iter().enumerate() {
        let told = ui.add(Label::new(line.as_str()).wrap());
        if position == 0 {
            ui.ctx().accesskit_node_builder(told.id, |node| node.set_live(Live::Polite));
        }
    }
}
