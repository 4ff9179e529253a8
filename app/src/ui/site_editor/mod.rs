//! The page of the site: its horizon on a ring, its numbers and words beside it.

mod compass;
mod ring;

use egui::accesskit::Live;
use egui::{Context, Label, Ui};

use super::dialogs::begin_on;
use super::parts::{heading, named_button, quiet};
use super::place_fields::{list, question, remove_button};
use super::place_page::{begin_with, page};
use super::theme::{SPACE, Tokens};
use crate::state::{AppState, Command, Part, PathUse, PlaceEdit, PlaceForm};

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
const PLAN: [&str; 4] = ["name", "latitude_deg", "longitude_deg", "note"];
const PLAN_HINT: &str =
    "Where the line begins, the car park, the meeting point: they stand on the map (site-plan.geojson).";
const BEGIN: &str = "Horizon of…";
const BEGIN_HINT: &str = "The horizon of an invented site in the place of this one";
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
            if ring::leads_to_fields(ui.ctx()) {
                field.request_focus();
            }
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
    ui.add_space(SPACE);
    plan(ui, form, tokens, commands);
}

/// Places on the grounds, for the map of the park.
fn plan(ui: &mut Ui, form: &PlaceForm, tokens: &Tokens, commands: &mut Vec<Command>) {
    heading(ui, "Places on the grounds");
    ui.add(Label::new(quiet(tokens, PLAN_HINT)).wrap());
    let places = form.entries("plan");
    for place in 0..places {
        let entry = format!("plan[{place}]");
        let whose = format!("Place {}", place + 1);
        ui.horizontal(|ui| {
            ui.label(&whose);
            remove_button(ui, &entry, &format!("Remove place {}", place + 1), commands);
        });
        for key in PLAN {
            question(ui, form, (&format!("{entry}.{key}"), &whose), tokens, commands);
        }
    }
    if ui.button("Add a place").clicked() {
        commands.push(Command::EditPlace(PlaceEdit::Add("plan", places)));
    }
}

fn horizon(ui: &mut Ui, state: &AppState, form: &PlaceForm, tokens: &Tokens, commands: &mut Vec<Command>) {
    heading(ui, "Horizon");
    ring::show(ui, state, form, tokens, commands);
    ring::between_ring_and_fields(ui, form, commands);
    ui.horizontal_wrapped(|ui| {
        if named_button(ui, "Insert", "Insert corner", true).clicked() {
            commands.push(Command::EditPlace(PlaceEdit::InsertCorner(form.corner)));
        }
        if named_button(ui, "Remove", "Remove corner", form.entries("horizon") > 0).clicked() {
            commands.push(Command::EditPlace(PlaceEdit::RemoveCorner(form.corner)));
        }
        let read = named_button(ui, "Read text…", "Read from text…", true);
        if read.on_hover_text(ring::TEXT_HINT).clicked() {
            commands.push(Command::AskPath(PathUse::HorizonText));
        }
        if let Some(position) = begin_with(ui, Part::Site, (BEGIN, BEGIN_HINT)) {
            commands.push(Command::EditPlace(PlaceEdit::BeginHorizon(position)));
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
    ui.add(Label::new(quiet(tokens, ring::HINT)).wrap()).on_hover_text(ring::KEYS_HINT);
    for (position, line) in form.told.iter().enumerate() {
        let told = ui.add(Label::new(line.as_str()).wrap());
        if position == 0 {
            ui.ctx().accesskit_node_builder(told.id, |node| node.set_live(Live::Polite));
        }
    }
}
