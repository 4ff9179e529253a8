//! The page of the telescope and its ports: every field on the sky at one scale, the numbers beside it.

mod to_scale;

use egui::{Button, Context, Label, Ui};
use evenfall_core::rig::Instrument;

use super::dialogs::begin_on;
use super::parts::{heading, quiet};
use super::place_fields::{question, remove_button};
use super::place_page::page;
use super::theme::{SPACE, Tokens};
use crate::state::{AppState, Command, Kind, Part, PlaceEdit, PlaceForm, PortKind, field_of};

/// The command.
pub const RIG_NAME: &str = "Telescope and ports…";
/// What it is for.
pub const RIG_HINT: &str =
    "The telescope, what hangs on each port, and every field beside the Moon's disc at one scale";

const TELESCOPE: [&str; 5] = [
    "name",
    "telescope.aperture_mm",
    "telescope.focal_length_mm",
    "telescope.central_obstruction",
    "telescope.throughput",
];
/// What is asked about mount, dome and guider: each only where the file has its group.
const MOUNT: [&str; 19] = [
    "mount.way",
    "mount.lowest_altitude_deg",
    "mount.highest_altitude_deg",
    "mount.settle_s",
    "mount.keyhole_radius_deg",
    "mount.cable_wrap_deg/0",
    "mount.cable_wrap_deg/1",
    "mount.azimuth_axis.rate_deg_per_s",
    "mount.azimuth_axis.acceleration_deg_per_s2",
    "mount.altitude_axis.rate_deg_per_s",
    "mount.altitude_axis.acceleration_deg_per_s2",
    "mount.hour_angle_axis.rate_deg_per_s",
    "mount.hour_angle_axis.acceleration_deg_per_s2",
    "mount.declination_axis.rate_deg_per_s",
    "mount.declination_axis.acceleration_deg_per_s2",
    "mount.pole_keyhole_radius_deg",
    "mount.meridian_flip.way",
    "mount.meridian_flip.past_meridian_min",
    "mount.meridian_flip.flip_s",
];
const DOME: [&str; 8] = [
    "dome.way",
    "dome.radius_m",
    "dome.slit_width_m",
    "dome.offset_east_m",
    "dome.offset_north_m",
    "dome.offset_up_m",
    "dome.rotation.rate_deg_per_s",
    "dome.rotation.acceleration_deg_per_s2",
];
const GUIDER: [&str; 7] = [
    "guider.way",
    "guider.field_arcmin/0",
    "guider.field_arcmin/1",
    "guider.sensor_mm/0",
    "guider.sensor_mm/1",
    "guider.focal_length_mm",
    "guider.limiting_magnitude",
];
const SELECTOR: [&str; 2] = ["selector.change_s", "selector.refocus_s"];
const PAIR: [&str; 4] = ["from", "to", "change_s", "refocus_s"];
const PAIRS_HINT: &str = "Two ports between which a change takes another time, either way.";
const PORT: [&str; 7] = [
    "name",
    "side",
    "derotator",
    "rotator_axis.way",
    "rotator_axis.rate_deg_per_s",
    "rotator_axis.acceleration_deg_per_s2",
    "focus_offset_steps",
];
const CAMERA: [&str; 11] = [
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
    "camera.turned_deg",
];
const ACCESS: [&str; 4] = ["eye_height_mm", "axis_height_mm", "axis_to_eyepiece_mm", "step_mm"];
const EYEPIECE: [&str; 6] =
    ["name", "focal_length_mm", "apparent_field_deg", "field_stop_mm", "barrel_mm", "eye_relief_mm"];
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
                to_scale::show(ui, rig, form.is_sound(), tokens);
            }
        },
    );
}

fn fields(ui: &mut Ui, form: &PlaceForm, tokens: &Tokens, commands: &mut Vec<Command>) {
    heading(ui, "Telescope");
    for name in TELESCOPE {
        let field = question(ui, form, (name, ""), tokens, commands);
        if let Some(field) = field.filter(|_| name == TELESCOPE[0]) {
            begin_on(&field);
        }
    }
    for (name, whose, asked) in
        [("Mount", "", &MOUNT[..]), ("Dome", "Dome", &DOME), ("Guider", "Guider", &GUIDER)]
    {
        ui.add_space(SPACE);
        heading(ui, name);
        for name in asked.iter().filter(|name| is_asked(form, name)) {
            question(ui, form, (name, whose), tokens, commands);
        }
    }
    ui.add_space(SPACE);
    heading(ui, "Selector");
    for name in SELECTOR {
        question(ui, form, (name, ""), tokens, commands);
    }
    pairs(ui, form, tokens, commands);
    ui.add_space(SPACE);
    heading(ui, "Ports");
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

/// Whether a value can stand in the file as it is: its group is there, and it is one of the way that was taken.
fn is_asked(form: &PlaceForm, name: &str) -> bool {
    let is_way = |name| matches!(field_of(Part::Rig, name).map(|field| field.kind), Some(Kind::Way(_)));
    match name {
        "mount.meridian_flip.way" | "mount.pole_keyhole_radius_deg" => form.has("mount.hour_angle_axis"),
        "dome.offset_east_m" | "dome.offset_north_m" | "dome.offset_up_m" => form.has("dome"),
        _ => is_way(name) || form.has(name.split('/').next().unwrap_or(name)),
    }
}

/// Pairs of ports with times of their own.
fn pairs(ui: &mut Ui, form: &PlaceForm, tokens: &Tokens, commands: &mut Vec<Command>) {
    let pairs = form.entries("selector.pairs");
    for number in 0..pairs {
        let entry = format!("selector.pairs[{number}]");
        let whose = format!("Pair {}", number + 1);
        ui.horizontal(|ui| {
            ui.label(&whose);
            remove_button(ui, &entry, &format!("Remove pair {}", number + 1), commands);
        });
        for key in PAIR {
            question(ui, form, (&format!("{entry}.{key}"), &whose), tokens, commands);
        }
    }
    let can_add = form.entries("ports") > 1;
    if ui.add_enabled(can_add, Button::new("Add a pair")).on_hover_text(PAIRS_HINT).clicked() {
        commands.push(Command::EditPlace(PlaceEdit::Add("selector.pairs", pairs)));
    }
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
    let has_rotator = form.shown(&format!("{entry}.derotator")) == "true";
    let has_pace = form.has(&format!("{entry}.rotator_axis"));
    let asked = PORT.into_iter().filter(|name| match name.strip_prefix("rotator_axis.") {
        Some("way") => has_rotator,
        Some(_) => has_pace,
        None => true,
    });
    told(&asked.collect::<Vec<_>>(), ui, commands);
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
