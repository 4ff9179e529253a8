//! The page of the telescope and its ports: the numbers on the left, every field on the sky at one scale on the right.

mod to_scale;

use egui::{Context, Label, Ui};
use evenfall_core::rig::Instrument;

use super::dialogs::begin_on;
use super::parts::{heading, quiet};
use super::place_fields::{page, question, remove_button};
use super::theme::{SPACE, Tokens};
use crate::state::{AppState, Command, PlaceEdit, PlaceForm, PortKind};

/// The command.
pub const RIG_NAME: &str = "Telescope and ports…";
/// What it is for.
pub const RIG_HINT: &str =
    "The telescope, what hangs on each port, and every field beside the Moon's disc at one scale";

const TELESCOPE: [&str; 8] = [
    "name",
    "telescope.aperture_mm",
    "telescope.focal_length_mm",
    "telescope.central_obstruction",
    "telescope.throughput",
    "mount.lowest_altitude_deg",
    "mount.highest_altitude_deg",
    "mount.settle_s",
];
const SELECTOR: [&str; 2] = ["selector.change_s", "selector.refocus_s"];
const PORT: [&str; 4] = ["name", "side", "derotator", "focus_offset_steps"];
const CAMERA: [&str; 10] = [
    "camera.sensor_mm/0",
    "camera.sensor_mm/1",
    "camera.pixel_um",
    "camera.binning",
    "camera.focal_factor",
    "camera.purpose",
    "camera.colour",
    "camera.quantum_efficiency",
    "camera.read_noise_e",
    "camera.full_well_e",
];
const ACCESS: [&str; 4] = ["eye_height_mm", "axis_height_mm", "axis_to_eyepiece_mm", "step_mm"];
const EYEPIECE: [&str; 4] = ["name", "focal_length_mm", "apparent_field_deg", "field_stop_mm"];
const SPECTROGRAPH: [&str; 4] = [
    "spectrograph.slit_um",
    "spectrograph.slit_length_um",
    "spectrograph.resolving_power",
    "spectrograph.limiting_magnitude",
];
const IDS: &str = "Saved evenings know a port by its id, which stays as it is. A stop on a port that is taken off becomes a \
                   Stopper.";

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
        |ui, _| {
            heading(ui, "Fields on the sky, at one scale");
            if let Some(rig) = form.rig() {
                to_scale::show(ui, rig, tokens);
            }
        },
    );
}

fn fields(ui: &mut Ui, form: &PlaceForm, tokens: &Tokens, commands: &mut Vec<Command>) {
    heading(ui, "Telescope and mount");
    for name in TELESCOPE {
        let field = question(ui, form, (name, ""), tokens, commands);
        if let Some(field) = field.filter(|_| name == TELESCOPE[0]) {
            begin_on(&field);
        }
    }
    ui.add_space(SPACE);
    heading(ui, "Selector");
    for name in SELECTOR {
        question(ui, form, (name, ""), tokens, commands);
    }
    ui.add(Label::new(quiet(tokens, IDS)).wrap());
    for position in 0..form.entries("ports") {
        port(ui, form, position, tokens, commands);
    }
    ui.add_space(SPACE);
    heading(ui, "Add a port");
    ui.horizontal_wrapped(|ui| {
        for kind in PortKind::ALL {
            if ui.button(format!("Add: {}", kind.words())).clicked() {
                commands.push(Command::EditPlace(PlaceEdit::AddPort(kind)));
            }
        }
    });
}

fn port(ui: &mut Ui, form: &PlaceForm, position: usize, tokens: &Tokens, commands: &mut Vec<Command>) {
    let entry = format!("ports[{position}]");
    let whose = format!("Port {}", position + 1);
    let told = |names: &[&str], ui: &mut Ui, commands: &mut Vec<Command>| {
        for name in names {
            question(ui, form, (&format!("{entry}.{name}"), &whose), tokens, commands);
        }
    };
    ui.add_space(SPACE);
    ui.horizontal(|ui| {
        heading(ui, &format!("{whose}: {}", form.shown(&format!("{entry}.name"))));
        remove_button(ui, &entry, &format!("Remove port {}", position + 1), commands);
    });
    told(&PORT, ui, commands);
    if form.has(&format!("{entry}.camera")) {
        told(&CAMERA, ui, commands);
        if let Some(Instrument::Camera(camera)) =
            form.rig().and_then(|rig| Some(&rig.ports.get(position)?.instrument))
        {
            let pixels = |side_mm: f64| (side_mm * 1000.0 / camera.pixel_um).round();
            let (across, up) = (pixels(camera.sensor_mm.0), pixels(camera.sensor_mm.1));
            ui.label(quiet(tokens, format!("{across} × {up} pixels as they are read out")));
        }
    }
    if form.has(&format!("{entry}.spectrograph")) {
        told(&SPECTROGRAPH, ui, commands);
    }
    if form.has(&format!("{entry}.eyepieces")) {
        told(&ACCESS, ui, commands);
        for number in 0..form.entries(&format!("{entry}.eyepieces")) {
            let eyepiece = format!("{entry}.eyepieces[{number}]");
            let name = format!("{whose}, eyepiece {}", number + 1);
            ui.horizontal(|ui| {
                ui.label(format!("Eyepiece {}", number + 1));
                let remove = format!("Remove eyepiece {} of port {}", number + 1, position + 1);
                remove_button(ui, &eyepiece, &remove, commands);
            });
            for key in EYEPIECE {
                question(ui, form, (&format!("{eyepiece}.{key}"), &name), tokens, commands);
            }
        }
        if ui.button(format!("Add an eyepiece to port {}", position + 1)).clicked() {
            commands.push(Command::EditPlace(PlaceEdit::AddEyepiece(position)));
        }
    }
}
