//! What of the Shelf is listed, and in which order: searched for, left out, sorted by.

use egui::accesskit::Live;
use egui::text::{CCursor, CCursorRange};
use egui::text_edit::TextEditState;
use egui::{
    Align2, Button, ComboBox, Id, Key, Label, Role, ScrollArea, TextEdit, TextStyle, Ui, WidgetInfo, vec2,
};
use evenfall_core::catalogue::{Kind, Public};

use super::words;
use crate::state::{AppState, ClearPart, Command, Focus, OpenEvening, ShelfSort, ShelfView};
use crate::ui::fields::{sky_part_field, sky_part_words};
use crate::ui::parts::{quiet, toggle};
use crate::ui::text;
use crate::ui::theme::{ROW, TIGHT, Tokens};

/// The choices take at most this share of what is there for them and the list.
const CHOICES_SHARE: f32 = 0.55;
/// Width of the button that ends all that narrows the Shelf.
const CLEAR_WIDTH: f32 = 68.0;

/// Draws it; tells whether the keyboard leaves the search field downwards.
pub(super) fn show(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) -> bool {
    let leave_down = search_field(ui, state, commands);
    let before = &state.view.shelf;
    let mut after = before.clone();
    let clock = minute_words(state);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = TIGHT;
        if toggle(ui, words::FILTER, before.open, true).on_hover_text(words::FILTER_HINT).clicked() {
            after.open = !before.open;
        }
        sorting(ui, &mut after, &clock);
    });
    if before.open
        && let Some(open) = state.open()
    {
        // In a low window the choices leave room for the list.
        let most = ui.available_height() * CHOICES_SHARE;
        ScrollArea::vertical()
            .id_salt("choices of the Shelf")
            .max_height(most)
            .auto_shrink([false, true])
            .show(ui, |ui| {
                choices(ui, open, &mut after, &clock);
                others(ui, state, commands);
            });
    }
    if after != *before {
        commands.push(Command::LookAtShelf(after));
    }
    narrowed(ui, state, &clock, tokens, commands);
    head(ui, state, &clock, tokens);
    leave_down
}

/// The minute that is read, on the clock.
fn minute_words(state: &AppState) -> String {
    let minute = state.open().zip(state.clear_minute());
    minute.map_or_else(String::new, |(open, at)| text::clock(&open.derived.prepared.night.local, at))
}

fn search_field(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) -> bool {
    let mut typed = state.view.search.clone();
    let id = Id::unique("search of the Shelf");
    let wanted = state.view.focus == Some(Focus::Search);
    if wanted {
        // Whatever is typed next goes behind what is there.
        let mut caret = TextEditState::load(ui.ctx(), id).unwrap_or_default();
        caret.cursor.set_char_range(Some(CCursorRange::one(CCursor::new(typed.chars().count()))));
        caret.store(ui.ctx(), id);
    }
    let field = TextEdit::singleline(&mut typed)
        .id(id)
        .hint_text(words::SEARCH)
        .desired_width(f32::INFINITY)
        .min_size(vec2(0.0, ROW))
        .align(Align2::LEFT_CENTER);
    let response = ui.add(field);
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_label(words::SEARCH);
        node.set_description(words::SEARCH_HINT);
    });
    if response.changed() {
        commands.push(Command::Search(typed));
    }
    if wanted {
        response.request_focus();
    }
    let down = response.has_focus() && ui.input(|input| input.key_pressed(Key::ArrowDown));
    down || (response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)))
}

/// What it is sorted by, and which end comes first.
fn sorting(ui: &mut Ui, shelf: &mut ShelfView, clock: &str) {
    let width = ui.available_width() - ROW - TIGHT;
    ui.allocate_ui(vec2(width, ROW), |ui| {
        let list = ComboBox::from_id_salt(words::SORT).width(width).truncate();
        // Room for the words beside the list's arrow.
        let spacing = ui.spacing();
        let room = width - 2.0 * spacing.button_padding.x - spacing.icon_width - spacing.icon_spacing;
        let font = TextStyle::Button.resolve(ui.style());
        let width_of = |words: &str| {
            let ink = ui.visuals().text_color();
            ui.painter().layout_no_wrap(words.to_owned(), font.clone(), ink).size().x
        };
        let whole = words::sort(shelf.sort, clock);
        let told = if width_of(&whole) <= room { whole.as_str() } else { words::sort_short(shelf.sort) };
        let response = list.selected_text(told).show_ui(ui, |ui| {
            for sort in ShelfSort::ALL {
                if ui.selectable_label(sort == shelf.sort, words::sort(sort, clock)).clicked() {
                    (shelf.sort, shelf.reversed) = (sort, false);
                }
            }
        });
        ui.ctx().accesskit_node_builder(response.response.id, |node| {
            node.set_label(words::SORT);
            node.set_value(whole.as_str());
        });
        response.response.on_hover_text(&whole);
    });
    let name = words::turn_round(shelf.sort, shelf.reversed);
    let arrow = if shelf.reversed { "↑" } else { "↓" };
    let turn = ui.add_sized(vec2(ROW, ROW), Button::new(arrow));
    turn.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    if turn.on_hover_text(&name).clicked() {
        shelf.reversed = !shelf.reversed;
    }
}

/// By minute, port, kind and public.
fn choices(ui: &mut Ui, open: &OpenEvening, shelf: &mut ShelfView, clock: &str) {
    ui.checkbox(&mut shelf.now, words::shows_at(clock));
    let ports = &open.document.stock.rig.ports;
    let port_name = |id: &Option<_>| {
        let port = ports.iter().find(|port| Some(&port.id) == id.as_ref());
        port.map_or_else(|| words::ANY_PORT.to_owned(), |port| port.name.clone())
    };
    let all = ports.iter().map(|port| Some(port.id.clone()));
    choice(ui, words::PORT, &mut shelf.port, all, port_name);
    let there = |kind: &Kind| open.document.stock.catalogue.targets.iter().any(|target| target.kind == *kind);
    let kinds = Kind::ALL.into_iter().filter(there).map(Some);
    choice(ui, words::KIND, &mut shelf.kind, kinds, |kind| words::kind(*kind).to_owned());
    let publics = Public::ALL.into_iter().map(Some);
    choice(ui, words::PUBLIC, &mut shelf.public, publics, |public| words::public(*public).to_owned());
}

/// One of some, or none in particular.
fn choice<T: Clone + PartialEq>(
    ui: &mut Ui,
    name: &str,
    chosen: &mut Option<T>,
    all: impl Iterator<Item = Option<T>>,
    say: impl Fn(&Option<T>) -> String,
) {
    // All of a list is seen at once where the window is high enough.
    let most = ui.ctx().content_rect().height() * 0.6;
    let list = ComboBox::from_id_salt(name).width(ui.available_width() - TIGHT).height(most).truncate();
    let response = list.selected_text(say(chosen)).show_ui(ui, |ui| {
        for one in [None].into_iter().chain(all) {
            if ui.selectable_label(one == *chosen, say(&one)).clicked() {
                *chosen = one;
            }
        }
    });
    ui.ctx().accesskit_node_builder(response.response.id, |node| node.set_label(name));
}

/// By a part of the sky, and whether what can't be shown is listed.
fn others(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) {
    let before = state.view.clear_part;
    let mut after = before;
    ui.checkbox(&mut after.on, words::ONLY_PART).on_hover_text(words::ONLY_PART_HINT);
    if before.on
        && let Some(part) = sky_part_field(ui, words::CLEAR_PART, before.part)
    {
        after.part = part;
    }
    if after != before {
        commands.push(Command::KeepTo(after));
    }
    let mut all = state.view.show_all;
    // In a clear part stands only what can be shown there.
    if ui.add_enabled(!before.on, egui::Checkbox::new(&mut all, words::SHOW_ALL)).changed() {
        commands.push(Command::ShowAll(all));
    }
}

/// All that narrows the Shelf, and one press to end it.
fn narrowed(ui: &mut Ui, state: &AppState, clock: &str, tokens: &Tokens, commands: &mut Vec<Command>) {
    if !state.shelf_is_narrowed() {
        return;
    }
    let Some(open) = state.open() else { return };
    let ShelfView { now, port, kind, public, .. } = &state.view.shelf;
    let port = port.as_ref().and_then(|port| open.document.stock.rig.port(port));
    let choices = [
        port.map(|port| port.name.as_str()),
        kind.map(|kind| words::kind(Some(kind))),
        public.map(|public| words::public(Some(public))),
    ];
    let ClearPart { on, part } = state.view.clear_part;
    let part = on.then(|| format!("{} at {clock}", sky_part_words(part)));
    let line = words::narrowed(
        &state.view.search,
        now.then_some(clock),
        choices,
        part.as_deref(),
        state.view.show_all,
    );
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = TIGHT;
        let width = ui.available_width() - CLEAR_WIDTH - TIGHT;
        ui.allocate_ui(vec2(width, ROW), |ui| {
            ui.set_width(width);
            ui.add(Label::new(quiet(tokens, line)).wrap());
        });
        let clear = ui.add_sized(vec2(CLEAR_WIDTH, ROW), Button::new(words::CLEAR_ALL));
        if clear.on_hover_text(words::CLEAR_ALL_HINT).clicked() {
            commands.push(Command::WholeShelf);
        }
    });
}

/// How many are listed, in which order, and by which words if those typed have a slip.
fn head(ui: &mut Ui, state: &AppState, clock: &str, tokens: &Tokens) {
    let Some(open) = state.open() else { return };
    let list = state.shelf_list();
    if let Some(nearest) = &list.nearest {
        ui.label(words::nearest(nearest));
    }
    let ShelfView { sort, reversed, .. } = state.view.shelf;
    let whole = open.document.stock.catalogue.targets.len();
    let order = words::first(sort, reversed);
    let line = if state.view.clear_part.on {
        let order = if list.rows.is_empty() { String::new() } else { format!(", {order}") };
        words::shown_in_part(list.rows.len(), clock) + &order
    } else {
        words::head(list.rows.len(), whole, order)
    };
    let response = ui.label(quiet(tokens, line));
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_live(Live::Polite));
}

/// What stands in the place of the rows where there are none.
pub(super) fn why_nothing(state: &AppState, no_targets: bool, searched: bool) -> Option<&'static str> {
    let ShelfView { now, port, kind, public, .. } = &state.view.shelf;
    let filtered = *now || port.is_some() || kind.is_some() || public.is_some();
    match (no_targets, state.view.clear_part.on, filtered, searched) {
        (true, ..) => Some(words::NO_TARGETS),
        (false, false, false, true) => Some(words::NOTHING_FOUND),
        (false, _, true, _) | (false, true, _, true) => Some(words::NOTHING_LEFT),
        // The head says so.
        (false, true, false, false) => None,
        (false, false, false, false) => Some(words::NONE_TONIGHT),
    }
}
