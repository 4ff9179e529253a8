//! The Shelf: every target with its best time, port and view, or the one reason why not.

use egui::{
    Align2, Button, Checkbox, EventFilter, Id, Key, Modifiers, Rect, Response, Role, ScrollArea, Sense,
    TextEdit, Ui, UiBuilder, Vec2, WidgetInfo, pos2, vec2,
};
use evenfall_core::catalogue::{Target, TargetId};
use evenfall_core::plan::{InSector, Limit, Stop};
use evenfall_core::rig::PortId;
use evenfall_core::sheet::wording::{kind_word, limit_phrase, view_word};
use evenfall_core::sheet::{Names, not_shown_sentences};
use evenfall_core::time::Instant;
use evenfall_core::units::Fraction;

use super::clear_part;
use super::parts::{one_line, part_name, quiet, share_bar};
use super::text;
use super::theme::{BODY, ROW, SMALL, SPACE, Tokens, regular, semibold};
use crate::state::{AppState, Command, Drag, Focus, OpenEvening, Selected, ShelfEntry};

const ROW_HEIGHT: f32 = 46.0;
const BAR: Vec2 = vec2(38.0, 6.0);

/// Draws the Shelf.
pub fn show(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    part_name(ui, text::SHELF);
    let clear = clear_part::show(ui, state, commands);
    let leave_down = search_field(ui, state, commands);
    let mut all = state.view.show_all;
    // In a clear part stands only what can be shown there.
    if ui.add_enabled(clear.is_none(), Checkbox::new(&mut all, text::SHOW_ALL)).changed() {
        commands.push(Command::ShowAll(all));
    }
    let Some(open) = state.open() else { return };
    let words: Vec<String> = state.view.search.split_whitespace().map(str::to_lowercase).collect();
    let targets = &open.document.stock.catalogue.targets;
    let known: Vec<Listed<'_>> = match &clear {
        Some(clear) => {
            clear.targets.iter().filter_map(|own| Listed::in_clear_part(own, clear.at, targets)).collect()
        }
        None => open.derived.shelf.iter().filter_map(|entry| Listed::tonight(entry, targets)).collect(),
    };
    let wanted =
        |own: &Listed<'_>| matches(own.target, &words) && (own.limit.is_none() || all || !words.is_empty());
    let shown: Vec<Listed<'_>> = known.into_iter().filter(wanted).collect();
    if leave_down && let Some(first) = shown.first() {
        commands.push(Command::WalkTo(first.target_index));
    }
    if let Some(clear) = &clear {
        let clock = text::clock(&open.derived.prepared.night.local, clear.at);
        ui.label(quiet(tokens, text::shown_in_part(clear.targets.len(), &clock)));
    }
    ui.add_space(SPACE / 2.0);
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for (position, own) in shown.iter().enumerate() {
            row(ui, state, open, own, tokens, commands);
            walk(ui, &shown, position, commands);
        }
        if shown.is_empty() && (clear.is_none() || !words.is_empty()) {
            let why = match (targets.is_empty(), words.is_empty()) {
                (true, _) => text::NO_TARGETS,
                (false, true) => text::NONE_TONIGHT,
                (false, false) => text::NOTHING_FOUND,
            };
            ui.label(quiet(tokens, why));
        }
    });
}

/// A target as it stands on the Shelf.
struct Listed<'a> {
    target: &'a Target,
    /// Its position in the catalogue.
    target_index: usize,
    /// The minute for which it stands there: its best one, or that of the clear part.
    at: Option<Instant>,
    /// The best port then.
    port: Option<&'a PortId>,
    view: Fraction,
    limit: Option<Limit>,
    /// How long it stays in the clear part.
    until: Option<Instant>,
}

impl<'a> Listed<'a> {
    fn tonight(entry: &'a ShelfEntry, targets: &'a [Target]) -> Option<Self> {
        Some(Self {
            target: targets.get(entry.target_index)?,
            target_index: entry.target_index,
            at: entry.best.map(|(at, _)| at),
            port: entry.port.as_ref(),
            view: entry.view,
            limit: entry.limit,
            until: None,
        })
    }

    fn in_clear_part(own: &'a InSector, at: Instant, targets: &'a [Target]) -> Option<Self> {
        Some(Self {
            target: targets.get(own.target_index)?,
            target_index: own.target_index,
            at: Some(at),
            port: Some(&own.port),
            view: own.view,
            limit: None,
            until: Some(own.until),
        })
    }

    /// Brings it on: in the clear part at that minute, else in its best gap.
    fn bring_on(&self) -> Command {
        let start = self.until.and(self.at);
        Command::BringOn { target: self.target.id.clone(), start, port: None }
    }
}

/// The identity of a row for the keyboard.
fn row_id(target: &TargetId) -> Id {
    Id::unique(("row of the Shelf", &target.0))
}

/// Up and down go from row to row.
fn walk(ui: &Ui, shown: &[Listed<'_>], position: usize, commands: &mut Vec<Command>) {
    let id = row_id(&shown[position].target.id);
    if !ui.memory(|memory| memory.has_focus(id)) {
        return;
    }
    let arrows = EventFilter { vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, arrows));
    let down = ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::ArrowDown));
    let up = ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::ArrowUp));
    let next = match (down, up) {
        (true, false) => position + 1,
        (false, true) => position.wrapping_sub(1),
        _ => return,
    };
    if let Some(own) = shown.get(next) {
        commands.push(Command::WalkTo(own.target_index));
    }
}

/// The field over the list; tells whether the keyboard leaves it downwards.
fn search_field(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) -> bool {
    let mut words = state.view.search.clone();
    let field = TextEdit::singleline(&mut words)
        .hint_text(text::SEARCH)
        .desired_width(f32::INFINITY)
        .min_size(vec2(0.0, ROW))
        .align(Align2::LEFT_CENTER);
    let response = ui.add(field);
    let response = response.on_hover_text(text::SEARCH_HINT);
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_label(text::SEARCH);
        node.set_description(text::SEARCH_HINT);
    });
    if response.changed() {
        commands.push(Command::Search(words));
    }
    if state.view.focus == Some(Focus::Search) {
        response.request_focus();
    }
    response.has_focus() && ui.input(|input| input.key_pressed(Key::ArrowDown))
}

fn matches(target: &Target, words: &[String]) -> bool {
    if words.is_empty() {
        return true;
    }
    let about = format!("{} {}", target.name, kind_word(target.kind)).to_lowercase();
    words.iter().all(|word| about.contains(word))
}

/// What stands in the second line of a row.
fn second_line(open: &OpenEvening, own: &Listed<'_>, stop: Option<&Stop>) -> String {
    let night = &open.derived.prepared.night.local;
    if let Some(stop) = stop {
        return format!("{} at {}", text::ON_THE_BOARD, text::clock(night, stop.start()));
    }
    let port = own.port.and_then(|port| open.document.stock.rig.port(port));
    let port = port.map_or("", |port| port.name.as_str());
    match (own.at, own.limit) {
        (Some(_), _) if let Some(until) = own.until => {
            format!("{}, {port}", text::until(&text::clock(night, until)))
        }
        (Some(at), _) => format!("{}, {port}, {}", text::clock(night, at), view_word(own.view)),
        (None, Some(limit)) => limit_phrase(limit).to_owned(),
        (None, None) => String::new(),
    }
}

fn row(
    ui: &mut Ui,
    state: &AppState,
    open: &OpenEvening,
    own: &Listed<'_>,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let target = own.target;
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW_HEIGHT), Sense::hover());
    let response = ui.interact(rect, row_id(&target.id), Sense::click_and_drag());
    if state.view.focus == Some(Focus::Row(own.target_index)) {
        response.request_focus();
    }
    let stop = open
        .document
        .evening
        .order
        .stops()
        .iter()
        .find(|stop| stop.show().is_some_and(|show| show.target == target.id));
    let second = second_line(open, own, stop);
    let selected = state.view.selected == Some(Selected::Target(target.id.clone()));
    let name = format!("{}, {}: {second}", target.name, kind_word(target.kind));
    response.widget_info(|| WidgetInfo::selected(Role::ListBoxOption, true, selected, &name));
    if let Some(reasons) = why_not_shown(ui, &response, open, &target.id) {
        response.clone().on_hover_text(reasons);
    }
    listen(ui, &response, own, selected, commands);
    if !ui.is_rect_visible(rect) {
        return;
    }
    let painter = ui.painter();
    if selected {
        painter.rect_filled(rect, 3.0, tokens.accent_soft);
    } else if response.hovered() {
        painter.rect_filled(rect, 3.0, tokens.button);
    }
    if response.has_focus() {
        painter.rect_stroke(rect, 3.0, egui::Stroke::new(2.0, tokens.accent), egui::StrokeKind::Inside);
    }
    let inner = rect.shrink2(vec2(SPACE, 5.0));
    let can_bring = selected && own.limit.is_none() && stop.is_none();
    let right = if can_bring { 78.0 } else { BAR.x + SPACE };
    let ink = if own.limit.is_some() && stop.is_none() { tokens.quiet } else { tokens.ink };
    let font = if stop.is_some() { semibold(BODY) } else { regular(BODY) };
    let title = one_line(painter, &target.name, font, ink, inner.width() - right);
    painter.galley(inner.min, title, ink);
    let second_ink = if selected { tokens.ink } else { tokens.quiet };
    let width = if can_bring { inner.width() - right } else { inner.width() };
    let line = one_line(painter, &second, regular(SMALL), second_ink, width);
    painter.galley(pos2(inner.left(), inner.top() + 19.0), line, second_ink);
    if can_bring {
        let button = Rect::from_min_size(pos2(rect.right() - 76.0, rect.center().y - 13.0), vec2(72.0, 26.0));
        let mut place = ui.new_child(UiBuilder::new().max_rect(button));
        if place.add_sized(button.size(), Button::new(text::BRING_ON)).clicked() {
            commands.push(own.bring_on());
        }
    } else if own.limit.is_none() {
        let bar = Align2::RIGHT_TOP.anchor_size(pos2(inner.right(), inner.top() + 7.0), BAR);
        share_bar(painter, tokens, bar, own.view);
    }
}

/// Why a target is not in the order and its best hour, for a pointer or the keyboard on its row.
fn why_not_shown(ui: &Ui, response: &Response, open: &OpenEvening, id: &TargetId) -> Option<String> {
    if !response.hovered() && !response.has_focus() {
        return None;
    }
    let not_shown = open.explained()?.not_shown.iter().find(|not_shown| not_shown.target == *id)?;
    let materials = open.document.stock.materials();
    let names = Names::new(&open.document.evening, &open.derived.prepared, &materials);
    let words = not_shown_sentences(&names, not_shown).join(" ");
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_description(words.as_str()));
    Some(words)
}

fn listen(ui: &Ui, response: &Response, own: &Listed<'_>, selected: bool, commands: &mut Vec<Command>) {
    let id = &own.target.id;
    if response.drag_started() {
        commands.push(Command::Dragging(Some(Drag::of_target(id.clone()))));
    }
    let enter = response.has_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    if response.double_clicked() || enter {
        commands.push(own.bring_on());
    } else if (response.clicked() || response.gained_focus()) && !selected {
        commands.push(Command::Select(Some(Selected::Target(id.clone()))));
    }
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
}
