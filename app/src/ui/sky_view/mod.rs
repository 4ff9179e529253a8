//! The sky unrolled as the telescope turns, the Board's other face: where the stops stand at the minute that is read, the
//! ways between them, and how the mount turns through the evening.
//!
//! The core draws it as a scene; `pen` paints that, `reading` tells a direction under the pointer or walked to by keys,
//! `words` has what only this view says.

mod pen;
mod reading;
mod words;

use std::sync::Arc;

use egui::{
    EventFilter, Id, Pos2, Rect, RichText, Role, ScrollArea, Sense, Ui, UiBuilder, Vec2, WidgetInfo, pos2,
    vec2,
};
use evenfall_core::chart::{Rectangle, SkyStop, UnrolledSky, unrolled_sky};
use evenfall_core::plan::{Stop, StopId};
use evenfall_core::sheet::Names;
use evenfall_core::time::Instant;

use super::board::stop_widget_id;
use super::parts::{command_button, toggle};
use super::text;
use super::theme::{BODY, TIGHT, Tokens, least_side, semibold};
use crate::state::{AppState, Command, Focus, OpenEvening, Selected};

pub use self::words::{SKY_HINT, SKY_NAME};

/// Minutes of a step to an earlier or later sky.
const STEP: f64 = 10.0;
/// Least room for the drawing.
const LEAST_ROOM: f32 = 330.0;

/// The button that brings it and takes it away.
pub fn button(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) {
    let button = toggle(ui, words::SKY, state.view.sky, state.open().is_some());
    if button.on_hover_text(words::SKY_BUTTON_HINT).clicked() {
        commands.push(Command::ToggleSky);
    }
}

/// The minute whose sky is shown: the one that is read on the Card, else the start of the selected stop, else doors.
fn minute(state: &AppState, open: &OpenEvening) -> Instant {
    let prepared = &open.derived.prepared;
    let at = state.view.card.minute.or(state.selected_stop().map(Stop::start));
    at.filter(|at| prepared.span.contains(*at)).unwrap_or(prepared.doors.start())
}

/// Draws it.
pub fn show(ui: &mut Ui, state: &AppState, open: &OpenEvening, tokens: &Tokens, commands: &mut Vec<Command>) {
    let at = minute(state, open);
    let prepared = &open.derived.prepared;
    ui.horizontal(|ui| {
        let clock = text::clock(&prepared.night.local, at);
        ui.label(RichText::new(words::sky_at(&clock)).font(semibold(BODY)));
        for (label, minutes) in [(words::EARLIER, -STEP), (words::LATER, STEP)] {
            let to = at.plus_minutes(minutes).max(prepared.span.start()).min(prepared.span.end());
            command_button(ui, state, commands, (label, label), Command::ReadAt(Some(to)));
        }
    });
    ui.add_space(TIGHT);
    let room = ui.available_rect_before_wrap();
    let (above, below) = room.split_top_bottom_at_y(room.bottom() - reading::HEIGHT);
    let mut child = ui.new_child(UiBuilder::new().max_rect(above));
    let told = if above.height() < LEAST_ROOM {
        ScrollArea::vertical()
            .auto_shrink(false)
            .show(&mut child, |ui| sky(ui, state, open, tokens, at, commands))
            .inner
    } else {
        sky(&mut child, state, open, tokens, at, commands)
    };
    reading::tell(ui.painter(), tokens, below, told.as_deref());
}

/// The drawing with all that listens on it, in the room there is or as much as it takes; gives back what is read.
fn sky(
    ui: &mut Ui,
    state: &AppState,
    open: &OpenEvening,
    tokens: &Tokens,
    at: Instant,
    commands: &mut Vec<Command>,
) -> Option<String> {
    let room = ui.available_rect_before_wrap();
    let size = vec2(room.width(), room.height().max(LEAST_ROOM));
    let (above, _) = ui.allocate_exact_size(size, Sense::hover());
    let sky = drawn(ui, state, open, at, above);
    let response = ui.interact(above, Id::unique("sky unrolled"), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, SKY_NAME));
    let read = reading::listen(ui, &response, &sky.map, above.min);
    let told = read.map(|direction| reading::words(open, at, direction));
    response.ctx.accesskit_node_builder(response.id, |node| {
        node.set_description(sky.scene.alt.as_str());
        node.set_value(told.as_deref().unwrap_or(words::READ_HINT));
    });
    for stop in &sky.stops {
        stop_on_sky(ui, state, stop, above.min, commands);
    }
    let painter = ui.painter().with_clip_rect(ui.clip_rect().intersect(above));
    pen::paint(&painter, tokens, &sky.scene, above.min);
    if let Some(direction) = read {
        reading::paint(&painter, tokens, &sky.map, above.min, direction);
    }
    told
}

/// What the drawing depends on.
#[derive(Clone, Debug, PartialEq)]
struct Drawn {
    evening: u64,
    revision: u64,
    at: Instant,
    selected: Option<StopId>,
    size: (f32, f32),
}

/// The drawing, made anew only when something in it has changed.
fn drawn(ui: &Ui, state: &AppState, open: &OpenEvening, at: Instant, room: Rect) -> Arc<UnrolledSky> {
    let id = Id::unique("sky unrolled, drawn");
    let selected = state.selected_stop().map(|stop| stop.id);
    let size = (room.width(), room.height());
    let wanted = Drawn { evening: open.number, revision: open.derived.revision, at, selected, size };
    let kept = ui.data(|data| data.get_temp::<(Drawn, Arc<UnrolledSky>)>(id));
    if let Some((_, sky)) = kept.filter(|(of, _)| *of == wanted) {
        return sky;
    }
    let materials = open.document.stock.materials();
    let names = Names::new(&open.document.evening, &open.derived.prepared, &materials);
    let sky = Arc::new(unrolled_sky(&names, at, selected, size));
    ui.data_mut(|data| data.insert_temp(id, (wanted, Arc::clone(&sky))));
    sky
}

/// A stop's tag: it is selected by pointer and keyboard as on the Board, and every key of the Board changes it.
fn stop_on_sky(ui: &Ui, state: &AppState, stop: &SkyStop, origin: Pos2, commands: &mut Vec<Command>) {
    let rect = target(ui, stop.tag, origin);
    let response = ui.interact(rect, stop_widget_id(stop.stop), Sense::click());
    let own = Some(Selected::Stop(stop.stop));
    let label = words::stop_name(stop.number, &stop.title);
    let chosen = state.view.selected == own;
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, &label));
    response.ctx.accesskit_node_builder(response.id, |node| {
        node.set_value(stop.words.as_str());
        node.set_description(stop.about.as_str());
    });
    if state.view.focus == Some(Focus::Stop(stop.stop)) {
        response.request_focus();
    }
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    if response.has_focus() {
        let arrows = EventFilter { tab: false, horizontal_arrows: true, vertical_arrows: true, escape: true };
        ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, arrows));
    }
    if (response.clicked() || response.gained_focus()) && !chosen {
        commands.push(Command::Select(own.clone()));
    }
    let hint = format!("{}\n{}", stop.words, stop.about);
    response.on_hover_text(&hint);
    // The same stop where the mount's turning is drawn: for the pointer only, as the keyboard has it above.
    if stop.row.width() > 0.0 {
        let id = stop_widget_id(stop.stop).with("row");
        let row = ui.interact(target(ui, stop.row, origin), id, Sense::CLICK | Sense::HOVER);
        if row.clicked() && !chosen {
            commands.push(Command::Select(own));
        }
        row.on_hover_text(hint);
    }
}

/// What the pointer is to hit for a tag of the drawing.
fn target(ui: &Ui, tag: Rectangle, origin: Pos2) -> Rect {
    let tag = Rect::from_min_max(pos2(tag.left, tag.top), pos2(tag.right, tag.bottom));
    let tag = tag.translate(origin.to_vec2());
    Rect::from_center_size(tag.center(), tag.size().max(Vec2::splat(least_side(ui.ctx()))))
}
