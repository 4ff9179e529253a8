//! The frame of the pages of site and rig: a drawing, fields, what is wrong, what can be done, also with files.

use egui::accesskit::Live;
use egui::{Align, Button, ComboBox, Context, Label, Layout, Role, ScrollArea, Ui, WidgetInfo, vec2};
use evenfall_core::plan::Severity;

use super::dialogs::modal;
use super::escape::{cancel_button, gives_up};
use super::leading_on::ends_on;
use super::parts::{command_button, part_name, quiet};
use super::place_fields::mark;
use super::theme::{SPACE, TIGHT, Tokens};
use crate::state::{AppState, Command, Part, PathUse, PlaceEdit, PlaceForm, beginning_words};

/// Width of the page at most.
const WIDTH: f32 = 1120.0;
/// Height of title and buttons.
pub const AROUND: f32 = 196.0;
/// Below this width of the page its drawing stands under the fields.
const TWO_COLUMNS: f32 = 780.0;
/// Width of the drawing's column.
const DRAWING: f32 = 384.0;
/// Width of the lists of what there is to begin with.
const BEGINNINGS: f32 = 110.0;

const SET: &str = "Set it";
const CANCEL: &str = "Cancel";
const OTHER: &str = "Choose another file…";
const NEW: &str = "Save as a new file…";
const BEGIN: &str = "Begin with…";
const BEGIN_HINT: &str = "An invented one in the place of all that stands here, to be written over";
const FORMER: &str = "What stood here";
const FORMER_HINT: &str = "Takes back what Begin with has put in its place";
const UNCHANGED: &str = "Nothing is changed yet.";
const STAYS: &str = "One step that Undo takes back; what stands on the Board stays. Saving the evening writes the file, for \
                     all evenings that name it.";
const NO_FILE: &str = "File of the demo, written beside the evening";

/// The words of a page: its title.
pub const fn title(part: Part) -> &'static str {
    match part {
        Part::Site => "Site and horizon",
        Part::Rig => "Telescope and ports",
        Part::Catalogue => "Catalogue",
    }
}

/// Draws a page: its drawing on the left, or below the fields where there is no room beside them.
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
        let file = form.path().map_or_else(|| NO_FILE.to_owned(), |path| format!("File: {}", path.display()));
        ui.add(Label::new(quiet(tokens, file)).truncate()).on_hover_text(STAYS);
        let height = (context.content_rect().height() - AROUND).max(100.0);
        let area = |salt: &str| {
            let area = ScrollArea::vertical().id_salt(salt).auto_shrink([false, true]);
            area.max_height(height).min_scrolled_height(height)
        };
        if width >= TWO_COLUMNS {
            // The fields on the right: what scrolls has its bar at the rim of the page.
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = SPACE;
                ui.allocate_ui_with_layout(vec2(DRAWING, height), Layout::top_down(Align::Min), |ui| {
                    ui.set_width(DRAWING);
                    area("drawing").show(ui, |ui| drawing(ui, commands));
                });
                ui.allocate_ui_with_layout(
                    vec2(width - DRAWING - SPACE, height),
                    Layout::top_down(Align::Min),
                    |ui| area("fields").show(ui, |ui| fields(ui, commands)),
                );
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
        (None, None) if !form.is_changed() => UNCHANGED.to_owned(),
        (None, None) => String::new(),
        (None, Some((first, []))) => first.clone(),
        (None, Some((first, others))) => format!("{first} And {} more.", others.len()),
    };
    ui.horizontal(|ui| {
        if form.trouble.is_some() || !wrongs.is_empty() {
            mark(ui, tokens, Severity::Stopper);
        }
        let told = ui.add(Label::new(told).wrap());
        ui.ctx().accesskit_node_builder(told.id, |node| node.set_live(Live::Polite));
    });
    ui.horizontal_wrapped(|ui| {
        let set = command_button(ui, state, commands, (SET, SET), Command::SetPlace).on_hover_text(STAYS);
        let cancel = cancel_button(ui, CANCEL, true);
        ends_on(&[&set, &cancel]);
        if cancel.clicked() {
            commands.push(Command::CancelPlace);
        }
        ui.add_space(SPACE);
        command_button(ui, state, commands, (OTHER, OTHER), Command::AskPath(PathUse::OpenPart(form.part)));
        if ui.add_enabled(form.is_sound(), Button::new(NEW)).clicked() {
            commands.push(Command::AskPath(PathUse::NewPart(form.part)));
        }
        if let Some(position) = begin_with(ui, form.part, (BEGIN, BEGIN_HINT)) {
            commands.push(Command::EditPlace(PlaceEdit::Begin(position)));
        }
        if form.has_former() && ui.button(FORMER).on_hover_text(FORMER_HINT).clicked() {
            commands.push(Command::EditPlace(PlaceEdit::Former));
        }
    });
}

/// A list of what a part can begin with; the position of the one that was chosen.
pub fn begin_with(ui: &mut Ui, part: Part, (name, hint): (&str, &str)) -> Option<usize> {
    let mut chosen = None;
    let list = ComboBox::from_id_salt(name).selected_text(name).width(BEGINNINGS).show_ui(ui, |ui| {
        for (position, words) in beginning_words(part).enumerate() {
            if ui.selectable_label(false, words).clicked() {
                chosen = Some(position);
            }
        }
    });
    let response = list.response.on_hover_text(hint);
    response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, name));
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_description(hint));
    chosen
}
