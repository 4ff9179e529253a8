//! Pointer and keyboard on the Board, turned into commands.

use egui::{CursorIcon, EventFilter, Id, Pos2, Rect, Response, Sense, Ui};
use evenfall_core::plan::{Stop, StopId};
use evenfall_core::rig::PortId;
use evenfall_core::time::Instant;

use super::access;
use super::layout::BoardLayout;
use super::model::{Block, BoardModel};
use crate::state::{AppState, Command, Drag, Dragged, Edge, Focus, Selected, Spot};
use crate::ui::theme::least_side;

/// Where the pointer is.
pub struct Pointing {
    /// The instant under it, if it is over the time axis.
    pub at: Option<Instant>,
    /// The stop under it.
    pub over: Option<StopId>,
}

/// The identity of a stop's block for the keyboard.
pub fn stop_widget_id(stop: StopId) -> Id {
    Id::unique(("stop on the Board", stop.0))
}

/// Listens to everything on the Board; `tells`: whether what is under the pointer is told beside it.
pub fn interact(
    ui: &Ui,
    state: &AppState,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    (tells, commands): (bool, &mut Vec<Command>),
) -> Pointing {
    let ground = ui.interact(layout.timed(), ui.scope_id().with("board ground"), Sense::CLICK);
    if ground.clicked() {
        commands.push(Command::Select(None));
    }
    let mut hovered = None;
    for block in &model.blocks {
        // While it is dragged a block keeps the place where it was taken hold of, so that the drag goes on.
        let rect = match block.lifted_from {
            Some((lane, interval)) => layout.stretch(lane, interval),
            None => layout.block(block),
        };
        let response = ui.interact(rect, stop_widget_id(block.stop), Sense::click_and_drag());
        if response.hovered() {
            hovered = Some(block.stop);
        }
        access::name_block(&response, model, block);
        if tells {
            access::tell_block(&response, model, block);
        }
        block_keyboard(ui, state, block, &response, commands);
        block_pointer(state, model, layout, block, &response, commands);
        if let Some(words) = block.overruled.as_ref().filter(|_| tells) {
            response.on_hover_text(words);
        }
    }
    target_pointer(ui, state, model, layout, commands);
    let pointer = ui.input(|input| input.pointer.hover_pos()).filter(|at| layout.timed().contains(*at));
    let over = pointer.filter(|_| ui.ui_contains_pointer());
    Pointing { at: over.map(|pointer| layout.axis.instant(pointer.x)), over: hovered }
}

fn block_keyboard(
    ui: &Ui,
    state: &AppState,
    block: &Block,
    response: &Response,
    commands: &mut Vec<Command>,
) {
    if state.view.focus == Some(Focus::Stop(block.stop)) {
        response.request_focus();
    }
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    if response.has_focus() {
        let arrows = EventFilter { tab: false, horizontal_arrows: true, vertical_arrows: true, escape: true };
        ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, arrows));
    }
    let own = Some(Selected::Stop(block.stop));
    if (response.clicked() || response.gained_focus()) && state.view.selected != own {
        commands.push(Command::Select(own));
    }
}

/// The edge of a stop that the pointer is over: where a stop is wide enough for what is left to be hit as well, its end,
/// and where it is wider still, its start. The keys reach both edges of every stop.
fn edge_at(rect: Rect, pointer: Pos2, least_side: f32) -> Option<Edge> {
    if rect.width() >= 2.0 * least_side && pointer.x > rect.right() - least_side {
        Some(Edge::End)
    } else if rect.width() >= 3.0 * least_side && pointer.x < rect.left() + least_side {
        Some(Edge::Start)
    } else {
        None
    }
}

fn block_pointer(
    state: &AppState,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    block: &Block,
    response: &Response,
    commands: &mut Vec<Command>,
) {
    let Some(stop) = model.open.document.evening.order.get(block.stop) else { return };
    let press = response.ctx.input(|input| input.pointer.press_origin());
    let edge = |at: Option<Pos2>| edge_at(response.rect, at?, least_side(&response.ctx));
    if response.drag_started()
        && let Some(pointer) = response.interact_pointer_pos()
        && !state.is_computing()
    {
        response.request_focus();
        commands.push(Command::Select(Some(Selected::Stop(stop.id))));
        let press = press.unwrap_or(pointer);
        let drag = taken_hold(stop, edge(Some(press)), layout.axis.instant(press.x));
        commands.push(Command::Dragging(Some(follow(&drag, model, layout, pointer))));
        return;
    }
    let Some(drag) = state.view.drag.as_ref().filter(|drag| drag.stop() == Some(stop.id)) else {
        if edge(response.hover_pos()).is_some() {
            response.ctx.set_cursor_icon(CursorIcon::ResizeHorizontal);
        }
        return;
    };
    response.ctx.set_cursor_icon(match drag.what {
        Dragged::Edge(..) => CursorIcon::ResizeHorizontal,
        _ => CursorIcon::Grabbing,
    });
    let followed = response.interact_pointer_pos().map(|pointer| follow(drag, model, layout, pointer));
    if response.dragged() {
        commands
            .extend(followed.filter(|followed| followed != drag).map(|drag| Command::Dragging(Some(drag))));
    } else {
        let_go(&followed.unwrap_or_else(|| drag.clone()), commands);
    }
}

/// A stop taken hold of at an instant, by an edge or as a whole.
fn taken_hold(stop: &Stop, edge: Option<Edge>, pressed: Instant) -> Drag {
    let (what, at) = match edge {
        None => (Dragged::Stop(stop.id), stop.start()),
        Some(Edge::Start) => (Dragged::Edge(stop.id, Edge::Start), stop.start()),
        Some(Edge::End) => (Dragged::Edge(stop.id, Edge::End), stop.end()),
    };
    let port = stop.show().filter(|_| edge.is_none()).map(|show| show.port.clone());
    Drag { what, grip_minutes: pressed.minutes_since(at), spot: Some(Spot { at, port }), cancelled: false }
}

/// Ends a drag; what it did is done unless Escape was pressed.
fn let_go(drag: &Drag, commands: &mut Vec<Command>) {
    let done = drag.command().filter(|_| !commands.contains(&Command::Dismiss));
    commands.push(Command::Dragging(None));
    commands.extend(done);
}

/// The drag with the pointer here: on a whole minute of the clock, on the lane under it.
fn follow(drag: &Drag, model: &BoardModel<'_>, layout: &BoardLayout, pointer: Pos2) -> Drag {
    let raw = layout.axis.instant(pointer.x).plus_minutes(-drag.grip_minutes);
    let has_port = drag.spot.as_ref().is_none_or(|spot| spot.port.is_some());
    let port = if has_port { port_at(model, layout, pointer) } else { None };
    Drag { spot: Some(Spot { at: on_the_minute(model, raw), port }), ..drag.clone() }
}

fn port_at(model: &BoardModel<'_>, layout: &BoardLayout, pointer: Pos2) -> Option<PortId> {
    model.lanes.get(layout.lane_at(pointer.y)?).map(|lane| lane.port.clone())
}

/// The nearest whole minute of the clock. The night begins at noon, on a whole minute.
fn on_the_minute(model: &BoardModel<'_>, instant: Instant) -> Instant {
    let noon = model.open.derived.prepared.night.local.window().start();
    noon.plus_minutes(instant.minutes_since(noon).round())
}

/// Follows a target taken off the Shelf: over the lanes it has a place, and is brought on where it is let go.
fn target_pointer(
    ui: &Ui,
    state: &AppState,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    commands: &mut Vec<Command>,
) {
    let Some(drag) = state.view.drag.as_ref().filter(|drag| drag.stop().is_none()) else { return };
    let lanes = layout.all_lanes().intersect(ui.clip_rect());
    let (pointer, down) = ui.input(|input| (input.pointer.interact_pos(), input.pointer.primary_down()));
    let followed = match pointer.filter(|at| lanes.contains(*at)) {
        Some(pointer) => follow(drag, model, layout, pointer),
        None => Drag { spot: None, ..drag.clone() },
    };
    ui.ctx().set_cursor_icon(match followed.spot {
        Some(_) => CursorIcon::Grabbing,
        None => CursorIcon::NoDrop,
    });
    if !down {
        let_go(&followed, commands);
    } else if followed != *drag {
        commands.push(Command::Dragging(Some(followed)));
    }
}
