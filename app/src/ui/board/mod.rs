//! The Board: the running order over the night's sky. Model, layout, paint, interaction and names apart.
//!
//! `model` says what there is to see (`line` of those who wait), `layout` where (no painting), `paint_sky`, `paint_lanes`,
//! `paint_words`, `paint_line` and `paint_paths` draw it, `interact` turns pointer and keys into commands, `access` names
//! what is painted; `ghosts` shows what a drop would do, `quality` says how good the order is.

mod access;
mod ghosts;
mod interact;
mod layout;
mod line;
mod model;
mod paint_lanes;
mod paint_line;
mod paint_paths;
mod paint_sky;
mod paint_words;
mod quality;

use egui::scroll_area::{DragScroll, ScrollSource};
use egui::{Align, Label, Layout, Rect, ScrollArea, Sense, Ui, UiBuilder, vec2};
use evenfall_core::time::Instant;

use self::interact::{Pointing, interact};
use self::layout::{BoardLayout, Shown};
use self::model::BoardModel;
use super::parts::{part_name, quiet, toggle};
use super::theme::{SPACE, Tokens};
use super::{shaping_words, text};
use crate::state::{AppState, BoardSpan, Command};

pub use self::interact::stop_widget_id;

/// Least width for the name of the site.
const SITE_NAME: f32 = 60.0;

/// Draws the Board.
pub fn show(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        part_name(ui, text::BOARD);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let night = state.view.span == BoardSpan::Night;
            if toggle(ui, text::SPAN_NIGHT, night, true).clicked() && !night {
                commands.push(Command::ToggleSpan);
            }
            if toggle(ui, text::SPAN_DOORS, !night, true).clicked() && night {
                commands.push(Command::ToggleSpan);
            }
            let ripple = toggle(ui, shaping_words::RIPPLE, state.view.ripple, state.open().is_some());
            if ripple.on_hover_text(shaping_words::RIPPLE_HINT).clicked() {
                commands.push(Command::ToggleRipple);
            }
            if let Some(open) = state.open() {
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    quality::show(ui, state, open, tokens, commands);
                    if ui.available_width() > SITE_NAME {
                        let site = quiet(tokens, open.document.stock.site.name.as_str());
                        ui.add(Label::new(site).truncate());
                    }
                });
            }
        });
    });
    let Some(open) = state.open() else {
        ui.label(quiet(tokens, state.pending().map_or_else(String::new, |_| text::computing(None))));
        return;
    };
    let model = BoardModel::new(open, &state.view);
    ui.add_space(SPACE / 2.0);
    let room = ui.available_rect_before_wrap();
    let foot = room.bottom() - layout::reading_height(room.width());
    let (above, reading) = room.split_top_bottom_at_y(foot);
    let mut child = ui.new_child(UiBuilder::new().max_rect(above));
    let at = if lay_out(&model, above).height() > above.height() {
        ScrollArea::vertical()
            .auto_shrink(false)
            .scroll_source(ScrollSource { drag: DragScroll::Never, ..ScrollSource::ALL })
            .show(&mut child, |ui| timed(ui, state, tokens, &model, commands))
            .inner
    } else {
        timed(&mut child, state, tokens, &model, commands)
    };
    paint_sky::paint_reading(ui.painter(), tokens, &model, reading, at);
}

fn lay_out(model: &BoardModel<'_>, room: Rect) -> BoardLayout {
    let shown = Shown {
        lanes: model.lanes.len(),
        marks: &model.marks,
        change: model.change.is_some(),
        line: model.line.is_some(),
    };
    BoardLayout::new(room, model.span, &shown)
}

/// Everything that has the time axis, in the room there is or as much as it takes; gives back the instant under the
/// pointer.
fn timed(
    ui: &mut Ui,
    state: &AppState,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    commands: &mut Vec<Command>,
) -> Option<Instant> {
    let room = ui.available_rect_before_wrap();
    let height = lay_out(model, room).height().max(room.height());
    let (rect, _) = ui.allocate_exact_size(vec2(room.width(), height), Sense::hover());
    let layout = lay_out(model, rect);
    let Pointing { at } = interact(ui, state, model, &layout, commands);
    access::name_drawings(ui, model, &layout);
    let painter = ui.painter().with_clip_rect(ui.clip_rect().intersect(rect.expand(2.0)));
    paint_sky::paint(&painter, tokens, model, &layout);
    paint_lanes::paint(ui, &painter, tokens, model, &layout);
    ghosts::paint(&painter, tokens, model, &layout);
    paint_line::paint(&painter, tokens, model, &layout);
    paint_paths::paint(&painter, tokens, model, &layout);
    if let Some(at) = at {
        paint_sky::paint_pointer(&painter, tokens, &layout, at);
    }
    at
}
