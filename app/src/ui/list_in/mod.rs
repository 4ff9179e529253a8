//! The page on which a list of targets comes in: what each column is taken for, the first rows as they are read, what is not used,
//! what the catalogue has already, and one button that brings the rest in.

mod words;

use egui::accesskit::Live;
use egui::{Checkbox, ComboBox, Context, Grid, Label, RichText, ScrollArea, Ui, vec2};
use evenfall_core::catalogue::{Kind, Target};
use evenfall_core::lists::{ColumnUse, Meaning, Unit};
use evenfall_core::place::Source;
use evenfall_core::sheet::upper_first;

use super::dialogs::{begin_on, modal, scrolled};
use super::escape::{cancel_button, gives_up};
use super::parts::{caution_line, command_button, fault_line, heading, part_name, quiet};
use super::target_editor::{choice, kind_words};
use super::theme::{BODY, ROW, SPACE, TIGHT, Tokens, semibold};
use crate::state::{
    AppState, Command, KeptMapping, ListEdit, ListForm, ListSeen, MOST_SHOWN, MOST_TARGETS, TARGET_KINDS,
};
pub use words::{LIST_HINT, LIST_NAME};

const WIDTH: f32 = 900.0;
/// Height of title and buttons.
const AROUND: f32 = 190.0;
/// Width of the lists of meanings, and of units.
const MEANINGS: f32 = 250.0;
const UNITS: f32 = 150.0;
/// Width of the names of the columns.
const NAMES: f32 = 130.0;
/// Height of a list within the page.
const LISTED: f32 = 150.0;

/// Draws it; the keyboard starts on what brings the targets in, or ends the reading.
pub fn show(
    context: &Context,
    state: &AppState,
    form: &ListForm,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let modal = modal(context, "list of targets").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 50.0));
        part_name(ui, &words::title(&form.path));
        ui.add(Label::new(quiet(tokens, words::HINT)).wrap());
        scrolled(ui, AROUND, |ui| {
            if let Some(trouble) = &form.trouble {
                fault_line(ui, tokens, trouble);
            }
            if let Some(seen) = &form.seen {
                what_it_gives(ui, form, seen, tokens, commands);
            }
        });
        ui.add_space(TIGHT);
        foot(ui, state, form, commands)
    });
    if gives_up(&modal) {
        commands.push(Command::Dismiss);
    }
}

/// How far it is, or what would come in; whether the page is given up.
fn foot(ui: &mut Ui, state: &AppState, form: &ListForm, commands: &mut Vec<Command>) -> bool {
    let told = match (&form.progress, &form.seen) {
        (Some(progress), _) => words::reading(progress.rows_done, progress.row_count),
        (None, Some(seen)) => words::outcome(seen),
        (None, None) => String::new(),
    };
    let told = ui.add(Label::new(told).wrap());
    ui.ctx().accesskit_node_builder(told.id, |node| node.set_live(Live::Polite));
    ui.horizontal(|ui| {
        let fills = form.fills && form.seen.as_ref().is_some_and(|seen| !seen.filled.is_empty());
        let bring = words::bring(form.new_count(), fills);
        let is_ready = form.can_be_brought();
        let button = command_button(ui, state, commands, (&bring, &bring), Command::BringList);
        let cancel =
            cancel_button(ui, if form.progress.is_some() { words::STOP } else { words::CANCEL }, true);
        begin_on(if is_ready { &button } else { &cancel });
        cancel.clicked()
    })
    .inner
}

fn what_it_gives(
    ui: &mut Ui,
    form: &ListForm,
    seen: &ListSeen,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    if let Some(note) = seen.account.notes.first() {
        ui.add(Label::new(upper_first(note)).wrap());
    }
    match &seen.kept {
        KeptMapping::None => {}
        KeptMapping::Used => drop(ui.add(Label::new(words::KEPT_MAPPING).wrap())),
        KeptMapping::Unreadable(why) => caution_line(ui, tokens, &words::broken_mapping(why)),
    }
    ui.add_space(SPACE);
    heading(ui, words::COLUMNS);
    columns(ui, form, seen, tokens, commands);
    ui.add_space(SPACE);
    heading(ui, words::FIRST);
    first_rows(ui, &seen.first, tokens);
    if seen.remark_count > 0 {
        ui.add_space(SPACE);
        heading(ui, words::NOT_USED);
        let lines: Vec<String> = seen.remarks.iter().map(words::remark).collect();
        listed(ui, words::NOT_USED, &lines, seen.remark_count, tokens);
    }
    if seen.met_count > 0 {
        ui.add_space(SPACE);
        heading(ui, words::THERE_ALREADY);
        listed(ui, words::THERE_ALREADY, &seen.met, seen.met_count, tokens);
        let mut fills = form.fills;
        let lacks = words::fill(seen.filled.len());
        if ui.add_enabled(!seen.filled.is_empty(), Checkbox::new(&mut fills, lacks)).changed() {
            commands.push(Command::EditList(ListEdit::Fill(fills)));
        }
    }
    if seen.account.notes.len() > 1 {
        ui.add_space(SPACE);
        heading(ui, words::GOOD_TO_KNOW);
        for note in &seen.account.notes[1..] {
            ui.add(Label::new(upper_first(note)).wrap());
        }
    }
    if seen.too_many {
        fault_line(ui, tokens, &words::too_many(MOST_TARGETS));
    }
}

/// Lines in a box of their own.
fn listed(ui: &mut Ui, name: &str, lines: &[String], count: usize, tokens: &Tokens) {
    let area = ScrollArea::vertical()
        .id_salt(name)
        .max_height(LISTED)
        .min_scrolled_height(LISTED)
        .auto_shrink([false, true]);
    area.show(ui, |ui| {
        for line in lines {
            ui.add(Label::new(line.as_str()).wrap());
        }
        if count > lines.len() {
            ui.label(quiet(tokens, words::beyond(count - lines.len().min(MOST_SHOWN))));
        }
    });
}

/// What each column is taken for; every one can be changed.
fn columns(ui: &mut Ui, form: &ListForm, seen: &ListSeen, tokens: &Tokens, commands: &mut Vec<Command>) {
    // No grid: a reason of several lines would reach into the row below.
    for column in &seen.account.columns {
        ui.horizontal_top(|ui| {
            let part = |ui: &mut Ui, width: f32, add: &mut dyn FnMut(&mut Ui)| {
                ui.allocate_ui(vec2(width, ROW), |ui| {
                    ui.set_width(width);
                    add(ui);
                });
            };
            let name = RichText::new(&column.column).font(semibold(BODY));
            part(ui, NAMES, &mut |ui| drop(ui.add(Label::new(name.clone()).truncate())));
            part(ui, MEANINGS, &mut |ui| meaning(ui, column, commands));
            part(ui, UNITS, &mut |ui| unit(ui, column, commands));
            let is_corrected = form.is_corrected(&column.column);
            let why = words::why(column, is_corrected);
            if column.guessed && !is_corrected {
                caution_line(ui, tokens, &why);
            } else {
                ui.add(Label::new(quiet(tokens, why)).wrap());
            }
        });
        ui.add_space(TIGHT);
    }
    ui.horizontal_wrapped(|ui| {
        let kinds = seen.account.columns.iter().any(|column| column.is == Meaning::Kind);
        if !kinds {
            let mut kind = seen.account.mapping.usual_kind.unwrap_or(Kind::Star);
            let before = kind;
            ui.label(words::USUAL_KIND);
            choice(ui, words::USUAL_KIND, &mut kind, &TARGET_KINDS, |kind| kind_words(*kind));
            if kind != before {
                commands.push(Command::EditList(ListEdit::UsualKind(kind)));
            }
        }
        let all = [None, Some("J2000".to_owned()), Some("B1950".to_owned())];
        let before = form.equinox();
        let mut equinox = before.clone();
        ui.label(words::EQUINOX);
        choice(ui, words::EQUINOX, &mut equinox, &all, |own| words::equinox(own.as_deref()));
        if equinox != before {
            commands.push(Command::EditList(ListEdit::Equinox(equinox)));
        }
    });
}

fn meaning(ui: &mut Ui, column: &ColumnUse, commands: &mut Vec<Command>) {
    let name = words::column_is(&column.column);
    let most = ui.ctx().content_rect().height() * 0.6;
    let list = ComboBox::from_id_salt(&name).width(MEANINGS).height(most).truncate();
    let response = list.selected_text(words::meaning(column.is)).show_ui(ui, |ui| {
        for is in Meaning::ALL {
            if ui.selectable_label(is == column.is, words::meaning(is)).clicked() && is != column.is {
                commands.push(Command::EditList(ListEdit::Meaning(column.column.clone(), is)));
            }
        }
    });
    ui.ctx().accesskit_node_builder(response.response.id, |node| node.set_label(name.as_str()));
}

/// The unit of its values, where they have one.
fn unit(ui: &mut Ui, column: &ColumnUse, commands: &mut Vec<Command>) {
    let fitting: Vec<Unit> = Unit::ALL.into_iter().filter(|unit| unit.fits(column.is)).collect();
    if fitting.is_empty() {
        ui.label("");
        return;
    }
    let name = words::unit_of(&column.column);
    let list = ComboBox::from_id_salt(&name).width(UNITS).truncate();
    let shown = column.unit.map_or(words::NO_UNIT, Unit::words);
    let response = list.selected_text(shown).show_ui(ui, |ui| {
        for unit in fitting {
            if ui.selectable_label(Some(unit) == column.unit, unit.words()).clicked() {
                commands.push(Command::EditList(ListEdit::Unit(column.column.clone(), unit)));
            }
        }
    });
    ui.ctx().accesskit_node_builder(response.response.id, |node| node.set_label(name.as_str()));
}

/// The first rows as they are read.
fn first_rows(ui: &mut Ui, first: &[Target], tokens: &Tokens) {
    if first.is_empty() {
        ui.label(quiet(tokens, words::NO_ROW));
        return;
    }
    Grid::new("first rows of the list").num_columns(5).spacing(vec2(WIDE_GAP, TIGHT)).striped(false).show(
        ui,
        |ui| {
            for head in words::HEADS {
                ui.label(quiet(tokens, head));
            }
            ui.end_row();
            for target in first {
                let place = match target.source {
                    Source::Star(place) => words::place(place),
                    Source::Body(_) | Source::Comet(_) => String::new(),
                };
                ui.label(&target.name);
                ui.label(kind_words(target.kind));
                ui.label(place);
                ui.label(words::size(target.size));
                ui.label(words::magnitude(target.magnitude));
                ui.end_row();
            }
        },
    );
}

const WIDE_GAP: f32 = 18.0;
