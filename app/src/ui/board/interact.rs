//! Pointer and keyboard on the Board, turned into commands.

use egui::{DragAndDrop, EventFilter, Id, Pos2, Response, Sense, Ui};
use evenfall_core::catalogue::TargetId;
use evenfall_core::plan::StopId;
use evenfall_core::rig::PortId;
use evenfall_core::time::Instant;

use super::access;
use super::layout::BoardLayout;
use super::model::{Block, BoardModel};
use crate::state::{AppState, Command, Drag, Focus, Selected};

/// Where the pointer is.
pub struct Pointing {
    /// The instant under it, if it is over the time axis.
    pub at: Option<Instant>,
}

/// The identity of a stop's block for the keyboard.
pub fn stop_widget_id(stop: StopId) -> Id {
    Id::unique(("stop on the Board", stop.0))
}

/// Listens to everything on the Board.
pub fn interact(
    ui: &Ui,
    state: &AppState,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    commands: &mut Vec<Command>,
) -> Pointing {
    let ground = ui.interact(layout.timed(), ui.scope_id().with("board ground"), Sense::CLICK);
    if ground.clicked() {
        commands.push(Command::Select(None));
    }
    for block in &model.blocks {
        // While it is dragged a block keeps the place where it was taken hold of, so that the drag goes on.
        let rect = match block.lifted_from {
            Some((lane, interval)) => layout.stretch(lane, interval),
            None => layout.block(block),
        };
        let response = ui.interact(rect, stop_widget_id(block.stop), Sense::click_and_drag());
        access::name_block(&response, model, block);
        block_keyboard(ui, state, block, &response, commands);
        block_pointer(state, model, layout, block, &response, commands);
        if let Some(words) = block.overruled.as_ref().filter(|_| state.view.drag.is_none()) {
            response.on_hover_text(words);
        }
    }
    drop_target(ui, model, layout, commands);
    let pointer = ui.input(|input| input.pointer.hover_pos()).filter(|at| layout.timed().contains(*at));
    let over = pointer.filter(|_| ui.ui_contains_pointer());
    Pointing { at: over.map(|pointer| layout.axis.instant(pointer.x)) }
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

fn block_pointer(
    state: &AppState,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    block: &Block,
    response: &Response,
    commands: &mut Vec<Command>,
) {
    let Some(stop) = model.open.document.evening.order.get(block.stop) else { return };
    if response.drag_started()
        && let Some(pointer) = response.interact_pointer_pos()
        && !state.is_computing()
    {
        response.request_focus();
        commands.push(Command::Select(Some(Selected::Stop(stop.id))));
        let press = response.ctx.input(|input| input.pointer.press_origin()).unwrap_or(pointer);
        let drag = Drag {
            stop: stop.id,
            grip_minutes: layout.axis.instant(press.x).minutes_since(stop.start()),
            start: stop.start(),
            port: stop.show().map(|show| show.port.clone()),
            cancelled: false,
        };
        commands.push(Command::Dragging(Some(follow(&drag, model, layout, pointer))));
        return;
    }
    let Some(drag) = state.view.drag.as_ref().filter(|drag| drag.stop == stop.id) else { return };
    if response.dragged()
        && let Some(pointer) = response.interact_pointer_pos()
    {
        let followed = follow(drag, model, layout, pointer);
        if followed != *drag {
            commands.push(Command::Dragging(Some(followed)));
        }
    } else {
        let cancelled = drag.cancelled || commands.contains(&Command::Dismiss);
        commands.push(Command::Dragging(None));
        if !cancelled {
            let drag = match response.interact_pointer_pos() {
                Some(pointer) => follow(drag, model, layout, pointer),
                None => drag.clone(),
            };
            commands.push(Command::Place { stop: stop.id, start: drag.start, port: drag.port });
        }
    }
}

/// The drag with the pointer here: on a whole minute of the clock, on the lane under it.
fn follow(drag: &Drag, model: &BoardModel<'_>, layout: &BoardLayout, pointer: Pos2) -> Drag {
    let raw = layout.axis.instant(pointer.x).plus_minutes(-drag.grip_minutes);
    let port = drag.port.as_ref().map(|port| port_at(model, layout, pointer).unwrap_or_else(|| port.clone()));
    Drag { start: on_the_minute(model, raw), port, ..drag.clone() }
}

fn port_at(model: &BoardModel<'_>, layout: &BoardLayout, pointer: Pos2) -> Option<PortId> {
    model.lanes.get(layout.lane_at(pointer.y)?).map(|lane| lane.port.clone())
}

/// The nearest whole minute of the clock. The night begins at noon, on a whole minute.
fn on_the_minute(model: &BoardModel<'_>, instant: Instant) -> Instant {
    let noon = model.open.derived.prepared.night.local.window().start();
    noon.plus_minutes(instant.minutes_since(noon).round())
}

/// A target dragged from the Shelf and let go over the lanes.
fn drop_target(ui: &Ui, model: &BoardModel<'_>, layout: &BoardLayout, commands: &mut Vec<Command>) {
    let context = ui.ctx();
    if DragAndDrop::payload::<TargetId>(context).is_none() {
        return;
    }
    let lanes = layout.all_lanes();
    let pointer = ui.input(|input| input.pointer.interact_pos()).filter(|at| lanes.contains(*at));
    let released = ui.input(|input| input.pointer.any_released());
    if let Some(pointer) = pointer
        && released
        && let Some(target) = DragAndDrop::take_payload::<TargetId>(context)
    {
        commands.push(Command::BringOn {
            target: target.as_ref().clone(),
            start: Some(on_the_minute(model, layout.axis.instant(pointer.x))),
            port: port_at(model, layout, pointer),
        });
    }
}
