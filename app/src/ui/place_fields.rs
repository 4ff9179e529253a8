//! The questions of the pages of site and rig: each with its unit and range, and a mark where something is wrong.

use chrono_tz::TZ_VARIANTS;
use egui::accesskit::Invalid;
use egui::{
    Align, Align2, Button, ComboBox, Label, Layout, Response, RichText, Role, Sense, TextEdit, Ui,
    WidgetInfo, vec2,
};
use evenfall_core::plan::Severity;

use super::leading_on::leads_on;
use super::parts::{quiet, severity_mark};
use super::theme::{BODY, ROW, SPACE, Tokens, least_side, regular};
use crate::state::{Command, Judgement, Kind, PlaceEdit, PlaceForm, field_of};

/// Width of the names of the fields, and of the fields.
const NAMES: f32 = 138.0;
const FIELDS: f32 = 118.0;
/// Width of words, and of the longest zone.
const WORDS: f32 = 480.0;
const ZONE: f32 = 216.0;
/// Width of a list of words.
const CHOICES: f32 = 196.0;
/// Below this width what a field means stands under it.
const BESIDE: f32 = 470.0;
/// So many zones are offered at once.
const MOST_ZONES: usize = 6;

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
            ui.add(Label::new(field.label).wrap());
        });
        let shown = form.shown(name);
        let edit = match field.kind {
            Kind::Choice(known) | Kind::Way(known) => choice(ui, (&label, &shown), known, name, commands),
            Kind::Port => {
                let ports = form.ports_to_choose();
                let known: Vec<(&str, &str)> =
                    ports.iter().map(|(id, name)| (id.as_str(), name.as_str())).collect();
                choice(ui, (&label, &shown), &known, name, commands)
            }
            kind => {
                let width = match kind {
                    Kind::Words | Kind::MaybeWords => WORDS,
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
        if beside && !matches!(field.kind, Kind::Words | Kind::MaybeWords) {
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
    leads_on(&edit);
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
    let width = CHOICES.min(ui.available_width() - 60.0);
    let list = ComboBox::from_id_salt(name).selected_text(words).width(width).truncate().show_ui(ui, |ui| {
        for (word, words) in known {
            if ui.selectable_label(*word == shown, *words).clicked() && *word != shown {
                commands.push(Command::EditPlace(PlaceEdit::Put(name.to_owned(), (*word).to_owned())));
            }
        }
    });
    list.response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, label));
    ui.ctx().accesskit_node_builder(list.response.id, |node| node.set_value(words));
    if list.response.gained_focus() {
        list.response.scroll_to_me(None);
    }
    leads_on(&list.response);
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

pub(super) fn mark(ui: &mut Ui, tokens: &Tokens, severity: Severity) {
    let (rect, _) = ui.allocate_exact_size(vec2(14.0, 14.0), Sense::hover());
    severity_mark(ui.painter(), tokens, rect.center(), severity);
}
