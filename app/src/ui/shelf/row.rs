//! One target on the Shelf: its name, when and where it shows best, and its curve; or why it can't be shown.

use std::sync::Arc;

use egui::{
    Button, Color32, Galley, Id, Key, Painter, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui,
    UiBuilder, WidgetInfo, pos2, vec2,
};
use evenfall_core::catalogue::{Target, TargetId};
use evenfall_core::plan::{Stop, view_then};
use evenfall_core::sheet::numbers;
use evenfall_core::sheet::wording::{kind_word, limit_phrase, view_word};
use evenfall_core::sheet::{Names, lower_first, not_shown_sentences};
use evenfall_core::time::Instant;

use super::{curve, words};
use crate::state::{
    AppState, Command, Drag, Focus, OpenEvening, Selected, ShelfList, ShelfRow, ShelfSort, wish_for,
};
use crate::ui::parts::one_line;
use crate::ui::text;
use crate::ui::theme::{BODY, CORNER, HEAVY, SMALL, SPACE, TIGHT, Tokens, least_side, regular, semibold};

/// Height of a row.
pub(super) const ROW_HEIGHT: f32 = 48.0;
const CURVE_HEIGHT: f32 = 22.0;
/// Its height beside the second line.
const LOW_CURVE: f32 = 17.0;
/// The curve takes this share of a row.
const CURVE_SHARE: f32 = 0.27;
/// Narrower than this a curve says nothing.
const LEAST_CURVE: f32 = 30.0;
/// How far the second line stands below the first.
const SECOND_LINE: f32 = 22.0;
/// Width of the button that brings a target on.
const BUTTON_WIDTH: f32 = 70.0;

/// What is drawn of a row.
pub(super) struct Shown<'s> {
    pub open: &'s OpenEvening,
    pub list: &'s ShelfList,
    pub row: &'s ShelfRow,
    /// Its position in the list.
    pub position: usize,
    /// Whether it lies in what is seen of the list.
    pub seen: bool,
}

impl Shown<'_> {
    fn target(&self) -> &Target {
        &self.open.document.stock.catalogue.targets[self.row.target_index]
    }

    /// The first stop that shows it.
    fn stop(&self) -> Option<&Stop> {
        let id = &self.target().id;
        let mut stops = self.open.document.evening.order.stops().iter();
        stops.find(|stop| stop.show().is_some_and(|show| show.target == *id))
    }

    fn clock(&self, at: Instant) -> String {
        text::clock(&self.open.derived.prepared.night.local, at)
    }

    fn port(&self, port: Option<usize>) -> &str {
        let port = port.and_then(|port| self.open.document.stock.rig.ports.get(port));
        port.map_or("", |port| port.name.as_str())
    }

    /// Brings it on: in the clear part at that minute, else in its best gap.
    fn bring_on(&self) -> Command {
        let start = self.row.until.and(self.row.best_start);
        Command::BringOn { target: self.target().id.clone(), start, port: None }
    }

    /// What stands in the second line: a wish that it waits for, then why not, or when and where.
    fn second_line(&self, state: &AppState, stop: Option<&Stop>) -> String {
        let told = self.when_and_where(state, stop);
        match self.wish(stop) {
            Some(wish) => format!("{wish}: {told}"),
            None => told,
        }
    }

    /// A wish that the order does not follow yet.
    fn wish(&self, stop: Option<&Stop>) -> Option<&'static str> {
        let wish = wish_for(&self.open.document.evening.wishes, &self.target().id)?;
        words::wish(wish, stop.is_some())
    }

    /// Why not, or when and where; what the list is sorted by comes first.
    fn when_and_where(&self, state: &AppState, stop: Option<&Stop>) -> String {
        let row = self.row;
        if let Some(stop) = stop {
            return words::on_the_board(&self.clock(stop.start()));
        }
        if let Some(limit) = row.limit {
            return limit_phrase(limit).to_owned();
        }
        if let Some(until) = row.until {
            return format!("{}, {}", words::until(&self.clock(until)), self.port(row.port));
        }
        let best = row.best_start.map_or_else(String::new, |best| self.clock(best));
        let usual = || format!("{best}, {}, {}", self.port(row.port), view_word(row.view));
        let Some(at) = state.clear_minute() else { return usual() };
        let prepared = &self.open.derived.prepared;
        let now = view_then(prepared, row.target_index, at, self.list.port);
        match state.view.shelf.sort {
            ShelfSort::AltitudeNow => prepared.sample(row.target_index, at).map_or_else(usual, |sample| {
                format!("{} up, {}", numbers::degrees(sample.altitude), words::best(&best))
            }),
            ShelfSort::WorthNow => match now {
                Some((port, view)) => {
                    format!("{}, {}, {}", view_word(view), self.port(Some(port)), words::best(&best))
                }
                None => format!("not at {}, {}", self.clock(at), words::best(&best)),
            },
            _ => usual(),
        }
    }

    /// The row in one sentence, for those who can't see it.
    fn name(&self, stop: Option<&Stop>) -> String {
        let (row, target) = (self.row, self.target());
        let mut name = format!("{}, {}", target.name, lower_first(kind_word(target.kind)));
        let mut add = |part: &str| {
            if !part.is_empty() {
                name.push_str(", ");
                name.push_str(part);
            }
        };
        if let Some(wish) = self.wish(stop) {
            add(wish);
        }
        if let Some(stop) = stop {
            add(&words::on_the_board(&self.clock(stop.start())));
        }
        if let Some(limit) = row.limit {
            add(limit_phrase(limit));
            return name;
        }
        add(&lower_first(self.port(row.port)));
        add(view_word(row.view));
        match (row.until, row.best_start) {
            (Some(until), _) => add(&words::until(&self.clock(until))),
            (None, Some(best)) => add(&words::best(&self.clock(best))),
            (None, None) => {}
        }
        name
    }
}

/// The identity of a row for the keyboard.
pub fn row_id(target: &TargetId) -> Id {
    Id::unique(("row of the Shelf", &target.0))
}

/// Draws a row and listens to it.
pub(super) fn show(
    ui: &mut Ui,
    state: &AppState,
    shown: &Shown<'_>,
    rect: Rect,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let target = shown.target();
    let response = ui.interact(rect, row_id(&target.id), Sense::click_and_drag());
    if state.view.focus == Some(Focus::Row(shown.row.target_index)) {
        response.request_focus();
    }
    let stop = shown.stop();
    let selected = state.view.selected == Some(Selected::Target(target.id.clone()));
    let name = shown.name(stop);
    response.widget_info(|| WidgetInfo::selected(Role::ListBoxOption, true, selected, &name));
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_position_in_set(shown.position);
        node.set_size_of_set(shown.list.rows.len());
    });
    if response.hovered() || response.has_focus() {
        let about = about(shown);
        ui.ctx().accesskit_node_builder(response.id, |node| node.set_description(about.as_str()));
        response.clone().on_hover_text(about);
    }
    listen(ui, &response, shown, (selected, !state.is_computing()), commands);
    if shown.seen {
        paint(ui, state, shown, stop, (&response, selected), tokens, commands);
    }
}

/// Its names, its curve in words, and why it is not in the order and its best hour.
fn about(shown: &Shown<'_>) -> String {
    let (open, target) = (shown.open, shown.target());
    // Its name too, where the row had no room for it.
    let mut about = vec![format!("{}.", target.name)];
    if !target.other_names.is_empty() {
        about.push(format!("{}.", target.other_names.join(", ")));
    }
    if shown.row.limit.is_none() {
        about.push(curve::words_of(shown));
    }
    let known = open.explained().into_iter().flat_map(|explained| &explained.not_shown);
    if let Some(not_shown) = known.into_iter().find(|not_shown| not_shown.target == target.id) {
        let materials = open.document.stock.materials();
        let names = Names::new(&open.document.evening, &open.derived.prepared, &materials);
        about.extend(not_shown_sentences(&names, not_shown));
    }
    about.join(" ")
}

fn listen(
    ui: &Ui,
    response: &Response,
    shown: &Shown<'_>,
    (selected, settled): (bool, bool),
    commands: &mut Vec<Command>,
) {
    let id = &shown.target().id;
    if settled && response.drag_started() {
        commands.push(Command::Dragging(Some(Drag::of_target(id.clone()))));
    }
    let enter = response.has_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    if response.clicked() {
        response.request_focus();
    }
    if response.double_clicked() || enter {
        commands.push(shown.bring_on());
    } else if (response.clicked() || response.gained_focus()) && !selected {
        commands.push(Command::Select(Some(Selected::Target(id.clone()))));
    }
}

/// A target's name as large as it has room on one line; cut only where it has none in small type either.
fn title(painter: &Painter, name: &str, (on_board, ink): (bool, Color32), width: f32) -> Arc<Galley> {
    let font = |size| if on_board { semibold(size) } else { regular(size) };
    for size in [BODY, BODY - 1.0, SMALL] {
        let galley = painter.layout_no_wrap(name.to_owned(), font(size), ink);
        if galley.size().x <= width {
            return galley;
        }
    }
    one_line(painter, name, font(SMALL), ink, width)
}

fn paint(
    ui: &mut Ui,
    state: &AppState,
    shown: &Shown<'_>,
    stop: Option<&Stop>,
    (response, selected): (&Response, bool),
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let rect = response.rect;
    let painter = ui.painter();
    if selected {
        painter.rect_filled(rect, CORNER, tokens.accent_soft);
        // The soft ground alone is no more than a shade.
        painter.rect_filled(rect.with_max_x(rect.left() + HEAVY), CORNER, tokens.accent);
    } else if response.hovered() {
        painter.rect_filled(rect, CORNER, tokens.button);
    }
    if response.has_focus() {
        painter.rect_stroke(rect, CORNER, Stroke::new(2.0, tokens.accent), StrokeKind::Inside);
    }
    let inner = rect.shrink2(vec2(SPACE, 2.0));
    let limited = shown.row.limit.is_some();
    let ink = if limited && stop.is_none() { tokens.quiet } else { tokens.ink };
    let title = title(painter, &shown.target().name, (stop.is_some(), ink), inner.width());
    let title_end = inner.left() + title.size().x;
    painter.galley(inner.min, title, ink);
    let can_bring = selected && !limited && stop.is_none();
    let second_ink = if selected { tokens.ink } else { tokens.quiet };
    let width = inner.width() - if can_bring { BUTTON_WIDTH } else { 0.0 };
    let line = one_line(painter, &shown.second_line(state, stop), regular(SMALL), second_ink, width);
    let line_end = inner.left() + line.size().x + if can_bring { inner.width() } else { 0.0 };
    painter.galley(pos2(inner.left(), inner.top() + SECOND_LINE), line, second_ink);
    if limited {
        return;
    }
    // A name has its room first; the curve gives way: to the second line, narrower, and away.
    let usual = (rect.width() * CURVE_SHARE).round();
    let beside = |end: f32, top: f32, height: f32| {
        let width = (inner.right() - end - TIGHT).min(usual);
        (width, Rect::from_min_size(pos2(inner.right() - width, top), vec2(width, height)))
    };
    let (whole, first) = beside(title_end, inner.top(), CURVE_HEIGHT);
    let (rest, second) = beside(line_end, inner.top() + SECOND_LINE, LOW_CURVE);
    if whole >= usual || (whole >= rest && whole >= LEAST_CURVE) {
        curve::paint(painter, tokens, shown, stop, first);
    } else if rest >= LEAST_CURVE {
        curve::paint(painter, tokens, shown, stop, second);
    }
    if can_bring {
        let size = vec2(BUTTON_WIDTH, least_side(ui.ctx()));
        let button = Rect::from_min_size(rect.right_bottom() - size - vec2(TIGHT, 0.0), size);
        let mut place = ui.new_child(UiBuilder::new().max_rect(button));
        // No higher than what is left of the row.
        place.spacing_mut().interact_size.y = size.y;
        place.spacing_mut().button_padding.y = 0.0;
        if place.add_sized(size, Button::new(text::BRING_ON)).clicked() {
            commands.push(shown.bring_on());
        }
    }
}
