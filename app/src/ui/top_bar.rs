//! The top bar: the evening's menu, its title and date, undo and redo, draft, print, palette, keys.

use egui::{
    Align, Align2, Button, EventFilter, Key, Layout, Memory, Response, RichText, Role, ScrollArea, TextEdit,
    TextStyle, Ui, WidgetInfo, vec2,
};

use super::commands::{ROWS, tooltip, why_not};
use super::order_rules::words;
use super::parts::{command_button, toggle};
use super::step_words::step_words;
use super::theme::{HEADING, ONE_PART, ROW, SPACE, TWO_SIDES, semibold};
use super::{pages, text};
use crate::state::{AppState, Command, Focus, Notice, Palette, Part};

/// Width of the longest date in words.
const DATE_WIDTH: f32 = 176.0;
/// The same where one part has all of the window: its usual date has room, a long month is scrolled.
const SMALL_DATE_WIDTH: f32 = 146.0;
/// Least room for the title.
const LEAST_TITLE: f32 = 90.0;
/// Opens the page of the site where its name has no room.
const SITE: &str = "Site…";
/// Width of the window from which opening has a button of its own beside the menu.
const ROOMY: f32 = 1240.0;

/// Below this width saving is left to the menu, and the days before and after to the keys.
const CROWDED: f32 = 850.0;
/// Below this one drafting anew is left to the menu too.
const SMALLEST: f32 = 500.0;

/// Draws the top bar.
pub fn show(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) {
    ui.horizontal_centered(|ui| {
        menu(ui, state, commands);
        date_controls(ui, state, commands);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            command_button(ui, state, commands, ("?", text::KEYS), Command::ShowKeys);
            // Where there is no room for a button, the menu has it.
            let width = ui.ctx().content_rect().width();
            if width >= ONE_PART {
                let red = state.view.palette == Palette::RedLamp;
                let hint = || tooltip(text::RED_LAMP, &Command::TogglePalette);
                let button = toggle(ui, text::RED_LAMP, red, true);
                if button.on_hover_ui(|ui| drop(ui.label(hint()))).clicked() {
                    commands.push(Command::TogglePalette);
                }
            }
            if width >= TWO_SIDES {
                let names = (pages::PAGES, pages::PAGES_NAME);
                command_button(ui, state, commands, names, Command::ShowPages);
            }
            if width >= CROWDED {
                command_button(ui, state, commands, (text::SAVE, text::SAVE), Command::Save);
            }
            if width >= ROOMY {
                command_button(ui, state, commands, (text::OPEN_SHORT, text::OPEN_SHORT), Command::Open);
            }
            if width >= SMALLEST {
                command_button(ui, state, commands, (text::DRAFT, text::DRAFT), Command::DraftAnew);
            }
            if state.now_in_doors().is_some() {
                command_button(ui, state, commands, (text::PICK_UP_NOW, text::PICK_UP), Command::AskPickUp);
            }
            if width >= ONE_PART {
                rules_button(ui, state, commands);
            }
            let (undo, redo) = names(state);
            command_button(ui, state, commands, (text::REDO, &redo), Command::Redo);
            command_button(ui, state, commands, (text::UNDO, &undo), Command::Undo);
            title(ui, state, commands);
        });
    });
}

/// Opens and closes the order rules.
fn rules_button(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) {
    let (open, known) = (state.view.rules.open, state.open().is_some());
    let button = toggle(ui, words::RULES, open, known).on_hover_text(words::HINT);
    button.widget_info(|| WidgetInfo::selected(Role::CheckBox, known, open, words::ORDER_RULES));
    if button.clicked() {
        commands.push(Command::ToggleRules);
    }
}

fn title(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) {
    let Some(open) = state.open() else { return };
    let words = open.document.evening.title.as_str();
    ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
        if ui.available_width() <= LEAST_TITLE {
            return;
        }
        let label = egui::Label::new(RichText::new(words).font(semibold(HEADING))).truncate();
        ui.add(label).on_hover_text(words);
        site(ui, state, &open.document.stock.site.name, commands);
    });
}

/// Opens the page of the site, beside the title; its name is never cut: where it has no room a word stands for it.
fn site(ui: &mut Ui, state: &AppState, site: &str, commands: &mut Vec<Command>) {
    let name = format!("Site: {site}");
    let room = ui.available_width() - 2.0 * ui.spacing().button_padding.x - SPACE;
    let font = TextStyle::Button.resolve(ui.style());
    let fits = |words: &&str| {
        let galley =
            ui.painter().layout_no_wrap((*words).to_owned(), font.clone(), ui.visuals().text_color());
        galley.size().x <= room
    };
    if let Some(words) = [name.as_str(), site, SITE].into_iter().find(fits) {
        command_button(ui, state, commands, (words, &name), Command::AskPlace(Part::Site));
    }
}

/// Undo and redo with what they would do.
fn names(state: &AppState) -> (String, String) {
    let Some(open) = state.open() else { return (text::UNDO.to_owned(), text::REDO.to_owned()) };
    let night = &open.derived.prepared.night.local;
    let rig = &open.document.stock.rig;
    let named = |word: &str, name: Option<_>| match name {
        Some(name) => format!("{word}: {}", step_words(name, night, rig)),
        None => word.to_owned(),
    };
    (named(text::UNDO, open.history.undo_name()), named(text::REDO, open.history.redo_name()))
}

/// The menu of the evening; the keyboard goes into it when it opens, and walks it with the arrow keys or Tab.
fn menu(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) {
    let menu = ui.menu_button(text::EVENING_MENU, |ui| {
        let width = 270.0;
        ui.set_min_width(width);
        let height = (ui.ctx().content_rect().height() - 70.0).max(120.0);
        let list = ScrollArea::vertical().auto_shrink([true, true]);
        list.max_height(height).min_scrolled_height(height).show(ui, |ui| {
            let mut entries = Vec::new();
            for row in ROWS.iter().filter(|row| row.in_menu) {
                let command = (row.make)();
                let why = why_not(state, &command);
                let button = Button::new(row.words).shortcut_text(row.key_words()).frame_when_inactive(false);
                let entry = ui.add_enabled(why.is_none(), button.min_size(vec2(width, ROW)));
                entry.widget_info(|| WidgetInfo::labeled(Role::MenuItem, why.is_none(), row.words));
                let entry = match (why, row.hint) {
                    (Some(why), _) => entry.on_disabled_hover_text(why),
                    (None, "") => entry,
                    (None, hint) => entry.on_hover_text(hint),
                };
                if entry.clicked() {
                    commands.push(command);
                    ui.close();
                }
                entries.push(entry);
            }
            walk(ui, &entries);
        });
    });
    give_back(ui, &menu.response, menu.inner.is_some());
}

/// Gives the keyboard back to the button of a menu that was closed with the keyboard in it.
fn give_back(ui: &Ui, button: &Response, is_open: bool) {
    let (id, now) = (button.id.with("last open in frame"), ui.ctx().cumulative_frame_nr());
    if is_open {
        ui.data_mut(|data| data.insert_temp(id, now));
        return;
    }
    let since = ui.data(|data| data.get_temp::<u64>(id)).map_or(u64::MAX, |last| now - last);
    // The entry that had it is forgotten a frame after it is gone.
    if since <= 2 && ui.memory(Memory::focused).is_none() {
        button.request_focus();
    } else if since <= 2 {
        ui.ctx().request_repaint();
    }
}

/// Keeps the keyboard within the entries of a menu: arrows and Tab go from one to the next that can be chosen.
fn walk(ui: &Ui, entries: &[Response]) {
    let entries: Vec<_> = entries.iter().filter(|entry| entry.enabled()).collect();
    let Some(first) = entries.first() else { return };
    let Some(at) = entries.iter().position(|entry| entry.has_focus()) else {
        return first.request_focus();
    };
    // The entry keeps the keys that would lead out of the menu.
    let filter = EventFilter { tab: true, vertical_arrows: true, horizontal_arrows: true, escape: false };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(entries[at].id, filter));
    let (down, up) = ui.input(|input| {
        let tab = input.key_pressed(Key::Tab);
        let back = tab && input.modifiers.shift;
        (input.key_pressed(Key::ArrowDown) || tab && !back, input.key_pressed(Key::ArrowUp) || back)
    });
    let to = match (down, up) {
        (true, false) => (at + 1) % entries.len(),
        (false, true) => (at + entries.len() - 1) % entries.len(),
        _ => return,
    };
    entries[to].request_focus();
    entries[to].scroll_to_me(None);
}

fn date_controls(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) {
    let Some(date) = state.date() else { return };
    let arrows = ui.ctx().content_rect().width() >= CROWDED;
    if arrows {
        command_button(ui, state, commands, ("←", text::DAY_BEFORE), Command::ShiftDate(-1));
    }
    let typed = state.view.date_text.as_ref();
    let mut words = typed.cloned().unwrap_or_else(|| text::date(date));
    let field = TextEdit::singleline(&mut words)
        .hint_text(text::DATE_FORM)
        .desired_width(if ui.ctx().content_rect().width() < ONE_PART { SMALL_DATE_WIDTH } else { DATE_WIDTH })
        .min_size(vec2(0.0, ROW))
        .align(Align2::LEFT_CENTER);
    let response = ui.add(field).on_hover_text(text::DATE_HINT);
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_label(text::DATE);
        node.set_description(text::DATE_HINT);
    });
    let called = state.view.focus == Some(Focus::Date);
    if called {
        response.request_focus();
        commands.push(Command::DateText(Some(String::new())));
    }
    if response.changed() {
        commands.push(Command::DateText(Some(words.clone())));
    }
    if response.lost_focus() && !called {
        let entered = ui.input(|input| input.key_pressed(Key::Enter));
        match text::parse_date(&words) {
            Some(date) if entered => commands.push(Command::SetDate(date)),
            None if entered && !words.is_empty() => {
                commands.push(Command::Tell(Notice::Trouble(text::not_a_date(&words))));
                commands.push(Command::DateText(None));
            }
            _ => commands.push(Command::DateText(None)),
        }
    }
    if arrows {
        command_button(ui, state, commands, ("→", text::DAY_AFTER), Command::ShiftDate(1));
    }
}
