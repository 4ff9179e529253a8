//! What the pages of site and rig have in common: their frame, their fields with unit and range and a mark where something is
//! wrong, what they do with files.

use chrono_tz::TZ_VARIANTS;
use egui::accesskit::{Invalid, Live};
use egui::{
    Align, Align2, Button, ComboBox, Context, Key, Label, Layout, Response, RichText, Role, ScrollArea,
    Sense, TextEdit, Ui, WidgetInfo, vec2,
};
use evenfall_core::plan::Severity;

use super::dialogs::modal;
use super::escape::{cancel_button, gives_up};
use super::parts::{command_button, part_name, quiet, severity_mark};
use super::theme::{BODY, ROW, SPACE, TIGHT, Tokens, least_side, regular};
use crate::state::{AppState, Command, Judgement, Kind, Part, PathUse, PlaceEdit, PlaceForm, field_of};

/// Width of the page at most.
const WIDTH: f32 = 1120.0;
/// Height of title and buttons.
pub const AROUND: f32 = 196.0;
/// Width of the names of the fields, and of the fields.
const NAMES: f32 = 138.0;
const FIELDS: f32 = 118.0;
/// Width of words, and of the longest zone.
const WORDS: f32 = 300.0;
const ZONE: f32 = 216.0;
/// Below this width what a field means stands under it.
const BESIDE: f32 = 470.0;
/// Below this width of the page its drawing stands under the fields.
const TWO_COLUMNS: f32 = 780.0;
/// Width of the drawing's column.
const DRAWING: f32 = 384.0;
/// So many zones are offered at once.
const MOST_ZONES: usize = 6;

const SET: &str = "Set it";
const CANCEL: &str = "Cancel";
const OTHER: &str = "Choose another file…";
const NEW: &str = "Save as a new file…";
const TEMPLATE: &str = "Begin with the demo's";
const STAYS: &str = "What stands on the Board stays; what no longer fits is told. Setting it is one step that Undo takes \
                     back; saving the evening writes the file.";
const NO_FILE: &str = "a file of the demo, written beside the evening when that is saved";
const SHARED: &str = "Evenings that name the same file follow.";

/// The words of a page: its title.
pub const fn title(part: Part) -> &'static str {
    match part {
        Part::Site => "Site and horizon",
        Part::Rig => "Telescope and ports",
        Part::Catalogue => "Catalogue",
    }
}

/// Draws a page: fields on the left, its drawing on the right or below them.
pub fn page(
    context: &Context,
    state: &AppState,
    form: &PlaceForm,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
    fields: impl FnOnce(&mut Ui, &mut Vec<Command>),
    drawing: impl FnOnce(&mut Ui, &mut Vec<Command>),
) {
    let modal = modal(context, title(form.part)).show(context, |ui| {
        let width = WIDTH.min(context.content_rect().width() - 50.0);
        ui.set_width(width);
        part_name(ui, title(form.part));
        let file = form.path().map_or_else(|| NO_FILE.to_owned(), |path| path.display().to_string());
        ui.add(Label::new(quiet(tokens, format!("{STAYS} {SHARED} File: {file}."))).wrap());
        let height = (context.content_rect().height() - AROUND).max(100.0);
        let area = |salt: &str| {
            let area = ScrollArea::vertical().id_salt(salt).auto_shrink([false, true]);
            area.max_height(height).min_scrolled_height(height)
        };
        if width >= TWO_COLUMNS {
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = SPACE;
                ui.allocate_ui_with_layout(
                    vec2(width - DRAWING - SPACE, height),
                    Layout::top_down(Align::Min),
                    |ui| area("fields").show(ui, |ui| fields(ui, commands)),
                );
                ui.allocate_ui_with_layout(vec2(DRAWING, height), Layout::top_down(Align::Min), |ui| {
                    area("drawing").show(ui, |ui| drawing(ui, commands));
                });
            });
        } else {
            area("fields").show(ui, |ui| {
                fields(ui, commands);
                ui.add_space(SPACE);
                drawing(ui, commands);
            });
        }
        foot(ui, state, form, tokens, commands);
        false
    });
    if gives_up(&modal) {
        commands.push(Command::Dismiss);
    }
}

/// What is wrong, and what can be done.
fn foot(ui: &mut Ui, state: &AppState, form: &PlaceForm, tokens: &Tokens, commands: &mut Vec<Command>) {
    ui.add_space(TIGHT);
    let wrongs = form.wrongs();
    let told = match (&form.trouble, wrongs.split_first()) {
        (Some(trouble), _) => trouble.clone(),
        (None, None) => String::new(),
        (None, Some((first, []))) => first.clone(),
        (None, Some((first, others))) => format!("{first} And {} more.", others.len()),
    };
    ui.horizontal(|ui| {
        if !told.is_empty() {
            mark(ui, tokens, Severity::Stopper);
        }
        let told = ui.add(Label::new(told).wrap());
        ui.ctx().accesskit_node_builder(told.id, |node| node.set_live(Live::Polite));
    });
    ui.horizontal_wrapped(|ui| {
        command_button(ui, state, commands, (SET, SET), Command::SetPlace);
        if cancel_button(ui, CANCEL, true).clicked() {
            commands.push(Command::CancelPlace);
        }
        ui.add_space(SPACE);
        command_button(ui, state, commands, (OTHER, OTHER), Command::AskPath(PathUse::OpenPart(form.part)));
        if ui.add_enabled(form.is_sound(), Button::new(NEW)).clicked() {
            commands.push(Command::AskPath(PathUse::NewPart(form.part)));
        }
        if ui.button(TEMPLATE).clicked() {
            commands.push(Command::EditPlace(PlaceEdit::Template));
        }
    });
}

/// A question: its name, its field with unit, what it means and takes; below, what is wrong with the answer. `whose` tells
/// fields of one name apart.
pub fn question(
    ui: &mut Ui,
    form: &PlaceForm,
    (name, whose): (&str, &str),
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) -> Option<Response> {
    let field = field_of(form.part, name)?;
    let (help, judgement) = (form.help(name), form.judge(name));
    let label = if whose.is_empty() { field.label.to_owned() } else { format!("{whose}: {}", field.label) };
    let described = format!("{help} {}", judgement.words());
    let is_wrong = matches!(judgement, Judgement::Wrong(_));
    let beside = ui.available_width() >= BESIDE;
    let mut response = None;
    ui.horizontal(|ui| {
        ui.allocate_ui_with_layout(vec2(NAMES, ROW), Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(NAMES);
            ui.add(Label::new(field.label).truncate());
        });
        let shown = form.shown(name);
        let edit = match field.kind {
            Kind::Choice(known) => choice(ui, (&label, &shown), known, name, commands),
            kind => {
                let width = match kind {
                    Kind::Words => WORDS,
                    Kind::Zone => ZONE,
                    _ => FIELDS,
                };
                typed(ui, shown, width.min(ui.available_width() - 60.0), (name, &label), commands)
            }
        };
        ui.ctx().accesskit_node_builder(edit.id, |node| {
            node.set_label(label.as_str());
            node.set_description(described.as_str());
            if is_wrong {
                node.set_invalid(Invalid::True);
            }
        });
        if !field.unit.is_empty() {
            ui.label(field.unit);
        }
        let edit = edit.on_hover_text(&help);
        if beside && field.kind != Kind::Words {
            ui.add(Label::new(quiet(tokens, &help)).wrap());
        }
        response = Some(edit);
    });
    if !beside {
        ui.add(Label::new(quiet(tokens, &help)).wrap());
    }
    if is_wrong {
        ui.horizontal(|ui| {
            ui.add_space(NAMES);
            mark(ui, tokens, Severity::Stopper);
            ui.add(Label::new(RichText::new(judgement.words()).font(regular(BODY))).wrap());
        });
    }
    if field.kind == Kind::Zone {
        zones(ui, form, name, commands);
    }
    response
}

/// A field that is typed in. It is known by its label: those of a corner are the same for every corner.
fn typed(
    ui: &mut Ui,
    shown: String,
    width: f32,
    (name, label): (&str, &str),
    commands: &mut Vec<Command>,
) -> Response {
    let mut typed = shown;
    let edit = TextEdit::singleline(&mut typed).desired_width(width).min_size(vec2(0.0, ROW));
    let edit = ui.add(edit.align(Align2::LEFT_CENTER).id_salt(label));
    if edit.gained_focus() {
        edit.scroll_to_me(None);
    }
    // Enter stays in it.
    if edit.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
        edit.request_focus();
    }
    if edit.changed() {
        commands.push(Command::EditPlace(PlaceEdit::Put(name.to_owned(), typed)));
    }
    edit
}

/// One of a few words.
fn choice(
    ui: &mut Ui,
    (label, shown): (&str, &str),
    known: &[(&str, &str)],
    name: &str,
    commands: &mut Vec<Command>,
) -> Response {
    let words = known.iter().find(|(word, _)| *word == shown).map_or(shown, |(_, words)| words);
    let list = ComboBox::from_id_salt(name).selected_text(words).width(FIELDS + 24.0).show_ui(ui, |ui| {
        for (word, words) in known {
            if ui.selectable_label(*word == shown, *words).clicked() && *word != shown {
                commands.push(Command::EditPlace(PlaceEdit::Put(name.to_owned(), (*word).to_owned())));
            }
        }
    });
    list.response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, label));
    ui.ctx().accesskit_node_builder(list.response.id, |node| node.set_value(words));
    list.response
}

/// The zones that have what is typed in their names, unless one of them is it.
fn zones(ui: &mut Ui, form: &PlaceForm, name: &str, commands: &mut Vec<Command>) {
    let typed = form.shown(name).trim().to_lowercase().replace(' ', "_");
    let names = || TZ_VARIANTS.iter().map(|zone| zone.name());
    if typed.len() < 2 || names().any(|name| name.to_lowercase() == typed) {
        return;
    }
    let found: Vec<&str> =
        names().filter(|name| name.to_lowercase().contains(&typed)).take(MOST_ZONES).collect();
    ui.horizontal_wrapped(|ui| {
        ui.add_space(NAMES);
        for zone in found {
            if ui.button(zone).clicked() {
                commands.push(Command::EditPlace(PlaceEdit::Put(name.to_owned(), zone.to_owned())));
            }
        }
    });
}

/// A list of questions of one name: each with a button that takes it away, and one more below.
pub fn list(
    ui: &mut Ui,
    form: &PlaceForm,
    (name, add): (&'static str, &str),
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let entries = form.entries(name);
    for position in 0..entries {
        let entry = format!("{name}[{position}]");
        let whose = (position + 1).to_string();
        ui.horizontal(|ui| {
            ui.vertical(|ui| {
                ui.set_max_width(ui.available_width() - ROW - SPACE);
                question(ui, form, (&entry, &whose), tokens, commands);
            });
            let label =
                field_of(form.part, &entry).map_or_else(String::new, |field| field.label.to_lowercase());
            remove_button(ui, &entry, &format!("Remove {label} {whose}"), commands);
        });
    }
    if ui.button(add).clicked() {
        commands.push(Command::EditPlace(PlaceEdit::Add(name, entries)));
    }
}

/// A button that takes an entry away.
pub fn remove_button(ui: &mut Ui, entry: &str, name: &str, commands: &mut Vec<Command>) {
    let side = least_side(ui.ctx());
    let button = ui.add(Button::new("×").min_size(vec2(side, side))).on_hover_text(name);
    button.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    if button.clicked() {
        commands.push(Command::EditPlace(PlaceEdit::Remove(entry.to_owned())));
    }
}

fn mark(ui: &mut Ui, tokens: &Tokens, severity: Severity) {
    let (rect, _) = ui.allocate_exact_size(vec2(14.0, 14.0), Sense::hover());
    severity_mark(ui.painter(), tokens, rect.center(), severity);
}
